//! Figures as they are printed: a number found is the printed one when it rounds to it in every digit shown.

use lineside_core::units::{Quantity, Unit};
use lineside_rules::Amount;

/// A printed figure: its number, half of its last digit, and its unit.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Printed<'a> {
    /// The number.
    pub number: f64,
    /// By how much an unrounded number may differ.
    pub half_digit: f64,
    /// The unit, as printed.
    pub unit: &'a str,
}

impl<'a> Printed<'a> {
    /// Reads `128.47 V`, `31` or `7.80 mohm`; `None` when it begins with no number.
    pub fn read(text: &'a str) -> Option<Self> {
        let (number, unit) = text.split_once(' ').unwrap_or((text, ""));
        let decimals = number.split_once('.').map_or(0, |(_, rest)| rest.len());
        let decimals = i32::try_from(decimals).ok()?;
        // A hair more than half a digit, for numbers that lie on the edge and their floating-point dust.
        let half_digit = 0.5 * lineside_core::math::pow(10.0, f64::from(-decimals)) * (1.0 + 1e-6);
        Some(Self { number: number.parse().ok()?, half_digit, unit })
    }

    /// Whether an unrounded number is this one.
    pub fn is(&self, found: f64) -> bool {
        (found - self.number).abs() <= self.half_digit
    }
}

/// Whether a bare number is the printed one.
pub fn near(found: f64, printed: &str) -> bool {
    Printed::read(printed).is_some_and(|printed| printed.is(found))
}

/// Whether an amount is the printed one: the same unit and number, or the same words.
pub fn same(found: &Amount, printed: &str) -> bool {
    match (found, Printed::read(printed)) {
        (Amount::Words(words), _) => words == printed,
        (Amount::Quantity(quantity), Some(printed)) => {
            scale(quantity, printed.unit).is_some_and(|value| printed.is(value))
        }
        (Amount::Quantity(_), None) => false,
    }
}

/// The value of a quantity in a printed unit; `None` when that unit measures something else.
fn scale(quantity: &Quantity, unit: &str) -> Option<f64> {
    let (kept, factor) = match unit {
        "V" => (Unit::Volt, 1.0),
        "A" => (Unit::Amp, 1.0),
        "W" => (Unit::Watt, 1.0),
        "%" => (Unit::Percent, 1.0),
        "C" => (Unit::Celsius, 1.0),
        "Hz" => (Unit::Hertz, 1.0),
        "m3/h" => (Unit::CubicMeterPerHour, 1.0),
        "mohm" => (Unit::Ohm, 1e3),
        "" => (Unit::One, 1.0),
        _ => return None,
    };
    (quantity.unit == kept).then_some(quantity.value * factor)
}
