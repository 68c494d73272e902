//! DC-to-DC converter: feeds loads of another voltage from the battery bus.

use super::common::{Separation, TerminalMarking};
use super::declare::equipment;
use super::inside::{Inside, SinkKind, SourceKind};
use crate::circuit::{Potential, Terminal};
use crate::units::{Amps, Celsius, Percent, Volts, Watts};

equipment! {
    /// A DC-to-DC converter.
    DcConverter
    nameplate {
        /// Output voltage.
        output_voltage: Volts, "Output voltage", 1 to 1000;
        /// Greatest output current.
        output_current: Amps, "Output current", 0.1 to 500;
        /// Lowest input voltage.
        min_input_voltage: Volts, "Lowest input voltage", 1 to 1000;
        /// Input voltage above which it is destroyed.
        max_input_voltage: Volts, "Greatest input voltage", 1 to 1000;
    }
    optional {
        /// Efficiency at rated output.
        efficiency: Percent, "Efficiency", 50 to 100;
        /// Temperature rating of the terminals.
        terminal_temperature: Celsius, "Terminal temperature", 60 to 120;
        /// Whether it joins both sides galvanically.
        separation: Separation, "Separation";
        /// What it takes with no load.
        own_consumption: Watts, "Own consumption", 0 to 100;
        /// For which conductors the terminals are marked.
        terminal_marking: TerminalMarking, "Terminals are marked for";
    }
    settings {}
    chosen {}
}

impl DcConverter {
    pub(super) fn terminals(&self) -> Vec<Terminal> {
        vec![Terminal::new("in", Potential::Battery), Terminal::new("out", Potential::Battery)]
    }

    pub(super) fn inside(&self) -> Inside {
        let mut inside = Inside::with_terminals(2);
        inside.sink(0, SinkKind::DcLoads);
        inside.converter(0, 1);
        inside.source(1, SourceKind::DcConverterOutput);
        inside
    }

    /// Greatest input current: rated output at the lowest input voltage.
    pub fn input_current(&self) -> Amps {
        let efficiency = self.efficiency.map_or(DEFAULT_EFFICIENCY, Percent::share);
        (self.output_voltage * self.output_current) / (self.min_input_voltage * efficiency)
    }

    pub(super) fn contradictions(&self) -> Vec<String> {
        if self.min_input_voltage >= self.max_input_voltage {
            vec!["input window is empty".to_owned()]
        } else {
            Vec::new()
        }
    }
}

/// Used when the nameplate does not tell; engineering judgement, on the safe side for the input current.
const DEFAULT_EFFICIENCY: f64 = 0.85;
