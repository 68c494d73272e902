//! The fewest poles that cut a block off from every source: a minimum cut on the ways of energy.
//!
//! A pole that is opened by hand counts one, everything else cannot be cut. Poles on one handle count once:
//! every choice of such handles is tried. Of several cuts of the same size the one nearest to the block is taken,
//! with as few devices as possible that must not be opened under load.

use super::Reached;
use super::energy::{Energy, Positions, is_true_source};
use crate::conditions::Conditions;
use crate::network::{Link, LinkKind, Network, NodeId};
use crate::zones::Zones;
use lineside_core::circuit::BlockId;
use lineside_core::kinds::Kind;
use lineside_core::kinds::inside::Disconnects;
use petgraph::algo::ford_fulkerson;
use petgraph::graph::{DiGraph, NodeIndex};
use petgraph::visit::EdgeRef;
use std::collections::{BTreeMap, BTreeSet};

/// What one pole counts; large against what a device without load-break counts on top.
const POLE: u64 = 1 << 24;
/// Stands for what cannot be cut.
const NEVER: u64 = 1 << 56;
/// Up to so many handles with several poles every choice is tried.
const HANDLES_TRIED: usize = 6;

/// The poles to open, and the sources that nothing cuts off.
#[derive(Clone, Debug, Default, PartialEq)]
pub(super) struct Cut {
    pub poles: BTreeSet<usize>,
    pub remains: BTreeSet<Reached>,
}

/// Every source from which energy still comes to a block with some poles open, in any position of the transfer
/// switches. Poles are given by their position in [`Network::poles`].
pub fn sources_reaching(
    on: &Conditions<'_>,
    network: &Network,
    zones: &Zones,
    block: BlockId,
    open: &BTreeSet<usize>,
) -> BTreeSet<Reached> {
    let energy = Energy { on, network, zones };
    let upstream = energy.upstream(block);
    let mut found = BTreeSet::new();
    for positions in energy.positions(&upstream) {
        let fed = energy.fed_from(block, &positions, open);
        found.extend(sources_among(network, &fed));
    }
    found
}

fn sources_among(network: &Network, nodes: &BTreeSet<NodeId>) -> impl Iterator<Item = Reached> {
    nodes
        .iter()
        .flat_map(|node| network.sources_at(*node))
        .filter(|source| is_true_source(source.kind))
        .map(|source| Reached { block: source.block, kind: source.kind })
}

/// The smallest set that cuts a block off in every position of the transfer switches.
pub(super) fn smallest(energy: &Energy<'_>, block: BlockId) -> Cut {
    let upstream = energy.upstream(block);
    let positions = energy.positions(&upstream);
    let throwable = throwable_poles(energy, block, &upstream);
    let mut cut = Cut::default();
    for at in &positions {
        let with_all_open = energy.fed_from(block, at, &throwable);
        cut.remains.extend(sources_among(energy.network, &with_all_open));
    }
    for at in &positions {
        let region = energy.fed_from(block, at, &BTreeSet::new());
        let found = in_position(energy, block, at, &region, &throwable, &cut.remains);
        cut.poles.extend(found);
    }
    // The cut of one position holds nothing needless already.
    if positions.len() > 1 {
        drop_needless(energy, block, &positions, &mut cut);
    }
    cut
}

/// The poles upstream of a block that can be opened by hand; not its own, which leave its terminals live.
fn throwable_poles(energy: &Energy<'_>, block: BlockId, upstream: &BTreeSet<NodeId>) -> BTreeSet<usize> {
    let poles = energy.poles_of(upstream);
    let others = poles.filter(|(index, it)| it.block != block && energy.can_be_thrown(*index));
    others.map(|(index, _)| index).collect()
}

/// Poles of one handle in a region, where there are several.
fn handles(energy: &Energy<'_>, throwable: &BTreeSet<usize>) -> Vec<BTreeSet<usize>> {
    let mut by_block: BTreeMap<BlockId, BTreeSet<usize>> = BTreeMap::new();
    for pole in throwable {
        let Some(it) = energy.network.poles().get(*pole) else { continue };
        let ganged =
            energy.on.project.circuit.block(it.block).is_some_and(|block| block.kind() == Kind::Switch);
        if ganged {
            by_block.entry(it.block).or_default().insert(*pole);
        }
    }
    by_block.into_values().filter(|poles| poles.len() > 1).collect()
}

