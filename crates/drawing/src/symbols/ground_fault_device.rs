//! Ground-fault device: the pole that opens, and what makes it open: a breaker in the bond to earth, or the
//! ring of a residual-current device round the run.

use super::pencil::Pencil;
use super::switch::{Contact, blade_middle, pole, qualifier};
use super::{Form, Outline};
use crate::geometry::Facing;
use crate::pen::Pen;
use lineside_core::kinds::common::Position;
use lineside_core::kinds::ground_fault_device::{GroundFaultDevice, GroundFaultType};

pub(super) fn outline() -> Outline {
    Outline::new(4, 4).plain("line", 0, 2, Facing::Left).plain("load", 4, 2, Facing::Right).plain(
        "earth",
        2,
        4,
        Facing::Down,
    )
}

pub(super) fn draw(it: &GroundFaultDevice, pencil: &mut Pencil, form: Form) {
    let contact = if it.breaker_rating.is_some() { Contact::Breaker } else { Contact::LoadBreak };
    match it.kind {
        GroundFaultType::DcInterrupter => {
            pole(pencil, it.position, contact, form);
            pencil.poles(it.poles.unwrap_or(1));
            interrupter(it, pencil);
        }
        GroundFaultType::ResidualCurrent => residual(it, pencil, contact),
    }
}

fn interrupter(it: &GroundFaultDevice, pencil: &mut Pencil) {
    pencil.line((0.5, 0.0), (0.5, 0.12)).dot((0.5, 0.34), 0.035);
    pencil.line((0.43, 0.05), (0.57, 0.19)).line((0.43, 0.19), (0.57, 0.05));
    match it.position {
        Position::Closed => pencil.line((0.5, 0.34), (0.5, 0.12)),
        Position::Open => pencil.line((0.5, 0.34), (0.38, 0.16)),
    };
    let (x, y) = blade_middle(it.position);
    pencil.with(Pen::Link).line((0.5, 0.36), (x, y)).with(Pen::Symbol);
    pencil.letters((0.76, 0.24), "GF");
}

fn residual(it: &GroundFaultDevice, pencil: &mut Pencil, contact: Contact) {
    pencil.line((0.0, 0.5), (0.18, 0.5)).line((0.52, 0.5), (1.0, 0.5)).dot((0.52, 0.5), 0.035);
    qualifier(pencil, (0.18, 0.5), contact);
    let grip = match it.position {
        Position::Closed => {
            pencil.line((0.52, 0.5), (0.18, 0.5));
            (0.35, 0.5)
        }
        Position::Open => {
            pencil.line((0.52, 0.5), (0.21, 0.68));
            (0.365, 0.59)
        }
    };
    pencil.ellipse((0.70, 0.5), 0.06, 0.20).poles(it.poles.unwrap_or(1).min(3));
    let link = [(0.70, 0.70), (0.70, 0.86), (grip.0, 0.86), grip];
    pencil.with(Pen::Link).path(&link).with(Pen::Symbol);
    pencil.only_with("earth").line((0.5, 0.0), (0.5, 0.10)).line((0.38, 0.10), (0.62, 0.10)).always();
}
