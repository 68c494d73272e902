//! Plots to files: asks where, makes and writes the file on a thread, and says what came of it.

use super::app::App;
use super::ask::{Purpose, Question};
use super::plot::export::Export;
use crate::disk;
use egui::Context;
use std::io;
use std::path::PathBuf;
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
