//! Newton's method on one island: joints, the conductors that tie them, and devices whose current depends on the
//! voltage where they stand.
//!
//! Voltages are kept as rises above a reference, so that the difference of two neighboring joints keeps its digits.
//! Every loop has a bound; what does not converge is told.

use super::elimination::{Matrix, Plan, Stability};
use super::phasor::Phasor;
use super::voltages::{Point, Voltages};

/// A conductor between two joints.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct Tie {
    /// One joint.
    pub a: usize,
    /// The other.
    pub b: usize,
    /// Its conductance.
    pub siemens: f64,
}

/// Something that pushes current into a joint, or draws it, as the voltage at a joint bids it.
pub(super) trait Device<F: Phasor> {
    /// The joint where it stands.
    fn at(&self) -> usize;
    /// The joint whose voltage it obeys.
    fn obeys(&self) -> usize;
    /// The current into the joint at a voltage, and how it changes with it.
    fn inject(&self, at: Point<F>) -> (F, F::Slope);
}

/// The conductors of an island.
#[derive(Clone, Debug, Default)]
pub(super) struct Grid {
    joints: usize,
    ties: Vec<Tie>,
    plan: Plan,
    /// For each joint the sum of the conductances at it.
    total: Vec<f64>,
    /// Pairs of joints of which a device stands at one and obeys the other; they follow the ties in the plan.
    sensed: Vec<(usize, usize)>,
}

/// How well an island was solved.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub(super) struct Fit {
    /// Greatest current that is left over at a joint.
    pub left_over: f64,
    /// Greatest current of all conductors and devices.
    pub largest: f64,
    /// The current that rounding of the voltages makes in the stiffest conductor.
    pub grain: f64,
}

impl Fit {
    /// Whether it will do when no step gains any more.
    fn is_enough(&self) -> bool {
        self.left_over <= (ENOUGH * self.largest).max(16.0 * self.grain)
    }
}

/// The solver gave up.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) struct GaveUp;

const ITERATIONS: usize = 120;
const HALVINGS: usize = 24;
/// Weights on the diagonal, as shares of what stands there already.
const LEAST_SHIFT: f64 = 1e-6;
const GREATEST_SHIFT: f64 = 1e8;
/// A pushed step goes no farther than this share of the reference voltage.
const REACH: f64 = 0.1;
/// Left-over current, as a share of the largest, at which there is nothing more to gain.
const FINE: f64 = 1e-13;
/// Left-over current, as a share of the largest, that is good enough when no step gains any more.
const ENOUGH: f64 = 5e-10;
/// Currents below this do not count as the largest, or an island without current would never be done.
const SMALLEST: f64 = 1e-2;

impl Grid {
    /// A grid of so many joints. `sensed` are pairs of joints of which a device stands at one and obeys the other.
    pub(super) fn new(joints: usize, ties: Vec<Tie>, sensed: Vec<(usize, usize)>) -> Self {
        let pairs: Vec<(usize, usize)> =
            ties.iter().map(|tie| (tie.a, tie.b)).chain(sensed.iter().copied()).collect();
        let mut total = vec![0.0; joints];
        for tie in ties.iter().filter(|tie| tie.a != tie.b) {
            for joint in [tie.a, tie.b] {
                if let Some(sum) = total.get_mut(joint) {
                    *sum += tie.siemens;
                }
            }
        }
        Self { joints, plan: Plan::new(joints, &pairs), ties, total, sensed }
    }

    /// How many joints there are.
    pub(super) fn joints(&self) -> usize {
        self.joints
    }

    /// The current of a tie, from `a` to `b`.
    pub(super) fn tie_current<F: Phasor>(&self, tie: usize, volts: &Voltages<F>) -> F {
        self.ties.get(tie).map_or_else(F::default, |tie| current(tie, volts))
    }

