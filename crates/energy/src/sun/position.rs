//! The sun seen from a place on the ground: steps 9 and 10 of the solar position algorithm [Reda & Andreas].

use super::geocentric::{Geocentric, geocentric, julian_day, mean_sidereal_deg};
use crate::site::Location;
use crate::tables::Tables;
use lineside_core::math::{asin, atan, atan2, cos, sin, tan};
use lineside_core::units::{Celsius, Degrees, Seconds};

/// A moment in local standard time, and the air through which the sun is seen.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Instant {
    /// Year of the Gregorian calendar.
    pub year: i32,
    /// Month, 1 to 12.
    pub month: u32,
    /// Day of the month.
    pub day: u32,
    /// Seconds since midnight.
    pub time: Seconds,
    /// Air pressure in millibars.
    pub pressure_mbar: f64,
    /// Air temperature.
    pub temperature: Celsius,
    /// Terrestrial less universal time.
    pub delta_t: Seconds,
}

/// Where the sun stands.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct SunPosition {
    /// From straight above, bent by the air.
    pub zenith: Degrees,
    /// From straight above, as without air.
    pub zenith_without_air: Degrees,
    /// Clockwise from north.
    pub azimuth: Degrees,
    /// Distance in astronomical units.
    pub distance_au: f64,
}

/// Where the sun stands at an instant, with an uncertainty of 0.0003°.
pub fn position(tables: &Tables, location: &Location, at: &Instant) -> SunPosition {
    let utc_days = (at.time.value() / 3600.0 - location.utc_offset().value()) / 24.0;
    let day = julian_day(at.year, at.month, f64::from(at.day) + utc_days);
    let sun = geocentric(&tables.sun, day, at.delta_t.value());
    let observer = Observer::new(location, at.pressure_mbar, at.temperature.value());
    let seen = observer.see(&sun, mean_sidereal_deg(day));
    SunPosition {
        zenith: Degrees::new(seen.zenith_deg),
        zenith_without_air: Degrees::new(seen.zenith_deg + seen.refraction_deg),
        azimuth: Degrees::new(seen.azimuth_deg),
        distance_au: sun.distance_au,
    }
}

/// A place on the ground.
pub(super) struct Observer {
    longitude_deg: f64,
    sin_latitude: f64,
    cos_latitude: f64,
    /// Distance from the earth's axis and from the plane of its equator, in earth radii.
    from_axis: f64,
    from_equator: f64,
    /// What the air adds to the tangent law of refraction.
    air: f64,
}

/// What it sees.
#[expect(clippy::struct_field_names, reason = "units stand at the ends of names")]
#[derive(Clone, Copy, Debug, Default)]
pub(super) struct Seen {
    pub zenith_deg: f64,
    pub refraction_deg: f64,
    pub azimuth_deg: f64,
}

const FLATTENING: f64 = 0.996_647_19;
const EARTH_RADIUS_M: f64 = 6_378_140.0;
/// Radius of the sun's disk and refraction at the horizon, degrees: below it no refraction is counted.
const HORIZON_DEG: f64 = -(0.266_67 + 0.566_7);

impl Observer {
    pub(super) fn new(location: &Location, pressure_mbar: f64, celsius: f64) -> Self {
        let latitude = location.latitude().value().to_radians();
        let height = location.elevation().value() / EARTH_RADIUS_M;
        let reduced = atan(FLATTENING * tan(latitude));
        Self {
            longitude_deg: location.longitude().value(),
            sin_latitude: sin(latitude),
            cos_latitude: cos(latitude),
            from_axis: cos(reduced) + height * cos(latitude),
            from_equator: FLATTENING * sin(reduced) + height * sin(latitude),
            air: pressure_mbar / 1010.0 * 283.0 / (273.0 + celsius) * 1.02 / 60.0,
        }
    }

    pub(super) fn see(&self, sun: &Geocentric, mean_sidereal_deg: f64) -> Seen {
        let sidereal = mean_sidereal_deg + sun.sidereal_shift_deg;
        let hour_angle = (sidereal + self.longitude_deg - sun.right_ascension_deg).to_radians();
        let declination = sun.declination_deg.to_radians();
        let parallax = sin((8.794 / (3600.0 * sun.distance_au)).to_radians());
        let (sin_hour, cos_hour) = (sin(hour_angle), cos(hour_angle));
        let side = cos(declination) - self.from_axis * parallax * cos_hour;
        let shift = atan2(-self.from_axis * parallax * sin_hour, side);
        let seen_declination = atan2((sin(declination) - self.from_equator * parallax) * cos(shift), side);
        let seen_hour = hour_angle - shift;
        let (sin_declination, cos_declination) = (sin(seen_declination), cos(seen_declination));
        let cos_seen_hour = cos(seen_hour);
        let sine = self.sin_latitude * sin_declination + self.cos_latitude * cos_declination * cos_seen_hour;
        let elevation_deg = asin(sine.clamp(-1.0, 1.0)).to_degrees();
        let refraction_deg = if elevation_deg >= HORIZON_DEG {
            self.air / tan((elevation_deg + 10.3 / (elevation_deg + 5.11)).to_radians())
        } else {
            0.0
        };
        let southward = atan2(
            sin(seen_hour) * cos_declination,
            cos_seen_hour * self.sin_latitude * cos_declination - sin_declination * self.cos_latitude,
        );
        Seen {
            zenith_deg: 90.0 - elevation_deg - refraction_deg,
            refraction_deg,
            azimuth_deg: (southward.to_degrees() + 180.0).rem_euclid(360.0),
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::site::TimeZone;
    use lineside_core::units::{Hours, Meters};

    /// The worked example of the algorithm's authors.
    #[test]
    fn the_authors_example() {
        let tables = Tables::load().unwrap();
        let location = Location::new(
            Degrees::new(39.742_476),
            Degrees::new(-105.178_6),
            Meters::new(1830.14),
            Hours::new(-7.0),
            TimeZone::Checked,
        );
        let at = Instant {
            year: 2003,
            month: 10,
            day: 17,
            time: Seconds::new(12.0 * 3600.0 + 30.0 * 60.0 + 30.0),
            pressure_mbar: 820.0,
            temperature: Celsius::new(11.0),
            delta_t: Seconds::new(67.0),
        };
        let found = position(&tables, &location.unwrap(), &at);
        assert!((found.zenith.value() - 50.111_62).abs() < 1e-5, "{found:?}");
        assert!((found.azimuth.value() - 194.340_24).abs() < 1e-5, "{found:?}");
    }
}
