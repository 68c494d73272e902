//! Blocks: their symbols where they stand, and their words.

use super::kept::KeptBlock;
use crate::display_list::{Group, Item, Layer, Shape, Subject, Weight};
use crate::geometry::Facing;
use crate::label::{BlockSpots, BlockWords, Path, SMALL_HEIGHT, SMALL_PITCH, Spot, TAG_HEIGHT, texts};
use crate::pen::Pen;
use crate::placement::{self, Placement};
use crate::symbols::{self, Form, Outline, Pin, Style};
use lineside_core::circuit::{Block, BlockId, RunEnd};
use lineside_core::kinds::Kind;

/// Radius of the sign of a terminal on which nothing lands, mm.
const OPEN_TERMINAL: f32 = 0.4;

/// The symbol of a block on the sheet. `landed` are its terminals on which runs land.
pub(super) fn symbol(block: &Block, kept: &KeptBlock, form: Form, landed: &[RunEnd]) -> Group {
    let subject = Subject::Block(block.id);
    let symbol = symbols::of(block, Style { form, bar: kept.bar });
    let placement = placement::placement(block, &symbol.outline);
    let is_landed_on = |terminal| landed.contains(&RunEnd { block: block.id, terminal });
    let mut items = Vec::with_capacity(symbol.strokes.len() + 2);
    for stroke in symbol.strokes {
        if stroke.only_with.is_none_or(is_landed_on) {
            items.push(Item { subject, pen: stroke.pen, shape: placement.stroke(stroke) });
        }
    }
    // On a bar, taps that are free need no sign.
    if !kept.is_bar {
        for (end, center, _) in &kept.pins {
            if end.terminal.stem() != "bond" && !landed.contains(end) {
                let shape = Shape::Circle { center: *center, radius: OPEN_TERMINAL };
                items.push(Item { subject: Subject::Terminal(*end), pen: Pen::Thin, shape });
            }
        }
    }
    Group::new(subject, Layer::Symbols, items)
}

/// How the power path of a block lies.
pub(super) fn path(block: &Block, outline: &Outline, placement: Placement) -> Path {
    if block.kind() == Kind::BusBar {
        let upright = placement.area(outline.body);
        return if upright.min.x == upright.max.x { Path::Bar } else { Path::Level };
    }
    let faces = |pin: &Pin| placement.pin(*pin).facing;
    let power = outline.pins.iter().filter(|pin| pin.name.stem() != "bond");
    let upright = power.clone().filter(|pin| !faces(pin).is_level()).count();
    let level = power.filter(|pin| matches!(faces(pin), Facing::Left | Facing::Right)).count();
    if upright > level { Path::Upright } else { Path::Level }
}

/// The words of a block where they were placed, with the names of its terminals.
pub(super) fn words(
    id: BlockId,
    words: BlockWords,
    spots: &BlockSpots,
    names: &[(&'static str, Spot)],
) -> Group {
    let subject = Subject::Block(id);
    let item = |pen| move |text| Item { subject, pen, shape: Shape::Text(text) };
    let small = (SMALL_HEIGHT, SMALL_PITCH);
    let mut items: Vec<Item> = Vec::with_capacity(1 + words.lines.len() + names.len());
    let mut bounds = spots.tag.area;
    items
        .extend(texts(spots.tag, [words.tag], (TAG_HEIGHT, TAG_HEIGHT), Weight::Strong).map(item(Pen::Text)));
    if let Some(spot) = spots.lines {
        bounds = bounds.union(spot.area);
        items.extend(texts(spot, words.lines, small, Weight::Regular).map(item(Pen::SoftText)));
    }
    for (name, spot) in names {
        bounds = bounds.union(spot.area);
        items.extend(texts(*spot, [(*name).to_owned()], small, Weight::Regular).map(item(Pen::SoftText)));
    }
    Group::within(bounds, subject, Layer::Words, items)
}
