//! Paints a picture on the screen.

use super::picture::{Cut, Fill, Mark, Picture, Words, hatching};
use crate::window::fonts;
use egui::epaint::{Mesh, Vertex, WHITE_UV};
use egui::{Color32, FontFamily, FontId, Painter, Pos2, Rect, Shape, Stroke, StrokeKind, Vec2, pos2};

/// Paints a picture with its upper left corner at a point.
pub fn paint(painter: &Painter, corner: Pos2, picture: &Picture) {
    let by = corner.to_vec2();
    for mark in &picture.marks {
        one(painter, by, mark);
    }
}

/// A hint of a color.
pub(super) fn hint(color: Color32) -> Color32 {
    color.gamma_multiply(0.16)
}

fn one(painter: &Painter, by: Vec2, mark: &Mark) {
    match mark {
        Mark::Line { points, color, width, dash } => {
            let points: Vec<Pos2> = points.iter().map(|point| *point + by).collect();
            let stroke = Stroke::new(*width, *color);
            match dash.lengths() {
                None => {
                    painter.line(points, stroke);
                }
                Some((dash, gap)) => {
                    painter.extend(Shape::dashed_line(&points, stroke, dash, gap));
                }
            }
        }
        Mark::Band { upper, lower, color } => {
            painter.add(Shape::mesh(band(upper, lower, *color, by)));
        }
        Mark::Bar { rect, color, fill } => bar(painter, rect.translate(by), *color, *fill),
        Mark::Dot { at, radius, color, fill } => match fill {
            Fill::Solid => {
                painter.circle_filled(*at + by, *radius, *color);
            }
            Fill::Hollow | Fill::Hatched => {
                painter.circle(*at + by, *radius, hint(*color), Stroke::new(1.4, *color));
            }
        },
        Mark::Cells { rect, columns, colors } => {
            painter.add(Shape::mesh(cells(rect.translate(by), *columns, colors)));
        }
        Mark::Words(words) => text(painter, by, words),
    }
}

fn text(painter: &Painter, by: Vec2, words: &Words) {
    let family = match words.cut {
        Cut::Regular => FontFamily::Proportional,
        Cut::Strong => fonts::strong(),
    };
    let font = FontId::new(words.size, family);
    painter.text(words.at + by, words.anchor, &words.text, font, words.color);
}

fn bar(painter: &Painter, rect: Rect, color: Color32, fill: Fill) {
    match fill {
        Fill::Solid => {
            painter.rect_filled(rect, 0.0, color);
        }
        Fill::Hollow => {
            painter.rect(rect, 0.0, hint(color), Stroke::new(1.2, color), StrokeKind::Inside);
        }
        Fill::Hatched => {
            painter.rect(rect, 0.0, hint(color), Stroke::new(1.0, color), StrokeKind::Inside);
            for ends in hatching(rect) {
                painter.line_segment(ends, Stroke::new(1.2, color));
            }
        }
    }
}

fn vertex(at: Pos2, color: Color32) -> Vertex {
    Vertex { pos: at, uv: WHITE_UV, color }
}

fn quad(mesh: &mut Mesh, corners: [Pos2; 4], color: Color32) {
    let first = u32::try_from(mesh.vertices.len()).unwrap_or(0);
    mesh.vertices.extend(corners.map(|corner| vertex(corner, color)));
    mesh.add_triangle(first, first + 1, first + 2);
    mesh.add_triangle(first, first + 2, first + 3);
}

fn band(upper: &[Pos2], lower: &[Pos2], color: Color32, by: Vec2) -> Mesh {
    let mut mesh = Mesh::default();
    for (above, below) in upper.windows(2).zip(lower.windows(2)) {
        if let ([a, b], [c, d]) = (above, below) {
            quad(&mut mesh, [*a + by, *b + by, *d + by, *c + by], color);
        }
    }
    mesh
}

fn cells(rect: Rect, columns: usize, colors: &[Color32]) -> Mesh {
    let mut mesh = Mesh::default();
    let columns = columns.max(1);
    let rows = colors.len().div_ceil(columns).max(1);
    let size = Vec2::new(rect.width() / columns as f32, rect.height() / rows as f32);
    mesh.reserve_vertices(colors.len() * 4);
    mesh.reserve_triangles(colors.len() * 2);
    for (i, color) in colors.iter().enumerate() {
        let (column, row) = ((i % columns) as f32, (i / columns) as f32);
        let (left, top) = (rect.left() + column * size.x, rect.top() + row * size.y);
        let (right, bottom) = (left + size.x, top + size.y);
        let corners = [pos2(left, top), pos2(right, top), pos2(right, bottom), pos2(left, bottom)];
        quad(&mut mesh, corners, *color);
    }
    mesh
}
