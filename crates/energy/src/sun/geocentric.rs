//! The sun seen from the middle of the earth: steps 1 to 8 of the solar position algorithm [Reda & Andreas,
//! NREL/TP-560-34302], whose terms stand in `assets/energy`.
//!
//! What an observer on the ground sees is in `position.rs`.

use crate::tables::{PeriodicTerm, SunTerms};
use lineside_core::math::{asin, atan2, cos, sin, tan};

/// Values that change slowly: once a day is enough, with interpolation between.
#[derive(Clone, Copy, Debug, Default)]
pub(super) struct Geocentric {
    /// Right ascension α, degrees.
    pub right_ascension_deg: f64,
    /// Declination δ, degrees.
    pub declination_deg: f64,
    /// Distance R, astronomical units.
    pub distance_au: f64,
    /// Δψ cos ε, degrees: what nutation adds to sidereal time.
    pub sidereal_shift_deg: f64,
}

const J2000: f64 = 2_451_545.0;

/// Julian day of a date of the Gregorian calendar, the day with its fraction.
pub(super) fn julian_day(year: i32, month: u32, day: f64) -> f64 {
    let (year, month) = if month <= 2 {
        (f64::from(year) - 1.0, f64::from(month) + 12.0)
    } else {
        (f64::from(year), f64::from(month))
    };
    let century = (year / 100.0).floor();
    (365.25 * (year + 4716.0)).floor()
        + (30.6001 * (month + 1.0)).floor()
        + day
        + (2.0 - century + (century / 4.0).floor())
        - 1524.5
}

/// Apparent sidereal time at Greenwich without nutation, degrees.
pub(super) fn mean_sidereal_deg(julian_day: f64) -> f64 {
    let centuries = (julian_day - J2000) / 36_525.0;
    280.460_618_37 + 360.985_647_366_29 * (julian_day - J2000) + 0.000_387_933 * centuries * centuries
        - centuries * centuries * centuries / 38_710_000.0
}

/// Steps 2 to 8 for a Julian day and the difference ΔT between terrestrial and universal time in seconds.
pub(super) fn geocentric(terms: &SunTerms, julian_day: f64, delta_t_s: f64) -> Geocentric {
    let century = (julian_day + delta_t_s / 86_400.0 - J2000) / 36_525.0;
    let millennium = century / 10.0;
    let longitude = series(&terms.longitude, millennium).to_degrees();
    let latitude = series(&terms.latitude, millennium).to_degrees();
    let distance_au = series(&terms.radius, millennium);
    let (in_longitude, in_obliquity) = nutation(terms, century);
    let obliquity = (mean_obliquity_deg(millennium / 10.0) + in_obliquity).to_radians();
    let aberration = -20.4898 / (3600.0 * distance_au);
    let apparent = (longitude + 180.0 + in_longitude + aberration).to_radians();
    let beta = (-latitude).to_radians();
    let right_ascension = atan2(sin(apparent) * cos(obliquity) - tan(beta) * sin(obliquity), cos(apparent));
    let declination = asin(sin(beta) * cos(obliquity) + cos(beta) * sin(obliquity) * sin(apparent));
    Geocentric {
        right_ascension_deg: right_ascension.to_degrees().rem_euclid(360.0),
        declination_deg: declination.to_degrees(),
        distance_au,
        sidereal_shift_deg: in_longitude * cos(obliquity),
    }
}

/// `10⁻⁸ Σₖ JMEᵏ Σ a cos(b + c·JME)`.
fn series(terms: &[PeriodicTerm], millennium: f64) -> f64 {
    let mut sums = [0.0; 6];
    for term in terms {
        if let Some(sum) = sums.get_mut(term.power) {
            *sum += term.a * cos(term.b + term.c * millennium);
        }
    }
    sums.iter().rev().fold(0.0, |value, sum| value * millennium + sum) * 1e-8
}

/// Nutation in longitude Δψ and in obliquity Δε, degrees.
fn nutation(terms: &SunTerms, t: f64) -> (f64, f64) {
    let cubic = |c: [f64; 4]| {
        let [c0, c1, c2, c3] = c;
        c0 + t * (c1 + t * (c2 + t / c3))
    };
    let arguments = [
        cubic([297.850_36, 445_267.111_480, -0.001_914_2, 189_474.0]),
        cubic([357.527_72, 35_999.050_340, -0.000_160_3, -300_000.0]),
        cubic([134.962_98, 477_198.867_398, 0.008_697_2, 56_250.0]),
        cubic([93.271_91, 483_202.017_538, -0.003_682_5, 327_270.0]),
        cubic([125.044_52, -1_934.136_261, 0.002_070_8, 450_000.0]),
    ];
    let (mut longitude, mut obliquity) = (0.0, 0.0);
    for term in &terms.nutation {
        let argument: f64 = arguments.iter().zip(term.multiples).map(|(x, y)| x * y).sum();
        let at = |[constant, change]: [f64; 2]| constant + change * t;
        longitude += at(term.longitude) * sin(argument.to_radians());
        obliquity += at(term.obliquity) * cos(argument.to_radians());
    }
    (longitude / 36e6, obliquity / 36e6)
}

/// ε₀, degrees, from Julian ten-millennia.
fn mean_obliquity_deg(u: f64) -> f64 {
    const TERMS: [f64; 11] =
        [84_381.448, -4680.93, -1.55, 1999.25, -51.38, -249.67, -39.05, 7.12, 27.87, 5.79, 2.45];
    TERMS.iter().rev().fold(0.0, |value, term| value * u + term) / 3600.0
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::tables::Tables;

    /// The worked example of the algorithm's authors: 17 October 2003, 12:30:30, seven hours behind UTC.
    #[test]
    fn the_authors_example() {
        let tables = Tables::load().unwrap();
        let day = julian_day(2003, 10, 17.0 + 19.508_333_333_333_333 / 24.0);
        assert!((day - 2_452_930.312_847).abs() < 1e-6);
        let millennium = (day + 67.0 / 86_400.0 - J2000) / 365_250.0;
        let degrees = |terms| series(terms, millennium).to_degrees();
        assert!((degrees(&tables.sun.longitude).rem_euclid(360.0) - 24.018_261_691_7).abs() < 1e-9);
        assert!((degrees(&tables.sun.latitude) + 0.000_101_121_9).abs() < 1e-9);
        let found = geocentric(&tables.sun, day, 67.0);
        assert!((found.distance_au - 0.996_542_297_4).abs() < 1e-9);
        // From the report: α = 202.22741°, δ = −9.31434°, Δψ = −0.00399840°, ε = 23.440465°.
        assert!((found.right_ascension_deg - 202.227_41).abs() < 1e-5);
        assert!((found.declination_deg + 9.314_34).abs() < 1e-5);
        assert!((found.sidereal_shift_deg + 0.003_998_40 * 0.917_475).abs() < 1e-6);
    }

    #[test]
    fn published_julian_days() {
        // From the same report: 1 January 2000 12:00, 1 January 1999, 27 January 1987, 1 January 1900.
        for (year, month, day, expected) in [
            (2000, 1, 1.5, 2_451_545.0),
            (1999, 1, 1.0, 2_451_179.5),
            (1987, 1, 27.0, 2_446_822.5),
            (1900, 1, 1.0, 2_415_020.5),
        ] {
            assert!((julian_day(year, month, day) - expected).abs() < 1e-9, "{year}");
        }
    }
}
