//! Writes a picture as SVG; text stays text.

use super::paint::hint;
use super::picture::{Cut, Fill, Mark, Picture, Words, hatching};
use egui::{Align, Color32, Pos2, Rect};
use std::fmt::Write;

/// The file. `title` names it for people and for assistive technology.
pub fn write(picture: &Picture, ground: Color32, title: &str) -> String {
    let (width, height) = (figure(picture.size.x), figure(picture.size.y));
    let mut out = String::with_capacity(4096);
    let _ = write!(
        out,
        "<svg xmlns=\"http://www.w3.org/2000/svg\" width=\"{width}\" height=\"{height}\" \
         viewBox=\"0 0 {width} {height}\" role=\"img\" aria-labelledby=\"title\">\n\
         <title id=\"title\">{}</title>\n\
         <rect width=\"{width}\" height=\"{height}\" fill=\"{}\"/>\n\
         <g font-family=\"'Source Sans 3', sans-serif\" stroke-linejoin=\"round\">\n",
        escaped(title),
        hex(ground)
    );
    for mark in &picture.marks {
        one(&mut out, mark);
    }
    out.push_str("</g>\n</svg>\n");
    out
}

fn one(out: &mut String, mark: &Mark) {
    match mark {
        Mark::Line { points, color, width, dash } => {
            let dashes = dash.lengths().map_or_else(String::new, |(dash, gap)| {
                format!(" stroke-dasharray=\"{} {}\"", figure(dash), figure(gap))
            });
            let _ = writeln!(
                out,
                "<polyline points=\"{}\" fill=\"none\" stroke=\"{}\"{} stroke-width=\"{}\"{dashes}/>",
                corners(points.iter()),
                hex(*color),
                opacity("stroke-opacity", *color),
                figure(*width)
            );
        }
        Mark::Band { upper, lower, color } => {
            let _ = writeln!(
                out,
                "<polygon points=\"{}\" fill=\"{}\"{}/>",
                corners(upper.iter().chain(lower.iter().rev())),
                hex(*color),
                opacity("fill-opacity", *color)
            );
        }
        Mark::Bar { rect, color, fill } => bar(out, *rect, *color, *fill),
        Mark::Dot { at, radius, color, fill } => {
            let inside = if *fill == Fill::Solid { *color } else { hint(*color) };
            let _ = writeln!(
                out,
                "<circle cx=\"{}\" cy=\"{}\" r=\"{}\" fill=\"{}\"{} stroke=\"{}\"/>",
                figure(at.x),
                figure(at.y),
                figure(*radius),
                hex(inside),
                opacity("fill-opacity", inside),
                hex(*color)
            );
        }
        Mark::Cells { rect, columns, colors } => cells(out, *rect, *columns, colors),
        Mark::Words(words) => text(out, words),
    }
}

fn bar(out: &mut String, rect: Rect, color: Color32, fill: Fill) {
    let inside = if fill == Fill::Solid { color } else { hint(color) };
    let _ = write!(
        out,
        "<rect x=\"{}\" y=\"{}\" width=\"{}\" height=\"{}\" fill=\"{}\"{}",
        figure(rect.left()),
        figure(rect.top()),
        figure(rect.width()),
        figure(rect.height()),
        hex(inside),
        opacity("fill-opacity", inside)
    );
    if fill != Fill::Solid {
        let _ = write!(out, " stroke=\"{}\"", hex(color));
    }
    out.push_str("/>\n");
    if fill == Fill::Hatched {
        for ends in hatching(rect) {
            let _ = writeln!(
                out,
                "<polyline points=\"{}\" stroke=\"{}\" stroke-width=\"1.2\"/>",
                corners(ends.iter()),
                hex(color)
            );
        }
    }
}

