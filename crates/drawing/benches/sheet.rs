//! How long routing and drawing take: whole sheets of 60, 2,000 and 10,000 blocks, and one block dragged.

#[path = "../tests/support/mod.rs"]
mod support;

use criterion::{BatchSize, Criterion};
use lineside_core::circuit::BlockId;
use lineside_core::edit::{self, Edit, Stand};
use lineside_core::project::Project;
use lineside_drawing::route::Routes;
use lineside_drawing::sheet::{Changed, Detail, Look, inks_by_terminals, sheet};
use std::hint::black_box;
use support::Outcome;

fn main() -> Outcome<()> {
    let mut criterion = Criterion::default().configure_from_args().sample_size(20);
    for blocks in [60, 2_000, 10_000] {
        let project = support::cabins(blocks)?;
        measure(&mut criterion, blocks, &project)?;
    }
    criterion.final_summary();
    Ok(())
}

fn measure(criterion: &mut Criterion, blocks: usize, project: &Project) -> Outcome<()> {
    let (inks, bars) = inks_by_terminals(&project.circuit);
    let look = Look { inks, bars, ..Look::default() };
    let far = Look { detail: Detail::NoText, ..look.clone() };
    let routes = Routes::new(&project.circuit);
    criterion.bench_function(&format!("route {blocks}"), |bench| {
        bench.iter(|| Routes::new(black_box(&project.circuit)));
    });
    criterion.bench_function(&format!("draw {blocks}"), |bench| {
        bench.iter_with_large_drop(|| sheet(black_box(project), &look, &routes));
    });
    criterion.bench_function(&format!("draw {blocks} without words"), |bench| {
        bench.iter_with_large_drop(|| sheet(black_box(project), &far, &routes));
    });

    let dragged = project.circuit.block_by_tag("C1").ok_or("no C1")?.id;
    let there = moved(project, dragged)?;
    let drawing = sheet(project, &look, &routes);
    let changed = Changed { blocks: vec![dragged], runs: Vec::new() };
    criterion.bench_function(&format!("drag one of {blocks}: route"), |bench| {
        bench.iter_batched_ref(
            || routes.clone(),
            |routes| routes.refresh(&there.circuit),
            BatchSize::LargeInput,
        );
    });
    let mut after = routes.clone();
    after.refresh(&there.circuit);
    criterion.bench_function(&format!("drag one of {blocks}: draw"), |bench| {
        bench.iter_batched_ref(
            || drawing.clone(),
            |drawing| drawing.refresh(&there, &look, &after, &changed),
            BatchSize::LargeInput,
        );
    });
    Ok(())
}

fn moved(project: &Project, block: BlockId) -> Outcome<Project> {
    let mut there = project.clone();
    let it = there.circuit.block(block).ok_or("no such block")?;
    let stand = Stand { at: it.at.moved(2, 3), orientation: it.orientation, place: it.place };
    edit::apply(&mut there, Edit::SetStand(block, stand))?;
    Ok(there)
}
