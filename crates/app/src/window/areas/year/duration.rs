//! Duration curves: for how long of the year the charge is at least so great, and how much of the load goes short.

use super::words::{cell, figure, tick, whole_hours};
use crate::window::plot::{Dash, Frame, Look, Mark, Picture, Plot, Readout, Span};
use egui::{Align2, Color32, Pos2, Rect, pos2};
use lineside_core::units::{Hours, Measure, Percent, Quantity, UnitSystem, Watts};
use lineside_energy::hours::DurationCurve;
use std::fmt::Write as _;

/// Of the state of charge.
pub(super) struct Charge<'a> {
    pub curve: &'a DurationCurve<Percent>,
    pub units: UnitSystem,
}

/// Of the unmet load.
pub(super) struct Unmet<'a> {
    pub curve: &'a DurationCurve<Watts>,
    pub units: UnitSystem,
}

/// A power that nobody notices.
const NOTICED: Watts = Watts::new(0.5);
/// Points across a curve: more than a screen has.
const POINTS: usize = 600;

/// The curve with what lies under it, over the first `hours` of it.
fn curve_of<M: Measure>(curve: &DurationCurve<M>, frame: &Frame, picture: &mut Picture, color: Color32) {
    let points: Vec<Pos2> = (0..=POINTS)
        .filter_map(|i| {
            let hour = frame.x.at(i as f64 / POINTS as f64);
            #[expect(clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "hours of a year")]
            let place = (hour as usize).min(curve.len().saturating_sub(1));
            Some(frame.at(hour, curve.at(place)?.value()))
        })
        .collect();
    let lower: Vec<Pos2> = points.iter().map(|point| pos2(point.x, frame.rect.bottom())).collect();
    picture.marks.push(Mark::Band { upper: points.clone(), lower, color: color.gamma_multiply(0.2) });
    picture.line(points, color, 1.8, Dash::Solid);
}

/// Ticks across in hours of the year.
fn hour_ticks(frame: &Frame, picture: &mut Picture, look: &Look<'_>) {
    for hour in frame.x.ticks(f64::from(frame.rect.width() / 80.0).max(2.0)) {
        frame.tick(picture, look.tokens, hour, &whole_hours(Hours::new(hour)));
    }
}

fn place_in(frame: &Frame, at: Pos2, last: usize) -> Option<usize> {
    #[expect(clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "hours of a year")]
    let place = frame.x_of(at).max(0.0) as usize;
    (frame.rect.contains(at)).then_some(place.min(last))
}

fn upright(frame: &Frame, place: usize) -> Rect {
    let x = frame.at_x(place as f64 + 0.5);
    Rect::from_min_max(pos2(x - 0.5, frame.rect.top()), pos2(x + 0.5, frame.rect.bottom()))
}

fn table_of<M: Measure + Into<Quantity>>(curve: &DurationCurve<M>, heading: &str) -> String {
    let mut out = format!("hours,{heading}\n");
    for place in 0..curve.len() {
        if let Some(value) = curve.at(place) {
            let _ = writeln!(out, "{},{}", place + 1, cell(value.value()));
        }
    }
    out
}

fn share_of_year<M: Measure>(hours: Hours, curve: &DurationCurve<M>) -> Percent {
    Percent::from_share(hours.value() / curve.len().max(1) as f64)
}

impl Charge<'_> {
    fn frame(&self, look: &Look<'_>) -> Frame {
        let all = self.curve.len() as f64;
        Frame::new(look.size, Span::new(all * look.zoom.from, all * look.zoom.to), Span::new(0.0, 100.0))
    }
}

