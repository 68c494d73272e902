//! Where words stand: each set of words tries a few places near its subject in the order in which a
//! draughtsman would, and takes the first that is free; if none is, the one that covers least.

use super::room::{Plane, Room};
use super::{BlockWords, Flag, SMALL_HEIGHT, SMALL_PITCH, TAG_HEIGHT};
use crate::display_list::{Across, Along, Behind, Text, Turned, Weight};
use crate::geometry::{Area, Point};
use crate::metrics::{ASCENT, CAPITAL_HEIGHT, DESCENT};

/// Between words and the box that they belong to, mm, measured to the letters' ascenders and descenders.
const GAP: f32 = 0.5;
/// Between words and a box at their side, mm.
const SIDE_GAP: f32 = 1.2;
/// Between a flag and its run, mm.
const FLAG_GAP: f32 = 0.45;
/// Between the tag of a flag and what follows, mm.
const TAG_SPACE: f32 = 1.3;

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
}

/// Where the words of a block stand.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) struct BlockSpots {
    pub tag: Spot,
    pub lines: Option<Spot>,
}

/// How a flag is broken into lines.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum Broken {
    /// All on one line.
    One,
    /// Conductor on the first line, the rest on the second.
    Two,
    /// The tag alone; the conductor schedule has the rest.
    TagOnly,
}

/// Where the flag of a run stands.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) struct FlagSpot {
    pub spot: Spot,
    pub broken: Broken,
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

/// A place to try: the point of the column's box that the alignment names, its top, and the box.
struct Try {
    spot: Spot,
    area: Area,
}

fn try_at(column: Column, x: f32, top: f32, along: Along) -> Try {
    let left = match along {
        Along::Start => x,
        Along::Middle => x - column.width / 2.0,
        Along::End => x - column.width,
    };
    Try {
        spot: Spot {
            anchor: Point::new(x, top + column.up()),
            along,
            turned: Turned::Upright,
            behind: Behind::Clear,
        },
        area: Area::at(Point::new(left, top), column.width, column.extent()),
    }
}

/// Read from the right: `x` is the left side of the column, `y` its lower end, middle or upper end.
fn try_turned(column: Column, left: f32, y: f32, along: Along) -> Try {
    let bottom = match along {
        Along::Start => y,
        Along::Middle => y + column.width / 2.0,
        Along::End => y + column.width,
    };
    Try {
        spot: Spot {
            anchor: Point::new(left + column.up(), y),
            along,
            turned: Turned::FromRight,
            behind: Behind::Clear,
        },
        area: Area::at(Point::new(left, bottom - column.width), column.extent(), column.width),
    }
}

/// The best of the places tried so far.
struct Best {
    cost: u32,
    chosen: Option<Try>,
}

/// Covering a symbol or words is far worse than covering a line.
const SOLID_COST: u32 = 40;

