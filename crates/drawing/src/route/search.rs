//! The search for one route: first the usual shapes with up to two bends, then a search through the gaps
//! between the blocks; and the way through bends that were placed by hand.

use super::Landing;
use super::cost::{BEND, BLOCKED, Eyes, HUG, LIMIT};
use super::index::Index;
use super::{maze, patterns};
use crate::geometry::{Facing, GridArea};
use lineside_core::circuit::{GridPoint, RunId};

/// Steps that a run goes straight out of a terminal before it turns, where there is room.
const STUB: i32 = 2;
/// Faults that are not worth a longer search: running beside another run for a short way.
const SLIGHT: i32 = 20;

/// One search.
pub(super) struct Search<'a> {
    pub(super) eyes: Eyes<'a>,
    seen: Option<GridArea>,
}

/// A way and what it costs.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(super) struct Way {
    pub points: Vec<GridPoint>,
    pub cost: i32,
    /// Costs that a better way might avoid.
    pub faults: i32,
}

impl<'a> Search<'a> {
    pub(super) fn new(index: &'a Index, run: RunId, companions: [&'a [RunId]; 2]) -> Self {
        Self { eyes: Eyes { index, run, companions }, seen: None }
    }

    /// The region that was looked at.
    pub(super) fn seen(&self) -> GridArea {
        self.seen.unwrap_or(super::NOWHERE)
    }

    /// Notes that an area was looked at. Runs one step beside it count too.
    pub(super) fn look(&mut self, area: GridArea) {
        let area = area.grown(1);
        self.seen = Some(self.seen.map_or(area, |seen| seen.union(area)));
    }

    /// The corners of the best way found.
    pub(super) fn find(&mut self, from: Landing, to: Landing) -> Vec<GridPoint> {
        self.look(GridArea::of(from.at, to.at));
        if from.at == to.at {
            return vec![from.at];
        }
        if is_straight(from, to) {
            // Neighbors that face each other closer than their stubs are joined directly.
            let near = from.at.x.abs_diff(to.at.x) + from.at.y.abs_diff(to.at.y) <= 2;
            if near || !self.eyes.is_blocked(after(from, 1), after(to, 1)) {
                return vec![from.at, to.at];
            }
        }
        if self.eyes.is_crowded(GridArea::of(from.at, to.at)) {
            return simplified(&[from.at, GridPoint::new(to.at.x, from.at.y), to.at]);
        }
        let mut best: Option<Way> = None;
        for stub in [STUB, 1] {
            let way = patterns::best(self, from, to, stub);
            if way.as_ref().is_some_and(|way| way.faults <= SLIGHT) {
                return way.map(|way| way.points).unwrap_or_default();
            }
            if let Some(way) = way
                && best.as_ref().is_none_or(|best| way.cost < best.cost)
            {
                best = Some(way);
            }
        }
        let way = maze::find(self, from, to).map(|points| self.weigh(points));
        match (best, way) {
            (Some(best), Some(way)) if way.cost < best.cost => way.points,
            (Some(best), _) => best.points,
            (None, Some(way)) => way.points,
            (None, None) => simplified(&[from.at, GridPoint::new(to.at.x, from.at.y), to.at]),
        }
    }

    /// What a whole way costs. Its first and last steps leave the terminals, so they may touch the blocks.
    pub(super) fn weigh(&mut self, points: Vec<GridPoint>) -> Way {
        let mut cost = BEND.saturating_mul(i32::try_from(points.len().saturating_sub(2)).unwrap_or(LIMIT));
        let mut faults = 0_i32;
        let last = points.len().saturating_sub(2);
        for (piece, pair) in points.windows(2).enumerate() {
            let [a, b] = pair else { continue };
            self.look(GridArea::of(*a, *b));
            cost = cost.saturating_add(distance(*a, *b));
            let (start, end) = trimmed(*a, *b, (i32::from(piece == 0), i32::from(piece == last)));
            if start.is_some_and(|start| self.eyes.is_blocked(start, end)) {
                faults = faults.saturating_add(BLOCKED);
            }
            if piece != 0 && piece != last && self.eyes.hugs(*a, *b) {
                cost = cost.saturating_add(HUG + distance(*a, *b) / 4);
            }
            let trouble = self.eyes.trouble(*a, *b);
            cost = cost.saturating_add(trouble.cost() - trouble.faults);
            faults = faults.saturating_add(trouble.faults);
        }
        Way { points, cost: cost.saturating_add(faults).min(LIMIT), faults }
    }
}

