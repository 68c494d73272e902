//! The context menus of the sheet: of a block, of a run, of a place, of several things, and of the empty paper.

use super::SheetState;
use crate::window::action::{Action, Actions};
use crate::window::command::Command;
use crate::window::keys;
use crate::window::selection::{Selection, Thing};
use crate::window::view::View;
use egui::{Button, Response, RichText, Ui};

/// One line of a menu.
#[derive(Clone, Copy)]
enum Line {
    Do(Command),
    Rule,
    /// Commands behind one name.
    Within(&'static str, &'static [Command]),
}

use Command as C;
use Line::{Do, Rule, Within};

const LINE_UP: Line = Within(
    "Line up",
    &[C::AlignLeft, C::AlignRight, C::AlignTop, C::AlignBottom, C::AlignLevel, C::AlignUpright],
);
const SPACE: Line = Within("Space evenly", &[C::SpaceAcross, C::SpaceDown]);

const OF_BLOCK: &[Line] = &[
    Do(C::EditNameplate),
    Do(C::DrawRun),
    Do(C::ContinueRun),
    Rule,
    Do(C::Swap),
    Do(C::ReplaceAll),
    Rule,
    Do(C::Rotate),
    Do(C::Flip),
    Do(C::OwnPlaces),
    Rule,
    Do(C::Cut),
    Do(C::Copy),
    Do(C::Duplicate),
    Do(C::Delete),
    Rule,
    Do(C::Enclose),
    Do(C::AddPlace),
    Do(C::ZoomSelection),
];
const OF_RUN: &[Line] = &[
    Do(C::EditNameplate),
    Do(C::InsertInRun),
    Do(C::OwnPlaces),
    Rule,
    Do(C::Delete),
    Rule,
    Do(C::ZoomSelection),
];
const OF_PLACE: &[Line] = &[Do(C::EditNameplate), Rule, Do(C::Delete), Rule, Do(C::ZoomSelection)];
const OF_SEVERAL: &[Line] = &[
    Do(C::EditNameplate),
    Rule,
    LINE_UP,
    SPACE,
    Do(C::Rotate),
    Do(C::Flip),
    Rule,
    Do(C::Swap),
    Do(C::Renumber),
    Rule,
    Do(C::Cut),
    Do(C::Copy),
    Do(C::Duplicate),
    Do(C::Delete),
    Rule,
    Do(C::Enclose),
    Do(C::AddPlace),
    Do(C::ZoomSelection),
];
const OF_PAPER: &[Line] = &[
    Do(C::Paste),
    Do(C::AddTemplate),
    Do(C::AddPlace),
    Rule,
    Do(C::Lasso),
    Do(C::SelectAll),
    Rule,
    Do(C::Tidy),
    Do(C::Renumber),
    Rule,
    Do(C::ZoomFit),
    Do(C::Search),
];

fn lines(selection: &Selection) -> &'static [Line] {
    match selection.single() {
        Some(Thing::Block(_) | Thing::Terminal(_)) => OF_BLOCK,
        Some(Thing::Run(_)) => OF_RUN,
        Some(Thing::Place(_)) => OF_PLACE,
        None if selection.is_empty() => OF_PAPER,
        None => OF_SEVERAL,
    }
}

/// Opens at a secondary click.
pub fn menu_ui(view: &View<'_>, _: &SheetState, sheet: &Response, actions: &mut Actions) {
    sheet.context_menu(|ui| {
        ui.set_min_width(230.0);
        for line in lines(view.selection) {
            match line {
                Do(command) => entry_ui(ui, view, *command, actions),
                Rule => {
                    ui.separator();
                }
                Within(name, commands) => {
                    ui.menu_button(*name, |ui| {
                        ui.set_min_width(230.0);
                        for command in *commands {
                            entry_ui(ui, view, *command, actions);
                        }
                    });
                }
            }
        }
    });
}

fn entry_ui(ui: &mut Ui, view: &View<'_>, command: Command, actions: &mut Actions) {
    let mut button = Button::new(command.name());
    if let Some(keys) = command.shortcuts().first() {
        let keys = RichText::new(keys::text(ui.ctx(), *keys)).color(view.tokens.soft_ink);
        button = button.shortcut_text(keys);
    }
    let hindrance = command.hindrance(view);
    let response = ui.add_enabled(hindrance.is_none(), button).accessible_name(command.name());
    let response = response.on_hover_text(command.tip());
    if response.on_disabled_hover_text(hindrance.unwrap_or_default()).clicked() {
        actions.push(Action::Do(command));
        ui.close();
    }
}
