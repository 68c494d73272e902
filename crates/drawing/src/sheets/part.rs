//! The part of a circuit that one sheet shows: its blocks, the outlines of its places as far as they are on it, and the
//! exits at which runs leave for other sheets.

use crate::geometry::{Area, Facing, GridArea, Point, STEP_MM};
use lineside_core::circuit::{BlockId, GridPoint, Place, PlaceId, Run, RunId, Side};
use std::collections::{BTreeMap, BTreeSet};

/// What one sheet shows of a circuit.
#[derive(Clone, Debug, Default, PartialEq)]
pub(crate) struct Part {
    pub blocks: BTreeSet<BlockId>,
    /// Outlines of places, cut to what is on this sheet.
    pub frames: BTreeMap<PlaceId, GridArea>,
    /// For each end that is on another sheet: where its run leaves this one.
    pub exits: BTreeMap<(RunId, Side), Exit>,
}

/// Where a run leaves the sheet.
#[derive(Clone, Debug, PartialEq)]
pub(crate) struct Exit {
    /// Where the run ends on this sheet.
    pub at: GridPoint,
    /// The way in which the run leaves the flag; the flag stands on the other side.
    pub facing: Facing,
    /// The tag of the run.
    pub tag: String,
    /// Where it goes on: sheet, zone and block.
    pub onward: String,
    /// Length of the flag, steps.
    pub length: i32,
}

/// Half the height of the flag, mm.
const HALF: f32 = 1.9;

impl Exit {
    /// The grid points that the flag takes.
    pub(crate) fn body(&self) -> GridArea {
        let (dx, _) = self.facing.opposite().step();
        GridArea::of(self.at, self.at.moved(dx * self.length, 0))
    }
    /// The room that it fills on paper.
    pub(crate) fn area(&self) -> Area {
        let (from, to) = (Point::on_grid(self.at), self.tip());
        Area::of(&[from.moved(0.0, -HALF), to.moved(0.0, HALF)])
    }
    /// The point of the arrow.
    pub(crate) fn tip(&self) -> Point {
        let (dx, _) = self.facing.opposite().step();
        Point::on_grid(self.at).moved(dx as f32 * self.length as f32 * STEP_MM, 0.0)
    }
}

/// What a sheet shows: a part of a circuit, or all of it.
#[derive(Clone, Copy)]
pub(crate) struct Scope<'a>(pub Option<&'a Part>);

impl Scope<'_> {
    /// The whole circuit.
    pub(crate) const WHOLE: Scope<'static> = Scope(None);

    pub(crate) fn has(self, block: BlockId) -> bool {
        self.0.is_none_or(|part| part.blocks.contains(&block))
    }
    pub(crate) fn has_run(self, run: &Run) -> bool {
        self.has(run.from.block) || self.has(run.to.block)
    }
    /// Where a run leaves the sheet at one of its ends; `None` where that end is on it.
    pub(crate) fn exit(&self, run: RunId, side: Side) -> Option<&Exit> {
        self.0?.exits.get(&(run, side))
    }
    /// Every exit with its run.
    pub(crate) fn exits_of_runs(&self) -> impl Iterator<Item = (RunId, &Exit)> {
        self.0.into_iter().flat_map(|part| &part.exits).map(|((run, _), exit)| (*run, exit))
    }
    /// Every exit as a body that runs go round. Ids are given out once for everything in a project, so that of its
    /// run tells an exit from all blocks.
    pub(crate) fn exits(&self) -> impl Iterator<Item = (BlockId, &Exit)> {
        self.exits_of_runs().filter_map(|(run, exit)| Some((BlockId::new(run.number())?, exit)))
    }
    /// The outline of a place, as far as it is on the sheet.
    pub(crate) fn frame(self, place: &Place) -> Option<GridArea> {
        match self.0 {
            None => Some(GridArea::of(place.at, place.at.moved(place.size.x, place.size.y))),
            Some(part) => part.frames.get(&place.id).copied(),
        }
    }
}
