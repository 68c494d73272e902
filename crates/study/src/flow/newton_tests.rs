//! Tests of the solver: resistive networks against textbook values and exact rational arithmetic, and single devices
//! against what was worked by hand.

use super::*;
use crate::flow::phasor::{Ac, AcSlope};
use proptest::prelude::*;

/// A constant power: positive is drawn.
struct Draws(usize, f64);

impl Device<f64> for Draws {
    fn at(&self) -> usize {
        self.0
    }
    fn obeys(&self) -> usize {
        self.0
    }
    fn inject(&self, at: Point<f64>) -> (f64, f64) {
        let volts = at.volts();
        (-self.1 / volts, self.1 / (volts * volts))
    }
}

/// A constant apparent power.
struct DrawsAc(usize, f64, f64);

impl Device<Ac> for DrawsAc {
    fn at(&self) -> usize {
        self.0
    }
    fn obeys(&self) -> usize {
        self.0
    }
    fn inject(&self, at: Point<Ac>) -> (Ac, AcSlope) {
        let volts = at.volts();
        // Only for loads in phase with a voltage that has no part across: enough for the test below.
        let amps = Ac { along: -self.1 / volts.along, across: self.2 / volts.along };
        (amps, AcSlope { aa: self.1 / (volts.along * volts.along), ..AcSlope::default() })
    }
}

fn tie(a: usize, b: usize, ohms: f64) -> Tie {
    Tie { a, b, siemens: 1.0 / ohms }
}

/// Voltages of a purely resistive network with two joints held.
fn resistive(joints: usize, ties: Vec<Tie>, held: [(usize, f64); 2]) -> (Vec<f64>, f64) {
    let grid = Grid::new(joints, ties, Vec::new());
    let mut volts = Voltages::flat(joints, held[0].1);
    for (joint, at) in held {
        volts.hold(joint, at);
    }
    let none: [Draws; 0] = [];
    grid.solve(&none, &mut volts).unwrap();
    let drawn = -grid.flowing_in(held[0].0, &volts);
    ((0..joints).map(|joint| volts.at(joint)).collect(), drawn)
}

fn close(found: f64, expected: f64) {
    assert!((found - expected).abs() <= 1e-12 * expected.abs().max(1.0), "{found} instead of {expected}");
}

/// Every arm of 1 Ω, seen from one end: the voltages are to each other as every second Fibonacci number, and the
/// resistance of five sections is 89/55 Ω (the ladder that tends to the golden ratio).
#[test]
fn the_ladder_of_unit_resistors() {
    let series = (0..5).map(|k| tie(k, k + 1, 1.0));
    // Every joint but the first has a rung of 1 Ω to the return, joint 6.
    let rungs = (1..=5).map(|k| tie(k, 6, 1.0));
    let (volts, drawn) = resistive(7, series.chain(rungs).collect(), [(0, 89.0), (6, 0.0)]);
    for (joint, fibonacci) in [(1, 34.0), (2, 13.0), (3, 5.0), (4, 2.0), (5, 1.0)] {
        close(volts[joint], fibonacci);
    }
    close(89.0 / drawn, 89.0 / 55.0);
}

/// The bridge of 1, 2, 2, 1 Ω with 1 Ω across: 7/5 Ω, and 4/7 and 3/7 of the voltage at its corners. By the node
/// equations 1 − 5/2 C + D = 0 and 1/2 − 5/2 D + C = 0.
#[test]
fn the_unbalanced_bridge() {
    let arms = vec![tie(0, 2, 1.0), tie(0, 3, 2.0), tie(2, 1, 2.0), tie(3, 1, 1.0), tie(2, 3, 1.0)];
    let (volts, drawn) = resistive(4, arms, [(0, 7.0), (1, 0.0)]);
    close(volts[2], 4.0);
    close(volts[3], 3.0);
    close(7.0 / drawn, 7.0 / 5.0);
}

/// The balanced bridge of 100 : 200 = 150 : 300 carries nothing across, whatever stands there.
#[test]
fn the_balanced_bridge() {
    let arms = vec![tie(0, 2, 100.0), tie(2, 1, 200.0), tie(0, 3, 150.0), tie(3, 1, 300.0), tie(2, 3, 0.001)];
    let (volts, drawn) = resistive(4, arms, [(0, 9.0), (1, 0.0)]);
    close(volts[2], 6.0);
    close(volts[3], 6.0);
    // 300 Ω beside 450 Ω: 180 Ω.
    close(9.0 / drawn, 180.0);
}

