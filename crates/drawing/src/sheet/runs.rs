//! Runs: their lines with joints and field flags, and their conductor flags.

use super::build::Pieces;
use super::places;
use crate::display_list::{Ends, Group, Item, Layer, Shape, Subject};
use crate::geometry::Point;
use crate::label::{Flag, FlagSpot, flag_texts};
use crate::pen::{Ink, Pen};
use lineside_core::circuit::RunId;

/// Radius of a junction dot, mm.
const JOINT: f32 = 0.5;

/// The line of a run.
pub(super) fn line(run: RunId, points: &[Point], ink: Ink, joints: &[Point], passages: &[Point]) -> Group {
    let subject = Subject::Run(run);
    let mut pieces: Pieces = Vec::with_capacity(1 + joints.len() + 2 * passages.len());
    if points.len() > 1 {
        let shape = Shape::Polyline { points: points.to_vec(), ends: Ends::Open };
        pieces.push(Item { subject, pen: Pen::Run(ink), shape });
    }
    for joint in joints {
        let shape = Shape::Disc { center: *joint, radius: JOINT.max(0.8 * Pen::Run(ink).width_mm()) };
        pieces.push(Item { subject, pen: Pen::Joint(ink), shape });
    }
    for passage in passages {
        places::flag(*passage, ink, subject, &mut pieces);
    }
    Group::new(subject, Layer::Runs, pieces)
}

/// The conductor flag of a run.
pub(super) fn flag(run: RunId, flag: &Flag, spot: FlagSpot) -> Group {
    let subject = Subject::Run(run);
    let items = flag_texts(spot, flag)
        .into_iter()
        .map(|text| Item { subject, pen: Pen::Text, shape: Shape::Text(text) })
        .collect();
    Group::new(subject, Layer::Words, items)
}
