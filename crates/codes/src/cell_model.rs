//! The model of one cell: what the rows of `battery-models.csv` mean.
//!
//! An equivalent circuit: a resting voltage that rises with the charge, a polarization, and a resistance that is the
//! smaller the greater the capacity. A bank is so many cells in series with the capacity of its strings.

use crate::table_error::TableError;
use crate::tables::battery_models::Figures;
use lineside_core::kinds::curve::{RestVoltages, ShareAtTemperature, value_at};
use lineside_core::kinds::field::CurvePoint;
use lineside_core::math;
use lineside_core::units::{AmpHours, Amps, Celsius, CelsiusSpan, Ohms, Percent, Volts};

/// How a cell of one chemistry behaves.
#[derive(Clone, Debug, PartialEq)]
pub struct CellModel {
    /// Resting voltage against the charge.
    pub rest_voltages: RestVoltages,
    /// Share of the capacity that can be taken out against the temperature, at slow rates.
    pub cold_capacity: ShareAtTemperature,
    /// Voltage at which a full cell is kept full, at 25 °C.
    pub float_voltage: Volts,
    /// Charge below which it is not drawn by design.
    pub least_charge: Percent,
    /// Charge from which loads are taken up again after it was run down.
    pub restart_charge: Percent,
    charge_efficiency: Vec<CurvePoint>,
    efficiency_heat: f64,
    efficiency_heat_from: f64,
    charge_polarization: f64,
    discharge_polarization: f64,
    polarization_rate: f64,
    charge_resistance: f64,
    discharge_resistance: f64,
    resistance_cold: f64,
    charge_rates: Vec<CurvePoint>,
    discharge_rate: f64,
    acceptance: f64,
    float_rate: f64,
    absorb_end_rate: f64,
    self_discharge: f64,
    self_discharge_heat: f64,
    rate_exponent: f64,
    rated_rate: f64,
    cycles_at_full_depth: f64,
    cycles_exponent: f64,
    calendar_years: f64,
    calendar_halving: f64,
}

/// Below this temperature the resistance is not taken to rise any further.
const COLDEST_RESISTANCE: f64 = -20.0;

impl CellModel {
    pub(crate) fn read(figures: &Figures<'_>) -> Result<Self, TableError> {
        Ok(Self {
            rest_voltages: RestVoltages(figures.curve("rest_voltage")?),
            cold_capacity: ShareAtTemperature(figures.curve("cold_capacity")?),
            float_voltage: Volts::new(figures.number("float_voltage")?),
            least_charge: Percent::new(figures.number("least_charge")?),
            restart_charge: Percent::new(figures.number("restart_charge")?),
            charge_efficiency: figures.curve("charge_efficiency")?,
            efficiency_heat: figures.number("efficiency_heat")?,
            efficiency_heat_from: figures.number("efficiency_heat_from")?,
            charge_polarization: figures.number("charge_polarization")?,
            discharge_polarization: figures.number("discharge_polarization")?,
            polarization_rate: figures.number("polarization_rate")?,
            charge_resistance: figures.number("charge_resistance")?,
            discharge_resistance: figures.number("discharge_resistance")?,
            resistance_cold: figures.number("resistance_cold")?,
            charge_rates: figures.curve("charge_rate")?,
            discharge_rate: figures.number("discharge_rate")?,
            acceptance: figures.number("acceptance")?,
            float_rate: figures.number("float_rate")?,
            absorb_end_rate: figures.number("absorb_end_rate")?,
            self_discharge: figures.number("self_discharge")?,
            self_discharge_heat: figures.number("self_discharge_heat")?,
            rate_exponent: figures.number("rate_exponent")?,
            rated_rate: figures.number("rated_rate")?,
            cycles_at_full_depth: figures.number("cycles_at_full_depth")?,
            cycles_exponent: figures.number("cycles_exponent")?,
            calendar_years: figures.number("calendar_years")?,
            calendar_halving: figures.number("calendar_halving")?,
        })
    }

