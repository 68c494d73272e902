//! The built-in stock: generic equipment that comes with the program, and how an item is found by its name.
//!
//! The items themselves are in `assets/stock`, one file for each kind. Reading a stock file is
//! [`crate::file::read_stock`]; stock of the user's own stands in the project.

use crate::file::{ReadError, read_stock};
use crate::project::StockItem;

/// The stock files in the order of [`Kind::ALL`](crate::kinds::Kind::ALL). A file with two kinds keeps them
/// in that order too.
const FILES: &[&str] = &[
    include_str!("../../../assets/stock/strings.ron"),
    include_str!("../../../assets/stock/combiners.ron"),
    include_str!("../../../assets/stock/charge_controllers.ron"),
    include_str!("../../../assets/stock/battery_banks.ron"),
    include_str!("../../../assets/stock/inverters.ron"),
    include_str!("../../../assets/stock/breakers.ron"),
    include_str!("../../../assets/stock/fuses.ron"),
    include_str!("../../../assets/stock/switches.ron"),
    include_str!("../../../assets/stock/bus_bars.ron"),
    include_str!("../../../assets/stock/junctions.ron"),
    include_str!("../../../assets/stock/dc_converters.ron"),
    include_str!("../../../assets/stock/dc_loads.ron"),
    include_str!("../../../assets/stock/generators.ron"),
    include_str!("../../../assets/stock/utilities.ron"),
    include_str!("../../../assets/stock/ac_panels.ron"),
    include_str!("../../../assets/stock/transfer_switches.ron"),
    include_str!("../../../assets/stock/meters.ron"),
    include_str!("../../../assets/stock/surge_arresters.ron"),
    include_str!("../../../assets/stock/ground_fault_devices.ron"),
    include_str!("../../../assets/stock/rapid_shutdown.ron"),
    include_str!("../../../assets/stock/grounding.ron"),
];

/// Every item of the built-in stock: kinds in the order of the stock shelf, then as the file has them.
///
/// A fault would be a mistake in this program; the tests read every file.
pub fn built_in() -> Result<Vec<StockItem>, ReadError> {
    let mut items = Vec::new();
    for text in FILES {
        items.extend(read_stock(text)?);
    }
    Ok(items)
}

/// The item of that name, to the letter.
pub fn find<'a>(items: &'a [StockItem], name: &str) -> Option<&'a StockItem> {
    items.iter().find(|item| item.name == name)
}
