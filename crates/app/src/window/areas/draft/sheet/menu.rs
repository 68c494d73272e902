//! The context menu of the sheet.

use super::SheetState;
use crate::window::action::{Action, Actions};
use crate::window::command::Command;
use crate::window::keys;
use crate::window::view::View;
use egui::{Button, Response, RichText};

const OF_SOMETHING: &[Option<Command>] = &[
    Some(Command::EditNameplate),
    Some(Command::DrawRun),
    None,
    Some(Command::Rotate),
    Some(Command::Flip),
    None,
    Some(Command::Copy),
    Some(Command::Duplicate),
    Some(Command::Delete),
    None,
    Some(Command::AddPlace),
    Some(Command::ZoomSelection),
];
const OF_PAPER: &[Option<Command>] =
    &[Some(Command::Paste), Some(Command::AddPlace), None, Some(Command::SelectAll), Some(Command::ZoomFit)];

/// Opens at a secondary click.
pub fn menu_ui(view: &View<'_>, _: &SheetState, sheet: &Response, actions: &mut Actions) {
    sheet.context_menu(|ui| {
        ui.set_min_width(210.0);
        for entry in if view.selection.is_empty() { OF_PAPER } else { OF_SOMETHING } {
            let Some(command) = entry else {
                ui.separator();
                continue;
            };
            let mut button = Button::new(command.name());
            if let Some(keys) = command.shortcuts().first() {
                let keys = RichText::new(keys::text(ui.ctx(), *keys)).color(view.tokens.soft_ink);
                button = button.shortcut_text(keys);
            }
            let hindrance = command.hindrance(view);
            let response = ui.add_enabled(hindrance.is_none(), button).accessible_name(command.name());
            let response = response.on_hover_text(command.tip());
            if response.on_disabled_hover_text(hindrance.unwrap_or_default()).clicked() {
                actions.push(Action::Do(*command));
                ui.close();
            }
        }
    });
}
