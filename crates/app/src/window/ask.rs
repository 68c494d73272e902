//! Asking people which file: by the machine's own dialog, on a thread of its own, behind a trait so that tests
//! can answer.

use super::plot::export::FileKind;
use egui::Context;
use std::path::PathBuf;
use std::sync::Arc;
use std::sync::mpsc::{Receiver, TryRecvError, channel};
use std::time::{Duration, Instant};

/// What a sheet is written for.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum SheetUse {
    /// To be handed on, in any form.
    HandOn,
    /// To be printed.
    Print,
}

/// What for.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Purpose {
    /// To open it.
    Open,
    /// To save there.
    SaveAs,
    /// To read a load table.
    Loads,
    /// To read hourly weather.
    Weather,
    /// To write a plot there.
    Export(FileKind),
    /// To write the review there.
    Review,
    /// To write the sheet there.
    Sheet(SheetUse),
    /// To read a table of stock.
    Stock,
}

/// A question for a file.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Question {
    /// What for.
    pub purpose: Purpose,
    /// The folder in which to begin.
    pub folder: Option<PathBuf>,
    /// The name to offer.
    pub name: String,
}

/// What came of it.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Answer {
    /// This file.
    Chosen(PathBuf),
    /// The person thought better of it.
    Cancelled,
    /// The machine has no program that asks.
    NoProgram,
}

/// Somebody who asks people for files. May take as long as people do.
pub trait Asker: Send + Sync {
    /// Asks and waits for the answer.
    fn which_file(&self, question: &Question) -> Answer;
}

/// The machine's own file dialog.
#[derive(Clone, Copy, Debug, Default)]
pub struct MachineDialog;

impl Asker for MachineDialog {
    fn which_file(&self, question: &Question) -> Answer {
        /// Nobody closes a dialog as fast as this; it was never shown.
        const NEVER_SHOWN: Duration = Duration::from_millis(120);
        let start = Instant::now();
        let mut dialog = rfd::FileDialog::new();
        dialog = match question.purpose {
            Purpose::Open | Purpose::SaveAs => dialog.add_filter("Lineside project", &["lineside"]),
            Purpose::Loads | Purpose::Stock => dialog.add_filter("Table", &["csv", "tsv", "txt"]),
            Purpose::Weather => dialog.add_filter("Hourly weather", &["csv", "epw"]),
            Purpose::Review => dialog.add_filter("Review", &["pdf", "html", "txt"]),
            Purpose::Sheet(SheetUse::HandOn) => dialog.add_filter("Sheet", &["pdf", "svg", "dxf"]),
            Purpose::Sheet(SheetUse::Print) => dialog.add_filter("Sheet", &["pdf"]),
            Purpose::Export(kind) => dialog.add_filter(kind.label().trim_end_matches('…'), &[kind.ending()]),
        };
        if let Some(folder) = &question.folder {
            dialog = dialog.set_directory(folder);
        }
        let chosen = match question.purpose {
            Purpose::Open => dialog.set_title("Open project").pick_file(),
            Purpose::Loads => dialog.set_title("Read loads").pick_file(),
            Purpose::Stock => dialog.set_title("Import stock").pick_file(),
            Purpose::Weather => dialog.set_title("Read weather").pick_file(),
            Purpose::SaveAs => dialog.set_title("Save project").set_file_name(&question.name).save_file(),
            Purpose::Review => dialog.set_title("Write review").set_file_name(&question.name).save_file(),
            Purpose::Sheet(_) => dialog.set_title("Write sheet").set_file_name(&question.name).save_file(),
            Purpose::Export(_) => dialog.set_title("Save plot").set_file_name(&question.name).save_file(),
        };
        match chosen {
            Some(path) => Answer::Chosen(path),
            None if start.elapsed() < NEVER_SHOWN => Answer::NoProgram,
            None => Answer::Cancelled,
        }
    }
}

/// A question that has been asked and not yet answered.
#[derive(Debug)]
pub struct Asking {
    /// The question.
    pub question: Question,
    answer: Receiver<Answer>,
}

impl Asking {
    /// Asks on a thread of its own.
    pub fn begin(asker: &Arc<dyn Asker>, question: Question, ctx: &Context) -> Self {
        let (send, answer) = channel();
        let (asker, asked, ctx) = (Arc::clone(asker), question.clone(), ctx.clone());
        std::thread::spawn(move || {
            let _ = send.send(asker.which_file(&asked));
            ctx.request_repaint();
        });
        Self { question, answer }
    }

    /// The answer, once it is there. A dialog that broke down counts as none at all.
    pub fn answer(&self) -> Option<Answer> {
        match self.answer.try_recv() {
            Ok(answer) => Some(answer),
            Err(TryRecvError::Empty) => None,
            Err(TryRecvError::Disconnected) => Some(Answer::NoProgram),
        }
    }
}
