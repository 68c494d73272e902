//! The nameplate panel: the data of what is selected, to be read and edited.
//!
//! `block.rs`, `run.rs`, `place.rs` and `nothing.rs` say what is shown for each; `row.rs` is one datum.

mod block;
pub mod combo;
mod copy;
mod nothing;
mod place;
pub mod row;
mod run;

use crate::window::action::Actions;
use crate::window::entry::Entries;
use crate::window::fonts;
use crate::window::marks::Openness;
use crate::window::selection::{Selection, Thing};
use crate::window::tokens::Tokens;
use crate::window::view::View;
use egui::{FontId, Frame, Label, Margin, RichText, ScrollArea, Ui};

/// What the panel remembers.
#[derive(Default)]
pub struct NameplateState {
    /// Texts that are being typed or that will not do.
    pub entries: Entries,
    /// Set when the first datum is to be typed into next.
    pub focus_first: bool,
    /// Set when the keyboard is to go back to the sheet.
    pub leave: bool,
    /// Whether the findings of what is selected are listed.
    pub findings: Openness,
    shown_for: Selection,
}

/// The ground of the panel.
pub fn frame_of(tokens: &Tokens) -> Frame {
    Frame::new().fill(tokens.panel).inner_margin(Margin { left: 16, right: 6, top: 12, bottom: 0 })
}

/// The panel.
pub fn nameplate_ui(ui: &mut Ui, view: &View<'_>, state: &mut NameplateState, actions: &mut Actions) {
    let shown_for = Selection { terminal: None, ..view.selection.clone() };
    if state.shown_for != shown_for {
        state.shown_for = shown_for;
        state.entries.forget();
    }
    ScrollArea::vertical().auto_shrink(false).show(ui, |ui| {
        ui.set_max_width(ui.available_width() - 10.0);
        ui.spacing_mut().item_spacing.y = 2.0;
        let selection = view.selection;
        match selection.single() {
            Some(Thing::Run(id)) => run::run_ui(ui, view, id, state, actions),
            Some(Thing::Place(id)) => place::place_ui(ui, view, id, state, actions),
            Some(Thing::Block(_) | Thing::Terminal(_)) => {
                block::blocks_ui(ui, view, &selection.blocks, state, actions);
            }
            None if !selection.blocks.is_empty()
                && selection.runs.is_empty()
                && selection.places.is_empty() =>
            {
                block::blocks_ui(ui, view, &selection.blocks, state, actions);
            }
            None if !selection.runs.is_empty()
                && selection.blocks.is_empty()
                && selection.places.is_empty() =>
            {
                run::runs_ui(ui, view, &selection.runs, state, actions);
            }
            None if selection.is_empty() => nothing::nothing_ui(ui, view, actions),
            None => nothing::mixed_ui(ui, view, actions),
        }
        ui.add_space(16.0);
    });
    // A wish to type that found no entry is not kept for later.
    state.focus_first = false;
}

/// The tag and what it is: `C1  charge controller`.
fn head(ui: &mut Ui, tokens: &Tokens, tag: &str, what: &str) {
    ui.horizontal(|ui| {
        ui.label(RichText::new(tag).font(FontId::new(19.0, fonts::strong())));
        ui.add(Label::new(RichText::new(what).color(tokens.soft_ink)).truncate());
    });
    ui.add_space(4.0);
}

/// The heading of a group of data.
pub(super) fn group(ui: &mut Ui, title: &str) {
    ui.add_space(10.0);
    ui.label(RichText::new(title).font(FontId::new(fonts::BODY, fonts::strong())));
    ui.add_space(1.0);
}
