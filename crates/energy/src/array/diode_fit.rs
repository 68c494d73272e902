//! The five parameters of the equivalent circuit from a nameplate.
//!
//! For a given ideality and series resistance the three points of the nameplate (short circuit, open circuit, best point)
//! are linear in the other three parameters. The series resistance then follows from the best point being the best,
//! and the ideality from the change of open-circuit voltage with temperature.

use super::single_diode::{NoFit, SingleDiode};
use lineside_core::math::exp;
use lineside_core::units::{Amps, Celsius, Ohms, PercentPerCelsius, Volts, WattsPerSquareMeter};

/// What the nameplate gives.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct DiodeNameplate {
    /// Short-circuit current.
    pub short_circuit_current: Amps,
    /// Open-circuit voltage.
    pub open_circuit_voltage: Volts,
    /// Voltage at maximum power.
    pub max_power_voltage: Volts,
    /// Current at maximum power.
    pub max_power_current: Amps,
    /// Change of short-circuit current with temperature.
    pub current_coefficient: PercentPerCelsius,
    /// Change of open-circuit voltage with temperature.
    pub voltage_coefficient: PercentPerCelsius,
    /// Cells in series.
    pub cells: u32,
}

/// `k T/q` at 25 °C, volts.
const THERMAL_VOLTAGE: f64 = 0.025_692_579_12;
/// Diode idealities that are gone through.
const IDEALITIES: (f64, f64) = (0.7, 2.0);
const GRID: u32 = 52;
const HALVINGS: usize = 80;
/// The smallest conductance in parallel that is still a parallel resistance, siemens.
const LEAST_SHUNT: f64 = 1e-9;

/// Finds the parameters, or says that there are none.
pub fn fit(nameplate: &DiodeNameplate) -> Result<SingleDiode, NoFit> {
    let (low, high) = IDEALITIES;
    let unit = f64::from(nameplate.cells) * THERMAL_VOLTAGE;
    let at = |n: u32| unit * (low + (high - low) * f64::from(n) / f64::from(GRID));
    let mut before: Option<(f64, f64)> = None;
    for ideality in (0..=GRID).map(at) {
        let here = with_ideality(nameplate, ideality).map(|diode| (ideality, miss(nameplate, &diode)));
        if let (Some((a, miss_a)), Some((b, miss_b))) = (before, here)
            && miss_a * miss_b <= 0.0
        {
            return between(nameplate, (a, miss_a), b).ok_or(NoFit);
        }
        before = here;
    }
    Err(NoFit)
}

/// Halves the range of idealities between two misses of unlike sign.
fn between(
    nameplate: &DiodeNameplate,
    (mut low, miss_low): (f64, f64),
    mut high: f64,
) -> Option<SingleDiode> {
    for _ in 0..HALVINGS {
        let middle = 0.5 * (low + high);
        let diode = with_ideality(nameplate, middle)?;
        if miss(nameplate, &diode) * miss_low > 0.0 {
            low = middle;
        } else {
            high = middle;
        }
    }
    with_ideality(nameplate, 0.5 * (low + high))
}

/// By how much the open-circuit voltage changes more with a degree than the nameplate says.
fn miss(nameplate: &DiodeNameplate, diode: &SingleDiode) -> f64 {
    let volts = |celsius: f64| {
        diode.at(WattsPerSquareMeter::new(1000.0), Celsius::new(celsius)).open_circuit_voltage.value()
    };
    let wanted = nameplate.voltage_coefficient.value() / 100.0 * nameplate.open_circuit_voltage.value();
    (volts(26.0) - volts(24.0)) / 2.0 - wanted
}

/// The parameters that meet the three points and the best point, for an ideality.
fn with_ideality(nameplate: &DiodeNameplate, ideality: f64) -> Option<SingleDiode> {
    let most = (nameplate.open_circuit_voltage - nameplate.max_power_voltage).value()
        / nameplate.max_power_current.value();
    let slope = |series: f64| Some(linear(nameplate, ideality, series)?.1);
    let (mut low, mut high) = (0.0, most * 0.999);
    let at_low = slope(low)?;
    if at_low * slope(high)? > 0.0 {
        return None;
    }
    for _ in 0..HALVINGS {
        let middle = 0.5 * (low + high);
        if slope(middle)? * at_low > 0.0 {
            low = middle;
        } else {
            high = middle;
        }
    }
    let (diode, _) = linear(nameplate, ideality, 0.5 * (low + high))?;
    let shunt = diode.shunt_resistance.value();
    (shunt > 0.0 && shunt < 1.0 / LEAST_SHUNT).then_some(diode)
}

