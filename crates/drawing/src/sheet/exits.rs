//! Off-sheet references: the flags at which runs leave for another sheet, each with the run's tag, the sheet and the zone
//! in which it goes on, and the block to which it leads.

use crate::display_list::{
    Across, Along, Behind, Ends, Group, Item, Layer, Shape, Subject, Text, Turned, Weight,
};
use crate::geometry::Point;
use crate::label::SMALL_HEIGHT;
use crate::metrics;
use crate::pen::Pen;
use crate::sheets::Exit;
use lineside_core::circuit::RunId;

/// Length of the arrow's head, mm.
const HEAD: f32 = 1.9;
/// Between the sides of the flag and its words, mm.
const INSET: f32 = 1.1;
/// Between the tag and what follows, mm.
const SPACE: f32 = 1.3;

/// How long a flag with these words is, mm.
pub(crate) fn length(tag: &str, onward: &str) -> f32 {
    let long = |words: &str, weight| metrics::length(words, weight, SMALL_HEIGHT);
    HEAD + 2.0 * INSET + long(tag, Weight::Strong) + SPACE + long(onward, Weight::Regular)
}

/// The flag: an arrow that points off the sheet, with its words in it.
pub(super) fn flag(run: RunId, exit: &Exit) -> Group {
    let subject = Subject::Run(run);
    let (area, tip) = (exit.area(), exit.tip());
    let points_right = tip.x >= area.right;
    let shoulder = if points_right { area.right - HEAD } else { area.left + HEAD };
    let base = if points_right { area.left } else { area.right };
    let outline = [
        Point::new(base, area.top),
        Point::new(shoulder, area.top),
        tip,
        Point::new(shoulder, area.bottom),
        Point::new(base, area.bottom),
    ];
    let words = |x: f32, weight, content: &str| {
        Shape::Text(Text {
            anchor: Point::new(x, area.center().y),
            along: Along::Start,
            across: Across::Middle,
            height: SMALL_HEIGHT,
            weight,
            turned: Turned::Upright,
            behind: Behind::Clear,
            content: content.to_owned(),
        })
    };
    let start = base.min(shoulder) + INSET;
    let after = start + metrics::length(&exit.tag, Weight::Strong, SMALL_HEIGHT) + SPACE;
    let item = |pen, shape| Item { subject, pen, shape };
    let items = vec![
        item(Pen::Thin, Shape::Polyline { points: outline.into(), ends: Ends::Joined }),
        item(Pen::Text, words(start, Weight::Strong, &exit.tag)),
        item(Pen::Text, words(after, Weight::Regular, &exit.onward)),
    ];
    Group::new(subject, Layer::Words, items)
}
