//! A sheet as DXF, release 12: the plainest form, which every drawing program reads. Millimeters, a layer for each pen
//! class, text as text.
//!
//! The form needs neither dates nor numbers of its own, so the same sheet gives the same bytes.

use crate::page_area;
use lineside_drawing::display_list::{Ends, Item, Shape, Text, Turned};
use lineside_drawing::geometry::Point;
use lineside_drawing::pen::{Ink, Pen};
use lineside_drawing::sheet::Drawing;
use std::fmt::Write;

/// Colors of the old index that every reader knows: 7 is black on white and white on black.
const fn index(pen: Pen) -> u8 {
    match pen {
        Pen::Bus(ink) | Pen::Run(ink) | Pen::Joint(ink) | Pen::Flag(ink) => match ink {
            Ink::Pv => 42,
            Ink::Battery => 134,
            Ink::Ac => 174,
            Ink::Earth => 94,
            Ink::Dead => 8,
        },
        Pen::Enclosure | Pen::Place | Pen::SoftText | Pen::Ghost => 8,
        Pen::Danger | Pen::Removed => 1,
        Pen::Correction => 30,
        Pen::Advice | Pen::Added => 5,
        Pen::Selection => 20,
        Pen::Frame | Pen::Symbol | Pen::Bond | Pen::Thin | Pen::Link | Pen::Text | Pen::Paper => 7,
    }
}

/// Name of the layer of a pen.
const fn layer(pen: Pen) -> &'static str {
    match pen {
        Pen::Frame => "FRAME",
        Pen::Bus(_) => "BUS",
        Pen::Run(Ink::Pv) => "RUN-PV",
        Pen::Run(Ink::Battery) => "RUN-BATTERY",
        Pen::Run(Ink::Ac) => "RUN-AC",
        Pen::Run(Ink::Earth) => "RUN-EARTH",
        Pen::Run(Ink::Dead) => "RUN-DEAD",
        Pen::Joint(_) => "JOINT",
        Pen::Flag(_) => "FLAG",
        Pen::Symbol => "SYMBOL",
        Pen::Bond => "BOND",
        Pen::Thin => "THIN",
        Pen::Link => "LINK",
        Pen::Enclosure => "ENCLOSURE",
        Pen::Place => "PLACE",
        Pen::Text => "TEXT",
        Pen::SoftText => "TEXT-SOFT",
        Pen::Paper => "PAPER",
        Pen::Danger => "DANGER",
        Pen::Correction => "CORRECTION",
        Pen::Advice => "ADVICE",
        Pen::Selection => "SELECTION",
        Pen::Ghost => "GHOST",
        Pen::Removed => "REMOVED",
        Pen::Added => "ADDED",
    }
}

/// Name of the line type of a pen.
const fn line_type(pen: Pen) -> &'static str {
    match pen {
        Pen::Run(Ink::Ac) => "LONG-DASH",
        Pen::Run(Ink::Earth) => "DASH",
        Pen::Enclosure => "DASH-DOT",
        Pen::Place => "DASH-DOT-DOT",
        Pen::Link | Pen::Selection | Pen::Ghost | Pen::Removed => "SHORT-DASH",
        Pen::Frame
        | Pen::Bus(_)
        | Pen::Run(Ink::Pv | Ink::Battery | Ink::Dead)
        | Pen::Joint(_)
        | Pen::Flag(_)
        | Pen::Symbol
        | Pen::Bond
        | Pen::Thin
        | Pen::Text
        | Pen::SoftText
        | Pen::Paper
        | Pen::Danger
        | Pen::Correction
        | Pen::Advice
        | Pen::Added => "CONTINUOUS",
    }
}

/// Pens whose patterns name the line types.
const PATTERNED: [Pen; 5] = [Pen::Run(Ink::Ac), Pen::Run(Ink::Earth), Pen::Enclosure, Pen::Place, Pen::Link];

struct Dxf {
    out: String,
    /// Left and lower edge of the page, mm: there y runs upward.
    origin: Point,
}

