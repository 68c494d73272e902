//! Conductors of an array: resistance, and what it costs.

use lineside_core::circuit::Metal;
use lineside_core::math::sqrt;
use lineside_core::units::{Celsius, Meters, Ohms};

/// Temperature for which the tables print DC resistance.
const TABLE_CELSIUS: f64 = 75.0;

/// Resistance of both conductors of a run: `2 L r₇₅ (T₀ + T)/(T₀ + 75)`, `r₇₅` in ohms per kilometer at 75 °C.
pub fn loop_resistance(per_kilometer: Ohms, length: Meters, conductor: Celsius, metal: Metal) -> Ohms {
    let zero = match metal {
        Metal::Copper => 234.5,
        Metal::Aluminum => 228.1,
    };
    per_kilometer * (2.0 * length.value() / 1000.0 * (zero + conductor.value()) / (zero + TABLE_CELSIUS))
}

/// What arrives of a power through a resistance, `resistance` over the square of the voltage.
pub(super) fn arrives(power: f64, resistance: f64) -> f64 {
    (power - power * power * resistance).max(0.0)
}

/// What must be sent so that `power` arrives; at the most that the resistance lets through, that most.
pub(super) fn sent(power: f64, resistance: f64) -> f64 {
    2.0 * power / (1.0 + sqrt((1.0 - 4.0 * power * resistance).max(0.0)))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn sent_and_arrived_are_inverse() {
        // 1000 W at 100 V through 0.5 Ω: 10 A lose 50 W.
        let resistance = 0.5 / 10_000.0;
        assert!((arrives(1000.0, resistance) - 950.0).abs() < 1e-9);
        assert!((sent(950.0, resistance) - 1000.0).abs() < 1e-9);
        assert!(sent(0.0, resistance).abs() < 1e-15);
    }
}
