//! Inverter: battery to AC, with or without a charger and a transfer relay.

use super::combiner::small;
use super::common::{AcSystem, ContinuousDuty, Fitted, Polarity, Position, Separation, TerminalMarking};
use super::declare::{choice, equipment};
use super::field::CurvePoint;
use super::inside::{Disconnects, Inside, Pole, PoleDevice, SinkKind, SourceKind};
use crate::circuit::{Potential, Terminal};
use crate::units::{
    Amps, Celsius, Hertz, Kilograms, Meters, Percent, PercentPerCelsius, Seconds, VoltAmps, Volts, Watts,
};

choice! {
    /// Whether an inverter gives energy to the utility.
    Export {
        /// It does not.
        Off = "off", "no export";
        /// It runs in parallel with the utility.
        On = "on", "export to the utility";
    }
}

choice! {
    /// What the neutral–ground relay of an inverter does.
    NeutralBonding {
        /// There is none: the neutral is never bonded here.
        Never = "never", "never bonds";
        /// It closes while inverting and opens while an AC source passes through.
        WhileInverting = "while_inverting", "bonds while inverting";
        /// The neutral is bonded for good.
        Always = "always", "always bonded";
    }
}

choice! {
    /// Which goes first while a utility is there.
    UtilityPriority {
        /// The utility serves the loads; the bank is kept for outages.
        UtilityFirst = "utility_first", "utility first, bank for outages";
        /// Sun and bank serve them; the utility takes over while the bank is low.
        SunFirst = "sun_first", "sun and bank first";
    }
}

equipment! {
    /// An inverter or inverter-charger.
    Inverter
    nameplate {
        /// Continuous output.
        continuous: Watts, "Continuous output", 50 to 100_000;
        /// AC system of its output.
        ac_system: AcSystem, "AC system";
        /// Frequency of its output.
        frequency: Hertz, "Frequency", 45 to 65;
        /// AC inputs that pass through; 0 for a plain inverter.
        ac_inputs: u32, "AC inputs", 0 to 2;
        /// Lowest DC voltage in service; the low cut-out if none is set.
        lowest_input_voltage: Volts, "Lowest DC voltage", 5 to 1000;
        /// Highest DC voltage in service; above it stops.
        highest_input_voltage: Volts, "Highest DC voltage", 10 to 1000;
        /// What the neutral–ground relay does.
        neutral_bonding: NeutralBonding, "Neutral bonding";
        /// Whether it joins both sides galvanically.
        separation: Separation, "Separation";
    }
    optional {
        /// DC voltage above which it is destroyed.
        absolute_input_voltage: Volts, "Absolute DC voltage", 10 to 1000;
        /// Nominal DC voltage.
        nominal_input_voltage: Volts, "Nominal DC voltage", 5 to 1000;
        /// Efficiency at rated output.
        rated_efficiency: Percent, "Efficiency at rated output", 50 to 100;
        /// Output for a short time.
        surge: Watts, "Surge output", 50 to 300_000;
        /// How long the surge may last.
        surge_time: Seconds, "Surge time", 0.01 to 3600;
        /// Efficiency against load.
        efficiency: Vec<CurvePoint>, "Efficiency";
        /// What it takes with no load.
        idle_draw: Watts, "Idle draw", 0 to 500;
        /// What it takes while it searches for a load.
        search_draw: Watts, "Search draw", 0 to 200;
        /// Rating of the transfer relay, each leg.
        transfer_relay: Amps, "Transfer relay", 1 to 500;
        /// Greatest device ahead of an AC input.
        greatest_input_device: Amps, "Greatest input device", 1 to 500;
        /// Greatest device at the output.
        greatest_output_device: Amps, "Greatest output device", 1 to 500;
        /// Charge current on the DC side.
        charger_current: Amps, "Charge current", 1 to 1000;
        /// Efficiency of the charger.
        charger_efficiency: Percent, "Charger efficiency", 50 to 100;
        /// Highest charge voltage that can be set.
        highest_charge_setting: Volts, "Highest charge setting", 10 to 1000;
        /// Fault current of the output.
        output_fault_current: Amps, "Output fault current", 1 to 2000;
        /// Ground-fault detection.
        ground_fault_protection: Fitted, "Ground-fault protection";
        /// Temperature rating of the DC terminals.
        terminal_temperature: Celsius, "Terminal temperature", 60 to 120;
        /// Mass.
        mass: Kilograms, "Mass", 0.1 to 500;
        /// Continuous output in volt-amperes, when it differs from the watts.
        apparent_output: VoltAmps, "Continuous apparent output", 50 to 150_000;
        /// Output for half an hour.
        half_hour_output: Watts, "Output for 30 minutes", 50 to 200_000;
        /// Time in which it takes over the loads when an AC source fails.
        transfer_time: Seconds, "Transfer time", 0 to 60;
        /// Temperature of the surroundings up to which it gives its full output.
        full_output_to: Celsius, "Full output up to", -20 to 80;
        /// Change of its output with each degree above that.
        hot_derating: PercentPerCelsius, "Output change above that", -10 to 0;
        /// Height above the sea up to which it gives its full output.
        full_output_below: Meters, "Full output below", 0 to 6000;
        /// Part of its output lost for each 100 m above that height.
        altitude_derating: Percent, "Output lost for each 100 m", 0 to 10;
        /// Power factor of its charger.
        charger_power_factor: Percent, "Charger power factor", 30 to 100;
        /// Battery temperature sensor for its charger.
        temperature_sensor: Fitted, "Battery temperature sensor";
        /// Whether it obeys the limits that a battery management sends.
        management_link: Fitted, "Link to battery management";
        /// Whether it is listed to run with a utility and leaves it when it fails.
        utility_listed: Fitted, "Listed for the utility";
        /// How many of them may feed one AC bus together.
        parallel_units: u32, "Units that may run together", 1 to 60;
        /// Greatest power of PV inverters on its output.
        ac_coupled_limit: Watts, "AC-coupled PV power", 0 to 200_000;
        /// For which conductors the terminals are marked.
        terminal_marking: TerminalMarking, "Terminals are marked for";
    }
    settings {
        /// Whether it gives energy to the utility.
        export: Export, "Export";
    }
    chosen {
        /// Low cut-out as set.
        low_cut_out: Volts, "Low cut-out as set", 5 to 1000;
        /// Voltage at which it starts again, as set.
        cut_in: Volts, "Cut-in as set", 5 to 1000;
        /// AC input limit as set.
        ac_input_limit: Amps, "AC input limit as set", 1 to 500;
        /// Charge current limit as set.
        charge_limit: Amps, "Charge current limit as set", 1 to 1000;
        /// Export limit as set.
        export_limit: Amps, "Export limit as set", 1 to 500;
        /// Which goes first while a utility is there, as set.
        utility_priority: UtilityPriority, "Utility priority as set";
        /// State of charge at which it connects to the utility when sun and bank go first, as set.
        utility_connect_charge: Percent, "Utility connects at charge", 1 to 99;
        /// State of charge at which it leaves the utility again, as set.
        utility_disconnect_charge: Percent, "Utility disconnects at charge", 2 to 100;
        /// How far an AC input may stray from its nominal voltage, as set.
        input_voltage_band: Percent, "AC input voltage within", 1 to 50;
        /// How far an AC input may stray from its nominal frequency, as set.
        input_frequency_band: Percent, "AC input frequency within", 0.1 to 20;
    }
}

