//! A module: power, voltage and current against light and temperature, from its nameplate.

use super::single_diode::SingleDiode;
use lineside_core::math::{exp, ln};
use lineside_core::units::{Amps, Celsius, Percent, PercentPerCelsius, Volts, Watts, WattsPerSquareMeter};

/// What the nameplate of a module says, complete.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Module {
    /// Power at standard test conditions.
    pub power: Watts,
    /// Open-circuit voltage.
    pub open_circuit_voltage: Volts,
    /// Voltage at maximum power.
    pub max_power_voltage: Volts,
    /// Short-circuit current.
    pub short_circuit_current: Amps,
    /// Current at maximum power.
    pub max_power_current: Amps,
    /// Change of power with temperature.
    pub power_coefficient: PercentPerCelsius,
    /// Change of short-circuit current with temperature.
    pub current_coefficient: PercentPerCelsius,
    /// Change of open-circuit voltage with temperature.
    pub voltage_coefficient: PercentPerCelsius,
    /// Nominal operating cell temperature.
    pub cell_temperature: Celsius,
    /// Efficiency lost at 200 W/m².
    pub low_light_loss: Percent,
    /// How its power is computed.
    pub model: ModuleModel,
}

/// How the power of a module is computed.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub enum ModuleModel {
    /// In proportion to light, less for heat and weak light.
    #[default]
    Nameplate,
    /// By the equivalent circuit of a cell.
    SingleDiode(SingleDiode),
}

const STANDARD_SUN: f64 = 1000.0;
const STANDARD_CELSIUS: f64 = 25.0;
/// ln 5: standard light over that of the weak-light test.
const LN_FIVE: f64 = 1.609_437_912_434_100_3;
/// What `V_oc` gains with the logarithm of the light.
const VOLTAGE_BY_LIGHT: f64 = 0.05;

impl Module {
    /// Power at its best point for light that reaches the cells and a cell temperature.
    pub fn power(&self, sun: WattsPerSquareMeter, cell: Celsius) -> Watts {
        Watts::new(Figures::of(self).power(sun.value(), cell.value()))
    }
}

/// The figures of a module as the hours need them.
#[derive(Clone, Copy, Debug)]
pub(super) struct Figures {
    power_w: f64,
    power_by_kelvin: f64,
    weak_light: f64,
    max_power_v: f64,
    voltage_by_kelvin: f64,
    short_circuit_a: f64,
    current_by_kelvin: f64,
    open_circuit_v: f64,
    open_by_kelvin: f64,
    /// C₁ and C₂ of the curve between short and open circuit.
    curve: (f64, f64),
    model: ModuleModel,
}

impl Figures {
    pub(super) fn of(module: &Module) -> Self {
        let current_share = module.max_power_current / module.short_circuit_current;
        let voltage_share = module.max_power_voltage / module.open_circuit_voltage;
        let c2 = (voltage_share - 1.0) / ln(1.0 - current_share);
        let c1 = (1.0 - current_share) * exp(-voltage_share / c2);
        let gamma = module.power_coefficient.value() / 100.0;
        let alpha = module.current_coefficient.value() / 100.0;
        Self {
            power_w: module.power.value(),
            power_by_kelvin: gamma,
            weak_light: module.low_light_loss.share() / LN_FIVE,
            max_power_v: module.max_power_voltage.value(),
            voltage_by_kelvin: gamma - alpha,
            short_circuit_a: module.short_circuit_current.value(),
            current_by_kelvin: alpha,
            open_circuit_v: module.open_circuit_voltage.value(),
            open_by_kelvin: module.voltage_coefficient.value() / 100.0,
            curve: (c1, c2),
            model: module.model,
        }
    }

    /// Power at the best point, W.
    pub(super) fn power(&self, sun: f64, celsius: f64) -> f64 {
        if sun <= 0.0 {
            return 0.0;
        }
        match &self.model {
            ModuleModel::Nameplate => {
                let light = sun / STANDARD_SUN;
                let warm = 1.0 + self.power_by_kelvin * (celsius - STANDARD_CELSIUS);
                (self.power_w * light * warm * (1.0 + self.weak_light * ln(light))).max(0.0)
            }
            ModuleModel::SingleDiode(diode) => diode.best(sun, celsius).2.max(0.0),
        }
    }

    /// Voltage at the best point, V: `V_mp (1 + (γ − α)(T − 25))`, since power is voltage times current.
    pub(super) fn voltage(&self, celsius: f64) -> f64 {
        (self.max_power_v * (1.0 + self.voltage_by_kelvin * (celsius - STANDARD_CELSIUS))).max(1.0)
    }

    /// Short-circuit current and open-circuit voltage; nothing in the dark.
    pub(super) fn ends(&self, sun: f64, celsius: f64) -> (f64, f64) {
        if sun < 1.0 {
            return (0.0, self.open_circuit_v);
        }
        let light = sun / STANDARD_SUN;
        let warmer = celsius - STANDARD_CELSIUS;
        let current = self.short_circuit_a * light * (1.0 + self.current_by_kelvin * warmer);
        let voltage =
            self.open_circuit_v * (1.0 + self.open_by_kelvin * warmer) * (1.0 + VOLTAGE_BY_LIGHT * ln(light));
        (current, voltage)
    }

    pub(super) const fn curve(&self) -> (f64, f64) {
        self.curve
    }
}
