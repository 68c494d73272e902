//! DC converter: the square of a converter, direct current on both sides.

use super::Outline;
use super::converter::{Current, square};
use super::pencil::Pencil;
use crate::geometry::Facing;

pub(super) fn outline() -> Outline {
    Outline::new(4, 4).plain("in", 0, 2, Facing::Left).plain("out", 4, 2, Facing::Right)
}

pub(super) fn draw(pencil: &mut Pencil) {
    square(pencil, Current::Direct, Current::Direct);
}
