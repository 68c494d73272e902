//! `lineside year FILE`: the energy year of the system on the sheet, and how it is spread over many years.
//!
//! What is computed is the `energy` crate's; `year/shape.rs` gathers it once, for JSON and for people alike,
//! `year/page.rs` prints it for people, and `year/hours.rs` writes every hour as CSV.

mod hours;
mod page;
mod shape;

use super::failure::Failure;
use super::options::{Doubt, YearOptions};
use super::shapes::Counts;
use super::{Verdict, input, output};
use crate::disk::{self, Conflict};
use lineside_core::circuit::Circuit;
use lineside_core::units::UnitSystem;
use lineside_energy::sun::Sky;
use lineside_energy::weather::typical;
use lineside_energy::{
    Detail, FromProject, ManyYears, ModelDoubt, Prepared, Run, StatementKind, System, Tables, Unheard,
    Wishes, Year, from_project,
};
use lineside_rules::check;
use lineside_study::Conditions;
use std::num::NonZeroUsize;
use std::path::Path;

/// What a year amounts to, for whoever prints it.
struct Found<'a> {
    file: &'a str,
    circuit: &'a Circuit,
    rule_set: lineside_core::project::RuleSet,
    seed: u64,
    units: UnitSystem,
    tables: &'a Tables,
    from: &'a FromProject,
    system: &'a System,
    remarks: Vec<String>,
    year: &'a Year,
    many: Option<&'a ManyYears>,
}

/// Computes the year and prints it.
pub fn run(options: &YearOptions) -> Result<Verdict, Failure> {
    if let Some(path) = &options.csv {
        refuse_name(path)?;
    }
    let loaded = input::load(&options.project.file)?;
    let rule_set = options.project.rule_set.unwrap_or(loaded.project.rule_set);
    let units = options.units.units.unwrap_or(loaded.project.units);
    let codes = super::codes()?;
    let tables = Tables::load().map_err(|error| Failure::Damaged(error.to_string()))?;
    let checked = check(&loaded.project, &codes, rule_set);
    let on = Conditions::new(&loaded.project, &codes).under(rule_set);
    let from = from_project(&on, &checked.studies, &tables, &Wishes::default());
    let circuit = &loaded.project.circuit;
    let no_year = || Failure::NoYear { reasons: missing(&from, circuit, units), name: loaded.name.clone() };
    let (Some(location), Some(climate), Some(system)) = (from.location, &from.climate, &from.system) else {
        return Err(no_year());
    };
    let sky = Sky::over(&tables, location, &climate.turbidity);
    let prepared = Prepared::new(&sky, system, &tables).map_err(|faults| Failure::NoYear {
        reasons: faults.iter().map(ToString::to_string).collect(),
        name: loaded.name.clone(),
    })?;
    let made = typical(&sky, climate, &tables.defaults, options.seed);
    let detail = if options.csv.is_some() { Detail::Hourly } else { Detail::Sums };
    let year = prepared.year(&made.weather, options.seed, 0, detail);
    let many = (options.years > 0).then(|| prepared.many_years(climate, &plan(options), &Unheard)).flatten();
    if let (Some(path), Some(hours)) = (&options.csv, &year.hours) {
        write(path, hours::table(hours).as_bytes())?;
    }
    let found = Found {
        file: &loaded.name,
        circuit,
        rule_set,
        seed: options.seed,
        units,
        tables: &tables,
        from: &from,
        system,
        remarks: made.remarks.iter().map(ToString::to_string).collect(),
        year: &year,
        many: many.as_ref(),
    };
    let shape = shape::gather(&found);
    if options.json {
        output::print_json(&shape)?;
    } else if !options.csv.as_deref().is_some_and(input::is_stream) {
        output::print(&page::page(&loaded, rule_set, &shape))?;
    }
    let counts = Counts::of(&checked.report);
    super::remark_on_findings(counts, &loaded.name);
    Ok(Verdict::of(counts))
}

/// The random years that were asked for, on every core.
fn plan(options: &YearOptions) -> Run {
    let doubt = match options.doubt {
        Doubt::Weather => ModelDoubt::Left,
        Doubt::Model => ModelDoubt::Included,
    };
    let threads = std::thread::available_parallelism().unwrap_or(NonZeroUsize::MIN);
    Run { years: options.years, seed: options.seed, doubt, threads }
}

/// Everything without which there is no year.
fn missing(from: &FromProject, circuit: &Circuit, units: UnitSystem) -> Vec<String> {
    let missing = from.statements.iter().filter(|it| it.kind() == StatementKind::Missing);
    missing.map(|it| it.text(circuit, units)).collect()
}

/// Refuses names under which a table would be mistaken for something else, before any work is done.
fn refuse_name(path: &Path) -> Result<(), Failure> {
    let ending = path.extension().map(|ending| ending.to_string_lossy().to_lowercase());
    match ending.as_deref() {
        _ if input::is_stream(path) => Ok(()),
        Some("csv") => Ok(()),
        _ => Err(Failure::TableEnding(path.to_owned())),
    }
}

fn write(path: &Path, bytes: &[u8]) -> Result<(), Failure> {
    if input::is_stream(path) {
        return output::deliver(bytes);
    }
    disk::save(path, bytes, None, Conflict::Overwrite).map_err(Failure::Table)?;
    Ok(())
}
