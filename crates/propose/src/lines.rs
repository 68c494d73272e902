//! The parts of a combination as lines: how many of what, at what price.

use crate::combination::Combination;
use crate::parts::Part;
use crate::terms::Terms;
use lineside_core::kinds::Kind;
use rust_decimal::Decimal;

/// A line of a list of parts.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct PartLine {
    /// Of which kind.
    pub kind: Kind,
    /// Its name in the stock.
    pub name: String,
    /// How many.
    pub count: u32,
    /// How they are joined: `3 in series, 2 strings at each of 2 controllers`; empty when there is nothing to say.
    pub how: String,
    /// What one costs.
    pub price: Decimal,
    /// Whether the price book has that price; else it is a typical one.
    pub from_book: bool,
}

fn line<T>(kind: Kind, part: Option<&Part<T>>, count: u32, how: String) -> Option<PartLine> {
    let part = part?;
    Some(PartLine { kind, name: part.name.clone(), count, how, price: part.price, from_book: part.from_book })
}

impl Terms<'_> {
    /// The equipment of a combination, in the order in which the energy flows. What is not on the shelf is left out.
    pub fn parts_of(&self, it: &Combination) -> Vec<PartLine> {
        let shelf = &self.shelf;
        let array =
            format!("{} in series, {} in parallel, for each of {}", it.modules, it.strings, it.controllers);
        let bank = format!("{} in series, {} in parallel", it.units, it.bank_strings);
        let generator = it.generator.and_then(|at| shelf.generators.get(at));
        [
            line(Kind::Strings, shelf.modules.get(it.module), it.all_modules(), array),
            line(Kind::ChargeController, shelf.controllers.get(it.controller), it.controllers, String::new()),
            line(Kind::BatteryBank, shelf.batteries.get(it.battery), it.units * it.bank_strings, bank),
            line(Kind::Inverter, shelf.inverters.get(it.inverter), it.inverters, String::new()),
            line(Kind::Generator, generator, 1, String::new()),
        ]
        .into_iter()
        .flatten()
        .collect()
    }
}
