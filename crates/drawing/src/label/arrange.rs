//! Where words stand: each set of words tries a few places near its subject in the order in which a
//! draughtsman would, and takes the first that is free; if none is, the one that covers least.

use super::room::{Plane, Room};
use super::{BlockExtent, FlagExtent, SMALL_HEIGHT, SMALL_PITCH, TAG_HEIGHT};
use crate::display_list::{Along, Behind, Turned};
use crate::geometry::{Area, Point};
use crate::metrics::{ASCENT, CAPITAL_HEIGHT, DESCENT};

/// Between words and the box that they belong to, mm, measured to the letters' ascenders and descenders.
const GAP: f32 = 0.5;
/// Between words and a box at their side, mm.
const SIDE_GAP: f32 = 1.2;
/// Between a flag and its run, mm.
const FLAG_GAP: f32 = 0.45;
/// Between the name of a terminal and the middle of the run that leaves it, mm.
const NAME_GAP: f32 = 0.75;

/// Where a column of lines stands.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) struct Spot {
    /// Start, middle or end of the first line's baseline.
    pub anchor: Point,
    /// Which of them.
    pub along: Along,
    /// From where it is read.
    pub turned: Turned,
    /// Whether it must lie over a line.
    pub behind: Behind,
    /// The rectangle that it fills.
    pub area: Area,
}

/// Where the words of a block stand.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) struct BlockSpots {
    pub tag: Spot,
    pub lines: Option<Spot>,
}

/// Where the flag of a run stands.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) struct FlagSpot {
    pub spot: Spot,
    /// As wide as its lines may be, mm; `None` when the tag stands alone and the conductor schedule has the
    /// rest.
    pub width: Option<f32>,
}

/// A column of equal lines.
#[derive(Clone, Copy)]
struct Column {
    width: f32,
    lines: f32,
    height: f32,
    pitch: f32,
}

impl Column {
    fn up(self) -> f32 {
        self.height * ASCENT / CAPITAL_HEIGHT
    }
    fn down(self) -> f32 {
        self.height * DESCENT / CAPITAL_HEIGHT
    }
    /// From the ascenders of the first line to the descenders of the last.
    fn extent(self) -> f32 {
        self.up() + (self.lines - 1.0) * self.pitch + self.down()
    }
}

fn try_at(column: Column, x: f32, top: f32, along: Along) -> Spot {
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

/// How the power path of a block lies, which decides on which side its words stand.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum Path {
    /// Left and right: tag above, ratings below.
    Level,
    /// Up and down: tag at the left, ratings at the right.
    Upright,
    /// A bar with runs on both sides: its words stand over its ends.
    Bar,
}

/// Finds places for words.
pub(crate) struct Arranger {
    pub room: Room,
}

impl Arranger {
    /// Places the words of a block around its box.
    pub(crate) fn block(&mut self, area: Area, path: Path, words: BlockExtent) -> BlockSpots {
        let tag = Column { width: words.tag, lines: 1.0, height: TAG_HEIGHT, pitch: TAG_HEIGHT };
        let tag = self.column(area, tag, path, Which::Tag);
        let lines = Column {
            width: words.longest,
            lines: words.lines as f32,
            height: SMALL_HEIGHT,
            pitch: SMALL_PITCH,
        };
        let lines = (words.lines > 0).then(|| self.column(area, lines, path, Which::Lines));
        BlockSpots { tag, lines }
    }

    fn column(&mut self, area: Area, column: Column, path: Path, which: Which) -> Spot {
        let places = || {
            RINGS.into_iter().flat_map(move |ring| {
                sides(path, which).iter().flat_map(move |side| around(area, column, *side, ring))
            })
        };
        let nearest = || try_at(column, area.left, area.bottom + GAP, Along::Start);
        let spot = places().find(|spot| self.room.is_free(spot.area)).unwrap_or_else(|| {
            let least = places()
                .map(|spot| (self.room.cost(spot.area), spot))
                .min_by(|one, other| one.0.total_cmp(&other.0));
            Spot { behind: Behind::Patch, ..least.map_or_else(nearest, |least| least.1) }
        });
        self.room.take(Plane::Solid, spot.area);
        spot
    }

