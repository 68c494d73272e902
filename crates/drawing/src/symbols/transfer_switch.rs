//! Transfer switch: two supplies, one blade; and the bypass round an inverter (ours): two linked blades with
//! their positions lettered N (through the inverter) and B (past it).

use super::Outline;
use super::pencil::Pencil;
use crate::geometry::Facing;
use crate::pen::Pen;
use lineside_core::kinds::common::Fitted;
use lineside_core::kinds::transfer_switch::{
    Interlock, TransferArrangement, TransferPosition, TransferSwitch,
};

pub(super) fn outline(it: &TransferSwitch) -> Outline {
    match it.arrangement {
        TransferArrangement::Transfer => Outline::new(4, 4)
            .plain("normal", 0, 1, Facing::Left)
            .plain("standby", 0, 3, Facing::Left)
            .plain("load", 4, 2, Facing::Right),
        TransferArrangement::Bypass => Outline::new(8, 4)
            .plain("source", 0, 2, Facing::Left)
            .plain("to_inverter", 2, 4, Facing::Down)
            .plain("from_inverter", 6, 4, Facing::Down)
            .plain("load", 8, 2, Facing::Right),
    }
}

pub(super) fn draw(it: &TransferSwitch, pencil: &mut Pencil) {
    match it.arrangement {
        TransferArrangement::Transfer => transfer(it, pencil),
        TransferArrangement::Bypass => bypass(it, pencil),
    }
}

fn transfer(it: &TransferSwitch, pencil: &mut Pencil) {
    for y in [0.75, 0.25] {
        pencil.line((0.0, y), (0.27, y)).circle((0.30, y), 0.03);
    }
    pencil.line((0.70, 0.5), (1.0, 0.5)).dot((0.70, 0.5), 0.035).line((0.32, 0.46), (0.32, 0.54));
    match it.position {
        TransferPosition::Normal => pencil.line((0.70, 0.5), (0.33, 0.745)),
        TransferPosition::Alternate => pencil.line((0.70, 0.5), (0.33, 0.255)),
    };
    if it.automatic == Fitted::Yes {
        pencil.rectangle(0.02, 0.02, 0.96, 0.96).letters((0.74, 0.74), "ATS");
    }
}

fn bypass(it: &TransferSwitch, pencil: &mut Pencil) {
    // Hinges at the source and at the load; B is the straight way, N the way down.
    pencil.line((0.0, 0.5), (0.25, 0.5)).line((1.75, 0.5), (2.0, 0.5));
    pencil.dot((0.25, 0.5), 0.035).dot((1.75, 0.5), 0.035);
    pencil.circle((0.62, 0.5), 0.03).circle((1.38, 0.5), 0.03).line((0.65, 0.5), (1.35, 0.5));
    pencil.circle((0.50, 0.23), 0.03).line((0.50, 0.20), (0.50, 0.0));
    pencil.circle((1.50, 0.23), 0.03).line((1.50, 0.20), (1.50, 0.0));
    let (left, right) = match it.position {
        TransferPosition::Normal => ((0.48, 0.255), (1.52, 0.255)),
        TransferPosition::Alternate => ((0.60, 0.525), (1.40, 0.525)),
    };
    pencil.line((0.25, 0.5), left).line((1.75, 0.5), right);
    pencil.letters((0.62, 0.66), "B").letters((1.38, 0.66), "B");
    pencil.letters((0.66, 0.24), "N").letters((1.34, 0.24), "N");
    if it.interlock == Interlock::Mechanical {
        interlock(pencil, (f32::midpoint(0.25, left.0), f32::midpoint(0.5, left.1)));
    }
    if it.automatic == Fitted::Yes {
        pencil.rectangle(0.02, 0.02, 1.96, 0.96).letters((1.0, 0.78), "ATS");
    }
}

/// The link between the two blades with the triangle of an interlock on it; `left` is the middle of the left
/// blade, and the right one is its mirror image.
fn interlock(pencil: &mut Pencil, left: (f32, f32)) {
    let y = 0.37;
    let right = 2.0 - left.0;
    pencil.with(Pen::Link).path(&[left, (left.0, y), (0.94, y)]).path(&[
        (1.06, y),
        (right, y),
        (right, left.1),
    ]);
    pencil.with(Pen::Symbol).outline(&[(0.94, y - 0.05), (1.06, y - 0.05), (1.0, y + 0.06)]);
}
