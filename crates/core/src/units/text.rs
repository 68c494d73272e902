//! The one place that writes and reads numbers with their units, in US and SI units.
//!
//! Three ways of writing: [`exact`] for files and fields (nothing lost), [`figure`] for computed values
//! (rounded for people), [`plain`] for ratings (as on a nameplate). Nothing else in the project formats a
//! number that has a unit.

use super::Amps;
use super::unit::{Quantity, Unit};
use super::writing::{Writing, also_read, into_kept, kept, shown};
use serde::{Deserialize, Deserializer, Serialize};
use std::fmt::Write;

/// In which units a person reads lengths, temperatures, masses and conductor sizes.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, PartialOrd, Ord, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum UnitSystem {
    /// Feet, degrees Fahrenheit, pounds, AWG.
    #[default]
    Us,
    /// Meters, degrees Celsius, kilograms, mm².
    Si,
}

/// With nothing lost, in the kept unit, as it stands in a file: `150 V`, `-0.27 %/°C`.
pub fn exact(quantity: Quantity) -> String {
    let mut text = format!("{}", quantity.value);
    push_symbol(&mut text, kept(quantity.unit).symbol);
    text
}

/// A rating as on a nameplate: no more digits than it has, no dust of a conversion: `150 V`. Converted from the
/// unit in which it was given, it has four digits at most: 24.5 kg are `54.01 lb`.
pub fn plain(quantity: Quantity, system: UnitSystem) -> String {
    let writing = shown(quantity.unit, system);
    let (value, symbol) = by_size(quantity, writing);
    let value = trim(value);
    let mut text = number(if writing.is_converted() { significant(value) } else { value }, None);
    push_symbol(&mut text, symbol);
    text
}

/// A computed value, rounded for people: two decimals below a thousand, none above: `128.47 V`,
/// `20,136 A`. Energies are written by their size: `340.00 Wh`, `212.35 kWh`, `2,548 kWh`, `120.40 MWh`.
#[expect(clippy::wildcard_enum_match_arm, reason = "only a few units have digits of their own")]
pub fn figure(quantity: Quantity, system: UnitSystem) -> String {
    let (value, symbol) = by_size(quantity, shown(quantity.unit, system));
    if matches!(quantity.unit, Unit::PercentPerCelsius | Unit::VoltPerCelsius) {
        return plain(quantity, system);
    }
    let decimals = match quantity.unit {
        Unit::One | Unit::Celsius | Unit::CelsiusSpan | Unit::Meter if is_whole(value) => 0,
        Unit::WattHour if value.abs() < LEAST_ENERGY => 0,
        Unit::Celsius | Unit::CelsiusSpan | Unit::Meter | Unit::CircularMil => 1,
        _ if value.abs() >= 1000.0 => 0,
        _ => 2,
    };
    let mut text = number(value, Some(decimals));
    push_symbol(&mut text, symbol);
    text
}

/// As [`figure`], in a working, whose formulas are in °C: a temperature in °F has it beside: `41 °F (5 °C)`.
pub fn worked(quantity: Quantity, system: UnitSystem) -> String {
    let shown = figure(quantity, system);
    let beside = matches!(quantity.unit, Unit::Celsius | Unit::CelsiusSpan) && system == UnitSystem::Us;
    if beside { format!("{shown} ({})", figure(quantity, UnitSystem::Si)) } else { shown }
}

/// An interrupting rating or a fault current as the trade writes it beside a symbol: `10 kA`, `2.5 kA`, `500 A`.
pub fn kiloamps(amps: Amps) -> String {
    let value = trim(amps.value());
    let (value, symbol) = if value >= 1000.0 { (trim(value / 1000.0), "kA") } else { (value, "A") };
    let mut text = number(value, None);
    push_symbol(&mut text, symbol);
    text
}

/// As [`plain`], but the number alone, for a field whose unit stands beside it.
pub fn entry(quantity: Quantity, system: UnitSystem) -> String {
    let writing = shown(quantity.unit, system);
    let value = trim(quantity.value * writing.scale + writing.offset);
    format!("{value}").replace('-', "−")
}

/// The symbol beside a field in this system of units.
pub fn symbol(unit: Unit, system: UnitSystem) -> &'static str {
    shown(unit, system).symbol
}

/// A whole number with its thousands apart.
pub fn count(count: usize) -> String {
    number(count as f64, Some(0))
}

/// Energies from here on are written in kilowatt-hours, Wh.
const KILOWATT_HOURS_FROM: f64 = 1e3;
/// Energies from here on are written in megawatt-hours, Wh: meters, bills and batteries are read in kilowatt-hours, and
/// the months of a year should not stand in another unit than their sum.
const MEGAWATT_HOURS_FROM: f64 = 1e8;
/// Energies below this are nothing, Wh: two decimals would show none of it.
const LEAST_ENERGY: f64 = 0.005;

