//! Isolation: what must be thrown to make a block dead, from every source.
//!
//! [`study`] asks of every block whether a source is reached without passing a disconnecting means, in one pass
//! over the whole network. [`of`] finds, for one block, the fewest things to throw, their order, what stays live
//! and the way back; [`sources_reaching`] walks the network with such devices open, as a proof.

mod cut;
mod energy;
mod order;

use crate::conditions::Conditions;
use crate::currents::Currents;
use crate::network::{LinkKind, Network, NodeId, PoleInBlock};
use crate::ways;
use crate::zones::{ZoneKind, Zones};
use energy::Energy;
use lineside_codes::FactorKey;
use lineside_codes::resistance::CurrentKind;
use lineside_core::circuit::{Block, BlockId};
use lineside_core::kinds::Equipment;
use lineside_core::kinds::fuse::{Fuse, FuseMount};
use lineside_core::kinds::inside::{Disconnects, SourceKind};
use lineside_core::kinds::strings::Strings;
use lineside_core::units::Amps;
use std::collections::{BTreeMap, VecDeque};

pub use cut::sources_reaching;
pub use order::{Live, Purpose, Role, Step, SwitchingOrder, of};

/// A source of energy that is no converter.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub struct Reached {
    /// The block.
    pub block: BlockId,
    /// What it is.
    pub kind: SourceKind,
}

/// Whether a pole, by its position in [`Network::poles`], can be opened by hand and stays open.
pub fn can_be_thrown(on: &Conditions<'_>, network: &Network, zones: &Zones, pole: usize) -> bool {
    Energy { on, network, zones }.can_be_thrown(pole)
}

/// For every block that is ever opened for service, the source that is reached without passing a
/// disconnecting means.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Isolation {
    blocks: BTreeMap<BlockId, Option<Reached>>,
}

impl Isolation {
    /// Every block that is ever opened, in the order of ids, with what still reaches it.
    pub fn all(&self) -> impl Iterator<Item = (BlockId, Option<Reached>)> {
        self.blocks.iter().map(|(block, reached)| (*block, *reached))
    }
}

/// Asks of every block that is ever opened. Energy crosses converters in the direction in which they work.
pub fn study(on: &Conditions<'_>, network: &Network, zones: &Zones, currents: &Currents) -> Isolation {
    let means = Means { on, network, zones, currents };
    let mut parent: Vec<usize> = (0..network.node_count()).collect();
    for (_, link) in network.links() {
        let joins = match link.kind {
            LinkKind::Run(_) | LinkKind::Solid => true,
            LinkKind::Pole(pole) => !means.disconnects(pole),
            LinkKind::Converter => false,
        };
        if joins {
            let (a, b) = (root(&mut parent, link.a.index()), root(&mut parent, link.b.index()));
            if let Some(slot) = parent.get_mut(a.max(b)) {
                *slot = a.min(b);
            }
        }
    }
    let piece = |node: NodeId, parent: &mut [usize]| root(parent, node.index());
    let mut fed: Vec<Option<Reached>> = vec![None; network.node_count()];
    let mut waiting = VecDeque::new();
    for source in network.sources().iter().filter(|source| energy::is_true_source(source.kind)) {
        let here = piece(source.node, &mut parent);
        if let Some(slot @ None) = fed.get_mut(here) {
            *slot = Some(Reached { block: source.block, kind: source.kind });
            waiting.push_back(here);
        }
    }
    let energy = Energy { on, network, zones };
    let mut onward: BTreeMap<usize, Vec<usize>> = BTreeMap::new();
    for (_, link) in network.links().filter(|(_, link)| link.kind == LinkKind::Converter) {
        let (forward, backward) = energy.converts(link);
        let (a, b) = (piece(link.a, &mut parent), piece(link.b, &mut parent));
        for (from, to, crosses) in [(a, b, forward), (b, a, backward)] {
            if crosses {
                onward.entry(from).or_default().push(to);
            }
        }
    }
    while let Some(here) = waiting.pop_front() {
        let reached = fed.get(here).copied().flatten();
        for next in onward.get(&here).into_iter().flatten() {
            if let Some(slot @ None) = fed.get_mut(*next) {
                *slot = reached;
                waiting.push_back(*next);
            }
        }
    }
    let mut found = Isolation::default();
    for block in on.project.circuit.blocks().filter(|block| is_ever_opened(network, on, block)) {
        let reached = points_to_touch(network, block)
            .into_iter()
            .find_map(|node| fed.get(piece(node, &mut parent)).copied().flatten());
        found.blocks.insert(block.id, reached);
    }
    found
}

