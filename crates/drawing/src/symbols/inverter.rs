//! Inverter, and inverter-charger with its transfer relays and its neutral–ground relay.
//!
//! With AC inputs the symbol is a case of two boxes by one and a half (ours): the converter at the left on the
//! path from DC to the output, each AC input coming from above through its relay onto the output, and the
//! neutral–ground relay from the output down to the ground terminal. Relays are drawn as they stand while the
//! inverter runs.

use super::converter::{Current, bond, mark, square};
use super::pencil::Pencil;
use super::{Outline, small};
use crate::geometry::Facing;
use crate::pen::Pen;
use lineside_core::circuit::TerminalName;
use lineside_core::kinds::inverter::{Inverter, NeutralBonding};

/// Steps from the left edge of the case to an AC input.
fn input_column(input: u8) -> i32 {
    2 + 2 * i32::from(input)
}

fn case_width(it: &Inverter) -> i32 {
    (input_column(small(it.ac_inputs)) + 2).max(8)
}

pub(super) fn outline(it: &Inverter) -> Outline {
    if it.ac_inputs == 0 {
        return Outline::new(4, 4).plain("dc", 0, 2, Facing::Left).plain("out", 4, 2, Facing::Right).plain(
            "bond",
            2,
            4,
            Facing::Down,
        );
    }
    let width = case_width(it);
    let mut outline =
        Outline::new(width, 6).plain("dc", 0, 4, Facing::Left).plain("out", width, 4, Facing::Right);
    for input in 1..=small(it.ac_inputs) {
        outline = outline.pin(TerminalName::numbered("in", input), input_column(input), 0, Facing::Up);
    }
    outline.plain("bond", width - 1, 6, Facing::Down)
}

pub(super) fn draw(it: &Inverter, pencil: &mut Pencil) {
    if it.ac_inputs == 0 {
        square(pencil, Current::Direct, Current::Alternating);
        bond(pencil);
        return;
    }
    // The box is 15 mm high; the unit box stands on its lower edge.
    pencil.stand(0.0, 15.0);
    let right = case_width(it) as f32 / 4.0;
    pencil.rectangle(0.10, 0.10, right - 0.20, 1.30);
    converter(pencil);
    pencil.line((0.0, 0.5), (0.18, 0.5)).line((0.82, 0.5), (right, 0.5));
    for input in 1..=small(it.ac_inputs) {
        transfer_relay(pencil, input_column(input) as f32 / 4.0);
    }
    if it.ac_inputs > 1 {
        let last = input_column(small(it.ac_inputs)) as f32 / 4.0;
        pencil.with(Pen::Link).line((0.93, 0.99), (last - 0.07, 0.99)).with(Pen::Symbol);
    }
    neutral_relay(it, pencil, right - 0.25);
}

/// The converter, both ways: arrowheads at both ends of the diagonal.
fn converter(pencil: &mut Pencil) {
    pencil.rectangle(0.18, 0.18, 0.64, 0.64).line((0.18, 0.18), (0.82, 0.82));
    pencil.line((0.18, 0.18), (0.27, 0.20)).line((0.18, 0.18), (0.20, 0.27));
    pencil.line((0.82, 0.82), (0.73, 0.80)).line((0.82, 0.82), (0.80, 0.73));
    mark(pencil, (0.36, 0.67), Current::Direct);
    mark(pencil, (0.64, 0.33), Current::Alternating);
}

fn transfer_relay(pencil: &mut Pencil, x: f32) {
    pencil.line((x, 1.5), (x, 1.15)).circle((x, 1.12), 0.03);
    pencil.line((x, 0.82), (x - 0.15, 1.10)).dot((x, 0.82), 0.03);
    pencil.line((x, 0.82), (x, 0.5)).dot((x, 0.5), 0.05);
}

fn neutral_relay(it: &Inverter, pencil: &mut Pencil, x: f32) {
    match it.neutral_bonding {
        NeutralBonding::Never => {
            pencil.only_with("bond").line((x, 0.0), (x, 0.10)).always();
        }
        NeutralBonding::WhileInverting => {
            // Closed while inverting: drawn with its blade on the contact.
            pencil.dot((x, 0.5), 0.05).line((x, 0.5), (x, 0.37)).circle((x, 0.34), 0.03);
            pencil.line((x, 0.18), (x + 0.03, 0.33)).dot((x, 0.18), 0.03);
            pencil.line((x, 0.18), (x, 0.0));
        }
        NeutralBonding::Always => {
            pencil.dot((x, 0.5), 0.05).line((x, 0.5), (x, 0.40)).circle((x, 0.37), 0.03);
            pencil.with(Pen::Bond).line((x, 0.34), (x, 0.19)).with(Pen::Symbol);
            pencil.circle((x, 0.16), 0.03).line((x, 0.13), (x, 0.0));
        }
    }
}
