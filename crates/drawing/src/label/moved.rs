//! Words that were moved by hand: where they stand, as seen from what they belong to, and back.

use super::arrange::{FlagSpot, Spot};
use super::room::{Plane, Room};
use super::spots::{Column, flag_column, try_at};
use super::{BlockExtent, FlagExtent, SMALL_HEIGHT, SMALL_PITCH, TAG_HEIGHT};
use crate::display_list::{Along, Behind};
use crate::geometry::{Area, Point};
use lineside_core::project::WordsPlace;

/// Tenths of a millimeter.
const TENTHS: f32 = 10.0;

/// The column of a block's tag.
pub(super) const fn tag_column(words: BlockExtent) -> Column {
    Column { width: words.tag, lines: 1.0, height: TAG_HEIGHT, pitch: TAG_HEIGHT }
}

/// The column of a block's ratings.
pub(super) const fn lines_column(words: BlockExtent) -> Column {
    Column { width: words.longest, lines: words.lines as f32, height: SMALL_HEIGHT, pitch: SMALL_PITCH }
}

/// The tag of a block where a hand has put it.
pub(crate) fn tag(room: &mut Room, area: Area, words: BlockExtent, place: WordsPlace) -> Spot {
    put(room, tag_column(words), Point::new(area.left, area.top), place)
}

/// The ratings of a block where a hand has put them; `None` when it has none.
pub(crate) fn lines(room: &mut Room, area: Area, words: BlockExtent, place: WordsPlace) -> Option<Spot> {
    (words.lines > 0).then(|| put(room, lines_column(words), Point::new(area.left, area.top), place))
}

/// The flag of a run where a hand has put it.
pub(crate) fn flag(room: &mut Room, points: &[Point], flag: FlagExtent, place: WordsPlace) -> FlagSpot {
    let fold = usize::from(place.lines).checked_sub(1).and_then(|line| flag.folds.get(line));
    let (width, column) = match fold {
        Some(fold) => (Some(fold.width), flag_column(fold.width, fold.lines)),
        None => (None, flag_column(flag.tag_alone(), 1)),
    };
    FlagSpot { spot: put(room, column, point_along(points, place.along), place), width }
}

fn put(room: &mut Room, column: Column, from: Point, place: WordsPlace) -> Spot {
    let corner = from.moved(f32::from(place.right) / TENTHS, f32::from(place.down) / TENTHS);
    let spot = try_at(column, corner.x, corner.y, Along::Start);
    // A hand may put words over a line; they are to be read even so.
    let behind = if room.is_free(spot.area) { Behind::Clear } else { Behind::Patch };
    room.take(Plane::Solid, spot.area);
    Spot { behind, ..spot }
}

fn long(a: Point, b: Point) -> f32 {
    (a.x - b.x).abs() + (a.y - b.y).abs()
}

/// The point that lies so many thousandths along a way.
pub(crate) fn point_along(points: &[Point], along: u16) -> Point {
    let whole: f32 = points.windows(2).map(pair_length).sum();
    let mut left = whole * f32::from(along.min(WordsPlace::END)) / f32::from(WordsPlace::END);
    for pair in points.windows(2) {
        let [a, b] = pair else { continue };
        let piece = long(*a, *b);
        if left <= piece && piece > 0.0 {
            let share = left / piece;
            return Point::new(a.x + (b.x - a.x) * share, a.y + (b.y - a.y) * share);
        }
        left -= piece;
    }
    points.last().copied().unwrap_or_default()
}

fn pair_length(pair: &[Point]) -> f32 {
    match pair {
        [a, b] => long(*a, *b),
        _ => 0.0,
    }
}

/// The point of a way that is nearest to another, in thousandths along it.
fn nearest_along(points: &[Point], to: Point) -> u16 {
    let whole: f32 = points.windows(2).map(pair_length).sum();
    let mut before = 0.0;
    let mut best = (f32::INFINITY, 0.0);
    for pair in points.windows(2) {
        let [a, b] = pair else { continue };
        // Runs lie along the sheet, so the nearest point of a piece is the point clamped to it.
        let nearest =
            Point::new(to.x.clamp(a.x.min(b.x), a.x.max(b.x)), to.y.clamp(a.y.min(b.y), a.y.max(b.y)));
        let off = long(nearest, to);
        if off < best.0 {
            best = (off, before + long(*a, nearest));
        }
        before += long(*a, *b);
    }
    thousandths(if whole > 0.0 { best.1 / whole } else { 0.0 })
}

#[expect(clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "a share between 0 and 1")]
fn thousandths(share: f32) -> u16 {
    (share * f32::from(WordsPlace::END)).round() as u16
}

#[expect(clippy::cast_possible_truncation, reason = "a float cast saturates")]
fn tenths(millimeters: f32) -> i16 {
    (millimeters * TENTHS).round() as i16
}

/// The place of words of a block whose upper left corner is put to a point.
pub(crate) fn place_at_block(area: Area, corner: Point) -> WordsPlace {
    let (right, down) = (tenths(corner.x - area.left), tenths(corner.y - area.top));
    WordsPlace { right, down, ..WordsPlace::default() }
}

/// The place of words of a run that are put to an area.
pub(crate) fn place_at_run(points: &[Point], area: Area, lines: u8) -> WordsPlace {
    let along = nearest_along(points, area.center());
    let from = point_along(points, along);
    WordsPlace { along, right: tenths(area.left - from.x), down: tenths(area.top - from.y), lines }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// 30 mm to the right and 10 mm down: 40 mm in all. A quarter of that is 10 mm along the first piece; 900 thousandths
    /// are 36 mm, 6 mm down the second.
    #[test]
    fn points_along_a_way_are_found_and_told() {
        let way = [Point::new(0.0, 5.0), Point::new(30.0, 5.0), Point::new(30.0, 15.0)];
        assert_eq!(point_along(&way, 250), Point::new(10.0, 5.0));
        assert_eq!(point_along(&way, 900), Point::new(30.0, 11.0));
        assert_eq!(point_along(&way, 1000), Point::new(30.0, 15.0));
        assert_eq!(nearest_along(&way, Point::new(10.0, -40.0)), 250);
        assert_eq!(nearest_along(&way, Point::new(80.0, 11.0)), 900);
        let area = Area::at(Point::new(6.0, 1.0), 8.0, 2.0);
        let place = WordsPlace { along: 250, right: -40, down: -40, lines: 2 };
        assert_eq!(place_at_run(&way, area, 2), place);
        assert_eq!(nearest_along(&[Point::new(1.0, 1.0)], Point::new(9.0, 9.0)), 0);
    }
}
