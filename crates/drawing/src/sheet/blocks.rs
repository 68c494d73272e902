//! Blocks: their symbols where they stand, and their words.

use crate::display_list::{Group, Item, Layer, Shape, Subject, Text, Weight};
use crate::geometry::{Facing, Point};
use crate::label::{BlockSpots, BlockWords, Path, SMALL_HEIGHT, SMALL_PITCH, Spot, TAG_HEIGHT, texts};
use crate::pen::{Ink, Pen};
use crate::placement::{self, Placement};
use crate::route::Routes;
use crate::symbols::{self, Form, Outline, Pin, Style};
use lineside_core::circuit::{Block, BlockId, RunEnd};
use lineside_core::kinds::Kind;

/// Radius of the sign of a terminal on which nothing lands, mm.
const OPEN_TERMINAL: f32 = 0.4;

/// The symbol of a block on the sheet.
pub(super) fn symbol(block: &Block, bar: Ink, form: Form, routes: &Routes) -> Group {
    let subject = Subject::Block(block.id);
    let symbol = symbols::of(block, Style { form, bar });
    let placement = placement::placement(block, &symbol.outline);
    let mut items = Vec::with_capacity(symbol.strokes.len() + 2);
    for stroke in symbol.strokes {
        let landed = |terminal| routes.is_landed_on(RunEnd { block: block.id, terminal });
        if stroke.only_with.is_none_or(landed) {
            items.push(Item { subject, pen: stroke.pen, shape: placement.shape(stroke.shape) });
        }
    }
    if shows_open_terminals(block.kind()) {
        for pin in &symbol.outline.pins {
            let end = RunEnd { block: block.id, terminal: pin.name };
            if pin.name.stem() != "bond" && !routes.is_landed_on(end) {
                let center = Point::on_grid(placement.pin(*pin).at);
                let shape = Shape::Circle { center, radius: OPEN_TERMINAL };
                items.push(Item { subject: Subject::Terminal(end), pen: Pen::Thin, shape });
            }
        }
    }
    Group::new(subject, Layer::Symbols, items)
}

/// On a bar, taps that are free need no sign.
fn shows_open_terminals(kind: Kind) -> bool {
    kind != Kind::BusBar
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
    words: &BlockWords,
    spots: &BlockSpots,
    names: &[(&'static str, Spot)],
) -> Group {
    let subject = Subject::Block(id);
    let tag = texts(spots.tag, std::slice::from_ref(&words.tag), TAG_HEIGHT, TAG_HEIGHT, Weight::Strong);
    let mut items: Vec<Item> = Vec::with_capacity(1 + words.lines.len() + names.len());
    items.extend(tag.into_iter().map(|text| Item { subject, pen: Pen::Text, shape: Shape::Text(text) }));
    let mut soft = |lines: Vec<Text>| {
        items.extend(lines.into_iter().map(|text| Item {
            subject,
            pen: Pen::SoftText,
            shape: Shape::Text(text),
        }));
    };
    if let Some(spot) = spots.lines {
        soft(texts(spot, &words.lines, SMALL_HEIGHT, SMALL_PITCH, Weight::Regular));
    }
    for (name, spot) in names {
        soft(texts(*spot, &[(*name).to_owned()], SMALL_HEIGHT, SMALL_PITCH, Weight::Regular));
    }
    Group::new(subject, Layer::Words, items)
}
