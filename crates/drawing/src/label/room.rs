//! What is taken on the sheet already: rectangles by the square cells in which they lie, so that many places
//! for words can be tried in the time of a frame.

use crate::geometry::{Area, Point};

/// Side of a cell, mm.
const CELL: f32 = 20.0;
/// Most cells; a sparser sheet gets larger ones.
const MOST_CELLS: usize = 1 << 18;
/// Entries beyond which a cell is full: nothing more is free in it. Blocks piled on one spot would otherwise be compared
/// each with each.
const MOST_ENTRIES: u16 = 200;
/// The end of a cell's list.
const END: u32 = u32::MAX;

/// What is kept apart, because words may cross the one more readily than the other.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum Plane {
    /// Symbols.
    Symbol,
    /// Words, and what else stands on the sheet.
    Solid,
    /// Runs and outlines of places.
    Lines,
}

/// Covering a symbol or words is far worse than covering a line.
const SOLID_COST: f32 = 40.0;

/// What is taken.
#[derive(Clone)]
pub(crate) struct Room {
    corner: Point,
    /// Side of a cell, mm.
    side: f32,
    columns: usize,
    rows: usize,
    /// For each cell the entry with which its list begins.
    heads: Vec<u32>,
    /// How many entries each list has.
    counts: Vec<u16>,
    entries: Vec<Entry>,
}

#[derive(Clone, Copy)]
struct Entry {
    area: Area,
    plane: Plane,
    next: u32,
}

impl Room {
    /// Room within some bounds; what lies outside is kept with the cells at the edge.
    pub(crate) fn new(bounds: Area) -> Self {
        let bounds = if bounds.is_nothing() { Area::around(Point::default(), CELL, CELL) } else { bounds };
        let mut side = CELL;
        let (mut columns, mut rows) = (count(bounds.width() / side), count(bounds.height() / side));
        while columns.saturating_mul(rows) > MOST_CELLS {
            side *= 2.0;
            (columns, rows) = (count(bounds.width() / side), count(bounds.height() / side));
        }
        let corner = Point::new(bounds.left, bounds.top);
        Self {
            corner,
            side,
            columns,
            rows,
            heads: vec![END; columns * rows],
            counts: vec![0; columns * rows],
            entries: Vec::new(),
        }
    }

    /// The cells that an area touches: first and last column, first and last row.
    #[expect(
        clippy::cast_possible_truncation,
        clippy::cast_sign_loss,
        reason = "a float cast saturates, and cells are clamped to the sheet"
    )]
    fn cells(&self, area: Area) -> [usize; 4] {
        let cell = |mm: f32, count: usize| ((mm / self.side).max(0.0) as usize).min(count - 1);
        [
            cell(area.left - self.corner.x, self.columns),
            cell(area.right - self.corner.x, self.columns),
            cell(area.top - self.corner.y, self.rows),
            cell(area.bottom - self.corner.y, self.rows),
        ]
    }

    /// Takes an area.
    pub(crate) fn take(&mut self, plane: Plane, area: Area) {
        let [left, right, top, bottom] = self.cells(area);
        for row in top..=bottom {
            for column in left..=right {
                let Ok(entry) = u32::try_from(self.entries.len()) else { return };
                let cell = row * self.columns + column;
                let count = self.counts.get_mut(cell).filter(|count| **count < MOST_ENTRIES);
                if let (Some(head), Some(count)) = (self.heads.get_mut(cell), count) {
                    *count += 1;
                    self.entries.push(Entry { area, plane, next: *head });
                    *head = entry;
                }
            }
        }
    }

    /// The entries of one cell.
    fn list(&self, column: usize, row: usize) -> impl Iterator<Item = &Entry> {
        let mut next = self.heads.get(row * self.columns + column).copied().unwrap_or(END);
        std::iter::from_fn(move || {
            let entry = self.entries.get(next as usize)?;
            next = entry.next;
            Some(entry)
        })
    }

    /// Whether nothing of an area is taken.
    pub(crate) fn is_free(&self, area: Area) -> bool {
        let [left, right, top, bottom] = self.cells(area);
        (top..=bottom).all(|row| {
            (left..=right).all(|column| {
                !self.is_full(column, row) && !self.list(column, row).any(|entry| entry.area.overlaps(area))
            })
        })
    }

    /// Whether nothing lies in an area but one thing that fills just `own`.
    pub(crate) fn is_free_but_for(&self, area: Area, own: Area) -> bool {
        let [left, right, top, bottom] = self.cells(area);
        (top..=bottom).all(|row| {
            (left..=right).all(|column| {
                let there = || self.list(column, row).filter(|it| it.area.overlaps(area));
                !self.is_full(column, row) && there().all(|it| it.area == own) && there().nth(1).is_none()
            })
        })
    }

    /// Whether a reader takes words in an area for those of the symbol in `own`: no other symbol is as near.
    pub(crate) fn is_told_of(&self, own: Area, area: Area) -> bool {
        let apart = |low: f32, high: f32| low.max(high).max(0.0);
        let away = apart(own.left - area.right, area.left - own.right)
            .max(apart(own.top - area.bottom, area.top - own.bottom));
        let near = area.grown(away);
        self.has_none(near, |it| it.plane == Plane::Symbol && it.area != own)
    }

    /// Whether no words, marks or flags lie in an area.
    pub(crate) fn is_apart(&self, area: Area) -> bool {
        self.has_none(area, |it| it.plane == Plane::Solid)
    }

    fn has_none(&self, area: Area, counts: impl Fn(&Entry) -> bool) -> bool {
        let [left, right, top, bottom] = self.cells(area);
        (top..=bottom).all(|row| {
            (left..=right)
                .all(|column| !self.list(column, row).any(|it| it.area.overlaps(area) && counts(it)))
        })
    }

    fn is_full(&self, column: usize, row: usize) -> bool {
        self.counts.get(row * self.columns + column).is_some_and(|count| *count >= MOST_ENTRIES)
    }

    /// What an area would cover: square millimeters, by their weight; more than anything where a cell is full.
    pub(crate) fn cost(&self, area: Area) -> f32 {
        let [left, right, top, bottom] = self.cells(area);
        let mut cost = 0.0;
        for row in top..=bottom {
            for column in left..=right {
                if self.is_full(column, row) {
                    return f32::MAX;
                }
                for entry in self.list(column, row) {
                    let common = entry.area.common(area);
                    // What lies in several cells is met several times; one of them counts.
                    let [first, _, highest, _] = self.cells(common);
                    if !common.is_nothing() && first == column && highest == row {
                        cost += common.width()
                            * common.height()
                            * match entry.plane {
                                Plane::Symbol | Plane::Solid => SOLID_COST,
                                Plane::Lines => 1.0,
                            };
                    }
                }
            }
        }
        cost
    }
}

