//! What the main equipment of a sheet costs, and what a bank of some chemistry would: from the price book where it has the
//! price, else typical.
//!
//! Breakers, conductors and work are not in it: that is the quote's business.

use crate::factors::Factors;
use crate::parts::{money, prices_are_usual};
use lineside_core::circuit::Block;
use lineside_core::kinds::battery_bank::{BatteryBank, Chemistry};
use lineside_core::kinds::charge_controller::ChargeController;
use lineside_core::kinds::generator::Generator;
use lineside_core::kinds::inverter::Inverter;
use lineside_core::kinds::strings::Strings;
use lineside_core::project::Project;
use lineside_core::units::WattHours;
use rust_decimal::Decimal;

/// What the main equipment of a sheet costs.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct SheetCosts {
    /// Modules with what holds them.
    pub array: Decimal,
    /// Banks.
    pub bank: Decimal,
    /// Controllers and inverters.
    pub electronics: Decimal,
    /// Generators.
    pub engine: Decimal,
    /// Pieces whose price is not in the book and was taken as typical.
    pub typical: usize,
    /// Tags of what has no price at all.
    pub without: Vec<String>,
}

impl SheetCosts {
    /// Everything.
    pub fn total(&self) -> Decimal {
        self.array + self.bank + self.electronics + self.engine
    }

    /// Of what stands on a sheet.
    pub fn of(project: &Project, factors: &Factors) -> Self {
        let mut costs = Self::default();
        let reckoning = Reckoning { project, factors };
        for block in project.circuit.blocks() {
            costs.add(block, &reckoning);
        }
        costs
    }

    fn add(&mut self, block: &Block, by: &Reckoning<'_>) {
        let it = &block.equipment;
        let per = |name| by.factors.value(name);
        let (slot, count, typical) = if let Some(it) = it.as_kind::<Strings>() {
            let modules = it.modules_in_series * it.strings_in_parallel;
            let each = it.power.value() * (per("module_price") + per("mounting_price"));
            (&mut self.array, modules, each)
        } else if let Some(it) = it.as_kind::<BatteryBank>() {
            let kilowatt_hours = rated_unit(it).value() / 1000.0;
            let price = by.factors.chemistry(it.chemistry).map_or(0.0, |row| row.price);
            (&mut self.bank, it.units_in_series * it.strings_in_parallel, kilowatt_hours * price)
        } else if let Some(it) = it.as_kind::<ChargeController>() {
            (&mut self.electronics, 1, it.output_current.value() * per("controller_price"))
        } else if let Some(it) = it.as_kind::<Inverter>() {
            (&mut self.electronics, 1, it.continuous.value() * per("inverter_price"))
        } else if let Some(it) = it.as_kind::<Generator>() {
            (&mut self.engine, 1, it.power.value() * per("generator_price"))
        } else {
            return;
        };
        match by.price(block, typical) {
            Some((price, Origin::Book)) => *slot += price * Decimal::from(count),
            Some((price, Origin::Typical)) => {
                *slot += price * Decimal::from(count);
                self.typical += 1;
            }
            None => self.without.push(block.tag.clone()),
        }
    }
}

/// Energy of one unit by its name.
fn rated_unit(it: &BatteryBank) -> WattHours {
    it.capacity * it.chemistry.nominal_cell_voltage() * f64::from(it.cells_per_unit)
}

#[derive(Clone, Copy, PartialEq, Eq)]
enum Origin {
    Book,
    Typical,
}

struct Reckoning<'a> {
    project: &'a Project,
    factors: &'a Factors,
}

impl Reckoning<'_> {
    fn price(&self, block: &Block, typical: f64) -> Option<(Decimal, Origin)> {
        let book = &self.project.price_book;
        let listed = block.stock.as_ref().and_then(|name| book.prices.iter().find(|it| it.item == *name));
        if let Some(listed) = listed {
            return Some((listed.cost, Origin::Book));
        }
        // Typical prices are US$: beside a book in another currency they would only mislead.
        (prices_are_usual(book) && typical.is_finite()).then(|| (money(typical), Origin::Typical))
    }
}

