//! One cell: the tables' figures of its chemistry, with what its nameplate says better.

use super::curve::Curve;
use lineside_codes::{CellModel, Codes};
use lineside_core::kinds::battery_bank::Chemistry;
use lineside_core::kinds::field::CurvePoint;
use lineside_core::units::{AmpHours, Celsius, Percent, Volts, VoltsPerCelsius, Years};

/// How a cell behaves. Every field may be changed to what a nameplate says.
#[derive(Clone, Debug, PartialEq)]
pub struct Cell {
    /// Its chemistry.
    pub chemistry: Chemistry,
    /// Voltage to which it is charged, at 25 °C.
    pub absorb_voltage: Volts,
    /// Change of that voltage with temperature.
    pub compensation: VoltsPerCelsius,
    /// Voltage at which discharge ends.
    pub cut_out_voltage: Volts,
    /// Charge below which it is not drawn.
    pub least_charge: Percent,
    /// Charge from which loads are taken up again after it was run down.
    pub restart_charge: Percent,
    /// Years that it lasts at 25 °C.
    pub calendar_life: Years,
    /// Resting voltage against the charge in percent.
    pub rest_voltages: Vec<CurvePoint>,
    /// Share in percent of the capacity that can be taken out against the temperature.
    pub cold_capacity: Vec<CurvePoint>,
    /// Greatest charge current in A per Ah against the temperature, in steps.
    pub charge_steps: Vec<CurvePoint>,
    /// Greatest discharge current in A per Ah.
    pub discharge_rate: f64,
    /// Resistance on charge and on discharge, Ω·Ah.
    pub resistance: (f64, f64),
    /// Share of the charge lost in a day at 25 °C.
    pub self_discharge: f64,
    /// Cycles at the depth `D` as `a D^(−b)`.
    pub cycle_law: (f64, f64),
    pub(super) efficiency: Vec<CurvePoint>,
    pub(super) efficiency_heat: (f64, f64),
    pub(super) polarization: (f64, f64),
    pub(super) resistance_cold: f64,
    pub(super) acceptance: f64,
    pub(super) self_discharge_heat: f64,
    pub(crate) rate_exponent: f64,
    pub(crate) rated_rate: f64,
    pub(super) calendar_step: f64,
}

impl Cell {
    /// The usual cell of a chemistry. `None` never happens with tables that were read.
    pub fn usual(codes: &Codes, chemistry: Chemistry) -> Option<Self> {
        let model: &CellModel = codes.common.battery_models.find(chemistry)?;
        let window = codes.common.battery_windows.find(chemistry)?.value;
        let one = AmpHours::new(1.0);
        let (rate_exponent, rated) = model.rate_law(one);
        let (self_discharge, self_discharge_heat) = model.self_discharge();
        let (heat, heat_from) = model.efficiency_heat();
        let (years, step) = model.calendar();
        Some(Self {
            chemistry,
            absorb_voltage: window.charge,
            compensation: window.compensation,
            cut_out_voltage: window.end_of_discharge,
            least_charge: model.least_charge,
            restart_charge: model.restart_charge,
            calendar_life: Years::new(years),
            rest_voltages: model.rest_voltages.0.clone(),
            cold_capacity: model.cold_capacity.0.clone(),
            charge_steps: model.charge_steps().to_vec(),
            discharge_rate: model.discharge_current(one).value(),
            resistance: (
                model.charge_resistance(one, Celsius::STANDARD_TEST).value(),
                model.discharge_resistance(one, Celsius::STANDARD_TEST).value(),
            ),
            self_discharge,
            cycle_law: model.cycle_law(),
            efficiency: model.charge_efficiency_points().to_vec(),
            efficiency_heat: (heat, heat_from.value()),
            polarization: (model.charge_polarization().value(), model.discharge_polarization().value()),
            resistance_cold: model.resistance_cold(),
            acceptance: model.acceptance(),
            self_discharge_heat,
            rate_exponent,
            rated_rate: rated.value(),
            calendar_step: step.value(),
        })
    }

    /// The same charge efficiency at every charge.
    pub(crate) fn set_efficiency(&mut self, efficiency: Percent) {
        self.efficiency = [0.0, 100.0].map(|x| CurvePoint { x, y: efficiency.value() }).to_vec();
    }

    pub(super) fn rest_curve(&self) -> Curve {
        Curve::new(&self.rest_voltages, 0.01, 1.0)
    }
    pub(super) fn efficiency_curve(&self) -> Curve {
        Curve::new(&self.efficiency, 0.01, 0.01)
    }
    pub(super) fn cold_curve(&self) -> Curve {
        Curve::new(&self.cold_capacity, 1.0, 0.01)
    }
    /// Charge current in A per Ah at a temperature; each step holds up to the next.
    pub(super) fn charge_rate(&self, celsius: f64) -> f64 {
        let step = self.charge_steps.iter().rev().find(|step| step.x <= celsius);
        step.or(self.charge_steps.first()).map_or(0.0, |step| step.y)
    }
}
