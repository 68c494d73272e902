//! Files from the window's side: new, open, save, and what is asked on the way so that no work is lost.

use super::app::App;
use super::ask::{Answer, Asking, Purpose, Question};
use super::derivation::Derivation;
use super::dialogs::{Dialog, Intent, Reply};
use super::document::Document;
use super::selection::Selection;
use super::view::ViewState;
use crate::disk::{Conflict, SaveError};
use egui::{Context, ViewportCommand};
use lineside_core::project::Project;
use std::path::{Path, PathBuf};
use std::sync::Arc;

impl App {
    /// Goes on with questions, file dialogs and the wish to close. Once a frame.
    pub(super) fn files(&mut self, ctx: &Context) {
        if ctx.input(|input| input.viewport().close_requested()) && !self.state.dialogs.may_close {
            if self.document.is_unsaved() {
                ctx.send_viewport_cmd(ViewportCommand::CancelClose);
                self.state.dialogs.shown = Some(Dialog::Unsaved(Intent::Quit));
            } else {
                self.state.dialogs.may_close = true;
            }
        }
        if let Some(answer) = self.state.dialogs.asking.as_ref().and_then(Asking::answer)
            && let Some(asking) = self.state.dialogs.asking.take()
        {
            self.answered(&asking.question, answer, ctx);
        }
        self.exported();
        if let Some(reply) = self.state.dialogs.reply.take() {
            self.replied(reply, ctx);
        }
        if let Some(reply) = self.state.dialogs.lost_work.take() {
            self.give_back(reply, ctx);
        }
        self.keep_journal(ctx);
    }

    /// Does something that would replace the project, after asking what becomes of unsaved work.
    pub(super) fn begin(&mut self, intent: Intent, ctx: &Context) {
        if self.document.is_unsaved() {
            self.state.dialogs.shown = Some(Dialog::Unsaved(intent));
        } else {
            self.go_on(intent, ctx);
        }
    }

    fn go_on(&mut self, intent: Intent, ctx: &Context) {
        match intent {
            Intent::New => {
                let units = self.settings.units;
                self.show_document(Document::new(Project { units, ..Project::default() }));
            }
            Intent::Close => self.show_start(ctx),
            Intent::Demo(demo) => self.show_document(Document::new(demo.project())),
            Intent::Tour => self.begin_tour(),
            Intent::Open => {
                let question =
                    Question { purpose: Purpose::Open, folder: self.folder(), name: String::new() };
                self.ask(question, ctx);
            }
            Intent::OpenFile(path) => self.open_file(&path, ctx),
            Intent::Reload => {
                if let Some(path) = self.document.file.as_ref().map(|file| file.path.clone()) {
                    // Our own lock must go first, or the file opens as if another window had it.
                    self.document.file = None;
                    self.open_file(&path, ctx);
                }
            }
            Intent::Quit => {
                self.state.dialogs.may_close = true;
                ctx.send_viewport_cmd(ViewportCommand::Close);
            }
        }
    }

    fn replied(&mut self, reply: Reply, ctx: &Context) {
        match reply {
            Reply::Discard(intent) => self.go_on(intent, ctx),
            Reply::Save(intent) => {
                self.state.dialogs.then = Some(intent);
                self.save(ctx);
            }
            Reply::Overwrite => self.save_over(Conflict::Overwrite, ctx),
            Reply::SaveAs => self.ask_where_to_save(ctx),
            Reply::Path(Purpose::Open, path) => self.open_file(&path, ctx),
            Reply::Path(Purpose::SaveAs, path) => self.save_to(&path, ctx),
            Reply::Path(Purpose::Export(_), path) => self.export_to(path, ctx),
            Reply::Path(Purpose::Review, path) => self.review_to(path, ctx),
            Reply::Path(Purpose::Sheet(wanted), path) => self.sheet_to(path, wanted, ctx),
            Reply::Path(Purpose::Stock, path) => self.look_at_stock(&path, ctx),
            Reply::Path(Purpose::Loads, path) => self.read_loads(&path, ctx),
            Reply::Path(Purpose::Weather, path) => self.read_weather(&path, ctx),
        }
    }

    pub(super) fn ask(&mut self, question: Question, ctx: &Context) {
        if self.state.dialogs.asking.is_none() {
            self.state.dialogs.asking = Some(Asking::begin(&self.desk.asker, question, ctx));
        }
    }

