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

impl LoadItem {
    /// Whether it runs in a month.
    pub fn runs_in(&self, month: Month) -> bool {
        self.months.is_empty() || self.months.contains(&month)
    }
}

/// Loads that may run at once: those of the month in which most power of that current is connected. What runs in other
/// months only does not come on top.
pub fn loads_at_once(loads: &[LoadItem], current: LoadCurrent) -> Vec<&LoadItem> {
    let of_month = |month: Month| {
        let loads = loads.iter().filter(move |it| it.current == current && it.runs_in(month));
        loads.collect::<Vec<_>>()
    };
    let power =
        |loads: &Vec<&LoadItem>| -> Watts { loads.iter().map(|it| it.power * f64::from(it.quantity)).sum() };
    let months = Month::ALL.into_iter().map(of_month);
    // Of equal months the first.
    months.reduce(|best, next| if power(&next) > power(&best) { next } else { best }).unwrap_or_default()
}

#[cfg(test)]
mod tests {
    use super::*;

    fn load(watts: f64, months: &[Month]) -> LoadItem {
        LoadItem {
            name: String::new(),
            power: Watts::new(watts),
            quantity: 2,
            hours: Hours::new(1.0),
            days_per_week: 7,
            start: None,
            profile: Vec::new(),
            surge: None,
            power_factor: None,
            current: LoadCurrent::Ac,
            priority: LoadPriority::MustRun,
            months: months.to_vec(),
        }
    }

    #[test]
    fn loads_of_different_months_do_not_add_up() {
        let radio = LoadItem { current: LoadCurrent::Dc, ..load(5000.0, &[Month::July]) };
        let loads = [
            load(100.0, &[]),
            load(900.0, &[Month::January]),
            load(400.0, &[Month::June, Month::July]),
            radio,
        ];
        let watts =
            |current| loads_at_once(&loads, current).iter().map(|it| it.power.value()).collect::<Vec<_>>();
        assert_eq!(watts(LoadCurrent::Ac), [100.0, 900.0]);
        assert_eq!(watts(LoadCurrent::Dc), [5000.0]);
        assert!(loads_at_once(&[], LoadCurrent::Ac).is_empty());
    }
}
