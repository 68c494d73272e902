//! The voltages of one island, kept as rises above a reference.
//!
//! The difference of two neighboring joints so keeps its digits. How they are found is in `newton.rs`.

use super::phasor::Phasor;

/// A voltage as a rise above a reference, so that what is near the reference keeps its digits.
#[derive(Clone, Copy, Debug, Default)]
pub(super) struct Point<F> {
    reference: F,
    rise: F,
}

impl<F: Phasor> Point<F> {
    /// The voltage.
    pub(super) fn volts(self) -> F {
        self.reference.plus(self.rise)
    }
    /// How far it stands above another voltage.
    pub(super) fn above(self, volts: F) -> F {
        self.reference.minus(volts).plus(self.rise)
    }
}

/// The voltages of an island.
#[derive(Clone, Debug, Default)]
pub(super) struct Voltages<F> {
    /// What the rises are counted from.
    pub reference: F,
    /// For each joint the voltage above the reference.
    pub rise: Vec<F>,
    /// For each joint whether its voltage is held.
    pub held: Vec<bool>,
}

impl<F: Phasor> Voltages<F> {
    /// Every joint at one voltage.
    pub(super) fn flat(joints: usize, reference: F) -> Self {
        Self { reference, rise: vec![F::default(); joints], held: vec![false; joints] }
    }
    /// The voltage of a joint.
    pub(super) fn at(&self, joint: usize) -> F {
        self.reference.plus(self.rise(joint))
    }
    /// The voltage of a joint, in its two parts.
    pub(super) fn point(&self, joint: usize) -> Point<F> {
        Point { reference: self.reference, rise: self.rise(joint) }
    }
    /// The same voltages with rises counted from the first joint, so that small ones keep their digits.
    pub(super) fn rebase(&mut self) {
        let shift = self.rise(0);
        self.reference = self.reference.plus(shift);
        for rise in &mut self.rise {
            *rise = rise.minus(shift);
        }
    }
    /// How far a joint stands above the reference.
    pub(super) fn rise(&self, joint: usize) -> F {
        self.rise.get(joint).copied().unwrap_or_default()
    }
    /// Holds a joint at a voltage.
    pub(super) fn hold(&mut self, joint: usize, volts: F) {
        if let (Some(rise), Some(held)) = (self.rise.get_mut(joint), self.held.get_mut(joint)) {
            *rise = volts.minus(self.reference);
            *held = true;
        }
    }
    /// Whether the voltage of a joint is held; so is that of a joint that there is not.
    pub(super) fn is_held(&self, joint: usize) -> bool {
        self.held.get(joint).copied().unwrap_or(true)
    }
}
