//! Files that are dropped on the window: a project is opened, weather and loads go into the brief, anything else is
//! refused with words.

use super::app::App;
use super::areas::Area;
use super::areas::brief::{self, Page};
use super::dialogs::Intent;
use super::fonts;
use super::intakes;
use super::tokens::Tokens;
use egui::{Align2, Context, FontId, Id, LayerId, Order};
use lineside_core::units::UnitSystem;
use std::path::{Path, PathBuf};

/// What a dropped file is.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum Sort {
    Project,
    Weather,
    Loads,
    Stock,
}

impl App {
    /// Takes in what was dropped in this frame.
    pub(super) fn take_dropped(&mut self, ctx: &Context) {
        let dropped = ctx.input_mut(|input| std::mem::take(&mut input.raw.dropped_files));
        let paths: Vec<PathBuf> = dropped.iter().map(|file| file.path().to_owned()).collect();
        let Some(first) = paths.first() else { return };
        let said = if self.state.dialogs.is_open() {
            Err("Something is being asked: answer that first, then drop the file again.".to_owned())
        } else if paths.len() > 1 {
            Err("Drop one file at a time: the window shows one project.".to_owned())
        } else {
            self.take_in(first, ctx)
        };
        if let Err(why) = said {
            self.say(why, ctx.pointer_latest_pos());
        }
        ctx.request_repaint();
    }

    fn take_in(&mut self, path: &Path, ctx: &Context) -> Result<(), String> {
        let sort = sort_of(path)?;
        if matches!(sort, Sort::Weather | Sort::Loads) && self.state.start.is_some() {
            return Err(format!("Open a project first: {} goes into its brief.", intakes::name_of(path)));
        }
        match sort {
            Sort::Project => self.begin(Intent::OpenFile(path.to_owned()), ctx),
            Sort::Weather => {
                self.state.area = Area::Brief;
                self.state.panels.brief.page = Page::Site;
                self.read_weather(path, ctx);
            }
            Sort::Stock => self.look_at_stock(path, ctx),
            Sort::Loads => {
                self.state.area = Area::Brief;
                self.state.panels.brief.page = Page::Loads;
                self.read_loads(path, ctx);
            }
        }
        Ok(())
    }
}

/// What a file is, by its ending and, of tables, by what is in it; or why it is none that can be used.
fn sort_of(path: &Path) -> Result<Sort, String> {
    let name = intakes::name_of(path);
    if path.is_dir() {
        return Err(format!("{name} is a folder. Drop the project file that is in it."));
    }
    let lower = name.to_lowercase();
    let ends = |endings: &[&str]| endings.iter().any(|ending| lower.ends_with(ending));
    if ends(&[".lineside", ".lineside.previous"]) {
        return Ok(Sort::Project);
    }
    if ends(&[".epw"]) {
        return Ok(Sort::Weather);
    }
    if !ends(&[".csv", ".tsv", ".txt"]) {
        return Err(format!(
            "{name} is nothing that Lineside reads. Drop a project (*.lineside), hourly weather (EPW, CSV), or a table of loads or stock (CSV)."
        ));
    }
    let bytes = intakes::read(path).map_err(|error| format!("{name} could not be read: {error}."))?;
    let empty = lineside_core::project::Brief::default();
    if brief::with_weather_of(&empty, &bytes, &name, UnitSystem::Us).is_ok() {
        return Ok(Sort::Weather);
    }
    match brief::with_loads_of(&empty, &bytes) {
        Ok(_) => Ok(Sort::Loads),
        Err(_) if is_of_stock(&bytes) => Ok(Sort::Stock),
        Err(_) => Err(format!("{name} is neither hourly weather nor a table of loads or stock.")),
    }
}

/// Whether a table names equipment and something of its data.
fn is_of_stock(bytes: &[u8]) -> bool {
    let headings = lineside_core::file::stock_table_headings(bytes).unwrap_or_default();
    let known: Vec<&str> = headings.into_iter().filter_map(|(_, ours)| ours).collect();
    known.contains(&"name") && known.len() > 2
}

/// While a file is held over the window, it is said what dropping it would do.
pub fn held_over_ui(ctx: &Context, tokens: &Tokens) {
    let hovered = ctx.input(|input| input.raw.hovered_files.clone());
    if hovered.is_empty() {
        return;
    }
    let name = hovered.first().and_then(|file| file.path.as_deref()).map(intakes::name_of);
    let words = match (name, hovered.len()) {
        (Some(name), 1) => format!("Drop {name} to open it"),
        (None, 1) => "Drop the file to open it".to_owned(),
        _ => "One file at a time, please".to_owned(),
    };
    let screen = ctx.content_rect();
    let painter = ctx.layer_painter(LayerId::new(Order::Foreground, Id::unique("held over")));
    painter.rect_filled(screen, 0.0, tokens.veil);
    let galley = painter.layout_no_wrap(words, FontId::new(20.0, fonts::strong()), tokens.ink);
    let card = Align2::CENTER_CENTER.anchor_size(screen.center(), galley.size() + egui::vec2(56.0, 36.0));
    let edge = egui::Stroke::new(1.5, tokens.accent);
    painter.rect(card, 8.0, tokens.card, edge, egui::StrokeKind::Inside);
    painter.galley(card.center() - galley.size() / 2.0, galley, tokens.ink);
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn files_are_told_apart() {
        assert_eq!(sort_of(Path::new("/nowhere/cabin.LINESIDE")), Ok(Sort::Project));
        assert_eq!(sort_of(Path::new("/nowhere/site.epw")), Ok(Sort::Weather));
        assert!(sort_of(Path::new("/nowhere/roof.jpg")).unwrap_err().contains("nothing that Lineside reads"));
        assert!(sort_of(Path::new("/nowhere/loads.csv")).unwrap_err().contains("could not be read"));
        assert!(sort_of(&std::env::temp_dir()).unwrap_err().contains("is a folder"));
    }
}
