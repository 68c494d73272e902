//! What of a brief cannot be: hours beyond a day, a share above a hundred, a month given twice.
//!
//! Limits of the site's own fields stand with them in `site.rs`. What is merely doubtful is the `energy` crate's to tell.

use super::{Brief, Goals, LoadItem, MonthlyMeans, OutagePattern};
use crate::units::text::{self, UnitSystem};
use crate::units::{Quantity, Unit};

/// A value of a brief that cannot be.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
#[error("{place}: expected {expected}, found {found}")]
pub struct BriefFault {
    /// Of what: a load by its name, a month, a goal.
    pub place: String,
    /// What can be.
    pub expected: String,
    /// What stands there.
    pub found: String,
}

/// Greatest power of one load, W.
const MOST_WATTS: f64 = 1e7;
/// Most of one load.
const MOST_PIECES: u32 = 10_000;
/// Most outages that a year can hold: one in every hour.
const MOST_OUTAGES: u32 = 8760;
/// Hours of a year.
const YEAR_HOURS: f64 = 8760.0;
/// Longest design life, years.
const LONGEST_LIFE: u32 = 100;
/// Hours of a day: as many weights as a profile has.
const DAY_HOURS: usize = 24;

struct Check {
    faults: Vec<BriefFault>,
}

impl Check {
    fn within(&mut self, place: &str, what: &str, value: impl Into<Quantity>, low: f64, high: f64) {
        let value: Quantity = value.into();
        if (low..=high).contains(&value.value) {
            return;
        }
        let write = |value, unit| text::plain(Quantity { value, unit }, UnitSystem::Si);
        self.faults.push(BriefFault {
            place: format!("{place}, {what}"),
            expected: format!("{} to {}", write(low, value.unit), write(high, value.unit)),
            found: write(value.value, value.unit),
        });
    }

    fn count(&mut self, place: &str, what: &str, value: u32, low: u32, high: u32) {
        let one = |number: u32| Quantity { value: f64::from(number), unit: Unit::One };
        self.within(place, what, one(value), f64::from(low), f64::from(high));
    }

    fn other(&mut self, place: String, expected: &str, found: String) {
        self.faults.push(BriefFault { place, expected: expected.to_owned(), found });
    }

    fn load(&mut self, number: usize, load: &LoadItem) {
        let name = if load.name.trim().is_empty() {
            format!("load {number}")
        } else {
            format!("load “{}”", load.name)
        };
        self.within(&name, "power", load.power, 0.0, MOST_WATTS);
        self.count(&name, "quantity", load.quantity, 0, MOST_PIECES);
        self.within(&name, "hours", load.hours, 0.0, 24.0);
        self.count(&name, "days a week", load.days_per_week, 0, 7);
        if let Some(start) = load.start {
            self.within(&name, "start", start, 0.0, 24.0);
        }
        if let Some(surge) = load.surge {
            self.within(&name, "surge", surge, 0.0, 10.0 * MOST_WATTS);
        }
        if let Some(factor) = load.power_factor {
            self.within(&name, "power factor", factor, 10.0, 100.0);
        }
        if !load.profile.is_empty() && load.profile.len() != DAY_HOURS {
            let found = format!("{} of them", load.profile.len());
            self.other(format!("{name}, day profile"), "a weight for each of 24 hours", found);
        }
        for weight in &load.profile {
            self.within(&name, "day profile", *weight, 0.0, 1e6);
        }
        if let Some(twice) = twice(&load.months) {
            self.other(format!("{name}, months"), "each month once", format!("{} twice", twice.name()));
        }
    }

    fn month(&mut self, means: &MonthlyMeans) {
        let name = means.month.name();
        self.within(name, "sun", means.sun, 0.0, 14.0);
        self.within(name, "temperature", means.temperature, -90.0, 60.0);
        if let Some(range) = means.daily_range {
            self.within(name, "daily range", range, 0.0, 40.0);
        }
        if let Some(wind) = means.wind {
            self.within(name, "wind", wind, 0.0, 60.0);
        }
        for (what, share) in [("albedo", means.albedo), ("dirt", means.dirt), ("snow", means.snow)] {
            if let Some(share) = share {
                self.within(name, what, share, 0.0, 100.0);
            }
        }
    }

