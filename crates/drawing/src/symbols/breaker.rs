//! Breaker: a blade with a cross at its contact, or the raised arc of form A. One that minds the direction of
//! current carries a plus at its line terminal (ours). Strokes through its lead count its poles.

use super::Form;
use super::pencil::Pencil;
use super::switch::{Contact, pole};
use lineside_core::kinds::breaker::Breaker;
use lineside_core::kinds::common::{Polarity, Position};

pub(super) fn draw(it: &Breaker, pencil: &mut Pencil, form: Form) {
    pencil.stand_slim();
    way(pencil, it.position, it.polarity, form);
    pencil.poles(it.poles);
}

/// A breaker along y = 0.5 of the unit box; a combiner and a panel draw theirs with it.
pub(super) fn way(pencil: &mut Pencil, position: Position, polarity: Polarity, form: Form) {
    match form {
        Form::I => pole(pencil, position, Contact::Breaker, form),
        Form::A => {
            pencil.line((0.0, 0.5), (0.31, 0.5)).line((0.69, 0.5), (1.0, 0.5));
            pencil.circle((0.34, 0.5), 0.03).circle((0.66, 0.5), 0.03);
            // The arc that bridges the contacts; one that stands open is lifted off them.
            let middle = match position {
                Position::Closed => 0.40,
                Position::Open => 0.48,
            };
            pencil.arc((0.5, middle), 0.24, 30, 150);
        }
    }
    if polarity == Polarity::Sensitive {
        pencil.plus((0.11, 0.62));
    }
}
