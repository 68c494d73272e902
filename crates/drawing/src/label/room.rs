//! What is taken on the sheet already, as bits on a fine grid, so that thousands of places for words can be
//! tried in the time of a frame. It is rounded outwards: what is free here is free on paper.

use crate::geometry::Area;
use std::collections::HashMap;
use std::hash::{BuildHasherDefault, Hasher};

/// Cells in a millimeter: a quarter of a step is one cell.
const CELLS_PER_MM: f32 = 1.6;
/// Cells along a side of a tile: the bits of a word.
const SIDE_BITS: u32 = 6;
const SIDE: usize = 1 << SIDE_BITS;
/// What spans more tiles than this is left out; words are not placed by it.
const MOST_TILES: i64 = 4096;

/// What is kept apart, because words may cross the one more readily than the other.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum Plane {
    /// Symbols and words.
    Solid,
    /// Runs and outlines of places.
    Lines,
}

#[derive(Clone, Default)]
struct TileHasher(u64);

impl Hasher for TileHasher {
    fn finish(&self) -> u64 {
        self.0
    }
    fn write(&mut self, bytes: &[u8]) {
        for byte in bytes {
            self.write_i32(i32::from(*byte));
        }
    }
    fn write_i32(&mut self, value: i32) {
        self.0 =
            (self.0.rotate_left(7) ^ u64::from(value.cast_unsigned())).wrapping_mul(0x9E37_79B9_7F4A_7C15);
    }
}

#[derive(Clone)]
struct Tile {
    rows: [[u64; SIDE]; 2],
}

/// What is taken.
#[derive(Clone, Default)]
pub(crate) struct Room {
    /// Looked up by position, never walked through.
    slots: HashMap<(i32, i32), usize, BuildHasherDefault<TileHasher>>,
    tiles: Vec<Tile>,
}

/// Whole cells that an area touches: from the first to before the last.
#[derive(Clone, Copy)]
struct Cells {
    left: i32,
    top: i32,
    right: i32,
    bottom: i32,
}

impl Cells {
    #[expect(clippy::cast_possible_truncation, reason = "a float cast saturates; a sheet is far smaller")]
    fn of(area: Area) -> Option<Self> {
        let low = |mm: f32| (mm * CELLS_PER_MM).floor() as i32;
        let high = |mm: f32| (mm * CELLS_PER_MM).ceil() as i32;
        let cells = Self {
            left: low(area.left),
            top: low(area.top),
            right: high(area.right),
            bottom: high(area.bottom),
        };
        (cells.left < cells.right && cells.top < cells.bottom && cells.tiles() <= MOST_TILES).then_some(cells)
    }
    fn tiles(self) -> i64 {
        let span = |low: i32, high: i32| i64::from((high - 1) >> SIDE_BITS) - i64::from(low >> SIDE_BITS) + 1;
        span(self.left, self.right).saturating_mul(span(self.top, self.bottom))
    }
}

/// The bits of a word from one column of a tile to before another.
fn columns(from: i32, to: i32) -> u64 {
    let upto = |column: i32| if column >= 64 { u64::MAX } else { (1_u64 << column) - 1 };
    upto(to) & !upto(from)
}

impl Room {
    /// Takes an area.
    pub(crate) fn take(&mut self, plane: Plane, area: Area) {
        let Some(cells) = Cells::of(area) else { return };
        for tile_y in (cells.top >> SIDE_BITS)..=((cells.bottom - 1) >> SIDE_BITS) {
            for tile_x in (cells.left >> SIDE_BITS)..=((cells.right - 1) >> SIDE_BITS) {
                let next = self.tiles.len();
                let slot = *self.slots.entry((tile_x, tile_y)).or_insert(next);
                if slot == next {
                    self.tiles.push(Tile { rows: [[0; SIDE]; 2] });
                }
                let Some(tile) = self.tiles.get_mut(slot) else { continue };
                let (rows, mask) = part(cells, tile_x, tile_y);
                for row in tile.plane_mut(plane).iter_mut().take(rows.1).skip(rows.0) {
                    *row |= mask;
                }
            }
        }
    }

