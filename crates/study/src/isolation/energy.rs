//! How energy can cross the links of a network, in a position of the transfer switches.

use crate::conditions::Conditions;
use crate::network::{Link, LinkKind, Network, NodeId, PoleInBlock};
use crate::ways;
use crate::zones::Zones;
use lineside_core::circuit::BlockId;
use lineside_core::kinds::charge_controller::ChargeController;
use lineside_core::kinds::common::Position;
use lineside_core::kinds::inside::{Disconnects, SourceKind};
use lineside_core::kinds::inverter::Inverter;
use lineside_core::kinds::transfer_switch::{Interlock, TransferSwitch};
use lineside_core::units::Amps;
use std::collections::{BTreeMap, BTreeSet};

/// Whether a source makes energy and does not only convert it.
pub(super) const fn is_true_source(kind: SourceKind) -> bool {
    matches!(
        kind,
        SourceKind::Strings | SourceKind::BatteryString(_) | SourceKind::Generator | SourceKind::Utility
    )
}

/// The position of each transfer switch: which of its throws is closed.
pub(super) type Positions = BTreeMap<BlockId, u8>;

/// Up to so many transfer switches every combination of their positions is gone through.
const SWITCHES_COMBINED: usize = 4;

/// The ways of energy.
#[derive(Clone, Copy)]
pub(super) struct Energy<'a> {
    pub on: &'a Conditions<'a>,
    pub network: &'a Network,
    pub zones: &'a Zones,
}

impl<'a> Energy<'a> {
    /// Whether a converter passes energy from its `a` to its `b`, and back.
    pub fn converts(&self, link: &Link) -> (bool, bool) {
        let block = self.network.node(link.a).and_then(|node| self.on.project.circuit.block(node.block));
        let Some(block) = block else { return (true, true) };
        let leaks = block
            .equipment
            .as_kind::<ChargeController>()
            .is_some_and(|it| it.backfeed_current.is_some_and(|amps| amps > Amps::ZERO));
        let charges = block.equipment.as_kind::<Inverter>().is_some_and(|it| it.charger_current.is_some());
        (true, leaks || charges)
    }

    /// Whether a pole can be opened by hand and stays open.
    pub fn can_be_thrown(&self, pole: usize) -> bool {
        self.opens(pole, Disconnects::WithoutLoad)
    }
    /// Whether it can be opened by hand while current flows.
    pub fn opens_under_load(&self, pole: usize) -> bool {
        self.opens(pole, Disconnects::UnderLoad)
    }

    fn opens(&self, pole: usize, how: Disconnects) -> bool {
        let Some(it) = self.network.poles().get(pole) else { return false };
        let current = super::current_kind(self.network, self.zones, it);
        !it.is_relay() && it.pole.throw.is_none() && ways::opens(it, current, how)
    }

    /// The links that begin at one of some nodes.
    pub fn links_of(&self, nodes: &BTreeSet<NodeId>) -> impl Iterator<Item = &'a Link> {
        let network = self.network;
        let at = |node: &NodeId| {
            let node = *node;
            network.links_at(node).map(|(_, link)| link).filter(move |link| link.a == node)
        };
        nodes.iter().flat_map(at)
    }
    /// The poles that begin at one of some nodes, with their positions in [`Network::poles`].
    pub fn poles_of(&self, nodes: &BTreeSet<NodeId>) -> impl Iterator<Item = (usize, &'a PoleInBlock)> {
        let network = self.network;
        self.links_of(nodes).filter_map(move |link| match link.kind {
            LinkKind::Pole(pole) => Some((pole, network.poles().get(pole)?)),
            LinkKind::Run(_) | LinkKind::Solid | LinkKind::Converter => None,
        })
    }

    /// Whether energy passes a link from its `a` to its `b`, and back, with some poles open.
    pub fn crosses(&self, link: &Link, positions: &Positions, open: &BTreeSet<usize>) -> (bool, bool) {
        match link.kind {
            LinkKind::Run(_) | LinkKind::Solid => (true, true),
            LinkKind::Converter => self.converts(link),
            LinkKind::Pole(pole) => {
                let closed = !open.contains(&pole) && self.is_closed_in(pole, positions);
                (closed, closed)
            }
        }
    }

    /// Relays close by themselves, whatever is drawn.
    fn is_closed_in(&self, pole: usize, positions: &Positions) -> bool {
        let Some(it) = self.network.poles().get(pole) else { return true };
        match (it.pole.throw, positions.get(&it.block)) {
            (Some(throw), Some(closed)) if !it.is_relay() => throw == *closed,
            _ => true,
        }
    }

    /// Every node from which energy can come to a block, whatever is thrown.
    pub fn upstream(&self, block: BlockId) -> BTreeSet<NodeId> {
        self.fed_from(block, &Positions::new(), &BTreeSet::new())
    }

    /// Every node from which energy comes to a block, in a position and with some poles open.
    pub fn fed_from(
        &self,
        block: BlockId,
        positions: &Positions,
        open: &BTreeSet<usize>,
    ) -> BTreeSet<NodeId> {
        let own = self.network.nodes_of(block);
        let mut waiting: Vec<NodeId> = own.collect();
        let mut seen: BTreeSet<NodeId> = waiting.iter().copied().collect();
        while let Some(node) = waiting.pop() {
            for (_, link) in self.network.links_at(node) {
                let (forward, backward) = self.crosses(link, positions, open);
                let comes = if link.b == node { forward } else { backward };
                if comes && seen.insert(link.other(node)) {
                    waiting.push(link.other(node));
                }
            }
        }
        seen
    }

    /// Every combination of positions of the interlocked transfer switches among some nodes: with many, the drawn
    /// one and those that differ in one switch.
    pub fn positions(&self, nodes: &BTreeSet<NodeId>) -> Vec<Positions> {
        let mut drawn = Positions::new();
        let poles: BTreeMap<usize, &PoleInBlock> =
            self.poles_of(nodes).filter(|(_, it)| !it.is_relay() && it.pole.throw.is_some()).collect();
        for it in poles.into_values() {
            let block = self.on.project.circuit.block(it.block);
            let interlocked = block
                .and_then(|block| block.equipment.as_kind::<TransferSwitch>())
                .is_some_and(|it| it.interlock == Interlock::Mechanical);
            if let (Some(throw), true) = (it.pole.throw, interlocked) {
                let closed = it.pole.position == Position::Closed;
                drawn
                    .entry(it.block)
                    .and_modify(|at| *at = if closed { throw } else { *at })
                    .or_insert(throw);
            }
        }
        let other = |throw: u8| if throw == 1 { 2 } else { 1 };
        let mut all = vec![drawn.clone()];
        for (block, throw) in &drawn {
            let changed = |at: &Positions| {
                let mut at = at.clone();
                at.insert(*block, other(*throw));
                at
            };
            if drawn.len() <= SWITCHES_COMBINED {
                let thrown: Vec<Positions> = all.iter().map(changed).collect();
                all.extend(thrown);
            } else {
                all.push(changed(&drawn));
            }
        }
        all
    }
}
