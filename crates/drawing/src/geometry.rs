//! Points and rectangles on the sheet, in millimeters on paper with y downwards, and on its grid.
//!
//! What stands where is not decided here; that is the work of `placement`, `route` and `label`.

use lineside_core::circuit::{GridPoint, Mirror, Orientation, Turn};

/// One step of the grid in millimeters: a quarter of a symbol's unit box.
pub const STEP_MM: f32 = 2.5;

/// A point on the sheet, in millimeters on paper, y downwards.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Point {
    /// To the right, mm.
    pub x: f32,
    /// Downwards, mm.
    pub y: f32,
}

impl Point {
    /// A point.
    pub const fn new(x: f32, y: f32) -> Self {
        Self { x, y }
    }
    /// The point moved by millimeters.
    #[must_use]
    pub const fn moved(self, dx: f32, dy: f32) -> Self {
        Self { x: self.x + dx, y: self.y + dy }
    }
    /// Where a point of the grid lies.
    pub const fn on_grid(at: GridPoint) -> Self {
        Self { x: at.x as f32 * STEP_MM, y: at.y as f32 * STEP_MM }
    }
    /// The nearest point of the grid.
    #[expect(clippy::cast_possible_truncation, reason = "a float cast saturates, and the limit follows")]
    pub fn to_grid(self) -> GridPoint {
        let step = |mm: f32| ((mm / STEP_MM).round() as i32).clamp(-GridPoint::LIMIT, GridPoint::LIMIT);
        GridPoint::new(step(self.x), step(self.y))
    }
    /// The point halfway to another.
    #[must_use]
    pub const fn halfway(self, to: Self) -> Self {
        Self { x: f32::midpoint(self.x, to.x), y: f32::midpoint(self.y, to.y) }
    }
}

/// A rectangle with sides along the sheet, in millimeters.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Area {
    /// Left side, mm.
    pub left: f32,
    /// Upper side, mm.
    pub top: f32,
    /// Right side, mm.
    pub right: f32,
    /// Lower side, mm.
    pub bottom: f32,
}

impl Default for Area {
    /// [`Area::NOTHING`].
    fn default() -> Self {
        Self::NOTHING
    }
}

impl Area {
    /// Contains nothing; the start of a union.
    pub const NOTHING: Self =
        Self { left: f32::INFINITY, top: f32::INFINITY, right: f32::NEG_INFINITY, bottom: f32::NEG_INFINITY };

    /// From its upper left corner and its extent.
    pub const fn at(corner: Point, width: f32, height: f32) -> Self {
        Self { left: corner.x, top: corner.y, right: corner.x + width, bottom: corner.y + height }
    }
    /// From its center and its extent.
    pub const fn around(center: Point, width: f32, height: f32) -> Self {
        Self::at(center.moved(-width / 2.0, -height / 2.0), width, height)
    }
    /// The smallest one that holds all the points.
    pub fn of(points: &[Point]) -> Self {
        points.iter().fold(Self::NOTHING, |area, point| area.with(*point))
    }
    /// Grown until it holds a point.
    #[must_use]
    pub const fn with(self, point: Point) -> Self {
        Self {
            left: self.left.min(point.x),
            top: self.top.min(point.y),
            right: self.right.max(point.x),
            bottom: self.bottom.max(point.y),
        }
    }
    /// The smallest one that holds both.
    #[must_use]
    pub const fn union(self, other: Self) -> Self {
        Self {
            left: self.left.min(other.left),
            top: self.top.min(other.top),
            right: self.right.max(other.right),
            bottom: self.bottom.max(other.bottom),
        }
    }
    /// What both have in common; [`Area::is_nothing`] when they do not meet.
    #[must_use]
    pub const fn common(self, other: Self) -> Self {
        Self {
            left: self.left.max(other.left),
            top: self.top.max(other.top),
            right: self.right.min(other.right),
            bottom: self.bottom.min(other.bottom),
        }
    }
    /// Moved out on every side; inwards when negative.
    #[must_use]
    pub const fn grown(self, by: f32) -> Self {
        Self { left: self.left - by, top: self.top - by, right: self.right + by, bottom: self.bottom + by }
    }
    /// Whether the two have more than an edge in common.
    pub const fn overlaps(self, other: Self) -> bool {
        self.left < other.right
            && other.left < self.right
            && self.top < other.bottom
            && other.top < self.bottom
    }
    /// Whether a point lies in it or on its edge.
    pub const fn contains(self, point: Point) -> bool {
        point.x >= self.left && point.x <= self.right && point.y >= self.top && point.y <= self.bottom
    }
    /// Whether the other lies wholly in it.
    pub const fn holds(self, other: Self) -> bool {
        other.left >= self.left
            && other.right <= self.right
            && other.top >= self.top
            && other.bottom <= self.bottom
    }
    /// From side to side, mm; 0 for [`Self::NOTHING`].
    pub const fn width(self) -> f32 {
        (self.right - self.left).max(0.0)
    }
    /// From top to bottom, mm; 0 for [`Self::NOTHING`].
    pub const fn height(self) -> f32 {
        (self.bottom - self.top).max(0.0)
    }
    /// Its corners, clockwise from the upper left.
    pub const fn corners(self) -> [Point; 4] {
        [
            Point::new(self.left, self.top),
            Point::new(self.right, self.top),
            Point::new(self.right, self.bottom),
            Point::new(self.left, self.bottom),
        ]
    }
    /// Its middle.
    pub const fn center(self) -> Point {
        Point { x: f32::midpoint(self.left, self.right), y: f32::midpoint(self.top, self.bottom) }
    }
    /// Whether it holds nothing at all, not even a point.
    pub const fn is_nothing(self) -> bool {
        self.left > self.right || self.top > self.bottom
    }
}

