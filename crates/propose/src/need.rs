//! What the loads of a brief ask of a system: energy by month, power at once, starts.

use lineside_core::project::{LoadCurrent, LoadItem, LoadPriority, loads_at_once};
use lineside_core::units::{Percent, VoltAmps, WattHours, Watts};
use lineside_energy::ByMonth;

/// What the loads ask of a system.
#[derive(Clone, Debug, PartialEq)]
pub struct Need {
    /// AC energy of a mean day of each month.
    pub ac: ByMonth<WattHours>,
    /// DC energy of a mean day of each month.
    pub dc: ByMonth<WattHours>,
    /// Every AC load at once.
    pub connected: Watts,
    /// The same in volt-amperes.
    pub apparent: VoltAmps,
    /// The worst start while everything else runs.
    pub surge: Watts,
    /// Largest mean of an hour of AC, loads that can wait left out.
    pub largest_hour: Watts,
    /// Share of the energy that is used between nine and sixteen o'clock, 0 to 1.
    day_share: f64,
}

const DAY: [usize; 2] = [9, 16];

/// Hours of a load in each hour of the day: by its profile, or from its start, wrapping at midnight, else spread evenly.
fn hours_of_day(load: &LoadItem) -> [f64; 24] {
    let hours = load.hours.value().clamp(0.0, 24.0);
    let weights: f64 = load.profile.iter().map(|weight| weight.value()).sum();
    if weights > 0.0 {
        let of_hour = |hour: usize| load.profile.get(hour).map_or(0.0, |weight| weight.value());
        return std::array::from_fn(|hour| hours * of_hour(hour) / weights);
    }
    let Some(start) = load.start else { return [hours / 24.0; 24] };
    let from = start.value().rem_euclid(24.0);
    std::array::from_fn(|hour| {
        let low = hour as f64;
        let overlap = |shift: f64| ((from + hours).min(low + shift + 1.0) - from.max(low + shift)).max(0.0);
        overlap(0.0) + overlap(24.0)
    })
}

impl Need {
    /// Of the loads of a brief.
    pub fn of(loads: &[LoadItem]) -> Self {
        let mut need = Self {
            ac: ByMonth::same(WattHours::ZERO),
            dc: ByMonth::same(WattHours::ZERO),
            connected: Watts::ZERO,
            apparent: VoltAmps::ZERO,
            surge: Watts::ZERO,
            largest_hour: Watts::ZERO,
            day_share: 0.0,
        };
        let (mut by_hour, mut all, mut by_day) = ([0.0; 24], 0.0, 0.0);
        for load in loads {
            let power = load.power * f64::from(load.quantity);
            let daily = WattHours::new(
                power.value() * load.hours.value() * f64::from(load.days_per_week.min(7)) / 7.0,
            );
            let sums = match load.current {
                LoadCurrent::Ac => &mut need.ac,
                LoadCurrent::Dc => &mut need.dc,
            };
            let months: Vec<_> = sums.iter().map(|(month, _)| month).collect();
            for month in months.into_iter().filter(|it| load.months.is_empty() || load.months.contains(it)) {
                *sums.of_mut(month) += daily;
            }
            let hours = hours_of_day(load);
            let counts = if load.months.is_empty() { 12.0 } else { load.months.len() as f64 };
            for (hour, share) in hours.iter().enumerate() {
                let energy = daily.value() * counts * share / load.hours.value().max(f64::MIN_POSITIVE);
                all += energy;
                if (DAY[0]..DAY[1]).contains(&hour) {
                    by_day += energy;
                }
            }
        }
        let at_once = loads_at_once(loads, LoadCurrent::Ac);
        for load in &at_once {
            let power = load.power * f64::from(load.quantity);
            need.connected += power;
            let factor = load.power_factor.map_or(1.0, |factor| factor.share().clamp(0.1, 1.0));
            need.apparent += VoltAmps::new(power.value() / factor);
            if load.priority == LoadPriority::MustRun {
                for (sum, share) in by_hour.iter_mut().zip(hours_of_day(load)) {
                    *sum += power.value() * share;
                }
            }
        }
        for load in at_once {
            // One of several starts while the others run.
            let start = load.surge.unwrap_or(load.power).max(load.power);
            need.surge = need.surge.max(need.connected - load.power + start);
        }
        need.largest_hour = Watts::new(by_hour.into_iter().fold(0.0, f64::max));
        need.day_share = if all > 0.0 { by_day / all } else { 0.0 };
        need
    }

