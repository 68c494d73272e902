//! Runs: their lines with joints and field flags, and their conductor flags.

use super::build::Pieces;
use super::kept::KeptRun;
use super::places;
use crate::display_list::{Ends, Group, Item, Layer, Shape, Subject};
use crate::label::{Flag, FlagSpot, flag_texts};
use crate::pen::Pen;
use lineside_core::circuit::RunId;

/// Least radius of a junction dot, mm.
const JOINT: f32 = 0.5;

/// The line of a run.
pub(super) fn line(run: &KeptRun) -> Group {
    let subject = Subject::Run(run.id);
    let mut pieces: Pieces = Vec::with_capacity(1 + run.joints.len() + 2 * run.passages.len());
    if run.points.len() > 1 {
        let shape = Shape::Polyline { points: run.points.clone(), ends: Ends::Open };
        pieces.push(Item { subject, pen: Pen::Run(run.ink), shape });
    }
    for joint in &run.joints {
        let shape = Shape::Disc { center: *joint, radius: JOINT.max(0.9 * Pen::Run(run.ink).width_mm()) };
        pieces.push(Item { subject, pen: Pen::Joint(run.ink), shape });
    }
    for passage in &run.passages {
        places::flag(*passage, run.ink, subject, &mut pieces);
    }
    Group::new(subject, Layer::Runs, pieces)
}

/// The conductor flag of a run; empty when it has none after all.
pub(super) fn flag(run: RunId, flag: Option<Flag>, spot: FlagSpot) -> Group {
    let subject = Subject::Run(run);
    let texts = flag.map(|flag| flag_texts(spot, flag)).unwrap_or_default();
    let item = |text| Item { subject, pen: Pen::Text, shape: Shape::Text(text) };
    Group::within(spot.spot.area, subject, Layer::Words, texts.into_iter().map(item).collect())
}
