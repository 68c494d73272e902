//! Gaussian elimination on a sparse matrix: in which order, and what each step touches.
//!
//! Wiring is nearly a tree, and a tree eliminated from its leaves fills nothing in. The order is that of least
//! degree, found once for an island; the numbers go through it as often as they change. There is no pivoting:
//! conductances make the diagonal heavy, and a diagonal that vanishes is told.

use super::phasor::Phasor;
use std::cmp::Reverse;
use std::collections::BinaryHeap;

/// The order of elimination for one pattern.
#[derive(Clone, Debug, Default)]
pub(super) struct Plan {
    rows: usize,
    /// For each given pair `(a, b)` the places of the entries `[a][b]` and `[b][a]`.
    pairs: Vec<(u32, u32)>,
    entries: usize,
    pivots: Vec<Pivot>,
    later: Vec<Later>,
    updates: Vec<(u32, u32)>,
}

/// Whether a circuit returns to a point when it is pushed away from it.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Stability {
    /// It does.
    Stable,
    /// It runs away.
    Unstable,
}

/// One step: a row, and where its lists begin and end.
#[derive(Clone, Copy, Debug)]
struct Pivot {
    row: u32,
    later: (u32, u32),
    updates: u32,
}

/// A row that is still there when a pivot is eliminated.
#[derive(Clone, Copy, Debug)]
struct Later {
    row: u32,
    /// Place of `[pivot][row]`.
    up: u32,
    /// Place of `[row][pivot]`.
    low: u32,
}

/// The numbers of one matrix.
#[derive(Clone, Debug)]
pub(super) struct Matrix<F: Phasor> {
    diagonal: Vec<F::Slope>,
    entries: Vec<F::Slope>,
}

/// A neighbor in the pattern: its row, and the places of `[self][it]` and `[it][self]`.
type Neighbor = (u32, u32, u32);

impl Plan {
    /// The order for so many rows of which these pairs touch each other. A pair of a row with itself is no entry.
    pub(super) fn new(rows: usize, pairs: &[(usize, usize)]) -> Self {
        let mut plan = Self { rows, ..Self::default() };
        let mut around: Vec<Vec<Neighbor>> = vec![Vec::new(); rows];
        for (a, b) in pairs {
            let places = if a == b { (u32::MAX, u32::MAX) } else { plan.touch(&mut around, *a, *b) };
            plan.pairs.push(places);
        }
        plan.eliminate(&mut around);
        plan
    }

    /// The places of the entries of two rows, made if they are not there yet.
    fn touch(&mut self, around: &mut [Vec<Neighbor>], a: usize, b: usize) -> (u32, u32) {
        if let Some(places) = known(around, a, b) {
            return places;
        }
        let (forth, back) = (count(self.entries), count(self.entries + 1));
        self.entries += 2;
        if let Some(of_a) = around.get_mut(a) {
            of_a.push((count(b), forth, back));
        }
        if let Some(of_b) = around.get_mut(b) {
            of_b.push((count(a), back, forth));
        }
        (forth, back)
    }

    /// Rows that are eliminated stay in the lists of the others and are passed over, so that a bus with thousands of
    /// taps costs no more than its taps.
    fn eliminate(&mut self, around: &mut [Vec<Neighbor>]) {
        let mut degrees: Vec<Option<usize>> = around.iter().map(|of_row| Some(of_row.len())).collect();
        let mut waiting: BinaryHeap<Reverse<(usize, u32)>> =
            around.iter().zip(0..).map(|(of_row, row)| Reverse((of_row.len(), row))).collect();
        while let Some(Reverse((degree, row))) = waiting.pop() {
            if degrees.get(row as usize).copied().flatten() != Some(degree) {
                continue;
            }
            if let Some(slot) = degrees.get_mut(row as usize) {
                *slot = None;
            }
            let mut neighbors = around.get_mut(row as usize).map(std::mem::take).unwrap_or_default();
            neighbors.retain(|it| degrees.get(it.0 as usize).copied().flatten().is_some());
            let filled = self.step(row, &neighbors, around);
            for (other, _, _) in &neighbors {
                if let Some(Some(degree)) = degrees.get_mut(*other as usize) {
                    *degree -= 1;
                }
            }
            for other in filled {
                if let Some(Some(degree)) = degrees.get_mut(other as usize) {
                    *degree += 1;
                }
            }
            for (other, _, _) in &neighbors {
                if let Some(degree) = degrees.get(*other as usize).copied().flatten() {
                    waiting.push(Reverse((degree, *other)));
                }
            }
        }
    }

