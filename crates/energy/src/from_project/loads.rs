//! Loads, from the table of the brief.

use super::bus::Bus;
use super::{Sheet, Statement};
use crate::calendar::ByMonth;
use crate::loads::{Days, Load, LoadClass, Loads, Profile};
use lineside_core::kinds::dc_converter::DcConverter;
use lineside_core::project::{LoadCurrent, LoadItem, LoadPriority, Month};
use lineside_core::units::Percent;

impl Sheet<'_> {
    pub(super) fn loads(&mut self, bus: &Bus) -> Loads {
        let items = &self.on.project.brief.loads;
        if items.is_empty() {
            self.say(Statement::NoLoads);
        }
        if items.iter().any(|it| it.current == LoadCurrent::Ac) && bus.inverters.is_empty() {
            self.say(Statement::AcLoadsWithoutInverter);
        }
        if items.iter().any(|it| it.current == LoadCurrent::Dc) && bus.dc_loads.is_empty() {
            self.say(Statement::DcLoadsNotOnSheet);
        }
        for at in &bus.dc_loads {
            if self.find::<DcConverter>(at.block).is_some() {
                self.say(Statement::DcConverter(at.block));
            }
        }
        if !items.is_empty() {
            self.say(Statement::FinalCircuits);
        }
        let mut table = Vec::with_capacity(items.len());
        for item in items {
            table.push(self.load(item));
        }
        Loads::of_table(table, &self.tables.defaults)
    }

    fn load(&mut self, item: &LoadItem) -> Load {
        let class = match (item.priority, item.current) {
            (LoadPriority::MustRun, _) => LoadClass::Normal,
            (LoadPriority::CanWait, LoadCurrent::Ac) => LoadClass::Deferrable,
            (LoadPriority::CanWait, LoadCurrent::Dc) => {
                self.say(Statement::DcLoadCannotWait(item.name.clone()));
                LoadClass::Normal
            }
        };
        let runs = |month| item.months.is_empty() || item.months.contains(&month);
        Load {
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
}

/// Weights of the day where the brief gives them, else from the start on, else evenly.
fn profile(item: &LoadItem) -> Profile {
    if item.profile.is_empty() {
        return item.start.map_or(Profile::Flat, Profile::From);
    }
    Profile::Weights(std::array::from_fn(|hour| item.profile.get(hour).map_or(0.0, |weight| weight.value())))
}
