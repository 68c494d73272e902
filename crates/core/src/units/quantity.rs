//! The typed quantities and the few products of them that mean something.
//!
//! A quantity is always finite: [`NotFinite`] is refused at the boundary by `try_new` and by reading, and
//! asserted inside.

use super::text;
use super::unit::{Quantity, Unit};
use serde::{Deserialize, Deserializer, Serialize, Serializer};
use std::iter::Sum;
use std::ops::{Add, AddAssign, Div, Mul, Neg, Sub, SubAssign};

/// A number that was infinite or not a number.
#[derive(Clone, Copy, Debug, PartialEq, thiserror::Error)]
#[error("{0} is not a finite number")]
pub struct NotFinite(pub f64);

/// What every typed quantity can do, so that one piece of code can serve them all.
pub trait Measure: Copy {
    /// The unit in which the number is kept.
    const UNIT: Unit;
    /// The number, in [`Self::UNIT`].
    fn value(self) -> f64;
    /// From a number in [`Self::UNIT`], which must be finite.
    fn try_new(value: f64) -> Result<Self, NotFinite>;
}

macro_rules! quantities {
    ($($(#[$doc:meta])* $name:ident = $unit:ident;)+) => {$(
        $(#[$doc])*
        #[derive(Clone, Copy, Debug, Default, PartialEq, PartialOrd)]
        pub struct $name(f64);

        impl $name {
            /// Nothing at all.
            pub const ZERO: Self = Self(0.0);

            /// From a finite number in the unit of this type.
            pub const fn new(value: f64) -> Self {
                debug_assert!(value.is_finite());
                Self(value)
            }
            /// The number, in the unit of this type.
            pub const fn value(self) -> f64 {
                self.0
            }
            /// The greater of the two.
            #[must_use]
            pub const fn max(self, other: Self) -> Self {
                Self(self.0.max(other.0))
            }
            /// The lesser of the two.
            #[must_use]
            pub const fn min(self, other: Self) -> Self {
                Self(self.0.min(other.0))
            }
            /// Cut down to so many decimals, never rounded up: for settings that must stay below a limit.
            #[must_use]
            pub fn cut_to(self, decimals: i32) -> Self {
                let step = crate::math::pow(10.0, f64::from(decimals));
                Self((self.0 * step + 1e-9).floor() / step)
            }
            /// Without its sign.
            #[must_use]
            pub const fn abs(self) -> Self {
                Self(self.0.abs())
            }
            /// A total order, for sorting.
            pub fn total_cmp(&self, other: &Self) -> std::cmp::Ordering {
                self.0.total_cmp(&other.0)
            }
        }
        impl Measure for $name {
            const UNIT: Unit = Unit::$unit;
            fn value(self) -> f64 {
                self.0
            }
            fn try_new(value: f64) -> Result<Self, NotFinite> {
                if value.is_finite() { Ok(Self(value)) } else { Err(NotFinite(value)) }
            }
        }
        impl From<$name> for Quantity {
            fn from(it: $name) -> Self {
                Self { value: it.0, unit: Unit::$unit }
            }
        }
        impl Add for $name {
            type Output = Self;
            fn add(self, other: Self) -> Self {
                Self(self.0 + other.0)
            }
        }
        impl AddAssign for $name {
            fn add_assign(&mut self, other: Self) {
                self.0 += other.0;
            }
        }
        impl Sub for $name {
            type Output = Self;
            fn sub(self, other: Self) -> Self {
                Self(self.0 - other.0)
            }
        }
        impl SubAssign for $name {
            fn sub_assign(&mut self, other: Self) {
                self.0 -= other.0;
            }
        }
        impl Neg for $name {
            type Output = Self;
            fn neg(self) -> Self {
                Self(-self.0)
            }
        }
        impl Mul<f64> for $name {
            type Output = Self;
            fn mul(self, factor: f64) -> Self {
                Self(self.0 * factor)
            }
        }
        impl Mul<$name> for f64 {
            type Output = $name;
            fn mul(self, quantity: $name) -> $name {
                $name(self * quantity.0)
            }
        }
        impl Div<f64> for $name {
            type Output = Self;
            fn div(self, divisor: f64) -> Self {
                Self(self.0 / divisor)
            }
        }
        impl Div for $name {
            type Output = f64;
            fn div(self, other: Self) -> f64 {
                self.0 / other.0
            }
        }
        impl Sum for $name {
            fn sum<I: Iterator<Item = Self>>(items: I) -> Self {
                Self(items.map(|item| item.0).sum())
            }
        }
        impl std::fmt::Display for $name {
            fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
                f.write_str(&text::exact((*self).into()))
            }
        }
        impl Serialize for $name {
            fn serialize<S: Serializer>(&self, to: S) -> Result<S::Ok, S::Error> {
                to.serialize_str(&text::exact((*self).into()))
            }
        }
        impl<'de> Deserialize<'de> for $name {
            fn deserialize<D: Deserializer<'de>>(from: D) -> Result<Self, D::Error> {
                text::deserialize(from, Unit::$unit).map(Self)
            }
        }
    )+};
}

