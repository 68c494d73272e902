//! What the gathering of every study needs: the project, its studies, names and figures.
//!
//! What is gathered is in the file of each study.

use crate::commands::shapes::Figure;
use lineside_core::circuit::{BlockId, Circuit, RunId};
use lineside_core::units::{Quantity, UnitSystem};
use lineside_study::{Conditions, Studies};

/// The project, what was studied of it, and the units in which it is told.
#[derive(Clone, Copy)]
pub(super) struct Gathering<'a> {
    pub(super) on: Conditions<'a>,
    pub(super) studies: &'a Studies,
    pub(super) units: UnitSystem,
}

impl<'a> Gathering<'a> {
    pub(super) const fn circuit(&self) -> &'a Circuit {
        &self.on.project.circuit
    }
    pub(super) fn figure(&self, quantity: impl Into<Quantity>) -> Figure {
        Figure::of(quantity, self.units)
    }
    pub(super) fn known(&self, quantity: Option<impl Into<Quantity>>) -> Option<Figure> {
        quantity.map(|quantity| self.figure(quantity))
    }
    pub(super) fn block(&self, id: BlockId) -> String {
        self.circuit().block(id).map(|block| block.tag.clone()).unwrap_or_default()
    }
    pub(super) fn run_tag(&self, id: RunId) -> String {
        self.circuit().run(id).map(|run| run.tag.clone()).unwrap_or_default()
    }
}
