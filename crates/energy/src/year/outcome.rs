//! What a year amounts to: the sums, the shares, the reserve, the wear.

use super::ledger::Ledger;
use super::totals::Totals;
use crate::battery::{Bank, Store, Wear};
use crate::calendar::ByMonth;
use lineside_core::units::{Hours, Liters, Percent, WattHours};

/// Whether the books close: what is left over, as a share of what flowed.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Closure {
    /// Of the year: supplied = used + lost + stored.
    pub year: f64,
    /// Of the battery bus, in the worst hour.
    pub battery_bus: f64,
    /// Of the AC side, in the worst hour.
    pub ac_side: f64,
    /// Of the bank, in the worst hour.
    pub bank: f64,
}

impl Closure {
    /// The greatest of them.
    pub fn worst(&self) -> f64 {
        self.year.max(self.battery_bus).max(self.ac_side).max(self.bank)
    }
}

/// How long the bank alone would carry a mean day's loads, seen at six in the morning.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Reserve {
    /// On the worst morning.
    pub least: Hours,
    /// On average.
    pub mean: Hours,
}

/// What a year amounts to.
#[derive(Clone, Debug, PartialEq)]
pub struct Outcome {
    /// Sums of each month.
    pub months: ByMonth<Totals>,
    /// Sums of the year.
    pub year: Totals,
    /// Lowest charge in each month.
    pub lowest_charge: ByMonth<Percent>,
    /// Mean charge.
    pub mean_charge: Percent,
    /// Charge at the end.
    pub last_charge: Percent,
    /// Unmet over demand, of what could not wait.
    pub unmet_share: Percent,
    /// Longest time without everything served.
    pub longest_gap: Hours,
    /// Hour of the year in which it ended; `None` when everything was served.
    pub longest_gap_ends: Option<usize>,
    /// Reserve; `None` when there are no loads.
    pub reserve: Option<Reserve>,
    /// Discharged charge over the capacity.
    pub full_cycles: f64,
    /// What the year does to the bank.
    pub wear: Wear,
    /// Water that the cells lose.
    pub water: Liters,
    /// Stored at the end less stored at the start.
    pub stored: WattHours,
    /// Sun used over sun that could be had.
    pub sun_used_share: Percent,
    /// Everything supplied that was sun.
    pub sun_share: Percent,
    /// Whether the books close.
    pub closure: Closure,
}

pub(super) struct Ends<'a> {
    pub bank: &'a Bank,
    pub store: &'a Store,
    /// Charge at the start and at the end, Ah.
    pub q: [f64; 2],
    pub mean_day: WattHours,
    /// Water in grams per ampere-hour of gassing and cell.
    pub water_g: f64,
    pub celsius: &'a [crate::battery::BatteryHour],
}

/// Shares of nothing are nothing.
fn share(part: f64, whole: f64) -> Percent {
    Percent::from_share(if whole > 0.0 { part / whole } else { 0.0 })
}

impl Outcome {
    pub(super) fn of(ledger: &Ledger<'_>, ends: &Ends<'_>) -> Self {
        let mut months = ByMonth::same(Totals::default());
        for (slot, found) in months.0.iter_mut().zip(&ledger.months) {
            *slot = *found;
        }
        let mut year = Totals::default();
        for month in &months.0 {
            year.add(month);
        }
        let mut lowest_charge = ByMonth::same(Percent::ZERO);
        for (slot, found) in lowest_charge.0.iter_mut().zip(&ledger.lowest) {
            *slot = Percent::from_share(*found);
        }
        let [first, last] = ends.q;
        let stored = WattHours::new(ends.store.energy(last) - ends.store.energy(first));
        let capacity = ends.store.capacity;
        let charges = &ledger.charges;
        let celsius = ends.celsius.iter().map(|hour| hour.celsius);
        let supplied = year.supplied().value();
        let left_over = year.supplied() - year.served() - year.standing - year.export - year.lost() - stored;
        let (gap, gap_ends) = ledger.longest_gap;
        Self {
            months,
            year,
            lowest_charge,
            mean_charge: Percent::from_share(charges.iter().sum::<f64>() / charges.len().max(1) as f64),
            last_charge: Percent::from_share(last / capacity),
            unmet_share: share(year.unmet().value(), year.demand().value()),
            longest_gap: Hours::new(gap as f64),
            longest_gap_ends: (gap > 0).then_some(gap_ends),
            reserve: reserve(ledger, ends),
            full_cycles: year.discharged.value() / capacity,
            wear: Wear::of_year(&ends.bank.cell, charges, celsius),
            water: Liters::new(year.gassing.value() * ends.store.cells * ends.water_g / 1000.0),
            stored,
            sun_used_share: share(year.sun_used.value(), year.sun_potential.value()),
            sun_share: share(year.sun_used.value(), supplied),
            closure: Closure {
                year: left_over.value().abs() / supplied.max(1.0),
                battery_bus: ledger.residuals.dc,
                ac_side: ledger.residuals.ac,
                bank: ledger.residuals.bank,
            },
        }
    }
}

fn reserve(ledger: &Ledger<'_>, ends: &Ends<'_>) -> Option<Reserve> {
    let day = ends.mean_day.value();
    let floor = ends.store.energy(ends.store.floor);
    if day <= 0.0 || ledger.at_six.is_empty() {
        return None;
    }
    let hours = |energy: f64| Hours::new((energy - floor).max(0.0) / day * 24.0);
    let least = ledger.at_six.iter().copied().fold(f64::INFINITY, f64::min);
    let sum: f64 = ledger.at_six.iter().map(|energy| (energy - floor).max(0.0)).sum();
    Some(Reserve { least: hours(least), mean: Hours::new(sum / ledger.at_six.len() as f64 / day * 24.0) })
}
