//! The proposals as a page for people.
//!
//! It prints what `shape.rs` gathered, so that the page and the JSON cannot say different things.

use super::files::SheetShape;
use super::shape::{CandidateShape, DoubtShape, ProposeShape};
use crate::commands::input::Loaded;
use crate::commands::table::{Table, numbers, words};
use crate::commands::text::{self, CAUTION};
use lineside_core::units::text::count;
use std::fmt::Write;

/// What stands where nothing is known.
const UNKNOWN: &str = "–";

/// What a candidate is not, for whoever reads its price.
const LIMITS: &str = "Prices are of modules, mounting, leads, controllers, batteries, inverters and generator. Conductors, \
overcurrent devices, disconnects, enclosures, freight and work come on top. The whole circuit of every candidate was drawn and \
checked: no danger and no correction by the rules; -o writes them. Lengths of runs, rooms and temperatures in them are assumed \
until the site is measured. Prices that the price book lacks are typical ones.";

/// The whole page.
pub(super) fn page(loaded: &Loaded, shape: &ProposeShape) -> String {
    let mut page = format!("{}\n", text::heading(&loaded.project, loaded.project.rule_set, &loaded.name));
    if shape.candidates.is_empty() {
        page.push_str("\nNo candidate answers the brief.\n");
        if let Some(nearest) = &shape.nearest {
            page.push_str(
                "\nThe nearest leaves more unmet, or runs the generator longer, than the brief allows\n",
            );
            page.push_str(&table(std::slice::from_ref(nearest)).show(2));
            page.push_str(&parts(nearest).show(4));
        }
        page.push_str(&near(shape));
    } else {
        let _ = write!(page, "\nCandidates that nothing beats in everything, in {}\n", shape.currency);
        page.push_str(&table(&shape.candidates).show(2));
        for (number, candidate) in (1..).zip(&shape.candidates) {
            let _ = write!(page, "\nCandidate {number}: {}\n", candidate.merits.join(", "));
            page.push_str(&parts(candidate).show(2));
            if let Some(doubt) = &candidate.random_years {
                page.push_str(&random_years(doubt));
            }
            if let Some(sheet) = &candidate.sheet {
                page.push_str(&written(sheet));
            }
        }
    }
    if shape.more > 0 {
        let _ = write!(page, "\n{} more; --top shows them.\n", count(shape.more));
    }
    let _ = write!(page, "\nWhat was cut from the search, and why\n{}", cuts(shape).show(2));
    let _ = write!(
        page,
        "\n{} systems went through the typical year (seed {}); {} of them fall short of the brief.\n",
        count(shape.years),
        shape.seed,
        count(shape.short)
    );
    if !shape.left_out.is_empty() {
        let mut table = Table::new(&[words("", 100)]);
        for it in &shape.left_out {
            table.row([it.clone()]);
        }
        let _ = write!(page, "\nNot searched\n{}", table.show(2));
    }
    let _ = write!(page, "\n{}\n{}", text::paragraph(LIMITS, 0), text::paragraph(CAUTION, 0));
    page
}

fn table(candidates: &[CandidateShape]) -> Table {
    let mut table = Table::new(&[
        numbers(""),
        words("chemistry", 30),
        numbers("array"),
        numbers("bank"),
        numbers("cost now"),
        numbers("over its life"),
        numbers("per kWh"),
        numbers("unmet"),
        numbers("generator"),
    ]);
    let money = |sum: Option<&String>| sum.map_or_else(|| UNKNOWN.to_owned(), Clone::clone);
    for (number, it) in (1_usize..).zip(candidates) {
        table.row([
            count(number),
            it.label.to_owned(),
            it.array.text().to_owned(),
            it.bank.text().to_owned(),
            it.cost.clone(),
            money(it.life_cost.as_ref()),
            money(it.per_kilowatt_hour.as_ref()),
            it.unmet_share.text().to_owned(),
            it.generator_hours.text().to_owned(),
        ]);
    }
    table
}

/// What would pass if the brief were changed in one thing; each was searched, gone through for the year and drawn.
fn near(shape: &ProposeShape) -> String {
    if shape.near.is_empty() {
        return String::new();
    }
    let mut table = Table::new(&[
        words("", 50),
        words("chemistry", 30),
        numbers("array"),
        numbers("bank"),
        numbers("cost now"),
        numbers("unmet"),
        numbers("generator"),
    ]);
    for it in &shape.near {
        table.row([
            it.change.clone(),
            it.label.to_owned(),
            it.array.text().to_owned(),
            it.bank.text().to_owned(),
            it.cost.clone(),
            it.unmet_share.text().to_owned(),
            it.generator_hours.text().to_owned(),
        ]);
    }
    format!("\nIt would pass if the brief were changed in one thing\n{}", table.show(2))
}

/// What random years of weather leave of a candidate.
fn random_years(it: &DoubtShape) -> String {
    let text = format!(
        "Over {} random years: unmet {} in half of them, {} or less in nine of ten; generator {} and {}.",
        it.years,
        it.unmet_p50.text(),
        it.unmet_p90.text(),
        it.generator_p50.text(),
        it.generator_p90.text()
    );
    text::paragraph(&text, 2)
}

/// Where a candidate was written, and what stands on its sheet.
fn written(sheet: &SheetShape) -> String {
    let kinds: Vec<String> = sheet
        .blocks
        .iter()
        .map(|it| format!("{} {}", count(it.count), within_a_sentence(it.label)))
        .collect();
    let advice =
        if sheet.advice == 0 { "no advice".to_owned() } else { format!("{} advice", count(sheet.advice)) };
    let text = format!(
        "Written to {}: {}; {} runs; no danger, no correction, {advice}.",
        sheet.file,
        kinds.join(", "),
        count(sheet.runs)
    );
    text::paragraph(&text, 2)
}

fn parts(candidate: &CandidateShape) -> Table {
    let mut table = Table::new(&[numbers(""), words("", 70), words("", 50)]);
    for part in &candidate.parts {
        table.row([count(part.count as usize), part.name.clone(), part.how.clone()]);
    }
    table
}

fn cuts(shape: &ProposeShape) -> Table {
    let mut table = Table::new(&[numbers("branches"), words("because", 90)]);
    for cut in &shape.cuts {
        table.row([count(usize::try_from(cut.branches).unwrap_or(usize::MAX)), cut.limit.to_owned()]);
    }
    let dearer = usize::try_from(shape.dearer).unwrap_or(usize::MAX);
    table.row([count(dearer), "everything in it is dearer than one that is kept and no better".to_owned()]);
    table
}

/// A heading as it stands within a sentence: `Breakers` becomes `breakers`, `AC panels` stays.
fn within_a_sentence(heading: &str) -> String {
    let mut letters = heading.chars();
    match (letters.next(), letters.clone().next()) {
        (Some(first), Some(second)) if second.is_lowercase() => first.to_lowercase().chain(letters).collect(),
        _ => heading.to_owned(),
    }
}
