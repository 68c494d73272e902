//! Junction: a splice box or a set of branch connectors where conductors meet without a device.

use super::combiner::small;
use super::common::TerminalMarking;
use super::declare::equipment;
use super::inside::Inside;
use crate::circuit::{Potential, Terminal};
use crate::units::{Amps, Celsius, Volts};

equipment! {
    /// A splice box or branch connectors.
    Junction
    nameplate {
        /// Conductors that meet.
        ends: u32, "Ends", 2 to 8;
        /// Current that the joint may carry.
        rating: Amps, "Rating", 1 to 1000;
    }
    optional {
        /// Greatest voltage.
        voltage: Volts, "Voltage", 10 to 2000;
        /// Temperature rating of the joint.
        terminal_temperature: Celsius, "Terminal temperature", 60 to 120;
        /// For which conductors the terminals are marked.
        terminal_marking: TerminalMarking, "Terminals are marked for";
    }
    settings {}
    chosen {}
}

impl Junction {
    pub(super) fn terminals(&self) -> Vec<Terminal> {
        (1..=small(self.ends)).map(|n| Terminal::numbered("end", n, Potential::Any)).collect()
    }

    pub(super) fn inside(&self) -> Inside {
        let ends = usize::from(small(self.ends));
        let mut inside = Inside::with_terminals(ends);
        for end in 1..ends {
            inside.solid(0, end);
        }
        inside
    }
}
