//! Many years: how far the months of one year lie from those of the next.

use super::words::{cell, figure, short, tick};
use crate::window::plot::{Dash, Fill, Frame, KeyMark, Look, Mark, Picture, Plot, Readout, Span};
use egui::{Align2, Pos2, Rect, pos2};
use lineside_core::project::Month;
use lineside_core::units::{Percent, UnitSystem, WattHours};
use lineside_energy::{Better, ManyYears, Outcome, Spread};
use std::fmt::Write as _;

/// Random years, and the typical one beside them.
pub(super) struct SpreadPlot<'a> {
    pub many: Option<&'a ManyYears>,
    pub typical: &'a Outcome,
    pub units: UnitSystem,
}

/// The spread of one month.
struct OfMonth {
    sun: Spread<WattHours>,
    unmet: Spread<WattHours>,
    charge: Spread<Percent>,
}

impl SpreadPlot<'_> {
    fn month(&self, month: Month) -> Option<OfMonth> {
        let many = self.many?;
        Some(OfMonth {
            sun: many.spread(Better::More, |year| year.months.of(month).sun_used)?,
            unmet: many.spread(Better::Less, |year| year.months.of(month).unmet())?,
            charge: many.spread(Better::More, |year| year.lowest_charge.of(month))?,
        })
    }

    fn all(&self) -> Vec<(Month, OfMonth)> {
        Month::ALL.into_iter().filter_map(|month| Some((month, self.month(month)?))).collect()
    }

    fn frame(&self, look: &Look<'_>) -> Frame {
        let of_years = self.all().into_iter().map(|(_, it)| it.sun.most.value().max(it.unmet.most.value()));
        let typical = self.typical.months.iter().map(|(_, totals)| totals.sun_used.value());
        let most = of_years.chain(typical).fold(1.0, f64::max);
        let x = Span::new(12.0 * look.zoom.from, 12.0 * look.zoom.to);
        Frame::new(look.size, x, Span::up_to(most))
    }
}

impl Plot for SpreadPlot<'_> {
    fn title(&self) -> &'static str {
        "Many years: sun used and unmet"
    }

    fn said(&self) -> String {
        let Some(many) = self.many else { return "No random years were gone through.".to_owned() };
        let unmet = many.spread(Better::Less, |year| year.year.unmet());
        unmet.map_or_else(String::new, |unmet| {
            format!(
                "Unmet in half of {} years no more than {}, in nine of ten no more than {}.",
                many.years.len(),
                figure(unmet.p50, self.units),
                figure(unmet.p90, self.units)
            )
        })
    }

    fn places(&self) -> usize {
        if self.many.is_some() { 12 } else { 0 }
    }

    fn draw(&self, look: &Look<'_>) -> Picture {
        let mut picture = Picture::new(look.size);
        let tokens = look.tokens;
        let frame = self.frame(look);
        let months = self.all();
        if months.is_empty() {
            let words = "Random years, once they are gone through, show here how far one lies from the next.";
            picture.words(frame.rect.center(), Align2::CENTER_CENTER, words, tokens.soft_ink);
            return picture;
        }
        let corner = frame.levels(&mut picture, tokens, |value| tick(WattHours::new(value), look.units));
        let inside = |x: f64| frame.at_x(x).clamp(frame.rect.left(), frame.rect.right());
        for (i, (month, it)) in months.iter().enumerate() {
            let at = i as f64;
            let bar = |left: f64, right: f64, low: WattHours, high: WattHours| {
                let (top, bottom) = (frame.at_y(high.value()), frame.at_y(low.value()));
                Rect::from_min_max(pos2(inside(at + left), top), pos2(inside(at + right), bottom))
            };
            // The whole range is hollow, what nine of ten years better is solid, half of them lie above the line.
            picture.bar(bar(0.14, 0.54, it.sun.least, it.sun.most), tokens.array, Fill::Hollow);
            let middle = bar(0.14, 0.54, it.sun.p90, it.sun.p50);
            picture.bar(middle, tokens.array, Fill::Solid);
            let line = vec![middle.left_top(), middle.right_top()];
            picture.line(line, tokens.ink, 2.0, Dash::Solid);
            picture.bar(bar(0.6, 0.84, WattHours::ZERO, it.unmet.p90), tokens.danger, Fill::Hatched);
            picture.bar(bar(0.6, 0.84, WattHours::ZERO, it.unmet.p50), tokens.danger, Fill::Solid);
            if (frame.x.from..=frame.x.to).contains(&(at + 0.5)) {
                frame.under(&mut picture, frame.at_x(at + 0.5), short(*month), tokens.soft_ink);
                let typical = frame.at(at + 0.34, self.typical.months.of(*month).sun_used.value());
                let dot = Mark::Dot { at: typical, radius: 2.6, color: tokens.ink, fill: Fill::Hollow };
                picture.marks.push(dot);
            }
        }
        let key = [
            ("all years", tokens.array, KeyMark::Fill(Fill::Hollow)),
            ("P90 to P50", tokens.array, KeyMark::Fill(Fill::Solid)),
            ("unmet, P90", tokens.danger, KeyMark::Fill(Fill::Hatched)),
        ];
        picture.key(corner, &key, tokens.soft_ink);
        picture
    }

    fn place_at(&self, look: &Look<'_>, at: Pos2) -> Option<usize> {
        let frame = self.frame(look);
        #[expect(clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "from 0 to 12")]
        let place = frame.x_of(at).clamp(0.0, 11.9) as usize;
        (frame.rect.contains(at) && self.many.is_some()).then_some(place)
    }

    fn spot(&self, look: &Look<'_>, place: usize) -> Rect {
        let frame = self.frame(look);
        let (left, right) = (frame.at_x(place as f64 + 0.06), frame.at_x(place as f64 + 0.92));
        Rect::from_min_max(pos2(left, frame.rect.top()), pos2(right, frame.rect.bottom()))
    }

    fn readout(&self, place: usize) -> Readout {
        let month = Month::ALL.into_iter().nth(place);
        let Some((month, it)) = month.and_then(|month| Some((month, self.month(month)?))) else {
            return Readout::default();
        };
        let units = self.units;
        let rows = vec![
            ("sun used, half of years at least".to_owned(), figure(it.sun.p50, units)),
            ("nine of ten at least".to_owned(), figure(it.sun.p90, units)),
            ("typical year".to_owned(), figure(self.typical.months.of(month).sun_used, units)),
            ("unmet, half of years at most".to_owned(), figure(it.unmet.p50, units)),
            ("nine of ten at most".to_owned(), figure(it.unmet.p90, units)),
            ("lowest charge, nine of ten at least".to_owned(), figure(it.charge.p90, units)),
        ];
        Readout { title: month.name().to_owned(), rows }
    }

    fn table(&self) -> String {
        let mut out = String::from(
            "month,sun_used_least_wh,sun_used_p50_wh,sun_used_p90_wh,sun_used_most_wh,unmet_p50_wh,unmet_p90_wh,\
             unmet_most_wh,lowest_charge_p50_percent,lowest_charge_p90_percent\n",
        );
        for (month, it) in self.all() {
            let cells = [
                it.sun.least.value(),
                it.sun.p50.value(),
                it.sun.p90.value(),
                it.sun.most.value(),
                it.unmet.p50.value(),
                it.unmet.p90.value(),
                it.unmet.most.value(),
                it.charge.p50.value(),
                it.charge.p90.value(),
            ];
            let _ = writeln!(out, "{},{}", month.number(), cells.map(cell).join(","));
        }
        out
    }
}
