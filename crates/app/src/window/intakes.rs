//! Files that the brief is filled from: a load table, hourly weather.

use super::app::App;
use super::areas::brief::{self, Report};
use super::ask::{Purpose, Question};
use super::edits::Labeled;
use egui::Context;
use lineside_core::edit::Edit;
use lineside_core::project::Brief;
use std::fs::File;
use std::io::{self, Read as _};
use std::path::Path;

/// Files larger than this are neither a load table nor a year of weather.
const MOST_BYTES: u64 = 32 * 1024 * 1024;

/// A file that is not too large to be one of these.
pub(super) fn read(path: &Path) -> io::Result<Vec<u8>> {
    let mut bytes = Vec::new();
    File::open(path)?.take(MOST_BYTES + 1).read_to_end(&mut bytes)?;
    if bytes.len() as u64 > MOST_BYTES {
        return Err(io::Error::other("it is larger than 32 MB"));
    }
    Ok(bytes)
}

/// The name of a file without its folder.
pub(super) fn name_of(path: &Path) -> String {
    path.file_name().unwrap_or(path.as_os_str()).to_string_lossy().into_owned()
}

impl App {
    /// Asks for a file of that kind.
    pub(super) fn ask_for(&mut self, purpose: Purpose, ctx: &Context) {
        self.ask(Question { purpose, folder: self.folder(), name: String::new() }, ctx);
    }

    /// Adds the loads of a file to the brief, and reports what was refused.
    pub(super) fn read_loads(&mut self, path: &Path, ctx: &Context) {
        let taken = read(path)
            .map_err(|error| vec![error.to_string()])
            .and_then(|bytes| brief::with_loads_of(&self.document.project.brief, &bytes));
        self.fill_brief("take loads over", taken, ctx);
    }

    /// Puts the weather of a file into the brief, and reports what a person should know of it.
    pub(super) fn read_weather(&mut self, path: &Path, ctx: &Context) {
        let units = self.document.project.units;
        let taken = read(path).map_err(|error| vec![error.to_string()]).and_then(|bytes| {
            brief::with_weather_of(&self.document.project.brief, &bytes, &name_of(path), units)
        });
        self.fill_brief("read weather", taken, ctx);
    }

    fn fill_brief(&mut self, label: &str, taken: Result<(Brief, Report), Vec<String>>, ctx: &Context) {
        let report = match taken {
            Err(refused) => Report::nothing(refused),
            Ok((brief, report)) if brief == self.document.project.brief => report,
            Ok((brief, report)) => {
                if self.make(Labeled::new(label, Edit::SetBrief(Box::new(brief))), None, ctx) {
                    report
                } else {
                    return;
                }
            }
        };
        self.state.panels.brief.forget_typing();
        self.state.panels.brief.report = Some(report);
        ctx.request_repaint();
    }
}
