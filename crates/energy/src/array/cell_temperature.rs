//! How warm the cells become [Faiman, Prog. Photovolt. 16, 307 (2008)].

use crate::tables::Defaults;
use lineside_core::units::{Celsius, MetersPerSecond, WattsPerSquareMeter};

/// How the air cools the modules.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Cooling {
    /// U₀, W/m²K.
    still: f64,
    /// U₁, W·s/m³K.
    by_wind: f64,
}

/// Irradiance and air temperature for which the nominal operating cell temperature is defined [IEC 61215]; the wind is
/// 1 m/s.
const NOMINAL_SUN: f64 = 800.0;
const NOMINAL_AIR: f64 = 20.0;

impl Cooling {
    /// Open to the air all round, from the nominal operating cell temperature: `U₀ = 800/(NOCT − 20) − U₁`.
    pub fn open(nominal: Celsius, defaults: &Defaults) -> Self {
        let by_wind = defaults.wind_cooling.value();
        let above = (nominal.value() - NOMINAL_AIR).max(1.0);
        Self { still: (NOMINAL_SUN / above - by_wind).max(1.0), by_wind }
    }

    /// Parallel to a roof with a hand's breadth of air between.
    #[must_use]
    pub fn close_to_roof(self, defaults: &Defaults) -> Self {
        Self { still: (self.still - defaults.roof_cooling.value()).max(1.0), ..self }
    }

    /// Cells that stand so much above the air in full sun and a wind of 1 m/s, however they are mounted.
    pub fn of_rise(rise: lineside_core::units::CelsiusSpan, defaults: &Defaults) -> Self {
        let by_wind = defaults.wind_cooling.value();
        Self { still: (1000.0 / rise.value().max(1.0) - by_wind).max(1.0), by_wind }
    }

    pub(crate) fn celsius(&self, sun: f64, air: f64, wind: f64) -> f64 {
        air + sun / (self.still + self.by_wind * wind)
    }
}

/// Temperature of the cells: `T_a + G/(U₀ + U₁ v)`.
pub fn cell_temperature(
    cooling: Cooling,
    sun: WattsPerSquareMeter,
    air: Celsius,
    wind: MetersPerSecond,
) -> Celsius {
    Celsius::new(cooling.celsius(sun.value(), air.value(), wind.value()))
}
