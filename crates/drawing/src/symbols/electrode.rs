//! Earth electrode: the sign of earth.

use super::Outline;
use super::pencil::Pencil;
use crate::geometry::Facing;

pub(super) fn outline() -> Outline {
    Outline::new(4, 4).plain("earth", 2, 0, Facing::Up)
}

pub(super) fn draw(pencil: &mut Pencil) {
    pencil.line((0.5, 1.0), (0.5, 0.50)).line((0.20, 0.50), (0.80, 0.50));
    pencil.line((0.32, 0.36), (0.68, 0.36)).line((0.43, 0.22), (0.57, 0.22));
}
