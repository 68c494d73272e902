//! The candidates that nothing beats.

use crate::proposals::{Candidate, Merit};
use lineside_core::kinds::battery_bank::Chemistry;
use rust_decimal::Decimal;

/// The figures by which candidates are compared; less is better in all of them.
fn figures(it: &Candidate) -> [f64; 4] {
    let number = |sum: Decimal| f64::try_from(sum).unwrap_or(f64::MAX);
    [number(it.cost), it.unmet().value(), it.generator_hours().value(), it.life_cost.map_or(f64::MAX, number)]
}

/// The candidates that no other beats or equals in everything, with why each is among them. Cheapest first.
pub(crate) fn pareto(all: &[Candidate]) -> Vec<Candidate> {
    let rows: Vec<[f64; 4]> = all.iter().map(figures).collect();
    let beats = |a: &[f64; 4], b: &[f64; 4]| a.iter().zip(b).all(|(a, b)| a <= b);
    let mut kept = Vec::new();
    for (at, (candidate, row)) in all.iter().zip(&rows).enumerate() {
        // Of equals the first stays.
        let beaten = rows.iter().enumerate().any(|(other, figures)| {
            other != at && beats(figures, row) && (!beats(row, figures) || other < at)
        });
        if !beaten {
            kept.push(candidate.clone());
        }
    }
    let rows: Vec<[f64; 4]> = kept.iter().map(figures).collect();
    let least =
        |column: usize| rows.iter().filter_map(|row| row.get(column)).copied().fold(f64::INFINITY, f64::min);
    let leasts: Vec<f64> = (0..4).map(least).collect();
    let mut seen: Vec<Chemistry> = Vec::new();
    for (candidate, row) in kept.iter_mut().zip(&rows) {
        let merits = [Merit::CheapestNow, Merit::LeastUnmet, Merit::LeastGenerator, Merit::CheapestOverLife];
        for ((merit, value), least) in merits.into_iter().zip(row).zip(&leasts) {
            if value <= least {
                candidate.merits.push(merit);
            }
        }
        if !seen.contains(&candidate.chemistry) {
            seen.push(candidate.chemistry);
            candidate.merits.push(Merit::CheapestOfChemistry);
        }
        if candidate.merits.is_empty() {
            candidate.merits.push(Merit::NothingBeatsIt);
        }
    }
    kept
}
