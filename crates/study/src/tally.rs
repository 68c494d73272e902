//! Tallies: what sources and sinks stand at a node, and what one side of a cut can give to the other.

use crate::conditions::Conditions;
use crate::network::{Network, NodeId};
use crate::tree;
use lineside_codes::FactorKey;
use lineside_core::circuit::{Block, BlockId};
use lineside_core::kinds::Equipment;
use lineside_core::kinds::charge_controller::ChargeController;
use lineside_core::kinds::inside::{SinkKind, SourceKind};
use lineside_core::units::{Amps, Percent, Watts};

/// A sort of source or sink.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Port {
    /// Sets of strings; short-circuit current with the code's factor.
    Strings,
    /// Controllers' PV inputs.
    ControllerInput,
    /// Controllers' battery sides.
    ControllerOutput,
    /// DC converters' outputs.
    DcConverter,
    /// Chargers of inverters, on their DC side.
    Charger,
    /// Battery strings.
    Battery,
    /// DC inputs of inverters.
    InverterDc,
    /// DC loads.
    DcLoads,
    /// AC outputs of inverters.
    InverterOutput,
    /// Generators.
    Generator,
    /// Utility services.
    Utility,
    /// AC inputs of inverters.
    AcInput,
    /// AC panels with loads.
    AcLoads,
}

const PORTS: usize = 13;

impl Port {
    /// All, in order.
    pub const ALL: [Self; PORTS] = [
        Self::Strings,
        Self::ControllerInput,
        Self::ControllerOutput,
        Self::DcConverter,
        Self::Charger,
        Self::Battery,
        Self::InverterDc,
        Self::DcLoads,
        Self::InverterOutput,
        Self::Generator,
        Self::Utility,
        Self::AcInput,
        Self::AcLoads,
    ];

    /// What such a source gives or such a sink takes, in words.
    pub const fn label(self) -> &'static str {
        match self {
            Self::Strings => "short-circuit current of the strings, with the code's factor",
            Self::ControllerInput => "inputs of controllers",
            Self::ControllerOutput => "controllers at their rated output",
            Self::DcConverter => "DC converters at their rated output",
            Self::Charger => "chargers of inverters",
            Self::Battery => "battery strings",
            Self::InverterDc => "inverters at rated output and lowest voltage",
            Self::DcLoads => "DC loads",
            Self::InverterOutput => "inverters at their rated output",
            Self::Generator => "generators at their rating",
            Self::Utility => "utility",
            Self::AcInput => "AC inputs of inverters",
            Self::AcLoads => "AC loads",
        }
    }
}

/// What stands on one side of a run, by sort.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Tally {
    amps: [Amps; PORTS],
    count: [u16; PORTS],
    /// One bit for each sort of which something has no current given.
    unknown: u16,
    /// Greatest circuit current that a bank's nameplate gives for one string.
    pub string_limit: Option<Amps>,
    /// What the strings of banks give and take at most by their nameplates.
    strings_give: Together,
    strings_take: Together,
    /// The part of the loads that runs less than three hours.
    brief: Amps,
}

/// A limit of several strings together, which holds only if every one of them has one.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
struct Together {
    amps: Amps,
    /// Strings without a limit.
    open: u16,
}

impl Together {
    fn of(limit: Option<Amps>) -> Self {
        Self { amps: limit.unwrap_or_default(), open: u16::from(limit.is_none()) }
    }
    fn add(&mut self, other: Self) {
        self.amps += other.amps;
        self.open = self.open.saturating_add(other.open);
    }
    fn cap(self, amps: Amps) -> Amps {
        if self.open > 0 { amps } else { amps.min(self.amps) }
    }
}

impl tree::Sum for Tally {
    fn add(&mut self, other: &Self) {
        for (mine, theirs) in self.amps.iter_mut().zip(other.amps) {
            *mine += theirs;
        }
        for (mine, theirs) in self.count.iter_mut().zip(other.count) {
            *mine = mine.saturating_add(theirs);
        }
        self.unknown |= other.unknown;
        self.string_limit = match (self.string_limit, other.string_limit) {
            (Some(a), Some(b)) => Some(a.max(b)),
            (a, b) => a.or(b),
        };
        self.strings_give.add(other.strings_give);
        self.strings_take.add(other.strings_take);
        self.brief += other.brief;
    }
}

impl Tally {
    /// Together they give or take this much.
    pub fn amps(&self, port: Port) -> Amps {
        self.amps.get(port as usize).copied().unwrap_or_default()
    }
    /// How many there are.
    pub fn count(&self, port: Port) -> u32 {
        self.count.get(port as usize).copied().unwrap_or_default().into()
    }
    /// Whether some of them have no current given.
    pub fn is_unknown(&self, port: Port) -> bool {
        self.unknown & (1 << port as u16) != 0
    }
    /// Whether there is something, and nothing but these sorts.
    pub fn has_only(&self, ports: &[Port]) -> bool {
        let wanted: u32 = ports.iter().map(|port| self.count(*port)).sum();
        wanted > 0 && wanted == self.count.iter().copied().map(u32::from).sum::<u32>()
    }
    /// Whether there is nothing at all.
    pub fn is_empty(&self) -> bool {
        self.count.iter().all(|count| *count == 0)
    }
    /// The part of the loads that runs less than three hours, where their blocks tell.
    pub const fn brief_loads(&self) -> Amps {
        self.brief
    }
    /// Everything that can charge a battery.
    pub fn chargers(&self) -> Amps {
        self.amps(Port::ControllerOutput) + self.amps(Port::DcConverter) + self.amps(Port::Charger)
    }
    /// Everything that discharges one.
    pub fn discharge(&self) -> Amps {
        self.amps(Port::InverterDc) + self.amps(Port::DcLoads)
    }

