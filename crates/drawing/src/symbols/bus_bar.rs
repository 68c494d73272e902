//! Bus bar: a thick upright bar with taps on both sides.
//!
//! Tap 1 is at the left, tap 2 at the right, and so on downwards, each two steps below the one before. Taps
//! of one side are then four steps (10 mm) apart, which leaves a breaker and its tag room on every tap, and
//! no two taps face each other, so that every joint on the bar is a T. The bar is as long as its taps need.
//! Runs end on the bar itself. The ground terminal below it belongs to its cover and is not joined to it.

use super::pencil::Pencil;
use super::{Outline, Style, small};
use crate::geometry::{Facing, GridArea};
use crate::pen::Pen;
use lineside_core::circuit::{GridPoint, TerminalName};
use lineside_core::kinds::bus_bar::BusBar;

fn height(it: &BusBar) -> i32 {
    2 * i32::from(small(it.taps)) + 2
}

pub(super) fn outline(it: &BusBar) -> Outline {
    let height = height(it);
    let mut outline = Outline::new(2, height);
    outline.body = GridArea { min: GridPoint::new(1, 0), max: GridPoint::new(1, height) };
    for tap in 1..=small(it.taps) {
        let facing = if tap % 2 == 1 { Facing::Left } else { Facing::Right };
        outline = outline.pin(TerminalName::numbered("tap", tap), 1, 2 * i32::from(tap), facing);
    }
    outline.plain("bond", 1, height, Facing::Down)
}

pub(super) fn draw(it: &BusBar, pencil: &mut Pencil, style: Style) {
    let length = height(it) as f32 / 4.0;
    pencil.stand(0.0, 10.0 * length);
    pencil.with(Pen::Bus(style.bar)).line((0.25, length - 0.25), (0.25, 0.25)).with(Pen::Symbol);
    pencil.only_with("bond").line((0.25, 0.0), (0.25, 0.08)).line((0.15, 0.08), (0.35, 0.08)).always();
}
