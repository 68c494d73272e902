//! Advice that the designer has looked at and lives with: which finding, why, since when.
//!
//! Whether the finding still arises is the `rules` crate's to tell; here only what was written down is kept.

use jiff::civil::Date;
use serde::{Deserialize, Serialize};

/// The part of a finding, by the name that people see. It goes along when the part is renamed.
#[derive(Clone, Debug, Default, PartialEq, Eq, PartialOrd, Ord, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum AdvicePlace {
    /// A block, by its tag.
    Block(String),
    /// A run, by its tag.
    Run(String),
    /// The beginning of a run, by its tag.
    RunFrom(String),
    /// The end of a run, by its tag.
    RunTo(String),
    /// A place, by its name.
    Place(String),
    /// The project as a whole.
    #[default]
    Project,
}

/// One piece of accepted advice.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct AcceptedAdvice {
    /// Id of the rule.
    pub rule: String,
    /// Where.
    #[serde(default)]
    pub at: AdvicePlace,
    /// The further distinction within the part, where the finding has one.
    #[serde(default, skip_serializing_if = "String::is_empty")]
    pub aspect: String,
    /// What the finding said when it was accepted, so that it is told when it has come to say something else.
    #[serde(default, skip_serializing_if = "String::is_empty")]
    pub said: String,
    /// Why it may stay.
    pub reason: String,
    /// Day on which it was accepted, as the designer wrote it.
    pub date: Date,
    /// Who accepted it.
    #[serde(default, skip_serializing_if = "String::is_empty")]
    pub by: String,
}

impl AcceptedAdvice {
    /// Longest reason, in characters.
    pub const LONGEST_REASON: usize = 600;

    /// Whether a reason is written down that people can read.
    pub fn has_reason(&self) -> bool {
        (1..=Self::LONGEST_REASON).contains(&self.reason.trim().chars().count())
    }

    /// Whether two entries speak of the same finding.
    pub fn is_of_same(&self, other: &Self) -> bool {
        (&self.rule, &self.at, &self.aspect) == (&other.rule, &other.at, &other.aspect)
    }
}
