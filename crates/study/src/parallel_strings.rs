//! Parallel battery strings: which of them have a device to themselves before they meet, and how long the cable of
//! each is until then.
//!
//! Whether they are alike and what they push into a shorted one is for the rules and the faults.

use crate::network::{LinkKind, Network, NodeId, PoleInBlock};
use crate::zones::Zone;
use lineside_core::circuit::{BlockId, Circuit};
use lineside_core::kinds::inside::{Disconnects, SourceKind};
use lineside_core::units::Meters;
use std::collections::{BTreeMap, BTreeSet};

/// One string among several.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct ParallelString {
    /// The bank.
    pub bank: BlockId,
    /// Which string of it, from 1.
    pub number: u8,
    /// Whether it has an overcurrent device to itself.
    pub device: Own,
    /// Whether it has a load-break device to itself.
    pub disconnect: Own,
    /// Conductor from its terminal until it meets something else.
    pub cable: Meters,
}

/// Whether something is a string's own.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Own {
    /// It is.
    Yes,
    /// It is shared, or there is none.
    No,
}

/// The strings of a zone; empty when there are fewer than two.
pub fn in_zone(circuit: &Circuit, network: &Network, zone: &Zone) -> Vec<ParallelString> {
    let sources = zone.sources.iter().filter_map(|index| network.sources().get(*index));
    let strings: Vec<(BlockId, u8, NodeId)> = sources
        .filter_map(|source| {
            let SourceKind::BatteryString(number) = source.kind else { return None };
            Some((source.block, number, source.node))
        })
        .collect();
    if strings.len() < 2 {
        return Vec::new();
    }
    let overcurrent = Regions::of(network, zone, |pole| pole.pole.overcurrent.is_some());
    let load_break = Regions::of(network, zone, |pole| {
        !pole.is_relay() && pole.pole.disconnects == Disconnects::UnderLoad
    });
    let nodes: Vec<NodeId> = strings.iter().map(|(_, _, node)| *node).collect();
    strings
        .iter()
        .map(|(bank, number, node)| ParallelString {
            bank: *bank,
            number: *number,
            device: overcurrent.own(*node, &nodes),
            disconnect: load_break.own(*node, &nodes),
            cable: cable(circuit, network, *node),
        })
        .collect()
}

/// Pieces of a zone between devices of a sort.
struct Regions {
    piece: BTreeMap<NodeId, usize>,
    /// For each piece the pieces beyond its devices.
    beyond: Vec<BTreeSet<usize>>,
}

impl Regions {
    fn of(network: &Network, zone: &Zone, is_device: impl Fn(&PoleInBlock) -> bool) -> Self {
        let parts = |kind: LinkKind| match kind {
            LinkKind::Pole(pole) => network.poles().get(pole).is_some_and(&is_device),
            LinkKind::Converter => true,
            LinkKind::Run(_) | LinkKind::Solid => false,
        };
        let mut piece: BTreeMap<NodeId, usize> = BTreeMap::new();
        let mut count = 0;
        for first in &zone.nodes {
            let mut waiting = vec![*first];
            while let Some(node) = waiting.pop() {
                if let std::collections::btree_map::Entry::Vacant(entry) = piece.entry(node) {
                    entry.insert(count);
                    let onward = network.links_at(node).filter(|(_, link)| !parts(link.kind));
                    waiting.extend(onward.map(|(_, link)| link.other(node)));
                }
            }
            count += 1;
        }
        let mut beyond = vec![BTreeSet::new(); count];
        for node in &zone.nodes {
            for (_, link) in network.links_at(*node) {
                let other = link.other(*node);
                if let (Some(here), Some(there)) = (piece.get(node), piece.get(&other))
                    && here != there
                    && link.kind != LinkKind::Converter
                    && let Some(set) = beyond.get_mut(*here)
                {
                    set.insert(*there);
                }
            }
        }
        Self { piece, beyond }
    }

    /// A device is a string's own when nothing but that string stands on its side. Where two strings have one device
    /// between them, it belongs to the one that has nothing else beside it.
    fn own(&self, node: NodeId, strings: &[NodeId]) -> Own {
        let Some(here) = self.piece.get(&node) else { return Own::No };
        let in_piece = |piece: &usize| strings.iter().filter(|it| self.piece.get(it) == Some(piece)).count();
        let Some(beyond) = self.beyond.get(*here) else { return Own::No };
        let meets_a_string = beyond.iter().any(|piece| in_piece(piece) > 0);
        let alone = in_piece(here) == 1 && !beyond.is_empty() && !(beyond.len() > 1 && meets_a_string);
        if alone { Own::Yes } else { Own::No }
    }
}

/// Conductor from a string outward as long as the way does not branch.
fn cable(circuit: &Circuit, network: &Network, from: NodeId) -> Meters {
    let mut length = Meters::ZERO;
    let (mut came_by, mut node) = (None, from);
    for _ in 0..network.link_count() {
        let mut onward = network.links_at(node).filter(|(id, link)| {
            Some(*id) != came_by && link.kind != LinkKind::Converter && link.a != link.b
        });
        let (Some((id, link)), None) = (onward.next(), onward.next()) else { break };
        if let LinkKind::Run(run) = link.kind {
            let conductor = circuit.run(run).and_then(|run| run.conductor.as_ref());
            length += conductor.map_or(Meters::ZERO, |conductor| conductor.length);
        }
        came_by = Some(id);
        node = link.other(node);
    }
    length
}
