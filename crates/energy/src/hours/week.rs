//! The worst week of a year: the seven days on end that a design is judged by.

use crate::year::Hour;
use lineside_core::units::{Percent, WattHours};

/// Days of a week.
pub const WEEK_DAYS: usize = 7;
const HOURS_OF_DAY: usize = 24;

/// Seven days on end.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Week {
    /// The first day, counted from nought from the start of the hours.
    pub first_day: usize,
    /// What loads that could not wait went short of.
    pub unmet: WattHours,
    /// Lowest charge of the bank.
    pub lowest: Percent,
    /// Mean charge of the bank.
    pub mean: Percent,
}

impl Week {
    /// Its hours, as places in the year.
    pub const fn hours(&self) -> std::ops::Range<usize> {
        self.first_day * HOURS_OF_DAY..(self.first_day + WEEK_DAYS) * HOURS_OF_DAY
    }
}

/// The week in which most goes unmet; where nothing does, and among equals, the one with the least charge on average. The
/// first of several alike. `None` of less than a week.
pub fn worst_week(hours: &[Hour]) -> Option<Week> {
    let days: Vec<Day> = hours.chunks_exact(HOURS_OF_DAY).map(Day::of).collect();
    let weeks = days.windows(WEEK_DAYS).enumerate().map(|(first_day, days)| {
        let charge: f64 = days.iter().map(|day| day.charge).sum();
        Week {
            first_day,
            unmet: WattHours::new(days.iter().map(|day| day.unmet).sum()),
            lowest: Percent::new(days.iter().map(|day| day.lowest).fold(f64::INFINITY, f64::min)),
            mean: Percent::new(charge / (WEEK_DAYS * HOURS_OF_DAY) as f64),
        }
    });
    weeks.reduce(|worst, week| if is_worse(&week, &worst) { week } else { worst })
}

/// Energy that nobody notices, Wh.
const NOTICED: f64 = 1e-3;

fn is_worse(week: &Week, than: &Week) -> bool {
    let more = week.unmet.value() - than.unmet.value();
    if more.abs() > NOTICED { more > 0.0 } else { week.mean < than.mean }
}

/// Sums of a day: Wh unmet, sum and least of the charge in percent.
struct Day {
    unmet: f64,
    charge: f64,
    lowest: f64,
}

impl Day {
    fn of(hours: &[Hour]) -> Self {
        let charges = || hours.iter().map(|hour| hour.state_of_charge.value());
        Self {
            unmet: hours.iter().map(|hour| hour.unmet.value()).sum(),
            charge: charges().sum(),
            lowest: charges().fold(f64::INFINITY, f64::min),
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use lineside_core::units::{Celsius, Watts, WattsPerSquareMeter};

    fn hour(charge: f64, unmet: f64) -> Hour {
        Hour {
            level_sun: WattsPerSquareMeter::ZERO,
            plane_sun: WattsPerSquareMeter::ZERO,
            cells: Celsius::ZERO,
            sun_potential: Watts::ZERO,
            controllers: Watts::ZERO,
            pv_inverters: Watts::ZERO,
            ac_demand: Watts::ZERO,
            ac_served: Watts::ZERO,
            waiting_served: Watts::ZERO,
            dc_served: Watts::ZERO,
            charge: Watts::ZERO,
            discharge: Watts::ZERO,
            state_of_charge: Percent::new(charge),
            battery: Celsius::ZERO,
            generator: Watts::ZERO,
            import: Watts::ZERO,
            export: Watts::ZERO,
            unmet: Watts::new(unmet),
            curtailed: Watts::ZERO,
            stopped_by: None,
        }
    }

    /// Twenty days at 80 %, with single hours changed.
    fn days(changed: &[(usize, f64, f64)]) -> Vec<Hour> {
        let mut hours = vec![hour(80.0, 0.0); 20 * 24];
        for (at, charge, unmet) in changed {
            hours[*at] = hour(*charge, *unmet);
        }
        hours
    }

    #[test]
    fn the_week_with_most_unmet_is_the_worst() {
        // 300 W in an hour of the tenth day and 200 W in one of the sixteenth: seven days apart at least, so no week
        // holds both but that of days 9 to 15.
        let found = worst_week(&days(&[(9 * 24 + 3, 20.0, 300.0), (15 * 24 + 5, 25.0, 200.0)])).unwrap();
        assert_eq!(
            (found.first_day, found.unmet, found.lowest),
            (9, WattHours::new(500.0), Percent::new(20.0))
        );
        assert_eq!(found.hours(), 216..384);
        // 166 hours at 80, one at 20, one at 25: (13,280 + 45) / 168 = 79.315 %
        assert!((found.mean.value() - 13_325.0 / 168.0).abs() < 1e-9);
    }

    #[test]
    fn without_anything_unmet_it_is_the_emptiest() {
        // 50 % on the third day and 60 % on the eighteenth: days 0 to 2 hold the former first in the week of day 0.
        let found = worst_week(&days(&[(2 * 24, 50.0, 0.0), (17 * 24, 60.0, 0.0)])).unwrap();
        assert_eq!((found.first_day, found.unmet, found.lowest), (0, WattHours::ZERO, Percent::new(50.0)));
        assert_eq!(worst_week(&days(&[])[..6 * 24]), None);
    }
}
