//! Workings: the numbers behind a finding or a figure, line by line.
//!
//! A formula takes a listener. [`Silent`] compiles to the bare arithmetic; a [`Working`] writes down each
//! input and each result, so that a number and its explanation cannot drift apart.

use crate::units::Quantity;
use std::borrow::Cow;

/// Where an input of a working came from.
#[derive(Clone, Debug, PartialEq)]
pub enum Origin {
    /// From the nameplate of a block, by its tag.
    Nameplate(String),
    /// From the settings of a block or a run, by its tag.
    Setting(String),
    /// From the brief.
    Brief,
    /// From the facts of a place, by its name.
    Place(String),
    /// From a table of a standard, by its clause.
    Table(String),
    /// From another working: what it is about.
    Working(String),
    /// Assumed by this program, and said so: why.
    Assumed(String),
    /// Computed on this line.
    Computed,
}

impl std::fmt::Display for Origin {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        match self {
            Self::Nameplate(tag) => write!(f, "{tag} nameplate"),
            Self::Setting(tag) => write!(f, "{tag} setting"),
            Self::Brief => f.write_str("brief"),
            Self::Place(name) => f.write_str(name),
            Self::Table(clause) => f.write_str(clause),
            Self::Working(what) => f.write_str(what),
            Self::Assumed(why) => write!(f, "assumed: {why}"),
            Self::Computed => Ok(()),
        }
    }
}

/// One line of a working.
#[derive(Clone, Debug, PartialEq)]
pub struct Line {
    /// What the number is, in words.
    pub meaning: Cow<'static, str>,
    /// Its symbol.
    pub symbol: Cow<'static, str>,
    /// The formula, when it was computed on this line.
    pub formula: Cow<'static, str>,
    /// The number.
    pub value: Quantity,
    /// Where it came from.
    pub origin: Origin,
}

/// Something that hears of each step of a formula.
pub trait Listener {
    /// An input.
    fn given(
        &mut self,
        meaning: &'static str,
        symbol: &'static str,
        value: Quantity,
        origin: impl FnOnce() -> Origin,
    );
    /// A result.
    fn found(
        &mut self,
        meaning: &'static str,
        symbol: &'static str,
        formula: impl FnOnce() -> String,
        value: Quantity,
    );
}

/// Hears nothing.
#[derive(Clone, Copy, Debug, Default)]
pub struct Silent;

impl Listener for Silent {
    fn given(&mut self, _: &'static str, _: &'static str, _: Quantity, _: impl FnOnce() -> Origin) {}
    fn found(&mut self, _: &'static str, _: &'static str, _: impl FnOnce() -> String, _: Quantity) {}
}

/// The lines heard, in order.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Working {
    /// Line by line.
    pub lines: Vec<Line>,
}

impl Working {
    /// Nothing heard yet.
    pub const fn new() -> Self {
        Self { lines: Vec::new() }
    }
    /// Adds the lines of another working.
    pub fn append(&mut self, other: Self) {
        self.lines.extend(other.lines);
    }
}

impl Listener for Working {
    fn given(
        &mut self,
        meaning: &'static str,
        symbol: &'static str,
        value: Quantity,
        origin: impl FnOnce() -> Origin,
    ) {
        self.lines.push(Line {
            meaning: meaning.into(),
            symbol: symbol.into(),
            formula: Cow::Borrowed(""),
            value,
            origin: origin(),
        });
    }
    fn found(
        &mut self,
        meaning: &'static str,
        symbol: &'static str,
        formula: impl FnOnce() -> String,
        value: Quantity,
    ) {
        self.lines.push(Line {
            meaning: meaning.into(),
            symbol: symbol.into(),
            formula: formula().into(),
            value,
            origin: Origin::Computed,
        });
    }
}
