//! Plots, reviews and sheets to files: asks where, makes and writes the file on a thread, and says what came of it.

use super::app::App;
use super::ask::{Purpose, Question, SheetUse};
use super::plot::export::Export;
use crate::disk;
use crate::engine::{Derived, derive};
use crate::review::{self, Form};
use crate::sheet_files::{self, Naming};
use egui::Context;
use lineside_core::project::Project;
use lineside_core::units::text;
use lineside_drawing::sheets::Division;
use std::io;
use std::path::{Path, PathBuf};
use std::sync::Arc;
use std::sync::mpsc::{Receiver, TryRecvError, channel};

/// A file that is being made and written.
#[derive(Debug)]
pub struct Writing {
    path: PathBuf,
    done: Receiver<io::Result<Vec<PathBuf>>>,
}

impl App {
    /// Asks where to write a plot.
    pub(super) fn export(&mut self, export: Box<Export>, ctx: &Context) {
        let question = Question {
            purpose: Purpose::Export(export.kind),
            folder: self.folder(),
            name: export.name.clone(),
        };
        self.state.dialogs.export = Some(export);
        self.ask(question, ctx);
    }

    /// Makes and writes the plot that waits for a name.
    pub(super) fn export_to(&mut self, mut path: PathBuf, ctx: &Context) {
        let Some(export) = self.state.dialogs.export.take() else { return };
        if path.extension().is_none() {
            path.set_extension(export.kind.ending());
        }
        let (send, done) = channel();
        let (ctx, to) = (ctx.clone(), path.clone());
        std::thread::spawn(move || {
            let _ = send.send(disk::write_whole(&to, &export.bytes()).map(|()| vec![to]));
            ctx.request_repaint();
        });
        self.state.dialogs.writing.push(Writing { path, done });
    }

    /// Asks where to write the review.
    pub(super) fn ask_for_review(&mut self, ctx: &Context) {
        let name = self.document.suggested_name().replace(".lineside", "-review.pdf");
        self.ask(Question { purpose: Purpose::Review, folder: self.folder(), name }, ctx);
    }

    /// Makes and writes the review of the project as it stands.
    pub(super) fn review_to(&mut self, mut path: PathBuf, ctx: &Context) {
        if path.extension().is_none() {
            path.set_extension("pdf");
        }
        let Some(form) = Form::of(&path) else {
            self.say("A review is written as PDF, HTML or text: end its name in .pdf, .html or .txt.", None);
            return;
        };
        let (send, done) = channel();
        let (ctx, to) = (ctx.clone(), path.clone());
        let (project, engine) = (self.document.project.clone(), Arc::clone(&self.desk.engine));
        std::thread::spawn(move || {
            let derived = derive(&project, &engine, 0);
            let bytes = review::write(&project, &derived, &engine, project.units, form);
            let bytes = bytes.map_err(|fault| io::Error::other(fault.to_string()));
            let _ = send.send(bytes.and_then(|bytes| disk::write_whole(&to, &bytes)).map(|()| vec![to]));
            ctx.request_repaint();
        });
        self.state.dialogs.writing.push(Writing { path, done });
    }

    /// Asks where to write the sheet.
    pub(super) fn ask_for_sheet(&mut self, wanted: SheetUse, ctx: &Context) {
        let name = self.document.suggested_name().replace(".lineside", ".pdf");
        self.ask(Question { purpose: Purpose::Sheet(wanted), folder: self.folder(), name }, ctx);
    }

    /// Makes and writes the sheets of the project as it stands.
    pub(super) fn sheet_to(&mut self, mut path: PathBuf, wanted: SheetUse, ctx: &Context) {
        if path.extension().is_none() {
            path.set_extension("pdf");
        }
        let form = match (sheet_files::Form::of(&path), wanted) {
            (Some(form), SheetUse::HandOn) => form,
            (Some(sheet_files::Form::Pdf), SheetUse::Print) => sheet_files::Form::Pdf,
            (_, SheetUse::HandOn) => {
                self.say("A sheet is written as PDF, SVG or DXF: end its name in .pdf, .svg or .dxf.", None);
                return;
            }
            (_, SheetUse::Print) => {
                self.say("What is to be printed is a PDF: end its name in .pdf.", None);
                return;
            }
        };
        let (send, done) = channel();
        let (ctx, to) = (ctx.clone(), path.clone());
        let (project, engine) = (self.document.project.clone(), Arc::clone(&self.desk.engine));
        std::thread::spawn(move || {
            let derived = derive(&project, &engine, 0);
            let _ = send.send(write_sheets(&project, &derived, form, &to));
            ctx.request_repaint();
        });
        self.state.dialogs.writing.push(Writing { path, done });
    }

    /// Says what came of the plots that were being written.
    pub(super) fn exported(&mut self) {
        for writing in std::mem::take(&mut self.state.dialogs.writing) {
            let name = writing.path.display().to_string();
            match writing.done.try_recv() {
                Err(TryRecvError::Empty) => self.state.dialogs.writing.push(writing),
                Ok(Ok(paths)) => self.tell(told(&paths)),
                Ok(Err(error)) => self.say(format!("{name} could not be written: {error}."), None),
                Err(TryRecvError::Disconnected) => self.say(format!("{name} could not be made."), None),
            }
        }
    }
}

/// Writes the sheets of a project; gives back the files.
fn write_sheets(
    project: &Project,
    derived: &Derived,
    form: sheet_files::Form,
    path: &Path,
) -> io::Result<Vec<PathBuf>> {
    let look = sheet_files::look_of(project, derived);
    let set = sheet_files::set_of(project, &look, Division::AsNeeded);
    let naming = if set.len() == 1 { Naming::AsAsked } else { Naming::Numbers };
    let files = sheet_files::files(&sheet_files::numbered(&set), form, (path, naming), project.name());
    let files = files.map_err(|fault| io::Error::other(fault.to_string()))?;
    files.into_iter().map(|file| disk::write_whole(&file.path, &file.bytes).map(|()| file.path)).collect()
}

/// Where something was written.
fn told(paths: &[PathBuf]) -> String {
    match paths {
        [first, .., last] => {
            let count = text::count(paths.len());
            let last = last.file_name().unwrap_or_default().to_string_lossy();
            format!("{count} sheets written, from {} to {last}.", first.display())
        }
        [one] => format!("Written to {}.", one.display()),
        [] => "Nothing was written.".to_owned(),
    }
}
