//! Cells in series, strings of cells in parallel, and larger cells.

use super::support::{banks, exchange, set_all, with_field};
use crate::circumstances::Circumstances;
use crate::finding::Finding;
use crate::proposals::stock_of;
use crate::remedy::Proposal;
use lineside_core::circuit::Block;
use lineside_core::kinds::Kind;
use lineside_core::kinds::battery_bank::BatteryBank;
use lineside_core::kinds::field::Value;

/// How many cells a bank may gain or lose.
const REACH: u32 = 5;
/// Larger cells that are looked at.
const LARGER: usize = 4;

/// Fewer cells or units in series, one at a time.
pub(super) fn fewer(on: &Circumstances<'_>, finding: &Finding) -> Vec<Proposal> {
    banked(on, finding)
        .flat_map(|(block, bank)| {
            let now = bank.units_in_series;
            (now.saturating_sub(REACH).max(1)..now)
                .rev()
                .filter_map(move |units| in_series(block, bank, units))
        })
        .collect()
}

/// More cells or units in series, one at a time.
pub(super) fn more(on: &Circumstances<'_>, finding: &Finding) -> Vec<Proposal> {
    banked(on, finding)
        .flat_map(|(block, bank)| {
            let now = bank.units_in_series;
            (now + 1..=now + REACH).filter_map(move |units| in_series(block, bank, units))
        })
        .collect()
}

/// Cells of the same chemistry that hold or give more, and as many of them.
pub(super) fn larger(on: &Circumstances<'_>, finding: &Finding) -> Vec<Proposal> {
    let banks = banks(on, finding).into_iter();
    banks.flat_map(|block| larger_units(on, block, 1)).collect()
}

/// The same strings once more.
pub(super) fn more_strings(on: &Circumstances<'_>, finding: &Finding) -> Vec<Proposal> {
    let banks = banks(on, finding).into_iter();
    banks
        .flat_map(|block| {
            let now = block.equipment.as_kind::<BatteryBank>().map_or(1, |it| it.strings_in_parallel);
            (now + 1..=now + 2).filter_map(move |count| in_parallel(block, count))
        })
        .collect()
}

/// One string of larger cells in place of several.
pub(super) fn one_string(on: &Circumstances<'_>, finding: &Finding) -> Vec<Proposal> {
    let banks = banks(on, finding).into_iter();
    banks
        .flat_map(|block| {
            let strings = block.equipment.as_kind::<BatteryBank>().map_or(1, |it| it.strings_in_parallel);
            let mut all = larger_units(on, block, strings);
            for proposal in &mut all {
                proposal.label.push_str(", one string");
            }
            let fewer = (1..strings).rev().filter_map(move |count| in_parallel(block, count));
            all.into_iter().chain(fewer)
        })
        .collect()
}

/// Units of the same chemistry and cells, of more capacity than so many of the present ones in parallel.
fn larger_units(on: &Circumstances<'_>, block: &Block, strings: u32) -> Vec<Proposal> {
    let Some(bank) = block.equipment.as_kind::<BatteryBank>() else { return Vec::new() };
    let mut items = stock_of(on, Kind::BatteryBank, |it| {
        it.as_kind::<BatteryBank>().is_some_and(|it| {
            it.chemistry == bank.chemistry
                && it.cells_per_unit == bank.cells_per_unit
                && it.capacity * f64::from(bank.strings_in_parallel)
                    >= bank.capacity * f64::from(bank.strings_in_parallel * strings)
                && it != bank
        })
    });
    let capacity = |item: &lineside_core::project::StockItem| {
        item.equipment.as_kind::<BatteryBank>().map(|it| it.capacity).unwrap_or_default()
    };
    items.sort_by(|a, b| capacity(a).total_cmp(&capacity(b)));
    let items = items.iter().take(LARGER);
    items
        .map(|item| {
            let mut item = item.clone();
            if strings > 1 {
                let _ = item.equipment.set("strings_in_parallel", &Value::Whole(1));
            }
            let mut single = block.clone();
            if strings > 1 {
                let _ = single.equipment.set("strings_in_parallel", &Value::Whole(1));
            }
            exchange(&single, &item)
        })
        .collect()
}

fn banked<'a>(
    on: &Circumstances<'a>,
    finding: &Finding,
) -> impl Iterator<Item = (&'a Block, &'a BatteryBank)> {
    let banks = banks(on, finding).into_iter();
    banks.filter_map(|block| Some((block, block.equipment.as_kind::<BatteryBank>()?)))
}

fn in_series(block: &Block, bank: &BatteryBank, units: u32) -> Option<Proposal> {
    let equipment = with_field(block, "units_in_series", &Value::Whole(units))?;
    let what = match (bank.cells_per_unit, units) {
        (1, _) => "cells",
        (_, 1) => "unit in series",
        (_, _) => "units in series",
    };
    set_all(format!("{units} {what} in {}", block.tag), [(block.id, equipment, block.stock.clone())])
}

fn in_parallel(block: &Block, count: u32) -> Option<Proposal> {
    let equipment = with_field(block, "strings_in_parallel", &Value::Whole(count))?;
    let strings = if count == 1 { "string" } else { "strings" };
    set_all(
        format!("{count} {strings} in parallel in {}", block.tag),
        [(block.id, equipment, block.stock.clone())],
    )
}
