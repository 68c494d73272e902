//! Holding currents against the smallest cut of the plain graph, by trying every cut, and against a library's
//! greatest flow.

use crate::drawn::{Drawn, tree, web};
use lineside_core::circuit::Side;
use lineside_core::units::Measure;
use petgraph::algo::ford_fulkerson;
use petgraph::graph::{DiGraph, NodeIndex};
use proptest::prelude::*;

/// The smallest cut between all sources and a point, one edge taken out: over every set of points on the sources'
/// side that leaves the point out. Infinite when nothing limits the flow.
fn smallest_cut(drawn: &Drawn, without: usize, point: usize) -> f64 {
    let mut smallest = f64::INFINITY;
    for fed in 0_u32..1 << drawn.points {
        let on_fed_side = |at: usize| fed & (1 << at) != 0;
        if on_fed_side(point) {
            continue;
        }
        let joins = drawn
            .edges
            .iter()
            .enumerate()
            .filter(|(i, edge)| *i != without && on_fed_side(edge.a) != on_fed_side(edge.b));
        let sources = drawn.sources.iter().enumerate().filter(|(at, _)| !on_fed_side(*at));
        let cut: f64 =
            joins.map(|(_, edge)| edge.capacity).sum::<f64>() + sources.map(|(_, amps)| amps).sum::<f64>();
        smallest = smallest.min(cut);
    }
    smallest
}

/// More than any source or device of a drawn bus gives.
const ENDLESS: f64 = 1e9;

fn greatest_flow(drawn: &Drawn, without: usize, point: usize) -> f64 {
    let mut graph: DiGraph<(), f64> = DiGraph::new();
    let points: Vec<NodeIndex> = (0..drawn.points).map(|_| graph.add_node(())).collect();
    let source = graph.add_node(());
    for (at, amps) in drawn.sources.iter().enumerate() {
        if *amps > 0.0 {
            graph.add_edge(source, points[at], amps.min(ENDLESS));
        }
    }
    for (_, edge) in drawn.edges.iter().enumerate().filter(|(i, _)| *i != without) {
        let capacity = edge.capacity.min(ENDLESS);
        graph.add_edge(points[edge.a], points[edge.b], capacity);
        graph.add_edge(points[edge.b], points[edge.a], capacity);
    }
    let (flow, _) = ford_fulkerson(&graph, source, points[point]);
    if flow >= ENDLESS { f64::INFINITY } else { flow }
}

/// What the study found at an end; infinite when it says that nothing limits it.
fn agrees(drawn: &Drawn) -> Result<(), TestCaseError> {
    let verdict = drawn.sheet.check();
    for (tag, edge, from, to) in &drawn.runs {
        for (side, point) in [(Side::From, *from), (Side::To, *to)] {
            let holding = verdict.studies().holding.at(verdict.run(tag), side);
            let found = holding.current().map_or(f64::INFINITY, Measure::value);
            let cut = smallest_cut(drawn, *edge, point);
            let flow = greatest_flow(drawn, *edge, point);
            let same = |a: f64, b: f64| a.total_cmp(&b).is_eq() || (a - b).abs() < 1e-6;
            prop_assert!(same(cut, flow), "cut {} and flow {} at {}.{}", cut, flow, tag, side.key());
            prop_assert!(same(found, cut), "found {}, cut {} at {}.{}", found, cut, tag, side.key());
        }
    }
    Ok(())
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 200, failure_persistence: None, ..ProptestConfig::default() })]

    #[test]
    fn sums_in_a_tree_are_the_smallest_cut(drawn in tree()) {
        agrees(&drawn)?;
    }

    #[test]
    fn flows_through_rings_are_the_smallest_cut(drawn in web()) {
        agrees(&drawn)?;
    }
}
