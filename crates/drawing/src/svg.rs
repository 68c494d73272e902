//! Writes a drawing as SVG. The same drawing gives the same bytes; text stays text. The only place in this
//! crate that knows colors.

use crate::display_list::{Behind, Ends, Item, Shape, Text, Turned, Weight};
use crate::geometry::{Area, Point};
use crate::pen::{Ink, Pen};
use crate::sheet::Drawing;
use std::fmt::Write;

/// A color: red, green, blue.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub struct Rgb(pub u8, pub u8, pub u8);

/// The colors of a page.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Palette {
    /// Paper.
    pub paper: Rgb,
    /// Lines and words.
    pub ink: Rgb,
    /// Words that matter less, outlines.
    pub soft: Rgb,
    /// Selection.
    pub accent: Rgb,
    /// The array side.
    pub pv: Rgb,
    /// The battery bus.
    pub battery: Rgb,
    /// Alternating current.
    pub ac: Rgb,
    /// Grounding.
    pub earth: Rgb,
    /// Dead conductors.
    pub dead: Rgb,
    /// Dangers, and what was removed.
    pub danger: Rgb,
    /// Corrections.
    pub correction: Rgb,
    /// Advice, and what was added.
    pub advice: Rgb,
}

impl Palette {
    /// The inks of the light window on its warm paper.
    pub const SHEET: Self = Self {
        paper: Rgb(0xF7, 0xF3, 0xEA),
        ink: Rgb(0x1C, 0x27, 0x33),
        soft: Rgb(0x5A, 0x65, 0x70),
        accent: Rgb(0xA8, 0x4B, 0x20),
        pv: Rgb(0x8A, 0x5E, 0x00),
        battery: Rgb(0x0B, 0x65, 0x62),
        ac: Rgb(0x46, 0x3A, 0x9B),
        earth: Rgb(0x2F, 0x6B, 0x33),
        dead: Rgb(0xA8, 0xA2, 0x94),
        danger: Rgb(0xB3, 0x26, 0x1E),
        correction: Rgb(0x8F, 0x4E, 0x00),
        advice: Rgb(0x23, 0x59, 0x8A),
    };
    /// The same inks on white paper, for printing.
    pub const PRINT: Self = Self { paper: Rgb(0xFF, 0xFF, 0xFF), ..Self::SHEET };

    /// The color of a pen.
    pub const fn color(&self, pen: Pen) -> Rgb {
        match pen {
            Pen::Bus(ink) | Pen::Run(ink) | Pen::Joint(ink) | Pen::Flag(ink) => match ink {
                Ink::Pv => self.pv,
                Ink::Battery => self.battery,
                Ink::Ac => self.ac,
                Ink::Earth => self.earth,
                Ink::Dead => self.dead,
            },
            Pen::Frame | Pen::Symbol | Pen::Bond | Pen::Thin | Pen::Link | Pen::Text => self.ink,
            Pen::Enclosure | Pen::Place | Pen::SoftText | Pen::Ghost => self.soft,
            Pen::Paper => self.paper,
            Pen::Danger | Pen::Removed => self.danger,
            Pen::Correction => self.correction,
            Pen::Advice | Pen::Added => self.advice,
            Pen::Selection => self.accent,
        }
    }
}

/// Between the drawing and the edge of a picture without paper, mm.
const MARGIN: f32 = 5.0;

/// Writes a drawing. `title` names it for people and for assistive technology.
pub fn write(drawing: &Drawing, palette: &Palette, title: &str) -> String {
    let area = match drawing.paper {
        Some(paper) => paper.size.area(),
        None if drawing.bounds.is_nothing() => Area::around(Point::new(0.0, 0.0), 10.0, 10.0),
        None => drawing.bounds.grown(MARGIN),
    };
    let mut svg = Svg { out: String::with_capacity(4096), palette };
    svg.head(area, title);
    for item in drawing.list.items() {
        svg.item(item);
    }
    svg.out.push_str("</g>\n</svg>\n");
    svg.out
}

struct Svg<'a> {
    out: String,
    palette: &'a Palette,
}

/// Writing into a string cannot fail.
macro_rules! put {
    ($svg:expr, $($words:tt)*) => { let _ = write!($svg.out, $($words)*); };
}

