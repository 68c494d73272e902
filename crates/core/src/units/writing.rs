//! The table of how units are written and which other writings are read for them.
//!
//! Digits, rounding and parsing are in `text.rs`.

use super::text::UnitSystem;
use super::unit::Unit;

/// One international foot in meters, exactly.
pub(super) const METERS_PER_FOOT: f64 = 0.3048;
const KILOGRAMS_PER_POUND: f64 = 0.453_592_37;
const SQUARE_CENTIMETERS_PER_SQUARE_INCH: f64 = 6.4516;
const CUBIC_METERS_PER_HOUR_PER_CFM: f64 = 1.699_010_795_52;
const METERS_PER_SECOND_PER_MPH: f64 = 0.447_04;
const LITERS_PER_GALLON: f64 = 3.785_411_784;

/// How a unit is written: a symbol, and how to get from the kept number to the written one.
#[derive(Clone, Copy)]
pub(super) struct Writing {
    pub(super) symbol: &'static str,
    /// written = kept × scale + offset
    pub(super) scale: f64,
    pub(super) offset: f64,
}

impl Writing {
    /// Whether it is another unit than the kept one.
    pub(super) fn is_converted(self) -> bool {
        (self.scale - 1.0).abs() > f64::EPSILON || self.offset.abs() > f64::EPSILON
    }
}

/// A written number in the kept unit.
pub(super) fn into_kept(value: f64, writing: Writing) -> f64 {
    let kept = (value - writing.offset) / writing.scale;
    if writing.is_converted() { without_dust(kept) } else { kept }
}

/// Without the dust of a conversion in the last digits, so that 80 ft are kept as 24.384 m.
pub(super) fn without_dust(value: f64) -> f64 {
    format!("{value:.12e}").parse().unwrap_or(value)
}

const fn writing(symbol: &'static str) -> Writing {
    Writing { symbol, scale: 1.0, offset: 0.0 }
}

const fn scaled(symbol: &'static str, scale: f64) -> Writing {
    Writing { symbol, scale, offset: 0.0 }
}

const FAHRENHEIT: Writing = Writing { symbol: "°F", scale: 1.8, offset: 32.0 };

/// The writing in which a quantity is kept; it stands in files.
pub(super) const fn kept(unit: Unit) -> Writing {
    writing(match unit {
        Unit::Volt => "V",
        Unit::Amp => "A",
        Unit::Ohm => "Ω",
        Unit::Watt => "W",
        Unit::VoltAmp => "VA",
        Unit::AmpHour => "Ah",
        Unit::WattHour => "Wh",
        Unit::Meter => "m",
        Unit::Millimeter => "mm",
        Unit::SquareCentimeter => "cm²",
        Unit::SquareMeter => "m²",
        Unit::CubicMeter => "m³",
        Unit::Celsius => "°C",
        Unit::CelsiusSpan => "K",
        Unit::PercentPerCelsius => "%/°C",
        Unit::VoltPerCelsius => "V/°C",
        Unit::Hertz => "Hz",
        Unit::Second => "s",
        Unit::Hour => "h",
        Unit::Percent => "%",
        Unit::Degree => "°",
        Unit::Kilogram => "kg",
        Unit::CubicMeterPerHour => "m³/h",
        Unit::WattPerSquareMeter => "W/m²",
        Unit::SunHour => "kWh/m²d",
        Unit::KilowattHourPerSquareMeter => "kWh/m²",
        Unit::MeterPerSecond => "m/s",
        Unit::Liter => "l",
        Unit::Year => "a",
        Unit::FlashDensity => "/km²a",
        Unit::CircularMil => "cmil",
        Unit::MilliampPerAmpHour => "mA/Ah",
        Unit::One => "",
    })
}

