//! Keeping the journal while somebody works, and giving lost work back at the next start.
//!
//! Where it is kept and how is `crate::journal`'s; what is asked is `dialogs/recover.rs`'s.

use super::app::App;
use super::dialogs::{Dialog, LostWorkReply};
use super::document::Document;
use crate::journal::{Entry, Journals, LostWork};
use egui::Context;
use lineside_core::edit::History;
use lineside_core::units::text;
use std::path::Path;
use std::time::{Duration, Instant};

/// Unsaved work is written so often at most; it is what a crash can cost.
const EVERY: Duration = Duration::from_secs(1);

/// The journal of this window.
#[derive(Debug, Default)]
pub struct Recovery {
    journals: Journals,
    entry: Option<Entry>,
    /// The state that was written last, by the history's count of changes, and when.
    written: Option<(u64, Instant)>,
}

impl Recovery {
    /// With journals kept there.
    pub fn new(journals: Journals) -> Self {
        Self { journals, ..Self::default() }
    }

    /// Forgets the entry: the work is saved, or another project is shown.
    pub fn forget(&mut self) {
        (self.entry, self.written) = (None, None);
    }
}

impl App {
    /// Offers lost work, when there is any.
    pub(super) fn offer_lost_work(&mut self) {
        // That of the file that was opened is offered already.
        if self.state.dialogs.is_open() {
            return;
        }
        let lost = self.recovery.journals.lost();
        if !lost.is_empty() {
            self.state.dialogs.shown = Some(Dialog::LostWork(lost));
        }
    }

    /// Offers lost work of the file that was just opened: it was put off, or another window lost it meanwhile.
    pub(super) fn remind_of_lost_work(&mut self, path: &Path) {
        let mut lost = self.recovery.journals.lost();
        lost.retain(|work| work.file.as_deref() == Some(path));
        if !lost.is_empty() {
            self.state.dialogs.shown = Some(Dialog::LostWork(lost));
        }
    }

    /// Writes unsaved work, a second after the last time at the earliest. Once a frame.
    pub(super) fn keep_journal(&mut self, ctx: &Context) {
        if !self.document.is_unsaved() {
            self.recovery.forget();
            return;
        }
        let changes = self.document.history.changes();
        let recovery = &mut self.recovery;
        let waited = match recovery.written {
            Some((written, _)) if written == changes => return,
            Some((_, when)) => when.elapsed(),
            None => EVERY,
        };
        if waited < EVERY {
            ctx.request_repaint_after(EVERY.saturating_sub(waited));
            return;
        }
        if recovery.entry.is_none() {
            recovery.entry = recovery.journals.begin();
        }
        let Some(entry) = &recovery.entry else { return };
        let of = self.document.file.as_ref().map(|file| file.path.as_path());
        if entry.write(&self.document.project, of, &unsaved_in_words(&self.document.history)) {
            recovery.written = Some((changes, Instant::now()));
        } else {
            ctx.request_repaint_after(EVERY);
        }
    }

    /// Does with lost work what was asked for.
    pub(super) fn give_back(&mut self, reply: LostWorkReply, ctx: &Context) {
        match reply {
            LostWorkReply::Open(work) => self.open_lost(work, ctx),
            LostWorkReply::Discard(work) => work.forget(),
        }
        ctx.request_repaint();
    }

    fn open_lost(&mut self, work: LostWork, ctx: &Context) {
        if self.document.file.as_ref().map(|file| &file.path) == work.file.as_ref() {
            // Our own lock must go first, or the file opens as if another window had it.
            self.document.file = None;
        }
        let file = work.file.as_deref().and_then(|path| Document::open(path).ok()).and_then(|it| it.file);
        let mut document = Document::new(work.project.clone());
        document.file = file;
        document.history.mark_unsaved();
        self.show_document(document);
        // Its own entry is written before the old one goes; if that cannot be, the old one stays.
        self.keep_journal(ctx);
        if self.recovery.entry.as_ref().is_some_and(Entry::settle) {
            work.forget();
        }
    }
}

/// How much is unsaved: `14 steps, the last: move Q1`.
fn unsaved_in_words(history: &History) -> String {
    let steps = history.steps();
    let saved = history.saved_after().unwrap_or(0);
    let words = |count: usize| match count {
        1 => "1 step".to_owned(),
        many => format!("{} steps", text::count(many)),
    };
    match (steps.len().checked_sub(saved), steps.last()) {
        (Some(since @ 1..), Some(last)) => format!("{}, the last: {}", words(since), last.label),
        (None, _) => format!("{} taken back", words(saved - steps.len())),
        (Some(_), _) => String::new(),
    }
}
