//! What is brought up to date after edits is what would be drawn from scratch, and piles of blocks end.
#![cfg(test)]

#[path = "support/mod.rs"]
mod support;

use lineside_core::circuit::{GridPoint, Orientation};
use lineside_core::edit::{Edit, Stand, apply};
use lineside_core::project::Project;
use lineside_core::{stock, testing};
use lineside_drawing::route::Routes;
use lineside_drawing::sheet::{Changed, Look, inks_by_terminals, sheet};
use proptest::prelude::*;

fn look(project: &Project) -> Look {
    let (inks, bars) = inks_by_terminals(&project.circuit);
    Look { inks, bars, ..Look::default() }
}

/// All routes of a circuit, in order.
fn ways(routes: &Routes) -> Vec<(u32, Vec<GridPoint>)> {
    routes.iter().map(|(run, points)| (run.number(), points.to_vec())).collect()
}

/// Every block and run of either project: the widest of changes, of which a drawing keeps what is equal.
fn edited(before: &Project, after: &Project) -> Changed {
    let differs = |project: &Project, other: &Project| {
        let blocks = project.circuit.blocks().filter(|block| other.circuit.block(block.id) != Some(*block));
        let runs = project.circuit.runs().filter(|run| other.circuit.run(run.id) != Some(*run));
        (blocks.map(|block| block.id).collect::<Vec<_>>(), runs.map(|run| run.id).collect::<Vec<_>>())
    };
    let ((mut blocks, mut runs), (further_blocks, further_runs)) =
        (differs(before, after), differs(after, before));
    blocks.extend(further_blocks);
    runs.extend(further_runs);
    Changed { blocks, runs }
}

/// So many copies of the cabin, every block of all of them on one spot.
fn piled(copies: u32) -> Project {
    let cabin = lineside_core::file::read(include_str!("../../../assets/demos/cabin.lineside")).unwrap();
    let mut pile = testing::copies(&cabin, copies);
    let ids: Vec<_> = pile.circuit.blocks().map(|block| block.id).collect();
    for id in ids {
        let stand = Stand { at: GridPoint::new(0, 0), orientation: Orientation::default(), place: None };
        apply(&mut pile, Edit::SetStand(id, stand)).unwrap();
    }
    pile
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 48, ..ProptestConfig::default() })]

    #[test]
    fn what_is_refreshed_is_what_is_drawn_anew(
        start in testing::project(10..80),
        wishes in prop::collection::vec(testing::wish(), 1..12),
    ) {
        let stock = stock::built_in().unwrap();
        let mut project = start;
        let mut routes = Routes::new(&project.circuit);
        let mut drawing = sheet(&project, &look(&project), &routes);
        for wish in wishes {
            let before = project.clone();
            if let Some(edit) = wish.edit(&project, &stock) {
                let _refused = apply(&mut project, edit);
            }
            routes.refresh(&project.circuit);
            let anew = Routes::new(&project.circuit);
            prop_assert_eq!(ways(&routes), ways(&anew), "after {:?}", wish);
            drawing.refresh(&project, &look(&project), &routes, &edited(&before, &project));
            let drawn = sheet(&project, &look(&project), &anew);
            prop_assert_eq!(&drawing.list, &drawn.list, "after {:?}", wish);
            prop_assert_eq!(&drawing.areas, &drawn.areas);
        }
    }
}

#[test]
fn a_pile_of_blocks_is_drawn_and_comes_apart_again() {
    let mut pile = piled(8);
    let mut routes = Routes::new(&pile.circuit);
    // Taken off the pile one by one, it stops being crowded on the way.
    let ids: Vec<_> = pile.circuit.blocks().map(|block| block.id).collect();
    for (n, id) in (0..).zip(ids) {
        let at = GridPoint::new(40 * (n % 16), 40 * (n / 16));
        apply(&mut pile, Edit::SetStand(id, Stand { at, orientation: Orientation::default(), place: None }))
            .unwrap();
        if n % 8 == 0 {
            routes.refresh(&pile.circuit);
            assert_eq!(ways(&routes), ways(&Routes::new(&pile.circuit)), "{n} apart");
        }
    }
}

#[test]
fn ten_thousand_blocks_on_one_spot_end() {
    let pile = piled(455);
    assert!(pile.circuit.blocks().count() > 10_000);
    let drawing = sheet(&pile, &look(&pile), &Routes::new(&pile.circuit));
    assert!(drawing.areas.len() > 10_000);
}