#[expect(clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "a float cast saturates")]
fn count(cells: f32) -> usize {
    cells.max(0.0) as usize + 1
}

#[cfg(test)]
mod tests {
    use super::*;

    fn at(x: f32, y: f32, width: f32, height: f32) -> Area {
        Area::at(Point::new(x, y), width, height)
    }

    #[test]
    fn what_is_taken_is_found_and_nothing_else() {
        let mut room = Room::new(at(0.0, 0.0, 100.0, 60.0));
        // Over four cells, whose corners are at 20 mm and 40 mm.
        room.take(Plane::Solid, at(15.0, 37.5, 10.0, 5.0));
        assert!(!room.is_free(at(0.0, 0.0, 100.0, 100.0)));
        assert!(room.is_free(at(5.0, 37.5, 10.0, 5.0)) && room.is_free(at(25.0, 37.5, 10.0, 5.0)));
        assert!(!room.is_free(at(24.9, 42.4, 10.0, 5.0)));
        // 2 mm × 1 mm of it, 40 for each mm².
        assert!((room.cost(at(23.0, 41.5, 30.0, 30.0)) - 80.0).abs() < 1e-3);
        assert!((room.cost(at(0.0, 0.0, 100.0, 100.0)) - 2000.0).abs() < 1e-2);
        room.take(Plane::Lines, at(-50.0, 50.0, 400.0, 0.5));
        assert!((room.cost(at(30.0, 49.0, 10.0, 2.0)) - 5.0).abs() < 1e-3);
        assert!(!room.is_free(at(-45.0, 49.0, 10.0, 2.0)) && !room.is_free(at(300.0, 50.0, 1.0, 1.0)));
    }

    #[test]
    fn a_full_cell_has_no_room_and_takes_no_more() {
        let mut room = Room::new(at(0.0, 0.0, 100.0, 60.0));
        for _ in 0..1000 {
            room.take(Plane::Solid, at(1.0, 1.0, 2.0, 2.0));
        }
        assert!(room.cost(at(10.0, 10.0, 2.0, 2.0)) > room.cost(at(30.0, 10.0, 60.0, 40.0)) + 1e9);
        assert!(!room.is_free(at(10.0, 10.0, 2.0, 2.0)) && room.is_free(at(30.0, 10.0, 2.0, 2.0)));
    }

    #[test]
    fn vast_sheets_and_empty_ones_have_room() {
        let mut room = Room::new(at(-2.5e6, -2.5e6, 5e6, 5e6));
        room.take(Plane::Solid, at(2.4e6, 2.4e6, 10.0, 10.0));
        assert!(!room.is_free(at(2.4e6 + 5.0, 2.4e6, 1.0, 1.0)) && room.is_free(at(0.0, 0.0, 10.0, 10.0)));
        assert!(Room::new(Area::NOTHING).is_free(at(0.0, 0.0, 1.0, 1.0)));
    }
}