impl Svg<'_> {
    fn head(&mut self, area: Area, title: &str) {
        let (x, y, w, h) = (mm(area.left), mm(area.top), mm(area.width()), mm(area.height()));
        put!(
            self,
            "<svg xmlns=\"http://www.w3.org/2000/svg\" width=\"{w}mm\" height=\"{h}mm\" \
             viewBox=\"{x} {y} {w} {h}\" role=\"img\" aria-labelledby=\"title\">\n"
        );
        put!(self, "<title id=\"title\">{}</title>\n", escaped(title));
        let paper = hex(self.palette.paper);
        put!(self, "<rect x=\"{x}\" y=\"{y}\" width=\"{w}\" height=\"{h}\" fill=\"{paper}\"/>\n");
        // A family name with a digit in it must be quoted inside the attribute.
        self.out.push_str(
            "<g font-family=\"'Source Sans 3', sans-serif\" stroke-linecap=\"round\" stroke-linejoin=\"round\">\n",
        );
    }

    fn item(&mut self, item: &Item) {
        match &item.shape {
            Shape::Polyline { points, ends } => {
                self.out.push_str("<path d=\"");
                self.corners(points);
                if *ends == Ends::Joined {
                    self.out.push('Z');
                }
                self.out.push('"');
                self.stroke(item.pen);
            }
            Shape::Polygon { points } => {
                self.out.push_str("<path d=\"");
                self.corners(points);
                self.out.push_str("Z\"");
                self.fill(item.pen);
            }
            Shape::Circle { center, radius } => {
                put!(self, "<circle cx=\"{}\" cy=\"{}\" r=\"{}\"", mm(center.x), mm(center.y), mm(*radius));
                self.stroke(item.pen);
            }
            Shape::Disc { center, radius } => {
                put!(self, "<circle cx=\"{}\" cy=\"{}\" r=\"{}\"", mm(center.x), mm(center.y), mm(*radius));
                self.fill(item.pen);
            }
            Shape::Arc { center, radius, start, sweep } => {
                let from = crate::geometry::on_circle(*center, *radius, *start);
                let to = crate::geometry::on_circle(*center, *radius, start + sweep);
                let large = u8::from(*sweep > 180);
                put!(
                    self,
                    "<path d=\"M{} {}A{r} {r} 0 {large} 1 {} {}\"",
                    mm(from.x),
                    mm(from.y),
                    mm(to.x),
                    mm(to.y),
                    r = mm(*radius)
                );
                self.stroke(item.pen);
            }
            Shape::Text(text) => self.text(text, item.pen),
        }
    }

    fn corners(&mut self, points: &[Point]) {
        for (corner, point) in points.iter().enumerate() {
            put!(self, "{}{} {}", if corner == 0 { 'M' } else { 'L' }, mm(point.x), mm(point.y));
        }
    }

    fn stroke(&mut self, pen: Pen) {
        let color = hex(self.palette.color(pen));
        put!(self, " fill=\"none\" stroke=\"{color}\" stroke-width=\"{}\"", mm(pen.width_mm()));
        let pattern = pen.pattern();
        if !pattern.is_empty() {
            // Round ends would eat the gaps of a pattern.
            self.out.push_str(" stroke-linecap=\"butt\" stroke-dasharray=\"");
            for (place, length) in pattern.iter().enumerate() {
                put!(self, "{}{}", if place == 0 { "" } else { " " }, mm(*length));
            }
            self.out.push('"');
        }
        self.out.push_str("/>\n");
    }

    fn fill(&mut self, pen: Pen) {
        put!(self, " fill=\"{}\"/>\n", hex(self.palette.color(pen)));
    }

    fn text(&mut self, text: &Text, pen: Pen) {
        if text.behind == Behind::Patch {
            let area = text.bounds();
            let (x, y) = (mm(area.left), mm(area.top));
            put!(
                self,
                "<rect x=\"{x}\" y=\"{y}\" width=\"{}\" height=\"{}\"",
                mm(area.width()),
                mm(area.height())
            );
            self.fill(Pen::Paper);
        }
        let origin = text.origin();
        let (x, y) = (mm(origin.x), mm(origin.y));
        put!(self, "<text x=\"{x}\" y=\"{y}\" font-size=\"{}\"", mm(text.em()));
        if text.weight == Weight::Strong {
            self.out.push_str(" font-weight=\"600\"");
        }
        if text.turned == Turned::FromRight {
            put!(self, " transform=\"rotate(-90 {x} {y})\"");
        }
        let color = hex(self.palette.color(pen));
        put!(self, " fill=\"{color}\">{}</text>\n", escaped(&text.content));
    }
}

/// Thousandths of a millimeter are finer than any printer.
fn mm(value: f32) -> String {
    let thousandths = (f64::from(value) * 1000.0).round();
    // Adding zero turns a negative zero into a plain one.
    let text = format!("{:.3}", thousandths / 1000.0 + 0.0);
    let text = text.trim_end_matches('0').trim_end_matches('.');
    if text.is_empty() || text == "-0" { "0".to_owned() } else { text.to_owned() }
}

fn hex(Rgb(red, green, blue): Rgb) -> String {
    format!("#{red:02X}{green:02X}{blue:02X}")
}

/// With what XML would take for its own written out; control characters, which it cannot hold, are left out.
fn escaped(text: &str) -> String {
    let mut out = String::with_capacity(text.len());
    for character in text.chars() {
        match character {
            '&' => out.push_str("&amp;"),
            '<' => out.push_str("&lt;"),
            '>' => out.push_str("&gt;"),
            '"' => out.push_str("&quot;"),
            other if other.is_control() => {}
            other => out.push(other),
        }
    }
    out
}
