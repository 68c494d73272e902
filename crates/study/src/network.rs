//! The network: every inside expanded. Nodes are points at one potential, links are runs, poles, bars and
//! converters.
//!
//! Only the wiring is here. What voltages and currents it means is in the other studies.

use lineside_core::circuit::{Block, BlockId, Circuit, IdMap, Potential, RunEnd, RunId, Side, TerminalName};
use lineside_core::kinds::inside::{JoinKind, Pole, PoleDevice, SinkKind, SourceKind};

/// A node, by its position in [`Network::nodes`].
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct NodeId(pub(crate) u32);

impl NodeId {
    pub(crate) const fn index(self) -> usize {
        self.0 as usize
    }
}

/// A link, by its position in [`Network::links`].
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct LinkId(pub(crate) u32);

impl LinkId {
    pub(crate) const fn index(self) -> usize {
        self.0 as usize
    }
}

/// A point of a block.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Node {
    /// The block.
    pub block: BlockId,
    /// The terminal, when the point is one.
    pub terminal: Option<TerminalName>,
    /// What kind of circuit the terminal is for; inner points have the one of nothing in particular.
    pub potential: Potential,
}

/// What a link is made of.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum LinkKind {
    /// A run between two blocks.
    Run(RunId),
    /// A bar or wire inside a block.
    Solid,
    /// A pole, by its position in [`Network::poles`].
    Pole(usize),
    /// A converter.
    Converter,
}

/// Two nodes and what joins them.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Link {
    /// One node.
    pub a: NodeId,
    /// The other.
    pub b: NodeId,
    /// What is between.
    pub kind: LinkKind,
}

impl Link {
    /// The node at the other end.
    pub fn other(&self, node: NodeId) -> NodeId {
        if self.a == node { self.b } else { self.a }
    }
}

/// A pole with the block to which it belongs.
#[derive(Clone, Debug, PartialEq)]
pub struct PoleInBlock {
    /// The block.
    pub block: BlockId,
    /// Its link.
    pub link: LinkId,
    /// Its ratings.
    pub pole: Pole,
}

impl PoleInBlock {
    /// Whether it works by itself, so that it neither protects nor isolates.
    pub fn is_relay(&self) -> bool {
        matches!(self.pole.device, PoleDevice::Relay | PoleDevice::ManagementContactor)
    }
}

/// A source in the network.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct SourceInBlock {
    /// The block.
    pub block: BlockId,
    /// Where it feeds in.
    pub node: NodeId,
    /// What it is.
    pub kind: SourceKind,
}

/// A sink in the network.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct SinkInBlock {
    /// The block.
    pub block: BlockId,
    /// Where it takes out.
    pub node: NodeId,
    /// What it is.
    pub kind: SinkKind,
}

/// The whole wiring of a circuit.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Network {
    nodes: Vec<Node>,
    links: Vec<Link>,
    poles: Vec<PoleInBlock>,
    sources: Vec<SourceInBlock>,
    sinks: Vec<SinkInBlock>,
    /// First node of each block.
    first: IdMap<BlockId, u32>,
    /// Link of each run.
    run_links: IdMap<RunId, LinkId>,
    /// For node `n`, `around[start[n]..start[n + 1]]` are the links at it.
    start: Vec<u32>,
    around: Vec<LinkId>,
    /// For each node whether a source stands there.
    fed: Vec<bool>,
    /// For each node whether a sink stands there.
    drained: Vec<bool>,
}

/// Expands every inside of a circuit.
pub fn expand(circuit: &Circuit) -> Network {
    let mut network = Network::default();
    for block in circuit.blocks() {
        network.add_block(block);
    }
    for run in circuit.runs() {
        if let (Some(a), Some(b)) = (network.at(run.from), network.at(run.to)) {
            let link = network.add_link(Link { a, b, kind: LinkKind::Run(run.id) });
            network.run_links.insert(run.id, link);
        }
    }
    network.index_links();
    network.index_sources();
    network
}

