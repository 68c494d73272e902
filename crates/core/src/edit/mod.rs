//! Edits: the only way in which a project changes.
//!
//! An edit is a value that says what is to be, never by how much it changes, so it can be logged, undone,
//! replayed and tried on a copy. [`apply`] makes it and gives back the edit that undoes it exactly.

mod apply;
mod history;
mod refusal;
mod renaming;

pub(crate) use apply::is_tag;
pub use apply::{apply, remove_block_with_runs};
pub use history::{Gesture, History, Step};
pub use refusal::Refusal;

use crate::circuit::{Block, BlockId, GridPoint, Orientation, Place, PlaceId, Run, RunId};
use crate::kinds::Equipment;
use crate::project::{
    AcceptedAdvice, Brief, MadeLabel, OperatingCase, PriceBook, Revision, RuleSet, SetPoint, SiteRecord,
    StockItem, TitleBlock, WordsOf, WordsPlace,
};
use crate::units::UnitSystem;
use serde::{Deserialize, Serialize};

/// Where a block stands and how it lies.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct Stand {
    /// Upper left corner of its symbol.
    pub at: GridPoint,
    /// How its symbol lies.
    pub orientation: Orientation,
    /// The place in which it stands.
    pub place: Option<PlaceId>,
}

/// A change of a project.
#[derive(Clone, Debug, PartialEq)]
pub enum Edit {
    /// Puts a block on the sheet. Its id must be free.
    InsertBlock(Box<Block>),
    /// Takes a block off the sheet. No run may land on it any more.
    RemoveBlock(BlockId),
    /// Gives a block another tag.
    SetTag(BlockId, String),
    /// Moves or turns a block, or puts it into another place.
    SetStand(BlockId, Stand),
    /// Gives a block another nameplate or other settings.
    SetEquipment {
        /// Which.
        block: BlockId,
        /// What it is from now on.
        equipment: Box<Equipment>,
        /// From which stock item.
        stock: Option<String>,
    },
    /// Writes beside a block.
    SetBlockNote(BlockId, String),
    /// Lays a run. Its id must be free, its terminals must exist.
    InsertRun(Box<Run>),
    /// Takes a run away.
    RemoveRun(RunId),
    /// Changes a run: ends, conductor, bends, tag or note.
    SetRun(Box<Run>),
    /// Adds a place.
    InsertPlace(Box<Place>),
    /// Removes a place in which nothing stands.
    RemovePlace(PlaceId),
    /// Changes a place.
    SetPlace(Box<Place>),
    /// Fills the title block.
    SetTitle(Box<TitleBlock>),
    /// Chooses the code.
    SetRuleSet(RuleSet),
    /// Chooses the units.
    SetUnits(UnitSystem),
    /// Changes the brief.
    SetBrief(Box<Brief>),
    /// Changes the project's own stock.
    SetStock(Vec<StockItem>),
    /// Changes the programmed values.
    SetSetPoints(Vec<SetPoint>),
    /// Changes the price book.
    SetPriceBook(Box<PriceBook>),
    /// Changes the operating cases.
    SetCases(Vec<OperatingCase>),
    /// Changes the list of revisions.
    SetRevisions(Vec<Revision>),
    /// Makes the labels anew: these and no others.
    SetLabels(Vec<MadeLabel>),
    /// Changes the list of accepted advice. Each needs a reason.
    SetAccepted(Vec<AcceptedAdvice>),
    /// Moves words on the sheet; `None` gives them back their own place.
    SetWords(WordsOf, Option<WordsPlace>),
    /// Changes the site record.
    SetSiteRecord(Box<SiteRecord>),
    /// Puts the counter of ids back, when an insertion is undone.
    SetLastId(u32),
    /// Several edits, all or nothing.
    Batch(Vec<Edit>),
}
