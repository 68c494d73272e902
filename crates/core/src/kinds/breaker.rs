//! Breaker: a circuit breaker, DC or AC.

use super::common::{ContinuousDuty, Fitted, Polarity, PolesIn, Position, TerminalMarking, TripClass};
use super::curve::ShareAtTemperature;
use super::declare::equipment;
use super::inside::{Disconnects, Inside, Pole, PoleDevice};
use crate::circuit::{Potential, Terminal};
use crate::units::{Amps, Celsius, Seconds, Volts};

equipment! {
    /// A circuit breaker.
    Breaker
    nameplate {
        /// Rated current.
        rating: Amps, "Rating", 1 to 6000;
        /// Poles that open together.
        poles: u32, "Poles", 1 to 4;
        /// Whether it minds the direction of DC.
        polarity: Polarity, "Direction of current";
        /// Whether it may carry its rating for hours.
        duty: ContinuousDuty, "Continuous duty";
        /// What its time curve is like.
        trip: TripClass, "Trip class";
    }
    optional {
        /// Greatest DC voltage, with the poles wired as marked.
        dc_voltage: Volts, "DC voltage", 10 to 2000;
        /// Greatest AC voltage.
        ac_voltage: Volts, "AC voltage", 10 to 1000;
        /// DC interrupting rating at the DC voltage.
        interrupting_dc: Amps, "DC interrupting rating", 100 to 200_000;
        /// AC interrupting rating at the AC voltage.
        interrupting_ac: Amps, "AC interrupting rating", 100 to 200_000;
        /// Temperature rating of the terminals.
        terminal_temperature: Celsius, "Terminal temperature", 60 to 120;
        /// Whether it is listed for PV.
        pv_listed: Fitted, "Listed for PV";
        /// Whether it can be locked open.
        lockable: Fitted, "Lockable open";
        /// Whether it plugs onto a bus without being fastened.
        plug_in: Fitted, "Plug-in, not fastened";
        /// Whether its terminals are marked line and load.
        marked_line_load: Fitted, "Marked line and load";
        /// Poles that are wired in series in one conductor to reach the DC voltage.
        poles_in_series: u32, "Poles in series", 1 to 4;
        /// Share of the rating that is left in warm surroundings.
        rating_by_temperature: ShareAtTemperature, "Rating by temperature";
        /// Current at which it opens within 5 s.
        five_second_current: Amps, "Opens in 5 s at", 1 to 200_000;
        /// Time in which it opens on a short circuit.
        clearing_time: Seconds, "Clears a short circuit within", 0.000_1 to 10;
        /// For which conductors the terminals are marked.
        terminal_marking: TerminalMarking, "Terminals are marked for";
    }
    settings {
        /// As drawn in normal service.
        position: Position, "Position";
    }
    chosen {
        /// Breakers that carry the same interlock name are mechanically kept from closing together.
        interlock: String, "Interlock";
        /// In which conductor its poles stand; in the ungrounded ones when not given.
        poles_in: PolesIn, "Poles stand in";
    }
}

impl Breaker {
    pub(super) fn terminals(&self) -> Vec<Terminal> {
        vec![Terminal::new("line", Potential::Any), Terminal::new("load", Potential::Any)]
    }

    pub(super) fn inside(&self) -> Inside {
        let mut inside = Inside::with_terminals(2);
        inside.pole(
            0,
            1,
            Pole {
                device: PoleDevice::Breaker,
                name: None,
                overcurrent: Some(self.rating),
                carries: None,
                disconnects: Disconnects::UnderLoad,
                dc_voltage: self.dc_voltage,
                ac_voltage: self.ac_voltage,
                interrupts_dc: self.interrupting_dc,
                interrupts_ac: self.interrupting_ac,
                polarity: self.polarity,
                duty: self.duty,
                terminal_temperature: self.terminal_temperature,
                position: self.position,
                throw: None,
            },
        );
        inside
    }

    pub(super) fn contradictions(&self) -> Vec<String> {
        super::fuse::rating_without_interrupting(self.dc_voltage, self.ac_voltage)
    }
}
