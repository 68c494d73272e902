//! An hourly weather file, read: its hours, what was filled in, and how it fits the site.

use super::gaps;
use crate::calendar::{ByMonth, HOURS, month_of_hours};
use crate::site::Climate;
use crate::sun::Sky;
use crate::tables::Defaults;
use crate::weather::{Weather, WeatherHour};
use lineside_core::math::pow;
use lineside_core::project::Month;
use lineside_core::table::{Faults, ImportFault};
use lineside_core::units::{Celsius, Degrees, Hours, Meters, SunHours};
use std::fmt;

/// The layout of a file.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Layout {
    /// TMY3 CSV [Wilcox & Marion, NREL/TP-581-43156].
    Tmy3,
    /// Building-energy weather file.
    Epw,
    /// Our own CSV.
    Own,
}

/// Where the file was recorded, when it says so.
#[derive(Clone, Debug, PartialEq)]
pub struct Station {
    /// Its name.
    pub name: String,
    /// Latitude, north positive.
    pub latitude: Degrees,
    /// Longitude, east positive.
    pub longitude: Degrees,
    /// Height above the sea.
    pub elevation: Meters,
    /// Standard time less UTC.
    pub utc_offset: Hours,
}

/// Something about a file that a person should know.
#[derive(Clone, Debug, PartialEq)]
pub enum FileRemark {
    /// Short gaps were filled by straight lines.
    Filled {
        /// Of which column.
        column: &'static str,
        /// How many hours.
        hours: usize,
    },
    /// Values a little below nothing were taken as nothing.
    Negative {
        /// How many.
        hours: usize,
    },
    /// The leap day was left out.
    LeapDay,
    /// Beam and diffuse are not in the file; they were found from sun on the level.
    NoBeam,
    /// The middle of the day in the file and the sun's noon lie apart: time zone or hours are counted otherwise.
    Noon {
        /// The file's less the sun's.
        apart: Hours,
    },
    /// A month's sun differs from the records of the site.
    Month {
        /// The month.
        month: Month,
        /// By the file.
        file: SunHours,
        /// By the records.
        records: SunHours,
    },
    /// The file is from another place.
    Elsewhere {
        /// Where.
        station: String,
    },
}

impl fmt::Display for FileRemark {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Filled { column, hours } => {
                write!(f, "{hours} missing hours of “{column}” were filled in straight lines")
            }
            Self::Negative { hours } => write!(f, "{hours} hours of sun below zero were taken as none"),
            Self::LeapDay => write!(f, "29 February was left out"),
            Self::NoBeam => {
                write!(f, "the file has no beam and diffuse sun: they were found from the sun on the level")
            }
            Self::Noon { apart } => write!(
                f,
                "the middle of the day in the file lies {apart} from the sun’s noon: its time zone, or whether its hours \
                 are counted from beginning or end, differs from what its layout says"
            ),
            Self::Month { month, file, records } => {
                write!(f, "{}: {file} of sun in the file, {records} in the records of the site", month.name())
            }
            Self::Elsewhere { station } => write!(f, "the file was recorded at {station}, not at the site"),
        }
    }
}

/// One hour as it stands in a file.
#[derive(Clone, Copy, Debug, Default)]
pub(super) struct FileHour {
    pub horizontal: Option<f64>,
    pub beam: Option<f64>,
    pub diffuse: Option<f64>,
    pub celsius: Option<f64>,
    pub wind: Option<f64>,
    pub albedo: Option<f64>,
    pub line: u64,
}

/// Bounds of what can be.
pub(super) const SUN: std::ops::RangeInclusive<f64> = -5.0..=1500.0;
pub(super) const AIR: std::ops::RangeInclusive<f64> = -90.0..=60.0;
pub(super) const WIND: std::ops::RangeInclusive<f64> = 0.0..=120.0;
pub(super) const ALBEDO: std::ops::RangeInclusive<f64> = 0.0..=1.0;

/// An hourly weather file.
#[derive(Clone, Debug, PartialEq)]
pub struct HourlyFile {
    /// Its layout.
    pub layout: Layout,
    /// Where it was recorded.
    pub station: Option<Station>,
    /// What a person should know.
    pub remarks: Vec<FileRemark>,
    /// Sun on the level, air.
    hours: Vec<(f64, f64)>,
    /// Beam and diffuse, when the file has both.
    beam_and_diffuse: Option<Vec<(f64, f64)>>,
    wind: Vec<Option<f64>>,
    albedo: Vec<Option<f64>>,
}

/// Noons farther apart than this, in hours, are told.
const NOON_STRAY: f64 = 0.5;
/// Months that differ by more than this part are told.
const MONTH_STRAY: f64 = 0.15;
/// Stations farther than this, in degrees, are elsewhere.
const PLACE_STRAY: f64 = 0.5;
/// Height of weather masts, and the exponent by which wind grows with height.
const MAST_M: f64 = 10.0;
const WIND_EXPONENT: f64 = 0.2;