impl Network {
    /// Every node.
    pub fn nodes(&self) -> impl Iterator<Item = (NodeId, &Node)> {
        (0..).map(NodeId).zip(&self.nodes)
    }
    /// How many nodes there are.
    pub fn node_count(&self) -> usize {
        self.nodes.len()
    }
    /// How many links there are.
    pub fn link_count(&self) -> usize {
        self.links.len()
    }
    /// A node.
    pub fn node(&self, id: NodeId) -> Option<&Node> {
        self.nodes.get(id.index())
    }
    /// A link.
    pub fn link(&self, id: LinkId) -> Option<&Link> {
        self.links.get(id.index())
    }
    /// Every link.
    pub fn links(&self) -> impl Iterator<Item = (LinkId, &Link)> {
        (0..).map(LinkId).zip(&self.links)
    }
    /// Every pole, in the order of blocks.
    pub fn poles(&self) -> &[PoleInBlock] {
        &self.poles
    }
    /// The pole of a link, when it is one.
    pub fn pole_of(&self, link: &Link) -> Option<&PoleInBlock> {
        match link.kind {
            LinkKind::Pole(index) => self.poles.get(index),
            LinkKind::Run(_) | LinkKind::Solid | LinkKind::Converter => None,
        }
    }
    /// Every source.
    pub fn sources(&self) -> &[SourceInBlock] {
        &self.sources
    }
    /// The sources at a node.
    pub fn sources_at(&self, node: NodeId) -> impl Iterator<Item = &SourceInBlock> {
        let block = if self.has_source(node) { self.node(node).map(|it| it.block) } else { None };
        // They stand in the order of blocks.
        let first = block.map_or(self.sources.len(), |id| self.sources.partition_point(|it| it.block < id));
        let of_block = self.sources.iter().skip(first).take_while(move |it| Some(it.block) == block);
        of_block.filter(move |it| it.node == node)
    }
    /// Every sink.
    pub fn sinks(&self) -> &[SinkInBlock] {
        &self.sinks
    }
    /// The sinks at a node.
    pub fn sinks_at(&self, node: NodeId) -> impl Iterator<Item = &SinkInBlock> {
        let block = if self.has_sink(node) { self.node(node).map(|it| it.block) } else { None };
        let first = block.map_or(self.sinks.len(), |id| self.sinks.partition_point(|it| it.block < id));
        let of_block = self.sinks.iter().skip(first).take_while(move |it| Some(it.block) == block);
        of_block.filter(move |it| it.node == node)
    }
    /// The links at a node.
    pub fn links_at(&self, node: NodeId) -> impl Iterator<Item = (LinkId, &Link)> {
        let from = self.start.get(node.index()).copied().unwrap_or(0) as usize;
        let to = self.start.get(node.index() + 1).copied().unwrap_or(0) as usize;
        self.around.get(from..to).unwrap_or(&[]).iter().filter_map(|id| Some((*id, self.link(*id)?)))
    }
    /// The runs that land at a node, in the order of ids.
    pub fn runs_at(&self, node: NodeId) -> impl Iterator<Item = RunId> {
        self.links_at(node).filter_map(|(_, link)| match link.kind {
            LinkKind::Run(run) => Some(run),
            LinkKind::Solid | LinkKind::Pole(_) | LinkKind::Converter => None,
        })
    }
    /// Whether a source stands at a node.
    pub fn has_source(&self, node: NodeId) -> bool {
        self.fed.get(node.index()).copied().unwrap_or(false)
    }
    /// Whether a sink stands at a node.
    pub fn has_sink(&self, node: NodeId) -> bool {
        self.drained.get(node.index()).copied().unwrap_or(false)
    }
    /// The link of a run.
    pub fn run_link(&self, run: RunId) -> Option<LinkId> {
        self.run_links.get(run).copied()
    }
    /// The node of a terminal.
    pub fn at(&self, end: RunEnd) -> Option<NodeId> {
        let first = *self.first.get(end.block)?;
        let points = self.nodes.get(first as usize..)?.iter();
        let of_block = points.take_while(|node| node.block == end.block);
        let index = of_block.zip(0..).find(|(node, _)| node.terminal == Some(end.terminal))?.1;
        Some(NodeId(first + index))
    }
    /// The node at which a run begins or ends.
    pub fn run_end(&self, run: RunId, side: Side) -> Option<NodeId> {
        let link = self.link(self.run_link(run)?)?;
        Some(match side {
            Side::From => link.a,
            Side::To => link.b,
        })
    }
    /// The node of a point of a block, counted as its inside counts.
    pub fn point(&self, block: BlockId, point: usize) -> Option<NodeId> {
        let first = self.first.get(block)?;
        Some(NodeId(first + u32::try_from(point).ok()?))
    }
    /// Every node of a block, its terminals first.
    pub fn nodes_of(&self, block: BlockId) -> impl Iterator<Item = NodeId> {
        let first = self.first.get(block).copied().unwrap_or(u32::MAX);
        (first..).map(NodeId).take_while(move |node| self.node(*node).is_some_and(|it| it.block == block))
    }

