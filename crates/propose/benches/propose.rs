//! Speed of the search over the whole built-in stock, and of the proposals with their years.
#![expect(clippy::expect_used, reason = "a bench stops when its input is gone")]

use criterion::{Criterion, criterion_group, criterion_main};
use lineside_codes::Codes;
use lineside_core::{file, stock};
use lineside_energy::Tables;
use lineside_propose::{Factors, SearchBounds, Terms, propose};
use std::hint::black_box;
use std::num::NonZeroUsize;
use std::sync::atomic::AtomicBool;

fn benches(criterion: &mut Criterion) {
    let project = file::read(include_str!("../../../assets/demos/cabin.lineside")).expect("it is a project");
    let codes = Codes::load().expect("the tables are read");
    let tables = Tables::load().expect("the tables are read");
    let factors = Factors::load().expect("the tables are read");
    let items = stock::built_in().expect("the stock is read");
    let bounds = SearchBounds::default();
    let terms = || Terms::new(&project, &codes, &tables, &factors, &items, 1).expect("the brief is complete");
    criterion.bench_function("terms of a brief", |bench| bench.iter(|| black_box(terms())));
    let terms = terms();
    criterion.bench_function("search of the built-in stock", |bench| {
        bench.iter(|| black_box(terms.search(&bounds)));
    });
    let two = NonZeroUsize::new(2).expect("two is not nought");
    criterion.bench_function("proposals on two threads", |bench| {
        bench.iter(|| black_box(propose(&terms, &bounds, two, &AtomicBool::new(false))));
    });
}

criterion_group!(group, benches);
criterion_main!(group);