    /// Places the name of a terminal beside the run that leaves it; `None` if it would cover anything.
    pub(crate) fn terminal(&mut self, at: Point, outward: (f32, f32), width: f32) -> Option<Spot> {
        let column = Column { width, lines: 1.0, height: SMALL_HEIGHT, pitch: SMALL_PITCH };
        let out = at.moved(outward.0 * 0.6, outward.1 * 0.6);
        let tries = if outward.1 == 0.0 {
            let along = if outward.0 < 0.0 { Along::End } else { Along::Start };
            [
                try_at(column, out.x, out.y - NAME_GAP - column.extent(), along),
                try_at(column, out.x, out.y + NAME_GAP, along),
            ]
        } else {
            let top = if outward.1 < 0.0 { out.y - column.extent() } else { out.y };
            [
                try_at(column, out.x + NAME_GAP, top, Along::Start),
                try_at(column, out.x - NAME_GAP, top, Along::End),
            ]
        };
        let spot = tries.into_iter().find(|spot| self.room.is_free(spot.area))?;
        self.room.take(Plane::Solid, spot.area);
        Some(spot)
    }

    /// Places the flag of a run along its way; `None` if the run has no way to stand at.
    pub(crate) fn flag(&mut self, points: &[Point], half_width: f32, flag: FlagExtent) -> Option<FlagSpot> {
        let (pieces, count) = longest_pieces(points);
        let pieces = pieces.get(..count).unwrap_or_default();
        let gap = half_width + FLAG_GAP;
        let whole = flag.folds.iter().enumerate().filter(|(n, fold)| fold.lines == n + 1);
        let forms = whole
            .map(|(_, fold)| (Some(fold.width), flag_column(fold.width, fold.lines)))
            .chain([(None, flag_column(flag.tag, 1))]);
        let places = forms.flat_map(|(width, column)| {
            [Fit::Within, Fit::Beyond].into_iter().flat_map(move |fit| {
                pieces.iter().flat_map(move |piece| {
                    beside(*piece, column, gap, fit)
                        .into_iter()
                        .flatten()
                        .map(move |spot| FlagSpot { spot, width })
                })
            })
        });
        let found = places.clone().find(|place| self.room.is_free(place.spot.area)).or_else(|| {
            let (_, least) = places
                .map(|place| (self.room.cost(place.spot.area), place))
                .min_by(|one, other| one.0.total_cmp(&other.0))?;
            Some(FlagSpot { spot: Spot { behind: Behind::Patch, ..least.spot }, ..least })
        })?;
        self.room.take(Plane::Solid, found.spot.area);
        Some(found)
    }
}

/// Farther and farther out from a box, mm.
const RINGS: [f32; 4] = [0.0, 3.2, 6.4, 9.6];

/// Pieces of a run beside which its flag may stand.
const MOST_PIECES: usize = 4;

/// The longest pieces of a run, the longest first, and how many there are. The longest is the best to read at;
/// of equal ones, the first.
fn longest_pieces(points: &[Point]) -> ([(Point, Point); MOST_PIECES], usize) {
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
enum Which {
    Tag,
    Lines,
}

#[derive(Clone, Copy)]
enum Side {
    Above,
    Below,
    Left,
    Right,
}

fn sides(path: Path, which: Which) -> &'static [Side] {
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
fn around(area: Area, column: Column, side: Side, ring: f32) -> [Spot; 3] {
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

fn flag_column(width: f32, lines: usize) -> Column {
    Column { width, lines: lines as f32, height: SMALL_HEIGHT, pitch: SMALL_PITCH }
}

/// Whether words must stay beside their piece of the run or may reach beyond its ends.
#[derive(Clone, Copy, PartialEq, Eq)]
enum Fit {
    Within,
    Beyond,
}

/// The places along one piece of a run.
fn beside((a, b): (Point, Point), column: Column, gap: f32, fit: Fit) -> [Option<Spot>; 10] {
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
