//! Words on the sheet that were moved by hand: where each stands, as seen from the block or the run to which it belongs.
//! All others find their places by themselves.

use crate::circuit::{BlockId, RunId};
use serde::{Deserialize, Serialize};
use std::collections::BTreeMap;

/// Words that can be moved.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum WordsOf {
    /// The tag of a block.
    Tag(BlockId),
    /// The ratings of a block.
    Ratings(BlockId),
    /// The tag of a run with what it is made of.
    Callout(RunId),
}

/// Where words stand that were moved: the upper left corner of the rectangle that they fill.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields, default)]
pub struct WordsPlace {
    /// For a run: the point of it from which they are measured, in thousandths of its way.
    #[serde(skip_serializing_if = "is_zero")]
    pub along: u16,
    /// To the right of that point, or of the upper left corner of the block's symbol, in tenths of a millimeter on paper.
    pub right: i16,
    /// Downwards from there, in tenths of a millimeter on paper.
    pub down: i16,
    /// For a run: on how many lines they stand; none when its tag stands alone.
    #[serde(skip_serializing_if = "is_zero")]
    pub lines: u8,
}

fn is_zero<T: Default + PartialEq>(value: &T) -> bool {
    *value == T::default()
}

impl WordsPlace {
    /// The end of a run's way, in thousandths.
    pub const END: u16 = 1000;
    /// Most lines of a run's words.
    pub const MOST_LINES: u8 = 4;

    /// Whether it is one that can be.
    pub const fn is_sound(self) -> bool {
        self.along <= Self::END && self.lines <= Self::MOST_LINES
    }
}

/// All words that were moved.
pub type MovedWords = BTreeMap<WordsOf, WordsPlace>;
