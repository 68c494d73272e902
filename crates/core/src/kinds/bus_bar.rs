//! Bus bar: taps on one bar, DC or AC, and the bar to which equipment grounds come.

use super::combiner::small;
use super::common::{Fitted, TerminalMarking};
use super::declare::equipment;
use super::inside::Inside;
use crate::circuit::{Potential, Terminal};
use crate::units::{Amps, Celsius, Volts};

equipment! {
    /// A bus bar with taps.
    BusBar
    nameplate {
        /// Current that the bar may carry.
        rating: Amps, "Rating", 1 to 6000;
        /// Places where a conductor or a device lands.
        taps: u32, "Taps", 2 to 24;
    }
    optional {
        /// Greatest voltage.
        voltage: Volts, "Voltage", 10 to 2000;
        /// Short-circuit rating of the assembly.
        short_circuit_rating: Amps, "Short-circuit rating", 100 to 200_000;
        /// Temperature rating of the taps.
        terminal_temperature: Celsius, "Terminal temperature", 60 to 120;
        /// Whether the bar is covered against touch.
        covered: Fitted, "Covered";
        /// For which conductors the terminals are marked.
        terminal_marking: TerminalMarking, "Terminals are marked for";
    }
    settings {}
    chosen {}
}

impl BusBar {
    pub(super) fn terminals(&self) -> Vec<Terminal> {
        (1..=small(self.taps))
            .map(|n| Terminal::numbered("tap", n, Potential::Any))
            .chain([Terminal::new("bond", Potential::Earth)])
            .collect()
    }

    pub(super) fn inside(&self) -> Inside {
        let taps = usize::from(small(self.taps));
        let mut inside = Inside::with_terminals(taps + 1);
        for tap in 1..taps {
            inside.solid(0, tap);
        }
        inside
    }
}
