//! The entries of file version 1, as they stand in the text: tags and names as references, no graph indices.
//!
//! Nameplates and sections that have no references are stored as they are in memory; when one of them
//! changes, its old form moves here first.

use crate::circuit::{Conductor, GridPoint, Mirror, Orientation, PlaceFacts, PlaceKind, Turn};
use crate::kinds::Equipment;
use crate::project::WordsPlace;
use serde::{Deserialize, Serialize};

#[derive(Clone, Debug, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub(super) struct PlaceEntry {
    pub name: String,
    pub id: u32,
    pub kind: PlaceKind,
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub within: Option<String>,
    pub at: GridPoint,
    pub size: GridPoint,
    #[serde(default = "PlaceFacts::unknown", skip_serializing_if = "nothing_known")]
    pub facts: PlaceFacts,
}

#[derive(Clone, Debug, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub(super) struct BlockEntry {
    pub tag: String,
    pub id: u32,
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub place: Option<String>,
    pub at: GridPoint,
    #[serde(default, skip_serializing_if = "is_default")]
    pub turn: Turn,
    #[serde(default, skip_serializing_if = "is_default")]
    pub mirror: Mirror,
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub stock: Option<String>,
    #[serde(default, skip_serializing_if = "String::is_empty")]
    pub note: String,
    pub equipment: Equipment,
}

impl BlockEntry {
    pub(super) const fn orientation(&self) -> Orientation {
        Orientation { turn: self.turn, mirror: self.mirror }
    }
}

#[derive(Clone, Debug, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub(super) struct RunEntry {
    pub tag: String,
    pub id: u32,
    pub from: String,
    pub to: String,
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub conductor: Option<Box<Conductor>>,
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub bends: Vec<GridPoint>,
    #[serde(default, skip_serializing_if = "String::is_empty")]
    pub note: String,
}

/// Words that were moved, by the tag of what they belong to.
#[derive(Clone, Debug, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub(super) struct WordsEntry {
    pub of: WordsTag,
    pub at: WordsPlace,
}

#[derive(Clone, Debug, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub(super) enum WordsTag {
    Tag(String),
    Ratings(String),
    Callout(String),
}

fn nothing_known(facts: &PlaceFacts) -> bool {
    *facts == PlaceFacts::unknown()
}

fn is_default<T: Default + PartialEq>(value: &T) -> bool {
    *value == T::default()
}
