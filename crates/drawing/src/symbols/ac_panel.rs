//! AC panel: an enclosure with its main breaker, its bus, a line out for each tap, and one arrow for the
//! loads that hang on it. Where the main bonding jumper is here, it is drawn below the bus.

use super::pencil::Pencil;
use super::{Outline, Style, breaker, small};
use crate::geometry::Facing;
use crate::pen::Pen;
use lineside_core::circuit::TerminalName;
use lineside_core::kinds::ac_panel::{AcPanel, PanelBond};
use lineside_core::kinds::common::{Polarity, Position};

const PITCH: i32 = 4;
const WIDTH: i32 = 8;
/// Steps from the top to the feed: between the first two lines out.
const FEED: i32 = 4;

fn height(it: &AcPanel) -> i32 {
    PITCH * (i32::from(small(it.taps)).max(1) + 1)
}

pub(super) fn outline(it: &AcPanel) -> Outline {
    let mut outline = Outline::new(WIDTH, height(it)).plain("feed", 0, FEED, Facing::Left);
    for tap in 1..=small(it.taps) {
        let row = PITCH * i32::from(tap) - 2;
        outline = outline.pin(TerminalName::numbered("tap", tap), WIDTH, row, Facing::Right);
    }
    outline.plain("bond", WIDTH / 2, height(it), Facing::Down)
}

pub(super) fn draw(it: &AcPanel, pencil: &mut Pencil, style: Style) {
    let top = height(it) as f32 / 4.0;
    pencil.stand(0.0, 10.0 * top);
    pencil.with(Pen::Enclosure).rectangle(0.0, 0.0, 2.0, top);
    pencil.with(Pen::Bus(style.bar)).line((1.0, top - 0.25), (1.0, 0.36)).with(Pen::Symbol);
    for tap in 0..small(it.taps) {
        let y = top - 0.5 - f32::from(tap);
        pencil.line((1.0, y), (2.0, y));
    }
    // The loads: one line that ends in an open arrowhead inside the enclosure.
    pencil.line((1.0, 0.5), (1.80, 0.5)).line((1.80, 0.5), (1.67, 0.56)).line((1.80, 0.5), (1.67, 0.44));
    pencil.letters((1.46, 0.86), "loads");
    match it.bond {
        PanelBond::Bonded => {
            pencil.circle((1.0, 0.24), 0.04).with(Pen::Bond).line((1.0, 0.20), (1.0, 0.11)).with(Pen::Symbol);
            pencil.line((1.0, 0.28), (1.0, 0.36)).circle((1.0, 0.07), 0.04).letters((0.60, 0.26), "N–E");
            pencil.only_with("bond").line((1.0, 0.0), (1.0, 0.03)).always();
        }
        PanelBond::Separate => {
            pencil.bond_to_frame(1.0);
        }
    }
    match it.main_rating {
        Some(_) => {
            pencil.stand(0.0, 15.0);
            breaker::way(pencil, Position::Closed, Polarity::None, style.form);
        }
        None => {
            pencil.stand(0.0, 15.0).line((0.0, 0.5), (1.0, 0.5));
        }
    }
}
