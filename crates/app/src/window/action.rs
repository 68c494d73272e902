//! What panels ask for. They push actions; `apply.rs` carries them out after the frame.

use super::areas::Area;
use super::command::Command;
use super::demo::Demo;
use super::dialogs::ItemForm;
use super::edits::Labeled;
use super::edits::adding::Spot;
use super::edits::fields::Owner;
use super::held::Held;
use super::picker::{Asked, Choice};
use super::plot::export::Export;
use super::selection::Selection;
use super::templates::Template;
use super::tour::TourStep;
use super::wear::Setting;
use egui::Pos2;
use lineside_core::circuit::{BlockId, GridPoint, RunEnd};
use lineside_core::edit::{Gesture, Refusal};
use lineside_core::kinds::field::{Field, Value};
use lineside_core::project::{Project, StockItem};
use std::path::PathBuf;

/// What a panel asks for.
#[derive(Debug)]
pub enum Action {
    /// Carry out a command.
    Do(Command),
    /// Make an edit as one step, or as part of a gesture.
    Make(Labeled, Option<Gesture>),
    /// Make an edit as part of the spell of typing that is under way.
    MakeInSpell(Labeled),
    /// Say why something cannot be done.
    Refuse(Refusal),
    /// Say something at the pointer.
    Say(String, Option<Pos2>),
    /// Set a datum, as part of a spell of typing or of a drag.
    SetField {
        /// Whose.
        owner: Owner,
        /// Which.
        field: &'static Field,
        /// To what.
        value: Value,
        /// The spell.
        spell: Spell,
    },
    /// The spell of typing or the drag is over.
    EndSpell,
    /// Take back what the spell has changed.
    CancelSpell,
    /// Open an area.
    Go(Area),
    /// Select.
    Select(Selection),
    /// Open a list to choose from, at a point of the screen or in the upper middle of the window.
    Pick(Asked, Option<Pos2>),
    /// Close it.
    ClosePicker,
    /// Do what was chosen from it.
    Picked(Asked, Choice),
    /// Put a template on the sheet, at a point or in the middle of the view.
    PlaceTemplate(Template, Option<GridPoint>),
    /// Go to how the project was after so many steps.
    GoToStep(usize),
    /// Take something up with the pointer.
    Hold(Held),
    /// Put an item of stock on the sheet.
    Place {
        /// Its position in the stock.
        item: usize,
        /// The middle of its symbol; the middle of the view when `None`.
        middle: Option<GridPoint>,
        /// The run into which it goes.
        into: Option<Spot>,
    },
    /// Put a block that is on the sheet into a run.
    InsertBlock(BlockId, Spot),
    /// Draw a run.
    DrawRun(RunEnd, RunEnd),
    /// Look at a finding and bring its parts into view.
    ShowFinding(String),
    /// Open the working of a figure of what is selected, by its name.
    ShowFigure(String),
    /// Put a copied text on the sheet.
    Paste(String),
    /// Open the form for an item of one's own stock, or for a new one.
    EditOwnItem(Option<String>),
    /// Open the form for a new item of stock with the nameplate of the selected block.
    OwnItemOfSelection,
    /// Keep an item in one's own stock; the form comes back when that cannot be done.
    KeepOwnItem(Box<StockItem>, Box<ItemForm>),
    /// Take an item out of one's own stock.
    RemoveOwnItem(String),
    /// Take items into one's own stock.
    TakeOwnItems(Vec<StockItem>),
    /// Ask for a table of stock and look at it.
    ReadStock,
    /// Ask for a load table and read it.
    ReadLoads,
    /// Ask for a weather file and read it.
    ReadWeather,
    /// Draw a proposed system on the sheet, in the place of what stands there.
    OpenProposal(Box<Project>),
    /// Write a plot to a file.
    Export(Box<Export>),
    /// Open one of the files opened last.
    OpenRecent(PathBuf),
    /// Take a file from the list of those opened last.
    ForgetRecent(PathBuf),
    /// Open a demo project.
    OpenDemo(Demo),
    /// Change a setting.
    Set(Setting),
    /// Go to a step of the tour.
    Tour(TourStep),
    /// Leave the tour.
    EndTour,
}

/// Whether a change begins a new step of the history or goes on with the last one.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Spell {
    /// One step of its own: a choice from a list.
    Single,
    /// Goes on until [`Action::EndSpell`].
    GoesOn,
}

/// The actions of one frame, in order.
pub type Actions = Vec<Action>;
