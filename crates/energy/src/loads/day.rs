//! A day of the load table: its energy, and its power hour by hour on a mean day of a month.

use super::table::Load;
use lineside_core::project::{LoadCurrent, LoadItem, LoadPriority, Month};
use lineside_core::units::{WattHours, Watts};

const WEEK: f64 = 7.0;

/// Days of use over days.
fn share_of_days(item: &LoadItem) -> f64 {
    f64::from(item.days_per_week.min(7)) / WEEK
}

/// Energy of a mean day of the months in which a load runs.
pub fn energy_of_day(item: &LoadItem) -> WattHours {
    WattHours::new(item.power.value() * f64::from(item.quantity) * item.hours.value() * share_of_days(item))
}

/// Mean power in each hour of a day.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct DayProfile {
    /// AC loads that must run.
    pub ac: [Watts; 24],
    /// DC loads.
    pub dc: [Watts; 24],
    /// AC loads that can wait, at the hours at which they would run if they did not.
    pub waiting: [Watts; 24],
}

/// The mean day of a month, by the table of the brief.
pub fn day_profile(items: &[LoadItem], month: Month) -> DayProfile {
    let mut profile = DayProfile::default();
    for item in items.iter().filter(|it| it.months.is_empty() || it.months.contains(&month)) {
        let load = Load::of_item(item);
        let hours = match (item.current, item.priority) {
            (LoadCurrent::Dc, _) => &mut profile.dc,
            (LoadCurrent::Ac, LoadPriority::MustRun) => &mut profile.ac,
            (LoadCurrent::Ac, LoadPriority::CanWait) => &mut profile.waiting,
        };
        let watts = load.watts() * share_of_days(item);
        for (hour, share) in hours.iter_mut().zip(load.shares()) {
            *hour += Watts::new(watts * share);
        }
    }
    profile
}

#[cfg(test)]
mod tests {
    use super::*;
    use lineside_core::units::Hours;

    fn item(watts: f64, hours: f64, start: Option<f64>, days_per_week: u32) -> LoadItem {
        LoadItem {
            name: "a load".to_owned(),
            power: Watts::new(watts),
            quantity: 2,
            hours: Hours::new(hours),
            days_per_week,
            start: start.map(Hours::new),
            profile: Vec::new(),
            surge: None,
            power_factor: None,
            current: LoadCurrent::Ac,
            priority: LoadPriority::MustRun,
            months: Vec::new(),
        }
    }

    #[test]
    fn a_mean_day() {
        let shop = LoadItem { months: vec![Month::June], ..item(700.0, 1.5, Some(9.0), 2) };
        // 2 × 700 W × 1.5 h × 2/7 = 600 Wh
        assert!((energy_of_day(&shop).value() - 600.0).abs() < 1e-9);
        let items = [
            item(12.0, 24.0, None, 7),
            shop,
            LoadItem { current: LoadCurrent::Dc, ..item(5.0, 2.0, Some(23.0), 7) },
            LoadItem { priority: LoadPriority::CanWait, ..item(100.0, 1.0, Some(12.0), 7) },
        ];
        let june = day_profile(&items, Month::June);
        // All day 2 × 12 W; from nine on 1400 W × 2/7 = 400 W for an hour, then for half of one.
        assert!((june.ac[8].value() - 24.0).abs() < 1e-9);
        assert!((june.ac[9].value() - 424.0).abs() < 1e-9 && (june.ac[10].value() - 224.0).abs() < 1e-9);
        // Over midnight.
        assert!((june.dc[23].value() - 10.0).abs() < 1e-9 && (june.dc[0].value() - 10.0).abs() < 1e-9);
        assert!((june.waiting[12].value() - 200.0).abs() < 1e-9);
        let may = day_profile(&items, Month::May);
        assert!((may.ac[9].value() - 24.0).abs() < 1e-9);
    }
}
