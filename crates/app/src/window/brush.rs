//! Paints the shapes of the drawing crate with egui, through a camera.
//!
//! What is drawn and with which pen is the drawing crate's; colors are the tokens'.

use super::fonts;
use super::tokens::Tokens;
use egui::emath::TSTransform;
use egui::epaint::TextShape;
use egui::{Color32, FontId, Painter, Pos2, Rect, Shape, Stroke, pos2, vec2};
use lineside_drawing::display_list::{self, Along, Behind, Ends, Group, Item, Text, Turned, Weight};
use lineside_drawing::geometry::{Area, Point};
use lineside_drawing::pen::Pen;

/// Letters smaller than this on the screen cannot be read and are left out.
const SMALLEST_LETTERS: f32 = 6.0;
/// Dashes shorter than this on the screen run together.
const SHORTEST_DASH: f32 = 1.2;

/// A painter that sees the sheet through a camera.
#[derive(Clone, Copy)]
pub struct Brush<'a> {
    /// From millimeters on paper to points on the screen.
    pub camera: TSTransform,
    /// Colors.
    pub tokens: &'a Tokens,
    /// Where to paint.
    pub painter: &'a Painter,
}

impl Brush<'_> {
    /// A point of the sheet on the screen.
    pub fn point(&self, point: Point) -> Pos2 {
        self.camera * pos2(point.x, point.y)
    }
    /// A rectangle of the sheet on the screen.
    pub fn area(&self, area: Area) -> Rect {
        Rect::from_min_max(
            self.point(Point::new(area.left, area.top)),
            self.point(Point::new(area.right, area.bottom)),
        )
    }
    /// Paints one item.
    pub fn item(&self, item: &Item) {
        self.shape(&item.shape, item.pen, self.tokens.pen(item.pen));
    }
    /// Paints a symbol that is too small to be read: its extent, in the color of its first stroke.
    pub fn speck(&self, group: &Group, bounds: Rect) {
        let color = group.items.first().map_or(self.tokens.ink, |item| self.tokens.pen(item.pen));
        self.painter.rect_filled(bounds.shrink(bounds.width().min(bounds.height()) * 0.2), 0.0, color);
    }
    /// Paints one shape with a pen, in a color of its own.
    pub fn shape(&self, shape: &display_list::Shape, pen: Pen, color: Color32) {
        match shape {
            display_list::Shape::Polyline { points, ends } => {
                let mut line: Vec<Pos2> = points.iter().map(|point| self.point(*point)).collect();
                if *ends == Ends::Joined
                    && let Some(first) = line.first().copied()
                {
                    line.push(first);
                }
                self.line(line, pen, color);
            }
            display_list::Shape::Polygon { points } => {
                let points = points.iter().map(|point| self.point(*point)).collect();
                self.painter.add(Shape::convex_polygon(points, color, Stroke::NONE));
            }
            display_list::Shape::Circle { center, radius } => {
                let radius = radius * self.camera.scaling;
                self.painter.circle_stroke(self.point(*center), radius, self.stroke(pen, color));
            }
            display_list::Shape::Disc { center, radius } => {
                let radius = (radius * self.camera.scaling).max(0.8);
                self.painter.circle_filled(self.point(*center), radius, color);
            }
            display_list::Shape::Arc { center, radius, start, sweep } => {
                self.line(self.arc(*center, *radius, *start, *sweep), pen, color);
            }
            display_list::Shape::Text(text) => self.text(text, color),
        }
    }

    /// The line of a pen: as wide as on paper, and never so thin that it is lost.
    pub fn stroke(&self, pen: Pen, color: Color32) -> Stroke {
        Stroke::new((pen.width_mm() * self.camera.scaling).max(1.0), color)
    }

    fn line(&self, points: Vec<Pos2>, pen: Pen, color: Color32) {
        let stroke = self.stroke(pen, color);
        let pattern: Vec<f32> = pen.pattern().iter().map(|mm| mm * self.camera.scaling).collect();
        let readable = pattern.iter().step_by(2).copied().fold(0.0, f32::max) >= SHORTEST_DASH * 2.0;
        if pattern.is_empty() || !readable {
            self.painter.line(points, stroke);
            return;
        }
        // A dot is drawn at least as long as it is wide, or it is lost.
        let dashes: Vec<f32> = pattern.iter().step_by(2).map(|dash| dash.max(stroke.width)).collect();
        let gaps: Vec<f32> = pattern.iter().skip(1).step_by(2).map(|gap| gap.max(SHORTEST_DASH)).collect();
        self.painter.extend(Shape::dashed_line_with_offset(&points, stroke, &dashes, &gaps, 0.0));
    }

    fn arc(&self, center: Point, radius: f32, start: i16, sweep: i16) -> Vec<Pos2> {
        let steps = (sweep / 10).max(4);
        let middle = self.point(center);
        let radius = radius * self.camera.scaling;
        (0..=steps)
            .map(|step| {
                let share = f32::from(step) / f32::from(steps);
                let angle = (f32::from(start) + f32::from(sweep) * share).to_radians();
                middle + radius * vec2(angle.cos(), angle.sin())
            })
            .collect()
    }

    fn text(&self, text: &Text, color: Color32) {
        // Few distinct sizes, so that zooming asks for few glyphs.
        let size = (text.em() * self.camera.scaling * 2.0).round() / 2.0;
        if size < SMALLEST_LETTERS {
            return;
        }
        let family = match text.weight {
            Weight::Regular => egui::FontFamily::Proportional,
            Weight::Strong => fonts::strong(),
        };
        if text.behind == Behind::Patch {
            self.painter.rect_filled(self.area(text.bounds()).expand(1.0), 0.0, self.tokens.sheet);
        }
        let galley = self.painter.layout_no_wrap(text.content.clone(), FontId::new(size, family), color);
        let baseline = galley
            .rows
            .first()
            .and_then(|row| Some(row.pos.y + row.row.glyphs.first()?.pos.y))
            .unwrap_or_default();
        let back = match text.along {
            Along::Start => 0.0,
            Along::Middle => galley.size().x / 2.0,
            Along::End => galley.size().x,
        };
        // The drawing knows where the letters stand; along the line, the letters as painted decide.
        let origin = self.point(text.origin());
        let anchor = self.point(text.anchor);
        match text.turned {
            Turned::Upright => {
                self.painter.galley(pos2(anchor.x - back, origin.y - baseline), galley, color);
            }
            Turned::FromRight => {
                let at = pos2(origin.x - baseline, anchor.y + back);
                let shape = TextShape::new(at, galley, color).with_angle(-std::f32::consts::FRAC_PI_2);
                self.painter.add(shape);
            }
        }
    }
}
