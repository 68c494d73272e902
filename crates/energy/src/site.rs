//! The site of a year: where it is, and what the weather records say of each month.
//!
//! Missing or doubtful input is named, never filled in silently: what was assumed is listed. Hourly files are read in
//! `weather/import`.

use crate::calendar::ByMonth;
use crate::tables::Defaults;
use lineside_core::project::{Brief, Month};
use lineside_core::units::{
    Celsius, CelsiusSpan, Degrees, Hours, Meters, MetersPerSecond, Percent, SunHours,
};
use std::fmt;

/// Where the site is.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Location {
    latitude: Degrees,
    longitude: Degrees,
    elevation: Meters,
    utc_offset: Hours,
}

/// Time zones farther than this from the sun's are doubted.
const ZONE_STRAY: f64 = 3.0;
/// No place is lower or higher than this, in meters.
const ELEVATIONS: std::ops::RangeInclusive<f64> = -430.0..=9000.0;

/// Whether a person has said that a doubtful time zone is meant.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum TimeZone {
    /// It must fit the longitude.
    Checked,
    /// It is meant as it is.
    Confirmed,
}

/// What is wrong with the site.
#[derive(Clone, Debug, PartialEq)]
pub enum SiteFault {
    /// A datum of the site is not given.
    Missing(&'static str),
    /// A month has no record.
    MonthMissing(Month),
    /// A month has more than one record.
    MonthTwice(Month),
    /// A value is outside what can be.
    Outside {
        /// What of the site.
        what: &'static str,
        /// Of which month, when of one.
        month: Option<Month>,
        /// The value.
        value: f64,
        /// The lowest that can be.
        lowest: f64,
        /// The highest that can be.
        highest: f64,
    },
    /// The time zone lies far from the sun's.
    TimeZone {
        /// The zone.
        offset: Hours,
        /// What the longitude asks for.
        by_longitude: Hours,
    },
}

impl fmt::Display for SiteFault {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Missing(what) => write!(f, "the brief does not give the {what} of the site"),
            Self::MonthMissing(month) => write!(f, "the weather records lack {}", month.name()),
            Self::MonthTwice(month) => write!(f, "the weather records give {} twice", month.name()),
            Self::Outside { what, month, value, lowest, highest } => {
                write!(f, "{what}")?;
                if let Some(month) = month {
                    write!(f, " of {}", month.name())?;
                }
                write!(f, ": expected {lowest} to {highest}, found {value}")
            }
            Self::TimeZone { offset, by_longitude } => write!(
                f,
                "the time zone is {offset} from UTC, but the longitude asks for {by_longitude}: confirm it or correct one \
                 of them"
            ),
        }
    }
}

impl Location {
    /// A place on earth with the offset of its standard time from UTC.
    pub fn new(
        latitude: Degrees,
        longitude: Degrees,
        elevation: Meters,
        utc_offset: Hours,
        zone: TimeZone,
    ) -> Result<Self, SiteFault> {
        within("latitude", None, latitude.value(), -90.0, 90.0)?;
        within("longitude", None, longitude.value(), -180.0, 180.0)?;
        within("elevation", None, elevation.value(), *ELEVATIONS.start(), *ELEVATIONS.end())?;
        within("time zone", None, utc_offset.value(), -12.0, 14.0)?;
        let by_longitude = solar_zone(longitude);
        // The date line runs with the zones, so a day more or less is the same zone.
        let apart = (utc_offset.value() - longitude.value() / HOUR_ANGLE).abs();
        if zone == TimeZone::Checked && apart > ZONE_STRAY && 24.0 - apart > ZONE_STRAY {
            return Err(SiteFault::TimeZone { offset: utc_offset, by_longitude });
        }
        Ok(Self { latitude, longitude, elevation, utc_offset })
    }
    /// Latitude, north positive.
    pub const fn latitude(&self) -> Degrees {
        self.latitude
    }
    /// Longitude, east positive.
    pub const fn longitude(&self) -> Degrees {
        self.longitude
    }
    /// Height above the sea.
    pub const fn elevation(&self) -> Meters {
        self.elevation
    }
    /// Standard time less UTC.
    pub const fn utc_offset(&self) -> Hours {
        self.utc_offset
    }
}

/// Degrees that the sun goes in an hour.
const HOUR_ANGLE: f64 = 15.0;

