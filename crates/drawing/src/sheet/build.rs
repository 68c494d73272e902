//! Building a drawing: gathering its parts, finding places for words, and making the groups, new or taken over.

use super::gather::{Gatherer, Touched, take_same};
use super::kept::{Kept, Setup, State};
use super::look::{Detail, Furniture, Look};
use super::wires::Wires;
use super::{Changed, Drawing, blocks, exits, marks, page, places, runs, strokes, words};
use crate::display_list::{Group, HitArea, HitShape, Item, Layer, Subject, Text, Weight};
use crate::geometry::{Area, Point};
use crate::label::{self, Arranger, BlockSpots, BlockWords, Figures, Flag, Plane, Room, Spot};
use crate::metrics;
use crate::pen::Pen;
use crate::route::Routes;
use crate::sheets::Scope;
use lineside_core::circuit::{Block, BlockId, Place, RunEnd};
use lineside_core::project::Project;
use std::iter::Peekable;

/// Items being gathered for a group.
pub(super) type Pieces = Vec<Item>;

impl Drawing {
    pub(super) fn rebuild(
        &mut self,
        project: &Project,
        look: &Look,
        routes: &Routes,
        scope: Scope<'_>,
        changed: Option<&Changed>,
    ) {
        let setup = Setup { units: project.units, form: look.form, detail: look.detail };
        let mut old = std::mem::take(&mut self.kept);
        let mut old_groups = std::mem::take(&mut self.list.groups);
        // A page is scaled as a whole, so nothing of it can be taken over.
        let page = self.paper.is_some() || look.furniture == Furniture::With;
        if changed.is_none() || old.setup != Some(setup) || page {
            old = Kept::default();
            old_groups.clear();
        }
        let touched = Touched::new(&old, project, changed);
        let mut gatherer = Gatherer { project, look, routes, scope, figures: Figures::new(project.units) };
        let blocks = gatherer.blocks(old.blocks, &touched);
        let runs = gatherer.runs(&blocks, old.runs, &touched);
        let mut kept = Kept { setup: Some(setup), blocks, runs };
        let places = project.circuit.places();
        let places = places.filter_map(|place| Some((place, scope.frame(place)?.on_paper()))).collect();
        let mut builder = Builder {
            project,
            look,
            scope,
            places,
            names: Vec::new(),
            landed: routes.landed(),
            figures: gatherer.figures,
        };
        if look.detail == Detail::Full {
            builder.arrange(&mut kept);
        }
        self.left_out = left_out(&kept, look.detail);
        self.list.groups = builder.groups(&mut kept, old_groups);
        self.areas = builder.areas(&kept);
        self.words = words::all(project, &kept);
        let boxes: Vec<(BlockId, Area)> = kept.blocks.iter().map(|block| (block.id, block.area)).collect();
        self.bounds = bounds_of(&self.list.groups);
        marks::add(&marks::Ground { project, look, routes, scope, boxes: &boxes }, self);
        self.bounds = bounds_of(&self.list.groups);
        self.paper = None;
        self.kept = kept;
        if look.furniture == Furniture::With {
            page::add(project, look, scope, page::Numbering::ONLY, self);
            self.kept = Kept::default();
        }
    }
}

fn bounds_of(groups: &[Group]) -> Area {
    groups.iter().fold(Area::NOTHING, |bounds, group| bounds.union(group.bounds))
}

/// What has words for which there is no room.
fn left_out(kept: &Kept, detail: Detail) -> Vec<Subject> {
    if detail == Detail::NoText {
        return Vec::new();
    }
    let is_short = |spots: &BlockSpots| spots.lines.is_none();
    let blocks = kept.blocks.iter().filter(|block| block.extent.lines > 0);
    let blocks = blocks.filter(|block| block.spots.as_ref().is_some_and(is_short));
    let runs =
        kept.runs.iter().filter(|run| run.points.len() > 1 && run.extent.is_some() && run.spot.is_none());
    blocks.map(|block| Subject::Block(block.id)).chain(runs.map(|run| Subject::Run(run.id))).collect()
}

