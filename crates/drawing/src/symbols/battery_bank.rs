//! Battery bank: two cells and the dashes of those between them.
//!
//! One line stands for both poles. The plate next to the terminal is the long one: it is the positive pole.

use super::Outline;
use super::pencil::Pencil;
use crate::geometry::Facing;
use crate::pen::Pen;
use lineside_core::kinds::battery_bank::BatteryBank;

pub(super) fn outline() -> Outline {
    Outline::new(4, 4).plain("out", 4, 2, Facing::Right).plain("bond", 2, 4, Facing::Down)
}

pub(super) fn draw(it: &BatteryBank, pencil: &mut Pencil) {
    for (short, long) in [(0.34, 0.42), (0.58, 0.66)] {
        pencil.line((short, 0.36), (short, 0.64)).line((long, 0.20), (long, 0.80));
    }
    pencil.line((0.42, 0.5), (0.46, 0.5)).line((0.48, 0.5), (0.52, 0.5)).line((0.54, 0.5), (0.58, 0.5));
    pencil.line((0.66, 0.5), (1.0, 0.5)).plus((0.78, 0.66));
    pencil.line((0.22, 0.5), (0.34, 0.5));
    if it.strings_in_parallel > 1 {
        pencil.with(Pen::Enclosure).rectangle(0.02, 0.06, 0.94, 0.88).with(Pen::Symbol);
        pencil.letters((0.17, 0.80), &format!("{}×", it.strings_in_parallel));
    }
    pencil.bond_to_frame(0.5);
}
