//! Wear of a bank: cycles by rainflow counting [ASTM E1049, three points], and how long it lasts.

use super::cell::Cell;
use lineside_core::math::{exp, pow};
use lineside_core::units::{Percent, Years};

/// A cycle, or half of one.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Cycle {
    /// How far it goes.
    pub range: f64,
    /// 1 for a whole cycle, a half for half of one.
    pub count: f64,
}

/// Counts the cycles of a series, in the order in which they close; what does not close comes last, as halves.
pub fn cycles(series: impl IntoIterator<Item = f64>) -> Vec<Cycle> {
    let mut counted = Vec::new();
    let mut points: Vec<f64> = Vec::new();
    for turn in turns(series) {
        points.push(turn);
        while let [.., a, b, c] = points.as_slice() {
            let (before, last) = ((b - a).abs(), (c - b).abs());
            if last < before {
                break;
            }
            let length = points.len();
            if length == 3 {
                counted.push(Cycle { range: before, count: 0.5 });
                points.remove(0);
            } else {
                counted.push(Cycle { range: before, count: 1.0 });
                points.drain(length - 3..length - 1);
            }
        }
    }
    let halves = points.windows(2).filter_map(|pair| match pair {
        [a, b] => Some(Cycle { range: (b - a).abs(), count: 0.5 }),
        _ => None,
    });
    counted.extend(halves);
    counted
}

/// First, last, and every point at which the series turns.
fn turns(series: impl IntoIterator<Item = f64>) -> Vec<f64> {
    let mut turns: Vec<f64> = Vec::new();
    for value in series {
        match turns.as_slice() {
            [.., last] if last.to_bits() == value.to_bits() => {}
            [.., before, last] if (last - before) * (value - last) > 0.0 => {
                if let Some(last) = turns.last_mut() {
                    *last = value;
                }
            }
            _ => turns.push(value),
        }
    }
    turns
}

/// How many cycles a cell stands: `N(D) = a D^(−b)`.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct CycleLaw {
    a: f64,
    b: f64,
}

impl CycleLaw {
    /// Of a cell.
    pub const fn of(cell: &Cell) -> Self {
        let (a, b) = cell.cycle_law;
        Self { a, b }
    }
    /// Cycles to the end of life at a depth.
    pub fn cycles(&self, depth: Percent) -> f64 {
        self.a * pow(depth.share(), -self.b)
    }
}

/// What a year does to a bank.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Wear {
    /// Cycles counted, halves as halves.
    pub cycles: f64,
    /// Part of its cycle life.
    pub of_cycle_life: f64,
    /// Life by cycles alone.
    pub cycle_life: Years,
    /// Life by age alone, at the temperatures of the year.
    pub calendar_life: Years,
    /// Life if both add up.
    pub cautious: Years,
    /// Life if only the shorter counts.
    pub hopeful: Years,
}

/// Cycles smaller than this share of the capacity are not counted.
const SMALLEST: f64 = 0.005;
/// Cold lengthens the life no further than to one over this.
const COLDEST_AGING: f64 = 0.7;
/// A bank that never cycles lasts no longer than this by cycles.
const LONGEST: f64 = 1e6;

impl Wear {
    /// From the charge and the temperature of each hour, charge as a share of the capacity.
    pub(crate) fn of_year(cell: &Cell, charges: &[f64], celsius: impl Iterator<Item = f64>) -> Self {
        let law = CycleLaw::of(cell);
        let mut counted = 0.0;
        let mut wear = 0.0;
        for cycle in cycles(charges.iter().copied()) {
            if cycle.range >= SMALLEST {
                counted += cycle.count;
                wear += cycle.count / law.cycles(Percent::from_share(cycle.range.min(1.0)));
            }
        }
        let hours = charges.len().max(1) as f64;
        let mut last = (f64::NAN, COLDEST_AGING);
        let aging: f64 = celsius
            .map(|celsius| {
                if last.0.to_bits() != celsius.to_bits() {
                    let halvings = (celsius - 25.0) / cell.calendar_step;
                    last = (celsius, exp(std::f64::consts::LN_2 * halvings).max(COLDEST_AGING));
                }
                last.1
            })
            .sum();
        let calendar = cell.calendar_life.value() / (aging / hours);
        let by_cycles = if wear > 1.0 / LONGEST { 1.0 / wear } else { LONGEST };
        Self {
            cycles: counted,
            of_cycle_life: wear,
            cycle_life: Years::new(by_cycles),
            calendar_life: Years::new(calendar),
            cautious: Years::new(1.0 / (wear + 1.0 / calendar)),
            hopeful: Years::new(by_cycles.min(calendar)),
        }
    }
}
