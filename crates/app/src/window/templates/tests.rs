//! Templates stand alone without a danger of their own; in whole systems they are tried by the window's tests.

use super::*;
use lineside_core::edit::apply;
use lineside_core::stock;

fn built_in() -> Vec<StockItem> {
    stock::built_in().unwrap()
}

#[test]
fn every_template_is_placed_wired_and_taken_back_as_one_step() {
    let stock = built_in();
    for units in [UnitSystem::Us, UnitSystem::Si] {
        for template in Template::ALL {
            let mut project = Project { units, ..Project::default() };
            let before = project.clone();
            let (step, blocks) = place(&project, &stock, template, GridPoint::new(40, 40)).unwrap();
            let undo = apply(&mut project, step.edit).unwrap();
            assert_eq!(project.circuit.block_count(), blocks.len(), "{template:?}");
            let runs: Vec<usize> = blocks.iter().map(|id| project.circuit.runs_at(*id).len()).collect();
            assert!(runs.iter().all(|runs| *runs > 0), "{template:?}: {runs:?}");
            apply(&mut project, undo).unwrap();
            assert!(project == before);
        }
    }
}