/// Resistances of conductors and cells are milliohms; compensation is millivolts; energies go by their size.
#[expect(clippy::wildcard_enum_match_arm, reason = "only a few units have forms of other sizes")]
fn by_size(quantity: Quantity, writing: Writing) -> (f64, &'static str) {
    let value = quantity.value * writing.scale + writing.offset;
    match quantity.unit {
        Unit::Ohm if value != 0.0 && value.abs() < 1.0 => (value * 1e3, "mΩ"),
        Unit::VoltPerCelsius if value != 0.0 && value.abs() < 0.1 => (value * 1e3, "mV/°C"),
        Unit::WattHour if value.abs() >= MEGAWATT_HOURS_FROM => (value / 1e6, "MWh"),
        Unit::WattHour if value.abs() >= KILOWATT_HOURS_FROM => (value / 1e3, "kWh"),
        Unit::WattHour if value.abs() < LEAST_ENERGY => (0.0, "kWh"),
        _ => (value, writing.symbol),
    }
}

fn is_whole(value: f64) -> bool {
    (value - value.round()).abs() < 1e-9
}

/// Takes away the dust that conversions leave: 14.999999999999998 ft is 15 ft.
fn trim(value: f64) -> f64 {
    let step = 1e6;
    let rounded = (value * step).round() / step;
    if rounded == 0.0 && value != 0.0 { value } else { rounded }
}

/// To four digits, the last of them rounded; whole numbers keep all of theirs.
fn significant(value: f64) -> f64 {
    let magnitude = value.abs();
    let step = match magnitude {
        _ if is_whole(value) => return value,
        _ if magnitude >= 1e3 => 1.0,
        _ if magnitude >= 1e2 => 1e1,
        _ if magnitude >= 1e1 => 1e2,
        _ if magnitude >= 1.0 => 1e3,
        _ => return value,
    };
    (value * step).round() / step
}

/// Digits with thousands separated, a true minus sign, and a fixed number of decimals if one is given.
fn number(value: f64, decimals: Option<usize>) -> String {
    let digits = match decimals {
        Some(decimals) => format!("{:.decimals$}", value.abs()),
        None => format!("{}", value.abs()),
    };
    let (whole, rest) = digits.split_once('.').map_or((digits.as_str(), None), |(w, r)| (w, Some(r)));
    let mut text = String::with_capacity(digits.len() + 4);
    if value < 0.0 && digits.bytes().any(|digit| matches!(digit, b'1'..=b'9')) {
        text.push('−');
    }
    let length = whole.len();
    for (i, digit) in whole.chars().enumerate() {
        if i > 0 && (length - i).is_multiple_of(3) {
            text.push(',');
        }
        text.push(digit);
    }
    if let Some(rest) = rest {
        text.push('.');
        text.push_str(rest);
    }
    text
}

fn push_symbol(text: &mut String, symbol: &str) {
    if !symbol.is_empty() {
        // The degree sign of an angle stands at the number; every other unit stands apart.
        let gap = if symbol == "°" { "" } else { " " };
        let _ = write!(text, "{gap}{symbol}");
    }
}

/// Why a text is not a quantity.
#[derive(Clone, Debug, PartialEq, thiserror::Error)]
pub enum ReadFault {
    /// There is no number at the start.
    #[error("expected {expected}, found “{found}”")]
    NoNumber {
        /// An example of what would do.
        expected: String,
        /// The text.
        found: String,
    },
    /// The number is infinite or not a number.
    #[error("expected a finite number, found “{found}”")]
    NotFinite {
        /// The text.
        found: String,
    },
    /// The unit is not one of this quantity.
    #[error("expected a value in {expected}, found the unit “{found}”")]
    WrongUnit {
        /// The units that would do.
        expected: String,
        /// The unit.
        found: String,
    },
}

