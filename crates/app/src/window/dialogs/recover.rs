//! Lost work that was found at the start, offered back.

use super::question::{buttons, heading, primary, secondary, wide, words};
use super::{LostWorkReply, Stay};
use crate::journal::LostWork;
use crate::window::view::View;
use egui::Ui;
use std::time::Duration;

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
    let kept = first
        .kept
        .and_then(|kept| kept.elapsed().ok())
        .map(|ago| format!("It was kept last {}", ago_in_words(ago)));
    let told = match (kept, first.about.is_empty()) {
        (Some(kept), false) => format!("{kept}. Not saved: {}.", first.about),
        (Some(kept), true) => format!("{kept}."),
        (None, false) => format!("Not saved: {}.", first.about),
        (None, true) => String::new(),
    };
    if !told.is_empty() {
        words(ui, &told);
    }
    buttons(ui, |ui| {
        let open = primary(ui, view.tokens, "Open it");
        if ui.memory(|memory| memory.focused().is_none()) {
            open.request_focus();
        }
        let later = secondary(ui, "Later")
            .on_hover_text("It is kept, and offered again at the next start and when its file is opened.");
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

/// How long ago something was: `12 minutes ago`.
fn ago_in_words(ago: Duration) -> String {
    const MINUTE: u64 = 60;
    const HOUR: u64 = 60 * MINUTE;
    const DAY: u64 = 24 * HOUR;
    let (count, unit) = match ago.as_secs() {
        ..MINUTE => return "less than a minute ago".to_owned(),
        it @ ..HOUR => (it / MINUTE, "minute"),
        it @ ..DAY => (it / HOUR, "hour"),
        it => (it / DAY, "day"),
    };
    format!("{count} {unit}{} ago", if count == 1 { "" } else { "s" })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn times_are_told_in_the_unit_that_people_use() {
        let ago = |seconds| ago_in_words(Duration::from_secs(seconds));
        assert_eq!(ago(59), "less than a minute ago");
        assert_eq!(ago(119), "1 minute ago");
        // 3 h 59 min 59 s.
        assert_eq!(ago(14_399), "3 hours ago");
        assert_eq!(ago(86_400), "1 day ago");
    }
}
