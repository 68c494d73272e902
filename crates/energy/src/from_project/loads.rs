//! Loads, from the table of the brief.

use super::bus::Bus;
use super::{Sheet, Statement};
use crate::loads::{Load, Loads};
use lineside_core::kinds::dc_converter::DcConverter;
use lineside_core::project::{LoadCurrent, LoadItem, LoadPriority};

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
        if item.priority == LoadPriority::CanWait && item.current == LoadCurrent::Dc {
            self.say(Statement::DcLoadCannotWait(item.name.clone()));
        }
        Load::of_item(item)
    }
}