/// The cube of twelve resistors of 1 Ω: 5/6 Ω along the diagonal of the body, 3/4 Ω of a face, 7/12 Ω of an edge.
#[test]
fn the_cube_of_unit_resistors() {
    let edges: Vec<Tie> = (0..8_usize)
        .flat_map(|corner| [1, 2, 4].map(|bit| (corner, corner ^ bit)))
        .filter(|(a, b)| a < b)
        .map(|(a, b)| tie(a, b, 1.0))
        .collect();
    for (corner, ohms) in [(7, 5.0 / 6.0), (3, 3.0 / 4.0), (1, 7.0 / 12.0)] {
        let (_, drawn) = resistive(8, edges.clone(), [(0, 1.0), (corner, 0.0)]);
        close(1.0 / drawn, ohms);
    }
}

/// Every joint tied to every other: 2/n times one resistor.
#[test]
fn the_complete_network() {
    let ties: Vec<Tie> = (0..9).flat_map(|a| (a + 1..9).map(move |b| tie(a, b, 3.0))).collect();
    let (_, drawn) = resistive(9, ties, [(0, 1.0), (8, 0.0)]);
    close(1.0 / drawn, 3.0 * 2.0 / 9.0);
}

/// 1000 W through 0.5 Ω from 50 V: V² − 50 V + 500 = 0, the upper root (50 + √500)/2 = 36.180340 V.
#[test]
fn a_constant_power_at_the_end_of_a_wire() {
    let grid = Grid::new(2, vec![tie(0, 1, 0.5)], Vec::new());
    let mut volts = Voltages::flat(2, 50.0);
    volts.hold(0, 50.0);
    let fit = grid.solve(&[Draws(1, 1000.0)], &mut volts).unwrap();
    close(volts.at(1), 36.180_339_887_498_95);
    assert!(fit.left_over <= 1e-11 * fit.largest);
    // More than 50²/(4 × 0.5) = 1250 W cannot come through.
    let mut volts = Voltages::flat(2, 50.0);
    volts.hold(0, 50.0);
    assert_eq!(grid.solve(&[Draws(1, 1300.0)], &mut volts), Err(GaveUp));
}

/// How the voltage of a load follows that of its source: V − R P/V = E, so dV/dE = 1 / (1 + ... ) = V²/(V² − R P).
#[test]
fn the_response_to_a_held_voltage() {
    let grid = Grid::new(2, vec![tie(0, 1, 0.5)], Vec::new());
    let mut volts = Voltages::flat(2, 50.0);
    volts.hold(0, 50.0);
    let load = [Draws(1, 1000.0)];
    grid.solve(&load, &mut volts).unwrap();
    let response = grid.response(&load, &volts, &[0], 1.0).unwrap();
    // V² = 1309.017; 1309.017 / (1309.017 − 500) = 1.618034.
    close(response[0], 1.0);
    assert!((response[1] - 1.618_033_988_75).abs() < 1e-9, "{}", response[1]);
}

/// A reactive load draws current but no power through a resistance, and turns the voltage.
#[test]
fn reactive_current_flows_through_resistance() {
    let grid = Grid::new(2, vec![tie(0, 1, 1.0)], Vec::new());
    let mut volts = Voltages::flat(2, Ac::in_phase(120.0));
    volts.hold(0, Ac::in_phase(120.0));
    // 10 A in phase: 120 V less 10 V.
    grid.solve(&[DrawsAc(1, 1100.0, 0.0)], &mut volts).unwrap();
    let at = volts.at(1);
    assert!((at.along - 110.0).abs() < 1e-9 && at.across.abs() < 1e-12, "{at:?}");
}

/// A fraction in lowest terms.
#[derive(Clone, Copy, Debug, PartialEq)]
struct Fraction(i128, i128);

