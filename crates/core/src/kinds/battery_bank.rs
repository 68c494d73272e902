//! Battery bank: cells or units in series, strings of them in parallel, of one chemistry.

use super::combiner::small;
use super::common::{ContinuousDuty, DcGrounding, Fitted, Polarity, Position, TerminalMarking};
use super::curve::{CapacityAtTimes, RestVoltages, ShareAtTemperature};
use super::declare::{choice, equipment};
use super::inside::{Disconnects, Inside, Pole, PoleDevice, SourceKind};
use crate::circuit::{Potential, Terminal};
use crate::units::{
    AmpHours, Amps, Celsius, Hours, Kilograms, Meters, MilliampsPerAmpHour, Ohms, Percent, Seconds, Volts,
    VoltsPerCelsius, WattHours,
};

choice! {
    /// Battery chemistry.
    Chemistry {
        /// Nickel-iron, flooded, potassium hydroxide.
        NickelIron = "nickel_iron", "nickel-iron";
        /// Lithium iron phosphate.
        LithiumIronPhosphate = "lithium_iron_phosphate", "lithium iron phosphate";
        /// Flooded lead-acid.
        FloodedLead = "flooded_lead", "flooded lead-acid";
        /// Sealed lead-acid, absorbed glass mat.
        AbsorbedGlassMat = "absorbed_glass_mat", "sealed lead-acid (glass mat)";
        /// Sealed lead-acid, gel.
        Gel = "gel", "sealed lead-acid (gel)";
    }
}

impl Chemistry {
    /// Nominal volts per cell, by which a bank is called a 48 V bank.
    pub fn nominal_cell_voltage(self) -> Volts {
        Volts::new(match self {
            Self::NickelIron => 1.2,
            Self::LithiumIronPhosphate => 3.2,
            Self::FloodedLead | Self::AbsorbedGlassMat | Self::Gel => 2.0,
        })
    }
    /// Whether the electrolyte is free, so that water is lost and must be stirred.
    pub const fn is_flooded(self) -> bool {
        matches!(self, Self::NickelIron | Self::FloodedLead)
    }
}

