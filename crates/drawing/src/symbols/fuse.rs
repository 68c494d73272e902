//! Fuse: alone, in a touch-safe holder that isolates, or on a load-break switch.

use super::Form;
use super::pencil::Pencil;
use super::switch::{Contact, pole, qualifier};
use lineside_core::kinds::common::Position;
use lineside_core::kinds::fuse::{Fuse, FuseMount};

pub(super) fn draw(it: &Fuse, pencil: &mut Pencil, form: Form) {
    pencil.stand_slim().poles(it.poles.unwrap_or(1));
    match it.mount {
        FuseMount::BoltDown => link(pencil, it.position),
        FuseMount::TouchSafeHolder => holder(pencil, it.position),
        FuseMount::FusedSwitch => on_switch(pencil, it.position, form),
    }
}

/// A fuse along y = 0.5 of the unit box; taken out, the leads end at its caps.
fn link(pencil: &mut Pencil, position: Position) {
    pencil.rectangle(0.25, 0.40, 0.50, 0.20);
    match position {
        Position::Closed => pencil.line((0.0, 0.5), (1.0, 0.5)),
        Position::Open => pencil.line((0.0, 0.5), (0.16, 0.5)).line((0.84, 0.5), (1.0, 0.5)),
    };
}

/// A fuse in a holder that isolates; a combiner draws its ways with it.
pub(super) fn holder(pencil: &mut Pencil, position: Position) {
    match position {
        Position::Closed => {
            link(pencil, position);
            pencil.line((0.18, 0.41), (0.18, 0.59));
        }
        Position::Open => {
            pencil.line((0.0, 0.5), (0.18, 0.5)).line((0.18, 0.41), (0.18, 0.59));
            swung(pencil);
            pencil.line((0.70, 0.5), (1.0, 0.5)).dot((0.70, 0.5), 0.035);
        }
    }
}

/// The blade carries the fuse. Form A has the same: a switch and a fuse in one.
fn on_switch(pencil: &mut Pencil, position: Position, form: Form) {
    match position {
        Position::Open => {
            pencil.line((0.0, 0.5), (0.30, 0.5)).line((0.70, 0.5), (1.0, 0.5));
            qualifier(pencil, (0.30, 0.5), Contact::LoadBreak);
            swung(pencil);
            pencil.dot((0.70, 0.5), 0.035);
        }
        Position::Closed => {
            pole(pencil, position, Contact::LoadBreak, Form::I);
            pencil.rectangle(0.45, 0.445, 0.20, 0.11);
        }
    }
    let _ = form;
}

/// A blade from (0.70, 0.5) to (0.33, 0.71) with the fuse centered on it: 0.28 × 0.11, along the blade. The
/// blade's direction is (−0.8697, 0.4936), so half the length is (−0.1218, 0.0691) and half the width
/// (0.0271, 0.0478).
fn swung(pencil: &mut Pencil) {
    let (middle, along, aside) = ((0.515, 0.605), (-0.1218, 0.0691), (0.0271, 0.0478));
    pencil.line((0.70, 0.5), (0.33, 0.71));
    pencil.outline(&[
        (middle.0 + along.0 + aside.0, middle.1 + along.1 + aside.1),
        (middle.0 - along.0 + aside.0, middle.1 - along.1 + aside.1),
        (middle.0 - along.0 - aside.0, middle.1 - along.1 - aside.1),
        (middle.0 + along.0 - aside.0, middle.1 + along.1 - aside.1),
    ]);
}
