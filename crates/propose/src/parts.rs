//! The shelf: what the search may take, each with what it costs.

use crate::factors::Factors;
use lineside_core::kinds::OfKind;
use lineside_core::kinds::battery_bank::BatteryBank;
use lineside_core::kinds::charge_controller::ChargeController;
use lineside_core::kinds::generator::Generator;
use lineside_core::kinds::inverter::Inverter;
use lineside_core::kinds::strings::Strings;
use lineside_core::project::{PriceBook, StockItem};
use rust_decimal::Decimal;

/// Something on the shelf.
#[derive(Clone, Debug, PartialEq)]
pub struct Part<T> {
    /// Its name in the stock.
    pub name: String,
    /// Its nameplate.
    pub item: T,
    /// What one of it costs.
    pub price: Decimal,
    /// Whether the price book has that price; else it is a typical one.
    pub from_book: bool,
}

/// What the search may take.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Shelf {
    /// Units of banks.
    pub batteries: Vec<Part<BatteryBank>>,
    /// Modules, as strings of one.
    pub modules: Vec<Part<Strings>>,
    /// Charge controllers.
    pub controllers: Vec<Part<ChargeController>>,
    /// Inverters.
    pub inverters: Vec<Part<Inverter>>,
    /// Generators.
    pub generators: Vec<Part<Generator>>,
}

/// Money from a computed figure, to the cent.
pub(crate) fn money(value: f64) -> Decimal {
    Decimal::try_from(value).unwrap_or_default().round_dp(2)
}

/// Whether typical prices, which are US$, may stand beside those of a book.
pub(crate) fn prices_are_usual(book: &PriceBook) -> bool {
    book.currency.is_empty() || book.currency == "USD"
}

fn parts<T: OfKind + Clone>(
    stock: &[StockItem],
    book: &PriceBook,
    typical: impl Fn(&T) -> Option<f64>,
) -> Vec<Part<T>> {
    let of = |entry: &StockItem| {
        let item = entry.equipment.as_kind::<T>()?.clone();
        let listed = book.prices.iter().find(|price| price.item == entry.name).map(|price| price.cost);
        let price = listed.or_else(|| typical(&item).filter(|price| price.is_finite()).map(money))?;
        Some(Part { name: entry.name.clone(), item, price, from_book: listed.is_some() })
    };
    stock.iter().filter_map(of).collect()
}

impl Shelf {
    /// From a stock, with prices from the price book where it has them and typical ones elsewhere.
    pub fn of(stock: &[StockItem], book: &PriceBook, factors: &Factors) -> Self {
        // Typical prices are US$: beside a book in another currency they would only mislead.
        let usual = if prices_are_usual(book) { 1.0 } else { f64::NAN };
        let per = |name| factors.value(name) * usual;
        let kilowatt_hours =
            |it: &BatteryBank| it.capacity.value() * it.chemistry.nominal_cell_voltage().value() / 1000.0;
        let mut shelf = Self {
            batteries: parts(stock, book, |it: &BatteryBank| {
                let row = factors.chemistry(it.chemistry)?;
                Some(kilowatt_hours(it) * f64::from(it.cells_per_unit) * row.price * usual)
            }),
            modules: parts(stock, book, |it: &Strings| Some(it.power.value() * per("module_price"))),
            controllers: parts(stock, book, |it: &ChargeController| {
                Some(it.output_current.value() * per("controller_price"))
            }),
            inverters: parts(stock, book, |it: &Inverter| {
                Some(it.continuous.value() * per("inverter_price"))
            }),
            generators: parts(stock, book, |it: &Generator| Some(it.power.value() * per("generator_price"))),
        };
        for battery in &mut shelf.batteries {
            battery.item.strings_in_parallel = 1;
        }
        for module in &mut shelf.modules {
            (module.item.modules_in_series, module.item.strings_in_parallel) = (1, 1);
        }
        shelf
    }
}