    /// Gives each row once for every entry that was filled in beside it.
    fn step(&mut self, row: u32, neighbors: &[Neighbor], around: &mut [Vec<Neighbor>]) -> Vec<u32> {
        let mut filled = Vec::new();
        let first = count(self.later.len());
        let updates = count(self.updates.len());
        self.later.extend(neighbors.iter().map(|(row, up, low)| Later { row: *row, up: *up, low: *low }));
        for (i, (a, _, _)) in neighbors.iter().enumerate() {
            for (b, _, _) in neighbors.iter().skip(i + 1) {
                let before = self.entries;
                let places = self.touch(around, *a as usize, *b as usize);
                if self.entries > before {
                    filled.extend([*a, *b]);
                }
                self.updates.push(places);
            }
        }
        let later = (first, count(self.later.len()));
        self.pivots.push(Pivot { row, later, updates });
        filled
    }

    fn later(&self, pivot: &Pivot) -> &[Later] {
        self.later.get(pivot.later.0 as usize..pivot.later.1 as usize).unwrap_or(&[])
    }

    /// A matrix of zeros.
    pub(super) fn matrix<F: Phasor>(&self) -> Matrix<F> {
        Matrix {
            diagonal: vec![F::Slope::default(); self.rows],
            entries: vec![F::Slope::default(); self.entries],
        }
    }

    /// Eliminates. Tells whether every pivot drives its current along, so that the point around which the matrix was
    /// made is one to which a circuit returns; gives the row whose diagonal vanished if one did.
    pub(super) fn factor<F: Phasor>(&self, matrix: &mut Matrix<F>) -> Result<Stability, usize> {
        let mut stability = Stability::Stable;
        for pivot in &self.pivots {
            let row = pivot.row as usize;
            let diagonal = matrix.diagonal.get_mut(row).ok_or(row)?;
            if !F::is_positive(*diagonal) {
                stability = Stability::Unstable;
            }
            let inverse = F::inverse(*diagonal).ok_or(row)?;
            *diagonal = inverse;
            let later = self.later(pivot);
            for it in later {
                if let Some(low) = matrix.entries.get_mut(it.low as usize) {
                    *low = F::product(*low, inverse);
                }
            }
            let mut update = pivot.updates as usize;
            for (i, a) in later.iter().enumerate() {
                let (low_a, up_a) = (matrix.entry(a.low), matrix.entry(a.up));
                let change = F::against(F::product(low_a, up_a));
                if let Some(diagonal) = matrix.diagonal.get_mut(a.row as usize) {
                    *diagonal = F::slopes(*diagonal, change);
                }
                for b in later.iter().skip(i + 1) {
                    let (low_b, up_b) = (matrix.entry(b.low), matrix.entry(b.up));
                    let (forth, back) = self.updates.get(update).copied().unwrap_or_default();
                    matrix.add(forth, F::against(F::product(low_a, up_b)));
                    matrix.add(back, F::against(F::product(low_b, up_a)));
                    update += 1;
                }
            }
        }
        Ok(stability)
    }

    /// Solves with a matrix that was eliminated; `right` becomes the solution.
    pub(super) fn solve<F: Phasor>(&self, matrix: &Matrix<F>, right: &mut [F]) {
        for pivot in &self.pivots {
            let here = right.get(pivot.row as usize).copied().unwrap_or_default();
            for it in self.later(pivot) {
                if let Some(value) = right.get_mut(it.row as usize) {
                    *value = value.minus(F::apply(matrix.entry(it.low), here));
                }
            }
        }
        for pivot in self.pivots.iter().rev() {
            let mut sum = right.get(pivot.row as usize).copied().unwrap_or_default();
            for it in self.later(pivot) {
                let there = right.get(it.row as usize).copied().unwrap_or_default();
                sum = sum.minus(F::apply(matrix.entry(it.up), there));
            }
            let inverse = matrix.diagonal.get(pivot.row as usize).copied().unwrap_or_default();
            if let Some(value) = right.get_mut(pivot.row as usize) {
                *value = F::apply(inverse, sum);
            }
        }
    }

    /// The places of the entries `[a][b]` and `[b][a]` of a given pair.
    pub(super) fn pair(&self, index: usize) -> Option<(u32, u32)> {
        self.pairs.get(index).copied().filter(|places| places.0 != u32::MAX)
    }
}