fn root(parent: &mut [usize], start: usize) -> usize {
    let mut here = start;
    while let Some(up) = parent.get(here).copied()
        && up != here
    {
        let above = parent.get(up).copied().unwrap_or(up);
        if let Some(slot) = parent.get_mut(here) {
            *slot = above;
        }
        here = above;
    }
    here
}

/// Which poles count as disconnecting means.
struct Means<'a> {
    on: &'a Conditions<'a>,
    network: &'a Network,
    zones: &'a Zones,
    currents: &'a Currents,
}

impl Means<'_> {
    /// It opens under load, or without load in a circuit of a small current. The positions of a transfer switch do
    /// not count: one of them is always closed.
    fn disconnects(&self, index: usize) -> bool {
        let Some(pole) = self.network.poles().get(index) else { return false };
        if pole.is_relay() || pole.pole.throw.is_some() {
            return false;
        }
        let current = current_kind(self.network, self.zones, pole);
        ways::opens(pole, current, Disconnects::UnderLoad)
            || ways::opens(pole, current, Disconnects::WithoutLoad) && self.is_small(pole)
    }

    /// Connectors of strings carry the current of one string each.
    fn is_small(&self, pole: &PoleInBlock) -> bool {
        let limit: Amps = self.on.quantity(FactorKey::IsolatingDeviceCurrent);
        let block = self.on.project.circuit.block(pole.block);
        if let Some(strings) = block.and_then(|block| block.equipment.as_kind::<Strings>()) {
            return strings.greatest_short_circuit_current() * self.on.number(FactorKey::PvCurrent) <= limit;
        }
        let Some(link) = self.network.link(pole.link) else { return false };
        let runs = [link.a, link.b].into_iter().flat_map(|node| self.network.links_at(node));
        let mut known = runs.filter_map(|(_, link)| match link.kind {
            LinkKind::Run(run) => self.currents.greatest(run),
            LinkKind::Pole(_) | LinkKind::Solid | LinkKind::Converter => None,
        });
        known.any(|current| current <= limit)
    }
}

/// Which kind of current a pole stands in.
pub(crate) fn current_kind(network: &Network, zones: &Zones, pole: &PoleInBlock) -> CurrentKind {
    let zone = network.link(pole.link).and_then(|link| zones.kind_of(link.a));
    if zone == Some(ZoneKind::Ac) { CurrentKind::Alternating } else { CurrentKind::Direct }
}

/// Converters, combiners, bars, panels, meters and DC loads; of the fuses those that are bolted, except the first
/// device at a battery.
fn is_ever_opened(network: &Network, on: &Conditions<'_>, block: &Block) -> bool {
    match &block.equipment {
        Equipment::ChargeController(_)
        | Equipment::Inverter(_)
        | Equipment::DcConverter(_)
        | Equipment::Combiner(_)
        | Equipment::BusBar(_)
        | Equipment::AcPanel(_)
        | Equipment::Meter(_)
        | Equipment::DcLoad(_) => true,
        Equipment::Fuse(fuse) => is_bolted(fuse) && !is_first_at_a_battery(network, on, block.id),
        Equipment::Strings(_)
        | Equipment::BatteryBank(_)
        | Equipment::Breaker(_)
        | Equipment::Switch(_)
        | Equipment::Junction(_)
        | Equipment::Generator(_)
        | Equipment::Utility(_)
        | Equipment::TransferSwitch(_)
        | Equipment::SurgeArrester(_)
        | Equipment::GroundFaultDevice(_)
        | Equipment::ShutdownInitiator(_)
        | Equipment::ShutdownReceiver(_)
        | Equipment::Electrode(_)
        | Equipment::BondingJumper(_) => false,
    }
}

fn is_bolted(fuse: &Fuse) -> bool {
    fuse.mount == FuseMount::BoltDown
}

fn is_first_at_a_battery(network: &Network, on: &Conditions<'_>, block: BlockId) -> bool {
    let is_battery = |node: &NodeId| {
        network
            .sources()
            .iter()
            .any(|source| source.node == *node && matches!(source.kind, SourceKind::BatteryString(_)))
    };
    let ends = [0, 1].into_iter().filter_map(|point| network.point(block, point));
    ends.into_iter().any(|end| {
        let is_device = |pole: &PoleInBlock| pole.pole.overcurrent.is_some();
        ways::from(&on.project.circuit, network, end, is_device).passed.iter().any(is_battery)
    })
}

/// Everything of a block that is touched when it is opened. The lugs ahead of a panel's main breaker stay covered.
fn points_to_touch(network: &Network, block: &Block) -> Vec<NodeId> {
    let has_main = matches!(&block.equipment, Equipment::AcPanel(panel) if panel.main_rating.is_some());
    network.nodes_of(block.id).skip(usize::from(has_main)).collect()
}
