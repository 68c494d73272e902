//! What lies where: the bodies of blocks and the pieces of runs, by square cells of the sheet, so that a
//! search looks only at its surroundings.

use crate::geometry::GridArea;
use lineside_core::circuit::{BlockId, GridPoint, RunId};
use std::collections::HashMap;
use std::hash::{BuildHasherDefault, Hasher};

/// Side of a cell in steps, as a power of two.
const CELL_BITS: u32 = 4;
/// What spans more cells than this is kept in a list of its own: a sheet rarely has any.
const MOST_CELLS: i64 = 1024;
/// Bodies in one cell beyond which it is crowded: those of the smallest blocks side by side are fewer.
const MOST_BODIES: usize = 64;

/// To whom a piece of a line belongs.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub(super) enum Owner {
    /// The outline of a place.
    Frame,
    /// A run.
    Run(RunId),
}

/// A straight piece of a line along the grid; `a` is its left or upper end.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) struct Segment {
    pub owner: Owner,
    pub a: GridPoint,
    pub b: GridPoint,
}

impl Segment {
    pub(super) fn new(owner: Owner, a: GridPoint, b: GridPoint) -> Self {
        let area = GridArea::of(a, b);
        Self { owner, a: area.min, b: area.max }
    }
    pub(super) const fn area(self) -> GridArea {
        GridArea { min: self.a, max: self.b }
    }
    pub(super) const fn is_level(self) -> bool {
        self.a.y == self.b.y
    }
}

/// Cells are hashed by position; they are only ever looked up, never walked through.
#[derive(Clone, Copy, Debug, Default)]
struct CellHasher(u64);

impl Hasher for CellHasher {
    fn finish(&self) -> u64 {
        self.0
    }
    fn write(&mut self, bytes: &[u8]) {
        for byte in bytes {
            self.write_i32(i32::from(*byte));
        }
    }
    fn write_i32(&mut self, value: i32) {
        // Multiplication by a large odd number spreads neighboring cells over the table.
        self.0 =
            (self.0.rotate_left(5) ^ u64::from(value.cast_unsigned())).wrapping_mul(0x9E37_79B9_7F4A_7C15);
    }
}

type Cell = (i32, i32);

#[derive(Clone, Debug)]
struct Cells<T> {
    cells: HashMap<Cell, Vec<T>, BuildHasherDefault<CellHasher>>,
    wide: Vec<T>,
}

impl<T> Default for Cells<T> {
    fn default() -> Self {
        Self { cells: HashMap::default(), wide: Vec::new() }
    }
}

const fn cell_of(point: GridPoint) -> Cell {
    (point.x >> CELL_BITS, point.y >> CELL_BITS)
}

fn is_wide(area: GridArea) -> bool {
    let (min, max) = (cell_of(area.min), cell_of(area.max));
    let across = i64::from(max.0) - i64::from(min.0) + 1;
    let down = i64::from(max.1) - i64::from(min.1) + 1;
    across * down > MOST_CELLS
}

fn cells_of(area: GridArea) -> impl Iterator<Item = Cell> {
    let (min, max) = (cell_of(area.min), cell_of(area.max));
    (min.1..=max.1).flat_map(move |y| (min.0..=max.0).map(move |x| (x, y)))
}

impl<T: Copy + PartialEq> Cells<T> {
    fn insert(&mut self, area: GridArea, entry: T) {
        if is_wide(area) {
            self.wide.push(entry);
            return;
        }
        for cell in cells_of(area) {
            self.cells.entry(cell).or_default().push(entry);
        }
    }
    fn remove(&mut self, area: GridArea, entry: T) {
        if is_wide(area) {
            take_one(&mut self.wide, &entry);
            return;
        }
        for cell in cells_of(area) {
            if let Some(entries) = self.cells.get_mut(&cell) {
                take_one(entries, &entry);
            }
        }
    }
}

/// Removes one entry; order within a cell has no meaning.
fn take_one<T: PartialEq>(entries: &mut Vec<T>, entry: &T) {
    if let Some(slot) = entries.iter().position(|other| other == entry) {
        entries.swap_remove(slot);
    }
}

