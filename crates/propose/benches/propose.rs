//! Speed of the search over the whole built-in stock, of its first candidate, of opening one, and of the proposals with
//! their years and their proof.
#![expect(clippy::expect_used, reason = "a bench stops when its input is gone")]

use criterion::{Criterion, criterion_group, criterion_main};
use lineside_codes::Codes;
use lineside_core::{file, stock};
use lineside_energy::Tables;
use lineside_propose::whole::circuit;
use lineside_propose::{Factors, News, SearchBounds, Terms, Watch, propose};
use std::hint::black_box;
use std::num::NonZeroUsize;
use std::sync::atomic::{AtomicBool, Ordering};

/// Ends the work with the first candidate that keeps the brief.
struct First(AtomicBool);

impl Watch for First {
    fn told(&self, news: News<'_>) {
        if matches!(news, News::Early(_)) {
            self.0.store(true, Ordering::Relaxed);
        }
    }
    fn is_cancelled(&self) -> bool {
        self.0.load(Ordering::Relaxed)
    }
}

fn benches(criterion: &mut Criterion) {
    let project = file::read(include_str!("../../../assets/demos/cabin.lineside")).expect("it is a project");
    let codes = Codes::load().expect("the tables are read");
    let tables = Tables::load().expect("the tables are read");
    let factors = Factors::load().expect("the tables are read");
    let items = stock::built_in().expect("the stock is read");
    let bounds = SearchBounds::default();
    let terms = || Terms::new(&project, &codes, &tables, &factors, &items, 1).expect("the brief is complete");
    let two = NonZeroUsize::new(2).expect("two is not nought");
    criterion.bench_function("terms of a brief", |bench| bench.iter(|| black_box(terms())));
    criterion.bench_function("terms of a brief and the first candidate", |bench| {
        bench.iter(|| {
            let first = First(AtomicBool::new(false));
            black_box(propose(&terms(), &bounds, two, &first))
        });
    });
    let terms = terms();
    criterion.bench_function("search of the built-in stock", |bench| {
        bench.iter(|| black_box(terms.search(&bounds)));
    });
    let never = AtomicBool::new(false);
    let found = propose(&terms, &bounds, two, &never).expect("nobody cancels");
    let first = found.candidates.first().expect("there are candidates").combination;
    criterion.bench_function("opening a candidate", |bench| {
        bench.iter(|| black_box(circuit(&terms, &first, &items)));
    });
    criterion.bench_function("proposals on two threads", |bench| {
        bench.iter(|| black_box(propose(&terms, &bounds, two, &never)));
    });
}

criterion_group!(group, benches);
criterion_main!(group);
