//! The square of every converter: a diagonal, and the marks of the current that goes in and comes out.

use super::pencil::Pencil;

/// The current on one side of a converter.
#[derive(Clone, Copy)]
pub(super) enum Current {
    Direct,
    Alternating,
}

/// The square with its diagonal in the unit box, leads to both sides, the input's mark in the upper left half
/// and the output's in the lower right half.
pub(super) fn square(pencil: &mut Pencil, input: Current, output: Current) {
    pencil.rectangle(0.10, 0.10, 0.80, 0.80).line((0.10, 0.10), (0.90, 0.90));
    leads(pencil);
    mark(pencil, (0.32, 0.72), input);
    mark(pencil, (0.68, 0.28), output);
}

/// Leads from the middle of the square's sides to the terminals.
pub(super) fn leads(pencil: &mut Pencil) {
    pencil.line((0.0, 0.5), (0.10, 0.5)).line((0.90, 0.5), (1.0, 0.5));
}

/// The mark of a current.
pub(super) fn mark(pencil: &mut Pencil, at: (f32, f32), current: Current) {
    match current {
        Current::Direct => pencil.direct(at),
        Current::Alternating => pencil.alternating(at),
    };
}

/// Equipment ground at the lower side of the square.
pub(super) fn bond(pencil: &mut Pencil) {
    pencil.only_with("bond").line((0.5, 0.0), (0.5, 0.10)).always();
}
