//! Surge arrester: taken across a circuit, to earth.

use super::declare::{choice, equipment};
use super::inside::Inside;
use crate::circuit::{Potential, Terminal};
use crate::units::{Amps, Volts};

choice! {
    /// For which kind of current it is made.
    ArresterCurrent {
        /// DC.
        Dc = "dc", "DC";
        /// AC.
        Ac = "ac", "AC";
    }
}

equipment! {
    /// A surge arrester.
    SurgeArrester
    nameplate {
        /// For which kind of current it is made.
        current: ArresterCurrent, "Current";
        /// Greatest voltage that may stand on it for good.
        continuous_voltage: Volts, "Continuous voltage", 10 to 2000;
    }
    optional {
        /// Nominal discharge current.
        discharge_current: Amps, "Discharge current", 100 to 200_000;
        /// Short-circuit rating.
        short_circuit_rating: Amps, "Short-circuit rating", 100 to 200_000;
        /// Voltage that it lets through at its discharge current.
        protection_voltage: Volts, "Protection voltage", 50 to 20_000;
    }
    settings {}
    chosen {}
}

impl SurgeArrester {
    pub(super) fn terminals(&self) -> Vec<Terminal> {
        vec![Terminal::new("across", Potential::Any), Terminal::new("earth", Potential::Earth)]
    }

    pub(super) fn inside(&self) -> Inside {
        Inside::with_terminals(2)
    }
}
