//! The one path from a project to its studies and findings, for the window and for the commands.
//!
//! Nothing is computed here; this file only says in which order the other crates are asked.

use crate::own_stock;
use lineside_codes::Codes;
use lineside_core::project::{Project, StockItem};
use lineside_core::stock;
use lineside_energy::Tables;
use lineside_rules::acceptance::Standing;
use lineside_rules::{Checked, Finding, check};
use std::collections::BTreeSet;

/// Tables and stock, read once.
#[derive(Clone)]
pub struct Engine {
    /// The tables of the standards.
    pub codes: Codes,
    /// The built-in stock.
    pub stock: Vec<StockItem>,
    /// Names of the items among them that are this person's own.
    pub own: BTreeSet<String>,
    /// The tables of the energy year: defaults, appliances, climates.
    pub energy: Tables,
}

/// A table or a stock file in the binary could not be read. The tests read every one of them, so this is a
/// mistake in how the program was put together.
#[derive(Debug, thiserror::Error)]
#[error("the program is damaged: {0}")]
pub struct Damaged(String);

impl Engine {
    /// Reads the tables and the stock that stand in the binary.
    pub fn load() -> Result<Self, Damaged> {
        let codes = Codes::load().map_err(|error| Damaged(error.to_string()))?;
        let stock = stock::built_in().map_err(|error| Damaged(error.to_string()))?;
        let energy = Tables::load().map_err(|error| Damaged(error.to_string()))?;
        Ok(Self { codes, stock, own: BTreeSet::new(), energy })
    }

    /// The same with the stock that this person keeps; what of it could not be read is told.
    pub fn of_this_person() -> Result<(Self, Option<String>), Damaged> {
        let mut engine = Self::load()?;
        match own_stock::of_this_person() {
            Ok(own) => {
                engine.take_own(own);
                Ok((engine, None))
            }
            Err(fault) => Ok((engine, Some(fault.to_string()))),
        }
    }
}

impl Engine {
    /// Puts these items of one's own in the place of those that stand in it. An item that is called like a built-in one is left
    /// out.
    pub fn take_own(&mut self, own: Vec<StockItem>) {
        let before = std::mem::take(&mut self.own);
        self.stock.retain(|item| !before.contains(&item.name));
        let known: BTreeSet<String> = self.stock.iter().map(|item| item.name.clone()).collect();
        let own: Vec<StockItem> = own.into_iter().filter(|item| !known.contains(&item.name)).collect();
        self.own = own.iter().map(|item| item.name.clone()).collect();
        self.stock.extend(own);
    }

    /// The items of one's own.
    pub fn own_items(&self) -> impl Iterator<Item = &StockItem> {
        self.stock.iter().filter(|item| self.own.contains(&item.name))
    }
}

/// What follows from a project.
#[derive(Clone, Debug, PartialEq)]
pub struct Derived {
    /// From which state of the project, by its history's count of changes.
    pub changes: u64,
    /// Studies, and what the rules say to them.
    pub checked: Checked,
    /// Which advice has been accepted.
    pub standing: Standing,
}

impl Derived {
    /// Of what the rules say to a project.
    pub fn of(project: &Project, checked: Checked, changes: u64) -> Self {
        let standing = Standing::of(project, &checked.report);
        Self { changes, checked, standing }
    }
    /// What nobody has accepted, worst first.
    pub fn open(&self) -> impl Iterator<Item = &Finding> {
        self.standing.open(&self.checked.report)
    }
    /// What the rules report, worst first.
    pub fn findings(&self) -> &[Finding] {
        &self.checked.report.findings
    }
}

/// Everything that follows from a project.
pub fn derive(project: &Project, engine: &Engine, changes: u64) -> Derived {
    Derived::of(project, check(project, &engine.codes, project.rule_set), changes)
}
