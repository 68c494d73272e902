//! The layout of a whole circuit: places from the innermost outwards, each laid out as columns with rows below
//! and then taken as one rectangle by the place around it.

use super::columns::{Columns, Exit};
use super::flow::{Band, Station, stations};
use super::item::{self, Item, Key, Port, key_of, steps};
use super::rows::{self, Link, Row, Stands};
use crate::display_list::Weight;
use crate::geometry::Facing;
use crate::label::{Figures, Flag};
use crate::{metrics, placement};
use lineside_core::circuit::{Block, BlockId, Circuit, GridPoint, PlaceId, PlaceKind, Run, RunEnd};
use lineside_core::kinds::Kind;
use lineside_core::units::{Percent, UnitSystem};
use std::collections::{BTreeMap, BTreeSet};

/// Between a frame and what stands in it: left and right, above (below the name), below; steps.
const INSET: (i32, i32, i32) = (3, 3, 2);
/// The frame of a place in which nothing stands, steps.
const EMPTY: GridPoint = GridPoint::new(16, 10);
/// Around a place, steps.
const AROUND: i32 = 1;
/// No corridor is made longer than this for a flag, steps.
const LONGEST_FLAG: i32 = 16;
/// Lost voltage, percent, for which a flag is given room: what is lost is not known here.
const USUAL_DROP: f64 = 1.5;

/// Everything, from an upper left corner at the origin.
pub(super) fn whole(circuit: &Circuit, units: UnitSystem) -> Item {
    let mut layout = Layout::new(circuit, units);
    let first = layout.round();
    // In a second round it is known how high stands what runs lead to outside of each place.
    layout.heights = layout.terminals(&first);
    layout.round()
}

struct Layout<'a> {
    circuit: &'a Circuit,
    units: UnitSystem,
    stations: BTreeMap<BlockId, Station>,
    parents: BTreeMap<PlaceId, Option<PlaceId>>,
    runs: BTreeMap<BlockId, Vec<&'a Run>>,
    /// How high each terminal stood in the first round.
    heights: BTreeMap<RunEnd, i32>,
}

impl<'a> Layout<'a> {
    fn new(circuit: &'a Circuit, units: UnitSystem) -> Self {
        let mut runs: BTreeMap<BlockId, Vec<&Run>> = BTreeMap::new();
        for run in circuit.runs() {
            runs.entry(run.from.block).or_default().push(run);
            if run.to.block != run.from.block {
                runs.entry(run.to.block).or_default().push(run);
            }
        }
        let mut parents = BTreeMap::new();
        for place in circuit.places() {
            // Edits and reading refuse places that stand in each other; such a ring would stand on its own here.
            let mut seen = BTreeSet::from([place.id]);
            let mut above = place.within;
            while let Some(here) = above {
                if !seen.insert(here) {
                    break;
                }
                above = circuit.place(here).and_then(|place| place.within);
            }
            parents.insert(place.id, place.within.filter(|_| above.is_none()));
        }
        Self { circuit, units, stations: stations(circuit), parents, runs, heights: BTreeMap::new() }
    }

    fn round(&self) -> Item {
        let mut framed: BTreeMap<PlaceId, Item> = BTreeMap::new();
        for place in self.inside_out() {
            let content = self.content(Some(place), &framed);
            framed.insert(place, self.frame(place, &content));
        }
        self.content(None, &framed)
    }

    fn terminals(&self, whole: &Item) -> BTreeMap<RunEnd, i32> {
        let blocks = whole.blocks.iter().filter_map(|(id, at, orientation)| {
            let block = self.circuit.block(*id)?;
            Some(Block { at: *at, orientation: *orientation, ..block.clone() })
        });
        let pins = |block: Block| {
            let end = move |name| RunEnd { block: block.id, terminal: name };
            placement::terminals(&block).into_iter().map(move |pin| (end(pin.name), pin.at.y))
        };
        blocks.flat_map(pins).collect()
    }

    /// Places, each before the one around it.
    fn inside_out(&self) -> Vec<PlaceId> {
        let depth = |place: PlaceId| {
            let parent = |here: PlaceId| self.parents.get(&here).copied().flatten();
            std::iter::successors(Some(place), |here| parent(*here)).take(self.parents.len() + 1).count()
        };
        let mut places: Vec<(usize, PlaceId)> = self.parents.keys().map(|id| (depth(*id), *id)).collect();
        places.sort_by_key(|(depth, id)| (std::cmp::Reverse(*depth), *id));
        places.into_iter().map(|place| place.1).collect()
    }

    fn station(&self, block: BlockId) -> Station {
        self.stations.get(&block).copied().unwrap_or(Station { rank: 0, band: Band::Main })
    }

    fn key(&self, block: BlockId) -> Key {
        self.circuit.block(block).map_or((0, 0, 0), |it| key_of(it, self.station(block)))
    }

