//! The tables and the stock, read once for a test.

use lineside_codes::Codes;
use lineside_core::project::{Project, StockItem};
use lineside_core::stock;
use lineside_energy::Tables;
use lineside_propose::{Factors, Terms};

/// Tables and stock.
pub struct Ground {
    pub codes: Codes,
    pub tables: Tables,
    pub factors: Factors,
    pub stock: Vec<StockItem>,
}

impl Ground {
    /// Everything that is built in.
    pub fn new() -> Self {
        Self {
            codes: Codes::load().unwrap(),
            tables: Tables::load().unwrap(),
            factors: Factors::load().unwrap(),
            stock: stock::built_in().unwrap(),
        }
    }

    /// The terms of a brief.
    pub fn terms<'a>(&'a self, project: &'a Project) -> Terms<'a> {
        Terms::new(project, &self.codes, &self.tables, &self.factors, &self.stock, 1)
            .unwrap_or_else(|fault| panic!("{:?}", fault.reasons))
    }
}
