//! PV strings: a generator of cells with light falling on it.

use super::pencil::Pencil;
use super::{Form, Outline};
use crate::geometry::Facing;
use lineside_core::kinds::strings::Strings;

pub(super) fn outline() -> Outline {
    Outline::new(4, 4).plain("out", 4, 2, Facing::Right)
}

pub(super) fn draw(it: &Strings, pencil: &mut Pencil, form: Form) {
    // The cell; its long plate looks to the terminal, which is the positive end.
    match form {
        Form::I => {
            pencil.rectangle(0.20, 0.10, 0.70, 0.65);
            pencil.line((0.50, 0.28), (0.50, 0.42)).line((0.58, 0.22), (0.58, 0.48));
            pencil.line((0.32, 0.35), (0.50, 0.35)).line((0.58, 0.35), (0.78, 0.35));
            pencil.line((0.90, 0.50), (1.0, 0.50));
        }
        Form::A => {
            pencil.circle((0.50, 0.45), 0.33);
            pencil.line((0.46, 0.38), (0.46, 0.52)).line((0.54, 0.32), (0.54, 0.58));
            pencil.line((0.28, 0.45), (0.46, 0.45)).line((0.54, 0.45), (0.72, 0.45));
            pencil.line((0.826, 0.50), (1.0, 0.50));
        }
    }
    if it.strings_in_parallel > 1 {
        pencil.letters((0.55, 0.62), &format!("{}×", it.strings_in_parallel));
    }
    for left in [0.02, 0.14] {
        let (from, to) = ((left, 0.98), (left + 0.16, 0.82));
        pencil.line(from, to);
        pencil.line(to, (to.0 - 0.065, to.1 + 0.02)).line(to, (to.0 - 0.02, to.1 + 0.065));
    }
}
