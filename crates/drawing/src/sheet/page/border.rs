//! The border: frame, centering marks, and the zones by which a place on the sheet is named.

use super::PaperSize;
use super::press::{Lettering, Press};
use crate::display_list::{Along, Weight};
use crate::geometry::{Area, Point};
use crate::pen::Pen;

/// Length of a zone, mm.
const ZONE: f32 = 50.0;
/// Width of the strip in which zones are named, mm.
const STRIP: f32 = 5.0;
/// How far centering marks reach inside the frame, mm: no farther than the circuit keeps clear of it.
const REACH: f32 = super::CLEAR - 0.3;
const NAME: Lettering = Lettering { pen: Pen::SoftText, height: 2.5, weight: Weight::Regular };
/// Letters of zones from the top; I and O are left out.
const LETTERS: [&str; 24] = [
    "A", "B", "C", "D", "E", "F", "G", "H", "J", "K", "L", "M", "N", "P", "Q", "R", "S", "T", "U", "V", "W",
    "X", "Y", "Z",
];

pub(super) fn print(press: &mut Press, size: PaperSize) {
    let frame = size.frame();
    let outer = frame.grown(STRIP);
    press.rectangle(Pen::Frame, frame);
    press.rectangle(Pen::Thin, outer);
    let middle = frame.center();
    for (from, to) in [
        (Point::new(middle.x, outer.top), Point::new(middle.x, frame.top + REACH)),
        (Point::new(middle.x, outer.bottom), Point::new(middle.x, frame.bottom - REACH)),
        (Point::new(outer.left, middle.y), Point::new(frame.left + REACH, middle.y)),
        (Point::new(outer.right, middle.y), Point::new(frame.right - REACH, middle.y)),
    ] {
        press.line(Pen::Frame, from, to);
    }
    columns(press, frame, outer);
    rows(press, frame, outer);
}

/// Where zones end along a side, counted from its middle so that both halves are equal.
fn cuts(low: f32, high: f32) -> Vec<f32> {
    let middle = f32::midpoint(low, high);
    let half: Vec<f32> = (0..12_u8)
        .map(|zone| f32::from(zone) * ZONE)
        // A rest shorter than half a zone joins the zone beside it.
        .take_while(|away| *away == 0.0 || middle + away < high - ZONE / 2.0)
        .collect();
    let mut cuts: Vec<f32> = half.iter().rev().map(|away| middle - away).collect();
    cuts.extend(half.iter().skip(1).map(|away| middle + away));
    cuts
}

/// The zone in which a point of a sheet lies: `C4`.
pub(crate) fn zone_at(size: PaperSize, at: Point) -> String {
    let frame = size.frame();
    let before = |cuts: Vec<f32>, here: f32| cuts.into_iter().filter(|cut| *cut <= here).count();
    let row = before(cuts(frame.top, frame.bottom), at.y);
    let letter = LETTERS.get(row).copied().unwrap_or("Z");
    format!("{letter}{}", before(cuts(frame.left, frame.right), at.x) + 1)
}

fn columns(press: &mut Press, frame: Area, outer: Area) {
    let cuts = cuts(frame.left, frame.right);
    let mut start = frame.left;
    for (number, end) in (1..).zip(cuts.iter().copied().chain([frame.right])) {
        for (edge, rim) in [(frame.top, outer.top), (frame.bottom, outer.bottom)] {
            if end < frame.right {
                press.line(Pen::Thin, Point::new(end, edge), Point::new(end, rim));
            }
            let at = Point::new(f32::midpoint(start, end), f32::midpoint(edge, rim) + NAME.height / 2.0);
            press.words(NAME, at, Along::Middle, &format!("{number}"));
        }
        start = end;
    }
}

fn rows(press: &mut Press, frame: Area, outer: Area) {
    let cuts = cuts(frame.top, frame.bottom);
    let mut start = frame.top;
    for (letter, end) in LETTERS.iter().zip(cuts.iter().copied().chain([frame.bottom])) {
        for (edge, rim) in [(frame.left, outer.left), (frame.right, outer.right)] {
            if end < frame.bottom {
                press.line(Pen::Thin, Point::new(edge, end), Point::new(rim, end));
            }
            let at = Point::new(f32::midpoint(edge, rim), f32::midpoint(start, end) + NAME.height / 2.0);
            press.words(NAME, at, Along::Middle, letter);
        }
        start = end;
    }
}
