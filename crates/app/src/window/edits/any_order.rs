//! Edits in any order on a demo: undo goes back exactly, redo goes forward exactly.

use super::aligning::{self, Axis, Line};
use super::samples::item;
use super::{Labeled, copying, enclosing, orienting, renumbering, swapping};
use crate::window::selection::Selection;
use lineside_core::circuit::BlockId;
use lineside_core::edit::History;
use lineside_core::file;
use lineside_core::project::Project;
use lineside_drawing::route::Routes;
use proptest::prelude::*;
use std::collections::BTreeSet;

const CABIN: &str = include_str!("../../../../../assets/demos/cabin.lineside");

/// What is done, and to which blocks: every so-manieth of them, from one on.
#[derive(Clone, Copy, Debug)]
struct Done {
    what: u8,
    from: usize,
    every: usize,
}

fn step(project: &Project, done: Done) -> Option<Labeled> {
    let circuit = &project.circuit;
    let all = circuit.blocks().map(|block| block.id);
    let chosen: BTreeSet<BlockId> = all.skip(done.from).step_by(done.every).collect();
    let lines = [Line::Left, Line::Right, Line::Top, Line::Bottom, Line::Level, Line::Upright];
    match done.what {
        0..=5 => aligning::align(circuit, &chosen, lines[usize::from(done.what)]).ok(),
        6 => aligning::distribute(circuit, &chosen, Axis::Across).ok(),
        7 => aligning::distribute(circuit, &chosen, Axis::Down).ok(),
        8 => renumbering::renumber(circuit, &Selection::default()).ok(),
        9 => renumbering::renumber(circuit, &Selection::of_blocks(chosen)).ok(),
        10 => enclosing::enclose(project, &chosen).ok().map(|(step, _, _)| step),
        11 => {
            let breakers = chosen.into_iter().filter(|id| {
                circuit.block(*id).is_some_and(|block| block.kind() == lineside_core::kinds::Kind::Breaker)
            });
            swapping::swap(circuit, &breakers.collect(), &item("DC breaker, 80 A, 150 V")).ok()
        }
        12 => Some(orienting::flip(circuit, &chosen)),
        _ => copying::duplicate(project, &Routes::new(circuit), &chosen).ok().map(|(step, _)| step),
    }
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(24))]
    #[test]
    fn undo_goes_back_and_redo_forward(
        all in prop::collection::vec((0_u8..14, 0_usize..20, 1_usize..7), 1..9)
    ) {
        let begun = file::read(CABIN).unwrap();
        let mut project = begun.clone();
        let mut history = History::new();
        let mut made = 0;
        for (what, from, every) in all {
            let Some(step) = step(&project, Done { what, from, every }) else { continue };
            let label = step.label.clone();
            if let Err(refusal) = history.make(&mut project, step.label, step.edit, None) {
                return Err(TestCaseError::fail(format!("{label}: {refusal}")));
            }
            made += 1;
        }
        let ended = project.clone();
        for _ in 0..made {
            prop_assert!(history.undo(&mut project).is_some());
        }
        prop_assert!(project == begun);
        prop_assert_eq!(history.undone().len(), made);
        while history.redo(&mut project).is_some() {}
        prop_assert!(project == ended);
    }
}
