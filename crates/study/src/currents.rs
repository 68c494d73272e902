//! Currents: the greatest continuous current of every run, by the rule set, source by source and in both
//! directions.
//!
//! Take the run out; each end is left with sources and sinks. What one side can give and the other can take
//! is the current in that direction; the larger direction counts. Ampacity is not here.

use crate::arrangements::{Arrangements, Relays};
use crate::conditions::Conditions;
use crate::network::{Link, LinkId, Network};
use crate::tally::{self, Port, Tally};
use crate::tree::{self, Cut};
use crate::zones::Zones;
use lineside_core::circuit::{IdMap, Run, RunId};
use lineside_core::kinds::Kind;
use lineside_core::units::Amps;

/// What sort of circuit a run belongs to; rules treat them differently.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum CircuitKind {
    /// One set of strings on the way to a combiner or controller.
    String,
    /// Several sets of strings together.
    Array,
    /// From a controller or DC converter to the bus.
    ControllerOutput,
    /// From a battery to the bus.
    Battery,
    /// From the bus to an inverter.
    InverterDc,
    /// To DC loads.
    DcLoads,
    /// Between parts of the bus, with sources and sinks on both sides.
    BusTie,
    /// From an inverter's AC output.
    InverterOutput,
    /// To an inverter's AC input.
    InverterInput,
    /// From a generator.
    Generator,
    /// From a utility.
    Utility,
    /// Between panels.
    Feeder,
    /// Equipment ground, or nothing that carries current.
    None,
}

impl CircuitKind {
    /// As people read it.
    pub const fn label(self) -> &'static str {
        match self {
            Self::String => "string",
            Self::Array => "array circuit",
            Self::ControllerOutput => "controller output",
            Self::Battery => "battery",
            Self::InverterDc => "inverter DC",
            Self::DcLoads => "DC loads",
            Self::BusTie => "bus tie",
            Self::InverterOutput => "inverter output",
            Self::InverterInput => "inverter input",
            Self::Generator => "generator feed",
            Self::Utility => "utility feed",
            Self::Feeder => "AC feeder",
            Self::None => "no current",
        }
    }
    /// Whether it is a PV circuit.
    pub const fn is_pv(self) -> bool {
        matches!(self, Self::String | Self::Array)
    }
    /// Whether it lies on the battery bus.
    pub const fn is_battery_bus(self) -> bool {
        matches!(
            self,
            Self::ControllerOutput | Self::Battery | Self::InverterDc | Self::DcLoads | Self::BusTie
        )
    }
    /// Whether it is AC.
    pub const fn is_ac(self) -> bool {
        matches!(
            self,
            Self::InverterOutput | Self::InverterInput | Self::Generator | Self::Utility | Self::Feeder
        )
    }
}

/// The greatest continuous current of a run.
#[derive(Clone, Debug, PartialEq)]
pub struct RunCurrent {
    /// What sort of circuit it is.
    pub circuit: CircuitKind,
    /// Greatest continuous current; `None` when the project does not tell what limits it.
    pub greatest: Option<Amps>,
    /// In the direction of the run.
    pub forward: Option<Amps>,
    /// Against it.
    pub backward: Option<Amps>,
    /// What stands at the beginning of the run when it is taken out.
    pub from_side: Tally,
    /// What stands at its end.
    pub to_side: Tally,
    /// Whether both ends hang together without the run, so that its share is unknown and the whole is taken.
    pub in_ring: bool,
}

/// Currents of all runs.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Currents {
    runs: IdMap<RunId, RunCurrent>,
}

impl Currents {
    /// Of a run.
    pub fn of(&self, run: RunId) -> Option<&RunCurrent> {
        self.runs.get(run)
    }
    /// The greatest continuous current of a run, when it is known.
    pub fn greatest(&self, run: RunId) -> Option<Amps> {
        self.of(run)?.greatest
    }
    /// Every run with its current, in the order of ids.
    pub fn all(&self) -> impl Iterator<Item = (RunId, &RunCurrent)> {
        self.runs.iter()
    }
}

/// Finds the greatest continuous current of every run, over every position of every transfer switch.
pub fn study(on: &Conditions<'_>, network: &Network, zones: &Zones) -> Currents {
    let own = tally::at_nodes(on, network);
    let arrangements = Arrangements::of(network, zones, Relays::Open);
    let mut currents = Currents::default();
    for round in arrangements.rounds() {
        let passes = |_: LinkId, link: &Link| arrangements.passes(network, link.kind, round);
        let cuts = tree::cuts(network, passes, |_, sum| sum, &own);
        for run in on.project.circuit.runs() {
            let here =
                network.run_link(run.id).map_or_else(RunCurrent::nothing, |link| of_cut(cuts.of(link)));
            match currents.runs.entry(run.id) {
                Some(so_far) => so_far.take_greater(here),
                None => drop(currents.runs.insert(run.id, here)),
            }
        }
    }
    refine_circuits(on, &mut currents);
    currents
}

impl RunCurrent {
    /// What conductors and devices are sized for: the part that flows for three hours or more times the code's
    /// factor, and the rest as it is (NEC 215.2(A), 215.3).
    pub fn sized(&self, continuous: f64) -> Option<Amps> {
        let brief = self.brief_part();
        Some((self.greatest? - brief) * continuous + brief)
    }

