//! What is inside a block, electrically: which points are joined by what, and where energy comes from or
//! goes. The network of the `study` crate is made by expanding every inside.
//!
//! An inside says *what is there*; how much current that means under a code is for the studies.

use crate::kinds::common::{ContinuousDuty, Polarity, Position};
use crate::units::{Amps, Celsius, Volts};

/// A point inside a block. The first points are the block's terminals, in their order; further ones are
/// inner points.
pub type Point = usize;

/// The electrical inside of a block.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Inside {
    /// How many points there are, terminals included.
    pub points: usize,
    /// What joins them.
    pub joins: Vec<Join>,
    /// What feeds energy in.
    pub sources: Vec<Source>,
    /// What takes energy out.
    pub sinks: Vec<Sink>,
}

impl Inside {
    /// An inside with `terminals` points and nothing else.
    pub fn with_terminals(terminals: usize) -> Self {
        Self { points: terminals, ..Self::default() }
    }
    /// Adds an inner point.
    pub fn point(&mut self) -> Point {
        self.points += 1;
        self.points - 1
    }
    /// Joins two points solidly.
    pub fn solid(&mut self, a: Point, b: Point) {
        self.joins.push(Join { a, b, what: JoinKind::Solid });
    }
    /// Joins two points by a pole.
    pub fn pole(&mut self, a: Point, b: Point, pole: Pole) {
        self.joins.push(Join { a, b, what: JoinKind::Pole(Box::new(pole)) });
    }
    /// Joins two points by a converter: energy crosses, potential and fault current do not.
    pub fn converter(&mut self, a: Point, b: Point) {
        self.joins.push(Join { a, b, what: JoinKind::Converter });
    }
    /// Puts a source at a point.
    pub fn source(&mut self, at: Point, kind: SourceKind) {
        self.sources.push(Source { at, kind });
    }
    /// Puts a sink at a point.
    pub fn sink(&mut self, at: Point, kind: SinkKind) {
        self.sinks.push(Sink { at, kind });
    }
}

/// Two points and what joins them.
#[derive(Clone, Debug, PartialEq)]
pub struct Join {
    /// One point.
    pub a: Point,
    /// The other.
    pub b: Point,
    /// What is between.
    pub what: JoinKind,
}

/// What is between two points.
#[derive(Clone, Debug, PartialEq)]
pub enum JoinKind {
    /// A bar or a wire inside the block: one potential.
    Solid,
    /// A switchable or fused pole.
    Pole(Box<Pole>),
    /// A converter.
    Converter,
}

/// What a pole is made of.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum PoleDevice {
    /// Circuit breaker.
    Breaker,
    /// Fuse.
    Fuse,
    /// Switch without overcurrent protection.
    Switch,
    /// Plug and socket.
    Connector,
    /// Relay that works by itself.
    Relay,
    /// Contactor of a battery management system.
    ManagementContactor,
}

/// Whether a pole can cut a circuit off, and how.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Disconnects {
    /// It cannot be opened by hand.
    No,
    /// It can be opened without load: an isolating device.
    WithoutLoad,
    /// It can be opened under load: an equipment disconnect.
    UnderLoad,
}

/// A pole of a device, with the ratings that rules compare. A rating that the nameplate lacks is `None`.
#[derive(Clone, Debug, PartialEq)]
pub struct Pole {
    /// What it is made of.
    pub device: PoleDevice,
    /// How people call it within its block, when the block has several: `way 3`.
    pub name: Option<String>,
    /// Rating of an overcurrent device; `None` when it is none.
    pub overcurrent: Option<Amps>,
    /// Greatest current it may carry, when it is not an overcurrent device.
    pub carries: Option<Amps>,
    /// Whether it can cut off.
    pub disconnects: Disconnects,
    /// Greatest DC voltage.
    pub dc_voltage: Option<Volts>,
    /// Greatest AC voltage.
    pub ac_voltage: Option<Volts>,
    /// DC interrupting rating.
    pub interrupts_dc: Option<Amps>,
    /// AC interrupting rating.
    pub interrupts_ac: Option<Amps>,
    /// Whether it minds the direction of current.
    pub polarity: Polarity,
    /// Whether it may carry its rating for hours.
    pub duty: ContinuousDuty,
    /// Temperature rating of its terminals.
    pub terminal_temperature: Option<Celsius>,
    /// Drawn open or closed.
    pub position: Position,
    /// Poles with the same number in one block never close together: the positions of a transfer switch.
    pub throw: Option<u8>,
}

/// Energy fed into a circuit at a point.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Source {
    /// Where.
    pub at: Point,
    /// What.
    pub kind: SourceKind,
}

/// The kinds of source. Their numbers are in the equipment of the block.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum SourceKind {
    /// A set of parallel PV strings.
    Strings,
    /// One battery string; the number counts the parallel strings of the bank from 1.
    BatteryString(u8),
    /// The battery side of a charge controller.
    ControllerOutput,
    /// The output of a DC-to-DC converter.
    DcConverterOutput,
    /// The charger of an inverter-charger, on its DC side.
    Charger,
    /// The AC output of an inverter.
    InverterOutput,
    /// An engine generator.
    Generator,
    /// A utility service.
    Utility,
}

/// Energy taken from a circuit at a point.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Sink {
    /// Where.
    pub at: Point,
    /// What.
    pub kind: SinkKind,
}

/// The kinds of sink.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum SinkKind {
    /// The PV input of a charge controller.
    ControllerInput,
    /// The DC input of an inverter.
    InverterInput,
    /// An AC input of an inverter-charger.
    InverterAcInput,
    /// DC loads.
    DcLoads,
    /// AC loads.
    AcLoads,
}
