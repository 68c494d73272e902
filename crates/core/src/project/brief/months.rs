//! Weather records by month, and where they come from.

use crate::units::{Celsius, CelsiusSpan, MetersPerSecond, Percent, SunHours};
use serde::{Deserialize, Serialize};

/// A month of the year.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
#[expect(missing_docs, reason = "months need no explanation")]
pub enum Month {
    January,
    February,
    March,
    April,
    May,
    June,
    July,
    August,
    September,
    October,
    November,
    December,
}

impl Month {
    /// All, in order.
    pub const ALL: [Self; 12] = [
        Self::January,
        Self::February,
        Self::March,
        Self::April,
        Self::May,
        Self::June,
        Self::July,
        Self::August,
        Self::September,
        Self::October,
        Self::November,
        Self::December,
    ];

    /// 1 for January.
    pub const fn number(self) -> usize {
        self as usize + 1
    }

    /// English name.
    pub const fn name(self) -> &'static str {
        match self {
            Self::January => "January",
            Self::February => "February",
            Self::March => "March",
            Self::April => "April",
            Self::May => "May",
            Self::June => "June",
            Self::July => "July",
            Self::August => "August",
            Self::September => "September",
            Self::October => "October",
            Self::November => "November",
            Self::December => "December",
        }
    }

    /// Days in a year without a leap day.
    pub const fn days(self) -> usize {
        match self {
            Self::February => 28,
            Self::April | Self::June | Self::September | Self::November => 30,
            Self::January
            | Self::March
            | Self::May
            | Self::July
            | Self::August
            | Self::October
            | Self::December => 31,
        }
    }
}

/// What the weather records say of one month.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct MonthlyMeans {
    /// The month.
    pub month: Month,
    /// Sun on the level, a day.
    pub sun: SunHours,
    /// Mean temperature.
    pub temperature: Celsius,
    /// Mean difference between the warmest and the coldest of a day.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub daily_range: Option<CelsiusSpan>,
    /// Mean wind at the modules.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub wind: Option<MetersPerSecond>,
    /// Share of sunlight that the ground throws back, where it differs from the site's.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub albedo: Option<Percent>,
    /// Share of sunlight lost to dirt on the modules.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub dirt: Option<Percent>,
    /// Share of sunlight lost to lying snow.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub snow: Option<Percent>,
}

impl MonthlyMeans {
    /// Sun and temperature alone.
    pub const fn new(month: Month, sun: SunHours, temperature: Celsius) -> Self {
        Self { month, sun, temperature, daily_range: None, wind: None, albedo: None, dirt: None, snow: None }
    }
}

/// Where the weather records of a brief come from.
#[derive(Clone, Debug, Default, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum WeatherSource {
    /// Nobody has said.
    #[default]
    Unstated,
    /// Measured or reanalyzed at or near the site, with what was said of them.
    Records(String),
    /// A generic climate by name stands in for records that nobody has brought yet.
    StandIn(String),
}

impl WeatherSource {
    /// Whether nobody has said.
    pub const fn is_unstated(&self) -> bool {
        matches!(self, Self::Unstated)
    }
}
