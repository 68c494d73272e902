//! DC load: lights, pumps and the like that hang on the battery bus.

use super::declare::equipment;
use super::inside::{Inside, SinkKind};
use crate::circuit::{Potential, Terminal};
use crate::units::{Amps, Celsius, Volts};

equipment! {
    /// DC loads of one circuit.
    DcLoad
    nameplate {
        /// Current of all of them together.
        current: Amps, "Current", 0.01 to 1000;
    }
    optional {
        /// Voltage above which they are destroyed.
        max_voltage: Volts, "Greatest voltage", 5 to 1000;
        /// Voltage below which they do not work.
        min_voltage: Volts, "Lowest voltage", 1 to 1000;
        /// Temperature rating of the terminals.
        terminal_temperature: Celsius, "Terminal temperature", 60 to 120;
    }
    settings {}
    chosen {
        /// Part of the current that runs three hours or more; all of it when not given.
        continuous_current: Amps, "Continuous part", 0 to 1000;
    }
}

impl DcLoad {
    pub(super) fn terminals(&self) -> Vec<Terminal> {
        vec![Terminal::new("in", Potential::Battery)]
    }

    pub(super) fn inside(&self) -> Inside {
        let mut inside = Inside::with_terminals(1);
        inside.sink(0, SinkKind::DcLoads);
        inside
    }

    pub(super) fn contradictions(&self) -> Vec<String> {
        match (self.min_voltage, self.max_voltage) {
            (Some(low), Some(high)) if low >= high => vec!["voltage window is empty".to_owned()],
            _ => Vec::new(),
        }
    }
}
