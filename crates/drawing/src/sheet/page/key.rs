//! The key: what the lines, the marks and the symbols on this sheet mean; each that is used, and no other.

use super::press::{HEADING, NOTE, PLAIN, Press};
use super::rescale;
use crate::display_list::{Along, Ends, Layer, Shape, Subject};
use crate::geometry::{Area, Point, STEP_MM};
use crate::label::SMALL_HEIGHT;
use crate::pen::{Ink, Pen};
use crate::sheet::look::MarkShape;
use crate::sheet::{Drawing, Look, ink, marks, strokes};
use crate::sheets::Scope;
use crate::symbols::{self, Style, SymbolId};
use lineside_core::circuit::Block;
use lineside_core::project::Project;
use std::collections::{BTreeMap, BTreeSet};

/// Width of the part with lines and marks, mm.
const LINES: f32 = 50.0;
/// Fewest and most columns of symbols. Fewer are wider, so that their words stand on one line.
const COLUMNS: std::ops::RangeInclusive<usize> = 3..=4;
/// The box in which a symbol of the key is drawn, mm.
const BOX: (f32, f32) = (11.0, 7.6);
/// From one symbol down to the next, and the least, mm.
const PITCH: f32 = BOX.1 + 1.4;
const LEAST_PITCH: f32 = 6.6;
/// From one sample of a line to the next, mm.
const LINE_PITCH: f32 = 3.9;
/// Between the words of the key and its frame, mm.
const INSET: f32 = 2.5;

/// What the key is of.
#[derive(Clone, Copy)]
pub(super) struct Shown<'a> {
    pub project: &'a Project,
    pub look: &'a Look,
    pub scope: Scope<'a>,
    pub drawing: &'a Drawing,
}

pub(super) fn print(press: &mut Press, area: Area, shown: &Shown<'_>) {
    press.words(HEADING, Point::new(area.left + INSET, area.top + 4.6), Along::Start, "Key");
    let lines = Area { right: area.left + LINES, top: area.top + 6.0, ..area };
    let baseline = line_samples(press, lines, shown);
    mark_samples(press, Area { top: baseline, ..lines }, shown.look);
    let symbols = Area { left: lines.right, right: area.right - INSET, ..area };
    press.words(NOTE, Point::new(symbols.right, area.top + 4.6), Along::End, shown.look.form.label());
    symbol_samples(press, Area { top: area.top + 6.0, bottom: area.bottom - 1.0, ..symbols }, shown);
}

/// A sample of every pen on the sheet that has a meaning; gives back where it ends.
fn line_samples(press: &mut Press, area: Area, shown: &Shown<'_>) -> f32 {
    let used: BTreeSet<Pen> = shown.drawing.list.items().map(|item| item.pen).collect();
    let runs = Ink::ALL.map(|ink| (Pen::Run(ink), ink.label()));
    let others =
        [(Pen::Place, "Location"), (Pen::Enclosure, "Enclosure"), (Pen::Link, "Mechanical link, control")];
    let mut y = area.top + 2.0;
    let room = area.width() - 18.5;
    let words = |press: &mut Press, y: f32, label: &str| {
        press.folded(PLAIN, Point::new(area.left + 18.5, y), room, label);
    };
    for (pen, label) in runs.into_iter().chain(others).filter(|(pen, _)| used.contains(pen)) {
        // As long as the longest pattern, so that it shows.
        press.line(pen, Point::new(area.left + INSET, y), Point::new(area.left + 16.5, y));
        words(press, y, label);
        y += LINE_PITCH;
    }
    if strokes_are_used(shown.drawing) {
        let (left, right) = (Point::new(area.left + INSET, y), Point::new(area.left + 16.5, y));
        press.line(Pen::Symbol, left, right);
        for (pen, shape) in strokes::sample(Point::new(f32::midpoint(left.x, right.x) - 1.4, y)) {
            press.put(pen, shape);
        }
        words(press, y, "Lines, neutral, ground");
        y += LINE_PITCH;
    }
    if shown.scope.exits().next().is_some() {
        let (left, right) = (area.left + INSET, area.left + 16.5);
        let arrow = [(left, -1.3), (right - 1.3, -1.3), (right, 0.0), (right - 1.3, 1.3), (left, 1.3)];
        let points = arrow.map(|(x, down)| Point::new(x, y + down)).into();
        press.put(Pen::Thin, Shape::Polyline { points, ends: Ends::Joined });
        words(press, y, "Goes on at sheet, zone");
        y += LINE_PITCH;
    }
    y
}

