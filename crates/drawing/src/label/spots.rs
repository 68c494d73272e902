//! The places that words try: round a box and along a run, first the usual ones, then slid along a side.
//!
//! Which of them is free is asked in `arrange`.

use super::arrange::{Path, Spot};
use super::{SMALL_HEIGHT, SMALL_PITCH};
use crate::display_list::{Along, Behind, Turned};
use crate::geometry::{Area, Point};
use crate::metrics::{ASCENT, CAPITAL_HEIGHT, DESCENT};

/// Between words and the box that they belong to, mm, measured to the letters' ascenders and descenders.
pub(super) const GAP: f32 = 0.5;
/// Between words and a box at their side, mm.
const SIDE_GAP: f32 = 1.2;
/// A column of equal lines.
#[derive(Clone, Copy)]
pub(super) struct Column {
    pub(super) width: f32,
    pub(super) lines: f32,
    pub(super) height: f32,
    pub(super) pitch: f32,
}

impl Column {
    pub(super) fn up(self) -> f32 {
        self.height * ASCENT / CAPITAL_HEIGHT
    }
    pub(super) fn down(self) -> f32 {
        self.height * DESCENT / CAPITAL_HEIGHT
    }
    /// From the ascenders of the first line to the descenders of the last.
    pub(super) fn extent(self) -> f32 {
        self.up() + (self.lines - 1.0) * self.pitch + self.down()
    }
}

pub(super) fn try_at(column: Column, x: f32, top: f32, along: Along) -> Spot {
    let left = match along {
        Along::Start => x,
        Along::Middle => x - column.width / 2.0,
        Along::End => x - column.width,
    };
    Spot {
        anchor: Point::new(x, top + column.up()),
        along,
        turned: Turned::Upright,
        behind: Behind::Clear,
        area: Area::at(Point::new(left, top), column.width, column.extent()),
    }
}

/// Read from the right: `left` is the left side of the column, `y` its lower end, middle or upper end.
fn try_turned(column: Column, left: f32, y: f32, along: Along) -> Spot {
    let bottom = match along {
        Along::Start => y,
        Along::Middle => y + column.width / 2.0,
        Along::End => y + column.width,
    };
    Spot {
        anchor: Point::new(left + column.up(), y),
        along,
        turned: Turned::FromRight,
        behind: Behind::Clear,
        area: Area::at(Point::new(left, bottom - column.width), column.extent(), column.width),
    }
}

/// How often words are slid along a side in search of a place, to either side of its middle.
const SLIDES: i8 = 6;

/// Pieces of a run beside which its flag may stand.
const MOST_PIECES: usize = 4;

/// The longest pieces of a run, the longest first, and how many there are. The longest is the best to read at;
/// of equal ones, the first.
pub(super) fn longest_pieces(points: &[Point]) -> ([(Point, Point); MOST_PIECES], usize) {
    let mut longest = [(Point::default(), Point::default()); MOST_PIECES];
    let mut count = 0;
    for pair in points.windows(2) {
        let [a, b] = pair else { continue };
        let mut piece = (*a, *b);
        for (place, slot) in longest.iter_mut().enumerate() {
            if place >= count {
                *slot = piece;
                count += 1;
                break;
            }
            if length(piece) > length(*slot) {
                std::mem::swap(slot, &mut piece);
            }
        }
    }
    (longest, count)
}

fn length((a, b): (Point, Point)) -> f32 {
    (a.x - b.x).abs() + (a.y - b.y).abs()
}

#[derive(Clone, Copy)]
pub(super) enum Which {
    Tag,
    Lines,
}

#[derive(Clone, Copy)]
pub(super) enum Side {
    Above,
    Below,
    Left,
    Right,
}

pub(super) fn sides(path: Path, which: Which) -> &'static [Side] {
    use Side::{Above, Below, Left, Right};
    match (path, which) {
        (Path::Level | Path::Bar, Which::Tag) => &[Above, Left, Right, Below],
        (Path::Level, Which::Lines) => &[Below, Right, Above, Left],
        (Path::Bar, Which::Lines) => &[Below, Above, Right, Left],
        (Path::Upright, Which::Tag) => &[Left, Right, Above, Below],
        (Path::Upright, Which::Lines) => &[Right, Left, Below, Above],
    }
}

/// The places at one side of a box, `ring` millimeters farther out than the nearest.
pub(super) fn around(area: Area, column: Column, side: Side, ring: f32) -> [Spot; 3] {
    let middle = area.center();
    let extent = column.extent();
    match side {
        Side::Above | Side::Below => {
            let top = match side {
                Side::Above => area.top - GAP - ring - extent,
                Side::Below | Side::Left | Side::Right => area.bottom + GAP + ring,
            };
            [
                try_at(column, area.left, top, Along::Start),
                try_at(column, middle.x, top, Along::Middle),
                try_at(column, area.right, top, Along::End),
            ]
        }
        Side::Left | Side::Right => {
            let (x, along) = match side {
                Side::Left => (area.left - SIDE_GAP - ring, Along::End),
                Side::Right | Side::Above | Side::Below => (area.right + SIDE_GAP + ring, Along::Start),
            };
            [
                try_at(column, x, middle.y - extent / 2.0, along),
                try_at(column, x, area.top, along),
                try_at(column, x, area.bottom - extent, along),
            ]
        }
    }
}