equipment! {
    /// A battery bank. Voltages are per cell at 25 °C.
    BatteryBank
    nameplate {
        /// Chemistry.
        chemistry: Chemistry, "Chemistry";
        /// Cells in series in one unit: 1 for a cell, 3 for a 6 V lead battery, 16 for a 51.2 V pack.
        cells_per_unit: u32, "Cells in a unit", 1 to 480;
        /// Capacity at the rated discharge time.
        capacity: AmpHours, "Capacity", 1 to 10_000;
        /// Discharge time for that capacity.
        rated_time: Hours, "Rated discharge time", 1 to 100;
        /// Resting voltage when full.
        full_rest_voltage: Volts, "Full, at rest", 1 to 4;
        /// Charge (absorption) voltage.
        charge_voltage: Volts, "Charge voltage", 1 to 4;
        /// Lowest voltage that discharge uses.
        empty_voltage: Volts, "End of discharge", 0.8 to 3.5;
        /// Lowest voltage that the maker allows.
        lowest_voltage: Volts, "Lowest allowed", 0.5 to 3.5;
    }
    optional {
        /// Float voltage.
        float_voltage: Volts, "Float voltage", 1 to 4;
        /// Equalize voltage; none for chemistries that are never equalized.
        equalize_voltage: Volts, "Equalize voltage", 1 to 4;
        /// Greatest current while equalizing.
        equalize_current: Amps, "Equalize current", 0.1 to 2000;
        /// Change of the charge voltage with temperature.
        compensation: VoltsPerCelsius, "Temperature compensation", -0.01 to 0;
        /// Ohmic resistance of one unit.
        unit_resistance: Ohms, "Resistance of a unit", 0.000_001 to 1;
        /// Resistance of the link between two units.
        link_resistance: Ohms, "Resistance of a link", 0 to 0.1;
        /// Greatest charge current of one string.
        charge_current: Amps, "Greatest charge current", 0.1 to 5000;
        /// Greatest continuous discharge current of one string.
        discharge_current: Amps, "Greatest discharge current", 0.1 to 5000;
        /// Greatest discharge current for a short time.
        peak_current: Amps, "Peak discharge current", 0.1 to 20_000;
        /// How long that peak may last.
        peak_time: Seconds, "Peak time", 0.01 to 600;
        /// Current for which the maker wants the circuit of one string sized.
        circuit_current: Amps, "Circuit current", 0.1 to 5000;
        /// Short-circuit current of one string, when the maker gives it.
        short_circuit_current: Amps, "Short-circuit current", 1 to 200_000;
        /// Lowest temperature at which it may be charged.
        charge_from: Celsius, "Charge from", -50 to 30;
        /// Highest temperature at which it may be charged.
        charge_to: Celsius, "Charge to", 20 to 90;
        /// Voltage of one string at which its management opens on discharge.
        management_low: Volts, "Management opens below", 1 to 1000;
        /// Voltage of one string at which its management opens on charge.
        management_high: Volts, "Management opens above", 1 to 1000;
        /// Rating of a fuse inside each string.
        internal_fuse_rating: Amps, "Internal fuse", 1 to 2000;
        /// DC voltage of that fuse.
        internal_fuse_voltage: Volts, "Internal fuse voltage", 10 to 1500;
        /// Interrupting rating of that fuse.
        internal_fuse_interrupting: Amps, "Internal fuse interrupts", 100 to 200_000;
        /// Gassing current while boost charging.
        gas_current: MilliampsPerAmpHour, "Gassing current", 0 to 200;
        /// Cells behind one vent opening.
        cells_per_vent: u32, "Cells at one vent", 1 to 24;
        /// Strings that the maker allows in parallel.
        parallel_limit: u32, "Parallel strings allowed", 1 to 100;
        /// Whether terminals and links are covered.
        terminals_covered: Fitted, "Terminals covered";
        /// Temperature rating of the terminals.
        terminal_temperature: Celsius, "Terminal temperature", 60 to 120;
        /// Mass of one unit.
        mass: Kilograms, "Mass of a unit", 0.1 to 2000;
        /// Capacity at other discharge times.
        capacities: CapacityAtTimes, "Capacity by discharge time";
        /// Share of the capacity that can be taken out in the cold.
        capacity_by_temperature: ShareAtTemperature, "Capacity by temperature";
        /// Share of the greatest charge current that is allowed.
        charge_by_temperature: ShareAtTemperature, "Charge current by temperature";
        /// Share of the greatest discharge current that is allowed.
        discharge_by_temperature: ShareAtTemperature, "Discharge current by temperature";
        /// Lowest temperature at which it may be discharged.
        discharge_from: Celsius, "Discharge from", -60 to 30;
        /// Highest temperature at which it may be discharged.
        discharge_to: Celsius, "Discharge to", 20 to 90;
        /// Resting voltage of a cell against its charge.
        rest_voltages: RestVoltages, "Resting voltage by charge";
        /// Charge lost in a month at rest, at 25 °C.
        self_discharge: Percent, "Self-discharge a month", 0 to 60;
        /// Ampere-hours out for ampere-hours in.
        charge_efficiency: Percent, "Charge efficiency", 30 to 100;
        /// Cycles to the end of life at the depth below.
        cycle_life: u32, "Cycles", 1 to 100_000;
        /// Depth of discharge of those cycles.
        cycle_depth: Percent, "Depth of those cycles", 1 to 100;
        /// Years that it lasts at 25 °C, whether it works or not.
        calendar_years: u32, "Years at 25 °C", 1 to 100;
        /// Whether its management stops charging below the lowest charge temperature.
        blocks_cold_charge: Fitted, "Blocks charging when cold";
        /// Whether it warms itself before it is charged.
        heater: Fitted, "Heater";
        /// Whether its management sends limits to chargers and inverters.
        management_link: Fitted, "Link to battery management";
        /// Whether each string can be switched off under load by a device of its own.
        internal_disconnect: Fitted, "Internal load-break disconnect";
        /// For which conductors the terminals are marked.
        terminal_marking: TerminalMarking, "Terminals are marked for";
    }
    settings {
        /// Units in series in one string.
        units_in_series: u32, "Units in series", 1 to 500;
        /// Strings in parallel.
        strings_in_parallel: u32, "Strings in parallel", 1 to 16;
    }
    chosen {
        /// Charge voltage as programmed, per cell, when not the nameplate's.
        charge_setting: Volts, "Charge voltage as set", 1 to 4;
        /// Equalize voltage as programmed, per cell, when not the nameplate's.
        equalize_setting: Volts, "Equalize voltage as set", 1 to 4;
        /// End of discharge as programmed, per cell, when not the nameplate's.
        empty_setting: Volts, "End of discharge as set", 0.8 to 3.5;
        /// Straight distance to the device that switches it off.
        disconnect_distance: Meters, "To its disconnect", 0 to 200;
        /// How the DC system of the bank stands to ground, where the sheet shows no bonding jumper.
        grounding: DcGrounding, "DC grounding";
    }
}

impl BatteryBank {
    pub(super) fn terminals(&self) -> Vec<Terminal> {
        vec![Terminal::new("out", Potential::Battery), Terminal::new("bond", Potential::Earth)]
    }