    /// What stands in a place, or on the open sheet, laid out.
    fn content(&self, place: Option<PlaceId>, framed: &BTreeMap<PlaceId, Item>) -> Item {
        let mut items: Vec<Item> = Vec::new();
        for (child, _) in self.parents.iter().filter(|(_, parent)| **parent == place) {
            items.extend(framed.get(child).cloned());
        }
        let here = |block: &&Block| block.place.filter(|place| self.parents.contains_key(place)) == place;
        let (stored, others): (Vec<&Block>, Vec<&Block>) =
            self.circuit.blocks().filter(here).partition(|block| self.station(block.id).band == Band::Store);
        items.extend(others.into_iter().map(|block| self.block(block)));
        items.extend(self.chains(&stored));
        let (links, exits) = self.runs_of(&items);
        for exit in &exits {
            if let Some(item) = items.get_mut(exit.item) {
                item.hint = item.hint.or_else(|| self.heights.get(&exit.to).copied());
            }
        }
        let columns = Columns::new(&items, &links, &exits);
        let mut stands = columns.stands(&items, &links);
        rows::hang(&items, &links, &columns, &mut stands);
        rows::level(&items, &links, &columns.above, Row::Above, &mut stands);
        let loose: Vec<usize> = (0..items.len()).filter(|it| !stands.contains_key(it)).collect();
        rows::shelve(&items, &loose, &mut stands);
        gathered(&items, &stands, &exits, &columns)
    }

    fn block(&self, block: &Block) -> Item {
        let station = self.station(block.id);
        let own = self.key(block.id);
        let mut towards = Vec::new();
        for run in self.runs.get(&block.id).into_iter().flatten() {
            let (end, other) =
                if run.from.block == block.id { (run.from, run.to) } else { (run.to, run.from) };
            let (there, is_before) = (self.station(other.block), self.key(other.block) < own);
            let side = match (station.band, there.band, is_before) {
                (Band::Store, _, true) => Facing::Up,
                (Band::Store, _, false) => Facing::Down,
                // What stands below is reached from either side.
                (Band::Main | Band::Supply, Band::Store | Band::Earth, _) => continue,
                (_, _, true) => Facing::Left,
                (_, _, false) => Facing::Right,
            };
            towards.push((end, side));
        }
        item::block(block, station, item::lie(block, station.band, &towards), self.units)
    }

    /// Blocks that hang below a bus, each chain as one item.
    fn chains(&self, stored: &[&Block]) -> Vec<Item> {
        let mut left: BTreeSet<BlockId> = stored.iter().map(|block| block.id).collect();
        let mut chains = Vec::new();
        while let Some(start) = left.pop_first() {
            let mut members = vec![start];
            let mut next = 0;
            while let Some(here) = members.get(next).copied() {
                next += 1;
                for run in self.runs.get(&here).into_iter().flatten() {
                    for end in [run.from, run.to] {
                        if left.remove(&end.block) {
                            members.push(end.block);
                        }
                    }
                }
            }
            let blocks = members.iter().filter_map(|id| self.circuit.block(*id));
            chains.push(item::chain(blocks.map(|block| self.block(block)).collect()));
        }
        chains
    }

    /// The runs between items, once from either end, and those that leave the layout.
    fn runs_of(&self, items: &[Item]) -> (Vec<Link>, Vec<Exit>) {
        let mut owners: BTreeMap<BlockId, usize> = BTreeMap::new();
        let mut ports: BTreeMap<RunEnd, usize> = BTreeMap::new();
        for (it, item) in items.iter().enumerate() {
            owners.extend(item.blocks.iter().map(|block| (block.0, it)));
            ports.extend(item.ports.iter().enumerate().map(|(slot, port)| (port.end, slot)));
        }
        let place = |end: RunEnd| Some((*owners.get(&end.block)?, *ports.get(&end)?));
        let mut figures = Figures::new(self.units);
        let (mut links, mut exits): (Vec<Link>, Vec<Exit>) = (Vec::new(), Vec::new());
        for run in self.circuit.runs() {
            match (place(run.from), place(run.to)) {
                (Some((item, port)), Some((other, other_port))) if item != other => {
                    let flag = self.flag(run, &mut figures);
                    links.push(Link { item, port, other, other_port, flag });
                    links.push(Link { item: other, port: other_port, other: item, other_port: port, flag });
                }
                (Some((item, port)), None) => exits.push(self.exit(item, port, run.from, run.to)),
                (None, Some((item, port))) => exits.push(self.exit(item, port, run.to, run.from)),
                _ => {}
            }
        }
        exits.sort_by_key(|exit| (exit.item, exit.port));
        exits.dedup_by_key(|exit| (exit.item, exit.port));
        (links, exits)
    }

