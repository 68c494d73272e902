//! Sizes of conductors: American Wire Gauge, thousands of circular mils, or square millimeters.
//!
//! A size is a name, not an area: what it carries and resists is looked up by name in the tables of the
//! `codes` crate.

use super::quantity::CircularMils;
use super::text::UnitSystem;
use serde::{Deserialize, Deserializer, Serialize, Serializer};
use std::fmt;

/// A conductor size by its trade name.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum ConductorSize {
    /// American Wire Gauge. `Awg(-3)` is 4/0, `Awg(0)` is 1/0, `Awg(14)` is 14 AWG.
    Awg(i8),
    /// Thousands of circular mils, from 250 up.
    Kcmil(u16),
    /// Tenths of square millimeters: `Metric(25)` is 2.5 mm².
    Metric(u16),
}

/// A text that is no conductor size.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
#[error("expected a conductor size such as “10 AWG”, “4/0 AWG”, “250 kcmil” or “35 mm²”, found “{0}”")]
pub struct SizeFault(pub String);

const GAUGES: std::ops::RangeInclusive<i8> = -3..=18;
const KCMIL: std::ops::RangeInclusive<u16> = 250..=2000;
const METRIC: std::ops::RangeInclusive<u16> = 5..=10_000;

impl ConductorSize {
    /// Reads a size; `10`, `#10`, `4/0`, `250 kcmil`, `2.5 mm²` all do.
    pub fn read(text: &str) -> Result<Self, SizeFault> {
        Self::parse(text).ok_or_else(|| SizeFault(text.trim().to_owned()))
    }

    fn parse(text: &str) -> Option<Self> {
        let lower = text.trim().trim_start_matches('#').to_lowercase();
        if let Some(number) = lower.strip_suffix("mm²").or_else(|| lower.strip_suffix("mm2")) {
            let tenths = number.trim().parse::<f64>().ok()? * 10.0;
            let whole = tenths.round();
            let fits = (tenths - whole).abs() < 1e-9
                && (f64::from(*METRIC.start())..=f64::from(*METRIC.end())).contains(&whole);
            #[expect(
                clippy::cast_possible_truncation,
                clippy::cast_sign_loss,
                reason = "checked to be a whole number in range"
            )]
            return fits.then_some(Self::Metric(whole as u16));
        }
        if let Some(number) = lower.strip_suffix("kcmil").or_else(|| lower.strip_suffix("mcm")) {
            return number.trim().parse().ok().filter(|size| KCMIL.contains(size)).map(Self::Kcmil);
        }
        let number = lower.strip_suffix("awg").unwrap_or(&lower).trim();
        if let Some(aught) = number.strip_suffix("/0") {
            let aught: i8 = aught.parse().ok()?;
            return (1..=4).contains(&aught).then_some(Self::Awg(1 - aught));
        }
        if let Ok(gauge) = number.parse::<i8>() {
            return (GAUGES.contains(&gauge) && gauge > 0).then_some(Self::Awg(gauge));
        }
        number.parse().ok().filter(|size| KCMIL.contains(size)).map(Self::Kcmil)
    }

    /// The name as the NEC tables print it, without the unit: `10`, `4/0`, `250`; metric: `2.5`.
    pub fn table_name(self) -> String {
        match self {
            Self::Awg(gauge) if gauge <= 0 => format!("{}/0", 1 - gauge),
            Self::Awg(gauge) => gauge.to_string(),
            Self::Kcmil(size) => size.to_string(),
            Self::Metric(tenths) if tenths % 10 == 0 => (tenths / 10).to_string(),
            Self::Metric(tenths) => format!("{}.{}", tenths / 10, tenths % 10),
        }
    }

    /// Which system of units the size belongs to.
    pub fn system(self) -> UnitSystem {
        match self {
            Self::Awg(_) | Self::Kcmil(_) => UnitSystem::Us,
            Self::Metric(_) => UnitSystem::Si,
        }
    }

    /// Copper or aluminum area. AWG by its definition (0.005 in × 92^((36 − n)/39)), others by name.
    pub fn area(self) -> CircularMils {
        const SQUARE_MILLIMETERS_PER_CIRCULAR_MIL: f64 = 5.067_074_790_974_977e-4;
        CircularMils::new(match self {
            Self::Awg(gauge) => {
                let diameter_mil = 5.0 * crate::math::pow(92.0, (36.0 - f64::from(gauge)) / 39.0);
                diameter_mil * diameter_mil
            }
            Self::Kcmil(size) => f64::from(size) * 1000.0,
            Self::Metric(tenths) => f64::from(tenths) / 10.0 / SQUARE_MILLIMETERS_PER_CIRCULAR_MIL,
        })
    }
}

impl fmt::Display for ConductorSize {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let unit = match self {
            Self::Awg(_) => "AWG",
            Self::Kcmil(_) => "kcmil",
            Self::Metric(_) => "mm²",
        };
        write!(f, "{} {unit}", self.table_name())
    }
}

impl Serialize for ConductorSize {
    fn serialize<S: Serializer>(&self, to: S) -> Result<S::Ok, S::Error> {
        to.collect_str(self)
    }
}

impl<'de> Deserialize<'de> for ConductorSize {
    fn deserialize<D: Deserializer<'de>>(from: D) -> Result<Self, D::Error> {
        let text = String::deserialize(from)?;
        Self::read(&text).map_err(serde::de::Error::custom)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn names_are_read_and_written() {
        for (text, size, shown) in [
            ("10", ConductorSize::Awg(10), "10 AWG"),
            ("4/0 AWG", ConductorSize::Awg(-3), "4/0 AWG"),
            ("1/0", ConductorSize::Awg(0), "1/0 AWG"),
            ("250 kcmil", ConductorSize::Kcmil(250), "250 kcmil"),
            ("350", ConductorSize::Kcmil(350), "350 kcmil"),
            ("2.5 mm²", ConductorSize::Metric(25), "2.5 mm²"),
            ("35mm2", ConductorSize::Metric(350), "35 mm²"),
        ] {
            assert_eq!(ConductorSize::read(text), Ok(size), "{text}");
            assert_eq!(size.to_string(), shown);
            assert_eq!(ConductorSize::read(shown), Ok(size));
        }
        for wrong in ["", "0", "5/0", "-3", "19", "249 kcmil", "0 mm²", "2.55 mm²", "ten"] {
            assert!(ConductorSize::read(wrong).is_err(), "{wrong}");
        }
    }

    #[test]
    fn areas_follow_the_gauge() {
        // Chapter 9 Table 8 prints 10380 cmil for 10 AWG and 211600 cmil for 4/0.
        assert!((ConductorSize::Awg(10).area().value() / 10_380.0 - 1.0).abs() < 1e-3);
        assert!((ConductorSize::Awg(-3).area().value() / 211_600.0 - 1.0).abs() < 1e-3);
    }

    proptest::proptest! {
        #[test]
        fn reading_never_panics(text in ".{0,16}") {
            let _ = ConductorSize::read(&text);
        }
    }
}
