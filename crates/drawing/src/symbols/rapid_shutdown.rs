//! Rapid shutdown: the initiator, a break contact under a mushroom head, and the receivers (ours).

use super::Outline;
use super::pencil::Pencil;
use crate::geometry::Facing;
use crate::pen::Pen;
use lineside_core::kinds::common::Position;
use lineside_core::kinds::rapid_shutdown::ShutdownInitiator;

pub(super) fn initiator_outline() -> Outline {
    Outline::new(4, 4)
}

pub(super) fn receiver_outline() -> Outline {
    Outline::new(4, 2).plain("line", 0, 1, Facing::Left).plain("load", 4, 1, Facing::Right)
}

pub(super) fn draw_initiator(it: &ShutdownInitiator, pencil: &mut Pencil) {
    // A break contact: in normal service the blade lies against the hooked contact, from above.
    pencil.circle((0.07, 0.32), 0.03).circle((0.93, 0.32), 0.03).line((0.70, 0.32), (0.90, 0.32));
    pencil.path(&[(0.10, 0.32), (0.30, 0.32), (0.30, 0.42)]).dot((0.70, 0.32), 0.035);
    let grip = match it.position {
        Position::Closed => {
            pencil.line((0.70, 0.32), (0.26, 0.42));
            0.365
        }
        Position::Open => {
            pencil.line((0.70, 0.32), (0.28, 0.14));
            0.235
        }
    };
    pencil.with(Pen::Link).line((0.5, grip), (0.5, 0.80)).with(Pen::Symbol);
    pencil.arc((0.5, 0.80), 0.15, 0, 180).line((0.35, 0.80), (0.65, 0.80));
}

pub(super) fn draw_receiver(pencil: &mut Pencil) {
    pencil.stand_slim();
    pencil.rectangle(0.28, 0.28, 0.44, 0.44).letters((0.5, 0.5), "RS");
    pencil.line((0.0, 0.5), (0.28, 0.5)).line((0.72, 0.5), (1.0, 0.5));
}