    fn put(&mut self, port: Port, amps: Option<Amps>) {
        if let Some(slot) = self.amps.get_mut(port as usize) {
            *slot += amps.unwrap_or_default();
        }
        if let Some(slot) = self.count.get_mut(port as usize) {
            *slot = slot.saturating_add(1);
        }
        if amps.is_none() {
            self.unknown |= 1 << port as u16;
        }
    }

    /// The greatest continuous current from this side to the other; `None` when nothing that the project
    /// tells of limits it. Zero when this side has no source or the other no sink.
    pub fn gives_to(&self, other: &Self) -> Option<Amps> {
        let dc = self.pv_to(other) + self.bus_to(other);
        let ac = self.ac_to(other)?;
        Some(dc + ac)
    }

    /// Strings give all they have to whatever controller is there. While no controller is drawn, the
    /// circuit is sized as if it were at the far end.
    fn pv_to(&self, other: &Self) -> Amps {
        let no_controller = self.count(Port::ControllerInput) + other.count(Port::ControllerInput) == 0;
        let reached = other.count(Port::ControllerInput) > 0
            || (no_controller
                && (other.count(Port::Strings) == 0
                    || self.amps(Port::Strings) <= other.amps(Port::Strings)));
        if reached { self.amps(Port::Strings) } else { Amps::ZERO }
    }

    /// Chargers feed loads and batteries, batteries feed loads only.
    fn bus_to(&self, other: &Self) -> Amps {
        if self.has_only(&[Port::Battery]) {
            return self.share_of(other, other.discharge(), self.strings_give);
        }
        if other.has_only(&[Port::Battery]) {
            return other.share_of(self, self.chargers(), other.strings_take);
        }
        let (chargers, loads) = (self.chargers(), other.discharge());
        match (self.count(Port::Battery) > 0, other.count(Port::Battery) > 0) {
            (true, true) => chargers.max(loads),
            (true, false) => loads,
            (false, true) => chargers,
            (false, false) => chargers.min(loads),
        }
    }

    /// Parallel battery strings share a current, with one of them out (NEC 706.30(A)(1)), but carry no more than
    /// their own nameplate lets them; or they carry the circuit current that their nameplate gives.
    fn share_of(&self, rest: &Self, total: Amps, own: Together) -> Amps {
        let (here, elsewhere) = (self.count(Port::Battery), rest.count(Port::Battery));
        if elsewhere == 0 {
            return total;
        }
        match self.string_limit {
            Some(limit) => limit * f64::from(here),
            None => own.cap(total * (f64::from(here) / f64::from(here + elsewhere - 1)).min(1.0)),
        }
    }

    /// An inverter and a generator give their ratings whatever the load (NEC 710.15(B)); a utility gives what
    /// the other side takes.
    fn ac_to(&self, other: &Self) -> Option<Amps> {
        let takers = other.count(Port::AcInput) + other.count(Port::AcLoads);
        if takers == 0 {
            return Some(Amps::ZERO);
        }
        let given = self.amps(Port::InverterOutput) + self.amps(Port::Generator);
        let panels_limit = other.count(Port::AcLoads) > 0;
        let inputs = other.amps(Port::AcInput);
        if self.count(Port::Utility) > 0 {
            let known = !other.is_unknown(Port::AcLoads) && !other.is_unknown(Port::AcInput);
            return known.then(|| inputs + other.amps(Port::AcLoads));
        }
        let unlimited = panels_limit || other.is_unknown(Port::AcInput);
        Some(if unlimited { given } else { given.min(inputs) })
    }
}

/// What stands at each node.
pub(crate) fn at_nodes(on: &Conditions<'_>, network: &Network) -> Vec<Tally> {
    let mut own = vec![Tally::default(); network.node_count()];
    for source in network.sources() {
        let Some(block) = on.project.circuit.block(source.block) else { continue };
        let Some(tally) = own.get_mut(source.node.index()) else { continue };
        let (port, amps) = source_current(on, block, source.kind);
        tally.put(port, amps);
        if let (Equipment::BatteryBank(bank), SourceKind::BatteryString(_)) = (&block.equipment, source.kind)
        {
            tally.string_limit = tally.string_limit.or(bank.circuit_current);
            tally.strings_give.add(Together::of(bank.discharge_current));
            tally.strings_take.add(Together::of(bank.charge_current));
        }
    }
    for sink in network.sinks() {
        let Some(block) = on.project.circuit.block(sink.block) else { continue };
        let Some(tally) = own.get_mut(sink.node.index()) else { continue };
        let (port, amps) = sink_current(on, block, sink.kind);
        tally.put(port, amps);
        tally.brief += brief_part(block, sink.kind);
    }
    own
}

