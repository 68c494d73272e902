//! Charge controller: takes the strings' power and charges the battery bus, tracking or switching.

use super::common::{ContinuousDuty, Fitted, Polarity, Position, Separation, TerminalMarking};
use super::declare::{choice, equipment};
use super::field::CurvePoint;
use super::inside::{Disconnects, Inside, Pole, PoleDevice, SinkKind, SourceKind};
use crate::circuit::{Potential, Terminal};
use crate::units::{Amps, Celsius, Kilograms, Meters, Percent, PercentPerCelsius, Volts, Watts};

choice! {
    /// How a controller works.
    ControllerType {
        /// Tracks the maximum-power point and steps the voltage down.
        TrackingStepDown = "tracking_step_down", "tracking, step-down";
        /// Tracks the maximum-power point and can also step the voltage up.
        TrackingStepUpDown = "tracking_step_up_down", "tracking, step-up and step-down";
        /// Switches the strings onto the battery (PWM).
        Switching = "switching", "switching (PWM)";
    }
}

choice! {
    /// On what the short-circuit limit of the PV input is based.
    InputRatingBasis {
        /// On the greatest current, so the code's 1.25 comes on top of the strings' rating.
        Greatest = "greatest", "greatest current";
        /// On standard test conditions, so it is compared with the strings' rating as it is.
        StandardTest = "standard_test", "current at 25 °C, 1000 W/m²";
    }
}

equipment! {
    /// A charge controller.
    ChargeController
    nameplate {
        /// How it works.
        kind: ControllerType, "Type";
        /// PV input voltage above which it is destroyed.
        max_input_voltage: Volts, "Greatest PV input voltage", 10 to 2000;
        /// Greatest continuous charge current.
        output_current: Amps, "Charge current", 1 to 500;
        /// Whether it joins both sides galvanically.
        separation: Separation, "Separation";
    }
    optional {
        /// PV input voltage above which it stops working.
        operating_input_voltage: Volts, "Working PV input voltage", 10 to 2000;
        /// Lowest tracking voltage.
        tracking_low: Volts, "Tracking from", 0 to 2000;
        /// Highest tracking voltage.
        tracking_high: Volts, "Tracking to", 10 to 2000;
        /// Voltage that a step-down controller needs above the battery.
        headroom: Volts, "Headroom over the battery", 0 to 50;
        /// Greatest short-circuit current of the strings at its input.
        input_short_circuit_current: Amps, "PV short-circuit current", 1 to 500;
        /// On what that limit is based.
        input_rating_basis: InputRatingBasis, "Basis of that limit";
        /// Current that can flow back out of the PV input.
        backfeed_current: Amps, "Backfeed current", 0 to 500;
        /// Array watts at 12 V nominal.
        array_watts_12: Watts, "Array watts at 12 V", 1 to 20_000;
        /// Array watts at 24 V nominal.
        array_watts_24: Watts, "Array watts at 24 V", 1 to 40_000;
        /// Array watts at 48 V nominal.
        array_watts_48: Watts, "Array watts at 48 V", 1 to 80_000;
        /// How far above those watts the array may go.
        oversize_limit: Percent, "Array oversize limit", 100 to 400;
        /// Battery-side voltage above which it is destroyed.
        max_output_voltage: Volts, "Greatest battery voltage", 10 to 1000;
        /// Battery-side voltage below which it does not work.
        min_output_voltage: Volts, "Lowest battery voltage", 0 to 1000;
        /// Highest charge voltage that can be set.
        highest_charge_setting: Volts, "Highest charge setting", 10 to 1000;
        /// Efficiency against load.
        efficiency: Vec<CurvePoint>, "Efficiency";
        /// Charge stages.
        stages: u32, "Charge stages", 1 to 5;
        /// What it takes by itself.
        own_consumption: Watts, "Own consumption", 0 to 100;
        /// Ground-fault detection and interruption.
        ground_fault_protection: Fitted, "Ground-fault protection";
        /// Arc-fault protection.
        arc_fault_protection: Fitted, "Arc-fault protection";
        /// Battery temperature sensor.
        temperature_sensor: Fitted, "Battery temperature sensor";
        /// Rating of a built-in PV input switch.
        input_switch_rating: Amps, "Input switch rating", 1 to 200;
        /// DC voltage of that switch.
        input_switch_voltage: Volts, "Input switch voltage", 10 to 2000;
        /// Temperature rating of the terminals.
        terminal_temperature: Celsius, "Terminal temperature", 60 to 120;
        /// Mass.
        mass: Kilograms, "Mass", 0.1 to 100;
        /// Temperature of the surroundings up to which it gives its full output.
        full_output_to: Celsius, "Full output up to", -20 to 80;
        /// Change of its output with each degree above that.
        hot_derating: PercentPerCelsius, "Output change above that", -10 to 0;
        /// Height above the sea up to which it gives its full output.
        full_output_below: Meters, "Full output below", 0 to 6000;
        /// Part of its output lost for each 100 m above that height.
        altitude_derating: Percent, "Output lost for each 100 m", 0 to 10;
        /// Whether it measures the voltage at the battery through leads of its own.
        remote_sense: Fitted, "Remote voltage sense";
        /// Whether it obeys the limits that a battery management sends.
        management_link: Fitted, "Link to battery management";
        /// For which conductors the terminals are marked.
        terminal_marking: TerminalMarking, "Terminals are marked for";
    }
    settings {}
    chosen {
        /// Charge current limit as set.
        current_limit: Amps, "Charge current limit as set", 0.1 to 500;
        /// Ceiling that compensated charge voltage never passes, as set.
        voltage_ceiling: Volts, "Voltage ceiling as set", 1 to 1000;
    }
}

