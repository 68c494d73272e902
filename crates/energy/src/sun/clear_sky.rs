//! Sun under a clear sky [Ineichen & Perez, Solar Energy 73, 151 (2002)].

use super::air::{absolute_air_mass, pressure, relative_air_mass};
use lineside_core::math::{cos, exp};
use lineside_core::units::{Degrees, Meters, WattsPerSquareMeter};

/// What comes down under a clear sky.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct ClearSky {
    /// On the level.
    pub horizontal: WattsPerSquareMeter,
    /// Straight from the sun, across its rays.
    pub beam: WattsPerSquareMeter,
}

/// Clear-sky irradiance for a zenith, a height, a Linke turbidity, and what comes down above the air.
pub fn clear_sky(
    zenith: Degrees,
    elevation: Meters,
    turbidity: f64,
    above_air: WattsPerSquareMeter,
) -> ClearSky {
    let factors = Factors::at(elevation.value());
    let mass = absolute_air_mass(relative_air_mass(zenith.value()), pressure(elevation.value()));
    let cos_zenith = cos(zenith.value().to_radians());
    if cos_zenith <= 0.0 {
        return ClearSky { horizontal: WattsPerSquareMeter::ZERO, beam: WattsPerSquareMeter::ZERO };
    }
    let horizontal = factors.horizontal(cos_zenith, mass, turbidity, above_air.value());
    let beam = factors.beam(cos_zenith, mass, turbidity, above_air.value(), horizontal);
    ClearSky { horizontal: WattsPerSquareMeter::new(horizontal), beam: WattsPerSquareMeter::new(beam) }
}

/// What depends on the height alone.
#[derive(Clone, Copy, Debug)]
pub(super) struct Factors {
    f1: f64,
    f2: f64,
    c1: f64,
    c2: f64,
}

impl Factors {
    pub(super) fn at(elevation_m: f64) -> Self {
        Self {
            f1: exp(-elevation_m / 8000.0),
            f2: exp(-elevation_m / 1250.0),
            c1: 5.09e-5 * elevation_m + 0.868,
            c2: 3.92e-5 * elevation_m + 0.038_7,
        }
    }

    pub(super) fn horizontal(&self, cos_zenith: f64, mass: f64, turbidity: f64, above_air: f64) -> f64 {
        let clouded = self.f1 + self.f2 * (turbidity - 1.0);
        self.c1 * above_air * cos_zenith * exp(-self.c2 * mass * clouded)
    }

    fn beam(&self, cos_zenith: f64, mass: f64, turbidity: f64, above_air: f64, horizontal: f64) -> f64 {
        let b = 0.664 + 0.163 / self.f1;
        let direct = b * above_air * exp(-0.09 * mass * (turbidity - 1.0));
        let share = 1.0 - (0.1 - 0.2 * exp(-turbidity)) / (0.1 + 0.882 / self.f1);
        direct.min(horizontal / cos_zenith * share)
    }
}