/// The whole-hour zone nearest the sun's own time.
pub fn solar_zone(longitude: Degrees) -> Hours {
    Hours::new((longitude.value() / HOUR_ANGLE).round().clamp(-12.0, 14.0))
}

fn within(
    what: &'static str,
    month: Option<Month>,
    value: f64,
    lowest: f64,
    highest: f64,
) -> Result<(), SiteFault> {
    if value.is_finite() && (lowest..=highest).contains(&value) {
        Ok(())
    } else {
        Err(SiteFault::Outside { what, month, value, lowest, highest })
    }
}

/// What the weather records say of each month.
#[derive(Clone, Debug, PartialEq)]
pub struct Climate {
    /// Sun on the level, a day.
    pub sun: ByMonth<SunHours>,
    /// Mean temperature.
    pub temperature: ByMonth<Celsius>,
    /// Mean daily range of temperature; where not given it follows from the clearness of the sky.
    pub range: Option<ByMonth<CelsiusSpan>>,
    /// Wind at the height of the modules.
    pub wind: ByMonth<MetersPerSecond>,
    /// Share of sunlight that the ground throws back.
    pub albedo: ByMonth<Percent>,
    /// Linke turbidity of the air.
    pub turbidity: ByMonth<f64>,
}

/// Highest daily sun that any month on earth has, kWh/m²: the pole at midsummer gets 13 above the air.
const MOST_SUN: f64 = 14.0;

impl Climate {
    /// Sun and temperature by month, everything else by default.
    pub fn new(sun: ByMonth<SunHours>, temperature: ByMonth<Celsius>, defaults: &Defaults) -> Self {
        Self {
            sun,
            temperature,
            range: None,
            wind: ByMonth::same(defaults.wind),
            albedo: ByMonth::same(defaults.albedo),
            turbidity: ByMonth::same(defaults.turbidity.value()),
        }
    }

    /// Every value that cannot be.
    pub fn faults(&self) -> Vec<SiteFault> {
        let mut faults = Vec::new();
        let mut check = |what, month, value, lowest, highest| {
            faults.extend(within(what, Some(month), value, lowest, highest).err());
        };
        for month in Month::ALL {
            check("sun", month, self.sun.of(month).value(), 0.0, MOST_SUN);
            check("temperature", month, self.temperature.of(month).value(), -90.0, 60.0);
            check("wind", month, self.wind.of(month).value(), 0.0, 60.0);
            check("albedo", month, self.albedo.of(month).value(), 0.0, 100.0);
            check("turbidity", month, self.turbidity.of(month), 1.0, 20.0);
            if let Some(range) = &self.range {
                check("daily range of temperature", month, range.of(month).value(), 0.0, 40.0);
            }
        }
        faults
    }

    /// From the records of a brief; every month that is missing, double or impossible is told.
    pub fn of_brief(brief: &Brief, defaults: &Defaults) -> Result<Self, Vec<SiteFault>> {
        let mut faults = Vec::new();
        let mut sun = ByMonth::same(None);
        let mut temperature = ByMonth::same(Celsius::ZERO);
        for means in &brief.months {
            if sun.of(means.month).is_some() {
                faults.push(SiteFault::MonthTwice(means.month));
            }
            *sun.of_mut(means.month) = Some(means.sun);
            *temperature.of_mut(means.month) = means.temperature;
        }
        let missing = Month::ALL.into_iter().filter(|month| sun.of(*month).is_none());
        faults.extend(missing.map(SiteFault::MonthMissing));
        let mut climate = Self::new(sun.map(Option::unwrap_or_default), temperature, defaults);
        if let Some(albedo) = brief.site.albedo {
            climate.albedo = ByMonth::same(albedo);
        }
        for means in &brief.months {
            if let Some(albedo) = means.albedo {
                *climate.albedo.of_mut(means.month) = albedo;
            }
            if let Some(wind) = means.wind {
                *climate.wind.of_mut(means.month) = wind;
            }
        }
        // One month without its range leaves all of them to the clearness of the sky: two ways do not mix in one year.
        let ranges = Month::ALL.map(|month| {
            let means = brief.months.iter().find(|means| means.month == month);
            means.and_then(|means| means.daily_range)
        });
        if ranges.iter().all(Option::is_some) {
            climate.range = Some(ByMonth(ranges.map(Option::unwrap_or_default)));
        }
        faults.extend(climate.faults());
        if faults.is_empty() { Ok(climate) } else { Err(faults) }
    }
}
