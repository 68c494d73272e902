//! What a drawing knows of its parts, so that what has not changed is not drawn again.

use crate::geometry::{Area, Facing, Point};
use crate::label::{BlockExtent, BlockSpots, BlockWords, Flag, FlagExtent, FlagSpot, Path, Spot};
use crate::pen::Ink;
use crate::points::Points;
use crate::sheet::look::Detail;
use crate::sheet::strokes::{StrokeMarks, StrokeSpot};
use crate::sheet::wires::Wires;
use crate::symbols::Form;
use lineside_core::circuit::{BlockId, PlaceId, RunEnd, RunId};
use lineside_core::units::{Percent, UnitSystem};

/// Every part of a drawing, in the order of ids.
#[derive(Clone, Debug, Default, PartialEq)]
pub(super) struct Kept {
    pub setup: Option<Setup>,
    pub blocks: Vec<KeptBlock>,
    pub runs: Vec<KeptRun>,
}

/// What every group depends on.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct Setup {
    pub units: UnitSystem,
    pub form: Form,
    pub detail: Detail,
}

/// Whether a group must be drawn anew.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum State {
    /// The old one will do.
    Same,
    /// It must be drawn.
    Fresh,
}

/// A block.
#[derive(Clone, Debug, PartialEq)]
pub(super) struct KeptBlock {
    pub id: BlockId,
    /// Ink of the bars in it.
    pub bar: Ink,
    /// Whether runs land on a bar, where joints need no dots.
    pub is_bar: bool,
    /// The location in which it stands.
    pub location: Option<PlaceId>,
    /// Conductors of an AC circuit at it.
    pub wires: Option<Wires>,
    pub area: Area,
    pub path: Path,
    pub pins: Vec<(RunEnd, Point, Facing)>,
    pub extent: BlockExtent,
    /// Its words, until they are drawn.
    pub words: Option<BlockWords>,
    /// Names of its terminals.
    pub names: Vec<(&'static str, Spot)>,
    pub spots: Option<BlockSpots>,
    pub symbol_state: State,
    pub words_state: State,
}

/// A run.
#[derive(Clone, Debug, PartialEq)]
pub(super) struct KeptRun {
    pub id: RunId,
    pub ends: [RunEnd; 2],
    pub ink: Ink,
    pub points: Points,
    pub joints: Vec<Point>,
    /// Where it passes the outlines of locations.
    pub passages: Vec<Point>,
    /// Conductors of its circuit.
    pub wires: Option<Wires>,
    /// What marks them on its way, if it is made of any.
    pub marks: Option<StrokeMarks>,
    /// Where these marks stand.
    pub strokes: Option<StrokeSpot>,
    /// The share of the voltage that is lost in it.
    pub drop: Option<Percent>,
    /// Its flag's room; `None` for a direct joint.
    pub extent: Option<FlagExtent>,
    /// Its flag, until it is drawn.
    pub flag: Option<Flag>,
    pub spot: Option<FlagSpot>,
    pub line_state: State,
    pub flag_state: State,
}

impl Kept {
    /// A block.
    pub(super) fn block(blocks: &[KeptBlock], id: BlockId) -> Option<&KeptBlock> {
        let slot = blocks.binary_search_by_key(&id, |block| block.id).ok()?;
        blocks.get(slot)
    }
}
