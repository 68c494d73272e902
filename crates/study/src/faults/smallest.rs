//! The smallest fault: what a short circuit at the end of a run draws from an old and empty battery through
//! warm conductors, and whether a device on the way surely opens.
//!
//! Sun and chargers are absent. From the fault the walk goes up every way on which current comes, as the
//! network splits it, to the batteries; on each way the device that is surest to open counts.

use super::meshed_flow::{self, Flow};
use super::prospective::{Assumed, Assumption};
use super::sources::{ResistanceFrom, Resistances, Resists, battery_string};
use crate::conditions::Conditions;
use crate::network::{Link, LinkId, LinkKind, Network, NodeId, PoleInBlock};
use crate::ratings::Ratings;
use crate::tree::{self, Cut, Cuts, Sum};
use crate::zones::{ZoneKind, Zones};
use lineside_codes::FactorKey;
use lineside_core::circuit::{BlockId, RunId, Side};
use lineside_core::kinds::Equipment;
use lineside_core::kinds::breaker::Breaker;
use lineside_core::kinds::fuse::Fuse;
use lineside_core::kinds::inside::SourceKind;
use lineside_core::units::{Amps, Ohms, Volts};
use std::collections::BTreeMap;

/// A battery as the smallest fault finds it: a current beside a conductance.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub(super) struct Weak {
    pub amps: f64,
    pub siemens: f64,
    estimated: bool,
}

impl Sum for Weak {
    fn add(&mut self, other: &Self) {
        self.amps += other.amps;
        self.siemens += other.siemens;
        self.estimated |= other.estimated;
    }
}

impl Weak {
    fn through(mut self, ohms: Ohms) -> Self {
        let weakened = 1.0 + self.siemens * ohms.value();
        self.amps /= weakened;
        self.siemens /= weakened;
        self
    }
}

/// The way on which the least sure device stands, between a battery and the end of a run.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct SmallestFault {
    /// Position of the device's pole in [`Network::poles`].
    pub device: usize,
    /// What the smallest fault drives through it.
    pub current: Amps,
    /// What it needs to open within the time.
    pub needed: Amps,
    /// The battery that feeds it.
    pub battery: BlockId,
    /// What was assumed.
    pub assumed: Assumed,
}

impl SmallestFault {
    fn share(&self) -> f64 {
        self.current / self.needed
    }
}

/// The smallest faults at the ends of runs. Ends that no battery feeds through a device are not listed.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct SmallestFaults {
    ends: BTreeMap<(RunId, Side), SmallestFault>,
}

impl SmallestFaults {
    /// At one end of a run.
    pub fn at(&self, run: RunId, side: Side) -> Option<&SmallestFault> {
        self.ends.get(&(run, side))
    }
    /// At every end, in the order of runs.
    pub fn all(&self) -> impl Iterator<Item = (RunId, Side, &SmallestFault)> {
        self.ends.iter().map(|((run, side), fault)| (*run, *side, fault))
    }
}

/// Finds the smallest fault at both ends of every run of the battery buses.
pub fn smallest_faults(
    on: &Conditions<'_>,
    network: &Network,
    zones: &Zones,
    ratings: &Ratings,
) -> SmallestFaults {
    let resistances = Resistances::warm(network, ratings, on);
    let own = batteries(on, network);
    let on_bus = |node| zones.kind_of(node) == Some(ZoneKind::Battery);
    let passes = |_: LinkId, link: &Link| link.kind != LinkKind::Converter && on_bus(link.a);
    let through = |link: LinkId, side: Weak| side.through(resistances.ohms(link));
    let cuts = tree::cuts(network, passes, through, &own);
    let search = Search { on, network, resistances: &resistances, own: &own, cuts: &cuts };
    let meshed = search.meshed_zones(zones, &passes);
    // Runs that end at one point have the same fault there.
    let mut at_node: BTreeMap<NodeId, Option<SmallestFault>> = BTreeMap::new();
    let mut found = SmallestFaults::default();
    for run in on.project.circuit.runs().filter(|run| run.conductor.is_some()) {
        for (side, end) in run.ends() {
            let Some(node) = network.at(end).filter(|node| on_bus(*node)) else {
                continue;
            };
            let in_mesh = zones.of(node).and_then(|zone| meshed.get(zone.index())) == Some(&true);
            let weakest = *at_node.entry(node).or_insert_with(|| {
                if in_mesh {
                    let flows = meshed_flow::flows(network, &passes, &resistances, &own, node);
                    flows.and_then(|flows| search.weakest(node, &passes, |id, _, _| flows.of(id)))
                } else {
                    search.weakest(node, &passes, |id, here, volts| search.flow(id, here, volts))
                }
            });
            found.ends.extend(weakest.map(|weakest| ((run.id, side), weakest)));
        }
    }
    found
}

/// Every battery string, old and empty, at its node.
fn batteries(on: &Conditions<'_>, network: &Network) -> Vec<Weak> {
    let mut own = vec![Weak::default(); network.node_count()];
    let older = on.number(FactorKey::OldBatteryResistance);
    for source in network.sources() {
        let (SourceKind::BatteryString(_), Some(block)) =
            (source.kind, on.project.circuit.block(source.block))
        else {
            continue;
        };
        let Equipment::BatteryBank(bank) = &block.equipment else { continue };
        let string = battery_string(on, bank);
        let voltage: Volts = bank.empty_volts() * f64::from(bank.cells());
        let resistance = string.plain_resistance * older;
        let weak = Weak {
            amps: (voltage / resistance).value(),
            siemens: 1.0 / resistance.value(),
            estimated: string.from == ResistanceFrom::Estimate,
        };
        if let Some(slot) = own.get_mut(source.node.index()) {
            slot.add(&weak);
        }
    }
    own
}