/// The part of a piece that must keep clear of blocks: all but the terminals at its ends. `None` if nothing
/// is left. `off` is how many steps go at its beginning and at its end.
fn trimmed(a: GridPoint, b: GridPoint, off: (i32, i32)) -> (Option<GridPoint>, GridPoint) {
    let (dx, dy) = ((b.x - a.x).signum(), (b.y - a.y).signum());
    let start = a.moved(dx * off.0, dy * off.0);
    let end = b.moved(-dx * off.1, -dy * off.1);
    let length = distance(a, b) - off.0 - off.1;
    ((length >= 0).then_some(start), end)
}

pub(super) fn distance(a: GridPoint, b: GridPoint) -> i32 {
    i32::try_from(a.x.abs_diff(b.x).saturating_add(a.y.abs_diff(b.y))).unwrap_or(LIMIT).min(LIMIT)
}

/// The point some steps out of a terminal.
pub(super) fn after(landing: Landing, steps: i32) -> GridPoint {
    let (dx, dy) = landing.facing.step();
    landing.at.moved(dx * steps, dy * steps)
}

/// Whether two terminals look straight at each other.
fn is_straight(from: Landing, to: Landing) -> bool {
    if from.facing != to.facing.opposite() {
        return false;
    }
    let (dx, dy) = (to.at.x - from.at.x, to.at.y - from.at.y);
    match from.facing {
        Facing::Right => dy == 0 && dx > 0,
        Facing::Left => dy == 0 && dx < 0,
        Facing::Down => dx == 0 && dy > 0,
        Facing::Up => dx == 0 && dy < 0,
    }
}

/// Without points that lie on the straight between their neighbors. `points` is not empty.
pub(super) fn simplified(points: &[GridPoint]) -> Vec<GridPoint> {
    let mut kept: Vec<GridPoint> = Vec::with_capacity(points.len());
    for point in points {
        if kept.last() == Some(point) {
            continue;
        }
        if let [.., before, last] = kept.as_slice() {
            let straight = before.x == last.x && last.x == point.x || before.y == last.y && last.y == point.y;
            if straight {
                kept.pop();
                if kept.last() == Some(point) {
                    continue;
                }
            }
        }
        kept.push(*point);
    }
    kept
}

/// Whether a way turns back on itself anywhere.
pub(super) fn turns_back(points: &[GridPoint]) -> bool {
    let mut before = (0, 0);
    for pair in points.windows(2) {
        let [a, b] = pair else { continue };
        let step = ((b.x - a.x).signum(), (b.y - a.y).signum());
        // A point that stands twice is no step; the direction before it still counts.
        if step == (0, 0) {
            continue;
        }
        if before.0 * step.0 + before.1 * step.1 < 0 {
            return true;
        }
        before = step;
    }
    false
}

/// The way through bends that were placed by hand, with a corner added wherever two of them are not on one
/// line. The run leaves its terminals the way they face where that does not turn it back.
pub(super) fn through(from: Landing, bends: &[GridPoint], to: Landing) -> Vec<GridPoint> {
    let mut points = vec![from.at];
    let mut course = Course::out_of(from.facing);
    for bend in bends {
        corner(&mut points, *bend, course);
        course = match points.as_slice() {
            [.., before, last] => Course::after(*before, *last),
            _ => course,
        };
    }
    // Into the last terminal the line comes along its own direction.
    corner(&mut points, to.at, Course::into(to.facing));
    simplified(&points)
}

/// How a line lies.
#[derive(Clone, Copy)]
enum Course {
    Level,
    Upright,
}

impl Course {
    const fn out_of(facing: Facing) -> Self {
        if facing.is_level() { Self::Level } else { Self::Upright }
    }
    const fn into(facing: Facing) -> Self {
        if facing.is_level() { Self::Upright } else { Self::Level }
    }
    /// A bend was placed to turn there: what comes in level leaves upright.
    const fn after(before: GridPoint, bend: GridPoint) -> Self {
        if before.x == bend.x { Self::Level } else { Self::Upright }
    }
}

/// Goes on to a point on a course, and turns where that alone does not reach it.
fn corner(points: &mut Vec<GridPoint>, next: GridPoint, course: Course) {
    let Some(last) = points.last().copied() else { return };
    if last.x != next.x && last.y != next.y {
        points.push(match course {
            Course::Level => GridPoint::new(next.x, last.y),
            Course::Upright => GridPoint::new(last.x, next.y),
        });
    }
    points.push(next);
}
