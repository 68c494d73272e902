//! The display list: everything that is drawn, once, for the screen and for every file format.
//!
//! It holds shapes and pen classes, never colors and never pixels. Writers read it group by group, in the
//! order in which the groups stand: what comes later lies on top.

use crate::geometry::{Area, Point};
use crate::metrics;
use crate::pen::Pen;
use crate::points::Points;
use lineside_core::circuit::{BlockId, PlaceId, RunEnd, RunId};

/// What a shape or a hit area belongs to.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Subject {
    /// The sheet itself: frame, title block, key.
    Sheet,
    /// A place.
    Place(PlaceId),
    /// A run.
    Run(RunId),
    /// A block.
    Block(BlockId),
    /// A terminal of a block.
    Terminal(RunEnd),
    /// A mark, by its position in [`crate::sheet::Look::marks`].
    Mark(usize),
}

/// What kind of thing a group draws; groups stand in this order.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Layer {
    /// Frame, title block, key, cautions.
    Furniture,
    /// Outlines of places.
    Places,
    /// Conductors.
    Runs,
    /// Symbols.
    Symbols,
    /// Tags, ratings, conductor flags, names of places.
    Words,
    /// Marks of findings.
    Marks,
}

/// All that is drawn, in painting order.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct DisplayList {
    /// The groups, in painting order.
    pub groups: Vec<Group>,
}

impl DisplayList {
    /// Every item, in painting order.
    pub fn items(&self) -> impl Iterator<Item = &Item> {
        self.groups.iter().flat_map(|group| group.items.iter())
    }
    /// Every text, in painting order.
    pub fn texts(&self) -> impl Iterator<Item = (Subject, &Text)> {
        self.items().filter_map(|item| match &item.shape {
            Shape::Text(text) => Some((item.subject, text)),
            Shape::Polyline { .. }
            | Shape::Polygon { .. }
            | Shape::Circle { .. }
            | Shape::Disc { .. }
            | Shape::Arc { .. } => None,
        })
    }
}

/// What one subject draws in one layer. A writer for the screen may skip it when its bounds are out of view.
#[derive(Clone, Debug, PartialEq)]
pub struct Group {
    /// To what it belongs.
    pub subject: Subject,
    /// In which layer it lies.
    pub layer: Layer,
    /// The rectangle that holds every item, line widths included, mm.
    pub bounds: Area,
    /// What is drawn, in painting order.
    pub items: Vec<Item>,
}

impl Group {
    /// A group; its bounds are taken from the items.
    pub fn new(subject: Subject, layer: Layer, items: Vec<Item>) -> Self {
        let bounds = items.iter().fold(Area::NOTHING, |bounds, item| bounds.union(item.bounds()));
        Self { subject, layer, bounds, items }
    }
    /// A group whose bounds are known already.
    pub(crate) const fn within(bounds: Area, subject: Subject, layer: Layer, items: Vec<Item>) -> Self {
        Self { subject, layer, bounds, items }
    }
}

/// One shape, drawn with one pen.
#[derive(Clone, Debug, PartialEq)]
pub struct Item {
    /// To what it belongs.
    pub subject: Subject,
    /// Its pen class.
    pub pen: Pen,
    /// Its shape.
    pub shape: Shape,
}

impl Item {
    /// The rectangle that holds it, line width included, mm.
    pub fn bounds(&self) -> Area {
        let half = self.pen.width_mm() / 2.0;
        match &self.shape {
            Shape::Polyline { points, .. } => Area::of(points).grown(half),
            Shape::Polygon { points } => Area::of(points),
            Shape::Circle { center, radius } => Area::around(*center, 2.0 * radius, 2.0 * radius).grown(half),
            Shape::Disc { center, radius } => Area::around(*center, 2.0 * radius, 2.0 * radius),
            Shape::Arc { center, radius, .. } => {
                Area::around(*center, 2.0 * radius, 2.0 * radius).grown(half)
            }
            Shape::Text(text) => text.bounds(),
        }
    }
}

/// Whether the last point of a line is joined to its first.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum Ends {
    /// It is not.
    Open,
    /// It is.
    Joined,
}

/// A shape on the sheet, in millimeters.
#[derive(Clone, Debug, PartialEq)]
pub enum Shape {
    /// Straight lines from point to point.
    Polyline {
        /// The points, two at least.
        points: Points,
        /// Whether the last is joined to the first.
        ends: Ends,
    },
    /// A filled figure, convex.
    Polygon {
        /// Its corners.
        points: Points,
    },
    /// A circle line.
    Circle {
        /// Its middle.
        center: Point,
        /// Its radius, mm.
        radius: f32,
    },
    /// A filled circle.
    Disc {
        /// Its middle.
        center: Point,
        /// Its radius, mm.
        radius: f32,
    },
    /// A part of a circle line.
    Arc {
        /// Its middle.
        center: Point,
        /// Its radius, mm.
        radius: f32,
        /// Where it begins: whole degrees, a multiple of 5, clockwise as seen from the direction of +x.
        start: i16,
        /// How far it goes, clockwise as seen; from 5 to 355 degrees, a multiple of 5.
        sweep: i16,
    },
    /// Words.
    Text(Text),
}

