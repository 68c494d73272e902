//! Remedies: for twelve findings of a project of some 60 blocks, and mending the demo for training. The project is
//! three sound cabins on one sheet with twelve faults.
#![expect(clippy::expect_used, reason = "a bench stops when its input is gone")]

use criterion::{Criterion, criterion_group, criterion_main};
use lineside_codes::Codes;
use lineside_core::circuit::{Conductor, Run};
use lineside_core::edit::{Edit, apply};
use lineside_core::kinds::field::Value;
use lineside_core::project::Project;
use lineside_core::units::ConductorSize;
use lineside_core::{file, stock, testing};
use lineside_rules::mend::{Subject, mend, remedies};
use lineside_rules::{Severity, check};
use std::hint::black_box;

const CABIN: &str = include_str!("../../../assets/demos/cabin.lineside");
const AS_FOUND: &str = include_str!("../../../assets/demos/as-found.lineside");
/// Findings whose remedies are asked for.
const FINDINGS: usize = 12;

fn set(project: &mut Project, tag: &str, key: &str, value: &Value) {
    let block = project.circuit.block_by_tag(tag).expect("the block is there");
    let mut equipment = block.equipment.clone();
    equipment.set(key, value).expect("the value fits");
    let edit =
        Edit::SetEquipment { block: block.id, equipment: Box::new(equipment), stock: block.stock.clone() };
    apply(project, edit).expect("the edit can be made");
}

fn thin(project: &mut Project, tag: &str) {
    let run = project.circuit.run_by_tag(tag).expect("the run is there").clone();
    let conductor = run.conductor.as_deref().expect("it has conductors").clone();
    let conductor = Conductor { size: ConductorSize::Awg(14), ..conductor };
    let edit = Edit::SetRun(Box::new(Run { conductor: Some(Box::new(conductor)), ..run }));
    apply(project, edit).expect("the edit can be made");
}

/// Three cabins with faults in each.
fn faulty() -> Project {
    let one = file::read(CABIN).expect("the demo reads");
    let mut project = testing::copies(&one, 3);
    set(&mut project, "S1-0", "modules_in_series", &Value::Whole(4));
    set(&mut project, "B1-1", "units_in_series", &Value::Whole(44));
    thin(&mut project, "W13-2");
    thin(&mut project, "W1-2");
    project
}

fn benches(criterion: &mut Criterion) {
    let codes = Codes::load().expect("the tables read");
    let stock = stock::built_in().expect("the stock reads");
    let project = faulty();
    let checked = check(&project, &codes, project.rule_set);
    let findings: Vec<_> =
        checked.report.findings.iter().filter(|it| it.severity < Severity::Advice).take(FINDINGS).collect();
    assert_eq!(findings.len(), FINDINGS, "as many findings as the goal speaks of");
    let subject = Subject { project: &project, codes: &codes, stock: &stock, checked: &checked };
    let name = format!("remedies of {FINDINGS} findings, {} blocks", project.circuit.block_count());
    criterion.bench_function(&name, |bencher| {
        bencher.iter(|| {
            for finding in &findings {
                black_box(remedies(&subject, finding, project.units));
            }
        });
    });
    let as_found = file::read(AS_FOUND).expect("the demo reads");
    criterion.bench_function("mend as found", |bencher| {
        bencher.iter(|| black_box(mend(&as_found, &codes, &stock)));
    });
}

criterion_group! {
    name = group;
    config = Criterion::default().sample_size(20);
    targets = benches
}
criterion_main!(group);
