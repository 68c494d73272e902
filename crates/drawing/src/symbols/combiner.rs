//! Combiner: an enclosure with one way for each line, its device, and the bus or buses on which they meet.

use super::pencil::Pencil;
use super::{Form, Outline, Style, breaker, fuse, small};
use crate::geometry::Facing;
use crate::pen::Pen;
use lineside_core::circuit::TerminalName;
use lineside_core::kinds::combiner::{Combiner, WayDevice};
use lineside_core::kinds::common::Position;

/// Steps from one way to the next.
const PITCH: i32 = 4;
const WIDTH: i32 = 8;

fn ways(it: &Combiner) -> i32 {
    i32::from(small(it.ways)).max(1)
}

fn height(it: &Combiner) -> i32 {
    let arrester = if it.arrester_voltage.is_some() { PITCH } else { 0 };
    PITCH * ways(it) + arrester
}

/// First and last way of a bus, counted from 0; `None` for a bus without ways.
fn ways_of_bus(it: &Combiner, bus: usize) -> Option<(i32, i32)> {
    let mut members =
        (0..ways(it)).filter(|way| usize::try_from(*way).is_ok_and(|way| it.bus_of_way(way) == bus));
    let first = members.next()?;
    Some((first, members.next_back().unwrap_or(first)))
}

/// Steps from the top to where a bus goes out: between two ways, so that it meets none of them on the bar.
fn out_row(it: &Combiner, bus: usize) -> i32 {
    match ways_of_bus(it, bus) {
        None => height(it),
        Some((first, last)) if first == last => PITCH * first + 2,
        Some((first, last)) => PITCH * (first + (last - first + 1) / 2),
    }
}

fn buses(it: &Combiner) -> usize {
    usize::from(small(it.buses)).max(1)
}

pub(super) fn outline(it: &Combiner) -> Outline {
    let mut outline = Outline::new(WIDTH, height(it));
    for way in 1..=small(it.ways) {
        let row = PITCH * i32::from(way) - 2;
        outline = outline.pin(TerminalName::numbered("way", way), 0, row, Facing::Left);
    }
    if it.buses <= 1 {
        return outline.plain("out", WIDTH, out_row(it, 0), Facing::Right);
    }
    for bus in 1..=small(it.buses) {
        let row = out_row(it, usize::from(bus) - 1);
        outline = outline.pin(TerminalName::numbered("out", bus), WIDTH, row, Facing::Right);
    }
    outline
}

pub(super) fn draw(it: &Combiner, pencil: &mut Pencil, style: Style) {
    let height_mm = height(it) as f32 * 2.5;
    pencil.stand(0.0, height_mm);
    pencil.with(Pen::Enclosure).rectangle(0.0, 0.0, 2.0, height_mm / 10.0).with(Pen::Symbol);
    for way in 0..ways(it) {
        pencil.stand(0.0, 10.0 * (way as f32 + 1.0));
        match it.device {
            WayDevice::Breaker => breaker::way(pencil, Position::Closed, it.polarity, style.form),
            WayDevice::FuseHolder => fuse::holder(pencil, Position::Closed),
        }
        pencil.line((1.0, 0.5), (1.5, 0.5));
        pencil.letters((1.14, 0.66), &(way + 1).to_string());
    }
    for bus in 0..buses(it) {
        bar(it, bus, pencil, style);
    }
    if it.arrester_voltage.is_some() {
        arrester(pencil, height_mm, style.form);
    }
}

fn bar(it: &Combiner, bus: usize, pencil: &mut Pencil, style: Style) {
    let Some((first, last)) = ways_of_bus(it, bus) else { return };
    pencil.stand(15.0, 10.0 * (first as f32 + 1.0));
    let down = last as f32 - first as f32;
    let end = if it.arrester_voltage.is_some() && last + 1 == ways(it) { -0.38 } else { 0.25 };
    pencil.with(Pen::Bus(style.bar)).line((0.0, 0.75), (0.0, end - down)).with(Pen::Symbol);
    let row = out_row(it, bus) as f32 * 2.5;
    pencil.stand(15.0, row + 5.0).line((0.0, 0.5), (0.5, 0.5));
}

/// The built-in arrester stands below the ways, from the last bus to the case.
fn arrester(pencil: &mut Pencil, height_mm: f32, form: Form) {
    pencil.stand(0.0, height_mm);
    pencil.path(&[(1.5, 0.68), (1.0, 0.68), (1.0, 0.60)]);
    match form {
        Form::I => {
            pencil.rectangle(0.92, 0.26, 0.16, 0.34).line((1.0, 0.60), (1.0, 0.32));
            pencil.line((1.0, 0.32), (0.96, 0.38)).line((1.0, 0.32), (1.04, 0.38));
        }
        Form::A => {
            pencil.filled(&[(0.94, 0.56), (1.06, 0.56), (1.0, 0.46)]);
            pencil.filled(&[(0.94, 0.28), (1.06, 0.28), (1.0, 0.38)]);
        }
    }
    pencil.line((1.0, 0.26), (1.0, 0.18));
    pencil.line((0.86, 0.18), (1.14, 0.18)).line((0.91, 0.12), (1.09, 0.12)).line((0.96, 0.06), (1.04, 0.06));
}