    /// What is left over at each joint: devices in, conductors out. Held joints take up whatever comes.
    fn mismatch<F: Phasor, D: Device<F>>(
        &self,
        devices: &[D],
        volts: &Voltages<F>,
        left: &mut Vec<F>,
    ) -> Fit {
        left.clear();
        left.resize(self.joints, F::default());
        let mut largest = SMALLEST;
        for device in devices {
            let (amps, _) = device.inject(volts.point(device.obeys()));
            largest = largest.max(amps.size());
            if let Some(sum) = left.get_mut(device.at()) {
                *sum = sum.plus(amps);
            }
        }
        let mut grain = 0.0_f64;
        for tie in &self.ties {
            let amps = current(tie, volts);
            largest = largest.max(amps.size());
            let rise = volts.rise(tie.a).size().max(volts.rise(tie.b).size());
            grain = grain.max(rise * tie.siemens * f64::EPSILON);
            if let Some(sum) = left.get_mut(tie.a) {
                *sum = sum.minus(amps);
            }
            if let Some(sum) = left.get_mut(tie.b) {
                *sum = sum.plus(amps);
            }
        }
        for (sum, held) in left.iter_mut().zip(&volts.held) {
            if *held {
                *sum = F::default();
            }
        }
        let left_over = left.iter().map(|sum| sum.size()).fold(0.0, keep_nan);
        Fit { left_over, largest, grain }
    }

    /// How the left-over currents fall as the voltages rise, eliminated. Rows of held joints are those of the
    /// identity. `shift` makes the diagonal heavier, for shorter steps that go where the currents push.
    fn linearize<F: Phasor, D: Device<F>>(
        &self,
        devices: &[D],
        volts: &Voltages<F>,
        shift: f64,
        matrix: &mut Matrix<F>,
    ) -> Result<Stability, usize> {
        matrix.clear();
        for (joint, total) in self.total.iter().enumerate() {
            matrix.add_diagonal(joint, F::siemens(total * (1.0 + shift)));
        }
        for (i, tie) in self.ties.iter().enumerate() {
            let Some((forth, back)) = self.plan.pair(i) else { continue };
            if !volts.is_held(tie.a) {
                matrix.add(forth, F::siemens(-tie.siemens));
            }
            if !volts.is_held(tie.b) {
                matrix.add(back, F::siemens(-tie.siemens));
            }
        }
        for device in devices.iter().filter(|device| !volts.is_held(device.at())) {
            let (_, slope) = device.inject(volts.point(device.obeys()));
            let against = F::against(slope);
            matrix.add_diagonal(device.at(), F::siemens(F::steepness(slope) * shift));
            if device.at() == device.obeys() {
                matrix.add_diagonal(device.at(), against);
            } else if let Some(place) = self.sense_entry(device.at(), device.obeys()) {
                matrix.add(place, against);
            }
        }
        for (joint, held) in volts.held.iter().enumerate() {
            if *held {
                matrix.set_diagonal(joint, F::siemens(1.0));
            }
        }
        self.plan.factor(matrix)
    }

    fn sense_entry(&self, at: usize, obeys: usize) -> Option<u32> {
        let index = self.sensed.iter().position(|pair| *pair == (at, obeys))?;
        Some(self.plan.pair(self.ties.len() + index)?.0)
    }

    /// Finds the voltages at which nothing is left over, from those given. Where rounding is in the way, because they
    /// ended far from their reference, they are counted from another one and found once more.
    pub(super) fn solve<F: Phasor, D: Device<F>>(
        &self,
        devices: &[D],
        volts: &mut Voltages<F>,
    ) -> Result<Fit, GaveUp> {
        let fit = self.find(devices, volts)?;
        if fit.left_over <= 10.0 * FINE * fit.largest {
            return Ok(fit);
        }
        volts.rebase();
        self.find(devices, volts)
    }

    /// Finds the voltages at which nothing is left over.
    ///
    /// Where the circuit would run away from a point, because a constant power outweighs what steadies it, Newton's step
    /// points to a state that no circuit keeps. There the diagonal is made heavier until the step goes where the
    /// currents push, and is taken whether or not less is left over: so the state that is found is one to which the
    /// circuit itself would come.
    fn find<F: Phasor, D: Device<F>>(&self, devices: &[D], volts: &mut Voltages<F>) -> Result<Fit, GaveUp> {
        let mut work = Work::new(self, devices, volts);
        let mut shift = 0.0;
        for _ in 0..ITERATIONS {
            if work.fit.left_over <= FINE * work.fit.largest {
                return Ok(work.fit);
            }
            if work.newton(volts) {
                continue;
            }
            if work.fit.is_enough() {
                return Ok(work.fit);
            }
            shift = f64::max(shift * 0.1, LEAST_SHIFT);
            while !work.pushed(volts, shift) {
                shift *= 10.0;
                if shift > GREATEST_SHIFT {
                    return Err(GaveUp);
                }
            }
        }
        if work.fit.is_enough() { Ok(work.fit) } else { Err(GaveUp) }
    }

