//! Where words stand: each set of words tries a few places near its subject in the order in which a
//! draughtsman would, and takes the first that is free; if none is, the one that covers least.

use super::moved::{lines_column, tag_column};
use super::room::{Plane, Room};
use super::spots::{
    Column, Fit, GAP, Which, around, beside, flag_column, longest_pieces, sides, slid, slid_along, try_at,
};
use super::{BlockExtent, FlagExtent, SMALL_HEIGHT, SMALL_PITCH};
use crate::display_list::{Along, Behind, Turned};
use crate::geometry::{Area, Point};

/// Between a flag and its run, mm.
const FLAG_GAP: f32 = 0.45;
/// Between the name of a terminal and the middle of the run that leaves it, mm.
const NAME_GAP: f32 = 0.75;

/// Between words that stand away from their box and the words of others, mm.
const APART: f32 = 1.6;

/// Farther and farther out from a box, mm.
const RINGS: [f32; 4] = [0.0, 3.2, 6.4, 9.6];

/// Still farther out, in shorter steps, for words that found no place at the usual ones, mm.
const FAR_RINGS: [f32; 12] = [0.0, 1.6, 3.2, 4.8, 6.4, 8.0, 9.6, 12.8, 16.0, 19.2, 25.6, 32.0];

/// From the usual distance between a run and its tag outwards, for tags that found no place at it, mm.
const FAR_GAPS: [f32; 4] = [0.0, 1.6, 3.2, 4.8];

/// Where a column of lines stands.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) struct Spot {
    /// Start, middle or end of the first line's baseline.
    pub anchor: Point,
    /// Which of them.
    pub along: Along,
    /// From where it is read.
    pub turned: Turned,
    /// Whether it must lie over a line.
    pub behind: Behind,
    /// The rectangle that it fills.
    pub area: Area,
}

/// Where the words of a block stand.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) struct BlockSpots {
    pub tag: Spot,
    pub lines: Option<Spot>,
}

/// Words of a block that were moved by hand.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub(crate) struct MovedSpots {
    pub tag: Option<Spot>,
    pub lines: Option<Spot>,
}

/// Where the flag of a run stands.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) struct FlagSpot {
    pub spot: Spot,
    /// As wide as its lines may be, mm; `None` when the tag stands alone and the conductor schedule has the
    /// rest.
    pub width: Option<f32>,
}

/// How the power path of a block lies, which decides on which side its words stand.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum Path {
    /// Left and right: tag above, ratings below.
    Level,
    /// Up and down: tag at the left, ratings at the right.
    Upright,
    /// A bar with runs on both sides: its words stand over its ends.
    Bar,
}

/// Finds places for words.
pub(crate) struct Arranger {
    pub room: Room,
}

impl Arranger {
    /// Places the words of a block around its box; ratings for which there is no room are left out.
    /// Those that were moved by hand have their places already.
    pub(crate) fn block(
        &mut self,
        area: Area,
        path: Path,
        words: BlockExtent,
        moved: MovedSpots,
    ) -> BlockSpots {
        let tag = tag_column(words);
        let nearest = || try_at(tag, area.left, area.top - GAP - tag.extent(), Along::Start);
        let tag = moved.tag.or_else(|| self.column(area, tag, path, Which::Tag)).unwrap_or_else(nearest);
        let lines = match moved.lines {
            None if words.lines > 0 => self.column(area, lines_column(words), path, Which::Lines),
            moved => moved,
        };
        BlockSpots { tag, lines }
    }

    fn column(&mut self, area: Area, column: Column, path: Path, which: Which) -> Option<Spot> {
        let ring = move |ring: f32| {
            sides(path, which).iter().flat_map(move |side| around(area, column, *side, ring))
        };
        let places = || RINGS.into_iter().flat_map(ring);
        let further = || {
            FAR_RINGS.into_iter().flat_map(move |ring| {
                sides(path, which).iter().flat_map(move |side| slid(area, column, *side, ring))
            })
        };
        // Away from its own box a word is easily read as another block's, so it keeps its distance there.
        let is_clear = |spot: &Spot| {
            self.room.is_free(spot.area)
                && self.room.is_told_of(area, spot.area)
                && self.room.is_apart(spot.area.grown(APART))
        };
        let is_free = |spot: &Spot| self.room.is_free(spot.area);
        let clear = ring(0.0).find(is_free).or_else(|| places().chain(further()).find(is_clear));
        let covering = || {
            let least = places()
                .map(|spot| (self.room.cost(spot.area), spot))
                .min_by(|one, other| one.0.total_cmp(&other.0));
            least.map(|least| Spot { behind: Behind::Patch, ..least.1 })
        };
        let spot = match which {
            Which::Tag => clear.or_else(|| places().chain(further()).find(is_free)).or_else(covering)?,
            // Ratings beside another block would be read as that one's: they are left out before that.
            Which::Lines => clear?,
        };
        self.room.take(Plane::Solid, spot.area);
        Some(spot)
    }

    /// Places the name of a terminal beside the run that leaves it; `None` if it would cover anything.
    pub(crate) fn terminal(&mut self, at: Point, outward: (f32, f32), width: f32) -> Option<Spot> {
        let column = Column { width, lines: 1.0, height: SMALL_HEIGHT, pitch: SMALL_PITCH };
        let out = at.moved(outward.0 * 0.6, outward.1 * 0.6);
        let tries = if outward.1 == 0.0 {
            let along = if outward.0 < 0.0 { Along::End } else { Along::Start };
            [
                try_at(column, out.x, out.y - NAME_GAP - column.extent(), along),
                try_at(column, out.x, out.y + NAME_GAP, along),
            ]
        } else {
            let top = if outward.1 < 0.0 { out.y - column.extent() } else { out.y };
            [
                try_at(column, out.x + NAME_GAP, top, Along::Start),
                try_at(column, out.x - NAME_GAP, top, Along::End),
            ]
        };
        let spot = tries.into_iter().find(|spot| self.room.is_free(spot.area))?;
        self.room.take(Plane::Solid, spot.area);
        Some(spot)
    }

    /// Places the flag of a run along its way, or its tag alone; `None` if there is no room even for that.
    pub(crate) fn flag(&mut self, points: &[Point], half_width: f32, flag: FlagExtent) -> Option<FlagSpot> {
        let (pieces, count) = longest_pieces(points);
        let pieces = pieces.get(..count).unwrap_or_default();
        let gap = half_width + FLAG_GAP;
        let whole = flag.folds.iter().enumerate().filter(|(n, fold)| fold.lines == n + 1);
        let forms = whole
            .map(|(_, fold)| (Some(fold.width), flag_column(fold.width, fold.lines)))
            .chain([(None, flag_column(flag.tag_alone(), 1))]);
        let places = forms.flat_map(|(width, column)| {
            [Fit::Within, Fit::Beyond].into_iter().flat_map(move |fit| {
                pieces.iter().flat_map(move |piece| {
                    beside(*piece, column, gap, fit)
                        .into_iter()
                        .flatten()
                        .map(move |spot| FlagSpot { spot, width })
                })
            })
        });
        let off = || {
            let column = flag_column(flag.tag_alone(), 1);
            FAR_GAPS.into_iter().flat_map(move |far| {
                pieces.iter().flat_map(move |piece| {
                    slid_along(*piece, column, gap + far).map(|spot| FlagSpot { spot, width: None })
                })
            })
        };
        let found = places.chain(off()).find(|place| self.room.is_free(place.spot.area))?;
        self.room.take(Plane::Solid, found.spot.area);
        Some(found)
    }
}