/// Writes a sheet.
pub fn write(drawing: &Drawing) -> String {
    let area = page_area(drawing);
    let mut dxf = Dxf { out: String::with_capacity(64 * 1024), origin: Point::new(area.left, area.bottom) };
    dxf.header(area.width(), area.height());
    dxf.tables();
    dxf.pair(0, "SECTION");
    dxf.pair(2, "ENTITIES");
    for item in drawing.list.items() {
        dxf.item(item);
    }
    dxf.pair(0, "ENDSEC");
    dxf.pair(0, "EOF");
    dxf.out
}

impl Dxf {
    /// A group code and its value, a line each.
    fn pair(&mut self, code: u16, value: &str) {
        let _ = write!(self.out, "{code:>3}\r\n{value}\r\n");
    }
    fn whole(&mut self, code: u16, value: usize) {
        self.pair(code, &value.to_string());
    }
    fn number(&mut self, code: u16, value: f32) {
        // Thousandths of a millimeter are finer than any plotter; adding zero turns a negative zero into a plain one.
        let thousandths = (f64::from(value) * 1000.0).round();
        self.pair(code, &format!("{:.3}", thousandths / 1000.0 + 0.0));
    }
    fn at(&mut self, code: u16, point: Point) {
        self.number(code, point.x - self.origin.x);
        self.number(code + 10, self.origin.y - point.y);
    }

    fn header(&mut self, width: f32, height: f32) {
        self.pair(0, "SECTION");
        self.pair(2, "HEADER");
        self.pair(9, "$ACADVER");
        self.pair(1, "AC1009");
        self.pair(9, "$EXTMIN");
        self.number(10, 0.0);
        self.number(20, 0.0);
        self.pair(9, "$EXTMAX");
        self.number(10, width);
        self.number(20, height);
        self.pair(0, "ENDSEC");
    }

    fn tables(&mut self) {
        self.pair(0, "SECTION");
        self.pair(2, "TABLES");
        self.line_types();
        let mut layers: Vec<(&str, Pen)> = Vec::new();
        for pen in Pen::ALL {
            if !layers.iter().any(|(name, _)| *name == layer(pen)) {
                layers.push((layer(pen), pen));
            }
        }
        self.table("LAYER", layers.len());
        for (name, pen) in layers {
            self.pair(0, "LAYER");
            self.pair(2, name);
            self.pair(70, "0");
            self.whole(62, usize::from(index(pen)));
            self.pair(6, line_type(pen));
        }
        self.pair(0, "ENDTAB");
        self.table("STYLE", 1);
        self.pair(0, "STYLE");
        self.pair(2, "STANDARD");
        self.pair(70, "0");
        self.pair(40, "0");
        self.pair(41, "1");
        self.pair(50, "0");
        self.pair(71, "0");
        self.pair(42, "2.5");
        self.pair(3, "arial.ttf");
        self.pair(4, "");
        self.pair(0, "ENDTAB");
        self.pair(0, "ENDSEC");
    }

    fn table(&mut self, name: &str, entries: usize) {
        self.pair(0, "TABLE");
        self.pair(2, name);
        self.whole(70, entries);
    }

    fn line_types(&mut self) {
        self.table("LTYPE", PATTERNED.len() + 1);
        self.line_type("CONTINUOUS", "whole line", &[]);
        for pen in PATTERNED {
            self.line_type(line_type(pen), "by its pen class", pen.pattern());
        }
        self.pair(0, "ENDTAB");
    }

    fn line_type(&mut self, name: &str, words: &str, pattern: &[f32]) {
        self.pair(0, "LTYPE");
        self.pair(2, name);
        self.pair(70, "0");
        self.pair(3, words);
        self.pair(72, "65");
        self.whole(73, pattern.len());
        self.number(40, pattern.iter().sum());
        for (place, length) in pattern.iter().enumerate() {
            // Gaps are below zero.
            self.number(49, if place % 2 == 0 { *length } else { -*length });
        }
    }

    fn begin(&mut self, entity: &str, pen: Pen) {
        self.pair(0, entity);
        self.pair(8, layer(pen));
        self.whole(62, usize::from(index(pen)));
    }

