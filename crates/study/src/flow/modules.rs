//! A set of strings as seen from its terminals: its maximum-power point in the sun and warmth of the moment, and the
//! current at any other voltage.
//!
//! The maximum-power point follows the nameplate's coefficients. Between it and the open circuit, where a controller
//! that holds back works, one exponential is laid through both with the slope that makes the first a maximum.

use crate::conditions::Conditions;
use crate::string_voltage;
use lineside_codes::FactorKey;
use lineside_core::circuit::Block;
use lineside_core::kinds::strings::Strings;
use lineside_core::math;
use lineside_core::units::{Celsius, Watts, WattsPerSquareMeter};
use lineside_core::working::Silent;

/// A set of strings in one sun.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct Modules {
    /// Voltage at maximum power.
    pub best_volts: f64,
    /// Current at maximum power, all strings together.
    pub best_amps: f64,
    /// Open-circuit voltage.
    pub open_volts: f64,
    /// Temperature of the cells.
    pub cell: Celsius,
    /// Volts in which the current's fall grows by e.
    bend_volts: f64,
    /// What the current would come to far below the open circuit.
    scale_amps: f64,
}

/// Below this sun strings give nothing (energy model, section 7).
const DARK: f64 = 1.0;
/// The open circuit stands at least this much above the maximum-power point, whatever the nameplate says.
const LEAST_RATIO: f64 = 1.02;
/// Beyond so many bends above the open circuit the reverse current goes on in a straight line.
const STRAIGHT_BENDS: f64 = 4.0;

impl Modules {
    /// A set of strings; `None` in the dark, or when nothing is left of its power.
    pub(super) fn of(
        on: &Conditions<'_>,
        block: &Block,
        strings: &Strings,
        sun: WattsPerSquareMeter,
        ambient: Celsius,
    ) -> Option<Self> {
        if sun.value() < DARK {
            return None;
        }
        let full_sun = sun / on.quantity::<WattsPerSquareMeter>(FactorKey::StandardIrradiance);
        let (hottest, _) = string_voltage::hot(on, block, strings, ambient, &mut Silent);
        let cell = ambient.warmer_by(hottest.above(ambient) * full_sun);
        let warmer = cell.above(Celsius::STANDARD_TEST);
        let in_series = f64::from(strings.modules_in_series);
        let (usual, _) = string_voltage::working_coefficient(on, strings);
        let of_power = strings.power_coefficient.unwrap_or(usual);
        let of_current = strings.short_circuit_coefficient.unwrap_or_default();
        // P = V × I, and the maximum-power current moves with the short-circuit current.
        let of_voltage = strings.voltage_coefficient.unwrap_or(of_power - of_current);
        let watts = power(on, strings, full_sun, of_power.factor(warmer));
        let best_volts = strings.max_power_voltage.value() * in_series * of_voltage.factor(warmer);
        if watts <= Watts::ZERO || best_volts <= 0.0 {
            return None;
        }
        let of_open = strings.open_circuit_coefficient.unwrap_or(of_voltage);
        let open = strings.open_circuit_voltage.value() * in_series * of_open.factor(warmer);
        // Below twice the best voltage the exponential exists; the margin keeps it well shaped.
        let open_volts = open.max(best_volts * LEAST_RATIO).min(best_volts * 1.9);
        let best_amps = watts.value() / best_volts;
        let bend_volts = bend(best_volts, open_volts);
        let at_best = math::pow(std::f64::consts::E, (best_volts - open_volts) / bend_volts);
        let scale_amps = best_amps / (1.0 - at_best);
        Some(Self { best_volts, best_amps, open_volts, cell, bend_volts, scale_amps })
    }

    /// Greatest power.
    pub(super) fn best_watts(&self) -> f64 {
        self.best_volts * self.best_amps
    }

    /// Current out of the strings at so many volts above the open circuit, and how it changes with them. Above it the
    /// current flows in.
    pub(super) fn give(&self, above_open: f64) -> (f64, f64) {
        let last = STRAIGHT_BENDS * self.bend_volts;
        let bent = math::pow(std::f64::consts::E, above_open.min(last) / self.bend_volts);
        let slope = -self.scale_amps / self.bend_volts * bent;
        (self.scale_amps * (1.0 - bent) + slope * (above_open - last).max(0.0), slope)
    }
}

/// `P_max × G × (1 + γ (T − 25)) × (1 + (ℓ / ln 5) × ln G)`, `G` in parts of full sun, of all modules.
fn power(on: &Conditions<'_>, strings: &Strings, full_sun: f64, by_warmth: f64) -> Watts {
    let models = &on.codes.common.equipment_models;
    let loss = strings.low_light_loss.unwrap_or(models.low_light_loss).share();
    let low = models.low_light_irradiance / on.quantity::<WattsPerSquareMeter>(FactorKey::StandardIrradiance);
    let by_light = 1.0 - loss * math::log10(full_sun) / math::log10(low);
    strings.array_power() * (full_sun * by_warmth.max(0.0) * by_light.max(0.0))
}

