//! `lineside brief FILE`: what a brief asks of a system, what it lacks and what is doubtful; loads and weather from files.
//!
//! What is read and reckoned is the `energy` and `propose` crates'; `brief/shape.rs` gathers it once, for JSON and for
//! people alike, and `brief/page.rs` prints it for people.

mod page;
mod shape;

use super::failure::Failure;
use super::options::BriefOptions;
use super::{Verdict, input, output};
use crate::disk::{self, Conflict};
use lineside_core::edit::{self, Edit};
use lineside_core::file;
use lineside_core::project::{Brief, Project, WeatherSource};
use lineside_core::units::UnitSystem;
use lineside_energy::import::{self, ImportFault};
use lineside_energy::{GenericClimate, Tables, climates_at};
use std::path::Path;

/// What was taken over, and what of it was not.
#[derive(Default)]
struct Taken {
    /// Rows and values that were refused.
    refused: Vec<String>,
    /// What a person should know of the files.
    remarks: Vec<String>,
}

/// Takes over what was asked for, writes it where that was asked for, and prints the brief.
pub fn run(options: &BriefOptions) -> Result<Verdict, Failure> {
    if let Some(to) = &options.output
        && !to.extension().is_some_and(|ending| ending.eq_ignore_ascii_case("lineside"))
    {
        return Err(Failure::MendedEnding(to.clone()));
    }
    let mut loaded = input::load(&options.file)?;
    let units = options.units.units.unwrap_or(loaded.project.units);
    let tables = Tables::load().map_err(|error| Failure::Damaged(error.to_string()))?;
    let mut brief = loaded.project.brief.clone();
    let taken = take(&mut brief, options, &tables, units)?;
    if brief != loaded.project.brief {
        edit::apply(&mut loaded.project, Edit::SetBrief(Box::new(brief))).map_err(Failure::Brief)?;
    }
    if let Some(to) = &options.output {
        write(&loaded.project, to)?;
    }
    let shape = shape::gather(&loaded.name, &loaded.project, &tables, &taken, units);
    if options.json {
        output::print_json(&shape)?;
    } else {
        output::print(&page::page(&loaded, &shape))?;
    }
    let is_whole = shape.is_whole();
    if is_whole { Ok(Verdict::Clean) } else { Ok(Verdict::Objections) }
}

fn take(
    brief: &mut Brief,
    options: &BriefOptions,
    tables: &Tables,
    units: UnitSystem,
) -> Result<Taken, Failure> {
    let mut taken = Taken::default();
    if let Some(path) = &options.loads {
        let table = import::load_table(&input::table(path)?).map_err(|faults| unread(&faults, path))?;
        taken.refused.extend(table.refused.iter().map(ToString::to_string));
        taken.remarks.extend(table.remarks);
        brief.loads = table.loads;
    }
    if let Some(path) = &options.weather {
        let hours = import::weather(&input::table(path)?).map_err(|faults| unread(&faults, path))?;
        let name = path.file_name().unwrap_or(path.as_os_str()).to_string_lossy();
        taken.remarks.extend(hours.fill(brief, &name, units));
    }
    if let Some(asked) = &options.climate {
        stand_in(brief, asked, tables)?;
    }
    Ok(taken)
}

fn unread(faults: &[ImportFault], path: &Path) -> Failure {
    Failure::Import {
        reasons: faults.iter().map(ToString::to_string).collect(),
        name: path.display().to_string(),
    }
}

/// Lets a generic climate stand in for the records of the site.
fn stand_in(brief: &mut Brief, asked: &str, tables: &Tables) -> Result<(), Failure> {
    let here = climates_at(brief, tables);
    let names = || here.iter().map(|(_, climate)| climate.key.clone()).collect();
    let none = || Failure::NoClimate { asked: asked.to_owned(), here: names() };
    let is_meant = |climate: &GenericClimate| climate.key == asked || climate.label == asked;
    let (location, climate) = here.iter().find(|(_, climate)| is_meant(climate)).ok_or_else(none)?;
    brief.months = climate.months_at(*location, tables).map_err(|_| none())?;
    brief.weather = WeatherSource::StandIn(climate.label.clone());
    Ok(())
}

fn write(project: &Project, to: &Path) -> Result<(), Failure> {
    let text = file::write(project).map_err(|error| Failure::Output(error.to_string()))?;
    disk::save(to, text.as_bytes(), None, Conflict::Overwrite).map_err(Failure::Briefed)?;
    Ok(())
}
