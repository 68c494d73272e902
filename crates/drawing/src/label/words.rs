//! What a block says: its tag and a few lines, measured. The lines themselves are in `ratings`.

use super::{Figures, SMALL_HEIGHT, TAG_HEIGHT, ratings};
use crate::display_list::Weight;
use crate::metrics;
use lineside_core::circuit::Block;
use lineside_core::units::{Amps, Quantity, text};
use std::fmt::Write;

/// The words of a block.
#[derive(Clone, Debug, PartialEq)]
pub(crate) struct BlockWords {
    pub tag: String,
    pub lines: Vec<String>,
}

/// How much room the words of a block take.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) struct BlockExtent {
    /// Length of the tag, mm.
    pub tag: f32,
    /// Length of the longest line, mm.
    pub longest: f32,
    /// How many lines there are.
    pub lines: usize,
}

impl BlockWords {
    pub(crate) fn of(block: &Block, figures: &mut Figures) -> Self {
        let mut lines = Lines { figures, lines: Vec::with_capacity(4) };
        ratings::write(&block.equipment, &mut lines);
        Self { tag: block.tag.clone(), lines: lines.lines }
    }

    pub(crate) fn extent(&self) -> BlockExtent {
        let longest = self
            .lines
            .iter()
            .map(|line| metrics::length(line, Weight::Regular, SMALL_HEIGHT))
            .fold(0.0, f32::max);
        let tag = metrics::length(&self.tag, Weight::Strong, TAG_HEIGHT);
        BlockExtent { tag, longest, lines: self.lines.len() }
    }
}

/// A piece of a line.
pub(super) enum Part {
    Words(&'static str),
    Figure(Quantity),
    Count(u32),
    Kiloamps(Amps),
}

pub(super) fn words(words: &'static str) -> Part {
    Part::Words(words)
}
pub(super) fn figure(quantity: impl Into<Quantity>) -> Part {
    Part::Figure(quantity.into())
}
pub(super) fn kiloamps(amps: Amps) -> Part {
    Part::Kiloamps(amps)
}
pub(super) fn count(count: u32) -> Part {
    Part::Count(count)
}

/// Lines being written.
pub(super) struct Lines<'a> {
    figures: &'a mut Figures,
    lines: Vec<String>,
}

impl Lines<'_> {
    /// Writes one line.
    pub(super) fn line(&mut self, parts: &[Part]) {
        let mut line = String::with_capacity(32);
        for part in parts {
            match part {
                Part::Words(words) => line.push_str(words),
                Part::Figure(quantity) => self.figures.write(&mut line, *quantity),
                Part::Kiloamps(amps) => line.push_str(&text::kiloamps(*amps)),
                Part::Count(count) => {
                    // Writing into a string cannot fail.
                    let _ = write!(line, "{count}");
                }
            }
        }
        self.lines.push(line);
    }
}
