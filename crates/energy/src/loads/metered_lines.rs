//! What a meter saw, as lines of a load table: one for each month and current.

use super::Metered;
use crate::calendar::{ByMonth, month_of_hours};
use lineside_core::project::{LoadCurrent, LoadItem, LoadPriority, Month};
use lineside_core::units::{Hours, Percent, Watts};

/// Hours of a day.
const DAY: usize = 24;

impl Metered {
    /// Lines that have the energy of each month, the mean course of its days, and its greatest hour as power. A month
    /// without use has no line.
    pub fn lines(&self) -> Vec<LoadItem> {
        [(LoadCurrent::Ac, &self.ac), (LoadCurrent::Dc, &self.dc)]
            .into_iter()
            .flat_map(|(current, watts)| of_current(current, watts, self.power_factor))
            .collect()
    }
}

fn of_current(current: LoadCurrent, watts: &[Watts], power_factor: Percent) -> Vec<LoadItem> {
    // Sums by hour of the day, and the greatest hour.
    let mut sums = ByMonth::same(([0.0; DAY], 0.0));
    for (hour, (watts, month)) in watts.iter().zip(month_of_hours()).enumerate() {
        let (by_hour, greatest) = sums.of_mut(month);
        if let Some(sum) = by_hour.get_mut(hour % DAY) {
            *sum += watts.value();
        }
        *greatest = f64::max(*greatest, watts.value());
    }
    let line = |month: Month| {
        let (by_hour, greatest) = sums.of(month);
        let means = by_hour.map(|sum| sum / month.days() as f64);
        let daily: f64 = means.iter().sum();
        (greatest > 0.0).then(|| LoadItem {
            name: format!("Metered, {}", month.name()),
            power: Watts::new(greatest),
            quantity: 1,
            hours: Hours::new(daily / greatest),
            days_per_week: 7,
            start: None,
            profile: means.map(|mean| Percent::new(100.0 * mean / daily)).to_vec(),
            surge: None,
            power_factor: (current == LoadCurrent::Ac).then_some(power_factor),
            current,
            priority: LoadPriority::MustRun,
            months: vec![month],
        })
    };
    Month::ALL.into_iter().filter_map(line).collect()
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::calendar::HOURS;
    use crate::loads::day_profile;
    use lineside_core::project::Brief;

    #[test]
    fn energy_course_and_greatest_hour_are_kept() {
        // 100 W in every hour, 500 W from 18 to 19 o'clock, 2000 W once, at noon of 1 January; no DC but in July, 10 W.
        let mut ac: Vec<Watts> =
            (0..HOURS).map(|hour| Watts::new(if hour % 24 == 18 { 500.0 } else { 100.0 })).collect();
        ac[12] = Watts::new(2000.0);
        let dc =
            month_of_hours().map(|month| Watts::new(if month == Month::July { 10.0 } else { 0.0 })).collect();
        let metered = Metered { ac, dc, critical: Percent::ZERO, power_factor: Percent::new(100.0) };
        let lines = metered.lines();
        assert_eq!(lines.len(), 13);
        assert_eq!((lines[0].power, lines[1].power), (Watts::new(2000.0), Watts::new(500.0)));
        // January: 23 × 100 + 500 + 1900/31 Wh a day.
        let daily = |line: &LoadItem| line.power.value() * line.hours.value();
        assert!((daily(&lines[0]) - (2800.0 + 1900.0 / 31.0)).abs() < 1e-9);
        assert!((daily(&lines[1]) - 2800.0).abs() < 1e-9);
        let february = day_profile(&lines, Month::February);
        assert!(
            (february.ac[18].value() - 500.0).abs() < 1e-9 && (february.ac[3].value() - 100.0).abs() < 1e-9
        );
        assert!((day_profile(&lines, Month::July).dc[0].value() - 10.0).abs() < 1e-9);
        assert_eq!(Brief { loads: lines, ..Brief::default() }.faults(), Vec::new());
    }
}
