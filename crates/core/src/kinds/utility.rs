//! Utility: the service of an electric utility.

use super::common::AcSystem;
use super::declare::equipment;
use super::inside::{Inside, SourceKind};
use crate::circuit::{Potential, Terminal};
use crate::units::{Amps, Hertz};

equipment! {
    /// A utility service.
    Utility
    nameplate {
        /// AC system.
        ac_system: AcSystem, "AC system";
        /// Frequency.
        frequency: Hertz, "Frequency", 45 to 65;
        /// Rating of the service.
        service_rating: Amps, "Service rating", 5 to 6000;
    }
    optional {
        /// Available fault current, as the utility gives it.
        fault_current: Amps, "Available fault current", 10 to 200_000;
    }
    settings {}
    chosen {}
}

impl Utility {
    pub(super) fn terminals(&self) -> Vec<Terminal> {
        vec![Terminal::new("out", Potential::Ac), Terminal::new("bond", Potential::Earth)]
    }

    pub(super) fn inside(&self) -> Inside {
        let mut inside = Inside::with_terminals(2);
        inside.source(0, SourceKind::Utility);
        inside
    }
}
