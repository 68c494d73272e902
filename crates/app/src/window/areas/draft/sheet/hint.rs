//! What is under the pointer, in words, for the status bar.

use super::SheetState;
use crate::window::edits::wiring;
use crate::window::held::Held;
use crate::window::view::View;
use lineside_core::units::{Quantity, text};
use lineside_drawing::display_list::Subject;

/// One sentence about what is under the pointer or held by it.
pub fn hint(view: &View<'_>, state: &SheetState) -> String {
    if let Some(held) = view.held.map(of_held) {
        return held.to_owned();
    }
    if let Some(marker) = &state.pointed_marker {
        return format!("{marker}. Click to see why.");
    }
    if state.lasso_next {
        return "Drag a line round the blocks to select them. Esc gives up.".to_owned();
    }
    let circuit = &view.project().circuit;
    match state.under_pointer {
        Some(Subject::Block(id)) => circuit.block(id).map_or_else(String::new, |block| {
            let stock = block.stock.as_deref().map_or_else(String::new, |stock| format!(": {stock}"));
            format!("{}{stock}. Drag to move; double-click to edit.", super::names::capital(&block.title()))
        }),
        Some(Subject::Terminal(end)) => of_terminal(view, end),
        Some(Subject::Run(id)) => circuit.run(id).map_or_else(String::new, |run| {
            let made_of = run.conductor.as_ref().map_or_else(
                || "direct joint".to_owned(),
                |conductor| {
                    let length =
                        Quantity { value: conductor.length.value(), unit: lineside_core::units::Unit::Meter };
                    format!("{}, {}", conductor.size, text::plain(length, view.units()))
                },
            );
            format!(
                "{}: {} → {}, {made_of}. Drag to bend it.",
                run.tag,
                circuit.end_name(run.from),
                circuit.end_name(run.to)
            )
        }),
        Some(Subject::Place(id)) => circuit.place(id).map_or_else(String::new, |place| {
            format!("{}. Drag to move it with what stands in it.", place.name)
        }),
        Some(Subject::Mark(_) | Subject::Sheet) | None => String::new(),
    }
}

fn of_terminal(view: &View<'_>, end: lineside_core::circuit::RunEnd) -> String {
    let circuit = &view.project().circuit;
    let name = circuit.end_name(end);
    let potential = wiring::potential(circuit, end).map_or("", |potential| potential.label());
    let runs: Vec<&str> = circuit.runs_on(end).iter().map(|run| run.tag.as_str()).collect();
    if runs.is_empty() {
        format!("{name}, {potential}, free. Drag to draw a run.")
    } else {
        format!("{name}, {potential}, with {}.", runs.join(", "))
    }
}

const fn of_held(held: &Held) -> &'static str {
    match held {
        Held::Lasso { .. } => "Blocks whose middle lies within the line are selected.",
        Held::Template(_) => "Let go on the sheet to put it there. Esc gives up.",
        Held::Item(_) => "Let go on the sheet to put it there, or on a run to insert it. Esc gives up.",
        Held::Blocks { .. } | Held::Place { .. } | Held::Words { .. } | Held::Piece { .. } => {
            "Let go to leave it here. Esc puts it back."
        }
        Held::Corner { .. } => "Let go to leave the frame so. Esc puts it back.",
        Held::NewRun(_) | Held::RunEnd { .. } => {
            "Let go on a terminal to land there, or on empty paper to choose what follows. Esc gives up."
        }
        Held::Band { .. } => "Blocks that lie wholly in the band are selected.",
        Held::Paper => "Moving the paper.",
        Held::Number { .. } => "Drag left or right; with Shift, in finer steps. Esc puts it back.",
    }
}
