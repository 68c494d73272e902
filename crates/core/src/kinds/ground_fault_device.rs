//! Ground-fault device: a separate detector that opens a DC circuit or an AC residual-current device.

use super::common::{ContinuousDuty, Polarity, Position, TerminalMarking};
use super::declare::{choice, equipment};
use super::inside::{Disconnects, Inside, Pole, PoleDevice};
use crate::circuit::{Potential, Terminal};
use crate::units::{Amps, Celsius, Volts};

choice! {
    /// What a ground-fault device does.
    GroundFaultType {
        /// Detects and opens PV or DC circuits.
        DcInterrupter = "dc_interrupter", "DC ground-fault interrupter";
        /// Residual-current device, AC.
        ResidualCurrent = "residual_current", "residual-current device";
    }
}

choice! {
    /// Which residual currents an AC device notices.
    ResidualType {
        /// Alternating ones.
        TypeAc = "type_ac", "alternating";
        /// Alternating and pulsating ones.
        TypeA = "type_a", "alternating and pulsating";
        /// Those of drives with one phase too.
        TypeF = "type_f", "alternating, pulsating and mixed frequencies";
        /// Smooth direct current too.
        TypeB = "type_b", "direct current too";
    }
}

equipment! {
    /// A ground-fault device in a circuit.
    GroundFaultDevice
    nameplate {
        /// What it does.
        kind: GroundFaultType, "Type";
        /// Current it may carry.
        rating: Amps, "Rating", 1 to 1000;
        /// Ground current at which it opens.
        trip_current: Amps, "Opens at", 0.001 to 10;
    }
    optional {
        /// Greatest DC voltage.
        dc_voltage: Volts, "DC voltage", 10 to 2000;
        /// Greatest AC voltage.
        ac_voltage: Volts, "AC voltage", 100 to 1000;
        /// Rating as a breaker, when it is one.
        breaker_rating: Amps, "Breaker rating", 1 to 1000;
        /// Interrupting rating, when it is a breaker.
        interrupting: Amps, "Interrupting rating", 100 to 200_000;
        /// Temperature rating of the terminals.
        terminal_temperature: Celsius, "Terminal temperature", 60 to 120;
        /// Poles that open together.
        poles: u32, "Poles", 1 to 4;
        /// Which residual currents it notices.
        residual_type: ResidualType, "Residual currents";
        /// For which conductors the terminals are marked.
        terminal_marking: TerminalMarking, "Terminals are marked for";
    }
    settings {
        /// As drawn in normal service.
        position: Position, "Position";
    }
    chosen {}
}

impl GroundFaultDevice {
    pub(super) fn terminals(&self) -> Vec<Terminal> {
        vec![
            Terminal::new("line", Potential::Any),
            Terminal::new("load", Potential::Any),
            Terminal::new("earth", Potential::Earth),
        ]
    }

    pub(super) fn inside(&self) -> Inside {
        let dc = self.kind == GroundFaultType::DcInterrupter;
        let mut inside = Inside::with_terminals(3);
        inside.pole(
            0,
            1,
            Pole {
                device: if self.breaker_rating.is_some() { PoleDevice::Breaker } else { PoleDevice::Switch },
                name: None,
                overcurrent: self.breaker_rating,
                carries: Some(self.rating),
                disconnects: Disconnects::UnderLoad,
                dc_voltage: self.dc_voltage,
                ac_voltage: self.ac_voltage,
                interrupts_dc: self.interrupting.filter(|_| dc),
                interrupts_ac: self.interrupting.filter(|_| !dc),
                polarity: Polarity::None,
                duty: ContinuousDuty::EightyPercent,
                terminal_temperature: self.terminal_temperature,
                position: self.position,
                throw: None,
            },
        );
        inside
    }
}
