//! From an edit to every study and every finding: 60, 600 and 6,000 blocks, as three, thirty and three hundred
//! copies of the cabin on one sheet.
#![expect(clippy::expect_used, reason = "a bench stops when its input is gone")]

use criterion::{Criterion, criterion_group, criterion_main};
use lineside_codes::Codes;
use lineside_core::circuit::GridPoint;
use lineside_core::edit::{Edit, Stand, apply};
use lineside_core::project::Project;
use lineside_core::{file, testing};
use std::hint::black_box;

const CABIN: &str = include_str!("../../../assets/demos/cabin.lineside");
const AS_FOUND: &str = include_str!("../../../assets/demos/as-found.lineside");

fn nudge(project: &mut Project, x: i32) {
    let Some(block) = project.circuit.blocks().next() else { return };
    let stand = Stand { at: GridPoint::new(x, 0), orientation: block.orientation, place: block.place };
    let _ = black_box(apply(project, Edit::SetStand(block.id, stand)));
}

fn revalidate(criterion: &mut Criterion) {
    let codes = Codes::load().expect("the tables read");
    for (name, text) in [("cabin", CABIN), ("as found", AS_FOUND)] {
        let one = file::read(text).expect("the demo reads");
        let mut group = criterion.benchmark_group(format!("revalidate {name}"));
        for blocks in [60, 600, 6000_usize] {
            let count = u32::try_from(blocks.div_ceil(one.circuit.block_count())).expect("a small number");
            let mut project = testing::copies(&one, count);
            let mut x = 0;
            if blocks > 1000 {
                group.sample_size(20);
            }
            group.bench_function(format!("{} blocks", project.circuit.block_count()), |bencher| {
                bencher.iter(|| {
                    x = (x + 1) % 40;
                    nudge(&mut project, x);
                    black_box(lineside_rules::check(&project, &codes, project.rule_set))
                });
            });
        }
        group.finish();
    }
}

criterion_group!(benches, revalidate);
criterion_main!(benches);