impl Fraction {
    fn new(over: i128, under: i128) -> Self {
        let (mut a, mut b) = (over.abs(), under.abs());
        while b != 0 {
            (a, b) = (b, a % b);
        }
        let sign = if under < 0 { -1 } else { 1 };
        Self(sign * over / a.max(1), sign * under / a.max(1))
    }
    fn minus(self, other: Self) -> Self {
        Self::new(self.0 * other.1 - other.0 * self.1, self.1 * other.1)
    }
    fn times(self, other: Self) -> Self {
        Self::new(self.0 * other.0, self.1 * other.1)
    }
    fn over(self, other: Self) -> Self {
        Self::new(self.0 * other.1, self.1 * other.0)
    }
}

/// Exact node voltages by elimination in fractions: joint 0 at 12 V, the last at 0 V. Conductances are whole siemens,
/// so that every number on the way is a quotient of two minors of a small whole matrix.
fn exactly(joints: usize, ties: &[(usize, usize, i128)]) -> Option<Vec<f64>> {
    let zero = Fraction(0, 1);
    let mut rows = vec![vec![zero; joints + 1]; joints];
    for (a, b, siemens) in ties.iter().filter(|tie| tie.0 != tie.1) {
        for (here, there) in [(*a, *b), (*b, *a)] {
            rows[here][here] = rows[here][here].minus(Fraction(-siemens, 1));
            rows[here][there] = rows[here][there].minus(Fraction(*siemens, 1));
        }
    }
    for (joint, volts) in [(0, 12), (joints - 1, 0)] {
        rows[joint] = vec![zero; joints + 1];
        rows[joint][joint] = Fraction(1, 1);
        rows[joint][joints] = Fraction(volts, 1);
    }
    for pivot in 0..joints {
        let row = (pivot..joints).find(|row| rows[*row][pivot].0 != 0)?;
        rows.swap(pivot, row);
        for row in (0..joints).filter(|row| *row != pivot) {
            let factor = rows[row][pivot].over(rows[pivot][pivot]);
            if factor.0 != 0 {
                let above = rows[pivot].clone();
                for (entry, above) in rows[row].iter_mut().zip(&above).skip(pivot) {
                    *entry = entry.minus(factor.times(*above));
                }
            }
        }
    }
    let volts = (0..joints).map(|joint| rows[joint][joints].over(rows[joint][joint]));
    Some(volts.map(|volts| volts.0 as f64 / volts.1 as f64).collect())
}

proptest! {
    /// Any resistive network of up to seven joints, tied into one piece by a chain, against exact fractions.
    #[test]
    fn resistive_networks_agree_with_exact_fractions(
        joints in 3..8_usize,
        chain in prop::collection::vec(1..12_i128, 7),
        extra in prop::collection::vec((0..7_usize, 0..7_usize, 1..12_i128), 0..12),
    ) {
        let mut ties: Vec<(usize, usize, i128)> = (0..joints - 1).map(|k| (k, k + 1, chain[k])).collect();
        ties.extend(extra.into_iter().map(|(a, b, siemens)| (a % joints, b % joints, siemens)));
        let exact = exactly(joints, &ties).unwrap();
        let plain = ties.iter().map(|(a, b, siemens)| tie(*a, *b, 1.0 / *siemens as f64)).collect();
        let (volts, _) = resistive(joints, plain, [(0, 12.0), (joints - 1, 0.0)]);
        for (found, exact) in volts.iter().zip(&exact) {
            prop_assert!((found - exact).abs() < 1e-11, "{volts:?} instead of {exact:?}");
        }
    }

    /// Ties a million times as good as others do not spoil the others.
    #[test]
    fn stiff_ties_keep_the_digits(ohms in 1e-6..1e-5_f64, watts in 10.0..2000.0_f64) {
        let grid = Grid::new(3, vec![tie(0, 1, ohms), tie(1, 2, 0.05)], Vec::new());
        let mut volts = Voltages::flat(3, 400.0);
        volts.hold(0, 400.0);
        let fit = grid.solve(&[Draws(2, watts)], &mut volts).unwrap();
        prop_assert!(fit.left_over <= 1e-9 * fit.largest, "{fit:?}");
        // V² − 400 V + R P = 0.
        let resistance = 0.05 + ohms;
        let upper = 200.0 + (200.0_f64 * 200.0 - resistance * watts).sqrt();
        prop_assert!((volts.at(2) - upper).abs() < 1e-9, "{} instead of {upper}", volts.at(2));
    }
}