impl Shape {
    /// The shape moved by millimeters.
    #[must_use]
    pub fn moved(mut self, dx: f32, dy: f32) -> Self {
        match &mut self {
            Self::Polyline { points, .. } | Self::Polygon { points } => {
                for point in points.iter_mut() {
                    *point = point.moved(dx, dy);
                }
            }
            Self::Circle { center, .. } | Self::Disc { center, .. } | Self::Arc { center, .. } => {
                *center = center.moved(dx, dy);
            }
            Self::Text(text) => text.anchor = text.anchor.moved(dx, dy),
        }
        self
    }
}

/// Where the anchor of a text lies along the line of writing.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum Along {
    /// At its start.
    Start,
    /// In its middle.
    Middle,
    /// At its end.
    End,
}

/// Where the anchor of a text lies across the line of writing.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum Across {
    /// At the top of its capitals.
    Top,
    /// Halfway up its capitals.
    Middle,
    /// On the line on which its letters stand.
    Baseline,
}

/// How heavy a text is.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum Weight {
    /// Source Sans 3 Regular.
    Regular,
    /// Source Sans 3 SemiBold.
    Strong,
}

/// From where a text is read.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum Turned {
    /// From the bottom of the sheet.
    Upright,
    /// From the right of the sheet: it runs upwards.
    FromRight,
}

/// What lies behind a text.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum Behind {
    /// Whatever is there shows.
    Clear,
    /// A patch of paper, so that the text can be read where it must cross a line.
    Patch,
}

/// Words on the sheet, on one line.
#[derive(Clone, Debug, PartialEq)]
pub struct Text {
    /// The point to which it is aligned.
    pub anchor: Point,
    /// How it is aligned along its line.
    pub along: Along,
    /// How it is aligned across its line.
    pub across: Across,
    /// Height of its capitals, mm, as ISO 3098 counts the height of lettering.
    pub height: f32,
    /// How heavy it is.
    pub weight: Weight,
    /// From where it is read.
    pub turned: Turned,
    /// What lies behind it.
    pub behind: Behind,
    /// The words.
    pub content: String,
}

impl Text {
    /// Size of the face, mm: the em that gives capitals of [`Self::height`].
    pub fn em(&self) -> f32 {
        self.height / metrics::CAPITAL_HEIGHT
    }
    /// Length of the line of writing, mm, from the face's own advance widths.
    pub fn length(&self) -> f32 {
        metrics::length(&self.content, self.weight, self.height)
    }
    /// Where its letters start: the left end of the line on which they stand.
    pub fn origin(&self) -> Point {
        let back = match self.along {
            Along::Start => 0.0,
            Along::Middle => self.length() / 2.0,
            Along::End => self.length(),
        };
        let down = match self.across {
            Across::Top => self.height,
            Across::Middle => self.height / 2.0,
            Across::Baseline => 0.0,
        };
        match self.turned {
            Turned::Upright => self.anchor.moved(-back, down),
            Turned::FromRight => self.anchor.moved(down, back),
        }
    }
    /// The rectangle that its letters fill, from the lowest descender to the highest ascender, mm.
    pub fn bounds(&self) -> Area {
        let origin = self.origin();
        let up = self.height * metrics::ASCENT / metrics::CAPITAL_HEIGHT;
        let down = self.height * metrics::DESCENT / metrics::CAPITAL_HEIGHT;
        let length = self.length();
        match self.turned {
            Turned::Upright => {
                Area { left: origin.x, top: origin.y - up, right: origin.x + length, bottom: origin.y + down }
            }
            Turned::FromRight => {
                Area { left: origin.x - up, top: origin.y - length, right: origin.x + down, bottom: origin.y }
            }
        }
    }
}

/// Where the pointer, and assistive technology, meets a subject.
#[derive(Clone, Debug, PartialEq)]
pub struct HitArea {
    /// What is met.
    pub subject: Subject,
    /// Where.
    pub shape: HitShape,
}

/// The shape of a hit area.
#[derive(Clone, Debug, PartialEq)]
pub enum HitShape {
    /// A rectangle.
    Box(Area),
    /// A line and the distance from it that still counts.
    Line {
        /// Its points.
        points: Points,
        /// How far from it a point may lie, mm.
        reach: f32,
    },
}

impl HitArea {
    /// Whether a point meets it.
    pub fn contains(&self, point: Point) -> bool {
        match &self.shape {
            HitShape::Box(area) => area.contains(point),
            // Runs lie along the sheet, so the box of a piece is the piece itself.
            HitShape::Line { points, reach } => {
                points.windows(2).any(|pair| Area::of(pair).grown(*reach).contains(point))
            }
        }
    }
    /// The rectangle that holds it.
    pub fn bounds(&self) -> Area {
        match &self.shape {
            HitShape::Box(area) => *area,
            HitShape::Line { points, reach } => Area::of(points).grown(*reach),
        }
    }
}

/// What lies uppermost at a point; `areas` stand in painting order.
pub fn topmost(areas: &[HitArea], point: Point) -> Option<Subject> {
    areas.iter().rev().find(|area| area.contains(point)).map(|area| area.subject)
}
