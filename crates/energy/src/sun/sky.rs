//! The sky of a site: for each hour of the nominal year where the sun stands, what comes down above the air and what
//! comes down under a clear sky. It depends on neither design nor weather, so one serves them all.

use super::air::{absolute_air_mass, pressure, relative_air_mass};
use super::clear_sky::Factors;
use super::geocentric::{Geocentric, geocentric, julian_day, mean_sidereal_deg};
use super::position::Observer;
use crate::calendar::{ByMonth, DAYS, HOURS, NOMINAL_YEAR, month_of_hours, months};
use crate::site::Location;
use crate::tables::Tables;
use lineside_core::math::cos;
use lineside_core::project::Month;
use lineside_core::units::{Degrees, SunHours, WattsPerSquareMeter};

/// The sun in the middle of one hour.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct SunAt {
    pub(crate) zenith_deg: f64,
    pub(crate) azimuth_deg: f64,
    pub(crate) cos_zenith: f64,
    /// Above the air, across the rays, W/m².
    pub(crate) beam_above_air: f64,
    /// Above the air, on the level, W/m².
    pub(crate) above_air: f64,
    /// Under a clear sky, on the level, W/m².
    pub(crate) clear: f64,
    pub(crate) air_mass: f64,
}

impl SunAt {
    /// From straight above.
    pub fn zenith(&self) -> Degrees {
        Degrees::new(self.zenith_deg)
    }
    /// Clockwise from north.
    pub fn azimuth(&self) -> Degrees {
        Degrees::new(self.azimuth_deg)
    }
    /// What comes down above the air, on the level.
    pub fn above_air(&self) -> WattsPerSquareMeter {
        WattsPerSquareMeter::new(self.above_air)
    }
    /// What comes down under a clear sky, on the level.
    pub fn clear(&self) -> WattsPerSquareMeter {
        WattsPerSquareMeter::new(self.clear)
    }
}

/// The sky of a site over the nominal year.
#[derive(Clone, Debug)]
pub struct Sky {
    location: Location,
    hours: Vec<SunAt>,
    /// Energy above the air, on the level, Wh/m² of each day.
    above_air_of_day: Vec<f64>,
    /// Its mean over each month, Wh/m² a day.
    above_air_of_month: ByMonth<f64>,
}

/// Total irradiance of the sun at one astronomical unit [Kopp & Lean 2011].
const SOLAR_CONSTANT: f64 = 1361.0;
/// Terrestrial less universal time in the nominal year.
const DELTA_T_S: f64 = 69.2;
/// Air temperature for refraction.
const REFRACTION_CELSIUS: f64 = 10.0;
/// Days before the year from which geocentric values are found, so that four points surround each hour.
const DAYS_BEFORE: i32 = 2;
const DAYS_FOUND: i32 = 371;

impl Sky {
    /// The sky over a location, with the turbidity of the air by month.
    pub fn over(tables: &Tables, location: Location, turbidity: &ByMonth<f64>) -> Self {
        let first = julian_day(NOMINAL_YEAR, 1, 1.0);
        let daily = daily_geocentric(tables, first);
        let elevation_m = location.elevation().value();
        let pressure_mbar = pressure(elevation_m);
        let observer = Observer::new(&location, pressure_mbar, REFRACTION_CELSIUS);
        let factors = Factors::at(elevation_m);
        let offset = location.utc_offset().value();
        let hours: Vec<SunAt> = (0..HOURS)
            .zip(month_of_hours())
            .map(|(hour, month)| {
                let day = (hour as f64 + 0.5 - offset) / 24.0;
                let sun = between(&daily, day);
                let seen = observer.see(&sun, mean_sidereal_deg(first + day));
                let cos_zenith = cos(seen.zenith_deg.to_radians());
                let beam_above_air = SOLAR_CONSTANT / (sun.distance_au * sun.distance_au);
                let air_mass = relative_air_mass(seen.zenith_deg);
                let clear = if cos_zenith > 0.0 {
                    let mass = absolute_air_mass(air_mass, pressure_mbar);
                    factors.horizontal(cos_zenith, mass, turbidity.of(month), beam_above_air)
                } else {
                    0.0
                };
                SunAt {
                    zenith_deg: seen.zenith_deg,
                    azimuth_deg: seen.azimuth_deg,
                    cos_zenith,
                    beam_above_air,
                    above_air: beam_above_air * cos_zenith.max(0.0),
                    clear,
                    air_mass,
                }
            })
            .collect();
        let above_air_of_day: Vec<f64> =
            hours.chunks(24).map(|day| day.iter().map(|sun| sun.above_air).sum()).collect();
        let mut above_air_of_month = ByMonth::same(0.0);
        for (month, first, days) in months() {
            let of_days = above_air_of_day.iter().skip(first).take(days);
            *above_air_of_month.of_mut(month) = of_days.sum::<f64>() / days as f64;
        }
        Self { location, hours, above_air_of_day, above_air_of_month }
    }