impl HourlyFile {
    /// Puts a year of hours together: fills short gaps, tells of long ones.
    pub(super) fn of(
        layout: Layout,
        station: Option<Station>,
        mut remarks: Vec<FileRemark>,
        hours: &[FileHour],
        mut faults: Faults,
    ) -> Result<Self, Vec<ImportFault>> {
        let mut negative = 0;
        let mut column = |name: &'static str, of: fn(&FileHour) -> Option<f64>| {
            let mut series: Vec<Option<f64>> = hours.iter().map(of).collect();
            let (filled, too_long) = gaps::fill(&mut series);
            if filled > 0 {
                remarks.push(FileRemark::Filled { column: name, hours: filled });
            }
            for gap in too_long {
                let line = hours.get(gap.start).map_or(0, |hour| hour.line);
                let expected = format!("no gap of more than {} hours", gaps::LONGEST);
                faults.add(ImportFault::new(
                    line,
                    name,
                    expected,
                    format!("{} hours without a value", gap.len()),
                ));
            }
            series.into_iter().map(Option::unwrap_or_default).collect::<Vec<f64>>()
        };
        let mut sun = |series: Vec<f64>| -> Vec<f64> {
            negative += series.iter().filter(|value| **value < 0.0).count();
            series.into_iter().map(|value| value.max(0.0)).collect()
        };
        let horizontal = sun(column("sun on the level", |hour| hour.horizontal));
        let celsius = column("air temperature", |hour| hour.celsius);
        let has_both = hours.iter().any(|hour| hour.beam.is_some() && hour.diffuse.is_some());
        let beam_and_diffuse = has_both.then(|| {
            let beam = sun(column("beam", |hour| hour.beam));
            let diffuse = sun(column("diffuse", |hour| hour.diffuse));
            beam.into_iter().zip(diffuse).collect()
        });
        if negative > 0 {
            remarks.push(FileRemark::Negative { hours: negative });
        }
        if !has_both {
            remarks.push(FileRemark::NoBeam);
        }
        faults.or(Self {
            layout,
            station,
            remarks,
            hours: horizontal.into_iter().zip(celsius).collect(),
            beam_and_diffuse,
            wind: hours.iter().map(|hour| hour.wind).collect(),
            albedo: hours.iter().map(|hour| hour.albedo).collect(),
        })
    }

    /// The weather at a site: where the file lacks wind or albedo, the climate of the site stands in. Files of the two open
    /// layouts give the wind of a 10 m mast; ours gives it at the modules.
    pub fn weather(&self, sky: &Sky, climate: &Climate, modules: Meters) -> Weather {
        let reduced = match self.layout {
            Layout::Tmy3 | Layout::Epw => pow(modules.value().max(0.1) / MAST_M, WIND_EXPONENT),
            Layout::Own => 1.0,
        };
        let rest = self.wind.iter().zip(&self.albedo).zip(month_of_hours());
        let hours = self.hours.iter().zip(sky.hours()).zip(rest).enumerate();
        let hours = hours.map(|(hour, (((horizontal, celsius), sun), ((wind, albedo), month)))| {
            let given = self.beam_and_diffuse.as_ref().and_then(|both| both.get(hour).copied());
            let (beam, diffuse) = given.unwrap_or_else(|| crate::weather::split(sun, *horizontal));
            WeatherHour {
                horizontal: *horizontal,
                beam,
                diffuse,
                celsius: *celsius,
                wind: wind.map_or(climate.wind.of(month).value(), |wind| wind * reduced),
                albedo: albedo.unwrap_or(climate.albedo.of(month).share()),
            }
        });
        Weather::of(hours.collect())
    }

    /// Temperature of the air in each hour, °C.
    pub(super) fn temperatures(&self) -> impl Iterator<Item = f64> {
        self.hours.iter().map(|(_, celsius)| *celsius)
    }

    /// Mean daily sun and temperature by month.
    pub fn monthly(&self) -> ByMonth<(SunHours, Celsius)> {
        let mut sums = ByMonth::same((0.0, 0.0, 0.0));
        for ((horizontal, celsius), month) in self.hours.iter().zip(month_of_hours()) {
            let sum = sums.of_mut(month);
            *sum = (sum.0 + horizontal, sum.1 + celsius, sum.2 + 1.0);
        }
        sums.map(|(sun, celsius, hours)| {
            let hours: f64 = f64::max(hours, 1.0);
            (SunHours::new(sun / 1000.0 / (hours / 24.0)), Celsius::new(celsius / hours))
        })
    }

    /// The climate of the file's own year: where there are no records of the site, it stands in for them.
    pub fn climate(&self, defaults: &Defaults) -> Climate {
        let monthly = self.monthly();
        Climate::new(monthly.map(|(sun, _)| sun), monthly.map(|(_, air)| air), defaults)
    }

    /// What about the file does not fit the site: noon, months, place.
    pub fn check(&self, sky: &Sky, climate: &Climate) -> Vec<FileRemark> {
        let mut remarks = Vec::new();
        if let Some(station) = &self.station {
            let north = (station.latitude - sky.location().latitude()).value().abs();
            let east = (station.longitude - sky.location().longitude()).value().rem_euclid(360.0);
            if north > PLACE_STRAY || east.min(360.0 - east) > PLACE_STRAY {
                remarks.push(FileRemark::Elsewhere { station: station.name.clone() });
            }
        }
        let by_file = middle_of_day(self.hours.iter().map(|(horizontal, _)| *horizontal));
        let by_sun = middle_of_day(sky.hours().iter().map(|sun| sun.above_air));
        if let (Some(file), Some(sun)) = (by_file, by_sun)
            && (file - sun).abs() > NOON_STRAY
        {
            remarks.push(FileRemark::Noon { apart: Hours::new(file - sun) });
        }
        let monthly = self.monthly();
        for month in Month::ALL {
            let (file, _) = monthly.of(month);
            let records = climate.sun.of(month);
            if (file - records).abs() > records * MONTH_STRAY {
                remarks.push(FileRemark::Month { month, file, records });
            }
        }
        remarks
    }
}

/// Hour of the day around which the sun of the year lies. `None` without sun.
fn middle_of_day(hours: impl Iterator<Item = f64>) -> Option<f64> {
    let (mut sum, mut moment) = (0.0, 0.0);
    for (hour, sun) in hours.take(HOURS).enumerate() {
        sum += sun;
        moment += sun * ((hour % 24) as f64 + 0.5);
    }
    (sum > 0.0).then(|| moment / sum)
}
