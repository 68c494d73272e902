//! Files that cannot be opened or saved, and a path to type where the machine has no dialog of its own.

use super::question::{buttons, heading, primary, secondary, wide, words};
use super::{Intent, Reply, Stay};
use crate::disk::{OpenError, SaveError, previous_of};
use crate::window::ask::{Purpose, SheetUse};
use crate::window::fonts;
use crate::window::view::View;
use egui::{FontId, Frame, Label, Margin, RichText, ScrollArea, Stroke, TextEdit, Ui};
use lineside_core::file::{ReadError, ReadFault};
use std::path::{Path, PathBuf};

/// A path that is being typed.
#[derive(Debug)]
pub struct TypedPath {
    text: String,
    fault: Option<String>,
    begun: bool,
}

impl TypedPath {
    pub(super) const fn new(text: String) -> Self {
        Self { text, fault: None, begun: false }
    }
}

pub(super) fn cannot_open_ui(
    ui: &mut Ui,
    view: &View<'_>,
    path: &Path,
    error: &OpenError,
    reply: &mut Option<Reply>,
) -> Stay {
    wide(ui, 620.0);
    let name = path.file_name().unwrap_or(path.as_os_str()).to_string_lossy();
    heading(ui, &format!("{name} could not be opened"));
    match error {
        OpenError::Content(ReadError::Faults(faults)) => {
            let count = match faults.len() {
                1 => "It has one fault.".to_owned(),
                many => format!("It has {many} faults."),
            };
            words(ui, &format!("{count} Nothing of it was loaded, and the file is as it was."));
            faults_ui(ui, view, faults);
        }
        OpenError::Content(_)
        | OpenError::Missing(_)
        | OpenError::Forbidden(_)
        | OpenError::NotAFile(_)
        | OpenError::System { .. } => words(ui, &format!("{}.", capital(&error.to_string()))),
    }
    let previous = previous_of(path);
    let has_previous = previous.exists();
    buttons(ui, |ui| {
        let close = primary(ui, view.tokens, "Close").clicked();
        let open = has_previous
            && secondary(ui, "Open the last good copy")
                .on_hover_text(previous.display().to_string())
                .clicked();
        if open {
            *reply = Some(Reply::Discard(Intent::OpenFile(previous.clone())));
        }
        if close || open { Stay::Close } else { Stay::Open }
    })
}

fn capital(text: &str) -> String {
    let text = text.trim_end_matches('.');
    let mut letters = text.chars();
    letters.next().map_or_else(String::new, |first| first.to_uppercase().chain(letters).collect())
}

fn faults_ui(ui: &mut Ui, view: &View<'_>, faults: &[ReadFault]) {
    const MOST: usize = 200;
    let tokens = view.tokens;
    Frame::new()
        .stroke(Stroke::new(1.0, tokens.line))
        .corner_radius(4.0)
        .inner_margin(Margin::same(10))
        .show(ui, |ui| {
            ScrollArea::vertical().max_height(320.0).auto_shrink([false, true]).show(ui, |ui| {
                for fault in faults.iter().take(MOST) {
                    let place =
                        if fault.place.is_empty() { String::new() } else { format!(", {}", fault.place) };
                    let at = format!("Line {}, column {}{place}", fault.line, fault.column);
                    ui.label(RichText::new(at).font(FontId::new(fonts::BODY, fonts::strong())));
                    ui.add(Label::new(format!("Expected {}, found {}.", fault.expected, fault.found)).wrap());
                    ui.add(Label::new(RichText::new(&fault.advice).color(tokens.soft_ink)).wrap());
                    ui.add_space(6.0);
                }
                if faults.len() > MOST {
                    ui.label(format!("and {} more", faults.len() - MOST));
                }
            });
        });
}

pub(super) fn cannot_save_ui(
    ui: &mut Ui,
    view: &View<'_>,
    error: &SaveError,
    reply: &mut Option<Reply>,
) -> Stay {
    wide(ui, 520.0);
    heading(ui, "The project was not saved");
    words(ui, &format!("{}.", capital(&error.to_string())));
    words(ui, "Your changes are still here, in this window.");
    buttons(ui, |ui| {
        if primary(ui, view.tokens, "Save as…").clicked() {
            *reply = Some(Reply::SaveAs);
            return Stay::Close;
        }
        let overwritable = matches!(error, SaveError::ChangedOutside(_) | SaveError::Vanished(_));
        let overwrite = if matches!(error, SaveError::Vanished(_)) { "Save it again" } else { "Overwrite" };
        if overwritable && secondary(ui, overwrite).clicked() {
            *reply = Some(Reply::Overwrite);
            return Stay::Close;
        }
        if matches!(error, SaveError::ChangedOutside(_))
            && secondary(ui, "Reload")
                .on_hover_text("Read the changed file; what you changed here is lost.")
                .clicked()
        {
            *reply = Some(Reply::Discard(Intent::Reload));
            return Stay::Close;
        }
        if secondary(ui, "Cancel").clicked() { Stay::Close } else { Stay::Open }
    })
}

