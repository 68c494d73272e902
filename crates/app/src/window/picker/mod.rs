//! A list to choose from over the window, narrowed by typing: search for anything, blocks that fit a terminal, devices
//! for a run, stock to swap for, templates.
//!
//! What can be chosen is gathered in `entries.rs`, what becomes of it is in `choose.rs`, how it looks in `list.rs`.

mod choose;
mod entries;
mod list;
mod nearness;

pub use entries::entries;
pub use list::picker_ui;

use super::command::Command;
use super::selection::Thing;
use super::templates::Template;
use egui::Pos2;
use lineside_core::circuit::{BlockId, GridPoint, RunEnd, RunId};
use lineside_rules::Severity;
use std::collections::BTreeSet;

/// What is looked for.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Asked {
    /// Anything.
    Anything,
    /// A block that goes on from a terminal; the run ends at the point, if there is one.
    Continue(RunEnd, Option<GridPoint>),
    /// A device that goes into a run.
    Insert(RunId),
    /// An item of stock that takes the place of these blocks.
    Swap(BTreeSet<BlockId>),
    /// An item of stock that takes the place of every block of the same model.
    ReplaceAll(BTreeSet<BlockId>),
    /// A template, put at the point if there is one.
    Template(Option<GridPoint>),
}

impl Asked {
    /// What stands in the empty search.
    const fn hint(&self) -> &'static str {
        match self {
            Self::Anything => "Block, run, place, finding or action",
            Self::Continue(..) => "Find a block that fits",
            Self::Insert(_) => "Find a device",
            Self::Swap(_) | Self::ReplaceAll(_) => "Find an item of stock",
            Self::Template(_) => "Find a template",
        }
    }
    /// What the search is called.
    pub const fn name(&self) -> &'static str {
        match self {
            Self::Anything => "Search for anything",
            Self::Continue(..) => "Blocks that fit",
            Self::Insert(_) => "Devices for the run",
            Self::Swap(_) => "Swap for",
            Self::ReplaceAll(_) => "Replace across the sheet by",
            Self::Template(_) => "Templates",
        }
    }
}

/// Something that can be chosen.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Choice {
    /// A command.
    Do(Command),
    /// A part of the sheet.
    Thing(Thing),
    /// A finding, by its id.
    Finding(String),
    /// An item of stock, by its position.
    Item(usize),
    /// A template.
    Template(Template),
}

/// What stands at the left of an entry.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Icon {
    /// Nothing.
    None,
    /// The symbol of an item of stock.
    Item(usize),
    /// The symbol of a block.
    Block(BlockId),
    /// The mark of a finding.
    Finding(Severity),
}

/// One line of the list.
#[derive(Clone, Debug, PartialEq)]
pub struct Entry {
    /// What it is called.
    pub title: String,
    /// What else tells it from others.
    pub detail: String,
    /// The keys that do the same.
    pub keys: String,
    /// Under which heading it stands while nothing is searched for.
    pub group: String,
    /// Why it cannot be chosen.
    pub hindrance: Option<String>,
    /// What stands at its left.
    pub icon: Icon,
    /// What it is.
    pub choice: Choice,
}

impl Entry {
    /// As assistive technology reads it.
    pub fn name(&self) -> String {
        if self.detail.is_empty() || matches!(self.choice, Choice::Do(_) | Choice::Template(_)) {
            self.title.clone()
        } else {
            format!("{}, {}", self.title, self.detail)
        }
    }
}

/// The list that is open.
#[derive(Debug)]
pub struct Picker {
    asked: Asked,
    at: Option<Pos2>,
    search: String,
    /// Which row Enter takes; none until something is typed where everything could be meant.
    chosen: Option<usize>,
    entries: Option<Vec<Entry>>,
    found: Vec<usize>,
    begun: bool,
    moved: bool,
}

impl Picker {
    /// A list that opens at a point of the screen, or in the upper middle of the window.
    pub const fn new(asked: Asked, at: Option<Pos2>) -> Self {
        Self {
            asked,
            at,
            search: String::new(),
            chosen: None,
            entries: None,
            found: Vec::new(),
            begun: false,
            moved: false,
        }
    }
    /// What is looked for.
    pub const fn asked(&self) -> &Asked {
        &self.asked
    }
    /// What is typed.
    pub fn search(&self) -> &str {
        &self.search
    }
}
