//! Shunt, energy meter and current transformer.

use super::pencil::Pencil;
use super::{Outline, in_line};
use crate::geometry::Facing;
use crate::pen::Pen;
use lineside_core::kinds::meter::{Meter, MeterType};

pub(super) fn outline(it: &Meter) -> Outline {
    match it.kind {
        MeterType::Shunt | MeterType::CurrentTransformer => in_line(),
        MeterType::Energy => {
            Outline::new(4, 4).plain("line", 0, 2, Facing::Left).plain("load", 4, 2, Facing::Right)
        }
    }
}

pub(super) fn draw(it: &Meter, pencil: &mut Pencil) {
    match it.kind {
        MeterType::Shunt => {
            pencil.stand_slim();
            pencil.rectangle(0.30, 0.42, 0.40, 0.16).line((0.0, 0.5), (1.0, 0.5));
            pencil.with(Pen::Thin);
            for x in [0.38, 0.62] {
                pencil.line((x, 0.42), (x, 0.31)).circle((x, 0.29), 0.02);
            }
            pencil.with(Pen::Symbol);
        }
        MeterType::Energy => {
            pencil.rectangle(0.20, 0.20, 0.60, 0.60).line((0.20, 0.65), (0.80, 0.65));
            pencil.letters((0.5, 0.42), "Wh");
            pencil.line((0.0, 0.5), (0.20, 0.5)).line((0.80, 0.5), (1.0, 0.5));
        }
        MeterType::CurrentTransformer => {
            pencil.stand_slim();
            pencil.line((0.0, 0.5), (1.0, 0.5)).circle((0.5, 0.5), 0.12);
            pencil.with(Pen::Thin).line((0.5, 0.62), (0.5, 0.74));
            pencil.line((0.45, 0.64), (0.55, 0.69)).line((0.45, 0.68), (0.55, 0.73)).with(Pen::Symbol);
        }
    }
}