/// A bank of a chemistry by typical prices, US$.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct TypicalBank {
    /// What it costs.
    pub price: Decimal,
    /// Upkeep a year.
    pub upkeep: Decimal,
}

/// What a bank of a chemistry typically costs, in US$. `None` where the book of the project is in another currency.
pub fn typical_bank(
    project: &Project,
    factors: &Factors,
    chemistry: Chemistry,
    rated: WattHours,
) -> Option<TypicalBank> {
    let row = factors.chemistry(chemistry).filter(|_| prices_are_usual(&project.price_book))?;
    Some(TypicalBank { price: money(rated.value() / 1000.0 * row.price), upkeep: money(row.upkeep) })
}

/// What a liter of fuel typically costs, in US$.
pub fn typical_fuel(factors: &Factors) -> Decimal {
    money(factors.value("fuel_price"))
}

/// Years over which money is looked at: as the brief has them, else the usual ones.
pub fn years_of_money(project: &Project, factors: &Factors) -> u32 {
    #[expect(clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "a few decades")]
    let usual = factors.value("life") as u32;
    project.brief.goals.design_life_years.unwrap_or(usual).max(1)
}

#[cfg(test)]
mod tests {
    use super::*;
    use lineside_core::file;
    use lineside_core::project::Price;

    fn hut() -> Project {
        file::read(include_str!("../../../assets/demos/hut.lineside")).unwrap()
    }

    #[test]
    fn a_price_of_the_book_stands_before_a_typical_one() {
        let factors = Factors::load().unwrap();
        let mut project = hut();
        let typical = SheetCosts::of(&project, &factors);
        assert!(typical.without.is_empty() && typical.typical > 0);
        let bank = project.circuit.blocks().find(|block| block.equipment.as_kind::<BatteryBank>().is_some());
        let bank = bank.unwrap();
        let it = bank.equipment.as_kind::<BatteryBank>().unwrap();
        let units = it.units_in_series * it.strings_in_parallel;
        let item = bank.stock.clone().unwrap();
        let listed = Price {
            item,
            unit: "each".to_owned(),
            cost: "512.50".parse().unwrap(),
            price: None,
            date: None,
            supplier: String::new(),
        };
        project.price_book.prices = vec![listed];
        let found = SheetCosts::of(&project, &factors);
        assert_eq!(found.bank, Decimal::from(units) * "512.50".parse::<Decimal>().unwrap());
        assert_eq!((found.array, found.typical + 1), (typical.array, typical.typical));
        // Beside a book in another currency nothing typical is counted.
        project.price_book.currency = "EUR".to_owned();
        let found = SheetCosts::of(&project, &factors);
        assert_eq!((found.total(), found.typical), (found.bank, 0));
        assert!(!found.without.is_empty());
    }

    #[test]
    fn banks_are_priced_by_what_they_hold() {
        let factors = Factors::load().unwrap();
        let of = |chemistry, rated| typical_bank(&hut(), &factors, chemistry, WattHours::new(rated));
        // 10 kWh of lithium at 450 a kWh, of nickel-iron at 800.
        let lithium = of(Chemistry::LithiumIronPhosphate, 10_000.0).unwrap();
        assert_eq!((lithium.price, lithium.upkeep), (Decimal::from(4500), Decimal::from(150)));
        assert_eq!(of(Chemistry::NickelIron, 10_000.0).unwrap().price, Decimal::from(8000));
        assert_eq!(typical_fuel(&factors), "0.90".parse().unwrap());
        let mut project = hut();
        project.brief.goals.design_life_years = Some(20);
        assert_eq!(years_of_money(&project, &factors), 20);
        project.brief.goals.design_life_years = None;
        assert_eq!(years_of_money(&project, &factors), 30);
    }
}