    pub(super) fn inside(&self) -> Inside {
        let mut inside = Inside::with_terminals(2);
        for string in 1..=small(self.strings_in_parallel) {
            if self.internal_fuse_rating.is_some() || self.has_internal_disconnect() {
                let cells = inside.point();
                inside.source(cells, SourceKind::BatteryString(string));
                inside.pole(cells, 0, self.internal_device());
            } else {
                inside.source(0, SourceKind::BatteryString(string));
            }
        }
        inside
    }

    fn has_internal_disconnect(&self) -> bool {
        self.internal_disconnect == Some(Fitted::Yes)
    }

    /// The fuse of a string, with or without a switch on it, or the switch alone.
    fn internal_device(&self) -> Pole {
        let fused = self.internal_fuse_rating.is_some();
        let switched = self.has_internal_disconnect();
        Pole {
            device: if fused { PoleDevice::Fuse } else { PoleDevice::Switch },
            name: Some(if fused { "internal fuse" } else { "internal disconnect" }.to_owned()),
            overcurrent: self.internal_fuse_rating,
            carries: if fused { None } else { self.discharge_current },
            disconnects: if switched { Disconnects::UnderLoad } else { Disconnects::No },
            dc_voltage: self.internal_fuse_voltage,
            ac_voltage: None,
            interrupts_dc: self.internal_fuse_interrupting,
            interrupts_ac: None,
            polarity: Polarity::None,
            duty: ContinuousDuty::EightyPercent,
            terminal_temperature: self.terminal_temperature,
            position: Position::Closed,
            throw: None,
        }
    }

    /// Cells in series in one string.
    pub fn cells(&self) -> u32 {
        self.cells_per_unit.saturating_mul(self.units_in_series)
    }
    /// Nominal voltage of the bank: cells times the chemistry's nominal.
    pub fn nominal_voltage(&self) -> Volts {
        self.chemistry.nominal_cell_voltage() * f64::from(self.cells())
    }
    /// The class by which the trade calls the bank: 12, 24, 36 or 48 V, or the nominal itself.
    pub fn voltage_class(&self) -> Volts {
        let nominal = self.nominal_voltage();
        [12.0, 24.0, 36.0, 48.0]
            .into_iter()
            .map(Volts::new)
            .find(|class| (nominal / *class - 1.0).abs() <= 0.12)
            .unwrap_or(nominal)
    }
    /// Charge voltage per cell in use.
    pub fn charge_volts(&self) -> Volts {
        self.charge_setting.unwrap_or(self.charge_voltage)
    }
    /// Equalize voltage per cell in use; `None` when the bank is never equalized.
    pub fn equalize_volts(&self) -> Option<Volts> {
        self.equalize_setting.or(self.equalize_voltage)
    }
    /// Greatest charge or equalize voltage per cell in use, at 25 °C.
    pub fn highest_volts(&self) -> Volts {
        self.equalize_volts().map_or(self.charge_volts(), |equalize| equalize.max(self.charge_volts()))
    }
    /// End of discharge per cell in use.
    pub fn empty_volts(&self) -> Volts {
        self.empty_setting.unwrap_or(self.empty_voltage)
    }
    /// Resting voltage of the full bank.
    pub fn open_circuit_voltage(&self) -> Volts {
        self.full_rest_voltage * f64::from(self.cells())
    }
    /// Ohmic resistance of one string with its links; `None` if the nameplate does not give it.
    pub fn string_resistance(&self) -> Option<Ohms> {
        let units = self.unit_resistance? * f64::from(self.units_in_series);
        let links =
            self.link_resistance.unwrap_or(Ohms::ZERO) * f64::from(self.units_in_series.saturating_sub(1));
        Some(units + links)
    }
    /// Energy of the whole bank at its nominal voltage.
    pub fn nominal_energy(&self) -> WattHours {
        self.capacity * f64::from(self.strings_in_parallel) * self.nominal_voltage()
    }

    pub(super) fn contradictions(&self) -> Vec<String> {
        let mut found = Vec::new();
        if self.lowest_voltage > self.empty_voltage {
            found.push("end of discharge is below the lowest voltage that the maker allows".to_owned());
        }
        if self.empty_voltage >= self.full_rest_voltage {
            found.push("empty voltage is not below the full resting voltage".to_owned());
        }
        if self.full_rest_voltage > self.charge_voltage {
            found.push("charge voltage is below the full resting voltage".to_owned());
        }
        if self.float_voltage.is_some_and(|float| float > self.charge_voltage) {
            found.push("float voltage is above the charge voltage".to_owned());
        }
        if self.equalize_voltage.is_some_and(|equalize| equalize < self.charge_voltage) {
            found.push("equalize voltage is below the charge voltage".to_owned());
        }
        found
    }
}