impl Plot for Charge<'_> {
    fn title(&self) -> &'static str {
        "Hours of the year by state of charge"
    }

    fn said(&self) -> String {
        let half = self.curve.above(Percent::new(50.0));
        format!("Above half for {} of the year.", whole_hours(half))
    }

    fn places(&self) -> usize {
        self.curve.len()
    }

    fn draw(&self, look: &Look<'_>) -> Picture {
        let mut picture = Picture::new(look.size);
        let frame = self.frame(look);
        frame.levels(&mut picture, look.tokens, |value| tick(Percent::new(value), look.units));
        curve_of(self.curve, &frame, &mut picture, look.tokens.battery);
        hour_ticks(&frame, &mut picture, look);
        picture
    }

    fn place_at(&self, look: &Look<'_>, at: Pos2) -> Option<usize> {
        place_in(&self.frame(look), at, self.curve.len().saturating_sub(1))
    }

    fn spot(&self, look: &Look<'_>, place: usize) -> Rect {
        upright(&self.frame(look), place)
    }

    fn strides(&self) -> (usize, usize) {
        (24, 240)
    }

    fn readout(&self, place: usize) -> Readout {
        let Some(charge) = self.curve.at(place) else { return Readout::default() };
        let hours = Hours::new(place as f64 + 1.0);
        let rows = vec![
            ("at least this for".to_owned(), whole_hours(hours)),
            ("of the year".to_owned(), figure(share_of_year(hours, self.curve), self.units)),
            ("less for".to_owned(), whole_hours(self.curve.below(charge))),
        ];
        Readout { title: format!("{} charged", figure(charge, self.units)), rows }
    }

    fn table(&self) -> String {
        table_of(self.curve, "state_of_charge_percent")
    }
}

impl Unmet<'_> {
    fn short_hours(&self) -> Hours {
        self.curve.above(NOTICED)
    }

    fn frame(&self, look: &Look<'_>) -> Frame {
        let most = self.curve.at(0).map_or(1.0, Measure::value);
        let hours = Span::up_to(self.short_hours().value().max(1.0)).to;
        let x = Span::new(hours * look.zoom.from, hours * look.zoom.to);
        Frame::new(look.size, x, Span::up_to(most.max(1.0)))
    }
}

impl Plot for Unmet<'_> {
    fn title(&self) -> &'static str {
        "Hours of the year by unmet power"
    }

    fn said(&self) -> String {
        if self.short_hours() <= Hours::ZERO {
            return "Nothing goes unmet.".to_owned();
        }
        let most = self.curve.at(0).map_or_else(String::new, |most| figure(most, self.units));
        format!("Something goes unmet in {}; at most {most}.", whole_hours(self.short_hours()))
    }

    fn places(&self) -> usize {
        #[expect(clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "hours of a year")]
        let hours = self.short_hours().value() as usize;
        hours
    }

    fn draw(&self, look: &Look<'_>) -> Picture {
        let mut picture = Picture::new(look.size);
        let frame = self.frame(look);
        if self.short_hours() <= Hours::ZERO {
            let words = "Everything is served in every hour of the typical year.";
            picture.words(frame.rect.center(), Align2::CENTER_CENTER, words, look.tokens.soft_ink);
            return picture;
        }
        frame.levels(&mut picture, look.tokens, |value| tick(Watts::new(value), look.units));
        curve_of(self.curve, &frame, &mut picture, look.tokens.danger);
        hour_ticks(&frame, &mut picture, look);
        picture
    }

    fn place_at(&self, look: &Look<'_>, at: Pos2) -> Option<usize> {
        place_in(&self.frame(look), at, self.curve.len()).filter(|place| *place < self.places())
    }

    fn spot(&self, look: &Look<'_>, place: usize) -> Rect {
        upright(&self.frame(look), place)
    }

    fn strides(&self) -> (usize, usize) {
        (1, 10)
    }

    fn readout(&self, place: usize) -> Readout {
        let Some(short) = self.curve.at(place) else { return Readout::default() };
        let rows = vec![
            ("this much or more for".to_owned(), whole_hours(Hours::new(place as f64 + 1.0))),
            ("anything for".to_owned(), whole_hours(self.short_hours())),
        ];
        Readout { title: format!("{} short", figure(short, self.units)), rows }
    }

    fn table(&self) -> String {
        table_of(self.curve, "unmet_w")
    }
}
