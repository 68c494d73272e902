//! Builds the system of a year from a project and its studies.
//!
//! Everything comes from the sheet and the brief. What neither says is assumed by the tables' defaults and told; what the
//! year cannot follow is left out and told; what it needs and does not find stops it and is told.

mod arrays;
mod bank;
mod bus;
mod fit;
mod generators;
mod inverters;
mod loads;
mod paths;
mod site;
mod statement;
#[cfg(test)]
mod tests;
mod utilities;

pub use statement::{Statement, StatementKind};

use crate::battery::Room;
use crate::calendar::ByMonth;
use crate::generator::Starter;
use crate::plane::Horizon;
use crate::site::{Climate, Location};
use crate::system::System;
use crate::tables::Tables;
use crate::utility::RandomOutages;
use lineside_core::circuit::BlockId;
use lineside_core::units::{Hours, Percent, Watts};
use lineside_study::{Conditions, Studies};

/// What the sheet and the brief have no place for; whoever asks for the year may say it.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Wishes {
    /// Standard time less UTC, when it is not the zone nearest the sun's time.
    pub utc_offset: Option<Hours>,
    /// What starts and stops the generator.
    pub starter: Option<Starter>,
    /// Outages of the utility by chance.
    pub outages: Option<RandomOutages>,
    /// Where the bank stands.
    pub room: Option<Room>,
    /// Sun lost to dirt.
    pub soiling: Option<ByMonth<Percent>>,
    /// Sun lost to lying snow.
    pub snow: Option<ByMonth<Percent>>,
    /// Far horizon of every array.
    pub horizon: Horizon,
    /// Standing use of controllers, monitor and battery management.
    pub standing_use: Option<Watts>,
    /// Capacity that is left of the bank.
    pub health: Option<Percent>,
}

/// What a project gives for a year.
#[derive(Clone, Debug, PartialEq)]
pub struct FromProject {
    /// Where the site is; `None` when the brief does not say.
    pub location: Option<Location>,
    /// What the weather records say; `None` when they are not complete. An hourly file needs none.
    pub climate: Option<Climate>,
    /// The system; `None` when the sheet has none that a year can be computed for.
    pub system: Option<System>,
    /// What was assumed, left out, or missing, in the order of the sheet.
    pub statements: Vec<Statement>,
}

/// What every part is built from.
pub(crate) struct Sheet<'a> {
    pub on: &'a Conditions<'a>,
    pub studies: &'a Studies,
    pub tables: &'a Tables,
    pub wishes: &'a Wishes,
    pub said: Vec<Statement>,
}

impl<'a> Sheet<'a> {
    /// The equipment of a block as one kind.
    fn find<T: lineside_core::kinds::OfKind>(&self, block: BlockId) -> Option<&'a T> {
        self.on.project.circuit.block(block)?.equipment.as_kind()
    }
    fn say(&mut self, statement: Statement) {
        if !self.said.contains(&statement) {
            self.said.push(statement);
        }
    }
    /// A given value, or the default, which is then told.
    fn or_default<T: Copy + Into<lineside_core::units::Quantity>>(
        &mut self,
        given: Option<T>,
        default: T,
        block: Option<BlockId>,
        what: &'static str,
    ) -> T {
        given.unwrap_or_else(|| {
            self.say(Statement::Assumed { block, what, value: default.into() });
            default
        })
    }
}

/// Builds everything a year needs from a project.
pub fn from_project(on: &Conditions<'_>, studies: &Studies, tables: &Tables, wishes: &Wishes) -> FromProject {
    let mut sheet = Sheet { on, studies, tables, wishes, said: Vec::new() };
    let location = sheet.location();
    let climate = sheet.climate();
    let system = sheet.system();
    FromProject { location, climate, system, statements: sheet.said }
}

impl Sheet<'_> {
    fn system(&mut self) -> Option<System> {
        let bus = self.bus()?;
        let mut bank = self.bank(&bus)?;
        let consumers = self.consumers(&bus, bank.nominal);
        bank.cable = consumers.cable;
        let controllers = self.controllers(&bus, &consumers, bank.nominal);
        let inverter = self.inverter(&bus, &consumers, bank.nominal);
        let loads = self.loads(&bus);
        let charger = self.charger(&bus, bank.nominal);
        let generator = self.generator(&bus, &bank);
        let utility = self.utility(&bus);
        let standing_use = self.standing_use(&bus);
        Some(System {
            bank,
            controllers,
            pv_inverters: Vec::new(),
            inverter,
            charger,
            generator,
            utility,
            loads,
            standing_use,
            shed_below: None,
        })
    }
}
