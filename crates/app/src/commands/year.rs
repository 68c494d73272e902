//! `lineside year FILE`: the energy year of the system on the sheet, and how it is spread over many years.
//!
//! What is computed is the `energy` crate's; `year/shape.rs` gathers it once, for JSON and for people alike,
//! `year/page.rs` prints it for people, and `crate::hours_table` writes every hour as CSV.

mod page;
mod shape;

use super::failure::Failure;
use super::options::{Doubt, YearOptions};
use super::shapes::Counts;
use super::{Verdict, input, output};
use crate::disk::{self, Conflict};
use crate::hours_table;
use lineside_core::circuit::Circuit;
use lineside_core::units::{Meters, Percent, UnitSystem};
use lineside_energy::import::{self, HourlyFile, ImportFault};
use lineside_energy::site::Climate;
use lineside_energy::sun::Sky;
use lineside_energy::weather::{Weather, typical};
use lineside_energy::{
    Detail, FromProject, ManyYears, ModelDoubt, Prepared, Run, Statement, StatementKind, System, Tables,
    Unheard, Wishes, Year, from_project,
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
    let mut from = from_project(&on, &checked.studies, &tables, &Wishes::default());
    let hours = options.weather.as_deref().map(|path| read(path, import::weather)).transpose()?;
    if let Some(hours) = &hours {
        from.climate.get_or_insert_with(|| hours.climate(&tables.defaults));
    }
    meter(&mut from, options)?;
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
    let (weather, remarks) = weather(hours.as_ref(), &sky, climate, &tables, options.seed);
    let detail = if options.csv.is_some() { Detail::Hourly } else { Detail::Sums };
    let year = prepared.year(&weather, options.seed, 0, detail);
    let many = (options.years > 0).then(|| prepared.many_years(climate, &plan(options), &Unheard)).flatten();
    if let (Some(path), Some(hours)) = (&options.csv, &year.hours) {
        write(path, hours_table::table(hours).as_bytes())?;
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
        remarks,
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

/// Height of the modules above the ground, for wind that was measured on a mast.
const MODULE_HEIGHT: Meters = Meters::new(2.0);

/// The weather of the year, of a file or made, and what is odd about it.
fn weather(
    hours: Option<&HourlyFile>,
    sky: &Sky,
    climate: &Climate,
    tables: &Tables,
    seed: u64,
) -> (Weather, Vec<String>) {
    if let Some(hours) = hours {
        let told = hours.remarks.iter().cloned().chain(hours.check(sky, climate));
        return (hours.weather(sky, climate, MODULE_HEIGHT), told.map(|it| it.to_string()).collect());
    }
    let made = typical(sky, climate, &tables.defaults, seed);
    let remarks = made.remarks.iter().map(ToString::to_string).collect();
    (made.weather, remarks)
}

/// Reads a table that goes with the project.
fn read<T>(path: &Path, of: impl Fn(&[u8]) -> Result<T, Vec<ImportFault>>) -> Result<T, Failure> {
    of(&input::table(path)?).map_err(|faults| Failure::Import {
        reasons: faults.iter().map(ToString::to_string).collect(),
        name: path.display().to_string(),
    })
}

/// Puts metered loads in the place of the table. A meter does not tell what is critical, nor the power factor.
fn meter(from: &mut FromProject, options: &YearOptions) -> Result<(), Failure> {
    let Some(path) = &options.loads else { return Ok(()) };
    let metered = read(path, |bytes| import::metered_loads(bytes, Percent::ZERO, Percent::new(100.0)))?;
    if let Some(system) = &mut from.system {
        system.loads.table.clear();
        system.loads.metered = Some(metered);
        from.statements.retain(|it| *it != Statement::NoLoads);
    }
    Ok(())
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
