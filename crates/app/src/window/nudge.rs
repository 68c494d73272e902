//! Moving what is selected with the arrow keys: a step of the grid, or four with Shift.

use super::action::{Action, Actions};
use super::app::App;
use super::edits::moving;
use super::keys;
use egui::{Context, Key, KeyboardShortcut, Modifiers};

/// Reads the arrow keys; only asked while keys mean the sheet.
pub fn read(ctx: &Context, app: &App, actions: &mut Actions) {
    if app.state.selection.blocks.is_empty() {
        return;
    }
    let (mut dx, mut dy) = (0, 0);
    ctx.input_mut(|input| {
        for (key, x, y) in
            [(Key::ArrowLeft, -1, 0), (Key::ArrowRight, 1, 0), (Key::ArrowUp, 0, -1), (Key::ArrowDown, 0, 1)]
        {
            for (modifiers, step) in [(Modifiers::SHIFT, 4), (Modifiers::NONE, 1)] {
                while keys::take(input, KeyboardShortcut::new(modifiers, key)) {
                    dx += x * step;
                    dy += y * step;
                }
            }
        }
    });
    if (dx, dy) == (0, 0) {
        return;
    }
    let circuit = &app.document.project.circuit;
    let from = moving::stands(circuit, &app.state.selection.blocks);
    if let Some(step) = moving::by(circuit, &from, dx, dy) {
        actions.push(Action::Make(step, None));
    }
}
