//! Things to be laid out: a block with room for its words, a chain of blocks that hangs below a bus, or a whole
//! place. All of them are rectangles with terminals at which runs come in.

use super::flow::{Band, Station};
use crate::geometry::{Facing, GridArea, STEP_MM};
use crate::label::{BlockWords, Figures, SMALL_PITCH};
use crate::placement::Placement;
use crate::symbols;
use lineside_core::circuit::{Block, BlockId, GridPoint, Mirror, Orientation, PlaceId, RunEnd, Turn};
use lineside_core::kinds::Kind;
use lineside_core::units::UnitSystem;

/// A rectangle to be laid out, with everything in it.
#[derive(Clone, Debug)]
pub(super) struct Item {
    /// In which order power comes to it.
    pub key: Key,
    /// In which band it belongs.
    pub band: Band,
    /// How high what its runs lead to outside stood in a first layout, if anything.
    pub hint: Option<i32>,
    /// Width and height in steps, room for words included.
    pub size: GridPoint,
    /// Where runs come in, from its upper left corner.
    pub ports: Vec<Port>,
    /// Its blocks, from its upper left corner.
    pub blocks: Vec<(BlockId, GridPoint, Orientation)>,
    /// Its frames: corner and size.
    pub frames: Vec<(PlaceId, GridPoint, GridPoint)>,
}

/// In which order power comes to things: hundredths of a step from the array, devices in a run before what they
/// lead to, then ids.
pub(super) type Key = (i32, u8, u32);

/// Where runs come into an item.
#[derive(Clone, Copy, Debug)]
pub(super) struct Port {
    /// The terminal on which they land.
    pub end: RunEnd,
    /// Where, from the item's upper left corner.
    pub at: GridPoint,
    /// The way in which they leave.
    pub facing: Facing,
}

impl Item {
    /// An item without anything in it.
    pub(super) fn empty(key: Key, band: Band) -> Self {
        let (ports, blocks, frames) = (Vec::new(), Vec::new(), Vec::new());
        Self { key, band, hint: None, size: GridPoint::new(0, 0), ports, blocks, frames }
    }

    /// Whether it is a place from which AC is supplied, which stands above what it supplies.
    pub(super) fn is_supply(&self) -> bool {
        self.band == Band::Supply && !self.frames.is_empty()
    }

    /// Takes in what another holds, at a point; not its ports.
    pub(super) fn take(&mut self, other: &Self, at: GridPoint) {
        self.blocks
            .extend(other.blocks.iter().map(|(id, corner, lie)| (*id, corner.moved(at.x, at.y), *lie)));
        let frames = other.frames.iter().map(|(id, corner, size)| (*id, corner.moved(at.x, at.y), *size));
        self.frames.extend(frames);
    }
}

/// The order in which power comes to a block.
pub(super) fn key_of(block: &Block, station: Station) -> Key {
    let is_device = matches!(
        block.kind(),
        Kind::Breaker | Kind::Fuse | Kind::Switch | Kind::Meter | Kind::GroundFaultDevice
    );
    (station.rank.saturating_mul(100), u8::from(!is_device), block.id.number())
}

/// In steps, rounded up.
#[expect(clippy::cast_possible_truncation, reason = "a float cast saturates, and words are short")]
pub(super) fn steps(mm: f32) -> i32 {
    (mm / STEP_MM).ceil() as i32
}

/// Above a box whose path is level stands its tag, steps.
const TAG: i32 = 2;
/// Beside a box nothing else stands closer, steps.
const SIDE: i32 = 1;

/// A block on its own, lying so, with room for its words.
pub(super) fn block(block: &Block, station: Station, lie: Orientation, units: UnitSystem) -> Item {
    let outline = symbols::outline(&block.equipment);
    let whole = GridArea { min: GridPoint::default(), max: outline.size };
    let unmoved = Placement::new(GridPoint::default(), outline.size, lie);
    let area = unmoved.area(whole);
    let (width, height) = (area.max.x - area.min.x, area.max.y - area.min.y);
    let words = BlockWords::of(block, &mut Figures::new(units)).extent();
    let lines = steps(words.lines as f32 * SMALL_PITCH + 0.8);
    let upright = matches!(lie.turn, Turn::Quarter | Turn::ThreeQuarters) && block.kind() != Kind::BusBar;
    let (left, top, right, bottom) = if upright {
        (steps(words.tag + 1.8), 0, steps(words.longest + 1.8).max(2), 0)
    } else {
        let beyond = steps(words.longest.max(words.tag)) - width;
        // The light arrows of strings reach out of their box.
        let air = i32::from(block.kind() == Kind::Strings);
        (SIDE, TAG, beyond.max(SIDE) + SIDE, air + if words.lines == 0 { 0 } else { lines })
    };
    let corner = GridPoint::new(left - area.min.x, top - area.min.y);
    let placed = Placement::new(corner, outline.size, lie);
    let ports = outline.pins.iter().map(|pin| {
        let pin = placed.pin(*pin);
        let end = RunEnd { block: block.id, terminal: pin.name };
        Port { end, at: pin.at, facing: pin.facing }
    });
    Item {
        size: GridPoint::new(left + width + right, top + height + bottom),
        ports: ports.collect(),
        blocks: vec![(block.id, corner, lie)],
        ..Item::empty(key_of(block, station), station.band)
    }
}

/// How a block lies so that most of its runs leave it towards their other ends. `towards` are its terminals
/// on which runs land, each with the side on which the other end will be.
pub(super) fn lie(block: &Block, band: Band, towards: &[(RunEnd, Facing)]) -> Orientation {
    let level = [Mirror::None, Mirror::LeftRight].map(|mirror| Orientation { turn: Turn::None, mirror });
    let upright = [Turn::ThreeQuarters, Turn::Quarter].map(|turn| Orientation { turn, mirror: Mirror::None });
    let choices = if band == Band::Store { upright } else { level };
    let pins = symbols::outline(&block.equipment).pins;
    let wrong = |lie: &Orientation| {
        let turned_away = |(end, side): &&(RunEnd, Facing)| {
            let pin = pins.iter().find(|pin| pin.name == end.terminal);
            pin.is_some_and(|pin| pin.facing.oriented(*lie) == side.opposite())
        };
        towards.iter().filter(turned_away).count()
    };
    choices.into_iter().min_by_key(wrong).unwrap_or_default()
}

/// Between the blocks of a chain, steps: room for the flag of a run beside it.
const LINK: i32 = 4;

/// Blocks below each other, each hanging on the one before by a run that comes in at its top.
pub(super) fn chain(links: Vec<Item>) -> Item {
    let mut links = links;
    links.sort_by_key(|link| link.key);
    let Some(first) = links.first() else { return Item::empty((0, 0, 0), Band::Store) };
    let mut whole = Item::empty(first.key, first.band);
    // The lines of all blocks lie on one upright.
    let middle = |item: &Item| {
        let port = item.ports.iter().find(|port| port.facing == Facing::Up);
        port.or_else(|| item.ports.first()).map_or(item.size.x / 2, |port| port.at.x)
    };
    let axis = links.iter().map(middle).max().unwrap_or(0);
    let mut top = 0;
    for link in &links {
        let at = GridPoint::new(axis - middle(link), top);
        whole.take(link, at);
        whole.ports.extend(link.ports.iter().map(|port| Port { at: port.at.moved(at.x, at.y), ..*port }));
        whole.size.x = whole.size.x.max(at.x + link.size.x);
        whole.size.y = top + link.size.y;
        top = whole.size.y + LINK;
    }
    whole
}
