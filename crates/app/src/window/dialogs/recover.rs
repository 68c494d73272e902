//! Lost work that was found at the start, offered back.

use super::question::{buttons, heading, primary, secondary, wide, words};
use super::{LostWorkReply, Stay};
use crate::journal::LostWork;
use crate::window::view::View;
use egui::Ui;

/// Offers the first of what was found; the others follow when that is settled.
pub(super) fn recover_ui(
    ui: &mut Ui,
    view: &View<'_>,
    lost: &mut Vec<LostWork>,
    reply: &mut Option<LostWorkReply>,
) -> Stay {
    wide(ui, 480.0);
    let Some(first) = lost.first() else { return Stay::Close };
    heading(ui, "Unsaved work was found");
    let name = first.project.name();
    let of = first.file.as_ref().map_or_else(
        || format!("A window on “{name}” ended before its work was saved. It had no file yet."),
        |file| {
            let file = file.display();
            format!("A window on “{name}” ended before its last changes were saved to {file}. The file is as it was saved.")
        },
    );
    words(ui, &of);
    buttons(ui, |ui| {
        let open = primary(ui, view.tokens, "Open it");
        if ui.memory(|memory| memory.focused().is_none()) {
            open.request_focus();
        }
        let later = secondary(ui, "Later").on_hover_text("It is kept, and offered again at the next start.");
        let discard = secondary(ui, "Throw it away");
        if open.clicked() {
            *reply = Some(LostWorkReply::Open(lost.remove(0)));
            // One window shows one project: the others are offered again at the next start.
            lost.clear();
        } else if discard.clicked() {
            *reply = Some(LostWorkReply::Discard(lost.remove(0)));
        } else if !later.clicked() {
            return Stay::Open;
        }
        if open.clicked() || later.clicked() || lost.is_empty() { Stay::Close } else { Stay::Open }
    })
}