/// Bodies of blocks and pieces of runs by where they lie.
#[derive(Clone, Debug, Default)]
pub(super) struct Index {
    blocks: Cells<(BlockId, GridArea)>,
    segments: Cells<Segment>,
    /// Everything that was ever put in lies within; a search over a vast area need not look outside.
    extent: Option<GridArea>,
}

impl Index {
    pub(super) fn insert_block(&mut self, id: BlockId, body: GridArea) {
        self.reach(body);
        self.blocks.insert(body, (id, body));
    }
    pub(super) fn remove_block(&mut self, id: BlockId, body: GridArea) {
        self.blocks.remove(body, (id, body));
    }
    pub(super) fn insert_segment(&mut self, segment: Segment) {
        self.reach(segment.area());
        self.segments.insert(segment.area(), segment);
    }
    pub(super) fn remove_segment(&mut self, segment: Segment) {
        self.segments.remove(segment.area(), segment);
    }
    fn reach(&mut self, area: GridArea) {
        self.extent = Some(self.extent.map_or(area, |extent| extent.union(area)));
    }

    /// The cells of an area that can hold anything.
    fn clipped(&self, area: GridArea) -> Option<GridArea> {
        let extent = self.extent.filter(|extent| extent.touches(area))?;
        Some(GridArea {
            min: GridPoint::new(area.min.x.max(extent.min.x), area.min.y.max(extent.min.y)),
            max: GridPoint::new(area.max.x.min(extent.max.x), area.max.y.min(extent.max.y)),
        })
    }

    /// Whether any body has a point in an area.
    pub(super) fn is_blocked(&self, area: GridArea) -> bool {
        let hit = |entry: &(BlockId, GridArea)| entry.1.touches(area);
        if self.blocks.wide.iter().any(hit) {
            return true;
        }
        let Some(area) = self.clipped(area) else { return false };
        cells_of(area).any(|cell| self.blocks.cells.get(&cell).is_some_and(|entries| entries.iter().any(hit)))
    }

    /// Whether more bodies lie in one cell of an area than a reader could tell apart.
    pub(super) fn is_crowded(&self, area: GridArea) -> bool {
        let Some(area) = self.clipped(area).filter(|area| !is_wide(*area)) else { return false };
        cells_of(area).any(|cell| self.bodies_in(cell) > MOST_BODIES)
    }

    /// The cells of a body that has just come or gone, where that may have made one crowded or no longer so.
    pub(super) fn crowd_changed(&self, body: GridArea) -> Option<GridArea> {
        let near = |cell| (MOST_BODIES..=MOST_BODIES + 1).contains(&self.bodies_in(cell));
        (!is_wide(body) && cells_of(body).any(near)).then(|| body.grown(1 << CELL_BITS))
    }

    fn bodies_in(&self, cell: Cell) -> usize {
        self.blocks.cells.get(&cell).map_or(0, Vec::len)
    }

    /// Every body that has a point in an area, in the order of ids.
    pub(super) fn bodies(&self, area: GridArea) -> Vec<(BlockId, GridArea)> {
        let mut found: Vec<(BlockId, GridArea)> = self.blocks.wide.clone();
        if let Some(area) = self.clipped(area) {
            for cell in cells_of(area) {
                found.extend(self.blocks.cells.get(&cell).into_iter().flatten());
            }
        }
        found.retain(|entry| entry.1.touches(area));
        found.sort_unstable_by_key(|entry| entry.0);
        found.dedup_by_key(|entry| entry.0);
        found
    }

    /// Calls `look` with every piece near an area, once for each cell that both touch. The cell is handed on
    /// so that a meeting that lies in another cell is not counted twice; `None` stands for all cells.
    pub(super) fn each_segment(&self, area: GridArea, mut look: impl FnMut(&Segment, Option<Cell>)) {
        for segment in &self.segments.wide {
            look(segment, None);
        }
        let Some(area) = self.clipped(area) else { return };
        for cell in cells_of(area) {
            for segment in self.segments.cells.get(&cell).into_iter().flatten() {
                look(segment, Some(cell));
            }
        }
    }

    /// Whether a point lies in a cell.
    pub(super) fn is_in_cell(point: GridPoint, cell: Option<Cell>) -> bool {
        cell.is_none_or(|cell| cell_of(point) == cell)
    }
}