    /// The same once the energy has grown by a share of what it is today: bank and array are sized for it. What runs at
    /// once is not foretold.
    #[must_use]
    pub fn grown(mut self, growth: Percent) -> Self {
        let factor = (1.0 + growth.share()).max(0.0);
        self.ac = self.ac.map(|energy| energy * factor);
        self.dc = self.dc.map(|energy| energy * factor);
        self
    }

    /// Whether anything is asked for.
    pub fn is_nothing(&self) -> bool {
        let asked = |sums: &ByMonth<WattHours>| sums.iter().any(|(_, energy)| energy > WattHours::ZERO);
        !asked(&self.ac) && !asked(&self.dc)
    }

    pub(crate) const fn day_share(&self) -> f64 {
        self.day_share
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use lineside_core::project::Month;
    use lineside_core::units::Hours;

    fn load(watts: f64, quantity: u32, hours: f64, start: Option<f64>) -> LoadItem {
        LoadItem {
            name: "a load".to_owned(),
            power: Watts::new(watts),
            quantity,
            hours: Hours::new(hours),
            days_per_week: 7,
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
    fn energy_power_and_starts() {
        let lights = load(10.0, 6, 4.0, Some(18.0));
        let pump = LoadItem {
            surge: Some(Watts::new(2700.0)),
            power_factor: Some(Percent::new(75.0)),
            ..load(900.0, 1, 1.0, Some(9.5))
        };
        let shop = LoadItem {
            days_per_week: 2,
            months: vec![Month::June],
            priority: LoadPriority::CanWait,
            ..load(700.0, 1, 2.0, None)
        };
        let radio = LoadItem { current: LoadCurrent::Dc, ..load(12.0, 1, 24.0, None) };
        let need = Need::of(&[lights, pump, shop, radio]);
        // 60 × 4 + 900 = 1140 Wh; in June 700 × 2 × 2/7 = 400 Wh more; DC 12 × 24 = 288 Wh.
        assert!((need.ac.of(Month::January).value() - 1140.0).abs() < 1e-9);
        assert!((need.ac.of(Month::June).value() - 1540.0).abs() < 1e-9);
        assert!((need.dc.of(Month::June).value() - 288.0).abs() < 1e-9);
        // 60 + 900 + 700 W; 60 + 1200 + 700 VA; the pump starts beside 760 W.
        assert_eq!(need.connected, Watts::new(1660.0));
        assert!((need.apparent.value() - 1960.0).abs() < 1e-9);
        assert_eq!(need.surge, Watts::new(3460.0));
        // The pump runs half of the hour from nine and half of that from ten; what can wait does not count.
        assert_eq!(need.largest_hour, Watts::new(450.0));
        // By day, over twelve months: 12 × 900, 400 × 7/24, 12 × 288 × 7/24 of 12 × 1140 + 400 + 12 × 288.
        let by_day = 12.0 * 900.0 + 400.0 * 7.0 / 24.0 + 12.0 * 84.0;
        assert!((need.day_share() - by_day / (12.0 * 1428.0 + 400.0)).abs() < 1e-9);
        assert!(Need::of(&[]).is_nothing() && !need.is_nothing());
        // A quarter more energy: 1140 × 1.25 = 1425 Wh.
        let grown = need.grown(Percent::new(25.0));
        assert!((grown.ac.of(Month::January).value() - 1425.0).abs() < 1e-9);
        assert_eq!(grown.surge, Watts::new(3460.0));
    }

    #[test]
    fn hours_wrap_at_midnight() {
        let hours = hours_of_day(&load(100.0, 1, 3.0, Some(22.5)));
        assert_eq!((hours[22], hours[23], hours[0], hours[1], hours[2]), (0.5, 1.0, 1.0, 0.5, 0.0));
    }
}
