//! `lineside study FILE`: what every study finds.
//!
//! What is computed is the `study` crate's; `study/shape.rs` gathers it once, for JSON and for people alike,
//! and `study/page.rs` prints it for people.

mod faults;
mod flow;
mod flow_keys;
mod flow_page;
mod gathering;
mod isolation;
mod page;
mod shape;

use super::failure::Failure;
use super::options::StudyOptions;
use super::shapes::Counts;
use super::{Verdict, input, output};
use gathering::Gathering;
use lineside_rules::check;
use lineside_study::Conditions;

/// Studies a project and prints the results.
pub fn run(options: &StudyOptions) -> Result<Verdict, Failure> {
    let loaded = input::load(&options.project.file)?;
    let rule_set = options.project.rule_set.unwrap_or(loaded.project.rule_set);
    let units = options.units.units.unwrap_or(loaded.project.units);
    let codes = super::codes()?;
    let checked = check(&loaded.project, &codes, rule_set);
    let on = Conditions::new(&loaded.project, &codes).under(rule_set);
    let shape = shape::gather(&loaded.name, &Gathering { on, studies: &checked.studies, units });
    if options.json {
        output::print_json(&shape)?;
    } else {
        output::print(&page::page(&loaded, rule_set, &shape))?;
    }
    let counts = Counts::of(&checked.report);
    super::remark_on_findings(counts, &loaded.name);
    Ok(Verdict::of(counts))
}
