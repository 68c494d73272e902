//! Routing: right-angled ways for runs from terminal to terminal, around blocks, with few bends and crossings.
//!
//! Runs are routed in the order of their ids, each seeing the blocks, the outlines of places and the runs
//! before it. A route therefore depends only on what lies in the region that its search looked at, and that
//! region is kept with it: after a change, [`Routes::refresh`] routes anew exactly those runs whose region was
//! touched, in the same order, and comes to the same result as routing everything. Hand-placed bends are kept
//! as they are.

mod cost;
mod index;
mod joints;
mod maze;
mod patterns;
mod search;

pub use joints::Joint;

use crate::geometry::{Facing, GridArea};
use crate::placement;
use crate::sheets::Scope;
use crate::symbols::{self, LayoutKey, Pin};
use index::{Index, Owner, Segment};
use lineside_core::circuit::{
    Block, BlockId, Circuit, GridPoint, Orientation, PlaceId, Run, RunEnd, RunId, Side,
};
use std::collections::{BTreeMap, BTreeSet};

/// The routes of all runs of a circuit, and what they depend on.
#[derive(Clone, Debug, Default)]
pub struct Routes {
    blocks: BTreeMap<BlockId, Standing>,
    places: BTreeMap<PlaceId, GridArea>,
    of_runs: BTreeMap<RunId, Route>,
    /// Which runs land on which terminal, in the order of ids.
    landings: BTreeMap<RunEnd, Vec<RunId>>,
    index: Index,
}

/// What of a block routes depend on.
#[derive(Clone, Debug, PartialEq)]
struct Standing {
    at: GridPoint,
    orientation: Orientation,
    layout: LayoutKey,
    body: GridArea,
    pins: Vec<Pin>,
}

/// The route of one run.
#[derive(Clone, Debug, PartialEq)]
struct Route {
    from: RunEnd,
    to: RunEnd,
    bends: Vec<GridPoint>,
    /// Corners from end to end; empty when an end has no terminal.
    points: Vec<GridPoint>,
    /// What the search looked at.
    seen: GridArea,
}

/// One end of a run as a search sees it.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) struct Landing {
    /// Where.
    pub at: GridPoint,
    /// The way out of the block.
    pub facing: Facing,
    /// How many more steps than others the run goes straight before it may turn. Runs that share a terminal
    /// turn one after the other, so that each joint is a T.
    pub further: i32,
}

impl Routes {
    /// Routes every run of a circuit.
    pub fn new(circuit: &Circuit) -> Self {
        let mut routes = Self::default();
        routes.refresh(circuit);
        routes
    }

    /// The corners of a run from end to end; `None` if there is no such run or an end has no terminal. The two
    /// ends of a run whose terminals coincide are one point.
    pub fn get(&self, run: RunId) -> Option<&[GridPoint]> {
        self.of_runs.get(&run).map(|route| route.points.as_slice()).filter(|points| !points.is_empty())
    }

    /// Every run that has a route, in the order of ids.
    pub fn iter(&self) -> impl Iterator<Item = (RunId, &[GridPoint])> {
        self.of_runs
            .iter()
            .filter(|(_, route)| !route.points.is_empty())
            .map(|(run, route)| (*run, route.points.as_slice()))
    }

    /// Whether any run lands on a terminal.
    pub fn is_landed_on(&self, end: RunEnd) -> bool {
        self.landings.get(&end).is_some_and(|runs| !runs.is_empty())
    }

    /// Every terminal on which runs land, in order.
    pub(crate) fn landed(&self) -> Vec<RunEnd> {
        self.landings.keys().copied().collect()
    }

    /// Brings the routes up to date with a circuit that has changed, and tells which runs have another route
    /// than before (new ones among them), in the order of ids. What has changed is found here; the result is
    /// the same as [`Routes::new`].
    pub fn refresh(&mut self, circuit: &Circuit) -> Vec<RunId> {
        self.refresh_in(circuit, Scope::WHOLE)
    }

    /// Routes the runs of one sheet; those that leave it end at their exits.
    pub(crate) fn of_part(circuit: &Circuit, scope: Scope<'_>) -> Self {
        let mut routes = Self::default();
        routes.refresh_in(circuit, scope);
        routes
    }

