//! What every source pushes into a fault, and what the runs between resist.
//!
//! Batteries are full and at rest, behind their ohmic resistance; a utility stands behind a reactance, so that
//! conductors weaken it as little as can be; everything else keeps its current.

use super::prospective::{Assumed, Assumption, FaultSource, Prospective};
use crate::conditions::Conditions;
use crate::network::{LinkId, LinkKind, Network, SourceInBlock};
use crate::ratings::Ratings;
use crate::tally;
use crate::tree::Sum;
use crate::zones::{Zone, ZoneKind, Zones};
use lineside_codes::FactorKey;
use lineside_codes::tables::AssumedFault;
use lineside_core::circuit::{Block, RunId};
use lineside_core::kinds::Equipment;
use lineside_core::kinds::battery_bank::BatteryBank;
use lineside_core::kinds::common::AcSystem;
use lineside_core::kinds::generator::Generator;
use lineside_core::kinds::inside::SourceKind;
use lineside_core::kinds::inverter::Inverter;
use lineside_core::kinds::utility::Utility;
use lineside_core::math;
use lineside_core::units::{Amps, Ohms, Percent, Volts};

/// From where the resistance of a battery string is known.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum ResistanceFrom {
    /// Resistance of units and links on the nameplate.
    Nameplate,
    /// Short-circuit current on the nameplate.
    ShortCircuitCurrent,
    /// Estimated from chemistry and capacity.
    Estimate,
}

/// A battery string as a source of a fault.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct BatteryString {
    /// Full, at rest.
    pub voltage: Volts,
    /// Ohmic resistance of the string with its links, as it counts in the greatest fault.
    pub resistance: Ohms,
    /// The same without the reduction for the greatest fault.
    pub plain_resistance: Ohms,
    /// From where it is known.
    pub from: ResistanceFrom,
}

impl BatteryString {
    /// Short-circuit current at its own terminals.
    pub fn short_circuit_current(&self) -> Amps {
        self.voltage / self.resistance
    }
    fn assumed(&self) -> Assumed {
        match self.from {
            ResistanceFrom::Estimate => Assumed::only(Assumption::BatteryResistance),
            ResistanceFrom::Nameplate | ResistanceFrom::ShortCircuitCurrent => Assumed::default(),
        }
    }
}

/// One string of a bank. Where the nameplate gives both a resistance and a short-circuit current, the one that
/// lets more flow counts.
pub fn battery_string(on: &Conditions<'_>, bank: &BatteryBank) -> BatteryString {
    let voltage = bank.open_circuit_voltage();
    let by_current = |current: Amps, from| {
        let resistance = voltage / current;
        BatteryString { voltage, resistance, plain_resistance: resistance, from }
    };
    let given = bank.string_resistance().filter(|ohms| *ohms > Ohms::ZERO).map(|plain| {
        let resistance = plain * on.number(FactorKey::BatteryResistance);
        BatteryString { voltage, resistance, plain_resistance: plain, from: ResistanceFrom::Nameplate }
    });
    let measured = bank
        .short_circuit_current
        .filter(|amps| *amps > Amps::ZERO)
        .map(|amps| by_current(amps, ResistanceFrom::ShortCircuitCurrent));
    let known = [given, measured].into_iter().flatten().min_by(|a, b| a.resistance.total_cmp(&b.resistance));
    known.unwrap_or_else(|| by_current(estimated(on, bank), ResistanceFrom::Estimate))
}

fn estimated(on: &Conditions<'_>, bank: &BatteryBank) -> Amps {
    match on.codes.common.battery_windows.find(bank.chemistry).map(|row| row.value.fault) {
        Some(AssumedFault::PerCapacity(per_hour)) => Amps::new(bank.capacity.value() * per_hour),
        Some(AssumedFault::PerPack(amps)) => amps,
        None => Amps::ZERO,
    }
}

/// What stands at every node.
pub(super) fn at_nodes(on: &Conditions<'_>, network: &Network) -> Vec<Prospective> {
    let mut own = vec![Prospective::default(); network.node_count()];
    for source in network.sources() {
        let Some(block) = on.project.circuit.block(source.block) else { continue };
        if let (Some(side), Some(slot)) = (of_source(on, block, source), own.get_mut(source.node.index())) {
            slot.add(&side);
        }
    }
    for (node, amps) in tally::backfeeds(on, network) {
        if let Some(slot) = own.get_mut(node.index()) {
            slot.add(&Prospective::constant(FaultSource::Leakage, amps, Assumed::default()));
        }
    }
    own
}

fn of_source(on: &Conditions<'_>, block: &Block, source: &SourceInBlock) -> Option<Prospective> {
    let nothing = Assumed::default();
    let limit = || tally::source_current(on, block, source.kind).1;
    let constant = |sort, amps: Option<Amps>| Some(Prospective::constant(sort, amps?, nothing));
    match (source.kind, &block.equipment) {
        (SourceKind::BatteryString(_), Equipment::BatteryBank(bank)) => {
            let string = battery_string(on, bank);
            let amps = string.short_circuit_current();
            let siemens = 1.0 / string.resistance.value();
            Some(Prospective::behind_resistance(FaultSource::Battery, amps, siemens, string.assumed()))
        }
        (SourceKind::Utility, Equipment::Utility(it)) => Some(of_utility(on, it)),
        (SourceKind::Generator, Equipment::Generator(it)) => Some(of_generator(on, it)),
        (SourceKind::InverterOutput, Equipment::Inverter(it)) => Some(of_inverter(on, it)),
        (SourceKind::Strings, _) => constant(FaultSource::Strings, limit()),
        (SourceKind::ControllerOutput, _) => constant(FaultSource::Controller, limit()),
        (SourceKind::DcConverterOutput, _) => constant(FaultSource::DcConverter, limit()),
        (SourceKind::Charger, _) => constant(FaultSource::Charger, limit()),
        _ => None,
    }
}

