//! Generator: a circle with G and the mark of alternating current.

use super::Outline;
use super::pencil::Pencil;
use crate::display_list::Weight;
use crate::geometry::Facing;

pub(super) fn outline() -> Outline {
    Outline::new(4, 4).plain("out", 4, 2, Facing::Right).plain("bond", 2, 4, Facing::Down)
}

pub(super) fn draw(pencil: &mut Pencil) {
    pencil.circle((0.5, 0.5), 0.38);
    pencil.letters_of((0.5, 0.60), "G", 2.5, Weight::Regular).alternating((0.5, 0.33));
    pencil.line((0.88, 0.5), (1.0, 0.5));
    pencil.only_with("bond").line((0.5, 0.0), (0.5, 0.12)).always();
}
