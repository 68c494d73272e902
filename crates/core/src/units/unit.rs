//! The list of units, and a quantity whose unit is known only at run time.
//!
//! Typed quantities are in `quantity.rs`; how a unit is written and read is in `text.rs`.

/// The unit in which a quantity is kept. Every quantity has exactly one; other units are only ways of
/// writing it (see [`super::text`]).
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Unit {
    /// Volts.
    Volt,
    /// Amperes.
    Amp,
    /// Ohms.
    Ohm,
    /// Watts.
    Watt,
    /// Volt-amperes.
    VoltAmp,
    /// Ampere-hours.
    AmpHour,
    /// Watt-hours.
    WattHour,
    /// Meters.
    Meter,
    /// Millimeters.
    Millimeter,
    /// Square centimeters.
    SquareCentimeter,
    /// Square meters.
    SquareMeter,
    /// Cubic meters.
    CubicMeter,
    /// A temperature, degrees Celsius.
    Celsius,
    /// A difference of temperatures, kelvins.
    CelsiusSpan,
    /// Percent per degree Celsius.
    PercentPerCelsius,
    /// Volts per degree Celsius.
    VoltPerCelsius,
    /// Hertz.
    Hertz,
    /// Seconds.
    Second,
    /// Hours.
    Hour,
    /// Percent.
    Percent,
    /// Degrees of angle.
    Degree,
    /// Kilograms.
    Kilogram,
    /// Cubic meters per hour.
    CubicMeterPerHour,
    /// Watts per square meter.
    WattPerSquareMeter,
    /// Kilowatt-hours per square meter and day.
    SunHour,
    /// Kilowatt-hours per square meter.
    KilowattHourPerSquareMeter,
    /// Meters per second.
    MeterPerSecond,
    /// Liters.
    Liter,
    /// Years.
    Year,
    /// Flashes per square kilometer and year.
    FlashDensity,
    /// Circular mils.
    CircularMil,
    /// Milliamperes per ampere-hour.
    MilliampPerAmpHour,
    /// A pure number.
    One,
}

/// A number with its unit, for messages and workings, where quantities of many kinds stand in one list.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Quantity {
    /// The number, in `unit`.
    pub value: f64,
    /// The unit.
    pub unit: Unit,
}

impl Quantity {
    /// A pure number.
    pub const fn number(value: f64) -> Self {
        Self { value, unit: Unit::One }
    }

    /// A count of things.
    pub fn count(count: usize) -> Self {
        Self::number(count as f64)
    }
}