    /// Resting voltage at a state of charge.
    pub fn rest_voltage(&self, charge: Percent) -> Volts {
        Volts::new(value_at(&self.rest_voltages.0, charge.value()).unwrap_or_default())
    }
    /// What of the charge current stays in the cell; less in the heat.
    pub fn charge_efficiency(&self, charge: Percent, temperature: Celsius) -> Percent {
        let heat = (temperature.value() - self.efficiency_heat_from).max(0.0);
        let at_base = value_at(&self.charge_efficiency, charge.value()).unwrap_or(100.0);
        Percent::new(at_base * (1.0 - self.efficiency_heat * heat).max(0.0))
    }
    /// What the voltage rises above its resting value once charge current flows, beside the resistance.
    pub fn charge_polarization(&self) -> Volts {
        Volts::new(self.charge_polarization)
    }
    /// What the voltage falls below its resting value once discharge current flows, beside the resistance.
    pub fn discharge_polarization(&self) -> Volts {
        Volts::new(self.discharge_polarization)
    }
    /// The current from which the polarization is there in full.
    pub fn polarization_current(&self, capacity: AmpHours) -> Amps {
        Amps::new(self.polarization_rate * capacity.value())
    }
    /// Working resistance of a cell on charge: `value / C × e^(k_R × (25 − T))`.
    pub fn charge_resistance(&self, capacity: AmpHours, temperature: Celsius) -> Ohms {
        self.resistance(self.charge_resistance, capacity, temperature)
    }
    /// Working resistance of a cell on discharge.
    pub fn discharge_resistance(&self, capacity: AmpHours, temperature: Celsius) -> Ohms {
        self.resistance(self.discharge_resistance, capacity, temperature)
    }
    fn resistance(&self, at_base: f64, capacity: AmpHours, temperature: Celsius) -> Ohms {
        let below = Celsius::STANDARD_TEST.value() - temperature.value().max(COLDEST_RESISTANCE);
        let cold = math::pow(std::f64::consts::E, self.resistance_cold * below);
        Ohms::new(at_base * cold / capacity.value())
    }
    /// The charge current that makers recommend at a temperature; each step holds up to the next.
    pub fn charge_current(&self, capacity: AmpHours, temperature: Celsius) -> Amps {
        let step = self.charge_rates.iter().rev().find(|step| step.x <= temperature.value());
        Amps::new(step.or(self.charge_rates.first()).map_or(0.0, |step| step.y) * capacity.value())
    }
    /// The discharge current that makers recommend.
    pub fn discharge_current(&self, capacity: AmpHours) -> Amps {
        Amps::new(self.discharge_rate * capacity.value())
    }
    /// The current that the cell accepts, by the ampere-hour law: in proportion to the charge still missing, but
    /// never less than keeps it full.
    pub fn accepted_current(&self, capacity: AmpHours, charge: Percent, temperature: Celsius) -> Amps {
        let efficiency = self.charge_efficiency(charge, temperature).share().max(f64::MIN_POSITIVE);
        let missing = capacity.value() * (1.0 - charge.share()).clamp(0.0, 1.0);
        self.float_current(capacity).max(Amps::new((self.acceptance * missing / efficiency).min(f64::MAX)))
    }
    /// The current that keeps a full cell full.
    pub fn float_current(&self, capacity: AmpHours) -> Amps {
        Amps::new(self.float_rate * capacity.value())
    }
    /// The current at which a full cell stands at the absorb voltage.
    pub fn absorb_end_current(&self, capacity: AmpHours) -> Amps {
        Amps::new(self.absorb_end_rate * capacity.value())
    }
    /// Share of its charge that is left after a day of rest.
    pub fn left_after_day(&self, temperature: Celsius) -> Percent {
        let warm = temperature.above(Celsius::STANDARD_TEST).value() / 10.0;
        let rate = self.self_discharge * math::pow(self.self_discharge_heat, warm);
        Percent::from_share(math::pow(std::f64::consts::E, -rate))
    }
    /// Peukert's law: the exponent, and the current for which the capacity is rated.
    pub fn rate_law(&self, capacity: AmpHours) -> (f64, Amps) {
        (self.rate_exponent, Amps::new(self.rated_rate * capacity.value()))
    }
    /// Cycles to the end of life at a depth of discharge: `a × D^(−b)`, D in percent.
    pub fn cycles(&self, depth: Percent) -> f64 {
        let depth = depth.share().clamp(0.01, 1.0);
        self.cycles_at_full_depth * math::pow(depth, -self.cycles_exponent)
    }
    /// The two numbers of that law: a and b.
    pub fn cycle_law(&self) -> (f64, f64) {
        (self.cycles_at_full_depth, self.cycles_exponent)
    }
    /// Charge efficiency in percent against the charge in percent, before any heat.
    pub fn charge_efficiency_points(&self) -> &[CurvePoint] {
        &self.charge_efficiency
    }
    /// Share of the charge efficiency lost with each degree, and the temperature above which it is.
    pub fn efficiency_heat(&self) -> (f64, Celsius) {
        (self.efficiency_heat, Celsius::new(self.efficiency_heat_from))
    }
    /// `k_R` of the resistance, per K.
    pub fn resistance_cold(&self) -> f64 {
        self.resistance_cold
    }
    /// Charge current in A per Ah against the temperature; each step holds up to the next.
    pub fn charge_steps(&self) -> &[CurvePoint] {
        &self.charge_rates
    }
    /// The constant of the ampere-hour law of acceptance, per hour.
    pub fn acceptance(&self) -> f64 {
        self.acceptance
    }
    /// Share of the charge lost in a day at 25 °C, and by how many times that grows with 10 K.
    pub fn self_discharge(&self) -> (f64, f64) {
        (self.self_discharge, self.self_discharge_heat)
    }
    /// Years at 25 °C, and the warming that halves them.
    pub fn calendar(&self) -> (f64, CelsiusSpan) {
        (self.calendar_years, CelsiusSpan::new(self.calendar_halving))
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::Codes;
    use lineside_core::kinds::battery_bank::Chemistry;

    fn model(chemistry: Chemistry) -> CellModel {
        let codes = Codes::load().unwrap_or_else(|fault| panic!("{fault}"));
        codes.common.battery_models.find(chemistry).cloned().unwrap()
    }
    fn close(found: f64, expected: f64) {
        assert!((found - expected).abs() <= 1e-9 * expected.abs().max(1.0), "{found} instead of {expected}");
    }
    const WARM: Celsius = Celsius::new(25.0);

    #[test]
    fn a_nickel_iron_cell() {
        let cell = model(Chemistry::NickelIron);
        let capacity = AmpHours::new(600.0);
        // Between 75 % (1.34 V) and 90 % (1.365 V): 1.34 + 0.025 × 5/15.
        close(cell.rest_voltage(Percent::new(80.0)).value(), 1.34 + 0.025 / 3.0);
        // 0.70 Ω·Ah over 600 Ah; at 5 °C e^(0.015 × 20) = 1.349859 times as much.
        close(cell.charge_resistance(capacity, WARM).value(), 0.70 / 600.0);
        close(
            cell.charge_resistance(capacity, Celsius::new(5.0)).value(),
            0.70 / 600.0 * 1.349_858_807_576_003,
        );
        // It stops to rise at −20 °C: e^(0.015 × 45).
        let coldest = cell.discharge_resistance(capacity, Celsius::new(-20.0));
        assert_eq!(cell.discharge_resistance(capacity, Celsius::new(-40.0)), coldest);
        // 82 % at 80 % charge; at 45 °C a twentieth less.
        close(cell.charge_efficiency(Percent::new(80.0), WARM).value(), 82.0);
        close(cell.charge_efficiency(Percent::new(80.0), Celsius::new(45.0)).value(), 77.9);
        // 2 /h × 600 Ah × 0.2 / 0.82.
        let accepted = cell.accepted_current(capacity, Percent::new(80.0), WARM);
        close(accepted.value(), 240.0 / 0.82);
        // Full, it takes what keeps it full: 0.002 × 600 Ah.
        close(cell.accepted_current(capacity, Percent::new(100.0), WARM).value(), 1.2);
        close(cell.polarization_current(capacity).value(), 6.0);
        close(cell.absorb_end_current(capacity).value(), 30.0);
        // 5 000 cycles at 80 %: 4090 × 0.8^−0.9 = 4999.6.
        assert!((cell.cycles(Percent::new(80.0)) - 5000.0).abs() < 5.0);
    }

    #[test]
    fn lithium_takes_no_charge_in_the_cold() {
        let cell = model(Chemistry::LithiumIronPhosphate);
        let capacity = AmpHours::new(200.0);
        let at = |celsius| cell.charge_current(capacity, Celsius::new(celsius));
        let steps = [(-5.0, 0.0), (0.0, 20.0), (7.0, 40.0), (20.0, 100.0), (50.0, 40.0), (60.0, 0.0)];
        for (celsius, amps) in steps {
            assert_eq!(at(celsius), Amps::new(amps), "{celsius} °C");
        }
    }

    #[test]
    fn every_model_makes_sense() {
        for chemistry in Chemistry::ALL {
            let cell = model(*chemistry);
            let codes = Codes::load().unwrap();
            let window = codes.common.battery_windows.find(*chemistry).unwrap().value;
            let capacity = AmpHours::new(100.0);
            let (empty, full) = (cell.rest_voltage(Percent::ZERO), cell.rest_voltage(Percent::new(100.0)));
            assert!(
                cell.rest_voltages.0.windows(2).all(|pair| pair[0].y <= pair[1].y),
                "{}",
                chemistry.key()
            );
            assert!(empty < full && full < window.charge, "{}", chemistry.key());
            assert!(cell.float_voltage < window.charge, "{}", chemistry.key());
            assert!(cell.absorb_end_current(capacity) > cell.float_current(capacity), "{}", chemistry.key());
            assert!(cell.charge_efficiency(Percent::ZERO, WARM).share() <= 1.0, "{}", chemistry.key());
            assert!(cell.least_charge < cell.restart_charge, "{}", chemistry.key());
            assert!(cell.discharge_current(capacity) > Amps::ZERO, "{}", chemistry.key());
            assert!(cell.left_after_day(WARM).share() < 1.0, "{}", chemistry.key());
            let (exponent, rated) = cell.rate_law(capacity);
            assert!(exponent >= 1.0 && rated > Amps::ZERO, "{}", chemistry.key());
            assert!(cell.calendar().0 > 1.0, "{}", chemistry.key());
            assert!(cell.charge_polarization() >= cell.discharge_polarization(), "{}", chemistry.key());
        }
    }
}