/// Builds the groups of a sheet.
struct Builder<'a> {
    project: &'a Project,
    look: &'a Look,
    scope: Scope<'a>,
    /// The places with their outlines.
    places: Vec<(&'a Place, Area)>,
    /// The names of the places, where they were placed.
    names: Vec<Text>,
    /// Terminals on which runs land, in order.
    landed: Vec<RunEnd>,
    figures: Figures,
}

impl Builder<'_> {
    /// The terminals of a block on which runs land.
    fn landed_on(&self, block: BlockId) -> &[RunEnd] {
        let start = self.landed.partition_point(|end| end.block < block);
        let rest = self.landed.get(start..).unwrap_or_default();
        let count = rest.iter().take_while(|end| end.block == block).count();
        rest.get(..count).unwrap_or_default()
    }

    /// Finds places for all words. It is quick, so it is always done for the whole sheet: every word then
    /// stands where it would if the sheet were drawn from scratch.
    fn arrange(&mut self, kept: &mut Kept) {
        let mut room = self.room(kept);
        // Words that were moved by hand come first: all others make room for them.
        let moved = words::by_hand(self.project, kept, &mut room);
        self.name_places(&mut room);
        let mut arranger = Arranger { room };
        for block in &mut kept.blocks {
            let Some(kind) = self.project.circuit.block(block.id).map(Block::kind) else { continue };
            if !label::names_terminals(kind) {
                continue;
            }
            let landed = self.landed_on(block.id);
            let mut names: Vec<(&'static str, Spot)> = Vec::new();
            for (end, at, facing) in block.pins.iter().filter(|(end, ..)| landed.contains(end)) {
                let Some(name) = label::terminal_name(kind, end.terminal) else { continue };
                let (dx, dy) = facing.step();
                let width = metrics::length(name, Weight::Regular, label::SMALL_HEIGHT);
                names.extend(arranger.terminal(*at, (dx as f32, dy as f32), width).map(|spot| (name, spot)));
            }
            if block.names != names {
                block.names = names;
                block.words_state = State::Fresh;
            }
        }
        for block in &mut kept.blocks {
            let by_hand = moved.blocks.get(&block.id).copied().unwrap_or_default();
            let spots = Some(arranger.block(block.area, block.path, block.extent, by_hand));
            if block.spots != spots {
                block.spots = spots;
                block.words_state = State::Fresh;
            }
        }
        for run in &mut kept.runs {
            let Some(extent) = run.extent else { continue };
            let by_hand = moved.runs.get(&run.id).copied();
            let half = Pen::Run(run.ink).width_mm() / 2.0;
            let spot = by_hand.or_else(|| arranger.flag(&run.points, half, extent));
            if run.spot != spot {
                run.spot = spot;
                run.flag_state = State::Fresh;
            }
        }
        // Strokes take what room is left; what a run is made of is told by its flag too.
        for run in &mut kept.runs {
            run.strokes = strokes::spot(run, &mut arranger.room);
        }
    }

    /// What words must keep clear of.
    fn room(&self, kept: &Kept) -> Room {
        let blocks = kept.blocks.iter().fold(Area::NOTHING, |bounds, block| bounds.union(block.area));
        let bounds = self.places.iter().fold(blocks, |bounds, place| bounds.union(place.1));
        let mut room = Room::new(bounds);
        for block in &kept.blocks {
            room.take(Plane::Symbol, block.area);
            // The corner where marks stand is always kept free, so that words do not jump when a finding comes.
            room.take(Plane::Solid, marks::corner(block.area));
        }
        for run in &kept.runs {
            for pair in run.points.windows(2) {
                room.take(Plane::Lines, strokes::line_area(run, pair));
            }
            for passage in &run.passages {
                room.take(Plane::Solid, places::flag_area(*passage).grown(0.2));
            }
        }
        for (_, exit) in self.scope.exits() {
            room.take(Plane::Solid, exit.area().grown(0.4));
        }
        for (_, area) in self.places.iter().copied() {
            for edge in [
                Area { bottom: area.top, ..area },
                Area { top: area.bottom, ..area },
                Area { right: area.left, ..area },
                Area { left: area.right, ..area },
            ] {
                room.take(Plane::Lines, edge.grown(0.6));
            }
        }
        room
    }

    /// Finds places for the names of places.
    fn name_places(&mut self, room: &mut Room) {
        for (place, area) in &self.places {
            let text = places::name(place, *area, |area| room.is_free(area));
            room.take(Plane::Solid, text.bounds());
            self.names.push(text);
        }
    }

    fn groups(&mut self, kept: &mut Kept, old: Vec<Group>) -> Vec<Group> {
        let mut old = old.into_iter().peekable();
        let mut groups = Vec::with_capacity(2 * (kept.blocks.len() + kept.runs.len() + self.places.len()));
        groups.extend(self.places.iter().map(|(place, area)| places::outline(place, *area)));
        for run in &kept.runs {
            let line = || runs::line(run);
            groups.push(reuse(&mut old, Layer::Runs, Subject::Run(run.id), run.line_state, line));
        }
        let circuit = &self.project.circuit;
        for kept in &kept.blocks {
            let Some(block) = circuit.block(kept.id) else { continue };
            let symbol = || blocks::symbol(block, kept, self.look.form, self.landed_on(block.id));
            groups.push(reuse(&mut old, Layer::Symbols, Subject::Block(block.id), kept.symbol_state, symbol));
        }
        groups.extend(self.scope.exits_of_runs().map(|(run, exit)| exits::flag(run, exit)));
        if self.look.detail == Detail::NoText {
            return groups;
        }
        let names = self.places.iter().zip(std::mem::take(&mut self.names));
        groups.extend(names.map(|((place, _), name)| places::name_group(place, name)));
        for kept in &mut kept.runs {
            let (Some(spot), Some(run)) = (kept.spot, circuit.run(kept.id)) else { continue };
            let flag = kept.flag.take();
            let words = || {
                let flag = flag
                    .or_else(|| Flag::of(run, kept.wires.map(Wires::count), kept.drop, &mut self.figures));
                runs::flag(run.id, flag, spot)
            };
            groups.push(reuse(&mut old, Layer::Words, Subject::Run(run.id), kept.flag_state, words));
        }
        groups.extend(kept.runs.iter().filter_map(strokes::group));
        for kept in &mut kept.blocks {
            let (Some(spots), Some(block)) = (&kept.spots, circuit.block(kept.id)) else { continue };
            let said = kept.words.take();
            let words = || {
                let said = said.unwrap_or_else(|| BlockWords::of(block, &mut self.figures));
                blocks::words(block.id, said, spots, &kept.names)
            };
            groups.push(reuse(&mut old, Layer::Words, Subject::Block(block.id), kept.words_state, words));
        }
        groups
    }

    fn areas(&self, kept: &Kept) -> Vec<HitArea> {
        let pins: usize = kept.blocks.iter().map(|block| block.pins.len() + 1).sum();
        let mut areas = Vec::with_capacity(pins + kept.runs.len() + self.places.len());
        areas.extend(self.places.iter().map(|(place, area)| places::hit(place.id, *area)));
        areas.extend(kept.runs.iter().filter(|run| run.points.len() > 1).map(|run| HitArea {
            subject: Subject::Run(run.id),
            shape: HitShape::Line { points: run.points.clone(), reach: RUN_REACH },
        }));
        for block in &kept.blocks {
            areas.push(HitArea { subject: Subject::Block(block.id), shape: HitShape::Box(block.area) });
        }
        for block in &kept.blocks {
            areas.extend(block.pins.iter().map(|(end, at, _): &(RunEnd, Point, _)| HitArea {
                subject: Subject::Terminal(*end),
                shape: HitShape::Box(Area::around(*at, TERMINAL_REACH, TERMINAL_REACH)),
            }));
        }
        areas
    }
}

/// How far from a run the pointer still meets it, mm.
const RUN_REACH: f32 = 1.0;
/// Side of the square in which the pointer meets a terminal, mm.
const TERMINAL_REACH: f32 = 2.4;

/// The old group of a subject, or a new one when it must be drawn anew.
fn reuse(
    old: &mut Peekable<impl Iterator<Item = Group>>,
    layer: Layer,
    subject: Subject,
    state: State,
    draw: impl FnOnce() -> Group,
) -> Group {
    let same = take_same(old, &(layer, subject), |group| (group.layer, group.subject));
    match same {
        Some(group) if state == State::Same => group,
        _ => draw(),
    }
}
