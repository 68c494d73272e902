//! The steady state of one operating case: 60, 600 and 6,000 blocks, as copies of the demos on one sheet, and a bus with
//! thousands of taps.
#![expect(clippy::expect_used, reason = "a bench stops when its input is gone")]

use criterion::{Criterion, criterion_group, criterion_main};
use lineside_codes::Codes;
use lineside_core::project::Project;
use lineside_core::units::{Percent, WattsPerSquareMeter};
use lineside_core::{file, testing};
use lineside_study::flow::{self, Load, OperatingState};
use lineside_study::{Conditions, currents, network, protection, ratings, zones};
use std::hint::black_box;

const CABIN: &str = include_str!("../../../assets/demos/cabin.lineside");
const HOME: &str = include_str!("../../../assets/demos/home.lineside");

/// Sun, a quarter of the load; at night the supplies that are drawn.
fn states(project: &Project) -> [(&'static str, OperatingState); 3] {
    let loaded = OperatingState { other_loads: Load::Share(Percent::new(25.0)), ..OperatingState::new() };
    let full = OperatingState { charge: Percent::new(100.0), ..loaded.clone() };
    let supplies = project.circuit.blocks().map(|block| block.id).collect();
    let night = OperatingState { sun: WattsPerSquareMeter::ZERO, supplies, ..loaded.clone() };
    [("sun", loaded), ("full bank", full), ("night on supplies", night)]
}

fn bench(criterion: &mut Criterion) {
    let codes = Codes::load().expect("the tables read");
    for (name, text) in [("cabin", CABIN), ("home", HOME)] {
        let one = file::read(text).expect("the demo reads");
        let mut group = criterion.benchmark_group(format!("flow {name}"));
        for blocks in [60, 600, 6000_usize] {
            let count = u32::try_from(blocks.div_ceil(one.circuit.block_count())).expect("a small number");
            let project = testing::copies(&one, count);
            let on = Conditions::new(&project, &codes);
            let network = network::expand(&project.circuit);
            let zones = zones::study(&network);
            let currents = currents::study(&on, &network, &zones);
            let protection = protection::study(&project.circuit, &network);
            let ratings = ratings::study(&on, &network, &currents, &protection);
            if blocks > 1000 {
                group.sample_size(20);
            }
            for (case, state) in states(&project) {
                group.bench_function(
                    format!("{} blocks, {case}", project.circuit.block_count()),
                    |bencher| {
                        bencher.iter(|| black_box(flow::study(&on, &network, &zones, &ratings, &state)));
                    },
                );
            }
        }
        group.finish();
    }
}

criterion_group!(benches, bench);
criterion_main!(benches);
