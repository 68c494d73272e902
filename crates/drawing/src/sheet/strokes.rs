//! Strokes through a run that count its conductors: a stroke for each line, one with a dot for the neutral, one with a
//! cross-bar for the conductor that grounds.

use super::kept::KeptRun;
use super::wires::Wires;
use crate::display_list::{Ends, Group, Item, Layer, Shape, Subject};
use crate::geometry::{Area, Point};
use crate::label::{Plane, Room};
use crate::pen::{Ink, Pen};
use lineside_core::circuit::Run;

/// How many strokes of each sort a run has.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) struct StrokeMarks {
    lines: u8,
    neutrals: u8,
    grounds: u8,
}

impl StrokeMarks {
    /// Those of a run; `None` for a direct joint, and where its conductors are not known.
    pub(super) fn of(run: &Run, ink: Ink, wires: Option<Wires>) -> Option<Self> {
        let conductor = run.conductor.as_ref()?;
        let wires = wires?;
        if ink == Ink::Earth {
            return Some(Self { lines: 0, neutrals: 0, grounds: 1 });
        }
        let grounds = u8::from(conductor.grounding_conductor.is_some());
        Some(Self { lines: wires.lines, neutrals: wires.neutrals, grounds })
    }
    const fn count(self) -> u8 {
        self.lines.saturating_add(self.neutrals).saturating_add(self.grounds)
    }
}

/// Where strokes stand: the middle of the first, and the way to the next.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct StrokeSpot {
    first: Point,
    step: (f32, f32),
    area: Area,
}

/// From one stroke to the next, mm.
const PITCH: f32 = 0.9;
/// A stroke is 2.5 mm long and leans by 30° from across the run: half of it goes so far along and across, mm.
const HALF: (f32, f32) = (0.625, 1.083);
/// Along the run, from the middle of a stroke to the end of its cross-bar, mm.
const REACH: f32 = 1.35;
/// Half the length of the cross-bar, mm.
const BAR: f32 = 0.6;
/// Radius of the dot, mm.
const DOT: f32 = 0.35;
/// From the end of a piece to the first stroke, mm: clear of joints and of devices.
const CLEAR: f32 = 1.4;
/// How far strokes are slid along a piece in search of room, mm, and how often at most.
const SLIDE: f32 = 2.5;
const MOST_SLIDES: u8 = 40;
/// Beyond the ends of the strokes, mm.
const AROUND: f32 = 0.55;

/// The room that a piece of a run takes.
pub(super) fn line_area(run: &KeptRun, piece: &[Point]) -> Area {
    Area::of(piece).grown(Pen::Run(run.ink).width_mm() / 2.0 + 0.2)
}

/// Finds a place for the strokes of a run and takes it; `None` where there is none that is free on both sides of the run and
/// not shared with another.
pub(super) fn spot(run: &KeptRun, room: &mut Room) -> Option<StrokeSpot> {
    let marks = run.marks?;
    let along = PITCH * f32::from(marks.count().saturating_sub(1)) + 2.0 * REACH;
    let mut pieces: Vec<(Point, Point)> =
        run.points.windows(2).filter_map(|pair| Some((*pair.first()?, *pair.get(1)?))).collect();
    let long = |piece: &(Point, Point)| (piece.0.x - piece.1.x).abs() + (piece.0.y - piece.1.y).abs();
    pieces.sort_by(|one, other| long(other).total_cmp(&long(one)));
    for (a, b) in pieces {
        let length = long(&(a, b));
        if length < along + 2.0 * CLEAR {
            break;
        }
        let way = ((b.x - a.x) / length, (b.y - a.y) / length);
        let last = length - CLEAR - along;
        let slides =
            (0..MOST_SLIDES).map(|slide| CLEAR + SLIDE * f32::from(slide)).take_while(|start| *start < last);
        for start in slides.chain([last]) {
            let (low, high) = (start, start + along);
            let at = |along: f32, aside: f32| {
                Point::new(a.x + way.0 * along - way.1 * aside, a.y + way.1 * along + way.0 * aside)
            };
            let across = HALF.1 + AROUND;
            let area = Area::of(&[at(low, -across), at(high, across)]);
            if room.is_free_but_for(area, line_area(run, &[a, b])) {
                room.take(Plane::Solid, area);
                let step = (way.0 * PITCH, way.1 * PITCH);
                return Some(StrokeSpot { first: at(low + REACH, 0.0), step, area });
            }
        }
    }
    None
}

/// The strokes of a run as they are drawn.
pub(super) fn group(run: &KeptRun) -> Option<Group> {
    let (marks, spot) = (run.marks?, run.strokes?);
    let subject = Subject::Run(run.id);
    let pens = (Pen::Flag(run.ink), Pen::Joint(run.ink));
    let items = shapes(marks, spot.first, spot.step, pens);
    let items = items.into_iter().map(|(pen, shape)| Item { subject, pen, shape }).collect();
    Some(Group::within(spot.area, subject, Layer::Words, items))
}

/// A line, a neutral and a conductor that grounds, for the key; from the middle of the first stroke.
pub(super) fn sample(first: Point) -> Vec<(Pen, Shape)> {
    let marks = StrokeMarks { lines: 1, neutrals: 1, grounds: 1 };
    shapes(marks, first, (1.6 * PITCH, 0.0), (Pen::Symbol, Pen::Symbol))
}

/// Strokes lean and carry their signs alike whichever way the run was drawn. `pens` are those of lines and of dots.
fn shapes(marks: StrokeMarks, first: Point, step: (f32, f32), pens: (Pen, Pen)) -> Vec<(Pen, Shape)> {
    let is_level = step.1.abs() < step.0.abs();
    // Towards the upper end: upwards across a level run, to the right across an upright one.
    let up = if is_level { (HALF.0, -HALF.1) } else { (HALF.1, HALF.0) };
    // At right angles to the stroke, half of which is 1.25 mm long.
    let bar = (-up.1 / 1.25 * BAR, up.0 / 1.25 * BAR);
    let mut shapes: Vec<(Pen, Shape)> = Vec::with_capacity(usize::from(marks.count()) + 2);
    for number in 0..marks.count() {
        let middle = first.moved(step.0 * f32::from(number), step.1 * f32::from(number));
        let upper = middle.moved(up.0, up.1);
        let line = |from: Point, to: Point| {
            (pens.0, Shape::Polyline { points: [from, to].into(), ends: Ends::Open })
        };
        shapes.push(line(middle.moved(-up.0, -up.1), upper));
        if number >= marks.lines + marks.neutrals {
            shapes.push(line(upper.moved(-bar.0, -bar.1), upper.moved(bar.0, bar.1)));
        } else if number >= marks.lines {
            shapes.push((pens.1, Shape::Disc { center: upper, radius: DOT }));
        }
    }
    shapes
}