/// Reads a quantity. Without a unit, the number is in the unit that people of `system` read; with one, in
/// that unit.
///
/// ```
/// use lineside_core::units::{text, Unit, UnitSystem};
/// assert_eq!(text::read("60 ft", Unit::Meter, UnitSystem::Si).map(|m| (m * 1e3).round()), Ok(18_288.0));
/// assert_eq!(text::read("5", Unit::Celsius, UnitSystem::Us), Ok(-15.0));
/// assert!(text::read("60 A", Unit::Volt, UnitSystem::Si).is_err());
/// ```
pub fn read(text: &str, unit: Unit, system: UnitSystem) -> Result<f64, ReadFault> {
    let tidy = text.trim().replace(['\u{2212}', '\u{2013}'], "-");
    let end = tidy
        .char_indices()
        .find(|&(i, c)| {
            let exponent =
                matches!(c, 'e' | 'E') && tidy[i + 1..].starts_with(|d: char| d.is_ascii_digit() || d == '-');
            !(c.is_ascii_digit() || matches!(c, '.' | ',' | '-' | '+') || exponent)
        })
        .map_or(tidy.len(), |(i, _)| i);
    let (digits, rest) = tidy.split_at(end);
    let value: f64 = digits.replace(',', "").parse().map_err(|_| no_number(text, unit))?;
    if !value.is_finite() {
        return Err(ReadFault::NotFinite { found: text.trim().to_owned() });
    }
    let rest = rest.trim();
    let writing = if rest.is_empty() { shown(unit, system) } else { find_writing(rest, unit)? };
    let kept = into_kept(value, writing);
    if kept.is_finite() { Ok(kept) } else { Err(ReadFault::NotFinite { found: text.trim().to_owned() }) }
}

fn no_number(text: &str, unit: Unit) -> ReadFault {
    let example = exact(Quantity { value: 10.0, unit });
    ReadFault::NoNumber {
        expected: format!("a number such as “{example}”"), found: text.trim().to_owned()
    }
}

fn find_writing(symbol: &str, unit: Unit) -> Result<Writing, ReadFault> {
    let all = || std::iter::once(kept(unit)).chain(also_read(unit).iter().copied());
    let same =
        |a: &str| a.eq_ignore_ascii_case(symbol) || a.trim_start_matches('°').eq_ignore_ascii_case(symbol);
    all()
        .find(|writing| writing.symbol == symbol)
        .or_else(|| all().find(|writing| same(writing.symbol)))
        .ok_or_else(|| ReadFault::WrongUnit {
            expected: all()
                .map(|writing| writing.symbol)
                .filter(|s| !s.is_empty())
                .collect::<Vec<_>>()
                .join(", "),
            found: symbol.to_owned(),
        })
}

/// Reads a quantity as it stands in a file: a text with its unit, or a bare number in the kept unit.
pub(super) fn deserialize<'de, D: Deserializer<'de>>(from: D, unit: Unit) -> Result<f64, D::Error> {
    struct Visitor(Unit);
    impl serde::de::Visitor<'_> for Visitor {
        type Value = f64;
        fn expecting(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
            write!(f, "a value such as \"{}\"", exact(Quantity { value: 10.0, unit: self.0 }))
        }
        fn visit_str<E: serde::de::Error>(self, text: &str) -> Result<f64, E> {
            read(text, self.0, UnitSystem::Si).map_err(E::custom)
        }
        fn visit_f64<E: serde::de::Error>(self, value: f64) -> Result<f64, E> {
            if value.is_finite() {
                Ok(value)
            } else {
                Err(E::custom(ReadFault::NotFinite { found: value.to_string() }))
            }
        }
        fn visit_i64<E: serde::de::Error>(self, value: i64) -> Result<f64, E> {
            Ok(value as f64)
        }
        fn visit_u64<E: serde::de::Error>(self, value: u64) -> Result<f64, E> {
            Ok(value as f64)
        }
    }
    from.deserialize_any(Visitor(unit))
}

#[cfg(test)]
mod tests {
    use super::*;
    use UnitSystem::{Si, Us};

    fn quantity(value: f64, unit: Unit) -> Quantity {
        Quantity { value, unit }
    }

    #[test]
    fn figures() {
        let check = |value, unit, system, expected: &str| {
            assert_eq!(figure(quantity(value, unit), system), expected);
        };
        check(128.466, Unit::Volt, Us, "128.47 V");
        check(20_136.1, Unit::Amp, Us, "20,136 A");
        check(1080.6, Unit::Watt, Us, "1,081 W");
        check(-31.0, Unit::Celsius, Si, "−31 °C");
        check(-31.0, Unit::Celsius, Us, "−23.8 °F");
        check(0.02195, Unit::Ohm, Si, "21.95 mΩ");
        check(36.576, Unit::Meter, Us, "120 ft");
        check(3.53, Unit::Percent, Us, "3.53 %");
        check(2.0, Unit::One, Us, "2");
        check(-0.001, Unit::Volt, Us, "0.00 V");
    }

