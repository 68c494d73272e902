//! The energy year as a page for people.
//!
//! It prints what `shape.rs` gathered, so that the page and the JSON cannot say different things.

use super::shape::{OutcomeShape, YearShape};
use crate::commands::input::Loaded;
use crate::commands::shapes::Figure;
use crate::commands::table::{Table, numbers, words};
use crate::commands::text::{self, CAUTION};
use lineside_core::project::RuleSet;
use std::fmt::Write;

/// What stands where nothing is known.
const UNKNOWN: &str = "–";

/// Where the method is weakest, for whoever reads its numbers.
const LIMITS: &str = "Hours are made from monthly means. The share of diffuse light in them is the weakest link: steep \
arrays far from the equator may get more in winter than is shown. Means of an hour hide motor starts and the edges \
of clouds. Snow, aging and the spread of cells enter only by the factors given.";

/// The whole page.
pub(super) fn page(loaded: &Loaded, rule_set: RuleSet, shape: &YearShape) -> String {
    let mut page = format!("{}\n", text::heading(&loaded.project, rule_set, &loaded.name));
    let array = shape.array_power.text();
    let _ = write!(page, "\nThe typical year (seed {}, array of {array})\n", shape.seed);
    page.push_str(&months(shape).show(2));
    let _ = write!(page, "\nWhat it comes to\n{}", outcome(&shape.outcome).show(2));
    let _ = write!(page, "\nHow long parts last at that pace\n{}", lives(shape).show(2));
    if let Some(many) = &shape.many {
        let of = if many.doubt == "model" { "weather and doubt about the model" } else { "weather" };
        let _ = write!(page, "\n{} random years (seed {}), which differ by {of}\n", many.years, shape.seed);
        page.push_str(&spreads(shape).show(2));
    }
    for (kind, title) in [("left_out", "What the year leaves out"), ("assumed", "What was assumed")] {
        let mut table = Table::new(&[words("", 100)]);
        for it in shape.statements.iter().filter(|it| it.kind == kind) {
            table.row([it.text.clone()]);
        }
        if !table.is_empty() {
            let _ = write!(page, "\n{title}\n{}", table.show(2));
        }
    }
    if !shape.remarks.is_empty() {
        let mut table = Table::new(&[words("", 100)]);
        for remark in &shape.remarks {
            table.row([remark.clone()]);
        }
        let _ = write!(page, "\nWhat is odd about the records\n{}", table.show(2));
    }
    let _ = write!(page, "\n{}\n{}", text::paragraph(LIMITS, 0), text::paragraph(CAUTION, 0));
    page
}

fn months(shape: &YearShape) -> Table {
    let mut table = Table::new(&[
        words("", 12),
        numbers("sun, level"),
        numbers("sun, plane"),
        numbers("sun used"),
        numbers("unused"),
        numbers("AC served"),
        numbers("DC served"),
        numbers("unmet"),
        numbers("generator"),
        numbers("utility"),
        numbers("lowest charge"),
    ]);
    let text = |figure: &Figure| figure.text().to_owned();
    for it in &shape.balance {
        table.row([
            it.period.to_owned(),
            text(&it.level_sun),
            text(&it.plane_sun),
            text(&it.sun_used),
            text(&it.curtailed),
            text(&it.ac_served),
            text(&it.dc_served),
            text(&it.unmet_hours),
            text(&it.generator_hours),
            text(&it.import),
            shown(it.lowest_charge.as_ref()),
        ]);
    }
    table
}

fn shown(figure: Option<&Figure>) -> String {
    figure.map_or_else(|| UNKNOWN.to_owned(), |figure| figure.text().to_owned())
}

fn outcome(outcome: &OutcomeShape) -> Table {
    let mut table = Table::new(&[words("", 60), numbers(""), words("", 24)]);
    let mut row = |label: &str, figure: String, more: String| table.row([label.to_owned(), figure, more]);
    let text = |figure: &Figure| figure.text().to_owned();
    let gap_ends = outcome.longest_gap_ends.as_ref().map_or_else(String::new, |at| format!("until {at}"));
    row("asked for, besides what can wait", text(&outcome.demand), String::new());
    row("served, what could wait included", text(&outcome.served), String::new());
    row("unmet", text(&outcome.unmet), text(&outcome.unmet_share));
    row("longest time without everything served", text(&outcome.longest_gap), gap_ends);
    row("reserve at six in the morning, least", shown(outcome.least_reserve.as_ref()), String::new());
    row("reserve at six in the morning, mean", shown(outcome.mean_reserve.as_ref()), String::new());
    row("state of charge, lowest", text(&outcome.lowest_charge), String::new());
    row("state of charge, mean", text(&outcome.mean_charge), String::new());
    row("full cycles of the bank", text(&outcome.full_cycles), String::new());
    row("wear of the bank's cycle life", text(&outcome.wear), String::new());
    row("water to refill", text(&outcome.water), String::new());
    row("used of the sun that the array could give", text(&outcome.sun_used_share), String::new());
    row("share of the sun in everything supplied", text(&outcome.sun_share), String::new());
    table
}

fn lives(shape: &YearShape) -> Table {
    let mut table = Table::new(&[words("", 20), numbers("cautious"), numbers("hopeful")]);
    for life in &shape.lives {
        table.row([life.part.to_owned(), life.cautious.text().to_owned(), life.hopeful.text().to_owned()]);
    }
    table
}

fn spreads(shape: &YearShape) -> Table {
    let mut table = Table::new(&[
        words("", 20),
        numbers("least"),
        numbers("half of years"),
        numbers("nine of ten"),
        numbers("most"),
    ]);
    for it in shape.many.iter().flat_map(|many| &many.spreads) {
        table.row([
            it.what.replace('_', " "),
            it.least.text().to_owned(),
            it.p50.text().to_owned(),
            it.p90.text().to_owned(),
            it.most.text().to_owned(),
        ]);
    }
    table
}
