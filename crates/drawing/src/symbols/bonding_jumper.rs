//! Bonding jumper (ours): a heavy link between two open circles. There is one for each system; it is counted
//! on the drawing.

use super::Outline;
use super::pencil::Pencil;
use crate::geometry::Facing;
use crate::pen::Pen;

pub(super) fn outline() -> Outline {
    Outline::new(4, 2).plain("system", 0, 1, Facing::Left).plain("earth", 4, 1, Facing::Right)
}

pub(super) fn draw(pencil: &mut Pencil) {
    pencil.stand_slim();
    pencil.line((0.0, 0.5), (0.15, 0.5)).circle((0.20, 0.5), 0.05);
    pencil.with(Pen::Bond).line((0.25, 0.5), (0.75, 0.5)).with(Pen::Symbol);
    pencil.circle((0.80, 0.5), 0.05).line((0.85, 0.5), (1.0, 0.5));
}