/// The part of a load's current that runs less than three hours; none where the block does not tell.
fn brief_part(block: &Block, kind: SinkKind) -> Amps {
    match (kind, &block.equipment) {
        (SinkKind::DcLoads, Equipment::DcLoad(load)) => {
            load.continuous_current.map_or(Amps::ZERO, |part| (load.current - part).max(Amps::ZERO))
        }
        (SinkKind::AcLoads, Equipment::AcPanel(panel)) => {
            let Some(((whole, part), current)) =
                panel.connected_load.zip(panel.continuous_load).zip(panel.load_current())
            else {
                return Amps::ZERO;
            };
            if whole <= Watts::ZERO {
                return Amps::ZERO;
            }
            current * (1.0 - (part / whole).clamp(0.0, 1.0))
        }
        _ => Amps::ZERO,
    }
}

/// The continuous current of a source by the rule set; `None` where it has no limit of its own. Limits that are
/// only set, and could be set otherwise, do not count for conductors and devices.
pub(crate) fn source_current(on: &Conditions<'_>, block: &Block, kind: SourceKind) -> (Port, Option<Amps>) {
    match (kind, &block.equipment) {
        (SourceKind::Strings, Equipment::Strings(strings)) => {
            let factor = on.number(FactorKey::PvCurrent);
            let current =
                strings.greatest_short_circuit_current() * f64::from(strings.strings_in_parallel) * factor;
            (Port::Strings, Some(current))
        }
        (SourceKind::ControllerOutput, Equipment::ChargeController(it)) => {
            (Port::ControllerOutput, Some(it.output_current))
        }
        (SourceKind::DcConverterOutput, Equipment::DcConverter(it)) => {
            (Port::DcConverter, Some(it.output_current))
        }
        (SourceKind::Charger, Equipment::Inverter(it)) => (Port::Charger, it.charger_current),
        (SourceKind::InverterOutput, Equipment::Inverter(it)) => {
            (Port::InverterOutput, Some(it.output_current()))
        }
        (SourceKind::Generator, Equipment::Generator(it)) => (Port::Generator, Some(it.rated_current())),
        (SourceKind::Utility, _) => (Port::Utility, None),
        _ => (Port::Battery, None),
    }
}

fn sink_current(on: &Conditions<'_>, block: &Block, kind: SinkKind) -> (Port, Option<Amps>) {
    match (kind, &block.equipment) {
        (SinkKind::InverterInput, Equipment::Inverter(_)) => {
            (Port::InverterDc, inverter_input_current(on, block.id).map(|it| it.current))
        }
        (SinkKind::DcLoads, Equipment::DcLoad(load)) => (Port::DcLoads, Some(load.current)),
        (SinkKind::DcLoads, Equipment::DcConverter(it)) => (Port::DcLoads, Some(it.input_current())),
        (SinkKind::InverterAcInput, Equipment::Inverter(it)) => (Port::AcInput, it.input_current()),
        (SinkKind::AcLoads, Equipment::AcPanel(panel)) => (Port::AcLoads, panel.load_current()),
        (SinkKind::ControllerInput, _) => (Port::ControllerInput, None),
        _ => (Port::DcLoads, None),
    }
}

/// The DC current of an inverter at its rated output and lowest voltage.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct InverterInputCurrent {
    /// Rated output.
    pub power: Watts,
    /// Efficiency at that output, assumed when the nameplate does not tell.
    pub efficiency: Percent,
    /// Low cut-out.
    pub voltage: lineside_core::units::Volts,
    /// The current.
    pub current: Amps,
}

/// `P / (η × V_low)` (NEC 706.30(A)).
pub fn inverter_input_current(on: &Conditions<'_>, block: BlockId) -> Option<InverterInputCurrent> {
    let Equipment::Inverter(inverter) = &on.project.circuit.block(block)?.equipment else { return None };
    let efficiency = inverter
        .rated_efficiency
        .unwrap_or_else(|| Percent::from_share(on.number(FactorKey::InverterEfficiency)));
    let voltage = inverter.low_cut_out_voltage();
    let current = inverter.continuous / (voltage * efficiency.share());
    Some(InverterInputCurrent { power: inverter.continuous, efficiency, voltage, current })
}

/// What controllers let flow back out of their PV inputs, where the nameplate does not rule it out. A
/// controller whose nameplate is silent blocks: makers state leakage where there is any.
pub(crate) fn backfeeds(on: &Conditions<'_>, network: &Network) -> Vec<(NodeId, Amps)> {
    network
        .sinks()
        .iter()
        .filter(|sink| sink.kind == SinkKind::ControllerInput)
        .filter_map(|sink| {
            let controller = on.project.circuit.block(sink.block)?.equipment.as_kind::<ChargeController>()?;
            Some((sink.node, controller.backfeed_current?))
        })
        .collect()
}