impl<F: Phasor> Matrix<F> {
    fn entry(&self, place: u32) -> F::Slope {
        self.entries.get(place as usize).copied().unwrap_or_default()
    }
    /// Adds to an entry off the diagonal.
    pub(super) fn add(&mut self, place: u32, slope: F::Slope) {
        if let Some(entry) = self.entries.get_mut(place as usize) {
            *entry = F::slopes(*entry, slope);
        }
    }
    /// Adds to the diagonal.
    pub(super) fn add_diagonal(&mut self, row: usize, slope: F::Slope) {
        if let Some(entry) = self.diagonal.get_mut(row) {
            *entry = F::slopes(*entry, slope);
        }
    }
    /// Sets a diagonal entry.
    pub(super) fn set_diagonal(&mut self, row: usize, slope: F::Slope) {
        if let Some(entry) = self.diagonal.get_mut(row) {
            *entry = slope;
        }
    }
    /// Makes every entry zero again.
    pub(super) fn clear(&mut self) {
        self.diagonal.fill(F::Slope::default());
        self.entries.fill(F::Slope::default());
    }
}

/// The places of the entries of two rows, looked for in the shorter of their lists.
fn known(around: &[Vec<Neighbor>], a: usize, b: usize) -> Option<(u32, u32)> {
    let (of_a, of_b) = (around.get(a)?, around.get(b)?);
    if of_a.len() <= of_b.len() {
        of_a.iter().find(|it| it.0 == count(b)).map(|it| (it.1, it.2))
    } else {
        of_b.iter().find(|it| it.0 == count(a)).map(|it| (it.2, it.1))
    }
}

/// Counts of rows and entries stay far below 2³²: the file size limit sees to it.
fn count(count: usize) -> u32 {
    u32::try_from(count).unwrap_or(u32::MAX)
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    /// Solves for a right side made from a known answer and gives the greatest deviation from it.
    fn deviation(rows: usize, pairs: &[(usize, usize)], values: &[(f64, f64)], answer: &[f64]) -> f64 {
        let plan = Plan::new(rows, pairs);
        let mut matrix: Matrix<f64> = plan.matrix();
        let mut right = vec![0.0; rows];
        for row in 0..rows {
            matrix.add_diagonal(row, 20.0);
            right[row] += 20.0 * answer[row];
        }
        for (i, ((a, b), (forth, back))) in pairs.iter().zip(values).enumerate() {
            let Some((at_forth, at_back)) = plan.pair(i) else { continue };
            matrix.add(at_forth, *forth);
            matrix.add(at_back, *back);
            right[*a] += forth * answer[*b];
            right[*b] += back * answer[*a];
        }
        plan.factor(&mut matrix).unwrap();
        plan.solve(&matrix, &mut right);
        right.iter().zip(answer).map(|(found, answer)| (found - answer).abs()).fold(0.0, f64::max)
    }

    #[test]
    fn three_rows_by_hand() {
        // 20x − y = 18, −y off the diagonal both ways, −2z: x = 1, y = 2, z = 3 gives back 1, 2, 3.
        let found = deviation(3, &[(0, 1), (1, 2)], &[(-1.0, -1.0), (-2.0, -2.0)], &[1.0, 2.0, 3.0]);
        assert!(found < 1e-14, "{found}");
    }

    #[test]
    fn a_diagonal_that_vanishes_is_told() {
        let plan = Plan::new(2, &[(0, 1)]);
        let mut matrix: Matrix<f64> = plan.matrix();
        matrix.set_diagonal(0, 1.0);
        matrix.set_diagonal(1, 1.0);
        matrix.add(0, 1.0);
        matrix.add(1, 1.0);
        assert!(plan.factor(&mut matrix).is_err());
    }

    #[test]
    fn a_tree_fills_nothing_in() {
        // A star of 6 000 spokes, each with one more point.
        let pairs: Vec<(usize, usize)> =
            (1..=6000).flat_map(|spoke| [(0, spoke), (spoke, spoke + 6000)]).collect();
        let plan = Plan::new(12_001, &pairs);
        assert_eq!(plan.entries, 2 * pairs.len());
        assert!(plan.updates.is_empty());
    }

    proptest! {
        #[test]
        fn any_pattern_is_solved(
            pairs in prop::collection::vec((0..9_usize, 0..9_usize), 0..30),
            values in prop::collection::vec((-0.3..0.3_f64, -0.3..0.3_f64), 30),
            answer in prop::collection::vec(-10.0..10.0_f64, 9),
        ) {
            prop_assert!(deviation(9, &pairs, &values, &answer) < 1e-12);
        }
    }
}
