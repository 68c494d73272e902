//! What the pointer holds: a drag under way, from the press to the release.
//!
//! A drag is begun by a panel and followed here at the start of each frame, before anything is painted, so
//! that sheet, findings and ladder all show the same state.

use super::edits::fields::Owner;
use super::edits::places::{Corner, Moving};
use super::templates::Template;
use egui::Pos2;
use lineside_core::circuit::{BlockId, GridPoint, Place, RunEnd, RunId, Side};
use lineside_core::edit::{Gesture, Stand};
use lineside_core::kinds::field::Field;
use lineside_core::project::WordsOf;
use lineside_drawing::geometry::Point;

/// What becomes of what is selected when something else is chosen.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Choosing {
    /// It is selected no longer.
    Instead,
    /// It stays selected: Shift or the command key is held.
    AsWell,
}

/// What the pointer holds.
#[derive(Clone, Debug, PartialEq)]
pub enum Held {
    /// An item of stock on its way from the shelf, by its position in the stock.
    Item(usize),
    /// A template on its way from the shelf.
    Template(Template),
    /// Blocks, by a point of the sheet, with how they stood.
    Blocks {
        /// The block that was pressed on.
        chief: BlockId,
        /// How they stood.
        from: Vec<(BlockId, Stand)>,
        /// Where on the sheet they were taken up.
        grip: Point,
        /// The step of the history into which the drag goes.
        gesture: Gesture,
    },
    /// A place with what stands in it.
    Place {
        /// As it stood.
        moving: Box<Moving>,
        /// Where on the sheet it was taken up.
        grip: Point,
        /// The step of the history into which the drag goes.
        gesture: Gesture,
    },
    /// A corner of a place.
    Corner {
        /// As it stood.
        place: Box<Place>,
        /// Which.
        corner: Corner,
        /// The step of the history into which the drag goes.
        gesture: Gesture,
    },
    /// Words of a block or a run.
    Words {
        /// Which.
        of: WordsOf,
        /// Their upper left corner as they stood.
        corner: Point,
        /// Where on the sheet they were taken up.
        grip: Point,
        /// The step of the history into which the drag goes.
        gesture: Gesture,
    },
    /// A straight piece of a run, pulled aside.
    Piece {
        /// The run.
        run: RunId,
        /// Its corners as they were.
        way: Vec<GridPoint>,
        /// The corner at which the piece begins.
        piece: usize,
        /// Where on the sheet it was taken up.
        grip: Point,
        /// The step of the history into which the drag goes.
        gesture: Gesture,
    },
    /// The loose end of a new run.
    NewRun(RunEnd),
    /// An end of a run, taken off its terminal.
    RunEnd {
        /// The run.
        run: RunId,
        /// Which end is loose.
        side: Side,
    },
    /// A corner of the band that selects what lies in it.
    Band {
        /// The corner that stays.
        from: Point,
        /// What becomes of what was selected before.
        how: Choosing,
    },
    /// The end of a line that is drawn round what is to be selected.
    Lasso {
        /// The line so far.
        line: Vec<Point>,
        /// What becomes of what was selected before.
        how: Choosing,
    },
    /// The paper itself.
    Paper,
    /// A number, by its label.
    Number {
        /// Whose.
        owner: Owner,
        /// Which.
        field: &'static Field,
        /// The number as it was.
        from: f64,
        /// Where the pointer pressed.
        at: Pos2,
        /// The step of the history into which the drag goes.
        gesture: Gesture,
    },
}
