//! What controllers, inverters, converters and sources do, and what loads go without.

use super::state::ChargeStage;
use super::trips::Trip;
use lineside_core::circuit::BlockId;
use lineside_core::kinds::inside::SourceKind;
use lineside_core::units::{Amps, Percent, Volts, Watts};

/// What a charge controller does.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum ControllerDoing {
    /// It takes all that the strings give: at their best voltage or, if it switches, at the battery's.
    Tracking,
    /// It holds the battery at the voltage of its stage and leaves the rest of the sun alone.
    HeldBack(ChargeStage),
    /// It gives its greatest current.
    LimitedByCurrent,
    /// It takes the greatest power of its nameplate.
    LimitedByPower,
    /// It takes what it can get at the end of its range of input voltages.
    LimitedByVoltage,
    /// It gives nothing.
    Off(ControllerOff),
}

/// Why a charge controller gives nothing.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum ControllerOff {
    /// It was switched off.
    SwitchedOff,
    /// Charging is off.
    StageOff,
    /// There is no sun on its strings.
    NoSun,
    /// No strings reach its input.
    NoStrings,
    /// No battery reaches its output.
    NoBattery,
    /// Its strings stand too low over the battery, or below its range.
    StringsTooLow,
    /// Its strings stand higher than it starts at.
    StringsTooHigh,
    /// The sun gives less than it loses, or the heat leaves nothing of its rating.
    TooLittle,
    /// The battery is outside of what it works with.
    BatteryOutside,
    /// Its input and its output are one circuit.
    Bypassed,
}

impl ControllerDoing {
    /// As people read it.
    pub const fn label(self) -> &'static str {
        match self {
            Self::Tracking => "takes all the sun there is",
            Self::HeldBack(ChargeStage::Float) => "holds back at the float voltage",
            Self::HeldBack(ChargeStage::Equalize) => "holds back at the equalize voltage",
            Self::HeldBack(ChargeStage::Bulk | ChargeStage::Absorb | ChargeStage::Off) => {
                "holds back at the absorb voltage"
            }
            Self::LimitedByCurrent => "gives its greatest current",
            Self::LimitedByPower => "takes its greatest power",
            Self::LimitedByVoltage => "is at the end of its input range",
            Self::Off(ControllerOff::SwitchedOff) => "is switched off",
            Self::Off(ControllerOff::StageOff) => "does not charge",
            Self::Off(ControllerOff::NoSun) => "has no sun",
            Self::Off(ControllerOff::NoStrings) => "is cut off from its strings",
            Self::Off(ControllerOff::NoBattery) => "is cut off from the battery",
            Self::Off(ControllerOff::StringsTooLow) => "finds the string voltage too low",
            Self::Off(ControllerOff::StringsTooHigh) => "finds the string voltage too high to start",
            Self::Off(ControllerOff::TooLittle) => "has too little sun to give anything",
            Self::Off(ControllerOff::BatteryOutside) => "does not work with this battery voltage",
            Self::Off(ControllerOff::Bypassed) => "is bypassed: its input and output are one circuit",
        }
    }
}

/// A charge controller in the state.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct ControllerFlow {
    /// What it does.
    pub doing: ControllerDoing,
    /// At its PV input; `None` when that is dead.
    pub input_voltage: Option<Volts>,
    /// Into its PV input.
    pub input_current: Amps,
    /// At its battery side; `None` when that is dead.
    pub output_voltage: Option<Volts>,
    /// What it converts, before it takes anything for itself.
    pub output_current: Amps,
    /// What the strings would give at its input; `None` when it was not looked for, because nothing takes it.
    pub available: Option<Watts>,
    /// The voltage of its stage; `None` when it holds none.
    pub stage_voltage: Option<Volts>,
    /// What it loses, its own consumption included.
    pub lost: Watts,
    /// Part of the time in which a switching controller lets the strings through.
    pub duty: Percent,
}

/// What an inverter does.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum InverterDoing {
    /// It makes AC from the battery.
    Inverting,
    /// It passes a source on.
    PassingThrough {
        /// Through this input, counted from 1.
        input: u8,
    },
    /// It passes a source on and charges from it.
    Charging {
        /// Through this input, counted from 1.
        input: u8,
    },
    /// It passes a source on and adds from the battery what the source cannot give.
    Helping {
        /// Through this input, counted from 1.
        input: u8,
    },
    /// It does nothing.
    Off(InverterOff),
}

