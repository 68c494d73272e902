//! Plots and reviews to files: asks where, makes and writes the file on a thread, and says what came of it.

use super::app::App;
use super::ask::{Purpose, Question};
use super::plot::export::Export;
use crate::disk;
use crate::engine::derive;
use crate::review::{self, Form};
use egui::Context;
use std::io;
use std::path::PathBuf;
use std::sync::Arc;
use std::sync::mpsc::{Receiver, TryRecvError, channel};

/// A file that is being made and written.
#[derive(Debug)]
pub struct Writing {
    path: PathBuf,
    done: Receiver<io::Result<()>>,
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
            let _ = send.send(disk::write_whole(&to, &export.bytes()));
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
            let _ = send.send(bytes.and_then(|bytes| disk::write_whole(&to, &bytes)));
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
                Ok(Ok(())) => self.tell(format!("Written to {name}.")),
                Ok(Err(error)) => self.say(format!("{name} could not be written: {error}."), None),
                Err(TryRecvError::Disconnected) => self.say(format!("{name} could not be made."), None),
            }
        }
    }
}
