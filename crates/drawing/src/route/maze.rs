//! The search through the gaps between blocks: over the lines that matter near the two ends (those of the
//! terminals, and those beside blocks), by A*, with a budget.

use super::Landing;
use super::cost::BEND;
use super::search::{Search, after, distance, simplified};
use crate::geometry::{Facing, GridArea};
use lineside_core::circuit::GridPoint;
use std::cmp::Reverse;
use std::collections::BinaryHeap;

/// How far a search goes.
#[derive(Clone, Copy)]
struct Effort {
    /// How far beyond the ends, in steps.
    margin: i32,
    /// Most lines in each direction.
    lines: usize,
    /// Most corners that are looked at before the search gives up.
    budget: usize,
}

/// The usual search, and the one when that has found no way.
const EFFORTS: [Effort; 2] =
    [Effort { margin: 24, lines: 64, budget: 6_000 }, Effort { margin: 64, lines: 160, budget: 60_000 }];

const DIRECTIONS: [Facing; 4] = [Facing::Right, Facing::Down, Facing::Left, Facing::Up];

/// The corners of the cheapest way that goes through no block; `None` if there is none within the lines and
/// the budget.
pub(super) fn find(search: &mut Search<'_>, from: Landing, to: Landing) -> Option<Vec<GridPoint>> {
    let free = |search: &Search<'_>, landing: Landing| {
        let stub = after(landing, 1 + landing.further);
        if search.eyes.is_blocked(after(landing, 1), stub) { after(landing, 1) } else { stub }
    };
    let (start, end) = (free(search, from), free(search, to));
    let middle = EFFORTS.into_iter().find_map(|effort| {
        let window = GridArea::of(start, end).grown(effort.margin);
        search.look(window);
        let lines = Lines::around(search, window, (start, end), effort.lines);
        lines.walk(search, (start, from.facing), (end, to.facing.opposite()), effort.budget)
    })?;
    let mut points = vec![from.at];
    points.extend(middle);
    points.push(to.at);
    Some(simplified(&points))
}

/// The lines on which the search moves.
struct Lines {
    xs: Vec<i32>,
    ys: Vec<i32>,
}

impl Lines {
    fn around(
        search: &Search<'_>,
        window: GridArea,
        (start, end): (GridPoint, GridPoint),
        most: usize,
    ) -> Self {
        let mut xs = vec![start.x, end.x, i32::midpoint(start.x, end.x)];
        let mut ys = vec![start.y, end.y, i32::midpoint(start.y, end.y)];
        for (_, body) in search.eyes.index.bodies(window) {
            for out in [1, 3] {
                xs.extend([body.min.x - out, body.max.x + out]);
                ys.extend([body.min.y - out, body.max.y + out]);
            }
        }
        let tidy = |lines: &mut Vec<i32>, low: i32, high: i32, a: i32, b: i32| {
            lines.retain(|line| (low..=high).contains(line));
            // Where there are too many, those nearest to the two ends matter most.
            lines.sort_unstable_by_key(|line| (line.abs_diff(a).min(line.abs_diff(b)), *line));
            lines.dedup();
            lines.truncate(most);
            lines.sort_unstable();
        };
        tidy(&mut xs, window.min.x, window.max.x, start.x, end.x);
        tidy(&mut ys, window.min.y, window.max.y, start.y, end.y);
        Self { xs, ys }
    }

    fn point(&self, column: usize, row: usize) -> Option<GridPoint> {
        Some(GridPoint::new(*self.xs.get(column)?, *self.ys.get(row)?))
    }
    fn neighbor(&self, column: usize, row: usize, direction: Facing) -> Option<(usize, usize)> {
        let (column, row) = match direction {
            Facing::Right => (column + 1, row),
            Facing::Left => (column.checked_sub(1)?, row),
            Facing::Down => (column, row + 1),
            Facing::Up => (column, row.checked_sub(1)?),
        };
        (column < self.xs.len() && row < self.ys.len()).then_some((column, row))
    }
    fn state(&self, column: usize, row: usize, direction: usize) -> usize {
        (row * self.xs.len() + column) * 4 + direction
    }

    /// The points from `start`, left in one direction, to `end`, gone into in another.
    fn walk(
        &self,
        search: &Search<'_>,
        (start, out): (GridPoint, Facing),
        (end, into): (GridPoint, Facing),
        budget: usize,
    ) -> Option<Vec<GridPoint>> {
        let column = self.xs.binary_search(&start.x).ok()?;
        let row = self.ys.binary_search(&start.y).ok()?;
        let first = self.state(column, row, DIRECTIONS.iter().position(|d| *d == out)?);
        let mut costs = vec![i32::MAX; self.xs.len() * self.ys.len() * 4];
        let mut origins = vec![usize::MAX; costs.len()];
        *costs.get_mut(first)? = 0;
        let mut open = BinaryHeap::from([Reverse((distance(start, end), first))]);
        let mut looked_at = 0;
        while let Some(Reverse((_, state))) = open.pop() {
            looked_at += 1;
            if looked_at > budget {
                return None;
            }
            let (here, column, row, direction) = self.unfold(state)?;
            let cost = *costs.get(state)?;
            if here == end && direction != into.opposite() {
                return self.trace(&origins, state);
            }
            for (slot, way) in DIRECTIONS.iter().enumerate() {
                let Some((next_column, next_row)) = self.neighbor(column, row, *way) else { continue };
                let Some(next) = self.point(next_column, next_row) else { continue };
                if *way == direction.opposite() || search.eyes.is_blocked(here, next) {
                    continue;
                }
                let bend = if *way == direction { 0 } else { BEND };
                // The last bend, into the terminal, is paid at the end so that all ways compare alike.
                let last = if next == end && *way != into { BEND } else { 0 };
                let trouble = search.eyes.trouble(here, next).cost();
                let total = cost
                    .saturating_add(distance(here, next))
                    .saturating_add(bend + last)
                    .saturating_add(trouble);
                let state_there = self.state(next_column, next_row, slot);
                if costs.get(state_there).is_some_and(|known| total < *known) {
                    *costs.get_mut(state_there)? = total;
                    *origins.get_mut(state_there)? = state;
                    open.push(Reverse((total.saturating_add(distance(next, end)), state_there)));
                }
            }
        }
        None
    }

    fn unfold(&self, state: usize) -> Option<(GridPoint, usize, usize, Facing)> {
        let cell = state / 4;
        let (column, row) = (cell % self.xs.len(), cell / self.xs.len());
        Some((self.point(column, row)?, column, row, *DIRECTIONS.get(state % 4)?))
    }

    fn trace(&self, origins: &[usize], last: usize) -> Option<Vec<GridPoint>> {
        let mut points = Vec::new();
        let mut state = last;
        while state != usize::MAX {
            points.push(self.unfold(state)?.0);
            state = *origins.get(state)?;
        }
        points.reverse();
        Some(points)
    }
}
