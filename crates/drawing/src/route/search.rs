//! The search for one route: first the usual shapes with up to two bends, then a search through the gaps
//! between the blocks; and the way through bends that were placed by hand.

use super::Landing;
use super::cost::{BEND, BLOCKED, Eyes, LIMIT};
use super::index::Index;
use super::{maze, patterns};
use crate::geometry::{Facing, GridArea};
use lineside_core::circuit::{GridPoint, RunId};

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
    pub(super) fn new(index: &'a Index, run: RunId, companions: &'a [RunId]) -> Self {
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
        let best = patterns::best(self, from, to);
        if best.as_ref().is_some_and(|way| way.faults <= SLIGHT) {
            return best.map(|way| way.points).unwrap_or_default();
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
            let (start, end) = trimmed(*a, *b, piece == 0, piece == last);
            if start.is_some_and(|start| self.eyes.is_blocked(start, end)) {
                faults = faults.saturating_add(BLOCKED);
            }
            let trouble = self.eyes.trouble(*a, *b);
            cost = cost.saturating_add(trouble.cost() - trouble.faults);
            faults = faults.saturating_add(trouble.faults);
        }
        Way { points, cost: cost.saturating_add(faults).min(LIMIT), faults }
    }
}

/// The part of a piece that must keep clear of blocks: all but the terminals at its ends. `None` if nothing
/// is left.
fn trimmed(a: GridPoint, b: GridPoint, first: bool, last: bool) -> (Option<GridPoint>, GridPoint) {
    let (dx, dy) = ((b.x - a.x).signum(), (b.y - a.y).signum());
    let start = if first { a.moved(dx, dy) } else { a };
    let end = if last { b.moved(-dx, -dy) } else { b };
    let length = distance(a, b) - i32::from(first) - i32::from(last);
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
    let mut level = from.facing.is_level();
    for bend in bends {
        corner(&mut points, *bend, level);
        level = match points.as_slice() {
            // A bend was placed to turn there: what comes in level leaves upright.
            [.., before, last] => before.x == last.x,
            _ => level,
        };
    }
    // Into the last terminal the line comes along its own direction.
    corner(&mut points, to.at, !to.facing.is_level());
    simplified(&points)
}

/// Goes on to a point, first level or first upright when both are needed.
fn corner(points: &mut Vec<GridPoint>, next: GridPoint, level_first: bool) {
    let Some(last) = points.last().copied() else { return };
    if last.x != next.x && last.y != next.y {
        points.push(if level_first {
            GridPoint::new(next.x, last.y)
        } else {
            GridPoint::new(last.x, next.y)
        });
    }
    points.push(next);
}
