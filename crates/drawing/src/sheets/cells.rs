//! Cells: the pieces into which a drawing may be cut. Each location is one; a location that is larger than a page is cut
//! further, along lines that no block lies on and that few runs cross.

use crate::geometry::GridArea;
use crate::placement;
use lineside_core::circuit::{BlockId, Circuit, GridPoint, Place, PlaceId, PlaceKind};
use std::collections::{BTreeMap, BTreeSet};

/// A piece of a drawing that stays together.
#[derive(Clone, Debug, PartialEq)]
pub(super) struct Cell {
    pub blocks: Vec<BlockId>,
    /// Outlines of the places in it, as far as they are in it.
    pub frames: BTreeMap<PlaceId, GridArea>,
    /// The location of which it is a piece; `None` for what stands nowhere.
    pub location: Option<PlaceId>,
    /// The rectangle that holds its blocks and outlines.
    pub bounds: GridArea,
}

/// Extent of what fits on a page, steps.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct Extent {
    pub width: i32,
    pub height: i32,
}

impl Extent {
    pub(super) fn holds(self, area: GridArea) -> bool {
        area.max.x.saturating_sub(area.min.x) <= self.width
            && area.max.y.saturating_sub(area.min.y) <= self.height
    }
}

/// The cells of a circuit, in the order in which they are read: from the left, then from the top.
pub(super) fn of(circuit: &Circuit, most: Extent) -> Vec<Cell> {
    let mut whole = locations(circuit);
    whole.sort_by_key(|cell| (cell.bounds.min.x, cell.bounds.min.y, cell.location));
    whole.into_iter().flat_map(|cell| cut(circuit, cell, most)).collect()
}

fn locations(circuit: &Circuit) -> Vec<Cell> {
    let mut blocks: BTreeMap<Option<PlaceId>, Vec<BlockId>> = BTreeMap::new();
    for place in circuit.places().filter(|place| circuit.location_of(place.id) == place.id) {
        blocks.entry(Some(place.id)).or_default();
    }
    for block in circuit.blocks() {
        let location = block.place.map(|place| circuit.location_of(place));
        blocks.entry(location).or_default().push(block.id);
    }
    let cell = |(location, blocks): (Option<PlaceId>, Vec<BlockId>)| {
        let inside = |place: &&Place| Some(circuit.location_of(place.id)) == location;
        let frames: BTreeMap<PlaceId, GridArea> =
            circuit.places().filter(inside).map(|place| (place.id, frame(place))).collect();
        let bounds = bounds(circuit, &blocks, frames.values().copied())?;
        Some(Cell { blocks, frames, location, bounds })
    };
    blocks.into_iter().filter_map(cell).collect()
}

fn frame(place: &Place) -> GridArea {
    GridArea::of(place.at, place.at.moved(place.size.x, place.size.y))
}

fn bounds(circuit: &Circuit, blocks: &[BlockId], frames: impl Iterator<Item = GridArea>) -> Option<GridArea> {
    let blocks = blocks.iter().filter_map(|id| circuit.block(*id)).map(placement::bounds);
    blocks.chain(frames).reduce(GridArea::union)
}

/// Cuts a cell until every piece fits, or can be cut no further.
pub(super) fn cut(circuit: &Circuit, cell: Cell, most: Extent) -> Vec<Cell> {
    let mut open = vec![cell];
    let mut done = Vec::new();
    while let Some(cell) = open.pop() {
        let halves = if most.holds(cell.bounds) { None } else { halves(circuit, &cell, most) };
        match halves {
            // The first half is read first, so it must come off the pile first.
            Some((first, second)) => open.extend([second, first]),
            None => done.push(cell),
        }
    }
    done
}

#[derive(Clone, Copy, PartialEq, Eq)]
enum Axis {
    X,
    Y,
}

impl Axis {
    const fn of(self, point: GridPoint) -> i32 {
        match self {
            Self::X => point.x,
            Self::Y => point.y,
        }
    }
}

fn halves(circuit: &Circuit, cell: &Cell, most: Extent) -> Option<(Cell, Cell)> {
    let over = |length: i32, most: i32| f64::from(length) / f64::from(most.max(1));
    let size = (cell.bounds.max.x - cell.bounds.min.x, cell.bounds.max.y - cell.bounds.min.y);
    let wide = over(size.0, most.width) >= over(size.1, most.height);
    let axes = if wide { [Axis::X, Axis::Y] } else { [Axis::Y, Axis::X] };
    axes.into_iter().find_map(|axis| {
        let at = line(circuit, cell, axis)?;
        Some((side(circuit, cell, axis, at, Half::Before)?, side(circuit, cell, axis, at, Half::After)?))
    })
}