    fn refresh_in(&mut self, circuit: &Circuit, scope: Scope<'_>) -> Vec<RunId> {
        let mut change = Change::default();
        self.update_places(circuit, scope, &mut change);
        self.update_blocks(circuit, scope, &mut change);
        self.update_runs(circuit, scope, &mut change);
        let mut changed = Vec::new();
        for run in circuit.runs().filter(|run| scope.has_run(run)) {
            if !self.is_touched(run.id, &change) {
                continue;
            }
            let route = self.route(run, scope);
            let old = self.of_runs.get(&run.id);
            if old.is_some_and(|old| old.points == route.points) {
                self.of_runs.insert(run.id, route);
                continue;
            }
            let old = old.map(|route| route.points.clone()).unwrap_or_default();
            self.draw(run.id, &old, &route.points, &mut change);
            self.of_runs.insert(run.id, route);
            changed.push(run.id);
        }
        changed
    }

    /// Takes a run's old way out of the index, puts its new one in, and marks both as changed.
    fn draw(&mut self, run: RunId, old: &[GridPoint], new: &[GridPoint], change: &mut Change) {
        for segment in segments(run, old) {
            self.index.remove_segment(segment);
            change.region(segment.area());
        }
        for segment in segments(run, new) {
            self.index.insert_segment(segment);
            change.region(segment.area());
        }
    }

    fn is_touched(&self, run: RunId, change: &Change) -> bool {
        let Some(route) = self.of_runs.get(&run) else { return true };
        route.points.is_empty() && route.seen == NOWHERE
            || change.blocks.contains(&route.from.block)
            || change.blocks.contains(&route.to.block)
            || change.ends.contains(&route.from)
            || change.ends.contains(&route.to)
            || change.touches(route.seen)
    }

    fn update_places(&mut self, circuit: &Circuit, scope: Scope<'_>, change: &mut Change) {
        let frames: BTreeMap<PlaceId, GridArea> =
            circuit.places().filter_map(|place| Some((place.id, scope.frame(place)?))).collect();
        if frames == self.places {
            return;
        }
        let differs = |one: &BTreeMap<PlaceId, GridArea>, other: &BTreeMap<PlaceId, GridArea>| {
            one.iter()
                .filter(|(id, frame)| other.get(*id) != Some(*frame))
                .flat_map(|(_, frame)| edges(*frame))
                .collect::<Vec<_>>()
        };
        for edge in differs(&self.places, &frames) {
            self.index.remove_segment(edge);
            change.region(edge.area());
        }
        for edge in differs(&frames, &self.places) {
            self.index.insert_segment(edge);
            change.region(edge.area());
        }
        self.places = frames;
    }

    fn update_blocks(&mut self, circuit: &Circuit, scope: Scope<'_>, change: &mut Change) {
        let mut count = 0;
        for exit in scope.exits() {
            self.index.insert_block(exit.0, exit.1.body());
        }
        for block in circuit.blocks().filter(|block| scope.has(block.id)) {
            count += 1;
            let old = self.blocks.get(&block.id);
            let layout = symbols::layout_key(&block.equipment);
            if old.is_some_and(|old| {
                old.at == block.at && old.orientation == block.orientation && old.layout == layout
            }) {
                continue;
            }
            let standing = Standing::of(block, layout);
            if let Some(old) = old {
                self.index.remove_block(block.id, old.body);
                change.body(old.body, &self.index);
            }
            self.index.insert_block(block.id, standing.body);
            change.body(standing.body, &self.index);
            change.blocks.insert(block.id);
            self.blocks.insert(block.id, standing);
        }
        if count < self.blocks.len() {
            let gone: Vec<BlockId> =
                self.blocks.keys().copied().filter(|id| circuit.block(*id).is_none()).collect();
            for id in gone {
                if let Some(old) = self.blocks.remove(&id) {
                    self.index.remove_block(id, old.body);
                    change.body(old.body, &self.index);
                    change.blocks.insert(id);
                }
            }
        }
    }

    fn update_runs(&mut self, circuit: &Circuit, scope: Scope<'_>, change: &mut Change) {
        let before = self.of_runs.len();
        let mut known = 0;
        for run in circuit.runs().filter(|run| scope.has_run(run)) {
            match self.of_runs.get(&run.id) {
                Some(old) if old.from == run.from && old.to == run.to && old.bends == run.bends => {
                    known += 1;
                    continue;
                }
                Some(_) => {
                    known += 1;
                    self.forget(run.id, change);
                }
                None => {}
            }
            for (_, end) in run.ends().into_iter().filter(|(_, end)| scope.has(end.block)) {
                let landed = self.landings.entry(end).or_default();
                if let Err(slot) = landed.binary_search(&run.id) {
                    landed.insert(slot, run.id);
                }
                if landed.len() > 1 {
                    change.ends.insert(end);
                }
            }
        }
        if known < before {
            let gone: Vec<RunId> =
                self.of_runs.keys().copied().filter(|id| circuit.run(*id).is_none()).collect();
            for id in gone {
                self.forget(id, change);
            }
        }
    }

