//! Revisions: dated, lettered states of the project.

use jiff::civil::Date;
use serde::{Deserialize, Serialize};

/// Whether a revision may still change.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum RevisionStatus {
    /// Being worked on.
    #[default]
    Draft,
    /// Handed out; never changes again.
    Released,
}

/// One revision.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Revision {
    /// Its letter.
    pub letter: String,
    /// Its date.
    pub date: Date,
    /// Who made it.
    #[serde(default, skip_serializing_if = "String::is_empty")]
    pub by: String,
    /// What changed and why.
    #[serde(default, skip_serializing_if = "String::is_empty")]
    pub note: String,
    /// Whether it is handed out.
    #[serde(default)]
    pub status: RevisionStatus,
    /// The whole project as it was released, as text, so that it can be compared with later ones.
    #[serde(default, skip_serializing_if = "String::is_empty")]
    pub snapshot: String,
}