impl Best {
    fn new() -> Self {
        Self { cost: u32::MAX, chosen: None }
    }
    /// Tries a place; tells whether it is free, so that no other need be tried.
    fn offer(&mut self, room: &Room, place: Try) -> bool {
        let (solid, lines) = room.taken(place.area);
        let cost = solid * SOLID_COST + lines;
        if cost < self.cost {
            self.cost = cost;
            self.chosen = Some(place);
        }
        cost == 0
    }
    /// Takes the room of the chosen place.
    fn settle(self, room: &mut Room) -> Option<Spot> {
        let mut place = self.chosen?;
        if self.cost > 0 {
            place.spot.behind = Behind::Patch;
        }
        room.take(Plane::Solid, place.area);
        Some(place.spot)
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
    pub(crate) fn block(&mut self, area: Area, path: Path, words: &BlockWords) -> Option<BlockSpots> {
        let tag = Column { width: words.tag_length, lines: 1.0, height: TAG_HEIGHT, pitch: TAG_HEIGHT };
        let tag = self.column(area, tag, path, Which::Tag)?;
        let lines = Column {
            width: words.length,
            lines: words.lines.len() as f32,
            height: SMALL_HEIGHT,
            pitch: SMALL_PITCH,
        };
        let lines = if words.lines.is_empty() { None } else { self.column(area, lines, path, Which::Lines) };
        Some(BlockSpots { tag, lines })
    }

    fn column(&mut self, area: Area, column: Column, path: Path, which: Which) -> Option<Spot> {
        let mut best = Best::new();
        for ring in [0.0, 3.2, 6.4, 9.6] {
            for side in sides(path, which) {
                for place in around(area, column, *side, ring).into_iter().flatten() {
                    if best.offer(&self.room, place) {
                        return best.settle(&mut self.room);
                    }
                }
            }
        }
        best.settle(&mut self.room)
    }

    /// Places the name of a terminal beside the run that leaves it; `None` if it would cover anything.
    pub(crate) fn terminal(&mut self, at: Point, outward: (f32, f32), width: f32) -> Option<Spot> {
        let column = Column { width, lines: 1.0, height: SMALL_HEIGHT, pitch: SMALL_PITCH };
        let out = at.moved(outward.0 * 0.6, outward.1 * 0.6);
        let tries = if outward.1 == 0.0 {
            let along = if outward.0 < 0.0 { Along::End } else { Along::Start };
            [
                try_at(column, out.x, out.y - FLAG_GAP - column.extent(), along),
                try_at(column, out.x, out.y + FLAG_GAP, along),
            ]
        } else {
            let top = if outward.1 < 0.0 { out.y - column.extent() } else { out.y };
            [
                try_at(column, out.x + FLAG_GAP + 0.3, top, Along::Start),
                try_at(column, out.x - FLAG_GAP - 0.3, top, Along::End),
            ]
        };
        let mut best = Best::new();
        for place in tries {
            if best.offer(&self.room, place) {
                return best.settle(&mut self.room);
            }
        }
        None
    }

    /// Places the flag of a run along its way.
    pub(crate) fn flag(&mut self, points: &[Point], half_width: f32, flag: &Flag) -> Option<FlagSpot> {
        let mut pieces: Vec<(Point, Point)> = points
            .windows(2)
            .filter_map(|pair| match pair {
                [a, b] => Some((*a, *b)),
                _ => None,
            })
            .collect();
        // The longest piece is the best to read at; of equal ones, the first.
        pieces.sort_by(|one, other| length(*other).total_cmp(&length(*one)));
        pieces.truncate(4);
        let gap = half_width + FLAG_GAP;
        let mut fallback: Option<(u32, FlagSpot, Area)> = None;
        for broken in [Broken::One, Broken::Two, Broken::TagOnly] {
            let column = flag_column(flag, broken);
            let mut best = Best::new();
            for fit in [Fit::Within, Fit::Beyond] {
                for piece in &pieces {
                    for place in beside(*piece, column, gap, fit) {
                        if best.offer(&self.room, place) {
                            return best.settle(&mut self.room).map(|spot| FlagSpot { spot, broken });
                        }
                    }
                }
            }
            if let Some(place) = best.chosen
                && fallback.as_ref().is_none_or(|(cost, ..)| best.cost < *cost)
            {
                let spot = Spot { behind: Behind::Patch, ..place.spot };
                fallback = Some((best.cost, FlagSpot { spot, broken }, place.area));
            }
        }
        let (_, spot, area) = fallback?;
        self.room.take(Plane::Solid, area);
        Some(spot)
    }
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
fn around(area: Area, column: Column, side: Side, ring: f32) -> [Option<Try>; 3] {
    let middle = area.center();
    let extent = column.extent();
    match side {
        Side::Above | Side::Below => {
            let top = match side {
                Side::Above => area.top - GAP - ring - extent,
                Side::Below | Side::Left | Side::Right => area.bottom + GAP + ring,
            };
            [
                Some(try_at(column, area.left, top, Along::Start)),
                Some(try_at(column, middle.x, top, Along::Middle)),
                Some(try_at(column, area.right, top, Along::End)),
            ]
        }
        Side::Left | Side::Right => {
            let (x, along) = match side {
                Side::Left => (area.left - SIDE_GAP - ring, Along::End),
                Side::Right | Side::Above | Side::Below => (area.right + SIDE_GAP + ring, Along::Start),
            };
            [
                Some(try_at(column, x, middle.y - extent / 2.0, along)),
                Some(try_at(column, x, area.top, along)),
                Some(try_at(column, x, area.bottom - extent, along)),
            ]
        }
    }
}

fn flag_column(flag: &Flag, broken: Broken) -> Column {
    let [tag, conductor, way] = flag.lengths;
    let (width, lines) = match broken {
        Broken::One => (tag + TAG_SPACE + conductor + way, 1.0),
        Broken::Two => ((tag + TAG_SPACE + conductor).max(way), 2.0),
        Broken::TagOnly => (tag, 1.0),
    };
    Column { width, lines, height: SMALL_HEIGHT, pitch: SMALL_PITCH }
}

/// Whether words must stay beside their piece of the run or may reach beyond its ends.
#[derive(Clone, Copy, PartialEq, Eq)]
enum Fit {
    Within,
    Beyond,
}

/// The places along one piece of a run.
fn beside((a, b): (Point, Point), column: Column, gap: f32, fit: Fit) -> Vec<Try> {
    let (low, high) = (Point::new(a.x.min(b.x), a.y.min(b.y)), Point::new(a.x.max(b.x), a.y.max(b.y)));
    let margin = 1.0;
    let extent = column.extent();
    let middle = low.halfway(high);
    let mut tries = Vec::with_capacity(8);
    if a.y == b.y {
        let fits = high.x - low.x >= column.width + 2.0 * margin;
        if fits != (fit == Fit::Within) {
            return tries;
        }
        for top in [low.y - gap - extent, low.y + gap] {
            tries.push(try_at(column, middle.x, top, Along::Middle));
            tries.push(try_at(column, low.x + margin, top, Along::Start));
            tries.push(try_at(column, high.x - margin, top, Along::End));
        }
    } else {
        let fits = high.y - low.y >= extent + 2.0 * margin;
        if fits == (fit == Fit::Within) {
            for y in [middle.y - extent / 2.0, low.y + margin, high.y - margin - extent] {
                tries.push(try_at(column, low.x + gap + 0.5, y, Along::Start));
                tries.push(try_at(column, low.x - gap - 0.5, y, Along::End));
            }
        }
        // Read from the right, beside the run, where there is no room across it.
        if fit == Fit::Within && high.y - low.y >= column.width + 2.0 * margin {
            tries.push(try_turned(column, low.x - gap - extent, middle.y, Along::Middle));
            tries.push(try_turned(column, low.x + gap, middle.y, Along::Middle));
        }
    }
    tries
}

/// The texts of a column of lines.
pub(crate) fn texts(spot: Spot, lines: &[String], height: f32, pitch: f32, weight: Weight) -> Vec<Text> {
    let step = |line: usize| line as f32 * pitch;
    lines
        .iter()
        .enumerate()
        .map(|(line, content)| Text {
            anchor: match spot.turned {
                Turned::Upright => spot.anchor.moved(0.0, step(line)),
                Turned::FromRight => spot.anchor.moved(step(line), 0.0),
            },
            along: spot.along,
            across: Across::Baseline,
            height,
            weight,
            turned: spot.turned,
            behind: spot.behind,
            content: content.clone(),
        })
        .collect()
}

/// The texts of a flag: its tag strong, the rest regular.
pub(crate) fn flag_texts(place: FlagSpot, flag: &Flag) -> Vec<Text> {
    let [tag, conductor, way] = flag.lengths;
    let spot = place.spot;
    let whole = match place.broken {
        Broken::One => tag + TAG_SPACE + conductor + way,
        Broken::Two => tag + TAG_SPACE + conductor,
        Broken::TagOnly => tag,
    };
    let back = match spot.along {
        Along::Start => 0.0,
        Along::Middle => whole / 2.0,
        Along::End => whole,
    };
    let along = |by: f32| match spot.turned {
        Turned::Upright => spot.anchor.moved(by - back, 0.0),
        Turned::FromRight => spot.anchor.moved(0.0, back - by),
    };
    let text = |anchor, along, weight, content: String| Text {
        anchor,
        along,
        across: Across::Baseline,
        height: SMALL_HEIGHT,
        weight,
        turned: spot.turned,
        behind: spot.behind,
        content,
    };
    let mut texts = vec![text(along(0.0), Along::Start, Weight::Strong, flag.tag.clone())];
    match place.broken {
        Broken::One => {
            let content = format!("{}{}", flag.conductor, flag.way);
            texts.push(text(along(tag + TAG_SPACE), Along::Start, Weight::Regular, content));
        }
        Broken::Two => {
            let content = flag.conductor.trim_end_matches([',', ' ']).to_owned();
            texts.push(text(along(tag + TAG_SPACE), Along::Start, Weight::Regular, content));
            let below = match spot.turned {
                Turned::Upright => spot.anchor.moved(0.0, SMALL_PITCH),
                Turned::FromRight => spot.anchor.moved(SMALL_PITCH, 0.0),
            };
            texts.push(text(below, spot.along, Weight::Regular, flag.way.clone()));
        }
        Broken::TagOnly => {}
    }
    texts
}
