//! The pencil: writes the strokes of a symbol in the coordinates in which the standards describe them, a unit
//! box with y upwards, and keeps them in millimeters with y downwards.

use super::Stroke;
use crate::display_list::{Across, Along, Behind, Ends, Shape, Text, Turned, Weight};
use crate::geometry::Point;
use crate::pen::Pen;
use lineside_core::circuit::TerminalName;

/// Side of the unit box, mm.
const BOX_MM: f32 = 10.0;
/// Least height of lettering, mm.
pub(super) const LEAST_LETTERING: f32 = 1.8;

/// Sine of 0°, 15° … 90°.
const SINES: [f32; 7] = [0.0, 0.258_819, 0.5, std::f32::consts::FRAC_1_SQRT_2, 0.866_025, 0.965_926, 1.0];

/// Sine of a multiple of 15°.
fn sine(step: usize) -> f32 {
    let quarter = step % 24;
    let (slot, sign) = match quarter {
        0..=6 => (quarter, 1.0),
        7..=12 => (12 - quarter, 1.0),
        13..=18 => (quarter - 12, -1.0),
        _ => (24 - quarter, -1.0),
    };
    SINES.get(slot).copied().unwrap_or_default() * sign
}

/// Writes strokes. Coordinates are shares of the unit box from its lower left corner, y upwards; angles are
/// whole degrees counter-clockwise from +x.
pub(super) struct Pencil {
    strokes: Vec<Stroke>,
    /// Lower left corner of the unit box, in millimeters from the upper left corner of the symbol's box.
    corner: Point,
    pen: Pen,
    only_with: Option<TerminalName>,
    carried_by: Option<Point>,
}

impl Pencil {
    /// For a box of the unit's height.
    pub(super) fn new() -> Self {
        Self {
            strokes: Vec::with_capacity(16),
            corner: Point::new(0.0, BOX_MM),
            pen: Pen::Symbol,
            only_with: None,
            carried_by: None,
        }
    }
    pub(super) fn finish(self) -> Vec<Stroke> {
        self.strokes
    }
    /// Puts the lower left corner of the unit box somewhere else, in millimeters from the symbol's corner.
    pub(super) fn stand(&mut self, x_mm: f32, y_mm: f32) -> &mut Self {
        self.corner = Point::new(x_mm, y_mm);
        self
    }
    /// For a box half as high: what lies from y = 0.25 to y = 0.75 of the unit box.
    pub(super) fn stand_slim(&mut self) -> &mut Self {
        self.stand(0.0, 0.75 * BOX_MM)
    }
    /// Draws with another pen from here on.
    pub(super) fn with(&mut self, pen: Pen) -> &mut Self {
        self.pen = pen;
        self
    }
    /// What follows is drawn only while a run lands on this terminal.
    pub(super) fn only_with(&mut self, stem: &'static str) -> &mut Self {
        self.only_with = Some(TerminalName::plain(stem));
        self
    }
    /// What follows is always drawn.
    pub(super) fn always(&mut self) -> &mut Self {
        self.only_with = None;
        self
    }

    fn point(&self, (x, y): (f32, f32)) -> Point {
        Point::new(self.corner.x + BOX_MM * x, self.corner.y - BOX_MM * y)
    }
    fn put(&mut self, shape: Shape) -> &mut Self {
        let (pen, only_with, carried_by) = (self.pen, self.only_with, self.carried_by);
        self.strokes.push(Stroke { pen, shape, only_with, carried_by });
        self
    }
    /// Draws a sign that stays upright, about its middle.
    fn sign(&mut self, middle: (f32, f32), draw: impl FnOnce(&mut Self)) -> &mut Self {
        self.carried_by = Some(self.point(middle));
        draw(self);
        self.carried_by = None;
        self
    }