/// Other writings that are read for a unit, besides [`kept`]. Matching ignores case unless that would be
/// ambiguous (mV and MV).
pub(super) const fn also_read(unit: Unit) -> &'static [Writing] {
    const FOOT: f64 = METERS_PER_FOOT;
    match unit {
        Unit::Volt => {
            const { &[scaled("mV", 1e3), scaled("kV", 1e-3), writing("volts"), writing("Vdc"), writing("Vac")] }
        }
        Unit::Amp => const { &[scaled("mA", 1e3), scaled("kA", 1e-3), writing("amps")] },
        Unit::Ohm => {
            const {
                &[scaled("mΩ", 1e3), scaled("mohm", 1e3), scaled("µΩ", 1e6), writing("ohm"), writing("ohms")]
            }
        }
        Unit::Watt => const { &[scaled("kW", 1e-3), scaled("MW", 1e-6), writing("watts")] },
        Unit::VoltAmp => const { &[scaled("kVA", 1e-3)] },
        Unit::AmpHour => const { &[scaled("kAh", 1e-3)] },
        Unit::WattHour => const { &[scaled("kWh", 1e-3), scaled("MWh", 1e-6)] },
        Unit::Meter => {
            const {
                &[
                    scaled("ft", 1.0 / METERS_PER_FOOT),
                    scaled("in", 12.0 / METERS_PER_FOOT),
                    scaled("mm", 1e3),
                    scaled("cm", 1e2),
                    scaled("km", 1e-3),
                ]
            }
        }
        Unit::Millimeter => const { &[scaled("in", 1.0 / 25.4), scaled("cm", 0.1), scaled("m", 1e-3)] },
        Unit::SquareCentimeter => {
            const {
                &[
                    writing("cm2"),
                    scaled("in²", 1.0 / SQUARE_CENTIMETERS_PER_SQUARE_INCH),
                    scaled("in2", 1.0 / SQUARE_CENTIMETERS_PER_SQUARE_INCH),
                ]
            }
        }
        Unit::SquareMeter => {
            const { &[writing("m2"), scaled("ft²", 1.0 / (FOOT * FOOT)), scaled("ft2", 1.0 / (FOOT * FOOT))] }
        }
        Unit::CubicMeter => {
            const {
                &[
                    writing("m3"),
                    scaled("ft³", 1.0 / (FOOT * FOOT * FOOT)),
                    scaled("ft3", 1.0 / (FOOT * FOOT * FOOT)),
                ]
            }
        }
        Unit::Celsius => {
            const { &[writing("C"), FAHRENHEIT, Writing { symbol: "F", scale: 1.8, offset: 32.0 }] }
        }
        Unit::CelsiusSpan => const { &[writing("°C"), scaled("°F", 1.8)] },
        Unit::PercentPerCelsius => const { &[writing("%/C"), writing("%/K")] },
        Unit::VoltPerCelsius => const { &[scaled("mV/°C", 1e3), scaled("mV/K", 1e3), writing("V/K")] },
        Unit::Hertz => const { &[scaled("kHz", 1e-3)] },
        Unit::Second => const { &[scaled("ms", 1e3), scaled("min", 1.0 / 60.0)] },
        Unit::Hour => const { &[scaled("min", 60.0), scaled("d", 1.0 / 24.0)] },
        Unit::Degree => const { &[writing("deg")] },
        Unit::Kilogram => const { &[scaled("lb", 1.0 / KILOGRAMS_PER_POUND), scaled("g", 1e3)] },
        Unit::CubicMeterPerHour => {
            const { &[writing("m3/h"), scaled("cfm", 1.0 / CUBIC_METERS_PER_HOUR_PER_CFM)] }
        }
        Unit::WattPerSquareMeter => const { &[writing("W/m2")] },
        Unit::SunHour => const { &[writing("kWh/m2d")] },
        Unit::KilowattHourPerSquareMeter => const { &[writing("kWh/m2")] },
        Unit::MeterPerSecond => {
            const { &[scaled("km/h", 3.6), scaled("mph", 1.0 / METERS_PER_SECOND_PER_MPH)] }
        }
        Unit::Liter => const { &[writing("L"), scaled("gal", 1.0 / LITERS_PER_GALLON)] },
        Unit::Year => const { &[writing("years"), writing("year"), writing("yr")] },
        Unit::Percent | Unit::FlashDensity | Unit::CircularMil | Unit::MilliampPerAmpHour | Unit::One => &[],
    }
}

/// The writing that people of a unit system read.
pub(super) fn shown(unit: Unit, system: UnitSystem) -> Writing {
    match (unit, system) {
        (Unit::Meter, UnitSystem::Us) => scaled("ft", 1.0 / METERS_PER_FOOT),
        (Unit::Millimeter, UnitSystem::Us) => scaled("in", 1.0 / 25.4),
        (Unit::SquareCentimeter, UnitSystem::Us) => scaled("in²", 1.0 / SQUARE_CENTIMETERS_PER_SQUARE_INCH),
        (Unit::SquareMeter, UnitSystem::Us) => scaled("ft²", 1.0 / (METERS_PER_FOOT * METERS_PER_FOOT)),
        (Unit::CubicMeter, UnitSystem::Us) => {
            scaled("ft³", 1.0 / (METERS_PER_FOOT * METERS_PER_FOOT * METERS_PER_FOOT))
        }
        (Unit::Celsius, UnitSystem::Us) => FAHRENHEIT,
        (Unit::CelsiusSpan, UnitSystem::Us) => scaled("°F", 1.8),
        (Unit::MeterPerSecond, UnitSystem::Us) => scaled("mph", 1.0 / METERS_PER_SECOND_PER_MPH),
        (Unit::Liter, UnitSystem::Us) => scaled("gal", 1.0 / LITERS_PER_GALLON),
        (Unit::Kilogram, UnitSystem::Us) => scaled("lb", 1.0 / KILOGRAMS_PER_POUND),
        (Unit::CubicMeterPerHour, UnitSystem::Us) => scaled("cfm", 1.0 / CUBIC_METERS_PER_HOUR_PER_CFM),
        _ => kept(unit),
    }
}
