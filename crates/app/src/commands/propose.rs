//! `lineside propose FILE`: the whole systems that answer a brief and that nothing beats.
//!
//! What is searched and computed is the `propose` crate's; `propose/shape.rs` gathers it once, for JSON and for people
//! alike, and `propose/page.rs` prints it for people.

mod files;
mod page;
mod shape;

use super::failure::Failure;
use super::options::ProposeOptions;
use super::{Verdict, input, output};
use crate::disk::Conflict;
use lineside_core::stock;
use lineside_energy::Tables;
use lineside_propose::{Factors, SearchBounds, Terms, propose};
use std::num::NonZeroUsize;
use std::sync::atomic::AtomicBool;

/// Searches, and prints what was found.
pub fn run(options: &ProposeOptions) -> Result<Verdict, Failure> {
    let mut loaded = input::load(&options.project.file)?;
    if let Some(rule_set) = options.project.rule_set {
        loaded.project.rule_set = rule_set;
    }
    let project = &loaded.project;
    let units = options.units.units.unwrap_or(project.units);
    let codes = super::codes()?;
    let damaged = |error: String| Failure::Damaged(error);
    let tables = Tables::load().map_err(|error| damaged(error.to_string()))?;
    let factors = Factors::load().map_err(|error| damaged(error.to_string()))?;
    let mut items = project.stock.clone();
    items.extend(crate::own_stock::of_this_person()?);
    items.extend(stock::built_in().map_err(|error| damaged(error.to_string()))?);
    let terms = Terms::new(project, &codes, &tables, &factors, &items, options.seed)
        .map_err(|fault| Failure::NoSearch { reasons: fault.reasons, name: loaded.name.clone() })?;
    let threads = std::thread::available_parallelism().unwrap_or(NonZeroUsize::MIN);
    let found = propose(&terms, &SearchBounds::default(), threads, &AtomicBool::new(false))
        .ok_or_else(|| damaged("a search that nobody stopped has ended".to_owned()))?;
    let conflict = if options.replace { Conflict::Overwrite } else { Conflict::Refuse };
    let sheets = match &options.output {
        Some(to) => files::write(&terms, &codes, &found, options.top, to, conflict)?,
        None => Vec::new(),
    };
    let shape = shape::gather(&loaded.name, &terms, &found, sheets, options, units);
    if options.json {
        output::print_json(&shape)?;
    } else {
        output::print(&page::page(&loaded, &shape))?;
    }
    if found.candidates.is_empty() { Ok(Verdict::Objections) } else { Ok(Verdict::Clean) }
}
