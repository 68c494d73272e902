//! The list of sheets, above the key of the first one.

use super::press::{ENTRY, HEADING, Lettering, Press};
use crate::display_list::{Along, Weight};
use crate::geometry::{Area, Point};
use crate::pen::Pen;

/// Height of the heading and of each row, mm.
const CAPTION: f32 = 5.4;
const ROW: f32 = 4.0;
/// Least width of a column, mm.
const COLUMN: f32 = 60.0;
/// Width of the numbers, mm.
const NUMBERS: f32 = 8.0;
const INSET: f32 = 2.5;
const CELL: Lettering = Lettering { height: 2.0, ..ENTRY };

#[expect(clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "a few columns")]
fn columns(width: f32) -> usize {
    ((width / COLUMN) as usize).max(1)
}

/// How high the list is; nothing when there is nothing to be listed.
pub(super) fn height(width: f32, titles: &[String]) -> f32 {
    match titles.len() {
        0 => 0.0,
        count => CAPTION + ROW * count.div_ceil(columns(width)) as f32 + 1.0,
    }
}

pub(super) fn print(press: &mut Press, area: Area, titles: &[String]) {
    if titles.is_empty() {
        return;
    }
    press.rectangle(Pen::Thin, area);
    press.words(HEADING, Point::new(area.left + INSET, area.top + 4.2), Along::Start, "Sheets");
    let columns = columns(area.width());
    let rows = titles.len().div_ceil(columns);
    let width = (area.width() - INSET) / columns as f32;
    for (place, title) in titles.iter().enumerate() {
        let left = area.left + INSET + width * (place / rows) as f32;
        let baseline = area.top + CAPTION + ROW * (place % rows + 1) as f32 - 1.2;
        let number = Lettering { weight: Weight::Strong, ..CELL };
        press.words(number, Point::new(left, baseline), Along::Start, &(place + 1).to_string());
        let words = Point::new(left + NUMBERS, baseline);
        press.fitted(CELL, words, width - NUMBERS - INSET, title);
    }
}
