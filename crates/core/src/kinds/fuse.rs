//! Fuse: a fuse in its holder, or on a load-break switch.

use super::common::{ContinuousDuty, Fitted, Polarity, PolesIn, Position, TerminalMarking};
use super::curve::ShareAtTemperature;
use super::declare::{choice, equipment};
use super::inside::{Disconnects, Inside, Pole, PoleDevice};
use crate::circuit::{Potential, Terminal};
use crate::units::{Amps, Celsius, Seconds, Volts};

choice! {
    /// In what a fuse sits.
    FuseMount {
        /// Bolted; a fuse alone is no disconnect.
        BoltDown = "bolt_down", "bolt-down";
        /// Finger-safe holder, which isolates without load.
        TouchSafeHolder = "touch_safe_holder", "touch-safe holder";
        /// Load-break switch with the fuse on it.
        FusedSwitch = "fused_switch", "fused load-break switch";
    }
}

choice! {
    /// Class of a fuse.
    FuseClass {
        /// Class T, current-limiting.
        ClassT = "class_t", "Class T";
        /// Class J, current-limiting.
        ClassJ = "class_j", "Class J";
        /// PV fuse.
        Gpv = "gpv", "gPV";
        /// General purpose, IEC.
        Gg = "gg", "gG";
        /// Bolt-down strip fuse.
        Strip = "strip", "strip";
        /// Other.
        Other = "other", "other";
    }
}

equipment! {
    /// A fuse.
    Fuse
    nameplate {
        /// Rated current.
        rating: Amps, "Rating", 0.5 to 6000;
        /// In what it sits.
        mount: FuseMount, "Mount";
        /// Its class.
        class: FuseClass, "Class";
        /// Whether it may carry its rating for hours.
        duty: ContinuousDuty, "Continuous duty";
    }
    optional {
        /// Greatest DC voltage.
        dc_voltage: Volts, "DC voltage", 10 to 2000;
        /// Greatest AC voltage.
        ac_voltage: Volts, "AC voltage", 10 to 1000;
        /// DC interrupting rating.
        interrupting_dc: Amps, "DC interrupting rating", 100 to 200_000;
        /// AC interrupting rating.
        interrupting_ac: Amps, "AC interrupting rating", 100 to 200_000;
        /// Temperature rating of the terminals.
        terminal_temperature: Celsius, "Terminal temperature", 60 to 120;
        /// Whether it is listed for PV.
        pv_listed: Fitted, "Listed for PV";
        /// Whether its switch can be locked open.
        lockable: Fitted, "Lockable open";
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
        /// Poles that are fused, when it is more than one.
        poles: u32, "Fused poles", 1 to 4;
        /// In which conductor its poles stand; in the ungrounded ones when not given.
        poles_in: PolesIn, "Poles stand in";
    }
}

impl Fuse {
    pub(super) fn terminals(&self) -> Vec<Terminal> {
        vec![Terminal::new("line", Potential::Any), Terminal::new("load", Potential::Any)]
    }

    pub(super) fn inside(&self) -> Inside {
        let mut inside = Inside::with_terminals(2);
        inside.pole(
            0,
            1,
            Pole {
                device: PoleDevice::Fuse,
                name: None,
                overcurrent: Some(self.rating),
                carries: None,
                disconnects: match self.mount {
                    FuseMount::BoltDown => Disconnects::No,
                    FuseMount::TouchSafeHolder => Disconnects::WithoutLoad,
                    FuseMount::FusedSwitch => Disconnects::UnderLoad,
                },
                dc_voltage: self.dc_voltage,
                ac_voltage: self.ac_voltage,
                interrupts_dc: self.interrupting_dc,
                interrupts_ac: self.interrupting_ac,
                polarity: Polarity::None,
                duty: self.duty,
                terminal_temperature: self.terminal_temperature,
                position: self.position,
                throw: None,
            },
        );
        inside
    }

    /// Whether the fuse limits the let-through current.
    pub fn is_current_limiting(&self) -> bool {
        matches!(self.class, FuseClass::ClassT | FuseClass::ClassJ | FuseClass::Gpv)
    }

    pub(super) fn contradictions(&self) -> Vec<String> {
        rating_without_interrupting(self.dc_voltage, self.ac_voltage)
    }
}

/// A device must be marked for at least one kind of current.
pub(super) fn rating_without_interrupting(dc: Option<Volts>, ac: Option<Volts>) -> Vec<String> {
    if dc.is_none() && ac.is_none() {
        vec!["neither a DC nor an AC voltage is on the nameplate".to_owned()]
    } else {
        Vec::new()
    }
}
