//! Surge arrester: across a circuit, to earth.

use super::pencil::Pencil;
use super::{Form, Outline};
use crate::geometry::Facing;

pub(super) fn outline() -> Outline {
    Outline::new(2, 4).plain("across", 1, 0, Facing::Up).plain("earth", 1, 4, Facing::Down)
}

pub(super) fn draw(pencil: &mut Pencil, form: Form) {
    match form {
        Form::I => {
            pencil.line((0.25, 1.0), (0.25, 0.40)).rectangle(0.15, 0.30, 0.20, 0.40);
            pencil.filled(&[(0.20, 0.48), (0.30, 0.48), (0.25, 0.36)]);
            pencil.line((0.25, 0.30), (0.25, 0.0));
        }
        Form::A => {
            pencil.line((0.25, 1.0), (0.25, 0.68)).line((0.25, 0.32), (0.25, 0.0));
            pencil.filled(&[(0.15, 0.68), (0.35, 0.68), (0.25, 0.54)]);
            pencil.filled(&[(0.15, 0.32), (0.35, 0.32), (0.25, 0.46)]);
        }
    }
}