quantities! {
    /// Potential difference.
    Volts = Volt;
    /// Current.
    Amps = Amp;
    /// Resistance.
    Ohms = Ohm;
    /// Active power.
    Watts = Watt;
    /// Apparent power.
    VoltAmps = VoltAmp;
    /// Charge, as the battery trade says it.
    AmpHours = AmpHour;
    /// Energy, as the trade says it.
    WattHours = WattHour;
    /// Length.
    Meters = Meter;
    /// Length of small things.
    Millimeters = Millimeter;
    /// Area of vent openings.
    SquareCentimeters = SquareCentimeter;
    /// Area of floors and modules.
    SquareMeters = SquareMeter;
    /// Volume of rooms.
    CubicMeters = CubicMeter;
    /// A point on the temperature scale. For a difference of two, see [`CelsiusSpan`].
    Celsius = Celsius;
    /// A difference of temperatures.
    CelsiusSpan = CelsiusSpan;
    /// Change of a rating with temperature, in percent of the rating per degree.
    PercentPerCelsius = PercentPerCelsius;
    /// Change of a voltage with temperature.
    VoltsPerCelsius = VoltPerCelsius;
    /// Frequency.
    Hertz = Hertz;
    /// Short times.
    Seconds = Second;
    /// Long times.
    Hours = Hour;
    /// A share, in percent.
    Percent = Percent;
    /// An angle.
    Degrees = Degree;
    /// Mass.
    Kilograms = Kilogram;
    /// Air flow.
    CubicMetersPerHour = CubicMeterPerHour;
    /// Irradiance.
    WattsPerSquareMeter = WattPerSquareMeter;
    /// Daily sun, kWh/m² and day.
    SunHours = SunHour;
    /// Sun over months and years, kWh/m².
    Irradiation = KilowattHourPerSquareMeter;
    /// Speed of the wind.
    MetersPerSecond = MeterPerSecond;
    /// Volume of fuel and of water for batteries.
    Liters = Liter;
    /// Lives of equipment.
    Years = Year;
    /// Lightning flashes per km² and year.
    FlashDensity = FlashDensity;
    /// Conductor area in circular mils.
    CircularMils = CircularMil;
    /// Battery gassing current, mA per Ah.
    MilliampsPerAmpHour = MilliampPerAmpHour;
}

