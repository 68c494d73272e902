//! Building a drawing: what each part is, where its words stand, and the groups, new or taken over.

use super::look::{Detail, Furniture};
use super::{Changed, Drawing, Look, blocks, furniture, ink, marks, places, runs};
use crate::display_list::{Group, HitArea, HitShape, Item, Layer, Subject, Weight};
use crate::geometry::{Area, Facing, GridArea, Point};
use crate::label::{
    self, Arranger, BlockSpots, BlockWords, Figures, Flag, FlagSpot, Path, Plane, Room, Spot,
};
use crate::metrics;
use crate::pen::{Ink, Pen};
use crate::placement;
use crate::route::Routes;
use crate::symbols::{self, Form};
use lineside_core::circuit::{Block, BlockId, GridPoint, Place, RunEnd, RunId};
use lineside_core::project::Project;
use lineside_core::units::UnitSystem;
use std::collections::BTreeSet;
use std::iter::Peekable;

/// Items being gathered for a group.
pub(super) type Pieces = Vec<Item>;

/// What a drawing knows of its parts.
#[derive(Clone, Debug, Default, PartialEq)]
pub(super) struct Kept {
    setup: Option<Setup>,
    blocks: Vec<KeptBlock>,
    runs: Vec<KeptRun>,
}

/// What every group depends on.
#[derive(Clone, Copy, Debug, PartialEq)]
struct Setup {
    units: UnitSystem,
    form: Form,
    detail: Detail,
}

#[derive(Clone, Debug, PartialEq)]
struct KeptBlock {
    id: BlockId,
    bar: Ink,
    area: Area,
    path: Path,
    pins: Vec<(RunEnd, Point, Facing)>,
    words: BlockWords,
    names: Vec<(&'static str, Spot)>,
    spots: Option<BlockSpots>,
    /// Whether its symbol, its words must be drawn anew.
    fresh: (bool, bool),
}

#[derive(Clone, Debug, PartialEq)]
struct KeptRun {
    id: RunId,
    ends: [RunEnd; 2],
    ink: Ink,
    points: Vec<Point>,
    joints: Vec<Point>,
    passages: Vec<Point>,
    number: Option<u32>,
    flag: Option<Flag>,
    spot: Option<FlagSpot>,
    fresh: (bool, bool),
}

/// What the building works on.
struct Builder<'a> {
    project: &'a Project,
    look: &'a Look,
    routes: &'a Routes,
    figures: Figures,
    places: Vec<&'a Place>,
}

impl Drawing {
    pub(super) fn rebuild(
        &mut self,
        project: &Project,
        look: &Look,
        routes: &Routes,
        changed: Option<&Changed>,
    ) {
        let setup = Setup { units: project.units, form: look.form, detail: look.detail };
        let mut old = std::mem::take(&mut self.kept);
        let mut old_groups = std::mem::take(&mut self.list.groups);
        // A page is scaled as a whole, so nothing of it can be taken over.
        if changed.is_none()
            || old.setup != Some(setup)
            || self.paper.is_some()
            || look.furniture == Furniture::With
        {
            old = Kept::default();
            old_groups.clear();
        }
        let changed = Touched::new(&old, project, changed);
        let mut builder = Builder {
            project,
            look,
            routes,
            figures: Figures::new(project.units),
            places: project.circuit.places().collect(),
        };
        let mut kept = Kept {
            setup: Some(setup),
            blocks: builder.blocks(old.blocks, &changed),
            runs: builder.runs(old.runs, &changed),
        };
        if look.detail == Detail::Full {
            builder.arrange(&mut kept);
        }
        self.list.groups = builder.groups(&kept, old_groups);
        self.areas = builder.areas(&kept);
        let boxes: Vec<(BlockId, Area)> = kept.blocks.iter().map(|block| (block.id, block.area)).collect();
        marks::add(project, look, routes, &boxes, self);
        self.bounds = self.list.groups.iter().fold(Area::NOTHING, |bounds, group| bounds.union(group.bounds));
        self.paper = None;
        self.kept = kept;
        if look.furniture == Furniture::With {
            furniture::add(project, look, self);
            self.kept = Kept::default();
        }
    }
}

/// The blocks and runs that were edited, and the blocks on which edited runs land or landed.
struct Touched {
    blocks: BTreeSet<BlockId>,
    runs: BTreeSet<RunId>,
}

impl Touched {
    fn new(old: &Kept, project: &Project, changed: Option<&Changed>) -> Self {
        let mut touched = Self { blocks: BTreeSet::new(), runs: BTreeSet::new() };
        let Some(changed) = changed else { return touched };
        touched.blocks.extend(&changed.blocks);
        touched.runs.extend(&changed.runs);
        for id in &changed.runs {
            if let Ok(slot) = old.runs.binary_search_by_key(id, |run| run.id)
                && let Some(run) = old.runs.get(slot)
            {
                touched.blocks.extend(run.ends.map(|end| end.block));
            }
            if let Some(run) = project.circuit.run(*id) {
                touched.blocks.extend([run.from.block, run.to.block]);
            }
        }
        touched
    }
}

