//! The fewest poles that cut a block off from every source: a minimum cut on the ways of energy.
//!
//! A pole that is opened by hand counts one, everything else cannot be cut. Poles on one handle count once:
//! every choice of such handles is tried. Of several cuts of the same size the one nearest to the block is taken,
//! with as few devices as possible that must not be opened under load.

use super::Reached;
use super::energy::{Energy, Positions, is_true_source};
use crate::conditions::Conditions;
use crate::network::{LinkKind, Network, NodeId};
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
    drop_needless(energy, block, &positions, &mut cut);
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
fn minimum(
    energy: &Energy<'_>,
    block: BlockId,
    at: &Positions,
    region: &BTreeSet<NodeId>,
    throwable: &BTreeSet<usize>,
    remains: &BTreeSet<Reached>,
    open: &BTreeSet<usize>,
) -> (u64, BTreeSet<usize>) {
    let mut graph: DiGraph<(), u64> = DiGraph::new();
    let (from, to) = (graph.add_node(()), graph.add_node(()));
    let nodes: BTreeMap<NodeId, NodeIndex> = region.iter().map(|node| (*node, graph.add_node(()))).collect();
    for point in energy.network.nodes_of(block) {
        if let Some(node) = nodes.get(&point) {
            graph.add_edge(*node, to, NEVER);
        }
    }
    let sources = region.iter().flat_map(|node| energy.network.sources_at(*node));
    for source in sources.filter(|source| is_true_source(source.kind)) {
        let still = remains.contains(&Reached { block: source.block, kind: source.kind });
        if let (Some(node), false) = (nodes.get(&source.node), still) {
            graph.add_edge(from, *node, NEVER);
        }
    }
    let mut pole_of_edge: BTreeMap<usize, usize> = BTreeMap::new();
    for link in energy.links_of(region) {
        let (Some(a), Some(b)) = (nodes.get(&link.a), nodes.get(&link.b)) else { continue };
        let (forward, backward) = energy.crosses(link, at, open);
        let pole = match link.kind {
            LinkKind::Pole(pole) => throwable.contains(&pole).then_some(pole),
            LinkKind::Run(_) | LinkKind::Solid | LinkKind::Converter => None,
        };
        let capacity = pole.map_or(NEVER, |pole| weight(energy.network, pole));
        for (tail, head, crosses) in [(a, b, forward), (b, a, backward)] {
            if crosses {
                let edge = graph.add_edge(*tail, *head, capacity);
                pole_of_edge.extend(pole.map(|pole| (edge.index(), pole)));
            }
        }
    }
    let (flow, flows) = ford_fulkerson(&graph, from, to);
    let near = still_leading_to(&graph, &flows, to);
    let cut = graph
        .edge_references()
        .filter(|edge| !near.contains(&edge.source()) && near.contains(&edge.target()));
    let poles = cut.filter_map(|edge| pole_of_edge.get(&edge.id().index()).copied()).collect();
    (flow, poles)
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
