//! Utility service (ours): a triangle that points into the system.

use super::Outline;
use super::pencil::Pencil;
use crate::geometry::Facing;

pub(super) fn outline() -> Outline {
    Outline::new(4, 4).plain("out", 4, 2, Facing::Right).plain("bond", 2, 4, Facing::Down)
}

pub(super) fn draw(pencil: &mut Pencil) {
    pencil.outline(&[(0.10, 0.20), (0.10, 0.80), (0.62, 0.5)]).alternating((0.26, 0.5));
    pencil.line((0.62, 0.5), (1.0, 0.5));
    pencil.bond_to_frame(0.5);
}