/// Walks a sorted list beside another and hands out the entries that both have.
fn take_same<T, K: Ord>(
    old: &mut Peekable<impl Iterator<Item = T>>,
    key: &K,
    key_of: impl Fn(&T) -> K,
) -> Option<T> {
    while old.next_if(|entry| key_of(entry) < *key).is_some() {}
    old.next_if(|entry| key_of(entry) == *key)
}

impl Builder<'_> {
    fn blocks(&mut self, old: Vec<KeptBlock>, changed: &Touched) -> Vec<KeptBlock> {
        let mut old = old.into_iter().peekable();
        let mut blocks = Vec::with_capacity(self.project.circuit.block_count());
        for block in self.project.circuit.blocks() {
            let bar = ink::of_bar(self.look, block);
            let same = take_same(&mut old, &block.id, |kept| kept.id)
                .filter(|kept| kept.bar == bar && !changed.blocks.contains(&block.id));
            blocks.push(match same {
                Some(kept) => KeptBlock { fresh: (false, false), ..kept },
                None => self.block(block, bar),
            });
        }
        blocks
    }

    fn block(&mut self, block: &Block, bar: Ink) -> KeptBlock {
        let outline = symbols::outline(&block.equipment);
        let placement = placement::placement(block, &outline);
        let area = placement.area(GridArea { min: GridPoint::default(), max: outline.size }).on_paper();
        let path = blocks::path(block, &outline, placement);
        let pins = outline
            .pins
            .iter()
            .map(|pin| {
                let pin = placement.pin(*pin);
                (RunEnd { block: block.id, terminal: pin.name }, Point::on_grid(pin.at), pin.facing)
            })
            .collect();
        KeptBlock {
            id: block.id,
            bar,
            area,
            path,
            pins,
            words: BlockWords::of(block, &mut self.figures),
            names: Vec::new(),
            spots: None,
            fresh: (true, true),
        }
    }

    fn runs(&mut self, old: Vec<KeptRun>, changed: &Touched) -> Vec<KeptRun> {
        let joints = self.routes.joints();
        let mut old = old.into_iter().peekable();
        let mut runs = Vec::with_capacity(self.project.circuit.run_count());
        for run in self.project.circuit.runs() {
            let corners = self.routes.get(run.id).unwrap_or_default();
            let points: Vec<Point> = corners.iter().copied().map(Point::on_grid).collect();
            let ink = ink::of_run(&self.project.circuit, self.look, run);
            let joints: Vec<Point> = joints
                .iter()
                .filter(|joint| joint.run == run.id && !self.is_on_bar(joint.end))
                .map(|joint| Point::on_grid(joint.at))
                .collect();
            let passages = places::passages(&self.places, corners);
            let number = self.look.conductors.get(&run.id).copied().or_else(|| {
                let equipment =
                    |end: RunEnd| self.project.circuit.block(end.block).map(|block| &block.equipment);
                label::conductors(ink, [equipment(run.from), equipment(run.to)])
            });
            let same = take_same(&mut old, &run.id, |kept| kept.id);
            let unchanged = !changed.runs.contains(&run.id);
            let (flag, spot, fresh) = match same {
                Some(kept) if unchanged => {
                    let line = kept.ink != ink
                        || kept.points != points
                        || kept.joints != joints
                        || kept.passages != passages;
                    if kept.number == number {
                        (kept.flag, kept.spot, (line, false))
                    } else {
                        (Flag::of(run, number, &mut self.figures), None, (line, true))
                    }
                }
                _ => (Flag::of(run, number, &mut self.figures), None, (true, true)),
            };
            let ends = [run.from, run.to];
            runs.push(KeptRun { id: run.id, ends, ink, points, joints, passages, number, flag, spot, fresh });
        }
        runs
    }

    /// On a bar, joints need no dots.
    fn is_on_bar(&self, end: RunEnd) -> bool {
        self.project
            .circuit
            .block(end.block)
            .is_some_and(|block| block.kind() == lineside_core::kinds::Kind::BusBar)
    }

    /// Finds places for all words. It is quick, so it is always done for the whole sheet: every word then
    /// stands where it would if the sheet were drawn from scratch.
    fn arrange(&self, kept: &mut Kept) {
        let mut arranger = Arranger { room: self.room(kept) };
        for (block, equipment) in kept.blocks.iter_mut().zip(self.project.circuit.blocks()) {
            let names = block.names.len();
            let placed: Vec<(&'static str, Spot)> = block
                .pins
                .iter()
                .filter(|(end, ..)| self.routes.is_landed_on(*end))
                .filter_map(|(end, at, facing)| {
                    let name = label::terminal_name(equipment.kind(), end.terminal)?;
                    let (dx, dy) = facing.step();
                    let width = metrics::length(name, Weight::Regular, label::SMALL_HEIGHT);
                    Some((name, arranger.terminal(*at, (dx as f32, dy as f32), width)?))
                })
                .collect();
            if names != placed.len() || block.names != placed {
                block.names = placed;
                block.fresh.1 = true;
            }
        }
        for block in &mut kept.blocks {
            let spots = arranger.block(block.area, block.path, &block.words);
            if block.spots != spots {
                block.spots = spots;
                block.fresh.1 = true;
            }
        }
        for run in &mut kept.runs {
            let Some(flag) = &run.flag else { continue };
            let spot = arranger.flag(&run.points, Pen::Run(run.ink).width_mm() / 2.0, flag);
            if run.spot != spot {
                run.spot = spot;
                run.fresh.1 = true;
            }
        }
    }

    /// What words must keep clear of.
    fn room(&self, kept: &Kept) -> Room {
        let mut room = Room::default();
        for block in &kept.blocks {
            room.take(Plane::Solid, block.area);
            // The corner where marks stand is always kept free, so that words do not jump when a finding comes.
            room.take(Plane::Solid, marks::corner(block.area));
        }
        for run in &kept.runs {
            let reach = Pen::Run(run.ink).width_mm() / 2.0 + 0.2;
            for pair in run.points.windows(2) {
                room.take(Plane::Lines, Area::of(pair).grown(reach));
            }
            for passage in &run.passages {
                room.take(Plane::Solid, places::flag_area(*passage).grown(0.2));
            }
        }
        for place in &self.places {
            let area = places::frame(place);
            for edge in [
                Area { bottom: area.top, ..area },
                Area { top: area.bottom, ..area },
                Area { right: area.left, ..area },
                Area { left: area.right, ..area },
            ] {
                room.take(Plane::Lines, edge.grown(0.3));
            }
            room.take(Plane::Solid, places::name(place).bounds);
        }
        room
    }

    fn groups(&self, kept: &Kept, old: Vec<Group>) -> Vec<Group> {
        let mut old = old.into_iter().peekable();
        let mut groups = Vec::with_capacity(2 * (kept.blocks.len() + kept.runs.len() + self.places.len()));
        groups.extend(self.places.iter().map(|place| places::outline(place)));
        for run in &kept.runs {
            let line = || runs::line(run.id, &run.points, run.ink, &run.joints, &run.passages);
            groups.push(reuse(&mut old, Layer::Runs, Subject::Run(run.id), run.fresh.0, line));
        }
        for (kept, block) in kept.blocks.iter().zip(self.project.circuit.blocks()) {
            let symbol = || blocks::symbol(block, kept.bar, self.look.form, self.routes);
            groups.push(reuse(&mut old, Layer::Symbols, Subject::Block(block.id), kept.fresh.0, symbol));
        }
        if self.look.detail == Detail::NoText {
            return groups;
        }
        groups.extend(self.places.iter().map(|place| places::name(place)));
        for run in &kept.runs {
            if let (Some(flag), Some(spot)) = (&run.flag, run.spot) {
                let words = || runs::flag(run.id, flag, spot);
                groups.push(reuse(&mut old, Layer::Words, Subject::Run(run.id), run.fresh.1, words));
            }
        }
        for block in &kept.blocks {
            if let Some(spots) = &block.spots {
                let words = || blocks::words(block.id, &block.words, spots, &block.names);
                groups.push(reuse(&mut old, Layer::Words, Subject::Block(block.id), block.fresh.1, words));
            }
        }
        groups
    }

    fn areas(&self, kept: &Kept) -> Vec<HitArea> {
        let pins: usize = kept.blocks.iter().map(|block| block.pins.len() + 1).sum();
        let mut areas = Vec::with_capacity(pins + kept.runs.len() + self.places.len());
        areas.extend(self.places.iter().map(|place| places::hit(place)));
        areas.extend(kept.runs.iter().filter(|run| run.points.len() > 1).map(|run| HitArea {
            subject: Subject::Run(run.id),
            shape: HitShape::Line { points: run.points.clone(), reach: RUN_REACH },
        }));
        for block in &kept.blocks {
            areas.push(HitArea { subject: Subject::Block(block.id), shape: HitShape::Box(block.area) });
        }
        for block in &kept.blocks {
            areas.extend(block.pins.iter().map(|(end, at, _)| HitArea {
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
    fresh: bool,
    draw: impl FnOnce() -> Group,
) -> Group {
    let same = take_same(old, &(layer, subject), |group| (group.layer, group.subject));
    match same {
        Some(group) if !fresh => group,
        _ => draw(),
    }
}