impl Mul<Ohms> for Amps {
    type Output = Volts;
    fn mul(self, resistance: Ohms) -> Volts {
        Volts(self.0 * resistance.0)
    }
}
impl Div<Ohms> for Volts {
    type Output = Amps;
    fn div(self, resistance: Ohms) -> Amps {
        Amps(self.0 / resistance.0)
    }
}
impl Div<Amps> for Volts {
    type Output = Ohms;
    fn div(self, current: Amps) -> Ohms {
        Ohms(self.0 / current.0)
    }
}
impl Mul<Amps> for Volts {
    type Output = Watts;
    fn mul(self, current: Amps) -> Watts {
        Watts(self.0 * current.0)
    }
}
impl Div<Volts> for Watts {
    type Output = Amps;
    fn div(self, voltage: Volts) -> Amps {
        Amps(self.0 / voltage.0)
    }
}
impl Div<Volts> for VoltAmps {
    type Output = Amps;
    fn div(self, voltage: Volts) -> Amps {
        Amps(self.0 / voltage.0)
    }
}
impl Mul<Volts> for AmpHours {
    type Output = WattHours;
    fn mul(self, voltage: Volts) -> WattHours {
        WattHours(self.0 * voltage.0)
    }
}
impl Mul<CelsiusSpan> for VoltsPerCelsius {
    type Output = Volts;
    fn mul(self, span: CelsiusSpan) -> Volts {
        Volts(self.0 * span.0)
    }
}
impl Mul<AmpHours> for MilliampsPerAmpHour {
    type Output = Amps;
    fn mul(self, capacity: AmpHours) -> Amps {
        Amps(self.0 * capacity.0 / 1000.0)
    }
}
impl Div<AmpHours> for Amps {
    type Output = MilliampsPerAmpHour;
    fn div(self, capacity: AmpHours) -> MilliampsPerAmpHour {
        MilliampsPerAmpHour(self.0 * 1000.0 / capacity.0)
    }
}
impl From<Millimeters> for Meters {
    fn from(length: Millimeters) -> Self {
        Self(length.0 / 1000.0)
    }
}
impl PercentPerCelsius {
    /// The factor `1 + β/100 × span` by which a rating at the base temperature is multiplied.
    pub fn factor(self, span: CelsiusSpan) -> f64 {
        1.0 + self.0 / 100.0 * span.0
    }
}
impl Celsius {
    /// Standard test conditions: 25 °C.
    pub const STANDARD_TEST: Self = Self(25.0);

    /// How much warmer `self` is than `base`.
    pub fn above(self, base: Self) -> CelsiusSpan {
        CelsiusSpan(self.0 - base.0)
    }
    /// The temperature `span` warmer.
    #[must_use]
    pub fn warmer_by(self, span: CelsiusSpan) -> Self {
        Self(self.0 + span.0)
    }
}
impl Percent {
    /// As a share of one.
    pub fn share(self) -> f64 {
        self.0 / 100.0
    }
    /// From a share of one.
    pub fn from_share(share: f64) -> Self {
        Self::new(share * 100.0)
    }
}
impl Meters {
    /// From feet, one foot being 0.3048 m exactly.
    pub fn from_feet(feet: f64) -> Self {
        Self::new(feet * super::writing::METERS_PER_FOOT)
    }
    /// In feet.
    pub fn feet(self) -> f64 {
        self.0 / super::writing::METERS_PER_FOOT
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn products_that_mean_something() {
        assert_eq!(Amps::new(60.0) * Ohms::new(0.5), Volts::new(30.0));
        assert_eq!(Volts::new(56.0) / Ohms::new(0.5), Amps::new(112.0));
        assert_eq!(Watts::new(4800.0) / Volts::new(48.0), Amps::new(100.0));
        assert_eq!(AmpHours::new(400.0) * Volts::new(48.0), WattHours::new(19_200.0));
        // 20 mA/Ah of 225 Ah are 4.5 A, and back
        assert_eq!(MilliampsPerAmpHour::new(20.0) * AmpHours::new(225.0), Amps::new(4.5));
        assert_eq!(Amps::new(4.5) / AmpHours::new(225.0), MilliampsPerAmpHour::new(20.0));
        assert_eq!(Meters::from(Millimeters::new(600.0)), Meters::new(0.6));
    }

    #[test]
    fn a_coefficient_acts_on_a_difference() {
        // -0.27 %/°C over 56 °C colder: 1 + 0.0027 × 56 = 1.1512
        let span = Celsius::new(-31.0).above(Celsius::STANDARD_TEST);
        assert!((PercentPerCelsius::new(-0.27).factor(span) - 1.1512).abs() < 1e-12);
    }

    #[test]
    fn what_is_not_finite_is_refused() {
        assert!(Volts::try_new(f64::NAN).is_err());
        assert!(Volts::try_new(f64::INFINITY).is_err());
        assert_eq!(Volts::try_new(1.5), Ok(Volts::new(1.5)));
    }
}