fn strokes_are_used(drawing: &Drawing) -> bool {
    let words = drawing.list.groups.iter().filter(|group| group.layer == Layer::Words);
    words.flat_map(|group| &group.items).any(|item| matches!(item.pen, Pen::Flag(_)))
}

fn mark_samples(press: &mut Press, area: Area, look: &Look) {
    let used: BTreeSet<MarkShape> = look.marks.iter().map(|mark| mark.shape).collect();
    let samples = [
        (MarkShape::Triangle, Pen::Danger, "Danger"),
        (MarkShape::Square, Pen::Correction, "Correction"),
        (MarkShape::Circle, Pen::Advice, "Advice"),
    ];
    let mut y = area.top;
    for (shape, pen, label) in samples.into_iter().filter(|(shape, ..)| used.contains(shape)) {
        let place = Area::around(Point::new(area.left + 9.5, y), marks::SIDE, marks::SIDE);
        for item in marks::figure(place, shape, pen, Subject::Sheet) {
            press.put(item.pen, item.shape);
        }
        press.folded(PLAIN, Point::new(area.left + 18.5, y), area.width() - 18.5, label);
        y += LINE_PITCH;
    }
}

fn symbol_samples(press: &mut Press, area: Area, shown: &Shown<'_>) {
    let mut used: BTreeMap<SymbolId, &Block> = BTreeMap::new();
    for block in shown.project.circuit.blocks().filter(|block| shown.scope.has(block.id)) {
        used.entry(symbols::id_of(&block.equipment)).or_insert(block);
    }
    let rows_of = |columns: usize| used.len().div_ceil(columns).max(1);
    let fits = |columns: &usize| rows_of(*columns) as f32 * LEAST_PITCH <= area.height();
    let columns = COLUMNS.into_iter().find(fits).unwrap_or(*COLUMNS.end());
    let rows = rows_of(columns);
    let pitch = (area.height() / rows as f32).min(PITCH);
    let width = area.width() / columns as f32;
    for (place, (id, block)) in used.into_iter().enumerate() {
        let (column, row) = (place / rows, place % rows);
        let corner = Point::new(area.left + column as f32 * width, area.top + row as f32 * pitch);
        let height = BOX.1.min(pitch - 0.6);
        let room = Area::at(corner.moved(1.0, (pitch - height) / 2.0), BOX.0, height);
        symbol(press, room, block, shown.look);
        let words = Point::new(room.right + 1.6, room.center().y);
        press.folded(PLAIN, words, corner.x + width - words.x - 0.5, id.label());
    }
}

/// A symbol made to fit a box. Its letters are not made smaller than may be printed.
fn symbol(press: &mut Press, room: Area, block: &Block, look: &Look) {
    let symbol = symbols::of(block, Style { form: look.form, bar: ink::of_bar(look, block) });
    let size = symbol.outline.size;
    let (width, height) = (size.x as f32 * STEP_MM, size.y as f32 * STEP_MM);
    let scale = (room.width() / width).min(room.height() / height).min(1.0);
    let (middle, center) = (room.center(), Point::new(width / 2.0, height / 2.0));
    let point =
        |at: Point| Point::new(middle.x + (at.x - center.x) * scale, middle.y + (at.y - center.y) * scale);
    // The numbers of a large block's ways would lie on each other.
    let is_small = scale > 0.5;
    for stroke in symbol.strokes.into_iter().filter(|stroke| stroke.only_with.is_none()) {
        let mut shape = stroke.shape;
        // Bars keep their ink but not their weight beside small symbols.
        let pen =
            if let (Pen::Bus(ink), false) = (stroke.pen, is_small) { Pen::Run(ink) } else { stroke.pen };
        rescale(&mut shape, scale, point);
        if let Shape::Text(text) = &mut shape {
            text.height = SMALL_HEIGHT;
            if !is_small {
                continue;
            }
        }
        press.put(pen, shape);
    }
}
