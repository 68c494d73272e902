//! Weather made from monthly means, the same for the same seed.
//!
//! A *typical* year keeps the means exactly. *Random* years differ, and keep them in the long run.

use super::beam_and_diffuse::split;
use super::clearness::Clearness;
use super::day_hours::fill;
use super::temperature::{course, daily_means, depart, range_of};
use super::{Weather, WeatherHour};
use crate::calendar::{ByMonth, DAYS, HOURS, months};
use crate::random::{Purpose, Stream};
use crate::site::Climate;
use crate::sun::Sky;
use crate::tables::Defaults;
use lineside_core::math::{erfc, sqrt};
use lineside_core::project::Month;
use lineside_core::units::Celsius;
use std::fmt;

/// Something about the records that a person should know.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum WeatherRemark {
    /// The sun does not rise in a month, so the sun recorded for it cannot be used.
    NoSun(Month),
    /// A month is clearer than any known: its sun is doubtful.
    TooClear {
        /// The month.
        month: Month,
        /// Its clearness.
        clearness: f64,
    },
    /// The hours of a month had to be scaled far to meet its total.
    Scaled {
        /// The month.
        month: Month,
        /// By what.
        factor: f64,
    },
}

impl fmt::Display for WeatherRemark {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::NoSun(month) => {
                write!(
                    f,
                    "the sun does not rise in {}: what the records give for it is not used",
                    month.name()
                )
            }
            Self::TooClear { month, clearness } => write!(
                f,
                "{} is said to get {:.0} % of the sun above the air; clear deserts get 80 %: check the records",
                month.name(),
                clearness * 100.0
            ),
            Self::Scaled { month, factor } => write!(
                f,
                "the hours made for {} were multiplied by {factor:.2} to meet its total: sun and turbidity disagree",
                month.name()
            ),
        }
    }
}

/// How the hours of a month came about.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct MadeMonth {
    /// Mean clearness: sun on the level over sun above the air.
    pub clearness: f64,
    /// What the hours were multiplied by to meet the total.
    pub factor: f64,
}

/// A year of weather and how it came about.
#[derive(Clone, Debug, PartialEq)]
pub struct MadeWeather {
    /// The weather.
    pub weather: Weather,
    /// Clearness of each day.
    pub clearness_of_day: Vec<f64>,
    /// How each month came about.
    pub months: ByMonth<MadeMonth>,
    /// What a person should know.
    pub remarks: Vec<WeatherRemark>,
}

/// The typical year: monthly totals and means are the records'.
pub fn typical(sky: &Sky, climate: &Climate, defaults: &Defaults, seed: u64) -> MadeWeather {
    Maker { sky, climate, defaults, seed, year: 0 }.make()
}

/// A random year, numbered from 1.
pub fn random(sky: &Sky, climate: &Climate, defaults: &Defaults, seed: u64, year: u32) -> MadeWeather {
    Maker { sky, climate, defaults, seed, year: year.max(1) }.make()
}

/// Months with less sun above the air than this, Wh/m² a day, have no spread of days.
const TWILIGHT: f64 = 50.0;
/// Correlation of a day's clearness with the day before [Graham, Hollands & Unny 1988].
const DAY_MEMORY: f64 = 0.29;
/// Deviation of the factor of a whole year, and its bounds.
const YEAR_SPREAD: f64 = 0.03;
const YEAR_BOUNDS: (f64, f64) = (0.85, 1.15);
/// Clearness above which records are doubted.
const DOUBTFUL_CLEARNESS: f64 = 0.80;
/// Factors within these are what the method is known to need.
const USUAL_FACTORS: std::ops::RangeInclusive<f64> = 0.9..=1.1;

struct Maker<'a> {
    sky: &'a Sky,
    climate: &'a Climate,
    defaults: &'a Defaults,
    seed: u64,
    /// 0 for the typical year.
    year: u32,
}

