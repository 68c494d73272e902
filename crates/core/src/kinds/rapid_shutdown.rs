//! Rapid shutdown: the initiator that a firefighter throws, and the receivers at the strings.

use super::common::{ContinuousDuty, Fitted, Polarity, Position};
use super::declare::{choice, equipment};
use super::inside::{Disconnects, Inside, Pole, PoleDevice};
use crate::circuit::{Potential, Terminal};
use crate::units::{Amps, Seconds, Volts};

choice! {
    /// What a receiver controls.
    ReceiverReach {
        /// Each module by itself.
        EachModule = "each_module", "each module";
        /// The whole string at the array's edge.
        WholeString = "whole_string", "the whole string";
    }
}

equipment! {
    /// The switch that starts rapid shutdown. It stands on no power circuit.
    ShutdownInitiator
    nameplate {
        /// Time in which the controlled conductors become safe.
        time: Seconds, "Acts within", 0.1 to 60;
    }
    optional {}
    settings {
        /// As drawn in normal service.
        position: Position, "Position";
    }
    chosen {}
}

impl ShutdownInitiator {
    pub(super) fn terminals(&self) -> Vec<Terminal> {
        Vec::new()
    }
    pub(super) fn inside(&self) -> Inside {
        Inside::default()
    }
}

equipment! {
    /// Receivers that cut a string off, or its modules from each other.
    ShutdownReceiver
    nameplate {
        /// What it controls.
        reach: ReceiverReach, "Controls";
        /// Current it may carry.
        rating: Amps, "Rating", 1 to 100;
        /// Voltage left on the controlled conductors.
        residual_voltage: Volts, "Voltage left", 0 to 100;
    }
    optional {
        /// Greatest DC voltage.
        dc_voltage: Volts, "DC voltage", 10 to 2000;
        /// Whether it belongs to a listed system that makes the inside of the array safe.
        hazard_control: Fitted, "Listed for hazard control";
    }
    settings {}
    chosen {}
}

impl ShutdownReceiver {
    pub(super) fn terminals(&self) -> Vec<Terminal> {
        vec![Terminal::new("line", Potential::Pv), Terminal::new("load", Potential::Pv)]
    }

    pub(super) fn inside(&self) -> Inside {
        let mut inside = Inside::with_terminals(2);
        inside.pole(
            0,
            1,
            Pole {
                device: PoleDevice::Relay,
                name: Some("receiver".to_owned()),
                overcurrent: None,
                carries: Some(self.rating),
                disconnects: Disconnects::No,
                dc_voltage: self.dc_voltage,
                ac_voltage: None,
                interrupts_dc: None,
                interrupts_ac: None,
                polarity: Polarity::None,
                duty: ContinuousDuty::HundredPercent,
                terminal_temperature: None,
                position: Position::Closed,
                throw: None,
            },
        );
        inside
    }
}