/// A crossing weighs as much as this share of the length by which a line lies off the middle.
const CROSSING: f64 = 0.08;
/// Lines farther off the middle than this share of the length are taken only when there is none nearer.
const MIDDLE: f64 = 0.25;

/// The best line between blocks.
fn line(circuit: &Circuit, cell: &Cell, axis: Axis) -> Option<i32> {
    let mut spans: Vec<(i32, i32, BlockId)> = cell
        .blocks
        .iter()
        .filter_map(|id| circuit.block(*id))
        .map(|block| (placement::bounds(block), block.id))
        .map(|(area, id)| (axis.of(area.min), axis.of(area.max), id))
        .collect();
    spans.sort_unstable();
    let crossings = crossings(circuit, &spans);
    let (low, high) = (axis.of(cell.bounds.min), axis.of(cell.bounds.max));
    let length = f64::from((high - low).max(1));
    let mut reach = i32::MIN;
    let mut best: Option<(bool, f64, i32)> = None;
    for (place, (start, end, _)) in spans.iter().enumerate() {
        if place > 0 && *start > reach {
            let at = reach + (start - reach) / 2;
            let off = (f64::from(at - low) / length - 0.5).abs();
            let crossed = crossings.get(place).copied().unwrap_or(0);
            let cost = off + CROSSING * f64::from(crossed);
            let found = (off > MIDDLE, cost, at);
            if best.is_none_or(|best| (found.0, found.1) < (best.0, best.1)) {
                best = Some(found);
            }
        }
        reach = reach.max(*end);
    }
    best.map(|best| best.2)
}

/// How many runs lead from the first so many blocks to the others.
fn crossings(circuit: &Circuit, spans: &[(i32, i32, BlockId)]) -> Vec<i32> {
    let places: BTreeMap<BlockId, usize> = spans.iter().enumerate().map(|(n, span)| (span.2, n)).collect();
    let mut steps = vec![0; spans.len() + 1];
    for run in circuit.runs() {
        let (Some(a), Some(b)) = (places.get(&run.from.block), places.get(&run.to.block)) else { continue };
        let (first, last) = (*a.min(b), *a.max(b));
        if let Some(step) = steps.get_mut(first + 1) {
            *step += 1;
        }
        if let Some(step) = steps.get_mut(last + 1) {
            *step -= 1;
        }
    }
    let mut sum = 0;
    steps
        .into_iter()
        .map(|step| {
            sum += step;
            sum
        })
        .collect()
}

#[derive(Clone, Copy, PartialEq, Eq)]
enum Half {
    Before,
    After,
}

/// What lies on one side of a line.
fn side(circuit: &Circuit, cell: &Cell, axis: Axis, at: i32, half: Half) -> Option<Cell> {
    let is_here = |area: GridArea| (axis.of(area.min) >= at) == (half == Half::After);
    let here = |id: &BlockId| circuit.block(*id).is_some_and(|block| is_here(placement::bounds(block)));
    let blocks: Vec<BlockId> = cell.blocks.iter().copied().filter(here).collect();
    let occupied: BTreeSet<PlaceId> =
        blocks.iter().filter_map(|id| circuit.block(*id)?.place).flat_map(|it| around(circuit, it)).collect();
    let shown = |id: PlaceId| {
        occupied.contains(&id) || circuit.place(id).is_some_and(|place| place.kind == PlaceKind::Location)
    };
    let frames: BTreeMap<PlaceId, GridArea> = cell
        .frames
        .iter()
        .filter(|(id, _)| shown(**id))
        .filter_map(|(id, frame)| Some((*id, clipped(*frame, axis, at, half)?)))
        .collect();
    let bounds = bounds(circuit, &blocks, frames.values().copied())?;
    (!blocks.is_empty()).then_some(Cell { blocks, frames, location: cell.location, bounds })
}

/// A place and everything that encloses it.
fn around(circuit: &Circuit, place: PlaceId) -> impl Iterator<Item = PlaceId> {
    let count = circuit.places().count();
    std::iter::successors(Some(place), move |place| circuit.place(*place)?.within).take(count)
}

/// What of an outline lies on one side of a line; `None` if nothing does.
fn clipped(frame: GridArea, axis: Axis, at: i32, half: Half) -> Option<GridArea> {
    let mut frame = frame;
    let end = match half {
        Half::Before => &mut frame.max,
        Half::After => &mut frame.min,
    };
    let along = match axis {
        Axis::X => &mut end.x,
        Axis::Y => &mut end.y,
    };
    *along = match half {
        Half::Before => (*along).min(at),
        Half::After => (*along).max(at),
    };
    (frame.min.x < frame.max.x && frame.min.y < frame.max.y).then_some(frame)
}
