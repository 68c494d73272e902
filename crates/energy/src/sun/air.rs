//! The air above a site: pressure and how much of it the sun shines through.

use lineside_core::math::{cos, pow};

/// Pressure of the standard atmosphere, millibars.
pub(crate) fn pressure(elevation_m: f64) -> f64 {
    SEA_LEVEL_MBAR * pow(1.0 - 2.255_77e-5 * elevation_m, 5.255_88)
}

/// Pressure at the level of the sea, millibars.
pub(crate) const SEA_LEVEL_MBAR: f64 = 1013.25;

/// Air mass relative to the zenith [Kasten & Young 1989], for zeniths up to 90°.
pub(crate) fn relative_air_mass(zenith_deg: f64) -> f64 {
    let zenith = zenith_deg.min(90.0);
    1.0 / (cos(zenith.to_radians()) + 0.505_72 * pow(96.079_95 - zenith, -1.636_4))
}

/// Air mass of the standard atmosphere at the level of the sea.
pub(crate) fn absolute_air_mass(relative: f64, pressure_mbar: f64) -> f64 {
    relative * pressure_mbar / SEA_LEVEL_MBAR
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn published_values() {
        // Standard atmosphere at 1 500 m: 845.6 mbar. Kasten & Young give 1.0 at the zenith, 37.92 at the horizon.
        assert!((pressure(1500.0) - 845.6).abs() < 0.1);
        assert!((relative_air_mass(0.0) - 0.9997).abs() < 1e-3);
        assert!((relative_air_mass(90.0) - 37.92).abs() < 0.1);
        assert!((absolute_air_mass(2.0, pressure(0.0)) - 2.0).abs() < 1e-12);
    }
}
