//! The carpet of the state of charge: a column for each day, a row for each hour.

use super::words::{cell, figure, moment, month_ticks};
use crate::window::plot::{Dash, Frame, Look, Mark, Picture, Plot, Readout, Span};
use crate::window::tokens::charge_ramp;
use egui::{Align2, Pos2, Rect, Vec2, pos2, vec2};
use lineside_core::units::UnitSystem;
use lineside_energy::{DAYS, Hour};
use std::fmt::Write as _;
use std::ops::Range;

/// The hours of a year.
pub(super) struct Carpet<'a> {
    pub hours: &'a [Hour],
    pub units: UnitSystem,
}

/// Steps of the key.
const STEPS: usize = 32;
const KEY: Vec2 = vec2(110.0, 9.0);

fn frame(look: &Look<'_>) -> Frame {
    let days = seen(look);
    let x = Span::new(days.start as f64, days.end as f64);
    // Midnight is at the top, as in a diary.
    Frame::new(look.size, x, Span::new(0.0, 24.0))
}

/// The days that are seen, whole ones.
#[expect(clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "days of a year")]
fn seen(look: &Look<'_>) -> Range<usize> {
    let from = (look.zoom.from * DAYS as f64).floor() as usize;
    let to = (look.zoom.to * DAYS as f64).ceil() as usize;
    from.min(DAYS - 1)..to.clamp(from + 1, DAYS)
}

impl Plot for Carpet<'_> {
    fn title(&self) -> &'static str {
        "State of charge, day by hour"
    }

    fn said(&self) -> String {
        let lowest = self
            .hours
            .iter()
            .enumerate()
            .min_by(|a, b| a.1.state_of_charge.value().total_cmp(&b.1.state_of_charge.value()));
        lowest.map_or_else(String::new, |(hour, it)| {
            format!("Lowest {} on {}.", figure(it.state_of_charge, self.units), moment(hour))
        })
    }

    fn places(&self) -> usize {
        self.hours.len()
    }

    fn draw(&self, look: &Look<'_>) -> Picture {
        let mut picture = Picture::new(look.size);
        let frame = frame(look);
        let days = seen(look);
        let colors = (0..24).flat_map(|hour| {
            days.clone().map(move |day| {
                let charge = self.hours.get(day * 24 + hour).map_or(0.0, |it| it.state_of_charge.share());
                charge_ramp(charge)
            })
        });
        picture.marks.push(Mark::Cells {
            rect: frame.rect,
            columns: days.len(),
            colors: colors.collect::<Vec<_>>().into(),
        });
        let soft = look.tokens.soft_ink;
        for hour in [0, 6, 12, 18, 24] {
            let y = frame.rect.top() + frame.rect.height() * hour as f32 / 24.0;
            let left = frame.rect.left();
            picture.line(vec![pos2(left - 4.0, y), pos2(left, y)], look.tokens.line, 1.0, Dash::Solid);
            picture.words(pos2(left - 7.0, y), Align2::RIGHT_CENTER, format!("{hour:02}:00"), soft);
        }
        month_ticks(&frame, &mut picture, look.tokens);
        let top = frame.rect.top() / 2.0;
        let full = pos2(frame.rect.right(), top);
        picture.words(full, Align2::RIGHT_CENTER, "full", soft);
        let right = full.x - 28.0;
        let key = Rect::from_min_size(pos2(right - KEY.x, top - KEY.y / 2.0), KEY);
        let steps: Vec<_> = (0..STEPS).map(|step| charge_ramp(step as f64 / (STEPS - 1) as f64)).collect();
        picture.marks.push(Mark::Cells { rect: key, columns: STEPS, colors: steps.into() });
        picture.words(pos2(key.left() - 6.0, top), Align2::RIGHT_CENTER, "empty", soft);
        picture
    }

    fn place_at(&self, look: &Look<'_>, at: Pos2) -> Option<usize> {
        let frame = frame(look);
        if !frame.rect.contains(at) {
            return None;
        }
        #[expect(clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "days and hours")]
        let (day, hour) = (
            frame.x_of(at).clamp(0.0, (DAYS - 1) as f64) as usize,
            (((at.y - frame.rect.top()) / frame.rect.height() * 24.0).clamp(0.0, 23.0)) as usize,
        );
        Some(day * 24 + hour)
    }

    fn spot(&self, look: &Look<'_>, place: usize) -> Rect {
        let frame = frame(look);
        let (day, hour) = ((place / 24) as f64, (place % 24) as f32);
        let row = frame.rect.height() / 24.0;
        let top = frame.rect.top() + hour * row;
        Rect::from_min_max(pos2(frame.at_x(day), top), pos2(frame.at_x(day + 1.0), top + row))
    }

    fn strides(&self) -> (usize, usize) {
        (24, 1)
    }

    fn readout(&self, place: usize) -> Readout {
        let Some(hour) = self.hours.get(place) else { return Readout::default() };
        Readout { title: moment(place), rows: super::week::rows(hour, self.units) }
    }

    fn table(&self) -> String {
        let mut out = String::from("day");
        for hour in 0..24 {
            let _ = write!(out, ",hour_{hour}_percent");
        }
        out.push('\n');
        for (day, hours) in self.hours.chunks(24).enumerate() {
            let cells: Vec<String> = hours.iter().map(|hour| cell(hour.state_of_charge.value())).collect();
            let _ = writeln!(out, "{},{}", day + 1, cells.join(","));
        }
        out
    }
}
