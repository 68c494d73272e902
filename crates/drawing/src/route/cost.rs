//! What a way costs: its length, its bends, what it crosses and what it comes too near to.

use super::index::{Index, Owner, Segment};
use crate::geometry::GridArea;
use lineside_core::circuit::{GridPoint, RunId};

/// A bend costs as much as this many steps.
pub(super) const BEND: i32 = 8;
/// A crossing.
const CROSSING: i32 = 14;
/// Another run alongside at one step, and for each four steps of it.
const NEAR: i32 = 6;
/// Close along a block, and for each four steps of it.
pub(super) const HUG: i32 = 6;
/// Lying on another run, which would look like a joint.
const OVERLAP: i32 = 300;
/// A corner or an end on another run, which would look like a joint as well.
const TOUCH: i32 = 120;
/// Lying on the outline of a place.
const ON_FRAME: i32 = 40;
/// Going through a block.
pub(super) const BLOCKED: i32 = 100_000;
/// Runs on one terminal beyond which it is crowded.
const MOST_COMPANIONS: usize = 128;
/// No way costs more; keeps sums far from overflowing.
pub(super) const LIMIT: i32 = 1_000_000_000;

/// What a way costs, beside its length and its bends.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub(super) struct Trouble {
    /// Crossings.
    pub crossings: i32,
    /// Everything else: what a better way might avoid.
    pub faults: i32,
}

impl Trouble {
    /// Counted in steps.
    pub(super) fn cost(self) -> i32 {
        self.crossings.saturating_mul(CROSSING).saturating_add(self.faults).min(LIMIT)
    }
}

/// Who looks: a run does not trouble itself, nor does it see the runs after it or those that share a
/// terminal with it.
#[derive(Clone, Copy)]
pub(super) struct Eyes<'a> {
    pub index: &'a Index,
    pub run: RunId,
    /// Those that land on its one end and on its other, each in order.
    pub companions: [&'a [RunId]; 2],
}

impl Eyes<'_> {
    fn sees(&self, owner: Owner) -> bool {
        match owner {
            Owner::Frame => true,
            Owner::Run(other) => {
                other < self.run && self.companions.iter().all(|runs| runs.binary_search(&other).is_err())
            }
        }
    }

    /// Whether so much lies somewhere in an area that no way through it could be read: blocks piled on one spot, or
    /// hundreds of runs on one terminal.
    pub(super) fn is_crowded(&self, area: GridArea) -> bool {
        self.companions.iter().any(|runs| runs.len() > MOST_COMPANIONS) || self.index.is_crowded(area)
    }

    /// What troubles a straight piece between two points.
    pub(super) fn trouble(&self, a: GridPoint, b: GridPoint) -> Trouble {
        let mut trouble = Trouble::default();
        let mine = Segment::new(Owner::Run(self.run), a, b);
        self.index.each_segment(mine.area().grown(1), |other, cell| {
            if !self.sees(other.owner) {
                return;
            }
            let (meeting, found) = meet(mine, *other);
            if found != Trouble::default() && Index::is_in_cell(meeting, cell) {
                trouble.crossings = trouble.crossings.saturating_add(found.crossings);
                trouble.faults = trouble.faults.saturating_add(found.faults).min(LIMIT);
            }
        });
        trouble
    }

    /// Whether a straight piece passes a block at one step.
    pub(super) fn hugs(&self, a: GridPoint, b: GridPoint) -> bool {
        let area = GridArea::of(a, b);
        let beside = if a.y == b.y {
            GridArea { min: area.min.moved(0, -1), max: area.max.moved(0, 1) }
        } else {
            GridArea { min: area.min.moved(-1, 0), max: area.max.moved(1, 0) }
        };
        self.index.is_blocked(beside)
    }

    /// Whether a straight piece goes through a block.
    pub(super) fn is_blocked(&self, a: GridPoint, b: GridPoint) -> bool {
        self.index.is_blocked(GridArea::of(a, b))
    }
}

/// How two pieces trouble each other, and one point of `other` at which they do.
fn meet(mine: Segment, other: Segment) -> (GridPoint, Trouble) {
    if mine.a == mine.b || mine.is_level() == other.is_level() {
        along(mine, other)
    } else {
        across(mine, other)
    }
}

fn across(mine: Segment, other: Segment) -> (GridPoint, Trouble) {
    let meeting = if mine.is_level() {
        GridPoint::new(other.a.x, mine.a.y)
    } else {
        GridPoint::new(mine.a.x, other.a.y)
    };
    let mut trouble = Trouble::default();
    if mine.area().contains(meeting) && other.area().contains(meeting) {
        let at_my_end = meeting == mine.a || meeting == mine.b;
        let at_its_end = meeting == other.a || meeting == other.b;
        match other.owner {
            Owner::Frame if at_my_end => trouble.faults = ON_FRAME,
            Owner::Frame => {}
            Owner::Run(_) if at_my_end || at_its_end => trouble.faults = TOUCH,
            Owner::Run(_) => trouble.crossings = 1,
        }
    }
    (meeting, trouble)
}

fn along(mine: Segment, other: Segment) -> (GridPoint, Trouble) {
    let level = other.is_level();
    let pick = |point: GridPoint| if level { (point.x, point.y) } else { (point.y, point.x) };
    let ((my_low, my_line), (my_high, _)) = (pick(mine.a), pick(mine.b));
    let ((low, line), (high, _)) = (pick(other.a), pick(other.b));
    let (from, to) = (my_low.max(low), my_high.min(high));
    let meeting = if level { GridPoint::new(from, line) } else { GridPoint::new(line, from) };
    let apart = my_line.abs_diff(line);
    let mut trouble = Trouble::default();
    if from <= to && apart <= 1 {
        let shared = to - from;
        trouble.faults = match (other.owner, apart) {
            (Owner::Frame, 0) => ON_FRAME,
            (Owner::Run(_), 0) => OVERLAP.saturating_add(shared),
            (Owner::Run(_), _) if shared > 0 => NEAR + shared / 4,
            (Owner::Frame | Owner::Run(_), _) => 0,
        };
    } else if from - to == 1 && apart == 0 && matches!(other.owner, Owner::Run(_)) {
        // End to end with a step between: easily read as one line.
        trouble.faults = NEAR;
        let end = if low > my_high { other.a } else { other.b };
        return (end, trouble);
    }
    (meeting, trouble)
}
