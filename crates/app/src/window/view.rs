//! What panels may look at, and the state that belongs to the window rather than to the project.

use super::areas::Area;
use super::areas::brief::BriefState;
use super::areas::draft::findings::FindingsState;
use super::areas::draft::ladder::LadderState;
use super::areas::draft::nameplate::NameplateState;
use super::areas::draft::sheet::SheetState;
use super::areas::draft::shelf::ShelfState;
use super::areas::draft::{Hidden, Part};
use super::areas::year::{YearStanding, YearState};
use super::dialogs::Dialogs;
use super::document::Document;
use super::guide::GuideState;
use super::held::Held;
use super::history_list::HistoryList;
use super::notice::Tone;
use super::picker::Picker;
use super::reveal::Reveal;
use super::selection::Selection;
use super::start::{Standing, StartPage};
use super::tokens::Tokens;
use super::tour::TourStep;
use crate::engine::{Derived, Engine};
use crate::settings::Settings;
use egui::Pos2;
use lineside_core::edit::Gesture;
use lineside_core::project::Project;
use lineside_core::units::UnitSystem;
use std::sync::Arc;

/// Whether what was derived belongs to the project as it stands.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum Freshness {
    /// It does.
    #[default]
    Fresh,
    /// A newer result is being worked out.
    Stale,
}

/// What panels may look at. They change nothing here; they push actions.
pub struct View<'a> {
    /// The project with its history and its file.
    pub document: &'a Document,
    /// What follows from it.
    pub derived: &'a Derived,
    /// Whether that is up to date.
    pub freshness: Freshness,
    /// Tables and stock.
    pub engine: &'a Arc<Engine>,
    /// What is selected.
    pub selection: &'a Selection,
    /// Which parts beside the sheet are hidden.
    pub hidden: &'a Hidden,
    /// What this person has set.
    pub settings: &'a Settings,
    /// Colors.
    pub tokens: &'static Tokens,
    /// The finding that is being looked at, by its id.
    pub finding: Option<&'a str>,
    /// The figure of what is selected whose working is open, by its name.
    pub figure: Option<&'a str>,
    /// What the pointer holds.
    pub held: Option<&'a Held>,
    /// How the energy year stands.
    pub year: YearStanding,
    /// Whether there is a project.
    pub standing: Standing,
}

impl View<'_> {
    /// The project.
    pub const fn project(&self) -> &Project {
        &self.document.project
    }
    /// In which units people read.
    pub const fn units(&self) -> UnitSystem {
        self.document.project.units
    }
}

/// A sentence at the pointer: why something was refused, or what became of it. It goes with the next press
/// or key.
#[derive(Clone, Debug, PartialEq)]
pub struct Notice {
    /// The sentence.
    pub text: String,
    /// Where; `None` for the middle of the window's lower edge.
    pub at: Option<Pos2>,
    /// How it is meant.
    pub tone: Tone,
}

/// The state of the window that is not in the project.
#[derive(Default)]
pub struct ViewState {
    /// The area that is open.
    pub area: Area,
    /// Which parts beside the sheet are hidden, so that it has their room.
    pub hidden: Hidden,
    /// What is selected.
    pub selection: Selection,
    /// The finding that is being looked at, by its id.
    pub finding: Option<String>,
    /// The figure of what is selected whose working is open, by its name.
    pub figure: Option<String>,
    /// What the pointer holds.
    pub held: Option<Held>,
    /// The list that is open, to choose from.
    pub picker: Option<Picker>,
    /// The list of steps.
    pub history: HistoryList,
    /// A sentence at the pointer.
    pub notice: Option<Notice>,
    /// The spell of typing that is under way.
    pub spell: Option<Gesture>,
    /// What is under the pointer, in words, for the status bar.
    pub hint: String,
    /// What stands in the title bar.
    pub title: String,
    /// Whether somebody was typing at the end of the last frame: Escape and Enter end that before a frame begins.
    pub was_typing: bool,
    /// The page that is shown where no project is open.
    pub start: Option<StartPage>,
    /// The step of the tour that is shown.
    pub tour: Option<TourStep>,
    /// The guide.
    pub guide: GuideState,
    /// What has the keyboard, and whether it is in view.
    pub(super) reveal: Reveal,
    /// Whether a menu or a list was open at the end of the last frame; Escape then closes that.
    pub had_popup: bool,
    /// State of each panel.
    pub panels: Panels,
    /// Questions that are open.
    pub dialogs: Dialogs,
}

/// State that belongs to one panel each.
#[derive(Default)]
pub struct Panels {
    /// What is shown beside the sheet where there is no room for all.
    pub part: Part,
    /// The sheet.
    pub sheet: SheetState,
    /// The stock shelf.
    pub shelf: ShelfState,
    /// The nameplate.
    pub nameplate: NameplateState,
    /// The ladder.
    pub ladder: LadderState,
    /// The findings.
    pub findings: FindingsState,
    /// The brief.
    pub brief: BriefState,
    /// The year.
    pub year: YearState,
}
