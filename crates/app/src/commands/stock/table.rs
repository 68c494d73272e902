//! `lineside stock export` and `lineside stock import`: stock as CSV, out and in.
//!
//! The tables are read and written by the core crate; where one's own stock is kept is `crate::own_stock`'s.

use crate::commands::failure::Failure;
use crate::commands::options::{ExportOptions, ImportOptions};
use crate::commands::shapes::Head;
use crate::commands::table::{Table, words};
use crate::commands::{Verdict, input, output};
use crate::disk::{self, Conflict};
use crate::own_stock;
use lineside_core::file::{ColumnName, StockTable, read_stock_table, write_stock_table};
use lineside_core::project::StockItem;
use lineside_core::stock;
use lineside_core::units::text::count;
use serde::Serialize;
use std::fmt::Write;

fn built_in() -> Result<Vec<StockItem>, Failure> {
    stock::built_in().map_err(|error| Failure::Damaged(error.to_string()))
}

/// Writes stock as a table.
pub fn export(options: &ExportOptions) -> Result<Verdict, Failure> {
    let mut items = if options.own { Vec::new() } else { built_in()? };
    items.extend(own_stock::of_this_person()?);
    items.retain(|item| options.kind.is_none_or(|kind| item.equipment.kind() == kind));
    let text = write_stock_table(&items).map_err(|error| Failure::Output(error.to_string()))?;
    if input::is_stream(&options.output) {
        output::deliver(text.as_bytes())?;
        return Ok(Verdict::Clean);
    }
    if !options.output.extension().is_some_and(|ending| ending.eq_ignore_ascii_case("csv")) {
        return Err(Failure::TableEnding(options.output.clone()));
    }
    disk::save(&options.output, text.as_bytes(), None, Conflict::Overwrite).map_err(Failure::Table)?;
    output::print(&format!("{} items written to {}\n", count(items.len()), options.output.display()))?;
    Ok(Verdict::Clean)
}

#[derive(Serialize)]
struct ImportShape {
    #[serde(flatten)]
    head: Head,
    file: String,
    dry_run: bool,
    taken: Vec<String>,
    refused: Vec<String>,
    unread_columns: Vec<String>,
    kept_in: Option<String>,
}

/// Reads a table and keeps its items as one's own stock.
pub fn import(options: &ImportOptions) -> Result<Verdict, Failure> {
    let name = options.file.display().to_string();
    let names: Vec<ColumnName> = options.map.iter().map(|pair| column(pair)).collect::<Result<_, _>>()?;
    let mut known = built_in()?;
    let own = own_stock::of_this_person()?;
    known.extend(own.iter().cloned());
    let table: StockTable =
        read_stock_table(&input::table(&options.file)?, &names, &known, options.kind).map_err(|faults| {
            Failure::Import { reasons: faults.iter().map(ToString::to_string).collect(), name: name.clone() }
        })?;
    let kept_in = if options.dry_run || table.items.is_empty() {
        None
    } else {
        Some(own_stock::keep(&[own, table.items.clone()].concat())?.display().to_string())
    };
    let shape = ImportShape {
        head: Head::of("stock import"),
        file: name,
        dry_run: options.dry_run,
        taken: table.items.iter().map(|item| item.name.clone()).collect(),
        refused: table.refused.iter().map(ToString::to_string).collect(),
        unread_columns: table.unread,
        kept_in,
    };
    if options.json {
        output::print_json(&shape)?;
    } else {
        output::print(&page(&shape))?;
    }
    let whole = shape.refused.is_empty();
    Ok(if whole { Verdict::Clean } else { Verdict::Objections })
}

/// `THEIRS=OURS`.
fn column(pair: &str) -> Result<ColumnName, Failure> {
    let (theirs, ours) = pair.split_once('=').ok_or_else(|| {
        Failure::Usage(format!("a column is named as THEIRS=OURS, such as Voc=open_circuit_voltage: {pair}"))
    })?;
    Ok(ColumnName { theirs: theirs.trim().to_owned(), ours: ours.trim().to_owned() })
}

fn page(shape: &ImportShape) -> String {
    let mut page = match (&shape.kept_in, shape.dry_run) {
        (Some(place), _) => {
            format!("{} items were taken and are kept in {place}\n", count(shape.taken.len()))
        }
        (None, true) => format!("{} items could be taken; nothing was kept\n", count(shape.taken.len())),
        (None, false) => "No item was taken.\n".to_owned(),
    };
    for (title, lines) in [
        ("Taken", &shape.taken),
        ("Refused", &shape.refused),
        ("Columns that were not read", &shape.unread_columns),
    ] {
        if !lines.is_empty() {
            let mut table = Table::new(&[words("", 100)]);
            for line in lines {
                table.row([line.clone()]);
            }
            let _ = write!(page, "\n{title}\n{}", table.show(2));
        }
    }
    page
}
