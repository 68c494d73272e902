//! Switch: a disconnect switch without overcurrent protection; one handle may open several circuits.

use super::combiner::small;
use super::common::{ContinuousDuty, Fitted, LoadBreak, Polarity, PolesIn, Position, TerminalMarking};
use super::declare::equipment;
use super::inside::{Disconnects, Inside, Pole, PoleDevice};
use crate::circuit::{Potential, Terminal};
use crate::units::{Amps, Celsius, Volts};

equipment! {
    /// A disconnect switch.
    Switch
    nameplate {
        /// Current that each circuit may carry.
        rating: Amps, "Rating", 1 to 6000;
        /// Circuits that the one handle opens together.
        circuits: u32, "Circuits", 1 to 6;
        /// Poles in each circuit.
        poles: u32, "Poles in each circuit", 1 to 4;
        /// Whether it may be opened under load.
        load_break: LoadBreak, "Load-break";
        /// Whether it minds the direction of DC.
        polarity: Polarity, "Direction of current";
    }
    optional {
        /// Greatest DC voltage, with the poles wired as marked.
        dc_voltage: Volts, "DC voltage", 10 to 2000;
        /// Greatest AC voltage.
        ac_voltage: Volts, "AC voltage", 10 to 1000;
        /// Short-circuit withstand rating.
        short_circuit_rating: Amps, "Short-circuit rating", 100 to 200_000;
        /// Temperature rating of the terminals.
        terminal_temperature: Celsius, "Terminal temperature", 60 to 120;
        /// Whether it can be locked open.
        lockable: Fitted, "Lockable open";
        /// Whether it is listed for PV.
        pv_listed: Fitted, "Listed for PV";
        /// Poles that are wired in series in one conductor to reach the DC voltage.
        poles_in_series: u32, "Poles in series", 1 to 4;
        /// For which conductors the terminals are marked.
        terminal_marking: TerminalMarking, "Terminals are marked for";
    }
    settings {
        /// As drawn in normal service.
        position: Position, "Position";
    }
    chosen {
        /// Whether opening it also starts rapid shutdown.
        starts_rapid_shutdown: Fitted, "Starts rapid shutdown";
        /// In which conductor its poles stand; in the ungrounded ones when not given.
        poles_in: PolesIn, "Poles stand in";
    }
}

impl Switch {
    pub(super) fn terminals(&self) -> Vec<Terminal> {
        if self.circuits <= 1 {
            return vec![Terminal::new("line", Potential::Any), Terminal::new("load", Potential::Any)];
        }
        (1..=small(self.circuits))
            .flat_map(|n| {
                [Terminal::numbered("line", n, Potential::Any), Terminal::numbered("load", n, Potential::Any)]
            })
            .collect()
    }

    pub(super) fn inside(&self) -> Inside {
        let circuits = usize::from(small(self.circuits)).max(1);
        let mut inside = Inside::with_terminals(2 * circuits);
        for circuit in 0..circuits {
            inside.pole(
                2 * circuit,
                2 * circuit + 1,
                Pole {
                    device: PoleDevice::Switch,
                    name: (circuits > 1).then(|| format!("circuit {}", circuit + 1)),
                    overcurrent: None,
                    carries: Some(self.rating),
                    disconnects: match self.load_break {
                        LoadBreak::Yes => Disconnects::UnderLoad,
                        LoadBreak::No => Disconnects::WithoutLoad,
                    },
                    dc_voltage: self.dc_voltage,
                    ac_voltage: self.ac_voltage,
                    interrupts_dc: None,
                    interrupts_ac: None,
                    polarity: self.polarity,
                    duty: ContinuousDuty::HundredPercent,
                    terminal_temperature: self.terminal_temperature,
                    position: self.position,
                    throw: None,
                },
            );
        }
        inside
    }

    pub(super) fn contradictions(&self) -> Vec<String> {
        super::fuse::rating_without_interrupting(self.dc_voltage, self.ac_voltage)
    }
}
