//! Generator: an engine-driven AC set, with its own breaker if it has one.

use super::common::{AcSystem, ContinuousDuty, Fitted, Polarity, Position, TerminalMarking};
use super::declare::{choice, equipment};
use super::inside::{Disconnects, Inside, Pole, PoleDevice, SourceKind};
use crate::circuit::{Potential, Terminal};
use crate::units::{
    Amps, Celsius, CelsiusSpan, Hertz, Hours, Kilograms, Meters, Percent, PercentPerCelsius, VoltAmps, Volts,
    Watts,
};

choice! {
    /// What a generator burns.
    Fuel {
        /// Propane.
        Propane = "propane", "propane";
        /// Diesel.
        Diesel = "diesel", "diesel";
        /// Petrol.
        Gasoline = "gasoline", "gasoline";
        /// Natural gas.
        NaturalGas = "natural_gas", "natural gas";
    }
}

choice! {
    /// Whether the neutral of a generator is joined to its frame.
    FrameBond {
        /// It is.
        Bonded = "bonded", "neutral bonded to the frame";
        /// It floats.
        Floating = "floating", "neutral floating";
    }
}

equipment! {
    /// An engine generator.
    Generator
    nameplate {
        /// Rated output.
        power: Watts, "Rated output", 100 to 200_000;
        /// AC system.
        ac_system: AcSystem, "AC system";
        /// Frequency at no load; it sags with load.
        frequency: Hertz, "Frequency", 45 to 65;
        /// What it burns.
        fuel: Fuel, "Fuel";
        /// Whether its neutral is joined to its frame.
        frame_bond: FrameBond, "Neutral";
    }
    optional {
        /// Part of the output that can be used for hours.
        usable_share: Percent, "Usable part", 20 to 100;
        /// Subtransient reactance, as a share of the rated impedance.
        subtransient_reactance: Percent, "Subtransient reactance", 1 to 60;
        /// Rating of its own breaker.
        breaker_rating: Amps, "Own breaker", 1 to 1000;
        /// AC interrupting rating of its own breaker.
        breaker_interrupting: Amps, "Own breaker interrupts", 100 to 200_000;
        /// Whether its own breaker can be locked open.
        breaker_lockable: Fitted, "Own breaker lockable";
        /// AC voltage of its own breaker.
        breaker_voltage: Volts, "Own breaker voltage", 100 to 1000;
        /// Temperature rating of the terminals.
        terminal_temperature: Celsius, "Terminal temperature", 60 to 120;
        /// Whether it can be started by a contact.
        remote_start: Fitted, "Remote start";
        /// Fuel use at full load per hour, as printed.
        fuel_use: String, "Fuel use";
        /// Mass.
        mass: Kilograms, "Mass", 1 to 5000;
        /// Rated output in volt-amperes, when it differs from the watts.
        apparent_output: VoltAmps, "Rated apparent output", 100 to 250_000;
        /// Output for the start of a motor.
        surge: Watts, "Starting output", 100 to 300_000;
        /// Load below which it should not run for long.
        least_load: Percent, "Least load", 0 to 80;
        /// Temperature of the surroundings up to which it gives its full output.
        full_output_to: Celsius, "Full output up to", -20 to 80;
        /// Change of its output with each degree above that.
        hot_derating: PercentPerCelsius, "Output change above that", -10 to 0;
        /// Height above the sea up to which it gives its full output.
        full_output_below: Meters, "Full output below", 0 to 6000;
        /// Part of its output lost for each 100 m above that height.
        altitude_derating: Percent, "Output lost for each 100 m", 0 to 10;
        /// Running hours to the end of the engine.
        engine_life: Hours, "Engine life", 50 to 100_000;
        /// Whether it is connected by cord and plug.
        cord_connected: Fitted, "Cord and plug";
        /// Whether it has an emergency stop outside.
        emergency_stop: Fitted, "Emergency stop";
        /// Whether it can be stopped so that it stays stopped until it is reset by hand.
        start_lockout: Fitted, "Stays stopped";
        /// For which conductors the terminals are marked.
        terminal_marking: TerminalMarking, "Terminals are marked for";
    }
    settings {}
    chosen {
        /// House load that runs while it charges.
        load_while_charging: Watts, "Load while charging", 0 to 200_000;
    }
}

impl Generator {
    pub(super) fn terminals(&self) -> Vec<Terminal> {
        vec![Terminal::new("out", Potential::Ac), Terminal::new("bond", Potential::Earth)]
    }

    pub(super) fn inside(&self) -> Inside {
        let mut inside = Inside::with_terminals(2);
        match self.breaker_rating {
            None => inside.source(0, SourceKind::Generator),
            Some(rating) => {
                let winding = inside.point();
                inside.source(winding, SourceKind::Generator);
                inside.pole(winding, 0, self.own_breaker(rating));
            }
        }
        inside
    }

    fn own_breaker(&self, rating: Amps) -> Pole {
        Pole {
            device: PoleDevice::Breaker,
            name: Some("own breaker".to_owned()),
            overcurrent: Some(rating),
            carries: None,
            disconnects: Disconnects::UnderLoad,
            dc_voltage: None,
            ac_voltage: self.breaker_voltage.or(Some(self.ac_system.line_voltage())),
            interrupts_dc: None,
            interrupts_ac: self.breaker_interrupting,
            polarity: Polarity::None,
            duty: ContinuousDuty::EightyPercent,
            terminal_temperature: self.terminal_temperature,
            position: Position::Closed,
            throw: None,
        }
    }

    /// Nameplate current: apparent output, else as many volt-amperes as watts, over the voltage.
    pub fn rated_current(&self) -> Amps {
        let apparent = self.apparent_output.unwrap_or(VoltAmps::new(self.power.value()));
        apparent / self.ac_system.current_voltage()
    }

    /// Share of its output that the nameplate leaves at a height above the sea; `None` where it does not tell.
    pub fn share_at_height(&self, height: Meters) -> Option<f64> {
        const STEP: Meters = Meters::new(100.0);
        let above = (height - self.full_output_below?).max(Meters::ZERO);
        Some((1.0 - self.altitude_derating?.share() * (above / STEP)).max(0.0))
    }
    /// Share of its output that the nameplate leaves in warm surroundings; `None` where it does not tell.
    pub fn share_in_heat(&self, surroundings: Celsius) -> Option<f64> {
        let above = surroundings.above(self.full_output_to?).max(CelsiusSpan::ZERO);
        Some(self.hot_derating?.factor(above).max(0.0))
    }

    pub(super) fn contradictions(&self) -> Vec<String> {
        let mut found = Vec::new();
        if self.apparent_output.is_some_and(|apparent| apparent.value() < self.power.value()) {
            found.push("apparent output is below rated output".to_owned());
        }
        if self.surge.is_some_and(|surge| surge < self.power) {
            found.push("starting output is below rated output".to_owned());
        }
        found
    }
}