/// What needs to be known to look for the ways to the batteries.
struct Search<'a> {
    on: &'a Conditions<'a>,
    network: &'a Network,
    resistances: &'a Resistances,
    own: &'a [Weak],
    cuts: &'a Cuts<'a, Weak>,
}

/// Where the walk stands: at a node, on which link it came, at what voltage, past which device.
#[derive(Clone, Copy)]
struct Stand {
    node: NodeId,
    came_by: Option<LinkId>,
    volts: f64,
    best: Option<SmallestFault>,
    assumed: Assumed,
}

impl Search<'_> {
    /// For each zone whether runs form a ring in it.
    fn meshed_zones(&self, zones: &Zones, passes: &impl Fn(LinkId, &Link) -> bool) -> Vec<bool> {
        let mut meshed = vec![false; zones.count()];
        for (id, link) in self.network.links().filter(|(id, link)| link.a != link.b && passes(*id, link)) {
            if self.cuts.is_ring(id)
                && let Some(slot) = zones.of(link.a).and_then(|zone| meshed.get_mut(zone.index()))
            {
                *slot = true;
            }
        }
        meshed
    }

    /// What comes over a link that parts the network, toward a node that stands at a voltage.
    fn flow(&self, id: LinkId, here: NodeId, volts: f64) -> Flow {
        let (Some(link), Cut::Bridge(a, b)) = (self.network.link(id), self.cuts.of(id)) else {
            return Flow::Nothing;
        };
        let far = if link.a == here { b } else { a };
        let ohms = self.resistances.ohms(id);
        let seen = far.through(ohms);
        let amps = seen.amps - seen.siemens * volts;
        if amps > 0.0 { Flow::Amps { amps, volts: volts + amps * ohms.value() } } else { Flow::Nothing }
    }

    /// Over all ways to a battery the one whose surest device is the least sure; `None` when none has a device.
    fn weakest(
        &self,
        fault: NodeId,
        passes: &impl Fn(LinkId, &Link) -> bool,
        flow: impl Fn(LinkId, NodeId, f64) -> Flow,
    ) -> Option<SmallestFault> {
        let mut weakest: Option<SmallestFault> = None;
        let mut passed: BTreeMap<LinkId, f64> = BTreeMap::new();
        let start = Stand { node: fault, came_by: None, volts: 0.0, best: None, assumed: Assumed::default() };
        let mut waiting = vec![start];
        while let Some(stand) = waiting.pop() {
            self.note_battery(&stand, &mut weakest);
            for (id, link) in self.network.links_at(stand.node) {
                if Some(id) == stand.came_by || link.a == link.b || !passes(id, link) {
                    continue;
                }
                let (amps, volts) = match flow(id, stand.node, stand.volts) {
                    Flow::Nothing => continue,
                    Flow::Amps { amps, volts } => (amps, volts),
                    Flow::Unknown { volts } => (0.0, volts),
                };
                let mut next = Stand { node: link.other(stand.node), came_by: Some(id), volts, ..stand };
                if self.resistances.at(id) == Resists::Unknown {
                    next.assumed = next.assumed.and(Assumed::only(Assumption::RunResistance));
                }
                if let Some(pole) = self.network.pole_of(link) {
                    next.best = surer(stand.best, self.device(link, pole, Amps::new(amps)));
                }
                // Another way to the same link matters only when its devices are less sure.
                let share = next.best.map_or(0.0, |best| best.share());
                if passed.get(&id).is_none_or(|before| share < *before) {
                    passed.insert(id, share);
                    waiting.push(next);
                }
            }
        }
        weakest
    }

    /// A battery that gives current ends the way.
    fn note_battery(&self, stand: &Stand, weakest: &mut Option<SmallestFault>) {
        let Some(own) = self.own.get(stand.node.index()) else { return };
        if own.amps - own.siemens * stand.volts <= 0.0 {
            return;
        }
        let (Some(best), Some(node)) = (stand.best, self.network.node(stand.node)) else { return };
        let estimate = Assumed::only(Assumption::BatteryResistance);
        let assumed = if own.estimated { stand.assumed.and(estimate) } else { stand.assumed };
        let here = SmallestFault { battery: node.block, assumed, ..best };
        if weakest.is_none_or(|so_far| here.share() < so_far.share()) {
            *weakest = Some(here);
        }
    }

    /// The device of a pole with what flows through it; `None` when it is no overcurrent device.
    fn device(&self, link: &Link, pole: &PoleInBlock, current: Amps) -> Option<SmallestFault> {
        let LinkKind::Pole(device) = link.kind else { return None };
        let rating = pole.pole.overcurrent?;
        let block = self.on.project.circuit.block(pole.block)?;
        let breaker = block.equipment.as_kind::<Breaker>().and_then(|it| it.five_second_current);
        let by_curve = block.equipment.as_kind::<Fuse>().and_then(|it| it.five_second_current).or(breaker);
        let needed = by_curve.unwrap_or_else(|| rating * self.on.number(FactorKey::FaultClears));
        Some(SmallestFault { device, current, needed, battery: pole.block, assumed: Assumed::default() })
    }
}

fn surer(a: Option<SmallestFault>, b: Option<SmallestFault>) -> Option<SmallestFault> {
    match (a, b) {
        (Some(a), Some(b)) => Some(if b.share() > a.share() { b } else { a }),
        (a, b) => a.or(b),
    }
}
