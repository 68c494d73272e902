//! Tidy: demos and generated circuits are laid out without overlaps and with few crossings, the same every time, and
//! a small change moves little.
#![cfg(test)]

#[path = "support/measure.rs"]
mod measure;
#[path = "support/mod.rs"]
mod support;

use lineside_core::edit::{apply, remove_block_with_runs};
use lineside_core::file;
use lineside_core::project::Project;
use lineside_core::{stock, testing};
use lineside_drawing::tidy;
use proptest::prelude::*;
use proptest::strategy::ValueTree as _;
use proptest::test_runner::TestRunner;

fn tidied(project: &Project) -> Project {
    let mut tidied = project.clone();
    if let Some(edit) = tidy::sheet(project) {
        apply(&mut tidied, edit).unwrap();
    }
    tidied
}

/// Blocks on blocks, frames on frames, and blocks outside of the frame of their place.
fn piled(project: &Project) -> Vec<String> {
    let circuit = &project.circuit;
    let mut found = measure::piled(circuit);
    found.extend(measure::frames(circuit));
    found
}

#[test]
fn demos_tidy_to_no_overlaps_and_few_crossings() {
    for (name, text) in support::DEMOS {
        let project = tidied(&file::read(text).unwrap());
        let (drawing, routes) = measure::drawn(&project);
        let meeting = measure::meeting(&project.circuit, &routes);
        let bends: usize = routes.iter().map(|(_, points)| points.len().saturating_sub(2)).sum();
        eprintln!(
            "{name}: {} crossings, {bends} bends, {} runs",
            meeting.crossings,
            project.circuit.run_count()
        );
        assert_eq!(drawing.left_out, Vec::new(), "{name} has room for all words");
        assert_eq!(piled(&project), Vec::<String>::new(), "{name}");
        assert_eq!(measure::through_blocks(&project.circuit, &routes), Vec::<String>::new(), "{name}");
        assert_eq!(measure::overlaps(&project, &drawing), Vec::<String>::new(), "{name}");
        assert_eq!(meeting.false_joints, Vec::<String>::new(), "{name}");
        assert_eq!(meeting.crosses, Vec::<String>::new(), "{name}");
        assert_eq!(meeting.wrong_dots, Vec::<String>::new(), "{name}");
        assert!(meeting.crossings <= 3, "{name}: {} crossings", meeting.crossings);
        assert!(bends <= 2 * project.circuit.run_count(), "{name}: {bends} bends");
    }
}

/// Power flows to the right: strings stand left of their controllers, these left of the bus, that left of the
/// inverter, and batteries stand below the bus.
#[test]
fn demos_read_from_the_array_to_the_loads() {
    for (name, text) in support::DEMOS {
        let project = tidied(&file::read(text).unwrap());
        let at = |tag: &str| project.circuit.block_by_tag(tag).map(|block| block.at).unwrap();
        let order = ["S1", "C1", "BUS1", "INV1", if name == "home" { "P2" } else { "P1" }];
        for pair in order.windows(2) {
            let [before, after] = pair else { continue };
            assert!(at(before).x < at(after).x, "{name}: {before} before {after}");
        }
        assert!(at("B1").y > at("BUS1").y, "{name}: the battery below the bus");
    }
}

#[test]
fn demos_are_tidied_once_and_for_all() {
    for (name, text) in support::DEMOS {
        let project = tidied(&file::read(text).unwrap());
        assert_eq!(tidy::sheet(&project), None, "{name}");
    }
}

/// By how many steps each block that stands in both has moved, least first.
fn steps_moved(before: &Project, after: &Project) -> Vec<u32> {
    let mut moved: Vec<u32> = after
        .circuit
        .blocks()
        .filter_map(|block| Some((block.at, before.circuit.block(block.id)?.at)))
        .map(|(now, then)| now.x.abs_diff(then.x) + now.y.abs_diff(then.y))
        .collect();
    moved.sort_unstable();
    moved
}

/// Without one string, the rest of the cabin stays within a few steps of where it stood.
#[test]
fn a_small_change_moves_little() {
    for (name, text) in support::DEMOS {
        let before = tidied(&file::read(text).unwrap());
        let mut after = before.clone();
        let gone = after.circuit.block_by_tag("S2").unwrap().id;
        let edit = remove_block_with_runs(&after.circuit, gone);
        apply(&mut after, edit).unwrap();
        let after = tidied(&after);
        let moved = steps_moved(&before, &after);
        let half = moved[moved.len() / 2];
        assert!(half <= 2, "{name}: half of the blocks move {half} steps or more: {moved:?}");
    }
}

/// Any one block less: half of the others stay within a step or two, and the rest of the sheet reads as before.
#[test]
fn any_block_less_moves_little() {
    for (name, text) in support::DEMOS {
        let before = tidied(&file::read(text).unwrap());
        let (mut halves, mut least) = (Vec::new(), usize::MAX);
        for gone in before.circuit.blocks().map(|block| block.id) {
            let mut after = before.clone();
            let edit = remove_block_with_runs(&after.circuit, gone);
            apply(&mut after, edit).unwrap();
            let after = tidied(&after);
            let moved = steps_moved(&before, &after);
            halves.push(moved[moved.len() / 2]);
            least = least.min(moved.iter().filter(|moved| **moved == 0).count());
        }
        halves.sort_unstable();
        eprintln!("{name}: half of the blocks move by at most {halves:?} steps; {least} stay at the least");
        assert!(halves[halves.len() / 2] <= 2, "{name}: {halves:?}");
    }
}

/// Generated circuits join anything to anything, so that some runs must cross; what is counted is how often.
#[test]
fn generated_circuits_tidy_to_few_crossings() {
    let mut runner = TestRunner::deterministic();
    let (mut crossings, mut runs, mut worst) = (0, 0, 0.0_f64);
    for _ in 0..100 {
        let project = tidied(&testing::project(10..80).new_tree(&mut runner).unwrap().current());
        let (_, routes) = measure::drawn(&project);
        let found = measure::meeting(&project.circuit, &routes).crossings;
        crossings += found;
        runs += project.circuit.run_count();
        worst = worst.max(found as f64 / project.circuit.run_count().max(1) as f64);
    }
    eprintln!("{crossings} crossings of {runs} runs, at worst {worst:.2} for each");
    assert!(crossings < runs, "{crossings} crossings of {runs} runs");
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 100, ..ProptestConfig::default() })]

    #[test]
    fn whatever_is_drawn_tidies_to_no_overlaps(project in testing::project(10..80)) {
        let once = tidied(&project);
        prop_assert_eq!(piled(&once), Vec::<String>::new());
        prop_assert_eq!(tidy::sheet(&once), None);
    }

    #[test]
    fn demos_that_were_edited_tidy_to_no_overlaps(
        demo in 0..support::DEMOS.len(),
        wishes in prop::collection::vec(testing::wish(), 1..12),
    ) {
        let stock = stock::built_in().unwrap();
        let mut project = file::read(support::DEMOS[demo].1).unwrap();
        for wish in wishes {
            if let Some(edit) = wish.edit(&project, &stock) {
                let _refused = apply(&mut project, edit);
            }
        }
        let once = tidied(&project);
        prop_assert_eq!(piled(&once), Vec::<String>::new());
        prop_assert_eq!(tidy::sheet(&once), None);
    }
}