    fn answered(&mut self, question: &Question, answer: Answer, ctx: &Context) {
        match (question.purpose, answer) {
            (_, Answer::Cancelled) => {
                self.state.dialogs.then = None;
                self.state.dialogs.export = None;
            }
            (Purpose::Open, Answer::Chosen(path)) => self.open_file(&path, ctx),
            (Purpose::SaveAs, Answer::Chosen(path)) => self.save_to(&with_extension(path), ctx),
            (Purpose::Export(_), Answer::Chosen(path)) => self.export_to(path, ctx),
            (Purpose::Review, Answer::Chosen(path)) => self.review_to(path, ctx),
            (Purpose::Sheet(wanted), Answer::Chosen(path)) => self.sheet_to(path, wanted, ctx),
            (Purpose::Stock, Answer::Chosen(path)) => self.look_at_stock(&path, ctx),
            (Purpose::Loads, Answer::Chosen(path)) => self.read_loads(&path, ctx),
            (Purpose::Weather, Answer::Chosen(path)) => self.read_weather(&path, ctx),
            (purpose, Answer::NoProgram) => {
                let folder =
                    question.folder.clone().or_else(|| std::env::current_dir().ok()).unwrap_or_default();
                let suggestion = folder.join(&question.name).display().to_string();
                self.state.dialogs.type_path(purpose, suggestion);
            }
        }
    }

    pub(super) fn folder(&self) -> Option<PathBuf> {
        let own = self.document.file.as_ref().map(|file| file.path.clone());
        let path = own.or_else(|| self.settings.recent.first().cloned())?;
        path.parent().map(Path::to_owned).filter(|folder| folder.is_dir())
    }

    /// Opens a file, or says why not; the project at hand stays then.
    pub(super) fn open_file(&mut self, path: &Path, ctx: &Context) {
        let whole = std::path::absolute(path).unwrap_or_else(|_| path.to_owned());
        let path = whole.as_path();
        match Document::open(path) {
            Ok(document) => {
                let read_only = document.is_read_only();
                self.show_document(document);
                self.remember(path);
                self.take_thumbnail();
                if read_only {
                    self.say("Another window has this file open; here it can only be read.", None);
                } else {
                    self.remind_of_lost_work(path);
                }
            }
            Err(error) => self.state.dialogs.shown = Some(Dialog::CannotOpen(path.to_owned(), error)),
        }
        ctx.request_repaint();
    }

    pub(super) fn show_document(&mut self, document: Document) {
        self.recovery.forget();
        self.document = document;
        let engine = Arc::clone(&self.desk.engine);
        self.derivation = Derivation::new(engine, &self.document.project, self.document.history.changes());
        let old = std::mem::take(&mut self.state);
        self.state = ViewState {
            area: old.area,
            hidden: old.hidden,
            title: old.title,
            guide: old.guide,
            ..ViewState::default()
        };
        self.state.panels.shelf = old.panels.shelf;
        self.state.dialogs.writing = old.dialogs.writing;
        self.state.selection = Selection::default();
        self.state.panels.sheet.fit();
    }

    /// Saves to the document's file, or asks for one.
    pub(super) fn save(&mut self, ctx: &Context) {
        if self.document.file.is_none() {
            self.ask_where_to_save(ctx);
        } else {
            self.save_over(Conflict::Refuse, ctx);
        }
    }

    fn save_over(&mut self, conflict: Conflict, ctx: &Context) {
        let result = self.document.save(conflict);
        self.saved(result, ctx);
    }

    fn save_to(&mut self, path: &Path, ctx: &Context) {
        let whole = std::path::absolute(path).unwrap_or_else(|_| path.to_owned());
        let path = whole.as_path();
        let result = self.document.save_as(path);
        if result.is_ok() {
            self.remember(path);
        }
        self.saved(result, ctx);
    }

    fn saved(&mut self, result: Result<(), SaveError>, ctx: &Context) {
        match result {
            Ok(()) => {
                self.take_thumbnail();
                self.state.spell = None;
                if let Some(intent) = self.state.dialogs.then.take() {
                    self.go_on(intent, ctx);
                }
            }
            Err(error) => self.state.dialogs.shown = Some(Dialog::CannotSave(error)),
        }
        ctx.request_repaint();
    }

    /// Asks for a file to save to.
    pub(super) fn ask_where_to_save(&mut self, ctx: &Context) {
        let name = match &self.document.file {
            Some(_) => self.document.file_name(),
            None => self.document.suggested_name(),
        };
        self.ask(Question { purpose: Purpose::SaveAs, folder: self.folder(), name }, ctx);
    }
}

fn with_extension(mut path: PathBuf) -> PathBuf {
    if path.extension().is_none() {
        path.set_extension("lineside");
    }
    path
}
