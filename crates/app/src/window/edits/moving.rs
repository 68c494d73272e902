//! Moving blocks about, and with them the places to which they belong.

use super::{Labeled, adding, names_of, place_at};
use lineside_core::circuit::{Block, BlockId, Circuit, GridPoint, PlaceId};
use lineside_core::edit::{Edit, Stand};
use std::collections::BTreeSet;

/// How a block stands now.
pub const fn stand_of(block: &Block) -> Stand {
    Stand { at: block.at, orientation: block.orientation, place: block.place }
}

/// How several blocks stand, to be moved from there.
pub fn stands(circuit: &Circuit, blocks: &BTreeSet<BlockId>) -> Vec<(BlockId, Stand)> {
    blocks.iter().filter_map(|id| Some((*id, stand_of(circuit.block(*id)?)))).collect()
}

/// Moves blocks by whole steps from where they stood; each then belongs to the place in whose frame its
/// middle lies. `None` when nothing would change. The edit sets all of the blocks, so that the steps of one
/// drag merge.
pub fn by(circuit: &Circuit, from: &[(BlockId, Stand)], dx: i32, dy: i32) -> Option<Labeled> {
    let mut changes = false;
    let mut edits = Vec::with_capacity(from.len());
    for (id, stand) in from {
        let block = circuit.block(*id)?;
        let at = stand.at.moved(dx, dy);
        let middle = adding::middle_of(block).moved(at.x - block.at.x, at.y - block.at.y);
        let place = if (dx, dy) == (0, 0) { stand.place } else { place_at(circuit, middle) };
        let moved = Stand { at, place, ..*stand };
        changes |= moved != stand_of(block);
        edits.push(Edit::SetStand(*id, moved));
    }
    let names = from.iter().map(|(id, _)| *id).collect();
    changes.then(|| Labeled::new(format!("move {}", names_of(circuit, &names)), Edit::Batch(edits)))
}

/// Whether a block stands in a place or in something within it.
pub fn stands_within(circuit: &Circuit, block: &Block, place: PlaceId) -> bool {
    let mut here = block.place;
    for _ in 0..=circuit.places().count() {
        match here {
            Some(id) if id == place => return true,
            Some(id) => here = circuit.place(id).and_then(|place| place.within),
            None => return false,
        }
    }
    false
}

/// Blocks whose symbols lie wholly within a rectangle of the grid.
pub fn blocks_in(circuit: &Circuit, a: GridPoint, b: GridPoint) -> BTreeSet<BlockId> {
    let band = lineside_drawing::geometry::GridArea::of(a, b);
    circuit
        .blocks()
        .filter(|block| {
            let bounds = lineside_drawing::placement::bounds(block);
            band.contains(bounds.min) && band.contains(bounds.max)
        })
        .map(|block| block.id)
        .collect()
}

#[cfg(test)]
mod tests {
    use super::super::samples::{breaker, make, put};
    use super::*;
    use lineside_core::circuit::{Place, PlaceFacts, PlaceKind};
    use lineside_core::edit::apply;
    use lineside_core::project::Project;

    #[test]
    fn a_block_belongs_to_the_place_where_its_middle_lies() {
        let mut project = Project::default();
        let q = put(&mut project, "Q1", breaker(), 0, 0);
        let wall = project.next_place_id().unwrap();
        let place = Place {
            id: wall,
            name: "Power wall".into(),
            kind: PlaceKind::Location,
            within: None,
            at: GridPoint::new(20, 0),
            size: GridPoint::new(20, 20),
            facts: PlaceFacts::unknown(),
        };
        apply(&mut project, Edit::InsertPlace(Box::new(place))).unwrap();
        let from = stands(&project.circuit, &BTreeSet::from([q]));
        assert_eq!(by(&project.circuit, &from, 0, 0), None);
        let step = by(&project.circuit, &from, 24, 4).unwrap();
        assert_eq!(step.label, "move Q1");
        apply(&mut project, step.edit).unwrap();
        let block = project.circuit.block(q).unwrap();
        assert_eq!((block.at, block.place), (GridPoint::new(24, 4), Some(wall)));
        assert!(stands_within(&project.circuit, block, wall));
        // Back to where the drag began: the block leaves the place again.
        let step = by(&project.circuit, &from, 0, 0).unwrap();
        make(&mut project, step);
        assert_eq!(project.circuit.block(q).unwrap().place, None);
    }

    #[test]
    fn a_band_takes_what_lies_wholly_in_it() {
        let mut project = Project::default();
        let inside = put(&mut project, "Q1", breaker(), 2, 2);
        put(&mut project, "Q2", breaker(), 8, 2);
        let found = blocks_in(&project.circuit, GridPoint::new(10, 10), GridPoint::new(0, 0));
        assert_eq!(found, BTreeSet::from([inside]));
    }
}
