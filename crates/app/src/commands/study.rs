//! `lineside study FILE`: zones, voltages, currents, ratings, losses.
//!
//! What is computed is the `study` crate's; `study/shape.rs` gathers it once, for JSON and for people alike,
//! and `study/page.rs` prints it for people.

mod page;
mod shape;

use super::failure::Failure;
use super::options::StudyOptions;
use super::shapes::Counts;
use super::{Verdict, input, output};

/// Studies a project and prints the results.
pub fn run(options: &StudyOptions) -> Result<Verdict, Failure> {
    let loaded = input::load(&options.project.file)?;
    let checked = super::checked(&loaded, &options.project)?;
    let rule_set = options.project.rule_set.unwrap_or(loaded.project.rule_set);
    let units = options.units.units.unwrap_or(loaded.project.units);
    let shape = shape::gather(&loaded, rule_set, units, &checked.studies);
    if options.json {
        output::print_json(&shape)?;
    } else {
        output::print(&page::page(&loaded, rule_set, &shape))?;
    }
    let counts = Counts::of(&checked.report);
    super::remark_on_findings(counts, &loaded.name);
    Ok(Verdict::of(counts))
}
