//! Words that can be moved by hand: where they stand, and where they would stand if a hand put them somewhere else.

use super::Drawing;
use super::kept::{Kept, KeptRun};
use crate::display_list::Turned;
use crate::geometry::{Area, Point};
use crate::label::{FlagExtent, FlagSpot, MovedSpots, Room, moved};
use lineside_core::circuit::{BlockId, RunId};
use lineside_core::project::{Project, WordsOf, WordsPlace};
use std::collections::BTreeMap;

/// A set of words on the sheet.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Words {
    /// What they are.
    pub of: WordsOf,
    /// The rectangle that they fill, mm.
    pub area: Area,
    /// How they came there.
    pub placing: WordsPlacing,
}

/// How words came to where they stand.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum WordsPlacing {
    /// They found room by themselves.
    ByItself,
    /// They were moved there.
    ByHand,
}

/// Spots of words that were moved.
#[derive(Default)]
pub(super) struct ByHand {
    pub blocks: BTreeMap<BlockId, MovedSpots>,
    pub runs: BTreeMap<RunId, FlagSpot>,
}

/// Finds the spots of words that were moved, and takes them.
pub(super) fn by_hand(project: &Project, kept: &Kept, room: &mut Room) -> ByHand {
    let mut spots = ByHand::default();
    for (of, place) in &project.moved_words {
        match *of {
            WordsOf::Tag(id) => {
                let Some(block) = Kept::block(&kept.blocks, id) else { continue };
                let spot = moved::tag(room, block.area, block.extent, *place);
                spots.blocks.entry(id).or_default().tag = Some(spot);
            }
            WordsOf::Ratings(id) => {
                let Some(block) = Kept::block(&kept.blocks, id) else { continue };
                let spot = moved::lines(room, block.area, block.extent, *place);
                spots.blocks.entry(id).or_default().lines = spot;
            }
            WordsOf::Callout(id) => {
                let Some(run) = run_of(kept, id).filter(|run| run.points.len() > 1) else { continue };
                let Some(extent) = run.extent else { continue };
                spots.runs.insert(id, moved::flag(room, &run.points, extent, *place));
            }
        }
    }
    spots
}

fn run_of(kept: &Kept, id: RunId) -> Option<&KeptRun> {
    let slot = kept.runs.binary_search_by_key(&id, |run| run.id).ok()?;
    kept.runs.get(slot)
}

/// Every set of words that stands on the sheet.
pub(super) fn all(project: &Project, kept: &Kept) -> Vec<Words> {
    let words = |of, area| {
        let placing =
            if project.moved_words.contains_key(&of) { WordsPlacing::ByHand } else { WordsPlacing::ByItself };
        Words { of, area, placing }
    };
    let mut all = Vec::with_capacity(2 * kept.blocks.len() + kept.runs.len());
    for run in &kept.runs {
        all.extend(run.spot.map(|spot| words(WordsOf::Callout(run.id), spot.spot.area)));
    }
    for block in &kept.blocks {
        let Some(spots) = &block.spots else { continue };
        all.push(words(WordsOf::Tag(block.id), spots.tag.area));
        all.extend(spots.lines.map(|spot| words(WordsOf::Ratings(block.id), spot.area)));
    }
    all
}

/// On how many lines a flag stands; none when its tag stands alone.
fn lines_of(extent: &FlagExtent, spot: &FlagSpot) -> u8 {
    let Some(width) = spot.width else { return 0 };
    let same = extent.folds.iter().find(|fold| (fold.width - width).abs() < 0.01);
    same.and_then(|fold| u8::try_from(fold.lines).ok()).unwrap_or(1)
}

impl Drawing {
    /// The words at a point of the sheet.
    pub fn words_at(&self, point: Point) -> Option<Words> {
        self.words.iter().rev().find(|words| words.area.contains(point)).copied()
    }

    /// The place of words whose upper left corner is put to a point; `None` when they are not on the sheet. Words that ran
    /// upwards are set level.
    pub fn words_put(&self, of: WordsOf, corner: Point) -> Option<WordsPlace> {
        match of {
            WordsOf::Tag(id) | WordsOf::Ratings(id) => {
                Some(moved::place_at_block(Kept::block(&self.kept.blocks, id)?.area, corner))
            }
            WordsOf::Callout(id) => {
                let run = run_of(&self.kept, id).filter(|run| run.points.len() > 1)?;
                let (extent, spot) = (run.extent?, run.spot?);
                let area = spot.spot.area;
                let (wide, high) = match spot.spot.turned {
                    Turned::Upright => (area.width(), area.height()),
                    Turned::FromRight => (area.height(), area.width()),
                };
                let area = Area::at(corner, wide, high);
                Some(moved::place_at_run(&run.points, area, lines_of(&extent, &spot)))
            }
        }
    }
}