impl Inverter {
    pub(super) fn terminals(&self) -> Vec<Terminal> {
        let inputs = small(self.ac_inputs);
        let mut terminals =
            vec![Terminal::new("dc", Potential::Battery), Terminal::new("out", Potential::Ac)];
        terminals.extend((1..=inputs).map(|n| Terminal::numbered("in", n, Potential::Ac)));
        terminals.push(Terminal::new("bond", Potential::Earth));
        terminals
    }

    pub(super) fn inside(&self) -> Inside {
        let inputs = usize::from(small(self.ac_inputs));
        let mut inside = Inside::with_terminals(3 + inputs);
        inside.sink(0, SinkKind::InverterInput);
        if self.charger_current.is_some() {
            inside.source(0, SourceKind::Charger);
        }
        inside.converter(0, 1);
        inside.source(1, SourceKind::InverterOutput);
        for input in 2..2 + inputs {
            inside.sink(input, SinkKind::InverterAcInput);
            inside.pole(input, 1, self.transfer_pole(input - 1));
        }
        inside
    }

    /// The relay is drawn open: the inverter runs. It closes by itself when the source is good.
    fn transfer_pole(&self, input: usize) -> Pole {
        Pole {
            device: PoleDevice::Relay,
            name: Some(format!("transfer relay {input}")),
            overcurrent: None,
            carries: self.transfer_relay,
            disconnects: Disconnects::No,
            dc_voltage: None,
            ac_voltage: Some(self.ac_system.line_voltage()),
            interrupts_dc: None,
            interrupts_ac: None,
            polarity: Polarity::None,
            duty: ContinuousDuty::HundredPercent,
            terminal_temperature: None,
            position: Position::Open,
            throw: u8::try_from(input).ok(),
        }
    }

    /// The voltage at which it stops: as set, else the lowest of its window.
    pub fn low_cut_out_voltage(&self) -> Volts {
        self.low_cut_out.unwrap_or(self.lowest_input_voltage)
    }
    /// Rated apparent output: the nameplate's, else as many volt-amperes as watts.
    pub fn rated_apparent_output(&self) -> VoltAmps {
        self.apparent_output.unwrap_or(VoltAmps::new(self.continuous.value()))
    }
    /// Rated output current, each line conductor: apparent output over voltage.
    pub fn output_current(&self) -> Amps {
        self.rated_apparent_output() / self.ac_system.current_voltage()
    }
    /// The charge current it can deliver: the nameplate's, or the limit as set if that is lower.
    pub fn charge_current(&self) -> Option<Amps> {
        self.charger_current.map(|rated| self.charge_limit.map_or(rated, |set| set.min(rated)))
    }
    /// The current that an AC input may take: as set, else the relay's rating.
    pub fn input_current(&self) -> Option<Amps> {
        self.ac_input_limit.or(self.transfer_relay)
    }

    pub(super) fn contradictions(&self) -> Vec<String> {
        let mut found = Vec::new();
        if self.lowest_input_voltage >= self.highest_input_voltage {
            found.push("DC window is empty".to_owned());
        }
        if self.absolute_input_voltage.is_some_and(|limit| limit < self.highest_input_voltage) {
            found.push("works above the voltage that destroys it".to_owned());
        }
        if self.surge.is_some_and(|surge| surge < self.continuous) {
            found.push("surge output is below continuous output".to_owned());
        }
        if self.rated_apparent_output().value() < self.continuous.value() {
            found.push("apparent output is below continuous output".to_owned());
        }
        if self.ac_inputs > 0 && self.transfer_relay.is_none() {
            found.push("has AC inputs but no transfer relay rating".to_owned());
        }
        found
    }
}
