//! What every converter does at the moment of the search: the powers that couple the islands.

use crate::flow::alternating::Power;
use crate::flow::direct::Mode;
use crate::flow::tracking::Bound;

/// How much a controller takes from its strings.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub(in crate::flow) enum Draw {
    /// All that they give.
    #[default]
    All,
    /// So many watts.
    Watts(f64),
}

/// Why a controller gets nothing from its strings.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(in crate::flow) enum Starved {
    /// Their voltage is too low for it.
    TooLow,
    /// Their open-circuit voltage is above what it starts at.
    TooHigh,
}

/// A charge controller.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub(in crate::flow) struct ControllerNow {
    /// What its strings would give, when that was looked for.
    pub available_watts: f64,
    /// The current that goes with it.
    pub available_amps: f64,
    pub bound: Bound,
    pub starved: Option<Starved>,
    pub draw: Draw,
    pub in_volts: f64,
    pub in_amps: f64,
    pub out_volts: f64,
    pub out_amps: f64,
    /// `None` when it is not there to give.
    pub mode: Option<Mode>,
    pub is_power_limited: bool,
    /// Part of the time in which a switching controller lets the strings through.
    pub duty: f64,
    /// The voltage that it holds or would hold.
    pub set_volts: Option<f64>,
}

/// A DC-to-DC converter.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub(in crate::flow) struct ConverterNow {
    pub out_watts: f64,
    pub out_amps: f64,
    pub in_volts: f64,
    pub mode: Option<Mode>,
}

/// An inverter.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub(in crate::flow) struct InverterNow {
    /// The input through which it passes.
    pub passes: Option<usize>,
    /// Whether it makes AC by itself.
    pub inverts: bool,
    /// What it makes while it inverts.
    pub output: Power,
    /// What it takes from the battery to make AC.
    pub dc_watts: f64,
    /// What goes through its relay.
    pub through_watts: f64,
    /// What it adds to a source that is too small.
    pub help_watts: f64,
    /// What its charger may take from the AC input.
    pub room_watts: f64,
    /// What its charger gives.
    pub charge_watts: f64,
    pub charge_amps: f64,
    pub charge_mode: Option<Mode>,
    /// The voltage that the charger holds or would hold.
    pub set_volts: Option<f64>,
    pub dc_volts: f64,
    pub in_volts: f64,
}

/// Numbers by which an island is known again, to see whether anything changed.
#[derive(Clone, Debug, Default, PartialEq)]
pub(super) struct Fingerprint {
    numbers: Vec<f64>,
}

/// Numbers that differ by less, as a share, are the same.
const SAME: f64 = 1e-13;

impl Fingerprint {
    pub(super) fn push(&mut self, number: f64) {
        self.numbers.push(number);
    }
    pub(super) fn is_like(&self, other: &Self) -> bool {
        self.numbers.len() == other.numbers.len()
            && self
                .numbers
                .iter()
                .zip(&other.numbers)
                .all(|(a, b)| a.total_cmp(b).is_eq() || (a - b).abs() <= SAME * a.abs().max(b.abs()).max(1.0))
    }
}
