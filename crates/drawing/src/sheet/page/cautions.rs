//! Cautions, on every printed sheet.

use super::press::{HEADING, PLAIN, Press};
use crate::display_list::Along;
use crate::geometry::{Area, Point};

const LINES: [&str; 5] = [
    "Shock: strings are live in any light, batteries always. Isolate, lock and prove dead before you touch.",
    "Arc: a DC arc does not go out by itself. Open no connector and no isolating device under load.",
    "Battery: charging gives off explosive gas; electrolyte burns skin and eyes. Ventilate, and keep sparks away.",
    "Lithium batteries can burn, and burn again. Keep to the maker's limits of charge, current and temperature.",
    "Verify in the field. Local codes, the equipment's manuals and a licensed professional come first.",
];

pub(super) fn print(press: &mut Press, area: Area) {
    let left = area.left + 2.5;
    press.words(HEADING, Point::new(left, area.top + 4.0), Along::Start, "Caution");
    let mut baseline = area.top + 7.0;
    for line in LINES {
        press.fitted(PLAIN, Point::new(left, baseline), area.width() - 5.0, line);
        baseline += 2.7;
    }
}