/// The service figure, or the usual assumption.
fn of_utility(on: &Conditions<'_>, utility: &Utility) -> Prospective {
    let given = utility.fault_current;
    let amps = given.unwrap_or_else(|| on.quantity(FactorKey::UtilityFault));
    let assumed = if given.is_some() { Assumed::default() } else { Assumed::only(Assumption::UtilityFault) };
    let siemens = amps.value() / fault_voltage(utility.ac_system).value();
    Prospective::behind_reactance(FaultSource::Utility, amps, siemens, assumed)
}

/// Voltage that drives the greatest fault: between lines, or from line to neutral where three phases meet.
fn fault_voltage(system: AcSystem) -> Volts {
    if is_three_phase(system) { system.line_voltage() / math::sqrt(3.0) } else { system.line_voltage() }
}

const fn is_three_phase(system: AcSystem) -> bool {
    matches!(system, AcSystem::Three208 | AcSystem::Three400)
}

/// Rated current over the subtransient reactance.
fn of_generator(on: &Conditions<'_>, generator: &Generator) -> Prospective {
    let given = generator.subtransient_reactance.filter(|share| share.share() > 0.0);
    let reactance = given.map_or_else(|| on.number(FactorKey::GeneratorReactance), Percent::share);
    let assumed =
        if given.is_some() { Assumed::default() } else { Assumed::only(Assumption::GeneratorReactance) };
    Prospective::constant(FaultSource::Generator, generator.rated_current() / reactance, assumed)
}

fn of_inverter(on: &Conditions<'_>, inverter: &Inverter) -> Prospective {
    match inverter.output_fault_current {
        Some(amps) => Prospective::constant(FaultSource::InverterOutput, amps, Assumed::default()),
        None => Prospective::constant(
            FaultSource::InverterOutput,
            inverter.output_current() * on.number(FactorKey::InverterFault),
            Assumed::only(Assumption::InverterFault),
        ),
    }
}

/// What a link resists: nothing, an amount, or an amount that the tables do not tell.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) enum Resists {
    Nothing,
    Ohms(Ohms),
    Unknown,
}

/// The resistance of every link, there and back; devices and bars have none.
pub(super) struct Resistances {
    links: Vec<Resists>,
}

impl Resistances {
    /// At 20 °C, for the greatest fault. Where three phases meet, the fault takes one conductor each.
    pub fn cold(network: &Network, zones: &Zones, ratings: &Ratings, on: &Conditions<'_>) -> Self {
        let three_phase: Vec<bool> =
            zones.all().map(|(_, zone)| has_three_phases(on, network, zone)).collect();
        Self::of(network, on, |run, link| {
            let ohms = ratings.cold_resistance(run)?;
            let node = network.link(link)?.a;
            let three = zones.of(node).and_then(|zone| three_phase.get(zone.index())).copied();
            Some(if three == Some(true) { ohms / 2.0 } else { ohms })
        })
    }
    /// Warm, for the smallest fault.
    pub fn warm(network: &Network, ratings: &Ratings, on: &Conditions<'_>) -> Self {
        Self::of(network, on, |run, _| ratings.warm_resistance(run))
    }

    fn of(
        network: &Network,
        on: &Conditions<'_>,
        resistance: impl Fn(RunId, LinkId) -> Option<Ohms>,
    ) -> Self {
        let has_conductor = |run| on.project.circuit.run(run).is_some_and(|run| run.conductor.is_some());
        let links = network.links().map(|(id, link)| match link.kind {
            LinkKind::Run(run) if has_conductor(run) => match resistance(run, id) {
                Some(ohms) if ohms > Ohms::ZERO => Resists::Ohms(ohms),
                Some(_) => Resists::Nothing,
                None => Resists::Unknown,
            },
            LinkKind::Run(_) | LinkKind::Solid | LinkKind::Pole(_) | LinkKind::Converter => Resists::Nothing,
        });
        Self { links: links.collect() }
    }

    /// Of one link.
    pub fn at(&self, link: LinkId) -> Resists {
        self.links.get(link.index()).copied().unwrap_or(Resists::Nothing)
    }
    /// In ohms; what is not known counts as none.
    pub fn ohms(&self, link: LinkId) -> Ohms {
        match self.at(link) {
            Resists::Ohms(ohms) => ohms,
            Resists::Nothing | Resists::Unknown => Ohms::ZERO,
        }
    }
    /// What is left of a side beyond a link.
    pub fn through(&self, link: LinkId, side: Prospective) -> Prospective {
        match self.at(link) {
            Resists::Nothing => side,
            Resists::Ohms(ohms) => side.through(ohms),
            Resists::Unknown => side.assuming(Assumption::RunResistance),
        }
    }
}

fn has_three_phases(on: &Conditions<'_>, network: &Network, zone: &Zone) -> bool {
    let systems = || {
        let sources = zone.sources.iter().filter_map(|i| network.sources().get(*i));
        sources.filter_map(|source| on.project.circuit.block(source.block)?.equipment.ac_system())
    };
    zone.kind == ZoneKind::Ac && systems().next().is_some() && systems().all(is_three_phase)
}
