//! Words on the sheets of the demos, and on a hundred generated sheets, lie on nothing: neither on each other nor on
//! symbols, conductors and outlines.
#![cfg(test)]

#[path = "support/measure.rs"]
mod measure;
#[path = "support/mod.rs"]
mod support;

use lineside_core::edit::apply;
use lineside_core::file;
use lineside_core::project::Project;
use lineside_core::{stock, testing};
use lineside_drawing::tidy;
use proptest::prelude::*;
use proptest::strategy::ValueTree as _;
use proptest::test_runner::TestRunner;

#[test]
fn words_of_the_demos_lie_on_nothing() {
    for (name, text) in support::DEMOS {
        let project = file::read(text).unwrap();
        let (drawing, _) = measure::drawn(&project);
        let words = drawing.list.texts().count();
        assert!(words > 2 * project.circuit.block_count(), "{name}: {words} words");
        assert_eq!(drawing.left_out, Vec::new(), "{name} has room for all words");
        let found = measure::overlaps(&project, &drawing);
        assert!(found.is_empty(), "{name}:\n{}", found.join("\n"));
    }
}

/// What lies on a sheet where it should not, once it has been laid out: generated circuits stand in piles.
fn faults(mut project: Project) -> Vec<String> {
    if let Some(edit) = tidy::sheet(&project) {
        apply(&mut project, edit).unwrap();
    }
    let (drawing, routes) = measure::drawn(&project);
    let mut found = measure::overlaps(&project, &drawing);
    found.extend(measure::through_blocks(&project.circuit, &routes));
    found
}

/// The same sheets every time, so that a hundred means these hundred.
fn sheets<T: std::fmt::Debug>(of: impl Strategy<Value = T>) -> Vec<T> {
    let mut runner = TestRunner::deterministic();
    (0..50).map(|_| of.new_tree(&mut runner).unwrap().current()).collect()
}

#[test]
fn words_of_generated_sheets_lie_on_nothing() {
    for (number, project) in sheets(testing::project(10..80)).into_iter().enumerate() {
        assert_eq!(faults(project), Vec::<String>::new(), "sheet {number}");
    }
}

#[test]
fn words_of_edited_demos_lie_on_nothing() {
    let stock = stock::built_in().unwrap();
    let wishes = prop::collection::vec(testing::wish(), 1..16);
    for (number, (demo, wishes)) in sheets((0..support::DEMOS.len(), wishes)).into_iter().enumerate() {
        let mut project = file::read(support::DEMOS[demo].1).unwrap();
        for wish in wishes {
            if let Some(edit) = wish.edit(&project, &stock) {
                let _refused = apply(&mut project, edit);
            }
        }
        assert_eq!(faults(project), Vec::<String>::new(), "sheet {number}");
    }
}