    fn forget(&mut self, run: RunId, change: &mut Change) {
        let Some(old) = self.of_runs.remove(&run) else { return };
        self.draw(run, &old.points, &[], change);
        for end in [old.from, old.to] {
            if let Some(landed) = self.landings.get_mut(&end) {
                landed.retain(|other| *other != run);
                if landed.is_empty() {
                    self.landings.remove(&end);
                } else {
                    change.ends.insert(end);
                }
            }
        }
    }

    fn route(&self, run: &Run, scope: Scope<'_>) -> Route {
        let mut route =
            Route { from: run.from, to: run.to, bends: run.bends.clone(), points: Vec::new(), seen: NOWHERE };
        let [from, to] = Side::BOTH.map(|side| self.landing(run, side, scope));
        let (Some(from), Some(to)) = (from, to) else { return route };
        // Bends belong to the whole way; what is left of one that is cut finds its own.
        let is_cut = Side::BOTH.iter().any(|side| scope.exit(run.id, *side).is_some());
        if run.bends.is_empty() || is_cut {
            let mut search = search::Search::new(&self.index, run.id, self.companions(run));
            route.points = search.find(from, to);
            route.seen = search.seen();
        } else {
            route.points = search::through(from, &run.bends, to);
            route.seen = GridArea::of(from.at, to.at);
        }
        route
    }

    fn landing(&self, run: &Run, side: Side, scope: Scope<'_>) -> Option<Landing> {
        if let Some(exit) = scope.exit(run.id, side) {
            return Some(Landing { at: exit.at, facing: exit.facing, further: 0 });
        }
        let end = run.end(side);
        let pin = self.blocks.get(&end.block)?.pins.iter().find(|pin| pin.name == end.terminal)?;
        let earlier = self.landings.get(&end).map_or(0, |landed| landed.partition_point(|id| *id < run.id));
        let further = i32::try_from(earlier).unwrap_or(0).min(MOST_FURTHER);
        Some(Landing { at: pin.at, facing: pin.facing, further })
    }

    /// The runs on the same terminals, the run itself among them: lying on them there is a joint, not a fault.
    fn companions(&self, run: &Run) -> [&[RunId]; 2] {
        [run.from, run.to].map(|end| self.landings.get(&end).map_or(&[] as &[RunId], Vec::as_slice))
    }
}

/// Runs on one terminal beyond this many no longer turn one after the other.
const MOST_FURTHER: i32 = 6;

/// The region of a route that looked at nothing.
const NOWHERE: GridArea =
    GridArea { min: GridPoint::new(i32::MAX, i32::MAX), max: GridPoint::new(i32::MIN, i32::MIN) };

impl Standing {
    fn of(block: &Block, layout: LayoutKey) -> Self {
        let outline = symbols::outline(&block.equipment);
        let placement = placement::placement(block, &outline);
        Self {
            at: block.at,
            orientation: block.orientation,
            layout,
            body: placement.area(outline.body),
            pins: outline.pins.iter().map(|pin| placement.pin(*pin)).collect(),
        }
    }
}

/// What is different since the routes were last up to date.
#[derive(Default)]
struct Change {
    blocks: BTreeSet<BlockId>,
    ends: BTreeSet<RunEnd>,
    regions: Vec<GridArea>,
}

impl Change {
    fn region(&mut self, area: GridArea) {
        self.regions.push(area);
        if self.regions.len() > MOST_REGIONS {
            // Coarser regions only make more runs be routed anew, to the same result.
            let whole = self.regions.drain(..).reduce(GridArea::union);
            self.regions.extend(whole);
        }
    }
    /// A body that has just been put into the index or taken out of it.
    fn body(&mut self, body: GridArea, index: &Index) {
        self.region(index.crowd_changed(body).unwrap_or(body));
    }
    fn touches(&self, seen: GridArea) -> bool {
        self.regions.iter().any(|region| region.touches(seen))
    }
}

const MOST_REGIONS: usize = 192;

fn segments(run: RunId, points: &[GridPoint]) -> Vec<Segment> {
    points
        .windows(2)
        .filter_map(|pair| match pair {
            [a, b] => Some(Segment::new(Owner::Run(run), *a, *b)),
            _ => None,
        })
        .collect()
}

fn edges(frame: GridArea) -> [Segment; 4] {
    let (min, max) = (frame.min, frame.max);
    let (upper_right, lower_left) = (GridPoint::new(max.x, min.y), GridPoint::new(min.x, max.y));
    [(min, upper_right), (upper_right, max), (max, lower_left), (lower_left, min)]
        .map(|(a, b)| Segment::new(Owner::Frame, a, b))
}
