//! A block: one piece of equipment on the sheet, with its tag, its place and where it is drawn.

use super::ids::{BlockId, PlaceId};
use super::terminal::TerminalName;
use crate::kinds::{Equipment, Kind};
use serde::{Deserialize, Serialize};

/// A point on the sheet's grid. One step is a quarter of a symbol's box: 2.5 mm on paper.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct GridPoint {
    /// To the right.
    pub x: i32,
    /// Downwards.
    pub y: i32,
}

impl GridPoint {
    /// Farthest from the origin that anything may stand; keeps sums of points from overflowing.
    pub const LIMIT: i32 = 1_000_000;

    /// A point.
    pub const fn new(x: i32, y: i32) -> Self {
        Self { x, y }
    }
    /// Whether it lies on a sheet of any sensible size.
    pub const fn is_on_sheet(self) -> bool {
        self.x.unsigned_abs() <= Self::LIMIT.unsigned_abs()
            && self.y.unsigned_abs() <= Self::LIMIT.unsigned_abs()
    }
    /// The point moved by a step.
    #[must_use]
    pub const fn moved(self, dx: i32, dy: i32) -> Self {
        Self { x: self.x.saturating_add(dx), y: self.y.saturating_add(dy) }
    }
}

/// By how much a symbol is turned, clockwise as seen.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum Turn {
    /// As drawn in the list of symbols: the path runs left to right.
    #[default]
    None,
    /// A quarter.
    Quarter,
    /// Half.
    Half,
    /// Three quarters.
    ThreeQuarters,
}

impl Turn {
    /// A quarter further.
    #[must_use]
    pub const fn next(self) -> Self {
        match self {
            Self::None => Self::Quarter,
            Self::Quarter => Self::Half,
            Self::Half => Self::ThreeQuarters,
            Self::ThreeQuarters => Self::None,
        }
    }
}

/// Whether a symbol is mirrored left to right before it is turned.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum Mirror {
    /// As drawn.
    #[default]
    None,
    /// Left and right exchanged.
    LeftRight,
}

impl Mirror {
    /// The other one.
    #[must_use]
    pub const fn flipped(self) -> Self {
        match self {
            Self::None => Self::LeftRight,
            Self::LeftRight => Self::None,
        }
    }
}

/// How a symbol lies on the sheet.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Orientation {
    /// Turned by how much, after mirroring.
    #[serde(default)]
    pub turn: Turn,
    /// Mirrored or not.
    #[serde(default)]
    pub mirror: Mirror,
}

/// One piece of equipment on the sheet.
#[derive(Clone, Debug, PartialEq)]
pub struct Block {
    /// Its id, for good.
    pub id: BlockId,
    /// Its tag, as people know it: `C1`.
    pub tag: String,
    /// What it is.
    pub equipment: Equipment,
    /// The stock item it was taken from.
    pub stock: Option<String>,
    /// The place where it stands; `None` while it stands nowhere.
    pub place: Option<PlaceId>,
    /// Upper left corner of its symbol, before turning.
    pub at: GridPoint,
    /// How its symbol lies.
    pub orientation: Orientation,
    /// What people wrote beside it.
    pub note: String,
}

impl Block {
    /// Its kind.
    pub const fn kind(&self) -> Kind {
        self.equipment.kind()
    }
    /// The position of a terminal in the block's list of terminals.
    pub fn terminal_index(&self, name: TerminalName) -> Option<usize> {
        self.equipment.terminals().iter().position(|terminal| terminal.name == name)
    }
    /// `charge controller C1`, as it is called in sentences and by assistive technology.
    pub fn title(&self) -> String {
        format!("{} {}", self.kind().label(), self.tag)
    }
}
