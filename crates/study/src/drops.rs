//! Drops: how much voltage is lost along each path that matters, from source to where it is used.
//!
//! Warm conductors, both poles. Fault currents, with cold ones, are not here.

use crate::arrangements::{Arrangements, Relays};
use crate::conditions::Conditions;
use crate::currents::Currents;
use crate::network::{Link, LinkId, LinkKind, Network, NodeId};
use crate::ratings::Ratings;
use crate::tally::{Port, inverter_input_current};
use crate::tree::{self, Cut, Cuts, Sum};
use crate::zones::{Zone, ZoneKind, Zones};
use lineside_core::circuit::{BlockId, RunId};
use lineside_core::kinds::Equipment;
use lineside_core::kinds::ac_panel::AcPanel;
use lineside_core::kinds::generator::Generator;
use lineside_core::kinds::inside::{SinkKind, SourceKind};
use lineside_core::kinds::inverter::Inverter;
use lineside_core::units::{Amps, Ohms, Percent, Volts};
use std::collections::BTreeMap;

/// What a path joins.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum PathKind {
    /// Strings to a controller, at maximum power and 25 °C.
    StringsToController,
    /// A controller to the bus, at its output current.
    ControllerToBus,
    /// The bank to an inverter, at the inverter's greatest current.
    BankToInverter,
    /// The bus to DC loads.
    BusToLoads,
    /// An AC source to a panel or to an inverter's input.
    AcSource,
}

/// One run of a path.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Leg {
    /// The run.
    pub run: RunId,
    /// The current that counts here.
    pub current: Amps,
    /// Resistance of both poles, warm; of three-phase circuits the square root of three times that of one conductor.
    pub resistance: Ohms,
}

/// The voltage lost along a path.
#[derive(Clone, Debug, PartialEq)]
pub struct PathDrop {
    /// What it joins.
    pub kind: PathKind,
    /// The block at its beginning.
    pub from: BlockId,
    /// The block at its end.
    pub to: BlockId,
    /// Its runs, in order.
    pub legs: Vec<Leg>,
    /// The voltage lost.
    pub drop: Volts,
    /// The voltage of which it is a share.
    pub of: Volts,
    /// The share.
    pub share: Percent,
}

/// Every path of every zone.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Drops {
    paths: Vec<PathDrop>,
    /// Position of the first path to a block.
    by_end: BTreeMap<(BlockId, PathKind), usize>,
}

impl Drops {
    /// Every path, in the order of zones.
    pub fn all(&self) -> &[PathDrop] {
        &self.paths
    }
    /// The path that ends at a block.
    pub fn to(&self, block: BlockId, kind: PathKind) -> Option<&PathDrop> {
        self.paths.get(*self.by_end.get(&(block, kind))?)
    }
}

#[derive(Clone, Copy, Debug, Default, PartialEq)]
struct MaxPower(Amps);

impl Sum for MaxPower {
    fn add(&mut self, other: &Self) {
        self.0 += other.0;
    }
}

struct Paths<'a> {
    on: &'a Conditions<'a>,
    network: &'a Network,
    currents: &'a Currents,
    ratings: &'a Ratings,
    arrangements: Arrangements,
    /// Maximum-power current on either side of each link.
    max_power: Cuts<'a, MaxPower>,
    found: Vec<PathDrop>,
}

/// Finds the drop along every path. A path with a run whose resistance is not known is left out.
pub fn study(
    on: &Conditions<'_>,
    network: &Network,
    zones: &Zones,
    currents: &Currents,
    ratings: &Ratings,
) -> Drops {
    let arrangements = Arrangements::of(network, zones, Relays::Open);
    let own = max_power_at_nodes(on, network);
    let passes = |_: LinkId, link: &Link| arrangements.passes(network, link.kind, 0);
    let max_power = tree::cuts(network, passes, |_, sum| sum, &own);
    let mut paths = Paths { on, network, currents, ratings, arrangements, max_power, found: Vec::new() };
    for (_, zone) in zones.all() {
        match zone.kind {
            ZoneKind::Pv => paths.pv(zone),
            ZoneKind::Battery => paths.battery(zone),
            ZoneKind::Ac => paths.ac(zone),
            ZoneKind::Earth | ZoneKind::Unknown | ZoneKind::Mixed => {}
        }
    }
    let mut by_end = BTreeMap::new();
    for (i, path) in paths.found.iter().enumerate() {
        by_end.entry((path.to, path.kind)).or_insert(i);
    }
    Drops { paths: paths.found, by_end }
}

