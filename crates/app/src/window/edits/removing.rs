//! Removing what is selected.

use super::{Labeled, names_of};
use crate::window::selection::Selection;
use lineside_core::circuit::{Circuit, Place, PlaceId};
use lineside_core::edit::{Edit, Stand};
use std::collections::BTreeSet;

/// Removes the selected blocks with the runs that land on them, the selected runs, and the selected places.
/// What stands in a removed place goes to the place around it. `None` when nothing is selected.
pub fn selection(circuit: &Circuit, selection: &Selection) -> Option<Labeled> {
    let mut edits = Vec::new();
    let mut runs: BTreeSet<_> = selection.runs.clone();
    for block in &selection.blocks {
        runs.extend(circuit.runs_at(*block).iter().map(|run| run.id));
    }
    edits.extend(runs.into_iter().map(Edit::RemoveRun));
    edits.extend(selection.blocks.iter().copied().map(Edit::RemoveBlock));
    for place in &selection.places {
        edits.extend(empty_place(circuit, *place, selection));
    }
    // From the inside out, for a place in which another stands cannot go.
    let mut places: Vec<PlaceId> = selection.places.iter().copied().collect();
    places.sort_by_key(|id| std::cmp::Reverse(depth(circuit, *id)));
    edits.extend(places.into_iter().map(Edit::RemovePlace));
    (!edits.is_empty()).then(|| Labeled::new(label(circuit, selection), Edit::Batch(edits)))
}

fn label(circuit: &Circuit, selection: &Selection) -> String {
    let what = if !selection.blocks.is_empty() {
        names_of(circuit, &selection.blocks)
    } else if let (1, Some(run)) =
        (selection.runs.len(), selection.runs.first().and_then(|id| circuit.run(*id)))
    {
        run.tag.clone()
    } else if !selection.runs.is_empty() {
        format!("{} runs", selection.runs.len())
    } else {
        let name = selection.places.first().and_then(|id| circuit.place(*id)).map(|place| place.name.clone());
        name.unwrap_or_default()
    };
    format!("delete {what}")
}

/// The edits that move everything out of a place that is to go.
fn empty_place(circuit: &Circuit, id: PlaceId, selection: &Selection) -> Vec<Edit> {
    let outer = surviving_place(circuit, id, selection);
    let blocks = circuit
        .blocks()
        .filter(|block| block.place == Some(id) && !selection.blocks.contains(&block.id))
        .map(|block| {
            Edit::SetStand(block.id, Stand { at: block.at, orientation: block.orientation, place: outer })
        });
    let places = circuit
        .places()
        .filter(|place| place.within == Some(id) && !selection.places.contains(&place.id))
        .map(|place| Edit::SetPlace(Box::new(Place { within: outer, ..place.clone() })));
    blocks.chain(places).collect()
}

fn surviving_place(circuit: &Circuit, id: PlaceId, selection: &Selection) -> Option<PlaceId> {
    let mut outer = circuit.place(id)?.within;
    for _ in 0..circuit.places().count() {
        match outer {
            Some(id) if selection.places.contains(&id) => outer = circuit.place(id)?.within,
            _ => break,
        }
    }
    outer
}

fn depth(circuit: &Circuit, id: PlaceId) -> usize {
    let mut depth = 0;
    let mut here = circuit.place(id).and_then(|place| place.within);
    while let Some(outer) = here {
        depth += 1;
        if depth > circuit.places().count() {
            break;
        }
        here = circuit.place(outer).and_then(|place| place.within);
    }
    depth
}

#[cfg(test)]
mod tests {
    use super::super::samples::{breaker, end, join, make, put};
    use super::*;
    use crate::window::selection::Thing;
    use lineside_core::circuit::{GridPoint, Orientation, PlaceFacts, PlaceKind};
    use lineside_core::edit::apply;
    use lineside_core::project::Project;

    fn place(project: &mut Project, name: &str, within: Option<PlaceId>) -> PlaceId {
        let id = project.next_place_id().unwrap();
        let place = Place {
            id,
            name: name.into(),
            kind: PlaceKind::Location,
            within,
            at: GridPoint::default(),
            size: GridPoint::new(40, 40),
            facts: PlaceFacts::unknown(),
        };
        apply(project, Edit::InsertPlace(Box::new(place))).unwrap();
        id
    }

    #[test]
    fn a_block_goes_with_its_runs_and_comes_back_with_them() {
        let mut project = Project::default();
        let (a, b) = (put(&mut project, "Q1", breaker(), 0, 0), put(&mut project, "Q2", breaker(), 40, 0));
        join(&mut project, "W1", end(a, "load"), end(b, "line"));
        let before = project.clone();
        let step = selection(&project.circuit, &Selection::only(Thing::Block(a))).unwrap();
        assert_eq!(step.label, "delete Q1");
        let undo = apply(&mut project, step.edit).unwrap();
        assert_eq!((project.circuit.block_count(), project.circuit.run_count()), (1, 0));
        apply(&mut project, undo).unwrap();
        assert_eq!(project, before);
        assert_eq!(selection(&project.circuit, &Selection::default()), None);
    }

    #[test]
    fn what_stands_in_a_removed_place_moves_to_the_one_around_it() {
        let mut project = Project::default();
        let yard = place(&mut project, "Yard", None);
        let shed = place(&mut project, "Shed", Some(yard));
        let panel = place(&mut project, "Panel", Some(shed));
        let q = put(&mut project, "Q1", breaker(), 0, 0);
        let stand =
            Stand { at: GridPoint::default(), orientation: Orientation::default(), place: Some(panel) };
        apply(&mut project, Edit::SetStand(q, stand)).unwrap();
        let mut chosen = Selection::only(Thing::Place(shed));
        chosen.add(Thing::Place(panel));
        let undo = {
            let step = selection(&project.circuit, &chosen).unwrap();
            make(&mut project, step)
        };
        assert_eq!(project.circuit.block(q).unwrap().place, Some(yard));
        assert_eq!(project.circuit.places().count(), 1);
        apply(&mut project, undo).unwrap();
        assert_eq!(project.circuit.block(q).unwrap().place, Some(panel));
    }
}