/// Why an inverter does nothing.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum InverterOff {
    /// It was switched off.
    SwitchedOff,
    /// It switched off by itself.
    Tripped(Trip),
    /// No battery reaches it, and no AC source that it accepts.
    NoSource,
    /// Its output stands on a circuit with another source.
    Joined,
}

impl InverterDoing {
    /// As people read it.
    pub const fn label(self) -> &'static str {
        match self {
            Self::Inverting => "makes AC from the battery",
            Self::PassingThrough { .. } => "passes the source on",
            Self::Charging { .. } => "passes the source on and charges",
            Self::Helping { .. } => "passes the source on and helps it from the battery",
            Self::Off(InverterOff::SwitchedOff) => "is switched off",
            Self::Off(InverterOff::Tripped(Trip::LowVoltage { .. })) => "is off: battery low",
            Self::Off(InverterOff::Tripped(Trip::HighVoltage { .. })) => "is off: battery too high",
            Self::Off(InverterOff::Tripped(Trip::Overload { .. })) => "is off: overload",
            Self::Off(InverterOff::Tripped(Trip::Collapse { .. })) => {
                "is off: the battery voltage breaks down"
            }
            Self::Off(InverterOff::NoSource) => "is off: no battery and no source",
            Self::Off(InverterOff::Joined) => "is off: another source stands on its output",
        }
    }
}

/// An inverter in the state.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct InverterFlow {
    /// What it does.
    pub doing: InverterDoing,
    /// At its DC terminals; `None` when they are dead.
    pub dc_voltage: Option<Volts>,
    /// From the battery to make AC.
    pub from_battery: Watts,
    /// AC that it makes.
    pub made: Watts,
    /// AC that goes through its relay to the loads.
    pub passed: Watts,
    /// Into the battery.
    pub charging: Watts,
    /// The voltage that its charger holds or would hold.
    pub stage_voltage: Option<Volts>,
    /// What it loses, its idle draw included.
    pub lost: Watts,
}

/// What a DC-to-DC converter does.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum ConverterDoing {
    /// It holds its output voltage.
    Holding,
    /// It gives its greatest current.
    LimitedByCurrent,
    /// The voltage at its output stands above its own.
    Idle,
    /// It is off.
    Off(ConverterOff),
}

/// Why a DC-to-DC converter is off.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum ConverterOff {
    /// It was switched off.
    SwitchedOff,
    /// It switched off by itself.
    Tripped(Trip),
    /// Its input is dead.
    NoSource,
}

/// A DC-to-DC converter in the state.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct ConverterFlow {
    /// What it does.
    pub doing: ConverterDoing,
    /// Into its input.
    pub input: Watts,
    /// Out of its output.
    pub output: Watts,
    /// What it loses.
    pub lost: Watts,
}

/// What a source does.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum SourceDoing {
    /// It gives power.
    Giving,
    /// Power flows into it: a battery that is charged, strings that others push back.
    Taking,
    /// It is there and gives nothing.
    Resting,
    /// A utility that is out, or a generator that does not run.
    NotThere,
    /// Strings in the dark.
    Dark,
    /// It switched off by itself.
    Tripped(Trip),
    /// A converter that is off, or does not feed this side now.
    Off,
}

/// A source in the state.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct SourceFlow {
    /// Its block.
    pub block: BlockId,
    /// What it is.
    pub kind: SourceKind,
    /// What it does.
    pub doing: SourceDoing,
    /// What it gives to the circuit at its point; negative when it takes.
    pub power: Watts,
    /// The current that goes with it.
    pub current: Amps,
}

/// A load without power.
#[derive(Clone, Debug, PartialEq)]
pub struct Unmet {
    /// The panel or DC load.
    pub block: BlockId,
    /// What it should have.
    pub asked: Watts,
    /// Why it has not.
    pub why: Unserved,
}

/// Why a load is without power.
#[derive(Clone, Debug, PartialEq)]
pub enum Unserved {
    /// No voltage reaches it: what is between it and each source, or ails the source.
    Dead(Vec<Cause>),
    /// It let go by itself.
    LetGo(Trip),
}

/// Why a source does not reach a point.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Cause {
    /// The source's block.
    pub source: BlockId,
    /// What it is.
    pub kind: SourceKind,
    /// What it does.
    pub doing: SourceDoing,
    /// The first open device on the way to it, by its position in [`crate::Network::poles`].
    pub open: Option<usize>,
}
