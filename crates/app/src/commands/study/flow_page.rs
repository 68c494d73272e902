//! The steady state of every operating case as a page for people.
//!
//! It prints what `flow.rs` gathered.

use super::flow::CaseShape;
use super::page::{UNKNOWN, shown};
use super::shape::{RunShape, StudyShape};
use crate::commands::shapes::Figure;
use crate::commands::table::{Table, numbers, words};
use crate::commands::text;
use std::fmt::Write;

/// Every case, one after the other; what is said when there is none.
pub(super) fn page(shape: &StudyShape) -> String {
    if shape.flow.is_empty() {
        return "\nFlow\n  The project has no operating case, so no flow was looked for.\n".to_owned();
    }
    shape.flow.iter().map(|case| of_case(case, &shape.runs)).collect()
}

fn of_case(case: &CaseShape, runs: &[RunShape]) -> String {
    let mut page = format!("\nFlow: {}\n", case.case);
    if !case.solved {
        page.push_str("  This is no steady state. The figures are those of what is left:\n");
    }
    for sentence in case.reasons.iter().chain(&case.remarks) {
        page.push_str(&text::paragraph(&format!("{sentence}."), 2));
    }
    let balance = &case.balance;
    let _ = writeln!(
        page,
        "  Power from sources {}, into loads and batteries {}, lost {}, not accounted for {}",
        balance.entering.text(),
        balance.leaving.text(),
        balance.lost.text(),
        balance.gap.text()
    );
    for table in [unmet(case), equipment(case), flows(case, runs)] {
        if !table.is_empty() {
            page.push_str(&table.show(2));
        }
    }
    page
}

fn unmet(case: &CaseShape) -> Table {
    let mut table = Table::new(&[words("without power", 14), numbers("asked"), words("because", 80)]);
    for it in &case.unmet {
        table.row([it.block.clone(), it.asked.text().to_owned(), it.why.clone()]);
    }
    table
}

fn equipment(case: &CaseShape) -> Table {
    let mut table = Table::new(&[
        words("equipment", 12),
        words("does what", 50),
        numbers("at"),
        numbers("current"),
        numbers("power"),
        numbers("lost"),
    ]);
    let none = || UNKNOWN.to_owned();
    for it in case.sources.iter().filter(|it| it.makes_energy) {
        let figures = [shown(it.voltage.as_ref()), text_of(&it.current), text_of(&it.power)];
        let [volts, amps, watts] = figures;
        table.row([it.block.clone(), it.label.to_owned(), volts, amps, watts, none()]);
    }
    for it in &case.controllers {
        let volts = shown(it.output_voltage.as_ref());
        let amps = text_of(&it.output_current);
        table.row([it.block.clone(), it.words.to_owned(), volts, amps, none(), text_of(&it.lost)]);
    }
    for it in &case.inverters {
        let watts = if it.doing == "charging" { &it.charging } else { &it.made };
        let volts = shown(it.dc_voltage.as_ref());
        table.row([it.block.clone(), it.words.to_owned(), volts, none(), text_of(watts), text_of(&it.lost)]);
    }
    for it in &case.converters {
        let (watts, lost) = (text_of(&it.output), text_of(&it.lost));
        table.row([it.block.clone(), it.words.to_owned(), none(), none(), watts, lost]);
    }
    table
}

/// Every run that carries something, named in the direction of its current.
fn flows(case: &CaseShape, runs: &[RunShape]) -> Table {
    let mut table = Table::new(&[
        words("run", 12),
        words("from", 20),
        words("to", 20),
        numbers("current"),
        numbers("at its source"),
        numbers("at its load"),
        numbers("power"),
        numbers("lost"),
    ]);
    for it in case.runs.iter().filter(|it| it.direction != "still") {
        let Some(run) = runs.iter().find(|run| run.run == it.run) else { continue };
        let begins = (&run.from, it.from_voltage.as_ref());
        let ends = (&run.to, it.to_voltage.as_ref());
        let is_backward = it.direction == "backward";
        let ((from, first), (to, second)) = if is_backward { (ends, begins) } else { (begins, ends) };
        table.row([
            it.run.clone(),
            from.clone(),
            to.clone(),
            text_of(&it.size),
            shown(first),
            shown(second),
            text_of(&it.sent),
            text_of(&it.lost),
        ]);
    }
    table
}

fn text_of(figure: &Figure) -> String {
    figure.text().to_owned()
}
