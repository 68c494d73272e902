//! Conductor flags: what a run is made of, in the trade's form: tag, number × size, metal, insulation,
//! equipment-grounding conductor, raceway, one-way length, and the share of the voltage that is lost in it.

use super::{Figures, SMALL_HEIGHT};
use crate::display_list::Weight;
use crate::metrics;
use lineside_core::circuit::{Conductor, Raceway, Run};
use lineside_core::units::Percent;
use lineside_core::units::text::UnitSystem;
use std::fmt::Write;

/// Most lines of a flag.
pub(super) const MOST_LINES: usize = 4;

/// Most pieces of a flag.
const MOST_PIECES: usize = 8;

/// The flag of a run: its tag, and the pieces between which it may be broken into lines.
#[derive(Clone, Debug, PartialEq)]
pub(crate) struct Flag {
    /// The tag.
    pub tag: String,
    /// Number and size, insulation, grounding conductor, raceway, length, one behind the other.
    text: String,
    /// Where each piece ends in the text, and its length, mm.
    pieces: Vec<(usize, f32)>,
    /// How much room it takes.
    pub extent: FlagExtent,
}

/// How much room a flag takes.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) struct FlagExtent {
    /// Length of the tag with the space behind it, mm.
    pub tag: f32,
    /// For one line, two lines …: how wide the flag is and how many lines it really takes.
    pub folds: [Fold; MOST_LINES],
}

impl FlagExtent {
    /// Length of the tag when nothing follows, mm.
    pub(super) const fn tag_alone(&self) -> f32 {
        self.tag - TAG_SPACE
    }
}

/// A flag broken into lines.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub(crate) struct Fold {
    /// Length of the longest line, mm.
    pub width: f32,
    /// Lines.
    pub lines: usize,
}

/// Between the tag of a flag and what follows, mm.
const TAG_SPACE: f32 = 1.3;

impl Flag {
    /// The flag of a run; `None` for a direct joint, which has no conductor to tell of.
    pub(crate) fn of(
        run: &Run,
        conductors: Option<u32>,
        drop: Option<Percent>,
        figures: &mut Figures,
    ) -> Option<Self> {
        let it = run.conductor.as_deref()?;
        let mut pieces = Pieces { text: String::with_capacity(64), ends: Vec::with_capacity(MOST_PIECES) };
        set(it, conductors, &mut pieces);
        if let Some(size) = it.grounding_conductor {
            let name = if size.system() == UnitSystem::Si { "PE" } else { "EGC" };
            // Writing into a string cannot fail.
            let _ = write!(pieces.text, "{} {name},", size.table_name());
            pieces.end();
        }
        if it.raceway != Raceway::FreeAir {
            for part in it.raceway.label().split(", ") {
                pieces.text.push_str(part);
                pieces.text.push(',');
                pieces.end();
            }
        }
        figures.write(&mut pieces.text, it.length);
        if let Some(drop) = drop.and_then(rounded) {
            pieces.text.push(',');
            pieces.end();
            figures.write(&mut pieces.text, drop);
        }
        pieces.end();
        let tag = metrics::length(&run.tag, Weight::Strong, SMALL_HEIGHT) + TAG_SPACE;
        let mut folds = [Fold::default(); MOST_LINES];
        for (most, fold) in (1..).zip(&mut folds) {
            *fold = narrowest(tag, &pieces.ends, most);
        }
        let extent = FlagExtent { tag, folds };
        Some(Self { tag: run.tag.clone(), text: pieces.text, pieces: pieces.ends, extent })
    }

    /// The lines of a flag that may be as wide as `width`; the first stands behind the tag.
    pub(crate) fn lines(&self, width: f32) -> Vec<String> {
        let mut lines: Vec<String> = vec![String::new()];
        let (mut filled, mut start) = (self.extent.tag, 0);
        for (place, (end, long)) in self.pieces.iter().enumerate() {
            let piece = self.text.get(start..*end).unwrap_or_default();
            start = *end;
            let gap = if place == 0 { 0.0 } else { word_space() };
            if filled + gap + long > width + HAIR {
                lines.push(piece.to_owned());
                filled = *long;
                continue;
            }
            if let Some(line) = lines.last_mut() {
                if place > 0 {
                    line.push(' ');
                }
                line.push_str(piece);
            }
            filled += gap + long;
        }
        lines
    }
}

/// A drop as a callout tells it: to a tenth of a percent; `None` where nothing worth telling is lost.
fn rounded(drop: Percent) -> Option<Percent> {
    let tenths = (drop.value() * 10.0).round() / 10.0;
    (tenths >= 0.1).then(|| Percent::new(tenths))
}

/// Pieces being written.
struct Pieces {
    text: String,
    ends: Vec<(usize, f32)>,
}

impl Pieces {
    fn end(&mut self) {
        let start = self.ends.last().map_or(0, |piece| piece.0);
        let piece = self.text.get(start..).unwrap_or_default();
        self.ends.push((self.text.len(), metrics::length(piece, Weight::Regular, SMALL_HEIGHT)));
    }
}

/// Sums of the same lengths in another order may differ by a hair.
const HAIR: f32 = 0.01;

/// A space is 0.2 em wide in both weights.
const fn word_space() -> f32 {
    0.2 * SMALL_HEIGHT / metrics::CAPITAL_HEIGHT
}

/// The narrowest flag of at most `most` lines whose first line begins with the tag.
fn narrowest(tag: f32, pieces: &[(usize, f32)], most: usize) -> Fold {
    let mut best = fold(tag, pieces, f32::INFINITY);
    if most == 1 {
        return best;
    }
    // The width is that of some pieces that follow each other on one line.
    for first in 0..pieces.len() {
        let mut width = if first == 0 { tag - word_space() } else { -word_space() };
        for (_, long) in pieces.iter().skip(first) {
            width += word_space() + long;
            if width >= best.width {
                break;
            }
            let folded = fold(tag, pieces, width);
            if folded.lines <= most && folded.width < best.width - HAIR {
                best = folded;
            }
        }
    }
    best
}

/// Breaks pieces into lines as soon as one would be wider than `width`.
fn fold(tag: f32, pieces: &[(usize, f32)], width: f32) -> Fold {
    let mut fold = Fold { width: tag, lines: 1 };
    let mut filled = tag;
    for (place, (_, long)) in pieces.iter().enumerate() {
        let gap = if place == 0 { 0.0 } else { word_space() };
        if filled + gap + long > width + HAIR {
            fold.lines += 1;
            filled = *long;
        } else {
            filled += gap + long;
        }
        fold.width = fold.width.max(filled);
    }
    fold
}

/// `2-10 AWG Cu PV wire`, `2 × 70 mm² Cu XLPE`, and `2 × (2-4/0 AWG Cu THWN-2)` for sets in parallel. The number
/// is left out where it is not known.
fn set(it: &Conductor, conductors: Option<u32>, pieces: &mut Pieces) {
    let out = &mut pieces.text;
    // Writing into a string cannot fail.
    if it.parallel > 1 {
        let _ = write!(out, "{} × (", it.parallel);
    }
    if let Some(number) = conductors {
        let joint = if it.size.system() == UnitSystem::Si { " × " } else { "-" };
        let _ = write!(out, "{number}{joint}");
    }
    let _ = write!(out, "{} {}", it.size, it.metal.label());
    pieces.end();
    pieces.text.push_str(it.insulation.label());
    pieces.text.push_str(if it.parallel > 1 { ")," } else { "," });
    pieces.end();
}
