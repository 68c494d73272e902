//! DC load: a box with the mark of direct current.

use super::Outline;
use super::pencil::Pencil;
use crate::geometry::Facing;

pub(super) fn outline() -> Outline {
    Outline::new(4, 2).plain("in", 0, 1, Facing::Left)
}

pub(super) fn draw(pencil: &mut Pencil) {
    pencil.stand_slim();
    pencil.line((0.0, 0.5), (0.20, 0.5)).rectangle(0.20, 0.30, 0.60, 0.40).direct((0.5, 0.5));
}
