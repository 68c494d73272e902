//! The load table of a brief.

use super::months::Month;
use crate::units::{Hours, Percent, Watts};
use serde::{Deserialize, Serialize};

/// Whether a load takes AC or DC.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum LoadCurrent {
    /// AC.
    #[default]
    Ac,
    /// DC.
    Dc,
}

/// Whether a load may wait for the sun.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum LoadPriority {
    /// It must run.
    #[default]
    MustRun,
    /// It can wait.
    CanWait,
}

/// One line of the load table.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct LoadItem {
    /// What it is.
    pub name: String,
    /// Power of one.
    pub power: Watts,
    /// How many.
    pub quantity: u32,
    /// Hours on a day of use.
    pub hours: Hours,
    /// Days of use in a week.
    pub days_per_week: u32,
    /// Hour of the day at which it starts, 0 to 24.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub start: Option<Hours>,
    /// Weight of each hour of the day, from midnight on, instead of a start; empty when a start or nothing is known.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub profile: Vec<Percent>,
    /// Power while it starts.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub surge: Option<Watts>,
    /// Power factor.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub power_factor: Option<Percent>,
    /// AC or DC.
    #[serde(default)]
    pub current: LoadCurrent,
    /// Whether it may wait.
    #[serde(default)]
    pub priority: LoadPriority,
    /// Months in which it runs; empty for all of them.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub months: Vec<Month>,
}
