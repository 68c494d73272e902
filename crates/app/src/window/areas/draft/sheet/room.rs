//! Room on the screen for words: which rectangles are taken.

use egui::Rect;
use std::collections::BTreeMap;

/// What words must keep clear of: a coarse grid over rectangles.
#[derive(Default)]
pub struct Room {
    cells: BTreeMap<(i32, i32), Vec<Rect>>,
}

impl Room {
    const CELL: f32 = 48.0;

    #[expect(clippy::cast_possible_truncation, reason = "points on a screen are few")]
    fn cells(rect: Rect) -> impl Iterator<Item = (i32, i32)> {
        let cell = |value: f32| (value / Self::CELL).floor() as i32;
        let (left, right) = (cell(rect.left()), cell(rect.right()).min(cell(rect.left()) + 200));
        let (top, bottom) = (cell(rect.top()), cell(rect.bottom()).min(cell(rect.top()) + 200));
        (left..=right).flat_map(move |x| (top..=bottom).map(move |y| (x, y)))
    }
    /// Takes a rectangle.
    pub fn take(&mut self, rect: Rect) {
        for cell in Self::cells(rect) {
            self.cells.entry(cell).or_default().push(rect);
        }
    }
    /// Whether nothing has taken any of a rectangle.
    pub fn is_free(&self, rect: Rect) -> bool {
        Self::cells(rect)
            .filter_map(|cell| self.cells.get(&cell))
            .flatten()
            .all(|other| !other.intersects(rect))
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use egui::{pos2, vec2};

    #[test]
    fn what_is_taken_is_not_free() {
        let mut room = Room::default();
        let rect = Rect::from_min_size(pos2(-20.0, 10.0), vec2(200.0, 12.0));
        assert!(room.is_free(rect));
        room.take(rect);
        assert!(!room.is_free(Rect::from_min_size(pos2(150.0, 20.0), vec2(10.0, 10.0))));
        assert!(room.is_free(Rect::from_min_size(pos2(150.0, 23.0), vec2(10.0, 10.0))));
        // A rectangle without end must not take forever.
        assert!(!room.is_free(Rect::from_min_max(pos2(-1e9, -1e9), pos2(1e9, 1e9)).intersect(rect)));
    }
}