/// How far along a side words are slid: from the middle outwards, at most half of `span` to either side.
fn slides(span: f32) -> impl Iterator<Item = f32> {
    let step = span / 2.0 / f32::from(SLIDES);
    std::iter::once(0.0).chain((1..=SLIDES).flat_map(move |n| [f32::from(n) * step, -f32::from(n) * step]))
}

/// The places all along one side of a box, from its middle outwards, up to those that only just stand beside it.
pub(super) fn slid(area: Area, column: Column, side: Side, ring: f32) -> impl Iterator<Item = Spot> {
    let (middle, extent) = (area.center(), column.extent());
    let span = match side {
        Side::Above | Side::Below => area.width() + column.width,
        Side::Left | Side::Right => area.height() + extent,
    };
    slides(span).map(move |slide| match side {
        Side::Above => try_at(column, middle.x + slide, area.top - GAP - ring - extent, Along::Middle),
        Side::Below => try_at(column, middle.x + slide, area.bottom + GAP + ring, Along::Middle),
        Side::Left => {
            try_at(column, area.left - SIDE_GAP - ring, middle.y + slide - extent / 2.0, Along::End)
        }
        Side::Right => {
            try_at(column, area.right + SIDE_GAP + ring, middle.y + slide - extent / 2.0, Along::Start)
        }
    })
}

/// The places all along one piece of a run, on both sides of it.
pub(super) fn slid_along((a, b): (Point, Point), column: Column, gap: f32) -> impl Iterator<Item = Spot> {
    let (low, high) = (Point::new(a.x.min(b.x), a.y.min(b.y)), Point::new(a.x.max(b.x), a.y.max(b.y)));
    let (middle, extent, level) = (low.halfway(high), column.extent(), low.y >= high.y);
    slides(if level { high.x - low.x } else { high.y - low.y }).flat_map(move |slide| {
        if level {
            [low.y - gap - extent, low.y + gap]
                .map(|top| try_at(column, middle.x + slide, top, Along::Middle))
        } else {
            let top = middle.y + slide - extent / 2.0;
            [
                try_at(column, low.x + gap + 0.5, top, Along::Start),
                try_at(column, low.x - gap - 0.5, top, Along::End),
            ]
        }
    })
}

pub(super) fn flag_column(width: f32, lines: usize) -> Column {
    Column { width, lines: lines as f32, height: SMALL_HEIGHT, pitch: SMALL_PITCH }
}

/// Whether words must stay beside their piece of the run or may reach beyond its ends.
#[derive(Clone, Copy, PartialEq, Eq)]
pub(super) enum Fit {
    Within,
    Beyond,
}

/// The places along one piece of a run.
pub(super) fn beside((a, b): (Point, Point), column: Column, gap: f32, fit: Fit) -> [Option<Spot>; 10] {
    let (low, high) = (Point::new(a.x.min(b.x), a.y.min(b.y)), Point::new(a.x.max(b.x), a.y.max(b.y)));
    let extent = column.extent();
    let middle = low.halfway(high);
    let mut spots = [None; 10];
    let mut slots = spots.iter_mut();
    let mut offer = |spot: Spot| {
        if let Some(slot) = slots.next() {
            *slot = Some(spot);
        }
    };
    if low.y >= high.y {
        let fits = high.x - low.x >= column.width + 2.0 * MARGIN;
        if fits != (fit == Fit::Within) {
            return spots;
        }
        let quarter = (high.x - low.x) / 4.0;
        for top in [low.y - gap - extent, low.y + gap] {
            offer(try_at(column, middle.x, top, Along::Middle));
            offer(try_at(column, low.x + MARGIN, top, Along::Start));
            offer(try_at(column, high.x - MARGIN, top, Along::End));
            offer(try_at(column, middle.x - quarter, top, Along::Middle));
            offer(try_at(column, middle.x + quarter, top, Along::Middle));
        }
        return spots;
    }
    if (high.y - low.y >= extent + 2.0 * MARGIN) == (fit == Fit::Within) {
        for y in [middle.y - extent / 2.0, low.y + MARGIN, high.y - MARGIN - extent] {
            offer(try_at(column, low.x + gap + 0.5, y, Along::Start));
            offer(try_at(column, low.x - gap - 0.5, y, Along::End));
        }
    }
    // Read from the right, beside the run, where there is no room across it.
    if fit == Fit::Within && high.y - low.y >= column.width + 2.0 * MARGIN {
        offer(try_turned(column, low.x - gap - extent, middle.y, Along::Middle));
        offer(try_turned(column, low.x + gap, middle.y, Along::Middle));
    }
    spots
}

/// Between the end of a flag and the end of its piece of the run, mm.
const MARGIN: f32 = 1.0;
