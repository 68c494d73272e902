//! AC panel: a bus with an optional main breaker, taps, and the loads that hang on it.

use super::combiner::small;
use super::common::{AcSystem, ContinuousDuty, Fitted, Polarity, Position, TerminalMarking};
use super::declare::{choice, equipment};
use super::inside::{Disconnects, Inside, Pole, PoleDevice, SinkKind};
use crate::circuit::{Potential, Terminal};
use crate::units::{Amps, Celsius, Hertz, Percent, VoltAmps, Volts, Watts};

choice! {
    /// Whether circuits of a panel share a neutral.
    MultiwireCircuits {
        /// None does.
        None = "none", "no shared neutrals";
        /// Some do.
        Some = "some", "some shared neutrals";
    }
}

choice! {
    /// How a panel gets its neutral bonded.
    PanelBond {
        /// The neutral is kept apart from equipment ground here.
        Separate = "separate", "neutral kept apart";
        /// The main bonding jumper is here.
        Bonded = "bonded", "main bonding jumper here";
    }
}

choice! {
    /// Where the breaker of a second source stands on a bus.
    SourcePosition {
        /// At the end away from the main breaker.
        FarEnd = "far_end", "at the far end of the bus";
        /// Anywhere else.
        Elsewhere = "elsewhere", "elsewhere on the bus";
    }
}

equipment! {
    /// An AC panel with its loads.
    AcPanel
    nameplate {
        /// AC system that the panel is built for.
        ac_system: AcSystem, "AC system";
        /// Bus rating.
        bus_rating: Amps, "Bus rating", 5 to 4000;
        /// Taps for feeders to other blocks; loads need none.
        taps: u32, "Taps", 1 to 12;
    }
    optional {
        /// Rating of the main breaker.
        main_rating: Amps, "Main breaker", 5 to 4000;
        /// AC interrupting rating of the main breaker.
        main_interrupting: Amps, "Main breaker interrupts", 100 to 200_000;
        /// Greatest AC voltage.
        voltage: Volts, "Voltage", 100 to 1000;
        /// Short-circuit rating of the assembly.
        short_circuit_rating: Amps, "Short-circuit rating", 100 to 200_000;
        /// Rating of the neutral bus.
        neutral_rating: Amps, "Neutral bus rating", 5 to 4000;
        /// Temperature rating of the terminals.
        terminal_temperature: Celsius, "Terminal temperature", 60 to 120;
        /// For which conductors the terminals are marked.
        terminal_marking: TerminalMarking, "Terminals are marked for";
    }
    settings {
        /// How the neutral is bonded here.
        bond: PanelBond, "Neutral";
        /// Whether circuits share a neutral.
        multiwire: MultiwireCircuits, "Shared neutrals";
    }
    chosen {
        /// Load connected here, all of it.
        connected_load: Watts, "Connected load", 0 to 1_000_000;
        /// Part of it that runs three hours or more.
        continuous_load: Watts, "Continuous part", 0 to 1_000_000;
        /// The largest single load.
        largest_load: Watts, "Largest load", 0 to 1_000_000;
        /// Frequency that the loads need.
        frequency: Hertz, "Frequency of the loads", 45 to 65;
        /// Power factor of the loads.
        power_factor: Percent, "Power factor of the loads", 30 to 100;
        /// Power of the load that is hardest to start, while it starts.
        largest_start: Watts, "Largest start", 0 to 1_000_000;
        /// The largest load that needs both lines of a split-phase supply.
        largest_240_load: Watts, "Largest load on two lines", 0 to 1_000_000;
        /// Sum of the ratings of all breakers on the bus, loads and sources, the main excepted.
        branch_breakers: Amps, "Sum of branch breakers", 0 to 10_000;
        /// Rating of the largest breaker of a final circuit.
        largest_branch_breaker: Amps, "Largest final breaker", 1 to 4000;
        /// Where the breaker of a second source stands on the bus.
        source_position: SourcePosition, "Source breaker";
        /// Whether the outlets are protected by residual-current devices or ground-fault interrupters.
        residual_current: Fitted, "Residual-current protection";
    }
}

impl AcPanel {
    pub(super) fn terminals(&self) -> Vec<Terminal> {
        std::iter::once(Terminal::new("feed", Potential::Ac))
            .chain((1..=small(self.taps)).map(|n| Terminal::numbered("tap", n, Potential::Ac)))
            .chain([Terminal::new("bond", Potential::Earth)])
            .collect()
    }

    pub(super) fn inside(&self) -> Inside {
        let taps = usize::from(small(self.taps));
        let mut inside = Inside::with_terminals(taps + 2);
        for tap in 2..=taps {
            inside.solid(1, tap);
        }
        match self.main_rating {
            None => inside.solid(0, 1),
            Some(rating) => inside.pole(0, 1, self.main_breaker(rating)),
        }
        inside.sink(1, SinkKind::AcLoads);
        inside
    }

    fn main_breaker(&self, rating: Amps) -> Pole {
        Pole {
            device: PoleDevice::Breaker,
            name: Some("main breaker".to_owned()),
            overcurrent: Some(rating),
            carries: None,
            disconnects: Disconnects::UnderLoad,
            dc_voltage: None,
            ac_voltage: self.voltage.or(Some(self.ac_system.line_voltage())),
            interrupts_dc: None,
            interrupts_ac: self.main_interrupting,
            polarity: Polarity::None,
            duty: ContinuousDuty::EightyPercent,
            terminal_temperature: self.terminal_temperature,
            position: Position::Closed,
            throw: None,
        }
    }

    /// Current of the connected load, each line conductor; `None` if it is not given.
    pub fn load_current(&self) -> Option<Amps> {
        self.connected_load.map(|load| VoltAmps::new(load.value()) / self.ac_system.current_voltage())
    }

    pub(super) fn contradictions(&self) -> Vec<String> {
        let mut found = Vec::new();
        if self.main_rating.is_some_and(|main| main > self.bus_rating) {
            found.push("main breaker is rated above the bus".to_owned());
        }
        if let (Some(part), Some(whole)) = (self.continuous_load, self.connected_load)
            && part > whole
        {
            found.push("continuous part is greater than the whole load".to_owned());
        }
        found
    }
}