    /// Where the site is.
    pub const fn location(&self) -> &Location {
        &self.location
    }
    /// The sun of each hour.
    pub fn hours(&self) -> &[SunAt] {
        &self.hours
    }
    /// Mean daily sun above the air in a month: more than this no weather record can have.
    pub fn above_air(&self, month: Month) -> SunHours {
        SunHours::new(self.above_air_of_month.of(month) / 1000.0)
    }
    pub(crate) fn above_air_of_day(&self) -> &[f64] {
        &self.above_air_of_day
    }
}

/// Geocentric values at midnight UTC of each day, right ascension unwrapped.
fn daily_geocentric(tables: &Tables, first: f64) -> Vec<Geocentric> {
    let mut daily: Vec<Geocentric> = Vec::with_capacity(DAYS + 6);
    for day in 0..DAYS_FOUND {
        let mut sun = geocentric(&tables.sun, first + f64::from(day - DAYS_BEFORE), DELTA_T_S);
        if let Some(before) = daily.last() {
            while sun.right_ascension_deg < before.right_ascension_deg - 180.0 {
                sun.right_ascension_deg += 360.0;
            }
        }
        daily.push(sun);
    }
    daily
}

/// Four-point Lagrange interpolation between days.
fn between(daily: &[Geocentric], day: f64) -> Geocentric {
    let whole = day.floor();
    let x = day - whole;
    #[expect(
        clippy::cast_possible_truncation,
        clippy::cast_sign_loss,
        reason = "days from −1 to 366, shifted to be positive"
    )]
    let at = (whole + f64::from(DAYS_BEFORE) - 1.0).max(0.0) as usize;
    let weights = [
        -x * (x - 1.0) * (x - 2.0) / 6.0,
        (x + 1.0) * (x - 1.0) * (x - 2.0) / 2.0,
        -(x + 1.0) * x * (x - 2.0) / 2.0,
        (x + 1.0) * x * (x - 1.0) / 6.0,
    ];
    let mut sum = Geocentric::default();
    for (sun, weight) in daily.iter().skip(at).zip(weights) {
        sum.right_ascension_deg += weight * sun.right_ascension_deg;
        sum.declination_deg += weight * sun.declination_deg;
        sum.distance_au += weight * sun.distance_au;
        sum.sidereal_shift_deg += weight * sun.sidereal_shift_deg;
    }
    sum
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::site::TimeZone;
    use crate::sun::{Instant, position};
    use lineside_core::units::{Celsius, Hours, Meters, Seconds};

    /// The interpolated sky stands within 4·10⁻⁷° of the position found for the very instant.
    #[test]
    fn interpolation_is_close() {
        let tables = Tables::load().unwrap();
        for (latitude, longitude, zone) in [(47.2, -113.5, -7.0), (-31.6, 145.9, 10.0), (78.2, 15.6, 1.0)] {
            let location = Location::new(
                Degrees::new(latitude),
                Degrees::new(longitude),
                Meters::new(300.0),
                Hours::new(zone),
                TimeZone::Checked,
            )
            .unwrap();
            let sky = Sky::over(&tables, location, &ByMonth::same(3.0));
            for (month, first, days) in months() {
                for day in [0, days - 1] {
                    for hour in [0, 7, 12, 23] {
                        let seen = sky.hours[(first + day) * 24 + hour];
                        let at = Instant {
                            year: 2025,
                            month: month as u32 + 1,
                            day: u32::try_from(day + 1).unwrap(),
                            time: Seconds::new(hour as f64 * 3600.0 + 1800.0),
                            pressure_mbar: pressure(300.0),
                            temperature: Celsius::new(10.0),
                            delta_t: Seconds::new(69.2),
                        };
                        let exact = position(&tables, &location, &at);
                        assert!(
                            (exact.zenith.value() - seen.zenith_deg).abs() < 4e-7,
                            "{month:?} {day} {hour}"
                        );
                    }
                }
            }
        }
    }

    #[test]
    fn polar_day_and_night() {
        let tables = Tables::load().unwrap();
        let location = Location::new(
            Degrees::new(90.0),
            Degrees::new(0.0),
            Meters::new(0.0),
            Hours::new(0.0),
            TimeZone::Checked,
        );
        let sky = Sky::over(&tables, location.unwrap(), &ByMonth::same(2.0));
        assert_eq!(sky.above_air(Month::December), SunHours::ZERO);
        // At the pole the sun stands at its declination, 23.43°: 1361/1.0163² × sin 23.43° × 24 h = 12.6 kWh/m².
        assert!((sky.above_air(Month::June).value() - 12.4).abs() < 0.3);
        assert!(sky.hours().iter().all(|sun| sun.zenith_deg.is_finite() && sun.azimuth_deg.is_finite()));
    }
}