    /// On which side a run leaves: downwards when what it leads to stands below, upwards when that is a supply.
    fn exit(&self, item: usize, port: usize, own: RunEnd, other: RunEnd) -> Exit {
        let location = |block: BlockId| self.circuit.location_of_block(block);
        let elsewhere = location(own.block) != location(other.block);
        let side = match self.station(other.block).band {
            Band::Store | Band::Earth => Facing::Down,
            Band::Supply if elsewhere && location(other.block).is_some() => Facing::Up,
            Band::Main | Band::Supply if self.key(other.block) < self.key(own.block) => Facing::Left,
            Band::Main | Band::Supply => Facing::Right,
        };
        Exit { item, port, side, to: other }
    }

    /// Room along a run for its flag, steps.
    fn flag(&self, run: &Run, figures: &mut Figures) -> i32 {
        let Some(flag) = Flag::of(run, Some(2), Some(Percent::new(USUAL_DROP)), figures) else { return 0 };
        let starts_at_strings =
            self.circuit.block(run.from.block).is_some_and(|block| block.kind() == Kind::Strings);
        let is_short = !starts_at_strings && !self.circuit.is_field_run(run);
        let [.., three_lines, _] = flag.extent.folds;
        let width = if is_short { flag.extent.tag } else { three_lines.width };
        (steps(width) + 2).min(LONGEST_FLAG)
    }

    /// A place round its content.
    fn frame(&self, id: PlaceId, content: &Item) -> Item {
        let (side, above, below) = INSET;
        let Some(place) = self.circuit.place(id) else { return content.clone() };
        let name = match place.kind {
            PlaceKind::Location => metrics::length(&place.name.to_uppercase(), Weight::Strong, 2.5),
            PlaceKind::Enclosure => metrics::length(&place.name, Weight::Regular, 2.0),
        };
        // The name stands at the left; runs that come in from above pass it at the right.
        let name = steps(name) + 1;
        let from_above =
            content.ports.iter().filter(|port| port.facing == Facing::Up).map(|port| port.at.x).min();
        let left = from_above.map_or(side, |x| side.max(name + 1 - x));
        let inner = if content.blocks.is_empty() && content.frames.is_empty() { EMPTY } else { content.size };
        let size = GridPoint::new((inner.x + left + side).max(name + side), inner.y + above + below);
        let corner = GridPoint::new(AROUND, AROUND);
        let mut item = Item::empty((content.key.0, content.key.1, id.number()), content.band);
        let moved = corner.moved(left, above);
        item.take(content, moved);
        item.frames.push((id, corner, size));
        item.size = size.moved(2 * AROUND, 2 * AROUND);
        item.ports = content
            .ports
            .iter()
            .map(|port| {
                let at = port.at.moved(moved.x, moved.y);
                // What leaves at a side leaves at the side of the frame.
                let at = match port.facing {
                    Facing::Left if port.at.x <= 0 => GridPoint::new(corner.x, at.y),
                    Facing::Right if port.at.x >= content.size.x => GridPoint::new(corner.x + size.x, at.y),
                    Facing::Left | Facing::Right | Facing::Up | Facing::Down => at,
                };
                Port { at, ..*port }
            })
            .collect();
        item
    }
}

/// One item of all that stands; its corner at the origin.
fn gathered(items: &[Item], stands: &Stands, exits: &[Exit], columns: &Columns) -> Item {
    let corner =
        stands.values().copied().reduce(|one, other| GridPoint::new(one.x.min(other.x), one.y.min(other.y)));
    let corner = corner.unwrap_or_default();
    let mut whole = Item::empty((0, 0, 0), Band::Main);
    let (mut ranks, mut count, mut bands) = (0_i64, 0_i64, BTreeMap::new());
    for (it, at) in stands {
        let Some(item) = items.get(*it) else { continue };
        let at = at.moved(-corner.x, -corner.y);
        whole.take(item, at);
        whole.size =
            GridPoint::new(whole.size.x.max(at.x + item.size.x), whole.size.y.max(at.y + item.size.y));
        ranks += i64::from(item.key.0);
        count += 1;
        *bands.entry(item.band).or_insert(0) += item.blocks.len();
    }
    whole.key.0 = i32::try_from(ranks / count.max(1)).unwrap_or(0);
    whole.band = bands
        .iter()
        .max_by_key(|(band, count)| (**count, std::cmp::Reverse(**band)))
        .map_or(Band::Main, |it| *it.0);
    for (number, exit) in exits.iter().enumerate() {
        let (Some(item), Some(at)) = (items.get(exit.item), stands.get(&exit.item)) else { continue };
        let Some(port) = item.ports.get(exit.port) else { continue };
        let spot = port.at.moved(at.x - corner.x, at.y - corner.y);
        let leaving = columns.leaving(number).map(|y| y - corner.y);
        whole.ports.push(match (exit.side, leaving) {
            (Facing::Left, Some(y)) => Port { at: GridPoint::new(0, y), facing: Facing::Left, ..*port },
            (Facing::Right, Some(y)) => {
                Port { at: GridPoint::new(whole.size.x, y), facing: Facing::Right, ..*port }
            }
            _ => Port { at: spot, ..*port },
        });
    }
    whole
}
