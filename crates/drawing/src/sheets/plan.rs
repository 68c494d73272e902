//! The plan: which cells stand together on a sheet. As few sheets as there can be, and of those the ones that the fewest
//! runs leave; cells keep the order in which they are read.

use super::cells::{Cell, Extent};
use crate::geometry::GridArea;
use lineside_core::circuit::{BlockId, Circuit};
use std::collections::{BTreeMap, BTreeSet};

/// Cells that follow each other: the first, and one after the last.
pub(super) type Span = (usize, usize);

/// What a sheet costs, in runs that leave it.
const SHEET: usize = 1_000;

/// Groups cells into sheets. `refused` are spans that turned out not to fit.
pub(super) fn group(circuit: &Circuit, cells: &[Cell], most: Extent, refused: &BTreeSet<Span>) -> Vec<Span> {
    let ways = neighbors(circuit, cells);
    // For each count of cells the least cost of placing them, and where the last sheet begins.
    let mut best: Vec<Option<(usize, usize)>> = vec![None; cells.len() + 1];
    if let Some(first) = best.first_mut() {
        *first = Some((0, 0));
    }
    for start in 0..cells.len() {
        let Some((cost, _)) = best.get(start).copied().flatten() else { continue };
        let mut leaving: usize = 0;
        let mut bounds: Option<GridArea> = None;
        for (place, cell) in cells.iter().enumerate().skip(start) {
            let whole = bounds.map_or(cell.bounds, |bounds| bounds.union(cell.bounds));
            if place > start && !most.holds(whole) {
                break;
            }
            bounds = Some(whole);
            let within = |other: usize| (start..place).contains(&other);
            for (other, runs) in ways.get(place).into_iter().flatten() {
                leaving = if within(*other) { leaving.saturating_sub(*runs) } else { leaving + runs };
            }
            if place > start && refused.contains(&(start, place + 1)) {
                continue;
            }
            let found = cost + SHEET + leaving;
            if let Some(slot) = best.get_mut(place + 1)
                && slot.is_none_or(|slot| found < slot.0)
            {
                *slot = Some((found, start));
            }
        }
    }
    let mut spans = Vec::new();
    let mut end = cells.len();
    while end > 0 {
        let Some((_, start)) = best.get(end).copied().flatten() else { break };
        spans.push((start, end));
        end = start;
    }
    spans.reverse();
    spans
}

/// For each cell, how many runs lead to which others.
fn neighbors(circuit: &Circuit, cells: &[Cell]) -> Vec<BTreeMap<usize, usize>> {
    let homes: BTreeMap<BlockId, usize> =
        cells.iter().enumerate().flat_map(|(n, cell)| cell.blocks.iter().map(move |id| (*id, n))).collect();
    let mut ways = vec![BTreeMap::new(); cells.len()];
    for run in circuit.runs() {
        let (Some(from), Some(to)) = (homes.get(&run.from.block), homes.get(&run.to.block)) else { continue };
        if from == to {
            continue;
        }
        for (one, other) in [(from, to), (to, from)] {
            if let Some(ways) = ways.get_mut(*one) {
                *ways.entry(*other).or_insert(0) += 1;
            }
        }
    }
    ways
}
