//! Prospective short-circuit currents, smallest faults, isolation and AC sources: 60, 600 and 6,000 blocks, as copies
//! of the demos on one sheet.
#![expect(clippy::expect_used, reason = "a bench stops when its input is gone")]

use criterion::{Criterion, criterion_group, criterion_main};
use lineside_codes::Codes;
use lineside_core::kinds::Kind;
use lineside_core::{file, testing};
use lineside_study::{
    Conditions, ac_sources, currents, faults, isolation, network, protection, ratings, zones,
};
use std::hint::black_box;

const CABIN: &str = include_str!("../../../assets/demos/cabin.lineside");
const HOME: &str = include_str!("../../../assets/demos/home.lineside");

fn bench(criterion: &mut Criterion) {
    let codes = Codes::load().expect("the tables read");
    for (name, text) in [("cabin", CABIN), ("home", HOME)] {
        let one = file::read(text).expect("the demo reads");
        let mut group = criterion.benchmark_group(format!("faults {name}"));
        for blocks in [60, 600, 6000_usize] {
            let count = u32::try_from(blocks.div_ceil(one.circuit.block_count())).expect("a small number");
            let project = testing::copies(&one, count);
            let on = Conditions::new(&project, &codes);
            let network = network::expand(&project.circuit);
            let zones = zones::study(&network);
            let currents = currents::study(&on, &network, &zones);
            let protection = protection::study(&project.circuit, &network);
            let ratings = ratings::study(&on, &network, &currents, &protection);
            let size = project.circuit.block_count();
            if blocks > 1000 {
                group.sample_size(20);
            }
            group.bench_function(format!("greatest, {size} blocks"), |bencher| {
                bencher.iter(|| black_box(faults::study(&on, &network, &zones, &ratings)));
            });
            group.bench_function(format!("smallest, {size} blocks"), |bencher| {
                bencher.iter(|| black_box(faults::smallest_faults(&on, &network, &zones, &ratings)));
            });
            group.bench_function(format!("isolation of all, {size} blocks"), |bencher| {
                bencher.iter(|| black_box(isolation::study(&on, &network, &zones, &currents)));
            });
            let inverter = project.circuit.blocks().find(|block| block.kind() == Kind::Inverter);
            let inverter = inverter.expect("the demos have one").id;
            group.bench_function(format!("isolation of one, {size} blocks"), |bencher| {
                bencher.iter(|| black_box(isolation::of(&on, &network, &zones, inverter)));
            });
            group.bench_function(format!("AC sources, {size} blocks"), |bencher| {
                bencher.iter(|| black_box(ac_sources::study(&on, &network, &zones)));
            });
        }
        group.finish();
    }
}

criterion_group!(benches, bench);
criterion_main!(benches);
