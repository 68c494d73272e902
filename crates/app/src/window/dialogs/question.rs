//! What becomes of unsaved work.

use super::{Intent, Reply, Stay};
use crate::window::fonts;
use crate::window::tokens::Tokens;
use crate::window::view::View;
use egui::{Button, FontId, Label, Response, RichText, Stroke, Ui, vec2};

/// Makes a dialog so wide, or as wide as the window lets it be.
pub fn wide(ui: &mut Ui, width: f32) {
    let width = width.min(ui.ctx().content_rect().width() - 64.0);
    ui.set_width(width);
    ui.set_max_width(width);
}

/// The heading of a dialog.
pub fn heading(ui: &mut Ui, text: &str) {
    ui.label(RichText::new(text).font(FontId::new(18.0, fonts::strong())));
}

/// Words of a dialog.
pub fn words(ui: &mut Ui, text: &str) {
    ui.add(Label::new(text).wrap());
}

/// The button for what a person most likely wants.
pub fn primary(ui: &mut Ui, tokens: &Tokens, text: &str) -> Response {
    let text = RichText::new(text).color(tokens.on_accent).family(fonts::strong());
    ui.add(
        Button::new(text)
            .fill(tokens.accent)
            .stroke(Stroke::new(1.0, tokens.accent))
            .min_size(vec2(96.0, 32.0)),
    )
}

/// Any other button.
pub fn secondary(ui: &mut Ui, text: &str) -> Response {
    ui.add(Button::new(text).min_size(vec2(84.0, 32.0)))
}

/// A row of buttons, the likeliest first: the eye, the Tab key and a screen reader meet them in one order.
pub fn buttons<R>(ui: &mut Ui, content: impl FnOnce(&mut Ui) -> R) -> R {
    ui.add_space(8.0);
    // A layout of its own would be as high as the room that is left in the dialog.
    ui.horizontal(content).inner
}

pub(super) fn unsaved_ui(ui: &mut Ui, view: &View<'_>, intent: &Intent, reply: &mut Option<Reply>) -> Stay {
    wide(ui, 440.0);
    heading(ui, &format!("Save the changes to {}?", view.document.file_name()));
    words(ui, "If you don't, they are lost.");
    buttons(ui, |ui| {
        let save = primary(ui, view.tokens, "Save");
        if ui.memory(|memory| memory.focused().is_none()) {
            save.request_focus();
        }
        let discard = secondary(ui, "Don't save");
        let cancel = secondary(ui, "Cancel");
        if save.clicked() {
            *reply = Some(Reply::Save(intent.clone()));
        } else if discard.clicked() {
            *reply = Some(Reply::Discard(intent.clone()));
        } else if !cancel.clicked() {
            return Stay::Open;
        }
        Stay::Close
    })
}