    fn add_block(&mut self, block: &Block) {
        let inside = block.equipment.inside();
        let terminals = block.equipment.terminals();
        let first = count(self.nodes.len());
        self.first.insert(block.id, first);
        for point in 0..inside.points.max(terminals.len()) {
            let terminal = terminals.get(point);
            self.nodes.push(Node {
                block: block.id,
                terminal: terminal.map(|terminal| terminal.name),
                potential: terminal.map_or(Potential::Any, |terminal| terminal.potential),
            });
        }
        let node = |point: usize| NodeId(first + count(point));
        for join in inside.joins {
            let (a, b) = (node(join.a), node(join.b));
            match join.what {
                JoinKind::Solid => {
                    self.add_link(Link { a, b, kind: LinkKind::Solid });
                }
                JoinKind::Converter => {
                    self.add_link(Link { a, b, kind: LinkKind::Converter });
                }
                JoinKind::Pole(pole) => {
                    let link = self.add_link(Link { a, b, kind: LinkKind::Pole(self.poles.len()) });
                    self.poles.push(PoleInBlock { block: block.id, link, pole: *pole });
                }
            }
        }
        self.sources.extend(inside.sources.iter().map(|it| SourceInBlock {
            block: block.id,
            node: node(it.at),
            kind: it.kind,
        }));
        self.sinks.extend(inside.sinks.iter().map(|it| SinkInBlock {
            block: block.id,
            node: node(it.at),
            kind: it.kind,
        }));
    }

    fn add_link(&mut self, link: Link) -> LinkId {
        self.links.push(link);
        LinkId(count(self.links.len() - 1))
    }

    fn index_sources(&mut self) {
        self.fed = vec![false; self.nodes.len()];
        self.drained = vec![false; self.nodes.len()];
        for source in &self.sources {
            if let Some(slot) = self.fed.get_mut(source.node.index()) {
                *slot = true;
            }
        }
        for sink in &self.sinks {
            if let Some(slot) = self.drained.get_mut(sink.node.index()) {
                *slot = true;
            }
        }
    }

    /// A run from a terminal to itself is one link but stands at its node once.
    fn index_links(&mut self) {
        let mut degree = vec![0_u32; self.nodes.len() + 1];
        let mut bump = |node: NodeId| {
            if let Some(slot) = degree.get_mut(node.index()) {
                *slot += 1;
            }
        };
        for link in &self.links {
            bump(link.a);
            if link.a != link.b {
                bump(link.b);
            }
        }
        let mut total = 0;
        self.start = degree
            .iter()
            .map(|at| {
                let here = total;
                total += at;
                here
            })
            .collect();
        let mut next = self.start.clone();
        self.around = vec![LinkId(0); total as usize];
        let around = &mut self.around;
        let mut put = |node: NodeId, id: LinkId| {
            if let Some(slot) = next.get_mut(node.index()) {
                if let Some(entry) = around.get_mut(*slot as usize) {
                    *entry = id;
                }
                *slot += 1;
            }
        };
        for (id, link) in (0..).map(LinkId).zip(&self.links) {
            put(link.a, id);
            if link.a != link.b {
                put(link.b, id);
            }
        }
    }
}

/// Node counts stay far below 2³²: the file size limit sees to it.
fn count(count: usize) -> u32 {
    u32::try_from(count).unwrap_or(u32::MAX)
}
