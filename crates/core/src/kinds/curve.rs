//! Curves on a nameplate: points of one quantity against another, and the sorts of curve there are.
//!
//! What a field is besides is in `field.rs`.

use super::field::{FieldType, Shape, Value};
use crate::units::text::{self, UnitSystem};
use crate::units::{Celsius, Percent, Quantity, Unit};
use serde::{Deserialize, Serialize};
use std::ops::RangeInclusive;

/// One point of a curve on a nameplate.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct CurvePoint {
    /// Along.
    pub x: f64,
    /// Across.
    pub y: f64,
}

/// Share of load in percent against efficiency in percent.
impl FieldType for Vec<CurvePoint> {
    fn shape(_: (f64, f64)) -> Shape {
        Shape::Curve { x: Unit::Percent, y: Unit::Percent }
    }
    fn to_value(&self) -> Value {
        Value::Curve(self.clone())
    }
    fn from_value(value: &Value) -> Option<Self> {
        if let Value::Curve(points) = value { Some(points.clone()) } else { None }
    }
}

macro_rules! curves {
    ($($(#[$doc:meta])* $name:ident = $x:ident, $y:ident;)+) => {$(
        $(#[$doc])*
        #[derive(Clone, Debug, Default, PartialEq, Serialize, Deserialize)]
        #[serde(transparent)]
        pub struct $name(pub Vec<CurvePoint>);

        impl FieldType for $name {
            fn shape(_: (f64, f64)) -> Shape {
                Shape::Curve { x: Unit::$x, y: Unit::$y }
            }
            fn to_value(&self) -> Value {
                Value::Curve(self.0.clone())
            }
            fn from_value(value: &Value) -> Option<Self> {
                if let Value::Curve(points) = value { Some(Self(points.clone())) } else { None }
            }
        }
    )+};
}

curves! {
    /// Capacity in Ah against the discharge time in h.
    CapacityAtTimes = Hour, AmpHour;
    /// Share of a rating in percent against the temperature in °C.
    ShareAtTemperature = Celsius, Percent;
    /// Resting voltage of a cell in V against its charge in percent.
    RestVoltages = Percent, Volt;
}

impl ShareAtTemperature {
    /// Share of the rating that is left at a temperature; `None` without points.
    pub fn at(&self, temperature: Celsius) -> Option<Percent> {
        value_at(&self.0, temperature.value()).map(Percent::new)
    }
}

/// The value of the curve at `x`: a straight line between points, level beyond them. `None` without points.
pub fn value_at(points: &[CurvePoint], x: f64) -> Option<f64> {
    let (first, last) = (points.first()?, points.last()?);
    if x <= first.x {
        return Some(first.y);
    }
    let line = points.windows(2).find_map(|pair| match pair {
        [a, b] if x <= b.x && a.x < b.x => Some(a.y + (b.y - a.y) * (x - a.x) / (b.x - a.x)),
        _ => None,
    });
    Some(line.unwrap_or(last.y))
}

/// How a curve is shown: `95 % at 50 %, 93 % at 100 %`.
pub(super) fn show(points: &[CurvePoint], (x, y): (Unit, Unit), system: UnitSystem) -> String {
    let say = |value, unit| text::plain(Quantity { value, unit }, system);
    let texts: Vec<_> =
        points.iter().map(|point| format!("{} at {}", say(point.y, y), say(point.x, x))).collect();
    texts.join(", ")
}

/// What stands in the entry box of a curve: `50: 95; 100: 93`.
pub(super) fn entry(points: &[CurvePoint], (x, y): (Unit, Unit), system: UnitSystem) -> String {
    let say = |value, unit| text::entry(Quantity { value, unit }, system);
    let texts: Vec<_> =
        points.iter().map(|point| format!("{}: {}", say(point.x, x), say(point.y, y))).collect();
    texts.join("; ")
}

/// Reads what a person typed as a curve, in the units that he reads.
pub(super) fn read(typed: &str, (x, y): (Unit, Unit), system: UnitSystem) -> Result<Vec<CurvePoint>, String> {
    typed
        .split(';')
        .map(str::trim)
        .filter(|pair| !pair.is_empty())
        .map(|pair| {
            let (along, across) = pair.split_once(':').ok_or_else(|| {
                format!("expected points such as “10: 85; 50: 93; 100: 91”, found “{pair}”")
            })?;
            let point = |typed, unit| text::read(typed, unit, system).map_err(|fault| fault.to_string());
            Ok(CurvePoint { x: point(along, x)?, y: point(across, y)? })
        })
        .collect()
}

/// Whether the points lie within what their units can mean and stand in rising order.
pub(super) fn check(points: &[CurvePoint], (x, y): (Unit, Unit)) -> Result<(), String> {
    for point in points {
        for (value, unit) in [(point.x, x), (point.y, y)] {
            let range = range_of(unit);
            if !range.contains(&value) {
                let say = |value: f64| text::exact(Quantity { value, unit });
                return Err(format!(
                    "the points of this curve lie between {} and {}; {} does not",
                    say(*range.start()),
                    say(*range.end()),
                    say(value)
                ));
            }
        }
    }
    if points.windows(2).any(|pair| matches!(pair, [a, b] if a.x >= b.x)) {
        return Err("points must stand in rising order".to_owned());
    }
    Ok(())
}

/// What makes sense on the axis of a curve.
#[expect(
    clippy::wildcard_enum_match_arm,
    reason = "only the units of the curves above have limits of their own"
)]
fn range_of(unit: Unit) -> RangeInclusive<f64> {
    match unit {
        Unit::Percent => 0.0..=100.0,
        Unit::Celsius => -60.0..=100.0,
        Unit::Hour => 0.01..=1000.0,
        Unit::AmpHour => 0.1..=20_000.0,
        Unit::Volt => 0.5..=5.0,
        _ => f64::MIN..=f64::MAX,
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use UnitSystem::{Si, Us};

    const COLD: (Unit, Unit) = (Unit::Celsius, Unit::Percent);

    fn points(pairs: &[(f64, f64)]) -> Vec<CurvePoint> {
        pairs.iter().map(|&(x, y)| CurvePoint { x, y }).collect()
    }

    #[test]
    fn typed_points_are_read_in_the_units_of_the_reader() {
        let want = points(&[(-20.0, 60.0), (25.0, 100.0)]);
        assert_eq!(read("-20: 60; 25: 100", COLD, Si), Ok(want.clone()));
        // -20 °C is -4 °F, 25 °C is 77 °F.
        assert_eq!(read("-4: 60; 77: 100", COLD, Us), Ok(want.clone()));
        assert_eq!(read(&entry(&want, COLD, Us), COLD, Us), Ok(want.clone()));
        assert_eq!(show(&want, COLD, Si), "60 % at −20 °C, 100 % at 25 °C");
        assert!(read("-20 60", COLD, Si).is_err_and(|fault| fault.contains("such as")));
        assert!(read("-20: sixty", COLD, Si).is_err_and(|fault| fault.contains("expected a number")));
    }

    #[test]
    fn points_outside_their_units_are_refused() {
        assert_eq!(check(&points(&[(-20.0, 60.0), (25.0, 100.0)]), COLD), Ok(()));
        assert!(check(&points(&[(-20.0, 101.0)]), COLD).is_err_and(|fault| fault.contains("101 %")));
        assert!(check(&points(&[(-273.0, 50.0)]), COLD).is_err_and(|fault| fault.contains("-273 °C")));
        assert!(
            check(&points(&[(0.0, 50.0), (0.0, 60.0)]), COLD).is_err_and(|fault| fault.contains("rising"))
        );
        assert!(check(&points(&[(f64::NAN, 50.0)]), COLD).is_err());
    }

    #[test]
    fn between_points_the_line_is_straight_and_beyond_them_level() {
        let curve = points(&[(0.0, 85.0), (10.0, 95.0), (25.0, 100.0)]);
        // Halfway from 85 to 95, then a third of the way from 95 to 100.
        assert_eq!(value_at(&curve, 5.0), Some(90.0));
        assert!(value_at(&curve, 15.0).is_some_and(|value| (value - 96.666_667).abs() < 1e-6));
        assert_eq!(value_at(&curve, -40.0), Some(85.0));
        assert_eq!(value_at(&curve, 60.0), Some(100.0));
        assert_eq!(value_at(&[], 5.0), None);
    }
}