    fn item(&mut self, item: &Item) {
        let pen = item.pen;
        // What covers what lies behind is for painters; a plotter has no paper color.
        if pen == Pen::Paper {
            return;
        }
        match &item.shape {
            Shape::Polyline { points, ends } => self.polyline(points, *ends, pen),
            Shape::Polygon { points } => self.solids(points, pen),
            Shape::Circle { center, radius } => self.circle(*center, *radius, pen),
            Shape::Disc { center, radius } => {
                self.circle(*center, *radius, pen);
                self.disc(*center, *radius, pen);
            }
            Shape::Arc { center, radius, start, sweep } => {
                self.begin("ARC", pen);
                self.at(10, *center);
                self.number(40, *radius);
                // Here angles run against the clock, on the sheet with it.
                self.number(50, f32::from(-(start + sweep)).rem_euclid(360.0));
                self.number(51, f32::from(-start).rem_euclid(360.0));
            }
            Shape::Text(text) => self.text(text, pen),
        }
    }

    fn polyline(&mut self, points: &[Point], ends: Ends, pen: Pen) {
        self.begin("POLYLINE", pen);
        self.pair(66, "1");
        self.pair(70, if ends == Ends::Joined { "1" } else { "0" });
        let width = pen.width_mm();
        self.number(40, width);
        self.number(41, width);
        for point in points {
            self.begin("VERTEX", pen);
            self.at(10, *point);
        }
        self.begin("SEQEND", pen);
    }

    fn circle(&mut self, center: Point, radius: f32, pen: Pen) {
        self.begin("CIRCLE", pen);
        self.at(10, center);
        self.number(40, radius);
    }

    /// A filled circle: a closed line of two half circles as wide as its radius.
    fn disc(&mut self, center: Point, radius: f32, pen: Pen) {
        self.begin("POLYLINE", pen);
        self.pair(66, "1");
        self.pair(70, "1");
        self.number(40, radius);
        self.number(41, radius);
        for side in [-0.5, 0.5] {
            self.begin("VERTEX", pen);
            self.at(10, center.moved(side * radius, 0.0));
            self.pair(42, "1");
        }
        self.begin("SEQEND", pen);
    }

    /// A convex figure as triangles.
    fn solids(&mut self, points: &[Point], pen: Pen) {
        let Some((first, rest)) = points.split_first() else { return };
        for pair in rest.windows(2) {
            let [second, third] = pair else { continue };
            self.begin("SOLID", pen);
            self.at(10, *first);
            self.at(11, *second);
            self.at(12, *third);
            self.at(13, *third);
        }
    }

    fn text(&mut self, text: &Text, pen: Pen) {
        self.begin("TEXT", pen);
        self.at(10, text.origin());
        self.number(40, text.height);
        self.pair(1, &plain(&text.content));
        if text.turned == Turned::FromRight {
            self.pair(50, "90");
        }
    }
}

/// Letters beyond ASCII as the format writes them; control characters, which it cannot hold, are left out.
fn plain(text: &str) -> String {
    let mut out = String::with_capacity(text.len());
    for letter in text.chars() {
        match letter {
            letter if letter.is_control() => {}
            letter if letter.is_ascii() => out.push(letter),
            letter => {
                let mut units = [0; 2];
                for unit in letter.encode_utf16(&mut units) {
                    let _ = write!(out, "\\U+{unit:04X}");
                }
            }
        }
    }
    out
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn letters_beyond_ascii_are_escaped() {
        assert_eq!(plain("10 mm² Ω\u{7}"), "10 mm\\U+00B2 \\U+03A9");
    }

    #[test]
    fn every_patterned_pen_has_its_line_type() {
        for pen in Pen::ALL {
            let named = PATTERNED.iter().find(|it| line_type(**it) == line_type(pen));
            match named {
                Some(named) => assert_eq!(named.pattern(), pen.pattern(), "{pen:?}"),
                None => assert!(pen.pattern().is_empty(), "{pen:?}"),
            }
        }
    }
}
