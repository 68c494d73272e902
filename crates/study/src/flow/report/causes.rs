//! Why a point is dead: for each source of its zone, the first open device on the way to it, and what ails the source.

use crate::flow::doing::{Cause, SourceFlow};
use crate::network::{LinkKind, Network, NodeId};
use crate::zones::Zones;
use std::collections::VecDeque;

/// The causes, in the order of sources. The walk goes through closed contacts first, then through open ones, so that it
/// tells of as few open devices as possible.
pub(super) fn of(
    network: &Network,
    zones: &Zones,
    closed: &[bool],
    sources: &[SourceFlow],
    start: NodeId,
) -> Vec<Cause> {
    let Some(zone) = zones.of(start).and_then(|zone| zones.get(zone)) else { return Vec::new() };
    // Nodes of a zone stand in order.
    let position = |node: NodeId| zone.nodes.binary_search(&node).ok();
    let mut reached: Vec<Option<(u32, Option<usize>)>> = vec![None; zone.nodes.len()];
    let mut waiting: VecDeque<(NodeId, u32, Option<usize>)> = VecDeque::from([(start, 0, None)]);
    while let Some((node, opened, first)) = waiting.pop_front() {
        let Some(slot) = position(node).and_then(|at| reached.get_mut(at)) else { continue };
        if slot.is_some() {
            continue;
        }
        *slot = Some((opened, first));
        for (_, link) in network.links_at(node) {
            let other = link.other(node);
            match link.kind {
                LinkKind::Converter => {}
                LinkKind::Pole(pole) if !closed.get(pole).copied().unwrap_or(false) => {
                    waiting.push_back((other, opened + 1, first.or(Some(pole))));
                }
                LinkKind::Run(_) | LinkKind::Solid | LinkKind::Pole(_) => {
                    waiting.push_front((other, opened, first));
                }
            }
        }
    }
    let causes = zone.sources.iter().filter_map(|i| {
        let node = network.sources().get(*i)?.node;
        let (_, open) = position(node).and_then(|at| reached.get(at).copied().flatten())?;
        let flow = sources.get(*i)?;
        Some(Cause { source: flow.block, kind: flow.kind, doing: flow.doing, open })
    });
    causes.collect()
}
