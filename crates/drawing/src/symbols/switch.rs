//! Switch: one blade for each circuit that the handle opens, linked where there are several; and the parts
//! that every switching device shares.

use super::pencil::Pencil;
use super::{Form, Outline, in_line, small};
use crate::geometry::{Facing, Point};
use crate::pen::Pen;
use lineside_core::circuit::TerminalName;
use lineside_core::kinds::common::{LoadBreak, Polarity, Position};
use lineside_core::kinds::switch::Switch;

pub(super) fn outline(it: &Switch) -> Outline {
    if it.circuits <= 1 {
        return in_line();
    }
    let circuits = small(it.circuits);
    let mut outline = Outline::new(4, 2 * i32::from(circuits));
    for circuit in 1..=circuits {
        let y = 2 * i32::from(circuit) - 1;
        outline = outline.pin(TerminalName::numbered("line", circuit), 0, y, Facing::Left).pin(
            TerminalName::numbered("load", circuit),
            4,
            y,
            Facing::Right,
        );
    }
    outline
}

pub(super) fn draw(it: &Switch, pencil: &mut Pencil, form: Form) {
    let circuits = small(it.circuits).max(1);
    for circuit in 0..circuits {
        pencil.stand(0.0, 7.5 + 5.0 * f32::from(circuit));
        let contact = match it.load_break {
            LoadBreak::Yes => Contact::LoadBreak,
            LoadBreak::No => Contact::Isolating,
        };
        pole(pencil, it.position, contact, form);
        pencil.poles(it.poles);
        if it.polarity == Polarity::Sensitive {
            pencil.plus((0.11, 0.62));
        }
    }
    if circuits > 1 {
        let middle = blade_middle(it.position);
        let lower = Point::new(middle.0, middle.1);
        let upper = middle.1 + 0.5 * f32::from(circuits - 1);
        pencil.with(Pen::Link).line((lower.x, lower.y), (lower.x, upper)).with(Pen::Symbol);
    }
}

/// What stands at the fixed contact and tells the kind of switch.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Contact {
    /// Opens without load only: a bar.
    Isolating,
    /// Opens under load: a bar and a small circle.
    LoadBreak,
    /// Opens by itself on overcurrent: a cross.
    Breaker,
}

/// A pole in the unit box along y = 0.5: leads, contact, blade.
pub(super) fn pole(pencil: &mut Pencil, position: Position, contact: Contact, form: Form) {
    match form {
        Form::I => {
            pencil.line((0.0, 0.5), (0.30, 0.5)).line((0.70, 0.5), (1.0, 0.5));
            qualifier(pencil, (0.30, 0.5), contact);
            blade(pencil, position);
        }
        Form::A => {
            pencil.line((0.0, 0.5), (0.29, 0.5)).line((0.71, 0.5), (1.0, 0.5));
            pencil.circle((0.32, 0.5), 0.03).circle((0.68, 0.5), 0.03);
            match position {
                Position::Open => pencil.line((0.67, 0.525), (0.36, 0.70)),
                Position::Closed => pencil.line((0.67, 0.525), (0.32, 0.53)),
            };
            if contact == Contact::LoadBreak {
                pencil.line((0.44, 0.40), (0.56, 0.40));
            }
        }
    }
}

/// The blade with its hinge. The dot at the hinge is ours: a closed switch is then still seen to be one.
pub(super) fn blade(pencil: &mut Pencil, position: Position) {
    match position {
        Position::Open => pencil.line((0.70, 0.5), (0.33, 0.71)),
        Position::Closed => pencil.line((0.70, 0.5), (0.30, 0.5)),
    };
    pencil.dot((0.70, 0.5), 0.035);
}

/// Where a link takes hold of the blade.
pub(super) fn blade_middle(position: Position) -> (f32, f32) {
    match position {
        Position::Open => (0.515, 0.605),
        Position::Closed => (0.5, 0.5),
    }
}

/// The sign at a fixed contact that is reached from the left.
pub(super) fn qualifier(pencil: &mut Pencil, (x, y): (f32, f32), contact: Contact) {
    match contact {
        Contact::Isolating => {
            pencil.line((x, y - 0.10), (x, y + 0.10));
        }
        Contact::LoadBreak => {
            pencil.line((x, y - 0.10), (x, y + 0.10)).circle((x + 0.06, y), 0.06);
        }
        Contact::Breaker => {
            pencil.line((x - 0.07, y - 0.07), (x + 0.07, y + 0.07));
            pencil.line((x - 0.07, y + 0.07), (x + 0.07, y - 0.07));
        }
    }
}
