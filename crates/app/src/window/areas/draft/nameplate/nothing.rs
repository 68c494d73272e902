//! What the panel shows when nothing is selected: the project in short, and what can be done next.

use super::row::fact_ui;
use super::{group, head};
use crate::window::action::{Action, Actions};
use crate::window::command::Command;
use crate::window::fonts;
use crate::window::selection::Selection;
use crate::window::view::View;
use egui::{Label, RichText, Ui};
use lineside_core::units::text;

/// The project in short.
pub fn nothing_ui(ui: &mut Ui, view: &View<'_>, actions: &mut Actions) {
    let project = view.project();
    let circuit = &project.circuit;
    head(ui, view.tokens, project.name(), "");
    let or_missing = |text: &str| if text.is_empty() { "not given".to_owned() } else { text.to_owned() };
    fact_ui(ui, view.tokens, "Customer", &or_missing(&project.title.customer));
    fact_ui(ui, view.tokens, "Rule set", project.rule_set.label());
    fact_ui(ui, view.tokens, "Blocks", &text::count(circuit.block_count()));
    fact_ui(ui, view.tokens, "Runs", &text::count(circuit.run_count()));
    fact_ui(ui, view.tokens, "Places", &text::count(circuit.places().count()));
    fact_ui(ui, view.tokens, "Findings", &text::count(view.derived.open().count()));
    group(ui, "What to do");
    for (what, how) in next_steps(circuit.block_count()) {
        let text = RichText::new(format!("{what} {how}")).color(view.tokens.soft_ink).font(fonts::body());
        ui.add(Label::new(text).wrap());
        ui.add_space(5.0);
    }
    ui.add_space(4.0);
    if ui.link("Every key, in one table").clicked() {
        actions.push(Action::Do(Command::Keys));
    }
}

const fn next_steps(blocks: usize) -> &'static [(&'static str, &'static str)] {
    if blocks == 0 {
        &[
            ("Begin", "by dragging equipment from the stock shelf onto the sheet."),
            ("Give the site", "in the Brief: the record low decides what a string may be."),
            ("Draw runs", "by pulling from terminal to terminal."),
        ]
    } else {
        &[
            ("Click a block", "to read and edit its nameplate."),
            ("Pull from a terminal", "to another to draw a run."),
            ("Drop a breaker on a run", "to insert it there."),
            ("Drag the empty sheet", "to select; drag it with Space or the middle button to move the paper."),
        ]
    }
}

/// Blocks, runs and places together have no data in common.
pub fn mixed_ui(ui: &mut Ui, view: &View<'_>, actions: &mut Actions) {
    head(ui, view.tokens, &format!("{} selected", view.selection.len()), "");
    let say = |count: usize, one: &str, many: &str| match count {
        1 => format!("1 {one}"),
        count => format!("{count} {many}"),
    };
    let selection = view.selection;
    let blocks = Selection { blocks: selection.blocks.clone(), ..Selection::default() };
    let runs = Selection { runs: selection.runs.clone(), ..Selection::default() };
    let places = Selection { places: selection.places.clone(), ..Selection::default() };
    let tip = RichText::new("Choose one sort to see what all of it share.").color(view.tokens.soft_ink);
    ui.add(Label::new(tip.font(fonts::small())).wrap());
    for (only, one, many) in [(blocks, "block", "blocks"), (runs, "run", "runs"), (places, "place", "places")]
    {
        if !only.is_empty() && ui.link(format!("Only {}", say(only.len(), one, many))).clicked() {
            actions.push(Action::Select(only));
        }
    }
}
