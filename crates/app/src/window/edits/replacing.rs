//! Putting another sheet in the place of the one that is drawn, as one step: how a proposal is opened.

use super::Labeled;
use lineside_core::circuit::{Circuit, Place};
use lineside_core::edit::Edit;
use lineside_core::project::Project;

/// How many places a place stands within.
fn depth(circuit: &Circuit, place: &Place) -> usize {
    let mut depth = 0;
    let mut within = place.within;
    while let Some(outer) = within.and_then(|id| circuit.place(id)).filter(|_| depth < 100) {
        depth += 1;
        within = outer.within;
    }
    depth
}

/// The places of a circuit, outer ones first.
fn places(circuit: &Circuit) -> Vec<&Place> {
    let mut places: Vec<&Place> = circuit.places().collect();
    places.sort_by_key(|place| (depth(circuit, place), place.id));
    places
}

/// Takes everything off the sheet and draws what stands on the other. Title, brief, prices and stock stay.
pub fn sheet(before: &Project, after: &Project) -> Labeled {
    let (old, new) = (&before.circuit, &after.circuit);
    let mut edits: Vec<Edit> = old.runs().map(|run| Edit::RemoveRun(run.id)).collect();
    edits.extend(old.blocks().map(|block| Edit::RemoveBlock(block.id)));
    edits.extend(places(old).into_iter().rev().map(|place| Edit::RemovePlace(place.id)));
    edits.extend(places(new).into_iter().map(|place| Edit::InsertPlace(Box::new(place.clone()))));
    edits.extend(new.blocks().map(|block| Edit::InsertBlock(Box::new(block.clone()))));
    edits.extend(new.runs().map(|run| Edit::InsertRun(Box::new(run.clone()))));
    edits.push(Edit::SetCases(after.cases.clone()));
    edits.push(Edit::SetSetPoints(after.set_points.clone()));
    // Labels of the old sheet would be wrong ones.
    edits.push(Edit::SetLabels(after.labels.clone()));
    Labeled::new("open proposal", Edit::Batch(edits))
}

#[cfg(test)]
mod tests {
    use super::*;
    use lineside_core::edit::apply;
    use lineside_core::file;

    #[test]
    fn one_sheet_takes_the_place_of_another_and_comes_back() {
        let cabin = file::read(include_str!("../../../../../assets/demos/cabin.lineside")).unwrap();
        let home = file::read(include_str!("../../../../../assets/demos/home.lineside")).unwrap();
        let mut project = cabin.clone();
        let back = apply(&mut project, sheet(&cabin, &home).edit).unwrap();
        assert_eq!(project.circuit.block_count(), home.circuit.block_count());
        assert_eq!(project.circuit.runs().count(), home.circuit.runs().count());
        assert_eq!((&project.cases, &project.labels), (&home.cases, &home.labels));
        assert_eq!((&project.title, &project.brief), (&cabin.title, &cabin.brief));
        apply(&mut project, back).unwrap();
        assert_eq!(file::write(&project).unwrap(), file::write(&cabin).unwrap());
    }
}