fn in_position(
    energy: &Energy<'_>,
    block: BlockId,
    at: &Positions,
    region: &BTreeSet<NodeId>,
    throwable: &BTreeSet<usize>,
    remains: &BTreeSet<Reached>,
) -> BTreeSet<usize> {
    let mut handles = handles(energy, throwable);
    handles.truncate(HANDLES_TRIED);
    let mut best: Option<(u64, BTreeSet<usize>)> = None;
    for choice in 0_u32..(1 << handles.len()) {
        let chosen = handles.iter().enumerate().filter(|(i, _)| choice & (1 << i) != 0);
        let open: BTreeSet<usize> = chosen.flat_map(|(_, poles)| poles.iter().copied()).collect();
        let (size, poles) = minimum(energy, block, at, region, throwable, remains, &open);
        let size = size + POLE * u64::from(choice.count_ones());
        if best.as_ref().is_none_or(|(so_far, _)| size < *so_far) {
            best = Some((size, poles.union(&open).copied().collect()));
        }
    }
    best.map(|(_, poles)| poles).unwrap_or_default()
}

/// Maximum flow from the sources to the block, and the cut nearest to the block.
///
/// What nothing can part is one point: so hundreds of strings on a bar are two points with one edge between.
fn minimum(
    energy: &Energy<'_>,
    block: BlockId,
    at: &Positions,
    region: &BTreeSet<NodeId>,
    throwable: &BTreeSet<usize>,
    remains: &BTreeSet<Reached>,
    open: &BTreeSet<usize>,
) -> (u64, BTreeSet<usize>) {
    let throws = |link: &Link| match link.kind {
        LinkKind::Pole(pole) => throwable.contains(&pole).then_some(pole),
        LinkKind::Run(_) | LinkKind::Solid | LinkKind::Converter => None,
    };
    let inside = |link: &&Link| region.contains(&link.a) && region.contains(&link.b);
    let mut points = Points::apart(region);
    for point in energy.network.nodes_of(block) {
        points.join(points.of(point), Points::TO);
    }
    let sources = region.iter().flat_map(|node| energy.network.sources_at(*node));
    for source in sources.filter(|source| is_true_source(source.kind)) {
        if !remains.contains(&Reached { block: source.block, kind: source.kind }) {
            points.join(points.of(source.node), Points::FROM);
        }
    }
    for link in energy.links_of(region).filter(inside) {
        if throws(link).is_none() && energy.crosses(link, at, open) == (true, true) {
            points.join(points.of(link.a), points.of(link.b));
        }
    }
    let mut edges: BTreeMap<(usize, usize), (u64, BTreeSet<usize>)> = BTreeMap::new();
    for link in energy.links_of(region).filter(inside) {
        let (a, b) = (points.of(link.a), points.of(link.b));
        let (forward, backward) = energy.crosses(link, at, open);
        let pole = throws(link);
        let capacity = pole.map_or(NEVER, |pole| weight(energy.network, pole));
        for (tail, head, crosses) in [(a, b, forward), (b, a, backward)] {
            if crosses && tail != head {
                let (sum, poles) = edges.entry((tail, head)).or_default();
                *sum = sum.saturating_add(capacity).min(NEVER);
                poles.extend(pole);
            }
        }
    }
    let mut graph: DiGraph<(), u64> = DiGraph::new();
    let mut nodes: BTreeMap<usize, NodeIndex> = BTreeMap::new();
    for point in edges.keys().flat_map(|(tail, head)| [*tail, *head]).chain(points.ends()) {
        nodes.entry(point).or_insert_with(|| graph.add_node(()));
    }
    for ((tail, head), (capacity, _)) in &edges {
        if let (Some(tail), Some(head)) = (nodes.get(tail), nodes.get(head)) {
            graph.add_edge(*tail, *head, *capacity);
        }
    }
    let [Some(from), Some(to)] = points.ends().map(|point| nodes.get(&point).copied()) else {
        return (0, BTreeSet::new());
    };
    let (flow, flows) = ford_fulkerson(&graph, from, to);
    let near = still_leading_to(&graph, &flows, to);
    let is_cut = |((tail, head), _): &(&(usize, usize), &(u64, BTreeSet<usize>))| {
        let is_near = |point| nodes.get(point).is_some_and(|node| near.contains(node));
        !is_near(tail) && is_near(head)
    };
    let poles = edges.iter().filter(is_cut).flat_map(|(_, (_, poles))| poles.iter().copied()).collect();
    (flow, poles)
}

