//! One line of the load table, and which part of which hour it runs.

use crate::calendar::{ByMonth, weekday};
use lineside_core::project::{LoadCurrent, LoadItem, LoadPriority, Month};
use lineside_core::units::{Hours, Percent, Watts};

/// What happens when there is not enough.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, PartialOrd, Ord)]
pub enum LoadClass {
    /// Served first.
    Critical,
    /// Served next; may be shed.
    #[default]
    Normal,
    /// Waits for surplus, within the day.
    Deferrable,
}

/// On which days a load runs.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Days {
    /// So many days a week, evenly spread.
    PerWeek(f64),
    /// On these days of the week, Monday first.
    Weekdays([bool; 7]),
}

/// How a load is spread over its days.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Profile {
    /// Evenly over all hours.
    Flat,
    /// Without a pause from this hour of the day; may run over midnight.
    From(Hours),
    /// By weight of each hour.
    Weights([f64; 24]),
}

/// One line of the load table.
#[derive(Clone, Debug, PartialEq)]
pub struct Load {
    /// What it is.
    pub name: String,
    /// Power of one while it runs.
    pub power: Watts,
    /// How many.
    pub quantity: u32,
    /// Hours on a day of use.
    pub hours: Hours,
    /// Days of use.
    pub days: Days,
    /// How it is spread over the day.
    pub profile: Profile,
    /// AC or DC.
    pub current: LoadCurrent,
    /// What happens when there is not enough.
    pub class: LoadClass,
    /// Power factor.
    pub power_factor: Percent,
    /// How much of it runs in each month.
    pub seasons: ByMonth<Percent>,
}

/// Weights of the day where the brief gives them, else from the start on, else evenly.
fn profile(item: &LoadItem) -> Profile {
    if item.profile.is_empty() {
        return item.start.map_or(Profile::Flat, Profile::From);
    }
    Profile::Weights(std::array::from_fn(|hour| item.profile.get(hour).map_or(0.0, |weight| weight.value())))
}

impl Load {
    /// A line of the table of a brief. A DC load runs when it will, also when it is said to wait.
    pub fn of_item(item: &LoadItem) -> Self {
        let class = match (item.priority, item.current) {
            (LoadPriority::CanWait, LoadCurrent::Ac) => LoadClass::Deferrable,
            (LoadPriority::MustRun, _) | (LoadPriority::CanWait, LoadCurrent::Dc) => LoadClass::Normal,
        };
        let runs = |month| item.months.is_empty() || item.months.contains(&month);
        Self {
            name: item.name.clone(),
            power: item.power,
            quantity: item.quantity,
            hours: item.hours,
            days: Days::PerWeek(f64::from(item.days_per_week.min(7))),
            profile: profile(item),
            current: item.current,
            class,
            power_factor: item.power_factor.unwrap_or(Percent::new(100.0)),
            seasons: ByMonth(Month::ALL.map(|month| Percent::new(if runs(month) { 100.0 } else { 0.0 }))),
        }
    }

    /// Power of all of them, W.
    pub(super) fn watts(&self) -> f64 {
        self.power.value() * f64::from(self.quantity)
    }

    /// Reactive over active power.
    pub(super) fn reactive(&self) -> f64 {
        let factor = self.power_factor.share().clamp(0.1, 1.0);
        lineside_core::math::sqrt(1.0 - factor * factor) / factor
    }

    /// Whether it runs on a day of the year.
    pub(super) fn runs_on(&self, day: usize) -> bool {
        match self.days {
            Days::Weekdays(days) => days.get(weekday(day)).copied().unwrap_or(false),
            Days::PerWeek(days) => {
                let tenths = (10.0 * days.clamp(0.0, 7.0)).round();
                let passed = |day: usize| (day as f64 * tenths / 70.0).floor();
                passed(day + 1) > passed(day)
            }
        }
    }

    /// Part of each hour of a day in which it runs.
    pub(super) fn shares(&self) -> [f64; 24] {
        let hours = self.hours.value().clamp(0.0, 24.0);
        match self.profile {
            Profile::Flat => [hours / 24.0; 24],
            Profile::From(start) => {
                let start = start.value().rem_euclid(24.0);
                std::array::from_fn(|hour| {
                    let overlap = |shift: f64| {
                        let begins = (start + shift).max(hour as f64);
                        let ends = (start + shift + hours).min(hour as f64 + 1.0);
                        (ends - begins).max(0.0)
                    };
                    overlap(0.0) + overlap(-24.0)
                })
            }
            Profile::Weights(weights) => {
                let sum: f64 = weights.iter().sum();
                weights.map(|weight| if sum > 0.0 { hours * weight / sum } else { 0.0 })
            }
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn load(hours: f64, profile: Profile, days: Days) -> Load {
        Load {
            name: "pump".to_owned(),
            power: Watts::new(100.0),
            quantity: 2,
            hours: Hours::new(hours),
            days,
            profile,
            current: LoadCurrent::Ac,
            class: LoadClass::Normal,
            power_factor: Percent::new(80.0),
            seasons: ByMonth::same(Percent::new(100.0)),
        }
    }

    #[test]
    fn hours_of_a_day() {
        let every = Days::PerWeek(7.0);
        // From 22:30 for three hours: half an hour, a whole one, and one and a half after midnight.
        let night = load(3.0, Profile::From(Hours::new(22.5)), every).shares();
        assert_eq!((night[22], night[23], night[0], night[1], night[2]), (0.5, 1.0, 1.0, 0.5, 0.0));
        assert!(load(12.0, Profile::Flat, every).shares().iter().all(|share| (share - 0.5).abs() < 1e-15));
        let mut weights = [0.0; 24];
        (weights[6], weights[18]) = (1.0, 3.0);
        let twice = load(2.0, Profile::Weights(weights), every).shares();
        assert_eq!((twice[6], twice[18]), (0.5, 1.5));
        let never = load(2.0, Profile::Weights([0.0; 24]), every).shares();
        assert!(never.iter().sum::<f64>().abs() < 1e-15);
    }

    #[test]
    fn days_of_a_week() {
        let on = |days| (0..365).filter(|day| load(1.0, Profile::Flat, days).runs_on(*day)).count();
        assert_eq!((on(Days::PerWeek(7.0)), on(Days::PerWeek(0.0))), (365, 0));
        // Three days a week over 52 weeks and a day: 156 days, and one more may have come round.
        assert!((156..=157).contains(&on(Days::PerWeek(3.0))));
        // The year has 53 Wednesdays.
        assert_eq!(on(Days::Weekdays([false, false, true, false, false, false, false])), 53);
        // sin/cos of 0.8: 0.6/0.8.
        assert!((load(1.0, Profile::Flat, Days::PerWeek(7.0)).reactive() - 0.75).abs() < 1e-12);
    }
}
