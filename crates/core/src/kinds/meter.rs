//! Meter: a shunt or another measuring device in a conductor.

use super::common::TerminalMarking;
use super::declare::{choice, equipment};
use super::inside::Inside;
use crate::circuit::{Potential, Terminal};
use crate::units::{Amps, Celsius, Ohms, Volts};

choice! {
    /// What measures.
    MeterType {
        /// A shunt in the conductor.
        Shunt = "shunt", "shunt";
        /// An energy meter.
        Energy = "energy", "energy meter";
        /// A current transformer round the conductor.
        CurrentTransformer = "current_transformer", "current transformer";
    }
}

equipment! {
    /// A shunt or meter.
    Meter
    nameplate {
        /// What measures.
        kind: MeterType, "Type";
        /// Current it may carry.
        rating: Amps, "Rating", 1 to 6000;
    }
    optional {
        /// Resistance of a shunt.
        resistance: Ohms, "Resistance", 0.000_000_1 to 1;
        /// Greatest voltage.
        voltage: Volts, "Voltage", 1 to 2000;
        /// Temperature rating of the terminals.
        terminal_temperature: Celsius, "Terminal temperature", 60 to 120;
        /// For which conductors the terminals are marked.
        terminal_marking: TerminalMarking, "Terminals are marked for";
    }
    settings {}
    chosen {}
}

impl Meter {
    pub(super) fn terminals(&self) -> Vec<Terminal> {
        vec![Terminal::new("line", Potential::Any), Terminal::new("load", Potential::Any)]
    }

    pub(super) fn inside(&self) -> Inside {
        let mut inside = Inside::with_terminals(2);
        inside.solid(0, 1);
        inside
    }
}
