//! Drawing an enclosure round what is selected, within the place where it stands.

use super::{Fresh, Labeled, adding, moving, names_of};
use lineside_core::circuit::{Block, BlockId, Circuit, GridPoint, Place, PlaceFacts, PlaceId, PlaceKind};
use lineside_core::edit::{Edit, Stand};
use lineside_core::project::Project;
use lineside_drawing::geometry::GridArea;
use lineside_drawing::placement;
use std::collections::BTreeSet;

/// Room between the frame and what it is drawn round, in steps; more above, for the name.
const ROOM: i32 = 3;
const ABOVE: i32 = 5;

/// Draws an enclosure round blocks. Gives back its id and what else stands within its frame and went into it, or
/// says why it cannot be.
pub fn enclose(
    project: &Project,
    blocks: &BTreeSet<BlockId>,
) -> Result<(Labeled, PlaceId, Vec<String>), String> {
    let circuit = &project.circuit;
    let chosen: Vec<&Block> = blocks.iter().filter_map(|id| circuit.block(*id)).collect();
    let Some(first) = chosen.first() else { return Err("select the blocks to be enclosed first".to_owned()) };
    if let Some(other) = chosen.iter().find(|block| block.place != first.place) {
        return Err(format!(
            "{} stands {}, {} {}; an enclosure is in one place",
            first.tag,
            whereabouts(circuit, first.place),
            other.tag,
            whereabouts(circuit, other.place)
        ));
    }
    let area = chosen.iter().map(|block| placement::bounds(block)).reduce(GridArea::union);
    let Some(area) = area else { return Err("select the blocks to be enclosed first".to_owned()) };
    let at = area.min.moved(-ROOM, -ABOVE);
    let far = area.max.moved(ROOM, ROOM);
    let id = Fresh::new(project).place().ok_or("this project has used up its numbers")?;
    let enclosure = Place {
        id,
        name: free_name(circuit),
        kind: PlaceKind::Enclosure,
        within: first.place,
        at,
        size: GridPoint::new(far.x - at.x, far.y - at.y),
        facts: PlaceFacts::unknown(),
    };
    let others: Vec<&Block> = circuit
        .blocks()
        .filter(|block| block.place == first.place && !blocks.contains(&block.id))
        .filter(|block| enclosure.contains(adding::middle_of(block)))
        .collect();
    let label = format!("enclose {}", names_of(circuit, blocks));
    let also = others.iter().map(|block| block.tag.clone()).collect();
    let mut edits: Vec<Edit> = outer_places(circuit, first.place, GridArea { min: at, max: far });
    edits.push(Edit::InsertPlace(Box::new(enclosure)));
    edits.extend(
        chosen
            .iter()
            .chain(&others)
            .map(|block| Edit::SetStand(block.id, Stand { place: Some(id), ..moving::stand_of(block) })),
    );
    Ok((Labeled::new(label, Edit::Batch(edits)), id, also))
}

fn whereabouts(circuit: &Circuit, place: Option<PlaceId>) -> String {
    place
        .and_then(|id| circuit.place(id))
        .map_or_else(|| "in no place".to_owned(), |place| format!("in {}", place.name))
}

/// The frames around grow where the new one would reach over their edge.
fn outer_places(circuit: &Circuit, within: Option<PlaceId>, frame: GridArea) -> Vec<Edit> {
    let mut edits = Vec::new();
    let mut inner = frame;
    let mut here = within;
    for _ in 0..circuit.places().count() {
        let Some(place) = here.and_then(|id| circuit.place(id)) else { break };
        let own = GridArea { min: place.at, max: place.at.moved(place.size.x, place.size.y) };
        let grown = own.union(inner.grown(1));
        if own.contains(inner.min) && own.contains(inner.max) {
            break;
        }
        edits.push(Edit::SetPlace(Box::new(Place {
            at: grown.min,
            size: GridPoint::new(grown.max.x - grown.min.x, grown.max.y - grown.min.y),
            ..place.clone()
        })));
        inner = grown;
        here = place.within;
    }
    edits
}

fn free_name(circuit: &Circuit) -> String {
    (1..=circuit.places().count() + 1)
        .map(|n| format!("Enclosure {n}"))
        .find(|name| circuit.place_by_name(name).is_none())
        .unwrap_or_else(|| "Enclosure".to_owned())
}

#[cfg(test)]
mod tests {
    use super::super::places;
    use super::super::samples::{breaker, make, put};
    use super::*;
    use lineside_core::edit::apply;

    #[test]
    fn an_enclosure_stands_within_the_place_of_its_blocks_which_grows_with_it() {
        let mut project = Project::default();
        let a = put(&mut project, "Q1", breaker(), 10, 10);
        let b = put(&mut project, "Q2", breaker(), 10, 20);
        let (step, wall) = places::add(&project, &BTreeSet::from([a, b]), GridPoint::default()).unwrap();
        make(&mut project, step);
        let before = project.clone();
        let (step, id, also) = enclose(&project, &BTreeSet::from([a])).unwrap();
        assert_eq!((step.label.as_str(), also), ("enclose Q1", Vec::<String>::new()));
        let undo = apply(&mut project, step.edit).unwrap();
        let place = project.circuit.place(id).unwrap();
        assert_eq!((place.kind, place.within), (PlaceKind::Enclosure, Some(wall)));
        // The symbol is 4 by 2 steps: 3 steps of room around it and 5 above.
        assert_eq!((place.at, place.size), (GridPoint::new(7, 5), GridPoint::new(10, 10)));
        // The wall began 4 steps above the symbol; it now begins one above the enclosure.
        assert_eq!(project.circuit.place(wall).unwrap().at, GridPoint::new(6, 4));
        assert_eq!(project.circuit.block(a).unwrap().place, Some(id));
        assert_eq!(project.circuit.block(b).unwrap().place, Some(wall));
        let refused = enclose(&project, &BTreeSet::from([a, b])).unwrap_err();
        assert_eq!(refused, "Q1 stands in Enclosure 1, Q2 in Place 1; an enclosure is in one place");
        apply(&mut project, undo).unwrap();
        assert_eq!(project, before);
    }

    #[test]
    fn what_stands_between_goes_in_and_is_named() {
        let mut project = Project::default();
        let a = put(&mut project, "Q1", breaker(), 0, 0);
        put(&mut project, "Q2", breaker(), 8, 0);
        let c = put(&mut project, "Q3", breaker(), 16, 0);
        let (step, id, also) = enclose(&project, &BTreeSet::from([a, c])).unwrap();
        assert_eq!(also, ["Q2"]);
        make(&mut project, step);
        assert!(project.circuit.blocks().all(|block| block.place == Some(id)));
        assert!(enclose(&project, &BTreeSet::new()).unwrap_err().contains("select the blocks"));
    }
}
