//! Projects to try properties on, and what is asked of every report. The properties are beside.

use lineside_codes::Codes;
use lineside_core::circuit::Circuit;
use lineside_core::edit::apply;
use lineside_core::project::Project;
use lineside_core::{file, stock, testing};
use lineside_rules::Checked;
use proptest::prelude::*;
use std::sync::LazyLock;

/// The tables.
pub static CODES: LazyLock<Codes> = LazyLock::new(|| Codes::load().unwrap());

/// The demo projects.
pub const DEMOS: [&str; 4] = [
    include_str!("../../assets/demos/cabin.lineside"),
    include_str!("../../assets/demos/home.lineside"),
    include_str!("../../assets/demos/hut.lineside"),
    include_str!("../../assets/demos/as-found.lineside"),
];

/// Something drawn from nothing, or a whole system after some edits without sense.
pub fn any_project() -> impl Strategy<Value = Project> {
    let stock = stock::built_in().unwrap();
    let demos: Vec<Project> = DEMOS.iter().map(|text| file::read(text).unwrap()).collect();
    let spoiled = (prop::sample::select(demos), prop::collection::vec(testing::wish(), 0..16)).prop_map(
        move |(mut project, wishes)| {
            for wish in wishes {
                if let Some(edit) = wish.edit(&project, &stock) {
                    let _refused = apply(&mut project, edit);
                }
            }
            project
        },
    );
    prop_oneof![testing::project(0..60), spoiled]
}

/// No file of failures: a failing project becomes a test of its own.
pub fn config(cases: u32) -> ProptestConfig {
    ProptestConfig { cases, failure_persistence: None, max_shrink_iters: 400, ..ProptestConfig::default() }
}

/// The ids of all findings, in their order.
pub fn ids(checked: &Checked, circuit: &Circuit) -> Vec<String> {
    checked.report.findings.iter().map(|finding| finding.id(circuit)).collect()
}