    /// How every voltage changes with that of the held joints, all of which rise together.
    pub(super) fn response<F: Phasor, D: Device<F>>(
        &self,
        devices: &[D],
        volts: &Voltages<F>,
        held: &[usize],
        unit: F,
    ) -> Result<Vec<F>, GaveUp> {
        let mut matrix = self.plan.matrix();
        self.linearize(devices, volts, 0.0, &mut matrix).map_err(|_| GaveUp)?;
        let mut right = vec![F::default(); self.joints];
        for joint in held {
            if let Some(slot) = right.get_mut(*joint) {
                *slot = unit;
            }
        }
        self.plan.solve(&matrix, &mut right);
        Ok(right)
    }

    /// The current that flows out of the conductors into a joint: what a held joint takes.
    pub(super) fn flowing_in<F: Phasor>(&self, joint: usize, volts: &Voltages<F>) -> F {
        let mut sum = F::default();
        for tie in self.ties.iter().filter(|tie| tie.a != tie.b) {
            if tie.a == joint {
                sum = sum.minus(current(tie, volts));
            } else if tie.b == joint {
                sum = sum.plus(current(tie, volts));
            }
        }
        sum
    }
}

/// What the iterations work on.
struct Work<'a, F: Phasor, D> {
    grid: &'a Grid,
    devices: &'a [D],
    matrix: Matrix<F>,
    left: Vec<F>,
    step: Vec<F>,
    trial: Voltages<F>,
    trial_left: Vec<F>,
    fit: Fit,
}

impl<'a, F: Phasor, D: Device<F>> Work<'a, F, D> {
    fn new(grid: &'a Grid, devices: &'a [D], volts: &Voltages<F>) -> Self {
        let mut left = Vec::with_capacity(grid.joints);
        let fit = grid.mismatch(devices, volts, &mut left);
        Self {
            grid,
            devices,
            matrix: grid.plan.matrix(),
            step: Vec::with_capacity(grid.joints),
            trial: volts.clone(),
            trial_left: Vec::with_capacity(grid.joints),
            left,
            fit,
        }
    }

    /// Newton's step, shortened until less is left over. Tells whether it was taken.
    fn newton(&mut self, volts: &mut Voltages<F>) -> bool {
        if self.grid.linearize(self.devices, volts, 0.0, &mut self.matrix) != Ok(Stability::Stable) {
            return false;
        }
        self.solve_step();
        let mut part = 1.0;
        for _ in 0..HALVINGS {
            let found = self.look(volts, part);
            if found.left_over < self.fit.left_over * (1.0 - 1e-4 * part) {
                self.take(volts, found);
                return true;
            }
            part *= 0.5;
        }
        false
    }

    /// A step where the currents push, not too far. Tells whether it was taken.
    fn pushed(&mut self, volts: &mut Voltages<F>, shift: f64) -> bool {
        if self.grid.linearize(self.devices, volts, shift, &mut self.matrix) != Ok(Stability::Stable) {
            return false;
        }
        self.solve_step();
        let size = self.step.iter().map(|step| step.size()).fold(0.0, keep_nan);
        let part = (volts.reference.size() * REACH / size).min(1.0);
        let found = self.look(volts, part);
        if found.left_over.is_finite() {
            self.take(volts, found);
            return true;
        }
        false
    }

    fn solve_step(&mut self) {
        self.step.clone_from(&self.left);
        self.grid.plan.solve(&self.matrix, &mut self.step);
    }

    fn look(&mut self, volts: &Voltages<F>, part: f64) -> Fit {
        for ((to, from), step) in self.trial.rise.iter_mut().zip(&volts.rise).zip(&self.step) {
            *to = from.plus(step.times(part));
        }
        self.grid.mismatch(self.devices, &self.trial, &mut self.trial_left)
    }

    fn take(&mut self, volts: &mut Voltages<F>, found: Fit) {
        std::mem::swap(&mut volts.rise, &mut self.trial.rise);
        std::mem::swap(&mut self.left, &mut self.trial_left);
        self.fit = found;
    }
}

fn current<F: Phasor>(tie: &Tie, volts: &Voltages<F>) -> F {
    volts.rise(tie.a).minus(volts.rise(tie.b)).times(tie.siemens)
}

/// The greater of the two, and what is no number if either is none, so that no comparison mistakes it for success.
fn keep_nan(a: f64, b: f64) -> f64 {
    if a.is_nan() || b.is_nan() { f64::NAN } else { a.max(b) }
}

#[cfg(test)]
#[path = "newton_tests.rs"]
mod tests;
