//! The built-in stock as a set: every item is read, sound in itself, plainly named and physically plausible.
//!
//! Checks of single kinds are in the modules; here is what concerns the whole stock. The numbers that bound a
//! check are typical trade or textbook values, each with its reason beside it.

#[cfg(test)]
mod ac;
#[cfg(test)]
mod bands;
#[cfg(test)]
mod batteries;
#[cfg(test)]
mod complete;
#[cfg(test)]
mod derived;
#[cfg(test)]
mod inverters;
#[cfg(test)]
mod names;
#[cfg(test)]
mod protection;
#[cfg(test)]
mod pv;

use lineside_core::file;
use lineside_core::kinds::Kind;
use lineside_core::project::{Project, StockItem};
use lineside_core::stock;
use std::sync::LazyLock;

/// The stock, read once for all tests; a file that cannot be read stops them with its faults.
#[expect(clippy::panic, reason = "without stock no test of it can go on")]
static STOCK: LazyLock<Vec<StockItem>> =
    LazyLock::new(|| stock::built_in().unwrap_or_else(|error| panic!("{error}")));

fn items() -> Vec<StockItem> {
    STOCK.clone()
}

/// Every item of one kind with its name; a kind without items would make its tests say nothing.
macro_rules! each {
    ($kind:ident) => {{
        let found: Vec<_> = crate::items()
            .into_iter()
            .filter_map(|item| {
                if let lineside_core::kinds::Equipment::$kind(it) = item.equipment {
                    Some((item.name, it))
                } else {
                    None
                }
            })
            .collect();
        assert!(!found.is_empty());
        found
    }};
}
use each;

/// Whether two numbers are the same but for the dust of a division.
fn same(a: f64, b: f64) -> bool {
    near(a, b, 1e-9)
}

/// Whether two numbers differ by no more than a share of the second.
fn near(a: f64, b: f64, share: f64) -> bool {
    (a - b).abs() <= share * b.abs()
}

#[test]
fn every_item_lies_within_its_limits_and_does_not_contradict_itself() {
    for item in items() {
        assert!(item.equipment.faults().is_empty(), "{}: {:?}", item.name, item.equipment.faults());
        let said = item.equipment.contradictions();
        assert!(said.is_empty(), "{}: {said:?}", item.name);
    }
}

#[test]
fn there_is_enough_and_every_kind_has_some() {
    let items = items();
    assert!(items.len() >= 110, "{}", items.len());
    for kind in Kind::ALL {
        assert!(items.iter().any(|item| item.equipment.kind() == *kind), "no {}", kind.label());
    }
}

#[test]
fn kinds_stand_in_the_order_of_the_shelf() {
    let kinds: Vec<_> = items().iter().map(|item| item.equipment.kind()).collect();
    assert!(kinds.is_sorted(), "Kind is ordered as Kind::ALL");
    assert!(Kind::ALL.is_sorted());
}

#[test]
fn items_are_found_by_their_name() {
    let items = items();
    let cell = stock::find(&items, "Nickel-iron cell, 400 Ah").unwrap();
    assert_eq!(cell.equipment.kind(), Kind::BatteryBank);
    assert_eq!(stock::find(&items, "nickel-iron cell, 400 Ah"), None, "to the letter");
    assert_eq!(stock::find(&items, ""), None);
}

#[test]
fn stock_in_a_project_reads_back_the_same() {
    // A project carries its own copy of what it uses, so every item must survive the project file.
    let project = Project { stock: items(), ..Project::default() };
    let text = file::write(&project).unwrap();
    assert_eq!(file::read(&text).unwrap().stock, project.stock);
}