/// Nodes that nothing can part, as one point; the block and all sources are points of their own.
struct Points {
    position: BTreeMap<NodeId, usize>,
    parent: Vec<usize>,
}

impl Points {
    const FROM: usize = 0;
    const TO: usize = 1;

    fn apart(region: &BTreeSet<NodeId>) -> Self {
        let position: BTreeMap<NodeId, usize> = region.iter().copied().zip(Self::TO + 1..).collect();
        let parent = (0..=position.len() + Self::TO).collect();
        Self { position, parent }
    }
    /// The point of a node; one that is not of the region leads nowhere.
    fn of(&self, node: NodeId) -> usize {
        self.position.get(&node).map_or(usize::MAX, |position| self.root(*position))
    }
    fn ends(&self) -> [usize; 2] {
        [Self::FROM, Self::TO].map(|end| self.root(end))
    }
    fn root(&self, start: usize) -> usize {
        let mut here = start;
        while let Some(up) = self.parent.get(here).copied()
            && up != here
        {
            here = up;
        }
        here
    }
    fn join(&mut self, a: usize, b: usize) {
        let (a, b) = (self.root(a), self.root(b));
        if a != usize::MAX
            && b != usize::MAX
            && let Some(slot) = self.parent.get_mut(a.max(b))
        {
            *slot = a.min(b);
        }
    }
}

/// A device that must not be opened under load counts a little more.
fn weight(network: &Network, pole: usize) -> u64 {
    let under_load =
        network.poles().get(pole).is_some_and(|it| it.pole.disconnects == Disconnects::UnderLoad);
    if under_load { POLE } else { POLE + 1 }
}

/// The nodes from which more could still flow to the block.
fn still_leading_to(graph: &DiGraph<(), u64>, flows: &[u64], to: NodeIndex) -> BTreeSet<NodeIndex> {
    let mut near = BTreeSet::from([to]);
    let mut waiting = vec![to];
    while let Some(node) = waiting.pop() {
        let incoming = graph.edges_directed(node, petgraph::Direction::Incoming).filter_map(|edge| {
            let used = flows.get(edge.id().index()).copied().unwrap_or(0);
            (*edge.weight() > used).then(|| edge.source())
        });
        let outgoing = graph.edges_directed(node, petgraph::Direction::Outgoing).filter_map(|edge| {
            let used = flows.get(edge.id().index()).copied().unwrap_or(0);
            (used > 0).then(|| edge.target())
        });
        let next: Vec<NodeIndex> = incoming.chain(outgoing).filter(|next| near.insert(*next)).collect();
        waiting.extend(next);
    }
    near
}

/// The cuts of several positions together may hold more than is needed.
fn drop_needless(energy: &Energy<'_>, block: BlockId, positions: &[Positions], cut: &mut Cut) {
    let enough = |open: &BTreeSet<usize>| {
        positions.iter().all(|at| {
            let fed = energy.fed_from(block, at, open);
            sources_among(energy.network, &fed).all(|source| cut.remains.contains(&source))
        })
    };
    let handles = handles(energy, &cut.poles);
    let single = cut.poles.iter().filter(|pole| !handles.iter().any(|it| it.contains(pole)));
    let things: Vec<BTreeSet<usize>> =
        handles.iter().cloned().chain(single.map(|pole| BTreeSet::from([*pole]))).collect();
    let mut left = cut.poles.clone();
    for thing in things {
        let without: BTreeSet<usize> = left.difference(&thing).copied().collect();
        if enough(&without) {
            left = without;
        }
    }
    cut.poles = left;
}