/// The parameters that meet the three points, and the slope of power over voltage at the best point.
fn linear(nameplate: &DiodeNameplate, a: f64, series: f64) -> Option<(SingleDiode, f64)> {
    let (isc, voc) = (nameplate.short_circuit_current.value(), nameplate.open_circuit_voltage.value());
    let (vmp, imp) = (nameplate.max_power_voltage.value(), nameplate.max_power_current.value());
    let across = vmp + imp * series;
    let [at_short, at_open, at_best] = [isc * series, voc, across].map(|volts| exp(volts / a));
    // Open circuit taken from the other two leaves two equations in saturation current and shunt conductance.
    let (c11, c12, r1) = (at_open - at_short, voc - isc * series, isc);
    let (c21, c22, r2) = (at_open - at_best, voc - across, imp);
    let determinant = c11 * c22 - c12 * c21;
    let saturation = (r1 * c22 - c12 * r2) / determinant;
    let shunt = (c11 * r2 - r1 * c21) / determinant;
    if !saturation.is_finite() || !shunt.is_finite() || saturation <= 0.0 || shunt.abs() < LEAST_SHUNT {
        return None;
    }
    let light = saturation * (at_open - 1.0) + voc * shunt;
    let conductance = saturation / a * at_best + shunt;
    let slope = imp - vmp * conductance / (1.0 + series * conductance);
    let diode = SingleDiode {
        light_current: Amps::new(light),
        saturation_current: Amps::new(saturation),
        series_resistance: Ohms::new(series),
        shunt_resistance: Ohms::new(1.0 / shunt),
        ideality: Volts::new(a),
        current_by_kelvin: Amps::new(nameplate.current_coefficient.value() / 100.0 * isc),
    };
    Some((diode, slope))
}

#[cfg(test)]
mod tests {
    use super::*;

    const STANDARD: (WattsPerSquareMeter, Celsius) = (WattsPerSquareMeter::new(1000.0), Celsius::new(25.0));

    fn known() -> SingleDiode {
        SingleDiode {
            light_current: Amps::new(13.68),
            saturation_current: Amps::new(1.2e-11),
            series_resistance: Ohms::new(0.21),
            shunt_resistance: Ohms::new(260.0),
            ideality: Volts::new(1.338),
            current_by_kelvin: Amps::new(0.0068),
        }
    }

    /// What a known circuit would have on its nameplate leads back to that circuit.
    #[test]
    fn a_known_circuit_is_found_again() {
        let diode = known();
        let point = diode.at(STANDARD.0, STANDARD.1);
        let volts = |celsius| diode.at(STANDARD.0, Celsius::new(celsius)).open_circuit_voltage.value();
        let nameplate = DiodeNameplate {
            short_circuit_current: point.short_circuit_current,
            open_circuit_voltage: point.open_circuit_voltage,
            max_power_voltage: point.max_power_voltage,
            max_power_current: point.max_power_current,
            current_coefficient: PercentPerCelsius::new(0.68 / 13.669),
            voltage_coefficient: PercentPerCelsius::new(
                (volts(26.0) - volts(24.0)) / 2.0 / volts(25.0) * 100.0,
            ),
            cells: 54,
        };
        let found = fit(&nameplate).unwrap();
        let near =
            |found: f64, expected: f64| assert!((found / expected - 1.0).abs() < 2e-3, "{found} {expected}");
        near(found.ideality.value(), 1.338);
        near(found.series_resistance.value(), 0.21);
        near(found.light_current.value(), 13.68);
        near(found.at(STANDARD.0, STANDARD.1).max_power.value(), point.max_power.value());
        let weak = WattsPerSquareMeter::new(200.0);
        near(found.at(weak, STANDARD.1).max_power.value(), diode.at(weak, STANDARD.1).max_power.value());
    }

    #[test]
    fn a_nameplate_that_no_circuit_meets_is_told() {
        let nameplate = DiodeNameplate {
            short_circuit_current: Amps::new(10.0),
            open_circuit_voltage: Volts::new(40.0),
            max_power_voltage: Volts::new(39.9),
            max_power_current: Amps::new(9.99),
            current_coefficient: PercentPerCelsius::new(0.05),
            voltage_coefficient: PercentPerCelsius::new(-0.26),
            cells: 60,
        };
        assert_eq!(fit(&nameplate), Err(NoFit));
    }
}