    /// A straight line.
    pub(super) fn line(&mut self, from: (f32, f32), to: (f32, f32)) -> &mut Self {
        self.path(&[from, to])
    }
    /// Straight lines from point to point.
    pub(super) fn path(&mut self, points: &[(f32, f32)]) -> &mut Self {
        let points = points.iter().map(|point| self.point(*point)).collect();
        self.put(Shape::Polyline { points, ends: Ends::Open })
    }
    /// Straight lines from point to point and back to the first.
    pub(super) fn outline(&mut self, points: &[(f32, f32)]) -> &mut Self {
        let points = points.iter().map(|point| self.point(*point)).collect();
        self.put(Shape::Polyline { points, ends: Ends::Joined })
    }
    /// A rectangle: lower left corner and extent.
    pub(super) fn rectangle(&mut self, x: f32, y: f32, width: f32, height: f32) -> &mut Self {
        self.outline(&[(x, y), (x + width, y), (x + width, y + height), (x, y + height)])
    }
    /// A filled figure.
    pub(super) fn filled(&mut self, points: &[(f32, f32)]) -> &mut Self {
        let points = points.iter().map(|point| self.point(*point)).collect();
        self.put(Shape::Polygon { points })
    }
    /// A circle line.
    pub(super) fn circle(&mut self, center: (f32, f32), radius: f32) -> &mut Self {
        let center = self.point(center);
        self.put(Shape::Circle { center, radius: radius * BOX_MM })
    }
    /// A filled circle.
    pub(super) fn dot(&mut self, center: (f32, f32), radius: f32) -> &mut Self {
        let center = self.point(center);
        self.put(Shape::Disc { center, radius: radius * BOX_MM })
    }
    /// A part of a circle line, counter-clockwise between two angles.
    pub(super) fn arc(&mut self, center: (f32, f32), radius: f32, from: i16, to: i16) -> &mut Self {
        let center = self.point(center);
        // With y downwards, counter-clockwise from `from` to `to` is clockwise from −to to −from.
        let start = (-to).rem_euclid(360);
        self.put(Shape::Arc { center, radius: radius * BOX_MM, start, sweep: to - from })
    }
    /// An ellipse line.
    pub(super) fn ellipse(&mut self, (x, y): (f32, f32), radius_x: f32, radius_y: f32) -> &mut Self {
        let points: Vec<_> =
            (0..24).map(|step| (x + radius_x * sine(step + 6), y + radius_y * sine(step))).collect();
        self.outline(&points)
    }
    /// Letters, in the middle of which the point lies.
    pub(super) fn letters(&mut self, center: (f32, f32), letters: &str) -> &mut Self {
        self.letters_of(center, letters, LEAST_LETTERING, Weight::Regular)
    }
    /// Letters of a given height.
    pub(super) fn letters_of(
        &mut self,
        center: (f32, f32),
        letters: &str,
        height: f32,
        weight: Weight,
    ) -> &mut Self {
        let anchor = self.point(center);
        let text = Text {
            anchor,
            along: Along::Middle,
            across: Across::Middle,
            height,
            weight,
            turned: Turned::Upright,
            behind: Behind::Clear,
            content: letters.to_owned(),
        };
        let (pen, only_with, carried_by) = (Pen::Text, self.only_with, None);
        self.strokes.push(Stroke { pen, shape: Shape::Text(text), only_with, carried_by });
        self
    }
    /// A plus sign drawn with strokes, for a polarity; its middle.
    pub(super) fn plus(&mut self, (x, y): (f32, f32)) -> &mut Self {
        self.line((x - 0.06, y), (x + 0.06, y)).line((x, y - 0.06), (x, y + 0.06))
    }
    /// A stroke for each of several poles, leaning across the lead at the right end of the unit box. A single pole has none.
    pub(super) fn poles(&mut self, count: u32) -> &mut Self {
        const PLACES: [f32; 4] = [0.94, 0.88, 0.82, 0.76];
        let shown = if count > 1 { PLACES.len().min(usize::try_from(count).unwrap_or(0)) } else { 0 };
        for x in PLACES.into_iter().take(shown) {
            self.line((x - 0.045, 0.42), (x + 0.045, 0.58));
        }
        self
    }
    /// The mark of direct current: a long line and three dashes below it; its middle.
    pub(super) fn direct(&mut self, (x, y): (f32, f32)) -> &mut Self {
        let (upper, lower) = (y + 0.03, y - 0.03);
        self.sign((x, y), |pencil| {
            pencil.line((x - 0.11, upper), (x + 0.11, upper));
            for start in [-0.11, -0.03, 0.05] {
                pencil.line((x + start, lower), (x + start + 0.06, lower));
            }
        })
    }
    /// The mark of alternating current: one period of a sine; its middle.
    pub(super) fn alternating(&mut self, (x, y): (f32, f32)) -> &mut Self {
        let points: Vec<_> = (0..=24u8)
            .map(|step| (x - 0.11 + 0.22 * f32::from(step) / 24.0, y + 0.06 * sine(usize::from(step))))
            .collect();
        self.sign((x, y), |pencil| {
            pencil.path(&points);
        })
    }
    /// The mark of equipment ground: a lead upwards from the lower edge to a short bar. It is drawn only
    /// while a run lands on the terminal.
    pub(super) fn bond_to_frame(&mut self, x: f32) -> &mut Self {
        self.only_with("bond").line((x, 0.0), (x, 0.10)).line((x - 0.12, 0.10), (x + 0.12, 0.10)).always()
    }
}