impl Maker<'_> {
    fn stream(&self, purpose: Purpose) -> Stream {
        Stream::new(self.seed, self.year, purpose)
    }

    fn make(&self) -> MadeWeather {
        let mut made = MadeWeather {
            weather: Weather::default(),
            clearness_of_day: self.clearness_of_day(),
            months: ByMonth::same(MadeMonth::default()),
            remarks: Vec::new(),
        };
        let mut horizontal = self.hours(&made.clearness_of_day);
        self.meet_totals(&mut made, &mut horizontal);
        made.weather = Weather::of(self.with_air(&horizontal, &made.months));
        made
    }

    /// Mean clearness of a month; nothing where the sun does not rise.
    fn clearness(&self, month: Month) -> f64 {
        let above = self.sky.above_air(month).value();
        if above > 0.0 { self.climate.sun.of(month).value() / above } else { 0.0 }
    }

    /// Clearness of each day: the spread of its month in a natural order.
    fn clearness_of_day(&self) -> Vec<f64> {
        let stream = self.stream(Purpose::DailyClearness);
        let fresh = sqrt(1.0 - DAY_MEMORY * DAY_MEMORY);
        let mut before = stream.normal(0);
        let deviates: Vec<f64> = (1..=DAYS as u64)
            .map(|n| {
                before = DAY_MEMORY * before + fresh * stream.normal(n);
                before
            })
            .collect();
        let mut found = Vec::with_capacity(DAYS);
        for (month, first, days) in months() {
            let mean = self.clearness(month);
            let deviates = deviates.get(first..first + days).unwrap_or_default();
            if self.sky.above_air(month).value() * 1000.0 < TWILIGHT {
                found.extend(std::iter::repeat_n(mean.min(1.0), days));
                continue;
            }
            let spread = Clearness::around(mean);
            if self.year == 0 {
                found.extend(shares_by_rank(deviates).map(|u| spread.quantile(u)));
            } else {
                let share = |deviate: &f64| 0.5 * erfc(-deviate / std::f64::consts::SQRT_2);
                found.extend(deviates.iter().map(|deviate| spread.quantile(share(deviate))));
            }
        }
        found
    }

    /// Sun on the level in every hour, W/m², before monthly totals are met.
    fn hours(&self, clearness_of_day: &[f64]) -> Vec<f64> {
        let stream = self.stream(Purpose::Hours);
        let mut hours = vec![0.0; HOURS];
        let days = hours.chunks_mut(24).zip(self.sky.hours().chunks(24));
        for (((day, suns), clearness), first) in days.zip(clearness_of_day).zip((0..).step_by(24)) {
            fill(suns, *clearness, stream, first, day);
        }
        hours
    }

    fn meet_totals(&self, made: &mut MadeWeather, horizontal: &mut [f64]) {
        let year = if self.year == 0 {
            1.0
        } else {
            let (low, high) = YEAR_BOUNDS;
            (1.0 + YEAR_SPREAD * self.stream(Purpose::YearFactor).normal(0)).clamp(low, high)
        };
        for (month, first, days) in months() {
            let above = self.sky.above_air(month).value() * 1000.0;
            let recorded = self.climate.sun.of(month).value() * 1000.0 * days as f64;
            let of_days = made.clearness_of_day.iter().zip(self.sky.above_air_of_day());
            let target = if above <= 0.0 {
                0.0
            } else if self.year == 0 || above < TWILIGHT {
                year * recorded
            } else {
                year * of_days.skip(first).take(days).map(|(k, above)| k * above).sum::<f64>()
            };
            let Some(hours) = horizontal.get_mut(first * 24..(first + days) * 24) else { continue };
            let sum: f64 = hours.iter().sum();
            let factor = if sum > 0.0 { target / sum } else { 1.0 };
            for hour in hours {
                *hour *= factor;
            }
            *made.months.of_mut(month) = MadeMonth { clearness: self.clearness(month), factor };
            if above <= 0.0 && recorded > 0.0 {
                made.remarks.push(WeatherRemark::NoSun(month));
            } else if self.clearness(month) > DOUBTFUL_CLEARNESS && above >= TWILIGHT {
                made.remarks.push(WeatherRemark::TooClear { month, clearness: self.clearness(month) });
            } else if !USUAL_FACTORS.contains(&factor) {
                made.remarks.push(WeatherRemark::Scaled { month, factor });
            }
        }
    }

    /// Adds beam, diffuse, air, wind and ground to the sun on the level.
    fn with_air(&self, horizontal: &[f64], made: &ByMonth<MadeMonth>) -> Vec<WeatherHour> {
        let least = self.defaults.least_range.value();
        let ranges = ByMonth(Month::ALL.map(|month| match &self.climate.range {
            Some(range) => range.of(month).value(),
            None => range_of(made.of(month).clearness, least),
        }));
        let mut means = daily_means(&self.climate.temperature.map(Celsius::value));
        if self.year > 0 {
            depart(&mut means, self.stream(Purpose::Temperature));
        }
        let course = course();
        let mut hours = Vec::with_capacity(HOURS);
        let mut suns = self.sky.hours().iter().zip(horizontal);
        let mut means = means.into_iter();
        for (month, _, days) in months() {
            let (range, wind) = (ranges.of(month), self.climate.wind.of(month).value());
            let albedo = self.climate.albedo.of(month).share();
            for mean in means.by_ref().take(days) {
                for (part, (sun, horizontal)) in course.iter().zip(suns.by_ref()) {
                    let (beam, diffuse) = split(sun, *horizontal);
                    let celsius = mean + range * part;
                    hours.push(WeatherHour { horizontal: *horizontal, beam, diffuse, celsius, wind, albedo });
                }
            }
        }
        hours
    }
}

/// For each day the middle of its rank's share, dullest first; ties by date.
fn shares_by_rank(deviates: &[f64]) -> impl Iterator<Item = f64> {
    let mut order: Vec<usize> = (0..deviates.len()).collect();
    order.sort_by(|a, b| match (deviates.get(*a), deviates.get(*b)) {
        (Some(a), Some(b)) => a.total_cmp(b),
        _ => std::cmp::Ordering::Equal,
    });
    let mut shares = vec![0.0; deviates.len()];
    for (rank, day) in order.into_iter().enumerate() {
        if let Some(share) = shares.get_mut(day) {
            *share = (rank as f64 + 0.5) / deviates.len() as f64;
        }
    }
    shares.into_iter()
}
