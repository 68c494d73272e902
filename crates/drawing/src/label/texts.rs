//! The texts of the words whose spots were found: columns of lines, and flags of runs.

use super::arrange::{FlagSpot, Spot};
use super::{Flag, SMALL_HEIGHT, SMALL_PITCH};
use crate::display_list::{Across, Along, Text, Turned, Weight};

/// The texts of a column of lines.
pub(crate) fn texts(
    spot: Spot,
    lines: impl IntoIterator<Item = String>,
    (height, pitch): (f32, f32),
    weight: Weight,
) -> impl Iterator<Item = Text> {
    let step = move |line: usize| line as f32 * pitch;
    lines.into_iter().enumerate().map(move |(line, content)| Text {
        anchor: match spot.turned {
            Turned::Upright => spot.anchor.moved(0.0, step(line)),
            Turned::FromRight => spot.anchor.moved(step(line), 0.0),
        },
        along: spot.along,
        across: Across::Baseline,
        height,
        weight,
        turned: spot.turned,
        behind: spot.behind,
        content,
    })
}

/// The texts of a flag: its tag strong, the rest regular.
pub(crate) fn flag_texts(place: FlagSpot, flag: Flag) -> Vec<Text> {
    let spot = place.spot;
    let text = |anchor, along, weight, content: String| Text {
        anchor,
        along,
        across: Across::Baseline,
        height: SMALL_HEIGHT,
        weight,
        turned: spot.turned,
        behind: spot.behind,
        content,
    };
    let Some(width) = place.width else {
        return vec![text(spot.anchor, spot.along, Weight::Strong, flag.tag)];
    };
    // The lines of a flag stand flush left, wherever the whole is aligned.
    let back = match spot.along {
        Along::Start => 0.0,
        Along::Middle => width / 2.0,
        Along::End => width,
    };
    let at = |along: f32, line: usize| {
        let down = line as f32 * SMALL_PITCH;
        match spot.turned {
            Turned::Upright => spot.anchor.moved(along - back, down),
            Turned::FromRight => spot.anchor.moved(down, back - along),
        }
    };
    let lines = flag.lines(width);
    let mut texts = Vec::with_capacity(1 + lines.len());
    texts.push(text(at(0.0, 0), Along::Start, Weight::Strong, flag.tag));
    for (line, content) in lines.into_iter().enumerate() {
        let along = if line == 0 { flag.extent.tag } else { 0.0 };
        if !content.is_empty() {
            texts.push(text(at(along, line), Along::Start, Weight::Regular, content));
        }
    }
    texts
}
