//! How much bank and how much array the loads need: the ladder of IEEE 1013, and the months that count by IEEE 1562.

use crate::combination::Combination;
use crate::limits::{Broken, Limit, most};
use crate::terms::Terms;
use lineside_core::kinds::battery_bank::BatteryBank;
use lineside_core::kinds::strings::Strings;
use lineside_core::project::Month;
use lineside_core::units::{AmpHours, Hours, SquareMeters, Watts};

impl Terms<'_> {
    pub(crate) fn idle(&self, inverter: usize, inverters: u32) -> f64 {
        let draw = self.shelf.inverters.get(inverter).and_then(|part| part.item.idle_draw);
        draw.unwrap_or_default().value() * f64::from(inverters)
    }

    /// Whether a generator or the utility helps in the dark months.
    fn is_backed(&self, it: &Combination) -> bool {
        it.generator.is_some() || self.has_utility()
    }

    /// Energy that leaves the battery bus on a mean day of a month, Wh.
    fn bus_energy(&self, idle: f64) -> [f64; 12] {
        let value = |name| self.factors.value(name);
        let standing = 24.0 * (idle + value("standing_use"));
        let mut found = [0.0; 12];
        for ((slot, (_, ac)), (_, dc)) in found.iter_mut().zip(self.need.ac.iter()).zip(self.need.dc.iter()) {
            *slot =
                ac.value() / value("inverter_efficiency") + dc.value() / value("dc_efficiency") + standing;
        }
        found
    }

    /// The capacity that a bank of these units needs, by the ladder of IEEE 1013.
    pub(crate) fn capacity_needed(&self, bank: &BatteryBank, it: &Combination) -> AmpHours {
        let idle = self.idle(it.inverter, it.inverters);
        let Some(row) = self.factors.chemistry(bank.chemistry) else { return AmpHours::ZERO };
        let most = self.bus_energy(idle).into_iter().fold(0.0, f64::max);
        let daily = most / (row.mean_volts * f64::from(bank.cells()));
        let usual = if self.is_backed(it) { "reserve_generator" } else { "reserve" };
        let reserve = self.on.project.brief.goals.reserve;
        let days = reserve.map_or(self.factors.value(usual), Hours::value) / 24.0;
        let whole = daily * days;
        let asked = (whole / row.depth).max(daily / row.daily_depth).max(whole / row.end_of_life);
        AmpHours::new(asked / self.cold_share(bank) * (1.0 + self.factors.value("bank_margin")))
    }

    /// The power that an array of this module needs in the months that count.
    pub(crate) fn array_needed(&self, module: &Strings, bank: &BatteryBank, it: &Combination) -> Watts {
        let idle = self.idle(it.inverter, it.inverters);
        let backed = self.is_backed(it);
        let Some(row) = self.factors.chemistry(bank.chemistry) else { return Watts::ZERO };
        let value = |name| self.factors.value(name);
        let by_day = 0.85 * self.need.day_share();
        let through_bank = by_day + (1.0 - by_day) / row.efficiency;
        let yields = self.yield_of(module);
        let over = value(if backed { "array_to_load_generator" } else { "array_to_load" });
        let months: Vec<Month> = yields.iter().map(|(month, _)| month).collect();
        let energy = self.bus_energy(idle);
        let mut watts: Vec<f64> = months
            .into_iter()
            .zip(energy)
            .map(|(month, energy)| over * energy * through_bank / yields.of(month).max(1e-3))
            .collect();
        watts.sort_by(f64::total_cmp);
        let worst = watts.last().copied().unwrap_or(0.0);
        if !backed {
            return Watts::new(worst);
        }
        // The darkest months are left to generator or utility, until the others need clearly less than the worst.
        let share = value("design_months") * worst;
        let kept = watts.iter().rev().find(|watts| **watts <= share);
        Watts::new(kept.or(watts.first()).copied().unwrap_or(worst))
    }

    /// The area of all modules against the space of the site. What is not known is no limit.
    pub(crate) fn space_limit(&self, module: &Strings, it: &Combination) -> Option<Broken> {
        let space = self.on.project.brief.site.array_space?;
        let area = SquareMeters::new(module.length?.value() * module.width?.value());
        most(Limit::Space, area * f64::from(it.all_modules()), space)
    }
}