    fn goals(&mut self, goals: &Goals) {
        let mut hours = |what, value: Option<crate::units::Hours>, most| {
            if let Some(value) = value {
                self.within("goals", what, value, 0.0, most);
            }
        };
        hours("reserve", goals.reserve, YEAR_HOURS);
        hours("generator hours", goals.generator_hours, YEAR_HOURS);
        hours("quiet from", goals.quiet_hours.map(|it| it.0), 24.0);
        hours("quiet to", goals.quiet_hours.map(|it| it.1), 24.0);
        if let Some(share) = goals.unmet_share {
            self.within("goals", "unmet share", share, 0.0, 100.0);
        }
        if let Some(growth) = goals.growth {
            self.within("goals", "growth", growth, -90.0, 1000.0);
        }
        if let Some(years) = goals.design_life_years {
            self.count("goals", "design life, years", years, 1, LONGEST_LIFE);
        }
        if let Some(budget) = goals.budget.filter(rust_decimal::Decimal::is_sign_negative) {
            self.other("goals, budget".to_owned(), "nothing below zero", budget.to_string());
        }
        if let Some(OutagePattern { per_year, mean, longest }) = goals.outages {
            self.count("goals", "outages a year", per_year, 0, MOST_OUTAGES);
            self.within("goals", "mean outage", mean, 0.0, YEAR_HOURS);
            if let Some(longest) = longest {
                self.within("goals", "longest outage", longest, 0.0, YEAR_HOURS);
            }
        }
    }
}

/// The first that comes a second time.
fn twice<T: PartialEq + Copy>(items: &[T]) -> Option<T> {
    items.iter().enumerate().find_map(|(at, item)| {
        let earlier = items.get(..at).unwrap_or_default();
        earlier.contains(item).then_some(*item)
    })
}

impl Brief {
    /// Everything that cannot be, besides the site's own fields. Doubtful input is not a fault.
    pub fn faults(&self) -> Vec<BriefFault> {
        let mut check = Check { faults: Vec::new() };
        for (at, load) in self.loads.iter().enumerate() {
            check.load(at + 1, load);
        }
        for means in &self.months {
            check.month(means);
        }
        let months: Vec<_> = self.months.iter().map(|means| means.month).collect();
        if let Some(month) = twice(&months) {
            check.other("weather records".to_owned(), "each month once", format!("{} twice", month.name()));
        }
        for point in &self.horizon {
            check.within("horizon", "azimuth", point.azimuth, 0.0, 360.0);
            check.within("horizon", "height", point.height, 0.0, 90.0);
        }
        check.goals(&self.goals);
        check.faults
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::project::{LoadCurrent, LoadPriority, Month};
    use crate::units::{Celsius, Hours, Percent, SunHours, Watts};

    fn lamp() -> LoadItem {
        LoadItem {
            name: "Lamp".to_owned(),
            power: Watts::new(10.0),
            quantity: 4,
            hours: Hours::new(5.0),
            days_per_week: 7,
            start: Some(Hours::new(18.0)),
            profile: Vec::new(),
            surge: None,
            power_factor: None,
            current: LoadCurrent::Ac,
            priority: LoadPriority::MustRun,
            months: Vec::new(),
        }
    }

    fn faults(change: impl FnOnce(&mut Brief)) -> Vec<String> {
        let may = MonthlyMeans::new(Month::May, SunHours::new(5.0), Celsius::new(12.0));
        let mut brief = Brief { loads: vec![lamp()], months: vec![may], ..Brief::default() };
        change(&mut brief);
        brief.faults().iter().map(ToString::to_string).collect()
    }

    #[test]
    fn what_can_be_passes() {
        assert!(faults(|_| {}).is_empty());
        let weights = |brief: &mut Brief| brief.loads[0].profile = vec![Percent::new(1.0); 24];
        assert!(faults(weights).is_empty());
        assert!(
            faults(|brief| brief.goals.quiet_hours = Some((Hours::new(22.0), Hours::new(7.0)))).is_empty()
        );
    }

    #[test]
    fn what_cannot_be_is_named() {
        let check = |change: fn(&mut Brief), words: &[&str]| {
            let found = faults(change);
            assert_eq!(found.len(), 1, "{found:?}");
            assert!(words.iter().all(|word| found[0].contains(word)), "{found:?}");
        };
        check(|brief| brief.loads[0].hours = Hours::new(25.0), &["“Lamp”, hours", "24 h", "25 h"]);
        check(|brief| brief.loads[0].days_per_week = 8, &["days a week", "0 to 7", "found 8"]);
        check(|brief| brief.loads[0].power = Watts::new(-5.0), &["power", "−5 W"]);
        check(|brief| brief.loads[0].profile = vec![Percent::new(1.0); 7], &["24 hours", "7 of them"]);
        check(|brief| brief.loads[0].power_factor = Some(Percent::new(0.0)), &["power factor"]);
        check(|brief| brief.months[0].snow = Some(Percent::new(101.0)), &["May, snow"]);
        check(|brief| brief.months.push(brief.months[0]), &["May twice"]);
        check(|brief| brief.goals.unmet_share = Some(Percent::new(120.0)), &["unmet share"]);
        check(|brief| brief.goals.budget = Some("-1".parse().unwrap()), &["budget", "-1"]);
        check(|brief| brief.goals.design_life_years = Some(0), &["design life"]);
    }
}
