//! On any circuit: the devices of a switching order leave no source, each of them is needed, and a source that is
//! said to remain cannot be cut off by anything.

use lineside_codes::Codes;
use lineside_core::project::Project;
use lineside_core::testing::project;
use lineside_study::isolation::{self, sources_reaching};
use lineside_study::{Conditions, Studies, all};
use proptest::prelude::*;
use std::collections::BTreeSet;
use std::sync::LazyLock;

static CODES: LazyLock<Codes> = LazyLock::new(|| Codes::load().unwrap());

fn check(project: &Project, on: &Conditions<'_>, studies: &Studies) -> Result<(), TestCaseError> {
    let every_pole: BTreeSet<usize> = (0..studies.network.poles().len()).collect();
    for block in project.circuit.blocks() {
        let reaching =
            |open: &BTreeSet<usize>| sources_reaching(on, &studies.network, &studies.zones, block.id, open);
        let order = isolation::of(on, &studies.network, &studies.zones, block.id);
        let cut: BTreeSet<usize> = order.cuts().flat_map(|step| step.poles.iter().copied()).collect();
        let remains: BTreeSet<_> = order.remains.iter().copied().collect();
        prop_assert_eq!(reaching(&cut), remains.clone(), "{} is not dead", block.tag);
        prop_assert!(remains.is_subset(&reaching(&BTreeSet::new())));
        for step in order.cuts() {
            let without: BTreeSet<usize> =
                cut.iter().copied().filter(|pole| !step.poles.contains(pole)).collect();
            prop_assert!(reaching(&without).len() > remains.len(), "a step for {} is needless", block.tag);
        }
        // Everything that opens by hand, its own poles excepted, would leave the same sources.
        let by_hand = |index: &usize| {
            studies.network.poles()[*index].block != block.id
                && isolation::can_be_thrown(on, &studies.network, &studies.zones, *index)
        };
        let by_hand: BTreeSet<usize> = every_pole.iter().copied().filter(by_hand).collect();
        if !remains.is_empty() {
            prop_assert_eq!(reaching(&by_hand), remains, "{} could be cut off further", block.tag);
        }
    }
    Ok(())
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(48))]

    #[test]
    fn orders_make_dead_and_hold_nothing_needless(project in project(0..120)) {
        let on = Conditions::new(&project, &CODES);
        let studies = all(&on);
        check(&project, &on, &studies)?;
    }
}

#[test]
fn demos_too() {
    for text in [
        include_str!("../../../../assets/demos/cabin.lineside"),
        include_str!("../../../../assets/demos/home.lineside"),
        include_str!("../../../../assets/demos/hut.lineside"),
        include_str!("../../../../assets/demos/as-found.lineside"),
    ] {
        let project = lineside_core::file::read(text).unwrap();
        let on = Conditions::new(&project, &CODES);
        let studies = all(&on);
        check(&project, &on, &studies).unwrap();
    }
}