impl ChargeController {
    pub(super) fn terminals(&self) -> Vec<Terminal> {
        vec![
            Terminal::new("pv", Potential::Pv),
            Terminal::new("battery", Potential::Battery),
            Terminal::new("bond", Potential::Earth),
        ]
    }

    pub(super) fn inside(&self) -> Inside {
        let mut inside = Inside::with_terminals(3);
        let input = if let Some(rating) = self.input_switch_rating {
            let input = inside.point();
            inside.pole(0, input, self.input_switch(rating));
            input
        } else {
            0
        };
        inside.sink(input, SinkKind::ControllerInput);
        inside.source(1, SourceKind::ControllerOutput);
        inside.converter(input, 1);
        inside
    }

    fn input_switch(&self, rating: Amps) -> Pole {
        Pole {
            device: PoleDevice::Switch,
            name: Some("input switch".to_owned()),
            overcurrent: None,
            carries: Some(rating),
            disconnects: Disconnects::UnderLoad,
            dc_voltage: self.input_switch_voltage,
            ac_voltage: None,
            interrupts_dc: None,
            interrupts_ac: None,
            polarity: Polarity::None,
            duty: ContinuousDuty::HundredPercent,
            terminal_temperature: self.terminal_temperature,
            position: Position::Closed,
            throw: None,
        }
    }

    /// The greatest current it will deliver: the nameplate's, or the limit as set if that is lower.
    pub fn output_limit(&self) -> Amps {
        self.current_limit.map_or(self.output_current, |set| set.min(self.output_current))
    }

    /// The array watts that the nameplate gives for a bank of that voltage class.
    pub fn array_watts(&self, class: Volts) -> Option<Watts> {
        let classes = [(12.0, self.array_watts_12), (24.0, self.array_watts_24), (48.0, self.array_watts_48)];
        let nearest = classes.into_iter().find(|(volts, _)| (class.value() / volts - 1.0).abs() < 0.05);
        nearest.and_then(|(_, watts)| watts)
    }

    pub(super) fn contradictions(&self) -> Vec<String> {
        let mut found = Vec::new();
        if self.operating_input_voltage.is_some_and(|works| works > self.max_input_voltage) {
            found.push("works above the voltage that destroys it".to_owned());
        }
        if let (Some(low), Some(high)) = (self.tracking_low, self.tracking_high)
            && low >= high
        {
            found.push("tracking range is empty".to_owned());
        }
        if self.tracking_high.is_some_and(|high| high > self.max_input_voltage) {
            found.push("tracks above the greatest input voltage".to_owned());
        }
        if let (Some(low), Some(high)) = (self.min_output_voltage, self.max_output_voltage)
            && low >= high
        {
            found.push("battery-side window is empty".to_owned());
        }
        found
    }
}