/// Neighbors of one color in a row become one rectangle.
fn cells(out: &mut String, rect: Rect, columns: usize, colors: &[Color32]) {
    let columns = columns.max(1);
    let rows = colors.len().div_ceil(columns).max(1);
    let (width, height) = (rect.width() / columns as f32, rect.height() / rows as f32);
    out.push_str("<g shape-rendering=\"crispEdges\">\n");
    for (row, colors) in colors.chunks(columns).enumerate() {
        let mut column = 0;
        for same in colors.chunk_by(|a, b| a == b) {
            if let Some(color) = same.first() {
                let _ = writeln!(
                    out,
                    "<rect x=\"{}\" y=\"{}\" width=\"{}\" height=\"{}\" fill=\"{}\"/>",
                    figure(rect.left() + column as f32 * width),
                    figure(rect.top() + row as f32 * height),
                    figure(same.len() as f32 * width),
                    figure(height),
                    hex(*color)
                );
            }
            column += same.len();
        }
    }
    out.push_str("</g>\n");
}

fn text(out: &mut String, words: &Words) {
    // From the middle of the letters to the line on which they stand: about a third of their size.
    let down = match words.anchor.y() {
        Align::Min => 0.95,
        Align::Center => 0.33,
        Align::Max => -0.25,
    };
    let along = match words.anchor.x() {
        Align::Min => "start",
        Align::Center => "middle",
        Align::Max => "end",
    };
    let weight = if words.cut == Cut::Strong { " font-weight=\"600\"" } else { "" };
    let _ = writeln!(
        out,
        "<text x=\"{}\" y=\"{}\" font-size=\"{}\" text-anchor=\"{along}\"{weight} fill=\"{}\">{}</text>",
        figure(words.at.x),
        figure(words.at.y + down * words.size),
        figure(words.size),
        hex(words.color),
        escaped(&words.text)
    );
}

fn corners<'a>(points: impl Iterator<Item = &'a Pos2>) -> String {
    let mut out = String::new();
    for point in points {
        let _ = write!(out, "{},{} ", figure(point.x), figure(point.y));
    }
    out.truncate(out.trim_end().len());
    out
}

/// To a hundredth of a point, without a useless tail.
fn figure(value: f32) -> String {
    let text = format!("{value:.2}");
    let text = text.trim_end_matches('0').trim_end_matches('.');
    if text == "-0" { "0".to_owned() } else { text.to_owned() }
}

fn hex(color: Color32) -> String {
    let [red, green, blue, _] = color.to_srgba_unmultiplied();
    format!("#{red:02x}{green:02x}{blue:02x}")
}

fn opacity(name: &str, color: Color32) -> String {
    if color.is_opaque() { String::new() } else { format!(" {name}=\"{:.2}\"", f32::from(color.a()) / 255.0) }
}

fn escaped(text: &str) -> String {
    text.replace('&', "&amp;").replace('<', "&lt;").replace('>', "&gt;").replace('"', "&quot;")
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::window::plot::picture::Dash;
    use crate::window::tokens::Tokens;
    use egui::{Align2, Vec2, pos2};

    #[test]
    fn marks_are_written() {
        let mut picture = Picture::new(Vec2::new(100.0, 50.0));
        let red = Tokens::LIGHT.danger;
        picture.line(vec![pos2(1.0, 2.0), pos2(3.25, 4.0)], red, 1.5, Dash::Dashed);
        picture.words(pos2(5.0, 6.0), Align2::RIGHT_CENTER, "a < b & c", red);
        let colors = [red, red, Tokens::LIGHT.sheet];
        let rect = Rect::from_min_size(pos2(0.0, 0.0), Vec2::new(30.0, 10.0));
        picture.marks.push(Mark::Cells { rect, columns: 3, colors: colors.into() });
        let svg = write(&picture, Tokens::LIGHT.sheet, "Test");
        assert!(svg.contains("points=\"1,2 3.25,4\" fill=\"none\" stroke=\"#b3261e\" stroke-width=\"1.5\" stroke-dasharray=\"7 4\""));
        assert!(svg.contains("text-anchor=\"end\"") && svg.contains("a &lt; b &amp; c"));
        // The two red cells are one rectangle of 20 by 10.
        assert!(svg.contains("width=\"20\" height=\"10\" fill=\"#b3261e\""));
        assert_eq!(svg.matches("<rect").count(), 3);
    }
}