pub(super) fn type_path_ui(
    ui: &mut Ui,
    view: &View<'_>,
    purpose: Purpose,
    typed: &mut TypedPath,
    reply: &mut Option<Reply>,
) -> Stay {
    wide(ui, 560.0);
    heading(
        ui,
        match purpose {
            Purpose::Open => "Open project",
            Purpose::SaveAs => "Save project",
            Purpose::Export(_) => "Save plot",
            Purpose::Review => "Write review",
            Purpose::Sheet(SheetUse::HandOn) => "Export sheet",
            Purpose::Sheet(SheetUse::Print) => "Print sheet as PDF",
            Purpose::Loads => "Read loads",
            Purpose::Stock => "Import stock",
            Purpose::Weather => "Read weather",
        },
    );
    words(ui, "This machine has no file dialog, so type the path. ~ stands for your home folder.");
    let edit =
        TextEdit::singleline(&mut typed.text).desired_width(f32::INFINITY).margin(Margin::symmetric(8, 6));
    let entry = ui.add(edit).accessible_name("Path of the file");
    if !typed.begun {
        typed.begun = true;
        entry.request_focus();
    }
    if entry.changed() {
        typed.fault = None;
    }
    if let Some(fault) = &typed.fault {
        ui.add(Label::new(RichText::new(fault).color(view.tokens.danger)).wrap());
    }
    let entered = entry.lost_focus() && ui.input(|input| input.key_pressed(egui::Key::Enter));
    buttons(ui, |ui| {
        let word = match purpose {
            Purpose::Open => "Open",
            Purpose::Loads | Purpose::Weather | Purpose::Stock => "Read",
            Purpose::SaveAs | Purpose::Export(_) => "Save",
            Purpose::Review | Purpose::Sheet(_) => "Write",
        };
        if primary(ui, view.tokens, word).clicked() || entered {
            match path_of(purpose, &typed.text) {
                Ok(path) => {
                    *reply = Some(Reply::Path(purpose, path));
                    return Stay::Close;
                }
                Err(fault) => typed.fault = Some(fault),
            }
        }
        if secondary(ui, "Cancel").clicked() { Stay::Close } else { Stay::Open }
    })
}

/// The path that a person means, or why it will not do.
fn path_of(purpose: Purpose, typed: &str) -> Result<PathBuf, String> {
    let typed = typed.trim();
    if typed.is_empty() {
        return Err("Type the path of a file.".to_owned());
    }
    let mut path = match typed.strip_prefix("~/") {
        Some(rest) => {
            etcetera::home_dir().map_err(|_| "Your home folder is not known.".to_owned())?.join(rest)
        }
        None => PathBuf::from(typed),
    };
    match purpose {
        Purpose::Open | Purpose::Loads | Purpose::Weather | Purpose::Stock if !path.is_file() => {
            Err(format!("There is no file {}.", path.display()))
        }
        Purpose::Open | Purpose::Loads | Purpose::Weather | Purpose::Stock => Ok(path),
        Purpose::SaveAs | Purpose::Export(_) | Purpose::Review | Purpose::Sheet(_) => {
            let ending = match purpose {
                Purpose::Export(kind) => kind.ending(),
                Purpose::Review | Purpose::Sheet(_) => "pdf",
                Purpose::Open | Purpose::SaveAs | Purpose::Loads | Purpose::Weather | Purpose::Stock => {
                    "lineside"
                }
            };
            if path.is_dir() {
                return Err(format!("{} is a folder; add a name.", path.display()));
            }
            if path.extension().is_none() {
                path.set_extension(ending);
            }
            // A sheet may end in several ways.
            let kept = path.extension().filter(|_| matches!(purpose, Purpose::Sheet(_)));
            let ending = kept.map_or_else(|| ending.to_owned(), |it| it.to_string_lossy().into_owned());
            let in_full = typed.ends_with(&format!(".{ending}"));
            if path.exists() && !in_full {
                return Err(format!(
                    "{} is there already. Type it out in full to replace it.",
                    path.display()
                ));
            }
            Ok(path)
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn typed_paths() {
        assert!(path_of(Purpose::Open, "  ").is_err());
        assert!(path_of(Purpose::Open, "/nowhere/at/all").unwrap_err().contains("no file"));
        assert_eq!(path_of(Purpose::SaveAs, "/nowhere/cabin").unwrap(), Path::new("/nowhere/cabin.lineside"));
        assert!(path_of(Purpose::SaveAs, "/").unwrap_err().contains("is a folder"));
        assert!(!path_of(Purpose::SaveAs, "~/x.lineside").unwrap().starts_with("~"));
    }
}
