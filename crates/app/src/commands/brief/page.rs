//! A brief as a page for people.
//!
//! It prints what `shape.rs` gathered, so that the page and the JSON cannot say different things.

use super::shape::BriefShape;
use crate::commands::input::Loaded;
use crate::commands::shapes::Figure;
use crate::commands::table::{Table, numbers, words};
use crate::commands::text;
use lineside_core::units::text::count;
use std::fmt::Write;

/// What stands where nothing is known.
const UNKNOWN: &str = "–";

/// The whole page.
pub(super) fn page(loaded: &Loaded, shape: &BriefShape) -> String {
    let mut page = format!("{}\n", text::heading(&loaded.project, loaded.project.rule_set, &loaded.name));
    let _ = write!(page, "\nLoads\n{}", loads(shape).show(2));
    let source = match (shape.weather, &shape.weather_source) {
        ("stand_in", Some(climate)) => format!("generic climate “{climate}”, which stands in for records"),
        (_, Some(records)) => records.clone(),
        _ => "source not stated".to_owned(),
    };
    let _ = write!(page, "\nMonths, a day ({source})\n{}", months(shape).show(2));
    let _ = write!(page, "\nAt once\n{}", at_once(shape).show(2));
    for (title, lines) in [
        ("What is missing", &shape.missing),
        ("What was refused", &shape.refused),
        ("What is doubtful", &shape.doubts),
        ("What is odd about the records", &shape.remarks),
    ] {
        if !lines.is_empty() {
            let mut table = Table::new(&[words("", 100)]);
            for line in lines {
                table.row([line.clone()]);
            }
            let _ = write!(page, "\n{title}\n{}", table.show(2));
        }
    }
    if shape.months.iter().any(|it| it.sun.is_none()) && !shape.climates.is_empty() {
        let mut table = Table::new(&[words("--climate", 30), words("", 60)]);
        for climate in &shape.climates {
            table.row([climate.name.clone(), climate.label.clone()]);
        }
        let _ = write!(page, "\nClimates that can stand in here until there are records\n{}", table.show(2));
    }
    page
}

fn shown(figure: Option<&Figure>) -> String {
    figure.map_or_else(|| UNKNOWN.to_owned(), |it| it.text().to_owned())
}

fn loads(shape: &BriefShape) -> Table {
    let mut table = Table::new(&[
        numbers(""),
        words("", 40),
        numbers("power"),
        numbers("hours"),
        numbers("days"),
        numbers("from"),
        numbers("start draws"),
        words("", 12),
        numbers("a day"),
    ]);
    for it in &shape.loads {
        let kind = if it.waits { format!("{}, can wait", it.current) } else { it.current.to_owned() };
        table.row([
            count(it.quantity as usize),
            it.name.clone(),
            it.power.text().to_owned(),
            it.hours.text().to_owned(),
            count(it.days_per_week as usize),
            shown(it.start.as_ref()),
            shown(it.surge.as_ref()),
            kind,
            it.energy.text().to_owned(),
        ]);
    }
    table
}

fn months(shape: &BriefShape) -> Table {
    let mut table = Table::new(&[
        words("", 12),
        numbers("AC loads"),
        numbers("DC loads"),
        numbers("sun, level"),
        numbers("air"),
    ]);
    for it in &shape.months {
        table.row([
            it.month.to_owned(),
            it.ac.text().to_owned(),
            it.dc.text().to_owned(),
            shown(it.sun.as_ref()),
            shown(it.temperature.as_ref()),
        ]);
    }
    table
}

fn at_once(shape: &BriefShape) -> Table {
    let mut table = Table::new(&[words("", 50), numbers("")]);
    for (what, figure) in [
        ("everything on AC", &shape.connected),
        ("the same, apparent", &shape.apparent),
        ("the worst start while everything else runs", &shape.worst_start),
        ("largest hour of what must run", &shape.largest_hour),
    ] {
        table.row([what.to_owned(), figure.text().to_owned()]);
    }
    table
}
