//! Edits and history: undo is exact, refusals change nothing, gestures merge.
#![cfg(test)]

use lineside_core::circuit::GridPoint;
use lineside_core::edit::{Edit, Gesture, History, Refusal, Stand, apply, remove_block_with_runs};
use lineside_core::file;
use lineside_core::kinds::field::Value;
use lineside_core::project::Project;
use lineside_core::stock;
use lineside_core::testing::{self, Bench, copper};
use lineside_core::units::Meters;
use proptest::prelude::*;

fn bench() -> Bench {
    let mut bench = Bench::new();
    let wall = bench.location("Power wall");
    let controller = bench.stock("Tracking controller, 150 V in, 60 A out");
    bench.put("C1", Some(wall), controller);
    let items = stock::built_in().unwrap();
    let combiner = items.iter().find(|item| item.equipment.kind().key() == "combiner").unwrap();
    bench.put("CB1", Some(wall), combiner.equipment.clone());
    bench.join("W1", "CB1.out", "C1.pv", Some(copper("6", Meters::new(3.0))));
    bench
}

fn stand(project: &Project, tag: &str, x: i32) -> Edit {
    let block = project.circuit.block_by_tag(tag).unwrap();
    Edit::SetStand(
        block.id,
        Stand { at: GridPoint::new(x, 0), orientation: block.orientation, place: block.place },
    )
}

#[test]
fn refusals_say_why_and_change_nothing() {
    let mut project = bench().project;
    let before = project.clone();
    let combiner = project.circuit.block_by_tag("CB1").unwrap().id;
    let controller = project.circuit.block_by_tag("C1").unwrap().clone();
    let says = |project: &mut Project, edit: Edit| apply(project, edit).unwrap_err().to_string();

    assert_eq!(says(&mut project, Edit::RemoveBlock(combiner)), "W1 still lands on CB1; remove it first");
    assert_eq!(
        says(&mut project, Edit::SetTag(combiner, "C1".into())),
        "the tag C1 is already in use; a tag names one thing"
    );
    assert!(says(&mut project, Edit::SetTag(combiner, "a b".into())).contains("cannot be a tag"));
    let mut wrong = controller.equipment.clone();
    assert!(wrong.set("max_input_voltage", &Value::Number(-3.0)).is_err());
    let place = project.circuit.place_by_name("Power wall").unwrap().id;
    assert!(says(&mut project, Edit::RemovePlace(place)).contains("still stands in Power wall"));
    let mut ring = project.circuit.place(place).unwrap().clone();
    ring.within = Some(place);
    assert!(matches!(apply(&mut project, Edit::SetPlace(Box::new(ring))), Err(Refusal::PlaceRing(_))));
    let batch = Edit::Batch(vec![stand(&project, "C1", 40), Edit::RemoveBlock(combiner)]);
    assert!(apply(&mut project, batch).is_err());
    assert_eq!(project, before, "a refused edit leaves everything as it was");
}

#[test]
fn a_block_that_loses_a_wired_terminal_is_refused() {
    let mut project = bench().project;
    let block = project.circuit.block_by_tag("CB1").unwrap().clone();
    let mut equipment = block.equipment.clone();
    equipment.set("buses", &Value::Whole(2)).unwrap();
    let edit = Edit::SetEquipment { block: block.id, equipment: Box::new(equipment), stock: None };
    assert_eq!(
        apply(&mut project, edit).unwrap_err().to_string(),
        "W1 lands on CB1.out, which would be gone; move the run first"
    );
}

#[test]
fn a_drag_is_one_step() {
    let mut project = bench().project;
    let before = project.clone();
    let mut history = History::new();
    for x in 1..=20 {
        let edit = stand(&project, "C1", x);
        history.make(&mut project, "move C1", edit, Some(Gesture(7))).unwrap();
    }
    assert_eq!(history.steps().len(), 1);
    let after = project.clone();
    assert_eq!(history.undo(&mut project).unwrap().label, "move C1");
    assert_eq!(project, before);
    assert!(!history.is_changed());
    history.redo(&mut project);
    assert_eq!(project, after);
    assert!(history.is_changed());
}

#[test]
fn saving_in_the_middle_of_a_gesture_keeps_the_mark_true() {
    let mut project = bench().project;
    let mut history = History::new();
    let edit = stand(&project, "C1", 3);
    history.make(&mut project, "move", edit, Some(Gesture(1))).unwrap();
    history.mark_saved();
    let edit = stand(&project, "C1", 4);
    history.make(&mut project, "move", edit, Some(Gesture(1))).unwrap();
    assert!(history.is_changed());
    history.undo(&mut project);
    assert!(!history.is_changed());
    history.undo(&mut project);
    assert!(history.is_changed());
    let edit = stand(&project, "C1", 9);
    history.make(&mut project, "move", edit, None).unwrap();
    history.undo(&mut project);
    assert!(history.is_changed(), "the saved state can not come back");
}

#[test]
fn removing_a_block_takes_its_runs_and_undo_brings_them_back() {
    let mut project = bench().project;
    let before = project.clone();
    let block = project.circuit.block_by_tag("C1").unwrap().id;
    let edit = remove_block_with_runs(&project.circuit, block);
    let inverse = apply(&mut project, edit).unwrap();
    assert_eq!((project.circuit.block_count(), project.circuit.run_count()), (1, 0));
    apply(&mut project, inverse).unwrap();
    assert_eq!(project, before);
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(96))]

    #[test]
    fn any_edits_then_undo_return_the_identical_project(
        start in testing::project(0..30),
        wishes in prop::collection::vec(testing::wish(), 0..30),
    ) {
        let stock = stock::built_in().unwrap();
        let mut project = start.clone();
        let mut history = History::new();
        let text = file::write(&start).unwrap();
        for (i, wish) in wishes.iter().enumerate() {
            let before = project.clone();
            if let Some(edit) = wish.edit(&project, &stock) {
                let gesture = (i % 3 != 0).then_some(Gesture(1));
                if history.make(&mut project, "step", edit, gesture).is_err() {
                    prop_assert_eq!(&project, &before);
                }
            }
        }
        let end = project.clone();
        while history.undo(&mut project).is_some() {}
        prop_assert_eq!(&project, &start);
        prop_assert_eq!(file::write(&project).unwrap(), text);
        while history.redo(&mut project).is_some() {}
        prop_assert_eq!(&project, &end);
    }
}
