//! The loads of every hour, and the quotas of those that can wait.

use super::table::{Load, LoadClass};
use crate::calendar::{DAYS, HOURS, months};
use crate::tables::Defaults;
use lineside_core::project::LoadCurrent;
use lineside_core::units::{Hours, Percent, WattHours, Watts};

/// Whether what waited too long must run in the end.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Deadline {
    /// From this hour of the day what is left of the quota must run.
    MustRunFrom(Hours),
    /// It waits until midnight and is then unmet.
    None,
}

/// How loads that can wait are served.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Deferral {
    /// Charge from which surplus serves them.
    pub charge: Percent,
    /// First hour of the day in which it does.
    pub from: Hours,
    /// Hour of the day at which it ends.
    pub to: Hours,
    /// What happens in the end.
    pub deadline: Deadline,
}

impl Deferral {
    /// The usual settings.
    pub const fn usual(defaults: &Defaults) -> Self {
        Self {
            charge: defaults.defer_charge,
            from: defaults.defer_from,
            to: defaults.defer_to,
            deadline: Deadline::MustRunFrom(defaults.defer_deadline),
        }
    }
}

/// Loads as a meter saw them: one value for each hour of the year.
#[derive(Clone, Debug, PartialEq)]
pub struct Metered {
    /// AC.
    pub ac: Vec<Watts>,
    /// DC; empty for none.
    pub dc: Vec<Watts>,
    /// Part of the AC load that is critical.
    pub critical: Percent,
    /// Power factor of the AC load.
    pub power_factor: Percent,
}

/// All loads of a system.
#[derive(Clone, Debug, PartialEq)]
pub struct Loads {
    /// The table.
    pub table: Vec<Load>,
    /// What a meter saw, beside the table.
    pub metered: Option<Metered>,
    /// How loads that can wait are served.
    pub deferral: Deferral,
}

impl Loads {
    /// A table.
    pub const fn of_table(table: Vec<Load>, defaults: &Defaults) -> Self {
        Self { table, metered: None, deferral: Deferral::usual(defaults) }
    }
}

/// Loads of one hour, W.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub(crate) struct LoadHour {
    pub critical: f64,
    pub normal: f64,
    /// Reactive power of both.
    pub reactive: f64,
    pub dc: f64,
}

impl LoadHour {
    pub(crate) fn ac(&self) -> f64 {
        self.critical + self.normal
    }

    /// Active over apparent power; 1 when there is none.
    pub(crate) fn power_factor(&self) -> f64 {
        let active = self.ac();
        if active > 0.0 {
            active / lineside_core::math::sqrt(active * active + self.reactive * self.reactive)
        } else {
            1.0
        }
    }

    /// Drops what is not critical, at the power factor of both.
    pub(crate) fn shed(&mut self) {
        let all = self.ac();
        if all > 0.0 {
            self.reactive *= self.critical / all;
        }
        self.normal = 0.0;
    }
}

/// What of a day can wait.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub(crate) struct Quota {
    /// Wh.
    pub energy: f64,
    /// Greatest power, W.
    pub power: f64,
}

/// Loads of the year.
#[derive(Clone, Debug)]
pub(crate) struct LoadYear {
    pub hours: Vec<LoadHour>,
    pub quotas: Vec<Quota>,
}

impl LoadYear {
    pub(crate) fn of(loads: &Loads) -> Self {
        let mut year = Self { hours: vec![LoadHour::default(); HOURS], quotas: vec![Quota::default(); DAYS] };
        for load in &loads.table {
            year.add(load);
        }
        if let Some(metered) = &loads.metered {
            year.add_metered(metered);
        }
        year
    }

    fn add(&mut self, load: &Load) {
        let (watts, reactive, shares) = (load.watts(), load.reactive(), load.shares());
        let mut days = self.hours.chunks_mut(24).zip(&mut self.quotas).enumerate();
        for (month, _, count) in months() {
            let season = load.seasons.of(month).share();
            for (day, (hours, quota)) in days.by_ref().take(count) {
                if !load.runs_on(day) {
                    continue;
                }
                if load.class == LoadClass::Deferrable {
                    let energy = watts * load.hours.value() * season;
                    if energy > 0.0 {
                        quota.add(energy, watts);
                    }
                    continue;
                }
                for (hour, share) in hours.iter_mut().zip(shares) {
                    hour.add(load, watts * share * season, reactive);
                }
            }
        }
    }

    fn add_metered(&mut self, metered: &Metered) {
        let factor = metered.power_factor.share().clamp(0.1, 1.0);
        let reactive = lineside_core::math::sqrt(1.0 - factor * factor) / factor;
        for (hour, watts) in self.hours.iter_mut().zip(&metered.ac) {
            let critical = watts.value() * metered.critical.share();
            hour.critical += critical;
            hour.normal += watts.value() - critical;
            hour.reactive += watts.value() * reactive;
        }
        for (hour, watts) in self.hours.iter_mut().zip(&metered.dc) {
            hour.dc += watts.value();
        }
    }

    /// What must run on a mean day, AC and DC, Wh.
    pub(crate) fn mean_day(&self) -> WattHours {
        WattHours::new(self.hours.iter().map(|hour| hour.ac() + hour.dc).sum::<f64>() / DAYS as f64)
    }
}

impl LoadHour {
    fn add(&mut self, load: &Load, watts: f64, reactive: f64) {
        match (load.current, load.class) {
            (LoadCurrent::Dc, _) => self.dc += watts,
            (LoadCurrent::Ac, LoadClass::Critical) => {
                self.critical += watts;
                self.reactive += watts * reactive;
            }
            (LoadCurrent::Ac, LoadClass::Normal | LoadClass::Deferrable) => {
                self.normal += watts;
                self.reactive += watts * reactive;
            }
        }
    }
}

impl Quota {
    fn add(&mut self, energy: f64, power: f64) {
        self.energy += energy;
        self.power += power;
    }
}