    /// The part of the greatest current that flows for less than three hours. Only loads have one, and only where
    /// their own current decides: PV, storage, converters and generators count as continuous.
    pub fn brief_part(&self) -> Amps {
        let (giver, taker) = if self.forward == self.greatest {
            (&self.from_side, &self.to_side)
        } else {
            (&self.to_side, &self.from_side)
        };
        let of_loads = self.circuit == CircuitKind::DcLoads || giver.count(Port::Utility) > 0;
        if of_loads && !self.in_ring {
            self.greatest.map_or(Amps::ZERO, |greatest| taker.brief_loads().min(greatest))
        } else {
            Amps::ZERO
        }
    }

    fn nothing() -> Self {
        Self {
            circuit: CircuitKind::None,
            greatest: None,
            forward: None,
            backward: None,
            from_side: Tally::default(),
            to_side: Tally::default(),
            in_ring: false,
        }
    }

    fn take_greater(&mut self, other: Self) {
        let better = match (self.greatest, other.greatest) {
            (Some(mine), Some(theirs)) => theirs > mine,
            (None, Some(_)) => true,
            (_, None) => false,
        };
        if better {
            *self = other;
        }
    }
}

fn of_cut(cut: Cut<&Tally>) -> RunCurrent {
    match cut {
        Cut::Outside => RunCurrent::nothing(),
        Cut::Bridge(from, to) => {
            let (forward, backward) = (from.gives_to(to), to.gives_to(from));
            RunCurrent {
                circuit: sort(from, to),
                greatest: greater(forward, backward),
                forward,
                backward,
                from_side: from.clone(),
                to_side: to.clone(),
                in_ring: false,
            }
        }
        Cut::Ring(whole) => {
            let through = whole.gives_to(whole);
            RunCurrent {
                circuit: sort(whole, whole),
                greatest: through,
                forward: through,
                backward: through,
                from_side: whole.clone(),
                to_side: whole.clone(),
                in_ring: true,
            }
        }
    }
}

fn greater(a: Option<Amps>, b: Option<Amps>) -> Option<Amps> {
    match (a, b) {
        (Some(a), Some(b)) => Some(a.max(b)),
        (a, b) => a.or(b),
    }
}

/// What sort of circuit a run is, from what stands on its sides.
fn sort(from: &Tally, to: &Tally) -> CircuitKind {
    let only = |side: &Tally, ports: &[Port]| side.has_only(ports);
    let either = |ports: &[Port]| only(from, ports) || only(to, ports);
    let count = |port| from.count(port) + to.count(port);
    if count(Port::Strings) + count(Port::ControllerInput) > 0 {
        let sides = [from, to].map(|side| side.count(Port::Strings));
        let sets = if count(Port::ControllerInput) == 0 {
            sides.into_iter().filter(|sets| *sets > 0).min().unwrap_or(0)
        } else {
            [from, to]
                .iter()
                .filter(|side| side.count(Port::ControllerInput) == 0)
                .map(|side| side.count(Port::Strings))
                .max()
                .unwrap_or(0)
        };
        return if sets <= 1 { CircuitKind::String } else { CircuitKind::Array };
    }
    if count(Port::Battery)
        + count(Port::Charger)
        + count(Port::ControllerOutput)
        + count(Port::InverterDc)
        + count(Port::DcLoads)
        + count(Port::DcConverter)
        > 0
    {
        return if either(&[Port::ControllerOutput]) || either(&[Port::DcConverter]) {
            CircuitKind::ControllerOutput
        } else if either(&[Port::Battery]) {
            CircuitKind::Battery
        } else if either(&[Port::InverterDc, Port::Charger]) {
            CircuitKind::InverterDc
        } else if either(&[Port::DcLoads]) {
            CircuitKind::DcLoads
        } else {
            CircuitKind::BusTie
        };
    }
    if count(Port::InverterOutput)
        + count(Port::Generator)
        + count(Port::Utility)
        + count(Port::AcInput)
        + count(Port::AcLoads)
        > 0
    {
        return if either(&[Port::Generator]) {
            CircuitKind::Generator
        } else if either(&[Port::Utility]) {
            CircuitKind::Utility
        } else if either(&[Port::InverterOutput]) {
            CircuitKind::InverterOutput
        } else if either(&[Port::AcInput]) {
            CircuitKind::InverterInput
        } else {
            CircuitKind::Feeder
        };
    }
    CircuitKind::None
}

/// A bonding run carries nothing, whatever its sides say.
fn refine_circuits(on: &Conditions<'_>, currents: &mut Currents) {
    let earth = |run: &Run| {
        [run.from, run.to].iter().any(|end| {
            on.project
                .circuit
                .block(end.block)
                .is_some_and(|block| matches!(block.kind(), Kind::Electrode | Kind::BondingJumper))
        })
    };
    for run in on.project.circuit.runs() {
        if earth(run)
            && let Some(current) = currents.runs.entry(run.id)
        {
            current.circuit = CircuitKind::None;
        }
    }
}