fn max_power_at_nodes(on: &Conditions<'_>, network: &Network) -> Vec<MaxPower> {
    let mut own = vec![MaxPower::default(); network.node_count()];
    for source in network.sources().iter().filter(|source| source.kind == SourceKind::Strings) {
        if let Some(Equipment::Strings(it)) =
            on.project.circuit.block(source.block).map(|block| &block.equipment)
            && let Some(slot) = own.get_mut(source.node.index())
        {
            slot.0 += it.max_power_current * f64::from(it.strings_in_parallel);
        }
    }
    own
}

impl Paths<'_> {
    /// For each controller the worst of its sets of strings.
    fn pv(&mut self, zone: &Zone) {
        let sinks: Vec<(BlockId, NodeId)> = self.sinks(zone, SinkKind::ControllerInput);
        let sources = self.sources(zone, |kind| kind == SourceKind::Strings);
        for (controller, node) in sinks {
            let ways = self.ways_from(node);
            let mut worst: Option<PathDrop> = None;
            for (strings, source) in &sources {
                let Some(Equipment::Strings(it)) =
                    self.on.project.circuit.block(*strings).map(|block| &block.equipment)
                else {
                    continue;
                };
                let of = it.max_power_voltage * f64::from(it.modules_in_series);
                let legs = self.legs(&ways, *source, Self::max_power_beyond);
                let path =
                    legs.and_then(|legs| path(PathKind::StringsToController, *strings, controller, legs, of));
                worst = match (worst, path) {
                    (Some(a), Some(b)) => Some(if b.share > a.share { b } else { a }),
                    (a, b) => a.or(b),
                };
            }
            self.found.extend(worst);
        }
    }

    fn battery(&mut self, zone: &Zone) {
        let banks = self.sources(zone, |kind| matches!(kind, SourceKind::BatteryString(_)));
        let Some((bank, bank_node)) = banks.first().copied() else { return };
        let Some(Equipment::BatteryBank(it)) =
            self.on.project.circuit.block(bank).map(|block| &block.equipment)
        else {
            return;
        };
        let nominal = it.nominal_voltage();
        let ways = self.ways_from(bank_node);
        for (controller, node) in self.sources(zone, |kind| kind == SourceKind::ControllerOutput) {
            let current = match self.on.project.circuit.block(controller).map(|block| &block.equipment) {
                Some(Equipment::ChargeController(it)) => it.output_current,
                _ => continue,
            };
            let legs =
                self.legs_where(&ways, node, current, |near, _| near.has_only(&[Port::ControllerOutput]));
            self.found.extend(
                legs.and_then(|legs| path(PathKind::ControllerToBus, controller, bank, legs, nominal)),
            );
        }
        for (inverter, node) in self.sinks(zone, SinkKind::InverterInput) {
            let Some(current) = inverter_input_current(self.on, inverter).map(|it| it.current) else {
                continue;
            };
            let legs = self.legs_where(&ways, node, current, |near, _| near.count(Port::Battery) == 0);
            self.found
                .extend(legs.and_then(|legs| path(PathKind::BankToInverter, bank, inverter, legs, nominal)));
        }
        for (load, node) in self.sinks(zone, SinkKind::DcLoads) {
            let current = match self.on.project.circuit.block(load).map(|block| &block.equipment) {
                Some(Equipment::DcLoad(it)) => it.current,
                Some(Equipment::DcConverter(it)) => it.input_current(),
                _ => continue,
            };
            let legs = self.legs_where(&ways, node, current, |near, _| near.has_only(&[Port::DcLoads]));
            self.found.extend(legs.and_then(|legs| path(PathKind::BusToLoads, bank, load, legs, nominal)));
        }
    }

    fn ac(&mut self, zone: &Zone) {
        let sources = self.sources(zone, |_| true);
        for (source, node) in sources {
            let Some((of, rating)) = self.ac_source(source) else { continue };
            let ways = self.ways_from(node);
            for (panel, sink) in self.sinks(zone, SinkKind::AcLoads) {
                let current = rating.or_else(|| self.panel_load(panel));
                self.ac_path(&ways, source, panel, sink, current, of);
            }
            for (inverter, sink) in self.sinks(zone, SinkKind::InverterAcInput) {
                let relay = match self.on.project.circuit.block(inverter).map(|block| &block.equipment) {
                    Some(Equipment::Inverter(it)) => it.transfer_relay,
                    _ => None,
                };
                let current = match (rating, relay) {
                    (Some(rating), Some(relay)) => Some(rating.min(relay)),
                    (a, b) => a.or(b),
                };
                if source != inverter {
                    self.ac_path(&ways, source, inverter, sink, current, of);
                }
            }
        }
    }

    fn ac_path(
        &mut self,
        ways: &Ways,
        from: BlockId,
        to: BlockId,
        sink: NodeId,
        current: Option<Amps>,
        of: Volts,
    ) {
        let Some(current) = current else { return };
        let share = self.both_ways_share(from);
        let legs = self.legs(ways, sink, |_, _, _| Some(current)).map(|legs| {
            legs.into_iter().map(|leg| Leg { resistance: leg.resistance * share, ..leg }).collect()
        });
        self.found.extend(legs.and_then(|legs| path(PathKind::AcSource, from, to, legs, of)));
    }

    /// How much of the resistance there and back counts between the lines of a source: all of it, and of three phases
    /// the square root of three over two.
    fn both_ways_share(&self, source: BlockId) -> f64 {
        let system = self.on.project.circuit.block(source).and_then(|block| block.equipment.ac_system());
        match system {
            Some(system) if system.loaded_conductors() > 2 => {
                system.current_voltage() / system.line_voltage() / 2.0
            }
            _ => 1.0,
        }
    }

    /// Nominal voltage of an AC source and the current that it gives at most; none for a utility.
    fn ac_source(&self, block: BlockId) -> Option<(Volts, Option<Amps>)> {
        let equipment = &self.on.project.circuit.block(block)?.equipment;
        let inverter = equipment.as_kind::<Inverter>().map(Inverter::output_current);
        let generator = equipment.as_kind::<Generator>().map(Generator::rated_current);
        Some((equipment.ac_system()?.line_voltage(), inverter.or(generator)))
    }

    fn panel_load(&self, block: BlockId) -> Option<Amps> {
        self.on.project.circuit.block(block)?.equipment.as_kind::<AcPanel>()?.load_current()
    }

    fn sinks(&self, zone: &Zone, kind: SinkKind) -> Vec<(BlockId, NodeId)> {
        let all = zone.sinks.iter().filter_map(|i| self.network.sinks().get(*i));
        all.filter(|sink| sink.kind == kind).map(|sink| (sink.block, sink.node)).collect()
    }

    fn sources(&self, zone: &Zone, wanted: impl Fn(SourceKind) -> bool) -> Vec<(BlockId, NodeId)> {
        let all = zone.sources.iter().filter_map(|i| self.network.sources().get(*i));
        all.filter(|source| wanted(source.kind)).map(|source| (source.block, source.node)).collect()
    }

    /// Maximum-power current of all strings beyond a link, seen from its node towards the controller.
    fn max_power_beyond(&self, link: LinkId, near: NodeId) -> Option<Amps> {
        let ends = self.network.link(link)?;
        match self.max_power.of(link) {
            Cut::Bridge(a, b) => Some(if ends.a == near { b.0 } else { a.0 }),
            Cut::Ring(all) => Some(all.0),
            Cut::Outside => None,
        }
    }

    /// From every node that hangs together with `root` the first link on the way to it.
    fn ways_from(&self, root: NodeId) -> Ways {
        let mut toward: BTreeMap<NodeId, (LinkId, NodeId)> = BTreeMap::new();
        let mut waiting = std::collections::VecDeque::from([root]);
        while let Some(node) = waiting.pop_front() {
            for (id, link) in self.network.links_at(node) {
                let other = link.other(node);
                let new = other != root && !toward.contains_key(&other);
                if new && self.arrangements.passes(self.network, link.kind, 0) {
                    toward.insert(other, (id, node));
                    waiting.push_back(other);
                }
            }
        }
        Ways { root, toward }
    }

    /// The runs from a node to the root; `None` when there is no way or a resistance is not known.
    fn legs(
        &self,
        ways: &Ways,
        from: NodeId,
        current: impl Fn(&Self, LinkId, NodeId) -> Option<Amps>,
    ) -> Option<Vec<Leg>> {
        let mut legs = Vec::new();
        let mut node = from;
        while node != ways.root {
            let (link, next) = *ways.toward.get(&node)?;
            if let LinkKind::Run(run) = self.network.link(link)?.kind
                && self.on.project.circuit.run(run)?.conductor.is_some()
            {
                legs.push(Leg {
                    run,
                    current: current(self, link, next)?,
                    resistance: self.ratings.warm_resistance(run)?,
                });
            }
            node = next;
        }
        Some(legs)
    }

    /// The runs on the way for which the sides hold a condition: near side first, the one with the beginning.
    fn legs_where(
        &self,
        ways: &Ways,
        from: NodeId,
        current: Amps,
        wanted: impl Fn(&crate::tally::Tally, &crate::tally::Tally) -> bool,
    ) -> Option<Vec<Leg>> {
        let mut legs = self.legs_of_known(ways, from, current)?;
        legs.retain(|(_, near, far)| wanted(near, far));
        let complete: Option<Vec<Leg>> = legs.into_iter().map(|(leg, _, _)| leg).collect();
        complete.filter(|legs| !legs.is_empty())
    }

    fn legs_of_known(
        &self,
        ways: &Ways,
        from: NodeId,
        current: Amps,
    ) -> Option<Vec<(Option<Leg>, crate::tally::Tally, crate::tally::Tally)>> {
        let mut legs = Vec::new();
        let mut node = from;
        while node != ways.root {
            let (link, next) = *ways.toward.get(&node)?;
            let ends = self.network.link(link)?;
            if let LinkKind::Run(run) = ends.kind
                && self.on.project.circuit.run(run)?.conductor.is_some()
            {
                let sides = self.currents.of(run)?;
                let (near, far) = if ends.a == node {
                    (&sides.from_side, &sides.to_side)
                } else {
                    (&sides.to_side, &sides.from_side)
                };
                let leg =
                    self.ratings.warm_resistance(run).map(|resistance| Leg { run, current, resistance });
                legs.push((leg, near.clone(), far.clone()));
            }
            node = next;
        }
        Some(legs)
    }
}

struct Ways {
    root: NodeId,
    toward: BTreeMap<NodeId, (LinkId, NodeId)>,
}

fn path(kind: PathKind, from: BlockId, to: BlockId, legs: Vec<Leg>, of: Volts) -> Option<PathDrop> {
    if legs.is_empty() || of <= Volts::ZERO {
        return None;
    }
    let drop: Volts = legs.iter().map(|leg| leg.current * leg.resistance).sum();
    Some(PathDrop { kind, from, to, legs, drop, of, share: Percent::from_share(drop / of) })
}
