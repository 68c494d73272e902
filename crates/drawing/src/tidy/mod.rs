//! Tidy: laying out a circuit from scratch in reading order, the array at the left, the power wall in the
//! middle, the loads at the right, batteries below, places as frames round what stands in them.
//!
//! Only the circuit decides where things stand, not where they stood; so the result is the same every time, and
//! a small change of the circuit moves little. The sheet as a whole stays where it was: the block with the most
//! runs keeps its spot.

mod columns;
mod flow;
mod item;
mod layout;
mod rows;
mod spread;

use lineside_core::circuit::{Block, Circuit, GridPoint, Run};
use lineside_core::edit::{Edit, Stand};
use lineside_core::project::Project;
use lineside_core::units::UnitSystem;

/// The edit that lays out a project's circuit from scratch; `None` when nothing would change. Words that were moved by hand
/// belong to the old layout, as bends do, and find their own places again.
pub fn sheet(project: &Project) -> Option<Edit> {
    let words = project.moved_words.keys().map(|of| Edit::SetWords(*of, None));
    let edits: Vec<Edit> = tidy(&project.circuit, project.units).into_iter().chain(words).collect();
    (!edits.is_empty()).then_some(Edit::Batch(edits))
}

/// The edit that lays out a circuit from scratch; `None` when nothing would change. Bends that were placed by
/// hand belong to the old layout and go with it. `units` are those in which the words are printed, for which
/// room is made.
pub fn tidy(circuit: &Circuit, units: UnitSystem) -> Option<Edit> {
    let whole = layout::whole(circuit, units);
    let anchor = anchor(circuit);
    let moved = anchor.and_then(|block| {
        let (_, at, _) = whole.blocks.iter().find(|(id, ..)| *id == block.id)?;
        Some(GridPoint::new(block.at.x - at.x, block.at.y - at.y))
    });
    let moved = moved.unwrap_or_default();
    let mut edits = Vec::new();
    for (id, size, at) in whole.frames.iter().map(|(id, at, size)| (*id, *size, at.moved(moved.x, moved.y))) {
        let Some(place) = circuit.place(id).filter(|place| place.at != at || place.size != size) else {
            continue;
        };
        let mut place = place.clone();
        (place.at, place.size) = (at, size);
        edits.push(Edit::SetPlace(Box::new(place)));
    }
    for (id, at, orientation) in &whole.blocks {
        let Some(block) = circuit.block(*id) else { continue };
        let stand = Stand { at: at.moved(moved.x, moved.y), orientation: *orientation, place: block.place };
        if (stand.at, stand.orientation) != (block.at, block.orientation) {
            edits.push(Edit::SetStand(*id, stand));
        }
    }
    for run in circuit.runs().filter(|run| !run.bends.is_empty()) {
        edits.push(Edit::SetRun(Box::new(Run { bends: Vec::new(), ..run.clone() })));
    }
    (!edits.is_empty()).then_some(Edit::Batch(edits))
}

/// The block that stays where it is.
fn anchor(circuit: &Circuit) -> Option<&Block> {
    circuit.blocks().min_by_key(|block| (std::cmp::Reverse(circuit.runs_at(block.id).len()), block.id))
}
