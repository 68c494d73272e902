//! Junction: conductors that meet without a device. Ends 1 and 2 are the line through; further ends branch
//! off it, downwards and upwards in turn, each at its own dot, so that every joint is a T.

use super::pencil::Pencil;
use super::{Outline, small};
use crate::geometry::Facing;
use lineside_core::circuit::TerminalName;
use lineside_core::kinds::junction::Junction;

fn width(it: &Junction) -> i32 {
    (2 * i32::from(small(it.ends)) - 2).max(2)
}

pub(super) fn outline(it: &Junction) -> Outline {
    let end = |number| TerminalName::numbered("end", number);
    let mut outline =
        Outline::new(width(it), 2).pin(end(1), 0, 1, Facing::Left).pin(end(2), width(it), 1, Facing::Right);
    for number in 3..=small(it.ends) {
        let (y, facing) = if number % 2 == 1 { (2, Facing::Down) } else { (0, Facing::Up) };
        outline = outline.pin(end(number), 2 * (i32::from(number) - 2), y, facing);
    }
    outline
}

pub(super) fn draw(it: &Junction, pencil: &mut Pencil) {
    pencil.stand(0.0, 5.0);
    let right = width(it) as f32 / 4.0;
    pencil.line((0.0, 0.25), (right, 0.25));
    if it.ends == 2 {
        pencil.dot((right / 2.0, 0.25), 0.05);
    }
    for number in 3..=small(it.ends) {
        let x = 0.5 * f32::from(number - 2);
        let end = if number % 2 == 1 { 0.0 } else { 0.5 };
        pencil.line((x, 0.25), (x, end)).dot((x, 0.25), 0.05);
    }
}