/// The bend with which the exponential that has its maximum of power at `best` ends at `open`:
/// `e^z − 1 = (best / (open − best)) × z`, `z = (open − best) / bend`. The function is convex, so that Newton's method
/// from the right of its root comes down to it.
fn bend(best: f64, open: f64) -> f64 {
    let over = open - best;
    let ratio = best / over;
    let mut z = 2.0 * math::log10(ratio) * std::f64::consts::LN_10 + 2.0;
    for _ in 0..60 {
        let power = math::pow(std::f64::consts::E, z);
        let step = (power - 1.0 - ratio * z) / (power - ratio);
        if !step.is_finite() || step <= 1e-15 * z {
            break;
        }
        z -= step;
    }
    over / z
}

#[cfg(test)]
mod tests {
    use super::*;
    use lineside_codes::Codes;
    use lineside_core::kinds::strings::Mounting;
    use lineside_core::project::Project;
    use lineside_core::testing::Bench;

    fn modules(sun: f64, ambient: f64, change: impl Fn(&mut Strings)) -> Option<Modules> {
        let codes = Codes::load().unwrap();
        let mut bench = Bench::new();
        let mut strings = bench.stock("Module string, 400 W modules").as_kind::<Strings>().unwrap().clone();
        (strings.modules_in_series, strings.strings_in_parallel) = (3, 1);
        strings.mounting = Mounting::Ground;
        change(&mut strings);
        let id = bench.put("S1", None, strings.clone());
        let block = bench.project.circuit.block(id).unwrap();
        let project = Project::default();
        let on = Conditions::new(&project, &codes);
        Modules::of(&on, block, &strings, WattsPerSquareMeter::new(sun), Celsius::new(ambient))
    }
    fn give(set: &Modules, volts: f64) -> (f64, f64) {
        set.give(volts - set.open_volts)
    }
    fn close(found: f64, expected: f64) {
        assert!((found - expected).abs() <= 1e-9 * expected.abs().max(1.0), "{found} instead of {expected}");
    }

    #[test]
    fn the_maximum_power_point_by_hand() {
        // 45 °C nominal: cells 1.25 × 25 = 31.25 K above ambient, 56.25 °C at 25 °C; 31.25 K above 25 °C.
        // 1200 W × (1 − 0.0034 × 31.25) = 1072.5 W; V: 3 × 31.3 × (1 − (0.0034 + 0.0005) × 31.25) = 82.455938 V.
        let set = modules(1000.0, 25.0, |_| ()).unwrap();
        close(set.cell.value(), 56.25);
        close(set.best_watts(), 1072.5);
        close(set.best_volts, 93.9 * (1.0 - 0.0039 * 31.25));
        // Open: 3 × 37.2 × (1 − 0.0027 × 31.25) = 102.18375 V.
        close(set.open_volts, 111.6 * (1.0 - 0.0027 * 31.25));
        let (amps, slope) = give(&set, set.best_volts);
        close(amps, 1072.5 / set.best_volts);
        // There the power is greatest: I + V dI/dV = 0.
        close(amps + set.best_volts * slope, 0.0);
        assert!(give(&set, set.open_volts).0.abs() < 1e-9);
    }

    #[test]
    fn low_light_costs_what_the_nameplate_says() {
        // 200 W/m² at 20 °C: cells 26.25 °C. 1200 × 0.2 × (1 − 0.0034 × 1.25) × 0.97.
        let set = modules(200.0, 20.0, |_| ()).unwrap();
        close(set.cell.value(), 26.25);
        close(set.best_watts(), 240.0 * (1.0 - 0.0034 * 1.25) * 0.97);
    }

    #[test]
    fn the_current_at_no_voltage_is_near_the_short_circuit_current() {
        // At −6.25 °C the cells are at 25 °C. The curve is not told of the 13.6 A and comes within 1 % of them.
        let set = modules(1000.0, -6.25, |_| ()).unwrap();
        let found = give(&set, 0.0).0;
        assert!((found / 13.6 - 1.0).abs() < 0.01, "{found}");
    }

    #[test]
    fn above_the_open_circuit_current_flows_in_and_stays_finite() {
        let set = modules(1000.0, 25.0, |_| ()).unwrap();
        let mut last = f64::INFINITY;
        for step in 0..4000 {
            let (amps, slope) = give(&set, f64::from(step) * 0.1);
            assert!(amps.is_finite() && slope < 0.0 && amps < last);
            last = amps;
        }
        assert!(give(&set, 110.0).0 < 0.0);
    }

    #[test]
    fn nameplates_that_contradict_themselves_give_a_curve_all_the_same() {
        for (best, open) in [(100.0, 50.0), (30.0, 30.0), (1.0, 200.0)] {
            let set = modules(800.0, 10.0, |strings| {
                strings.max_power_voltage = lineside_core::units::Volts::new(best);
                strings.open_circuit_voltage = lineside_core::units::Volts::new(open);
            });
            let set = set.unwrap();
            let (amps, slope) = give(&set, set.best_volts);
            assert!(amps > 0.0 && slope.is_finite() && set.open_volts > set.best_volts, "{best} {open}");
            assert!(give(&set, set.open_volts).0.abs() < 1e-6 * amps, "{best} {open}");
        }
    }

    #[test]
    fn in_the_dark_there_is_nothing() {
        assert_eq!(modules(0.5, 20.0, |_| ()), None);
    }
}