/// A rectangle on the grid; its edges belong to it.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct GridArea {
    /// Upper left corner.
    pub min: GridPoint,
    /// Lower right corner.
    pub max: GridPoint,
}

impl GridArea {
    /// The smallest one that holds two points.
    pub fn of(a: GridPoint, b: GridPoint) -> Self {
        Self {
            min: GridPoint::new(a.x.min(b.x), a.y.min(b.y)),
            max: GridPoint::new(a.x.max(b.x), a.y.max(b.y)),
        }
    }
    /// The smallest one that holds both.
    #[must_use]
    pub fn union(self, other: Self) -> Self {
        Self {
            min: GridPoint::new(self.min.x.min(other.min.x), self.min.y.min(other.min.y)),
            max: GridPoint::new(self.max.x.max(other.max.x), self.max.y.max(other.max.y)),
        }
    }
    /// Moved out on every side.
    #[must_use]
    pub const fn grown(self, by: i32) -> Self {
        Self { min: self.min.moved(-by, -by), max: self.max.moved(by, by) }
    }
    /// Whether the two have at least a point in common.
    pub const fn touches(self, other: Self) -> bool {
        self.min.x <= other.max.x
            && other.min.x <= self.max.x
            && self.min.y <= other.max.y
            && other.min.y <= self.max.y
    }
    /// Whether a point lies in it or on its edge.
    pub const fn contains(self, point: GridPoint) -> bool {
        point.x >= self.min.x && point.x <= self.max.x && point.y >= self.min.y && point.y <= self.max.y
    }
    /// The same in millimeters.
    pub const fn on_paper(self) -> Area {
        let (min, max) = (Point::on_grid(self.min), Point::on_grid(self.max));
        Area { left: min.x, top: min.y, right: max.x, bottom: max.y }
    }
}

/// The way in which a run leaves a terminal.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Facing {
    /// To the left.
    Left,
    /// To the right.
    Right,
    /// Upwards on the sheet.
    Up,
    /// Downwards on the sheet.
    Down,
}

impl Facing {
    /// One step that way.
    pub const fn step(self) -> (i32, i32) {
        match self {
            Self::Left => (-1, 0),
            Self::Right => (1, 0),
            Self::Up => (0, -1),
            Self::Down => (0, 1),
        }
    }
    /// The other way.
    #[must_use]
    pub const fn opposite(self) -> Self {
        match self {
            Self::Left => Self::Right,
            Self::Right => Self::Left,
            Self::Up => Self::Down,
            Self::Down => Self::Up,
        }
    }
    /// Whether it is left or right.
    pub const fn is_level(self) -> bool {
        matches!(self, Self::Left | Self::Right)
    }
    /// A quarter turn clockwise, as seen on the sheet.
    #[must_use]
    pub const fn clockwise(self) -> Self {
        match self {
            Self::Left => Self::Up,
            Self::Up => Self::Right,
            Self::Right => Self::Down,
            Self::Down => Self::Left,
        }
    }
    /// As a symbol of that orientation has it.
    #[must_use]
    pub const fn oriented(self, orientation: Orientation) -> Self {
        let mirrored = match orientation.mirror {
            Mirror::LeftRight if self.is_level() => self.opposite(),
            Mirror::LeftRight | Mirror::None => self,
        };
        match orientation.turn {
            Turn::None => mirrored,
            Turn::Quarter => mirrored.clockwise(),
            Turn::Half => mirrored.opposite(),
            Turn::ThreeQuarters => mirrored.clockwise().opposite(),
        }
    }
}

/// Sine of 0°, 5° … 90°. A table, so that every machine draws the same.
const SINES: [f32; 19] = [
    0.0,
    0.087_155_7,
    0.173_648_2,
    0.258_819,
    0.342_020_1,
    0.422_618_3,
    0.5,
    0.573_576_4,
    0.642_787_6,
    std::f32::consts::FRAC_1_SQRT_2,
    0.766_044_4,
    0.819_152,
    0.866_025_4,
    0.906_307_8,
    0.939_692_6,
    0.965_925_8,
    0.984_807_8,
    0.996_194_7,
    1.0,
];

/// Sine of whole degrees, taken at the multiple of 5 below.
fn sine(degrees: i16) -> f32 {
    let turn = degrees.rem_euclid(360);
    let (quarter, sign) = match turn {
        0..=90 => (turn, 1.0),
        91..=180 => (180 - turn, 1.0),
        181..=270 => (turn - 180, -1.0),
        _ => (360 - turn, -1.0),
    };
    let slot = usize::try_from(quarter / 5).unwrap_or(0);
    SINES.get(slot).copied().unwrap_or_default() * sign
}

/// The point of a circle at an angle: whole degrees, a multiple of 5, clockwise as seen from +x.
pub fn on_circle(center: Point, radius: f32, degrees: i16) -> Point {
    center.moved(radius * sine(degrees + 90), radius * sine(degrees))
}