    #[test]
    fn energies_are_written_by_their_size() {
        let written =
            [0.0, 1e-9, 12.3, 999.99, 1000.0, 212_346.0, 2_548_400.0, 99_999_000.0, 120_400_000.0, -3500.0]
                .map(|watt_hours| figure(quantity(watt_hours, Unit::WattHour), Us));
        let expected = [
            "0 kWh",
            "0 kWh",
            "12.30 Wh",
            "999.99 Wh",
            "1.00 kWh",
            "212.35 kWh",
            "2,548 kWh",
            "99,999 kWh",
            "120.40 MWh",
            "−3.50 kWh",
        ];
        assert_eq!(written, expected);
        let ratings = [500.0, 5120.0, 20_000.0].map(|rated| plain(quantity(rated, Unit::WattHour), Si));
        assert_eq!(ratings, ["500 Wh", "5.12 kWh", "20 kWh"]);
        assert_eq!(exact(quantity(20_000.0, Unit::WattHour)), "20000 Wh");
    }

    #[test]
    fn interrupting_ratings_are_written_in_kiloamps_from_a_thousand_on() {
        let written =
            [500.0, 999.5, 1000.0, 2500.0, 10_000.0, 200_000.0].map(|amps| kiloamps(Amps::new(amps)));
        assert_eq!(written, ["500 A", "999.5 A", "1 kA", "2.5 kA", "10 kA", "200 kA"]);
    }

    #[test]
    fn ratings_are_plain() {
        assert_eq!(plain(quantity(150.0, Unit::Volt), Us), "150 V");
        assert_eq!(plain(quantity(13.6, Unit::Amp), Us), "13.6 A");
        assert_eq!(plain(quantity(-0.004, Unit::VoltPerCelsius), Us), "−4 mV/°C");
        assert_eq!(plain(quantity(4.572, Unit::Meter), Us), "15 ft");
        assert_eq!(plain(quantity(20_000.0, Unit::Amp), Us), "20,000 A");
        // 2,000 m × 3.28084 = 6,561.68 ft; 30.5 m × 3.28084 = 100.0656 ft; 15,000 ft stay what they were given as
        assert_eq!(plain(quantity(2000.0, Unit::Meter), Us), "6,562 ft");
        assert_eq!(plain(quantity(30.5, Unit::Meter), Us), "100.1 ft");
        assert_eq!(plain(quantity(4572.0, Unit::Meter), Us), "15,000 ft");
        assert_eq!(plain(quantity(30.48, Unit::Meter), Si), "30.48 m");
    }

    #[test]
    fn reading() {
        let check = |text: &str, unit, system, expected: f64| match read(text, unit, system) {
            Ok(value) => assert!((value - expected).abs() < 1e-9, "{text}: {value}"),
            Err(fault) => panic!("{text}: {fault}"),
        };
        check("150 V", Unit::Volt, Si, 150.0);
        check("150v", Unit::Volt, Si, 150.0);
        check("−31", Unit::Celsius, Si, -31.0);
        check("-24 F", Unit::Celsius, Si, (-24.0 - 32.0) / 1.8);
        check("5 mV/K", Unit::VoltPerCelsius, Si, 0.005);
        check("1,200 W", Unit::Watt, Si, 1200.0);
        check("3.3kW", Unit::Watt, Si, 3300.0);
        check("0.5 mΩ", Unit::Ohm, Si, 0.0005);
        check("1e2", Unit::Amp, Si, 100.0);
        check("120", Unit::Meter, Us, 36.576);
        // A conversion leaves no dust: 80 ft × 0.3048 = 24.384 m.
        assert_eq!(read("80 ft", Unit::Meter, Si).map(|meters| meters.to_string()), Ok("24.384".into()));
        assert_eq!(read("14 ft", Unit::Meter, Si).map(|meters| meters.to_string()), Ok("4.2672".into()));
    }

    #[test]
    fn what_is_wrong_is_said() {
        let says = |text: &str, unit| read(text, unit, Si).map_err(|fault| fault.to_string());
        assert_eq!(says("", Unit::Volt), Err("expected a number such as “10 V”, found “”".into()));
        assert_eq!(says("NaN", Unit::Volt), Err("expected a number such as “10 V”, found “NaN”".into()));
        assert!(says("1e999", Unit::Volt).is_err_and(|fault| fault.contains("finite")));
        assert!(says("60 A", Unit::Volt).is_err_and(|fault| fault.contains("the unit “A”")));
    }

    proptest::proptest! {
        #[test]
        fn exact_loses_nothing(value in -1e9..1e9f64) {
            for unit in [Unit::Volt, Unit::Celsius, Unit::Meter, Unit::Ohm, Unit::PercentPerCelsius] {
                let text = exact(quantity(value, unit));
                proptest::prop_assert_eq!(read(&text, unit, Si), Ok(value));
            }
        }

        #[test]
        fn reading_never_panics(text in ".{0,24}") {
            let _ = read(&text, Unit::Volt, Us);
        }
    }
}
