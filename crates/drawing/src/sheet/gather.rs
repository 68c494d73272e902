//! Gathering the parts of a sheet: what each block and run is, taken over from the last drawing where nothing
//! of it has changed.

use super::kept::{Kept, KeptBlock, KeptRun, State};
use super::look::{Detail, Look};
use super::strokes::StrokeMarks;
use super::wires::{self, Wires};
use super::{Changed, blocks, ink, places};
use crate::geometry::{GridArea, Point};
use crate::label::{BlockExtent, BlockWords, Figures, Flag};
use crate::pen::Ink;
use crate::placement;
use crate::points::Points;
use crate::route::Routes;
use crate::sheets::Scope;
use crate::symbols;
use lineside_core::circuit::{Block, BlockId, GridPoint, Run, RunEnd, RunId};
use lineside_core::kinds::Kind;
use lineside_core::project::Project;
use std::collections::BTreeSet;
use std::iter::Peekable;

/// The blocks and runs that were edited, and the blocks on which edited runs land or landed.
pub(super) struct Touched {
    blocks: BTreeSet<BlockId>,
    runs: BTreeSet<RunId>,
}

impl Touched {
    pub(super) fn new(old: &Kept, project: &Project, changed: Option<&Changed>) -> Self {
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
pub(super) fn take_same<T, K: Ord>(
    old: &mut Peekable<impl Iterator<Item = T>>,
    key: &K,
    key_of: impl Fn(&T) -> K,
) -> Option<T> {
    while old.next_if(|entry| key_of(entry) < *key).is_some() {}
    old.next_if(|entry| key_of(entry) == *key)
}

/// Gathers the parts of a sheet.
pub(super) struct Gatherer<'a> {
    pub project: &'a Project,
    pub look: &'a Look,
    pub routes: &'a Routes,
    pub scope: Scope<'a>,
    pub figures: Figures,
}

impl Gatherer<'_> {
    /// The blocks, in the order of ids.
    pub(super) fn blocks(&mut self, old: Vec<KeptBlock>, touched: &Touched) -> Vec<KeptBlock> {
        let mut old = old.into_iter().peekable();
        let mut blocks = Vec::with_capacity(self.project.circuit.block_count());
        let scope = self.scope;
        for block in self.project.circuit.blocks().filter(|block| scope.has(block.id)) {
            let bar = ink::of_bar(self.look, block);
            let location = block.place.map(|place| self.project.circuit.location_of(place));
            let same = take_same(&mut old, &block.id, |kept| kept.id)
                .filter(|kept| kept.bar == bar && !touched.blocks.contains(&block.id));
            blocks.push(match same {
                Some(kept) => {
                    KeptBlock { location, symbol_state: State::Same, words_state: State::Same, ..kept }
                }
                None => KeptBlock { location, ..self.block(block, bar) },
            });
        }
        blocks
    }

    fn block(&mut self, block: &Block, bar: Ink) -> KeptBlock {
        let outline = symbols::outline(&block.equipment);
        let placement = placement::placement(block, &outline);
        let area = placement.area(GridArea { min: GridPoint::default(), max: outline.size }).on_paper();
        let pins = outline
            .pins
            .iter()
            .map(|pin| {
                let pin = placement.pin(*pin);
                (RunEnd { block: block.id, terminal: pin.name }, Point::on_grid(pin.at), pin.facing)
            })
            .collect();
        let words = match self.look.detail {
            Detail::Full => Some(BlockWords::of(block, &mut self.figures)),
            Detail::NoText => None,
        };
        KeptBlock {
            id: block.id,
            bar,
            is_bar: block.kind() == Kind::BusBar,
            location: None,
            wires: wires::of_equipment(&block.equipment),
            area,
            path: blocks::path(block, &outline, placement),
            pins,
            extent: words
                .as_ref()
                .map_or(BlockExtent { tag: 0.0, longest: 0.0, lines: 0 }, BlockWords::extent),
            words,
            names: Vec::new(),
            spots: None,
            symbol_state: State::Fresh,
            words_state: State::Fresh,
        }
    }

    /// The runs, in the order of ids.
    pub(super) fn runs(
        &mut self,
        blocks: &[KeptBlock],
        old: Vec<KeptRun>,
        touched: &Touched,
    ) -> Vec<KeptRun> {
        let mut joints: Vec<(RunId, Point)> = self
            .routes
            .joints()
            .iter()
            .filter(|joint| !Kept::block(blocks, joint.end.block).is_some_and(|block| block.is_bar))
            .map(|joint| (joint.run, Point::on_grid(joint.at)))
            .collect();
        joints.sort_by_key(|joint| joint.0);
        let mut joints = joints.into_iter().peekable();
        let mut routes = self.routes.iter().peekable();
        let mut old = old.into_iter().peekable();
        let mut runs = Vec::with_capacity(self.project.circuit.run_count());
        let scope = self.scope;
        for run in self.project.circuit.runs().filter(|run| scope.has_run(run)) {
            let corners = take_same(&mut routes, &run.id, |route| route.0).map_or(&[][..], |route| route.1);
            let mut dots = Vec::new();
            while let Some((_, dot)) = take_same(&mut joints, &run.id, |joint| joint.0) {
                dots.push(dot);
            }
            let same =
                take_same(&mut old, &run.id, |kept| kept.id).filter(|_| !touched.runs.contains(&run.id));
            runs.push(self.run(run, blocks, corners, dots, same));
        }
        runs
    }

    fn run(
        &mut self,
        run: &Run,
        blocks: &[KeptBlock],
        corners: &[GridPoint],
        joints: Vec<Point>,
        same: Option<KeptRun>,
    ) -> KeptRun {
        let ends = [Kept::block(blocks, run.from.block), Kept::block(blocks, run.to.block)];
        let points: Points = corners.iter().copied().map(Point::on_grid).collect();
        let ink = ink::of_run(&self.project.circuit, self.look, run);
        let circuit = &self.project.circuit;
        let locations = [run.from, run.to].map(|end| circuit.location_of_block(end.block));
        let frame = |place| self.scope.frame(circuit.place(place)?);
        let passages = places::passages(locations, frame, corners);
        let wires = self.look.wires.get(&run.id).copied().or(match ink {
            Ink::Pv | Ink::Battery => Some(Wires::POLES),
            Ink::Earth => Some(Wires::GROUND),
            Ink::Ac => ends.iter().flatten().find_map(|block| block.wires),
            Ink::Dead => None,
        });
        let drop = self.look.drops.get(&run.id).copied();
        let mut kept = KeptRun {
            id: run.id,
            ends: [run.from, run.to],
            ink,
            points,
            joints,
            passages,
            wires,
            marks: StrokeMarks::of(run, ink, wires),
            strokes: None,
            drop,
            extent: None,
            flag: None,
            spot: None,
            line_state: State::Fresh,
            flag_state: State::Fresh,
        };
        match same {
            Some(old) if old.wires == wires && old.drop == drop => {
                let same_line = old.ink == kept.ink
                    && old.points == kept.points
                    && old.joints == kept.joints
                    && old.passages == kept.passages;
                kept.line_state = if same_line { State::Same } else { State::Fresh };
                kept.flag_state = State::Same;
                kept.extent = old.extent;
                kept.spot = old.spot;
            }
            _ if self.look.detail == Detail::Full => {
                kept.flag = Flag::of(run, wires.map(Wires::count), drop, &mut self.figures);
                kept.extent = kept.flag.as_ref().map(|flag| flag.extent);
            }
            _ => {}
        }
        kept
    }
}
