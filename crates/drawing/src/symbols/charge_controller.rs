//! Charge controller: a DC converter that follows the strings' best voltage, or a switch in a square.

use super::Outline;
use super::converter::{Current, bond, leads, square};
use super::pencil::Pencil;
use crate::geometry::Facing;
use lineside_core::kinds::charge_controller::{ChargeController, ControllerType};

pub(super) fn outline() -> Outline {
    Outline::new(4, 4).plain("pv", 0, 2, Facing::Left).plain("battery", 4, 2, Facing::Right).plain(
        "bond",
        2,
        4,
        Facing::Down,
    )
}

pub(super) fn draw(it: &ChargeController, pencil: &mut Pencil) {
    match it.kind {
        ControllerType::TrackingStepDown | ControllerType::TrackingStepUpDown => {
            square(pencil, Current::Direct, Current::Direct);
            // Ours: the diagonal is an arrow, the sign of what adjusts itself.
            pencil.line((0.90, 0.90), (0.78, 0.86)).line((0.90, 0.90), (0.86, 0.78));
        }
        ControllerType::Switching => {
            pencil.rectangle(0.10, 0.10, 0.80, 0.80);
            leads(pencil);
            pencil.line((0.10, 0.5), (0.34, 0.5)).line((0.66, 0.5), (0.90, 0.5));
            pencil.line((0.66, 0.5), (0.37, 0.66));
            pencil.dot((0.66, 0.5), 0.03).circle((0.34, 0.5), 0.03);
            pencil.direct((0.28, 0.30)).direct((0.72, 0.30));
        }
    }
    bond(pencil);
}
