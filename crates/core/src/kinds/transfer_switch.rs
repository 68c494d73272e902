//! Transfer switch: two positions with a mechanical interlock, as transfer between two supplies or as
//! bypass round an inverter.

use super::common::{ContinuousDuty, Fitted, LoadBreak, Polarity, Position, TerminalMarking};
use super::declare::{choice, equipment};
use super::inside::{Disconnects, Inside, Pole, PoleDevice};
use crate::circuit::{Potential, Terminal};
use crate::units::{Amps, Celsius, Seconds, Volts};

choice! {
    /// What the two positions do.
    TransferArrangement {
        /// The load is fed from the normal or from the standby supply.
        Transfer = "transfer", "transfer";
        /// The load is fed through the inverter or straight from the source.
        Bypass = "bypass", "bypass";
    }
}

choice! {
    /// In which position it stands.
    TransferPosition {
        /// Normal supply, or through the inverter.
        Normal = "normal", "normal";
        /// Standby supply, or past the inverter.
        Alternate = "alternate", "standby or bypass";
    }
}

choice! {
    /// What keeps the two positions from being closed together.
    Interlock {
        /// A common blade or a mechanical interlock.
        Mechanical = "mechanical", "mechanical";
        /// Nothing but care.
        None = "none", "none";
    }
}

choice! {
    /// Whether the neutral is switched with the lines.
    SwitchedNeutral {
        /// It is.
        Yes = "yes", "neutral switched";
        /// It goes through.
        No = "no", "neutral solid";
    }
}

equipment! {
    /// A two-position transfer or bypass switch.
    TransferSwitch
    nameplate {
        /// What the two positions do.
        arrangement: TransferArrangement, "Arrangement";
        /// Current it may carry.
        rating: Amps, "Rating", 5 to 4000;
        /// What keeps the positions apart.
        interlock: Interlock, "Interlock";
        /// Whether the neutral is switched.
        switched_neutral: SwitchedNeutral, "Neutral";
        /// Whether it may be thrown under load.
        load_break: LoadBreak, "Load-break";
        /// Whether it works by itself.
        automatic: Fitted, "Automatic";
    }
    optional {
        /// Greatest AC voltage.
        ac_voltage: Volts, "AC voltage", 100 to 1000;
        /// Short-circuit rating.
        short_circuit_rating: Amps, "Short-circuit rating", 100 to 200_000;
        /// Temperature rating of the terminals.
        terminal_temperature: Celsius, "Terminal temperature", 60 to 120;
        /// Whether it can be locked.
        lockable: Fitted, "Lockable";
        /// Time in which it changes over by itself.
        transfer_time: Seconds, "Transfer time", 0 to 600;
        /// For which conductors the terminals are marked.
        terminal_marking: TerminalMarking, "Terminals are marked for";
    }
    settings {
        /// As drawn in normal service.
        position: TransferPosition, "Position";
    }
    chosen {}
}

impl TransferSwitch {
    pub(super) fn terminals(&self) -> Vec<Terminal> {
        match self.arrangement {
            TransferArrangement::Transfer => vec![
                Terminal::new("normal", Potential::Ac),
                Terminal::new("standby", Potential::Ac),
                Terminal::new("load", Potential::Ac),
            ],
            TransferArrangement::Bypass => vec![
                Terminal::new("source", Potential::Ac),
                Terminal::new("to_inverter", Potential::Ac),
                Terminal::new("from_inverter", Potential::Ac),
                Terminal::new("load", Potential::Ac),
            ],
        }
    }

    pub(super) fn inside(&self) -> Inside {
        use TransferPosition::{Alternate, Normal};
        match self.arrangement {
            TransferArrangement::Transfer => {
                let mut inside = Inside::with_terminals(3);
                inside.pole(0, 2, self.pole("normal supply", Normal));
                inside.pole(1, 2, self.pole("standby supply", Alternate));
                inside
            }
            TransferArrangement::Bypass => {
                let mut inside = Inside::with_terminals(4);
                inside.pole(0, 1, self.pole("to the inverter", Normal));
                inside.pole(2, 3, self.pole("from the inverter", Normal));
                inside.pole(0, 3, self.pole("bypass", Alternate));
                inside
            }
        }
    }

    fn pole(&self, name: &str, closed_in: TransferPosition) -> Pole {
        Pole {
            device: PoleDevice::Switch,
            name: Some(name.to_owned()),
            overcurrent: None,
            carries: Some(self.rating),
            disconnects: match self.load_break {
                LoadBreak::Yes => Disconnects::UnderLoad,
                LoadBreak::No => Disconnects::WithoutLoad,
            },
            dc_voltage: None,
            ac_voltage: self.ac_voltage,
            interrupts_dc: None,
            interrupts_ac: None,
            polarity: Polarity::None,
            duty: ContinuousDuty::HundredPercent,
            terminal_temperature: self.terminal_temperature,
            position: if self.position == closed_in { Position::Closed } else { Position::Open },
            throw: Some(match closed_in {
                TransferPosition::Normal => 1,
                TransferPosition::Alternate => 2,
            }),
        }
    }
}
