//! The equivalent circuit of a module with one diode [De Soto, Klein & Beckman, Solar Energy 80, 78 (2006)].

use lineside_core::math::exp;
use lineside_core::units::{Amps, Celsius, Ohms, Volts, Watts, WattsPerSquareMeter};

/// Reference parameters at 1000 W/m² and 25 °C.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct SingleDiode {
    /// Current of the light.
    pub light_current: Amps,
    /// Saturation current of the diode.
    pub saturation_current: Amps,
    /// Resistance in series.
    pub series_resistance: Ohms,
    /// Resistance in parallel.
    pub shunt_resistance: Ohms,
    /// Modified ideality factor `N n k T/q`.
    pub ideality: Volts,
    /// Change of the light current with each degree.
    pub current_by_kelvin: Amps,
}

/// Ends and best point of the curve.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct DiodePoint {
    /// Short-circuit current.
    pub short_circuit_current: Amps,
    /// Open-circuit voltage.
    pub open_circuit_voltage: Volts,
    /// Voltage at maximum power.
    pub max_power_voltage: Volts,
    /// Current at maximum power.
    pub max_power_current: Amps,
    /// Maximum power.
    pub max_power: Watts,
}

/// No parameters were found that meet the nameplate.
#[derive(Clone, Copy, Debug, PartialEq, Eq, thiserror::Error)]
#[error(
    "no equivalent circuit of one diode meets this nameplate: its power is computed in proportion to the light"
)]
pub struct NoFit;

const STANDARD_KELVIN: f64 = 298.15;
const BOLTZMANN_EV: f64 = 8.617_333_262e-5;
const GAP_EV: f64 = 1.121;
const GAP_BY_KELVIN: f64 = -0.000_267_7;

/// The circuit at one light and temperature.
#[derive(Clone, Copy)]
struct Circuit {
    light: f64,
    saturation: f64,
    series: f64,
    /// Conductance in parallel.
    shunt: f64,
    a: f64,
}

impl SingleDiode {
    /// Ends and best point for light and cell temperature.
    pub fn at(&self, sun: WattsPerSquareMeter, cell: Celsius) -> DiodePoint {
        let circuit = self.circuit(sun.value(), cell.value());
        let (voltage, current, power) = circuit.best();
        DiodePoint {
            short_circuit_current: Amps::new(circuit.current(0.0)),
            open_circuit_voltage: Volts::new(circuit.open_circuit()),
            max_power_voltage: Volts::new(voltage),
            max_power_current: Amps::new(current),
            max_power: Watts::new(power),
        }
    }

    /// Voltage, current and power at the best point.
    pub(super) fn best(&self, sun: f64, celsius: f64) -> (f64, f64, f64) {
        self.circuit(sun, celsius).best()
    }

    fn circuit(&self, sun: f64, celsius: f64) -> Circuit {
        let kelvin = celsius + 273.15;
        let ratio = kelvin / STANDARD_KELVIN;
        let warmer = kelvin - STANDARD_KELVIN;
        let gap = GAP_EV * (1.0 + GAP_BY_KELVIN * warmer);
        let boltzmann = exp(GAP_EV / (BOLTZMANN_EV * STANDARD_KELVIN) - gap / (BOLTZMANN_EV * kelvin));
        let light = sun / 1000.0;
        Circuit {
            light: light * (self.light_current.value() + self.current_by_kelvin.value() * warmer),
            saturation: self.saturation_current.value() * ratio * ratio * ratio * boltzmann,
            series: self.series_resistance.value(),
            shunt: light / self.shunt_resistance.value(),
            a: self.ideality.value() * ratio,
        }
    }
}

/// Steps of the searches; each narrows enough to end far within double precision.
const STEPS: usize = 100;

impl Circuit {
    /// Current at a voltage, by Newton's method; the function falls steadily in the current, so it converges.
    fn current(&self, voltage: f64) -> f64 {
        let mut current = self.light;
        for _ in 0..STEPS {
            let across = voltage + current * self.series;
            let diode = self.saturation * exp((across / self.a).min(300.0));
            let value = self.light - (diode - self.saturation) - across * self.shunt - current;
            let slope = -diode * self.series / self.a - self.series * self.shunt - 1.0;
            let step = value / slope;
            current -= step;
            if step.abs() <= 1e-14 * self.light.abs().max(1e-3) {
                break;
            }
        }
        current
    }

    /// Voltage at which no current flows.
    fn open_circuit(&self) -> f64 {
        let (mut low, mut high) = (0.0, 1.0);
        let excess = |voltage: f64| {
            self.light - self.saturation * (exp((voltage / self.a).min(300.0)) - 1.0) - voltage * self.shunt
        };
        while excess(high) > 0.0 && high < 1e5 {
            high *= 2.0;
        }
        for _ in 0..STEPS {
            let middle = 0.5 * (low + high);
            if excess(middle) > 0.0 {
                low = middle;
            } else {
                high = middle;
            }
        }
        0.5 * (low + high)
    }

    /// Golden section between nothing and open circuit.
    fn best(&self) -> (f64, f64, f64) {
        const GOLDEN: f64 = 0.618_033_988_749_894_9;
        let power = |voltage: f64| voltage * self.current(voltage);
        let (mut low, mut high) = (0.0, self.open_circuit());
        let (mut left, mut right) = (high - GOLDEN * (high - low), low + GOLDEN * (high - low));
        let (mut at_left, mut at_right) = (power(left), power(right));
        for _ in 0..STEPS {
            if high - low < 1e-9 {
                break;
            }
            if at_left < at_right {
                low = left;
                left = right;
                at_left = at_right;
                right = low + GOLDEN * (high - low);
                at_right = power(right);
            } else {
                high = right;
                right = left;
                at_right = at_left;
                left = high - GOLDEN * (high - low);
                at_left = power(left);
            }
        }
        let voltage = 0.5 * (low + high);
        let current = self.current(voltage);
        (voltage, current, voltage * current)
    }
}