    /// How many cells of an area are taken: symbols and words, and lines.
    pub(crate) fn taken(&self, area: Area) -> (u32, u32) {
        let Some(cells) = Cells::of(area) else { return (0, 0) };
        let (mut solid, mut lines) = (0, 0);
        for tile_y in (cells.top >> SIDE_BITS)..=((cells.bottom - 1) >> SIDE_BITS) {
            for tile_x in (cells.left >> SIDE_BITS)..=((cells.right - 1) >> SIDE_BITS) {
                let Some(tile) = self.slots.get(&(tile_x, tile_y)).and_then(|slot| self.tiles.get(*slot))
                else {
                    continue;
                };
                let (rows, mask) = part(cells, tile_x, tile_y);
                let [first, second] = &tile.rows;
                for (one, other) in first.iter().zip(second).take(rows.1).skip(rows.0) {
                    solid += (one & mask).count_ones();
                    lines += (other & mask).count_ones();
                }
            }
        }
        (solid, lines)
    }
}

impl Tile {
    fn plane_mut(&mut self, plane: Plane) -> &mut [u64; SIDE] {
        let [solid, lines] = &mut self.rows;
        match plane {
            Plane::Solid => solid,
            Plane::Lines => lines,
        }
    }
}

/// The rows and the bits of a tile that cells take up.
fn part(cells: Cells, tile_x: i32, tile_y: i32) -> ((usize, usize), u64) {
    let (left, top) = (tile_x << SIDE_BITS, tile_y << SIDE_BITS);
    let row = |y: i32| usize::try_from((y - top).clamp(0, 64)).unwrap_or(0);
    let column = |x: i32| (x - left).clamp(0, 64);
    ((row(cells.top), row(cells.bottom)), columns(column(cells.left), column(cells.right)))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::geometry::Point;

    #[test]
    fn what_is_taken_is_found_and_nothing_else() {
        let mut room = Room::default();
        // 10 mm × 5 mm is 16 × 8 cells; it lies across four tiles, whose corners are at 40 mm.
        room.take(Plane::Solid, Area::at(Point::new(35.0, 37.5), 10.0, 5.0));
        assert_eq!(room.taken(Area::at(Point::new(0.0, 0.0), 100.0, 100.0)), (128, 0));
        assert_eq!(room.taken(Area::at(Point::new(25.0, 37.5), 10.0, 5.0)), (0, 0));
        assert_eq!(room.taken(Area::at(Point::new(45.0, 37.5), 10.0, 5.0)), (0, 0));
        assert_eq!(room.taken(Area::at(Point::new(44.375, 41.875), 10.0, 5.0)), (1, 0));
        room.take(Plane::Lines, Area::at(Point::new(-50.0, 40.0), 200.0, 0.1));
        assert_eq!(room.taken(Area::at(Point::new(0.0, 39.0), 10.0, 2.0)), (0, 16));
        assert_eq!(room.taken(Area::at(Point::new(-45.0, 39.0), 10.0, 2.0)), (0, 16));
    }

    #[test]
    fn far_away_and_endless_areas_do_no_harm() {
        let mut room = Room::default();
        room.take(Plane::Lines, Area { left: -1e9, top: 0.0, right: 1e9, bottom: 1.0 });
        assert_eq!(room.taken(Area { left: 0.0, top: 0.0, right: f32::INFINITY, bottom: 1.0 }), (0, 0));
        room.take(Plane::Solid, Area::at(Point::new(2.5e6, -2.5e6), 10.0, 10.0));
        assert_eq!(room.taken(Area::at(Point::new(2.5e6, -2.5e6), 10.0, 10.0)).0, 16 * 16);
    }
}
