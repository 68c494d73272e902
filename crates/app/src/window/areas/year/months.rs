//! Month bars: beside each other what came from the sun and what else flowed or went short.

use super::words::{cell, figure, short, tick};
use crate::window::plot::picture::words_width;
use crate::window::plot::{Fill, Frame, KeyMark, Look, Picture, Plot, Readout, Span};
use crate::window::tokens::Tokens;
use egui::{Color32, Pos2, Rect, pos2};
use lineside_core::project::Month;
use lineside_core::units::{UnitSystem, WattHours};
use lineside_energy::{Outcome, Totals};
use std::fmt::Write as _;

/// The months of a year.
pub(super) struct Months<'a> {
    pub outcome: &'a Outcome,
    pub units: UnitSystem,
}

/// A series: its name, its figure of a month, how it looks.
struct Series {
    name: &'static str,
    of: fn(&Totals) -> WattHours,
    color: fn(&Tokens) -> Color32,
    fill: Fill,
}

/// What came from the sun, the lowest first.
const SUN: [Series; 3] = [
    Series { name: "sun used", of: |it| it.sun_used, color: |t| t.array, fill: Fill::Solid },
    Series { name: "clipped", of: |it| it.sun_limited, color: |t| t.array, fill: Fill::Hatched },
    Series { name: "unused", of: |it| it.curtailed, color: |t| t.array, fill: Fill::Hollow },
];

/// What else came, and what went short.
const OTHER: [Series; 3] = [
    Series { name: "generator", of: |it| it.generator, color: |t| t.soft_ink, fill: Fill::Solid },
    Series { name: "utility", of: |it| it.import, color: |t| t.ac, fill: Fill::Solid },
    Series { name: "unmet", of: Totals::unmet, color: |t| t.danger, fill: Fill::Hatched },
];

/// Energy that nobody notices, Wh.
const NOTICED: f64 = 0.5;

impl Months<'_> {
    /// The series of which there is anything.
    fn shown(&self) -> impl Iterator<Item = &'static Series> {
        let year = self.outcome.year;
        SUN.iter().chain(&OTHER).filter(move |it| (it.of)(&year).value() > NOTICED || it.name == "unmet")
    }

    fn frame(&self, look: &Look<'_>) -> Frame {
        let sum =
            |list: &[Series], totals: &Totals| list.iter().map(|it| (it.of)(totals).value()).sum::<f64>();
        let most = self
            .outcome
            .months
            .iter()
            .map(|(_, totals)| sum(&SUN, &totals).max(sum(&OTHER, &totals)))
            .fold(1.0, f64::max);
        let x = Span::new(12.0 * look.zoom.from, 12.0 * look.zoom.to);
        Frame::new(look.size, x, Span::up_to(most))
    }
}

fn stack(
    frame: &Frame,
    picture: &mut Picture,
    look: &Look<'_>,
    (list, totals): (&[Series], &Totals),
    across: [f64; 2],
) {
    let mut below = 0.0;
    for series in list {
        let value = (series.of)(totals).value();
        let [left, right] = across.map(|x| frame.at_x(x).clamp(frame.rect.left(), frame.rect.right()));
        let (top, bottom) = (frame.at_y(below + value), frame.at_y(below));
        let rect = Rect::from_min_max(pos2(left, top), pos2(right, bottom));
        // What there is must be seen, however little.
        let rect =
            if value > NOTICED && rect.height() < 1.0 { rect.expand2(egui::vec2(0.0, 0.5)) } else { rect };
        if value > NOTICED {
            picture.bar(rect, (series.color)(look.tokens), series.fill);
        }
        below += value;
    }
}

impl Plot for Months<'_> {
    fn title(&self) -> &'static str {
        "Months"
    }

    fn said(&self) -> String {
        let parts: Vec<String> = self
            .shown()
            .map(|it| format!("{} {}", it.name, figure((it.of)(&self.outcome.year), self.units)))
            .collect();
        format!("Energy of each month. Of the year: {}.", parts.join(", "))
    }

    fn places(&self) -> usize {
        12
    }

    fn draw(&self, look: &Look<'_>) -> Picture {
        let mut picture = Picture::new(look.size);
        let frame = self.frame(look);
        let corner = frame.levels(&mut picture, look.tokens, |value| tick(WattHours::new(value), look.units));
        for (i, (month, totals)) in self.outcome.months.iter().enumerate() {
            let at = i as f64;
            stack(&frame, &mut picture, look, (&SUN, &totals), [at + 0.14, at + 0.54]);
            stack(&frame, &mut picture, look, (&OTHER, &totals), [at + 0.58, at + 0.84]);
            if (frame.x.from..=frame.x.to).contains(&(at + 0.5)) {
                frame.under(&mut picture, frame.at_x(at + 0.5), short(month), look.tokens.soft_ink);
            }
        }
        let key: Vec<_> =
            self.shown().map(|it| (it.name, (it.color)(look.tokens), KeyMark::Fill(it.fill))).collect();
        let long: f32 = key.iter().map(|(name, ..)| words_width(name) + 36.0).sum();
        // Where there is no room for all, the names stand in the readout.
        let room = frame.rect.width() + 40.0;
        let fits = if long < room { key.len() } else { 4 };
        picture.key(corner, key.get(..fits.min(key.len())).unwrap_or_default(), look.tokens.soft_ink);
        picture
    }

    fn place_at(&self, look: &Look<'_>, at: Pos2) -> Option<usize> {
        let frame = self.frame(look);
        let inside = frame.rect.expand2(egui::vec2(0.0, 30.0)).contains(at);
        #[expect(clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "from 0 to 12")]
        let place = frame.x_of(at).clamp(0.0, 11.9) as usize;
        inside.then_some(place)
    }

    fn spot(&self, look: &Look<'_>, place: usize) -> Rect {
        let frame = self.frame(look);
        let (left, right) = (frame.at_x(place as f64 + 0.06), frame.at_x(place as f64 + 0.92));
        Rect::from_min_max(pos2(left, frame.rect.top()), pos2(right, frame.rect.bottom()))
    }

    fn readout(&self, place: usize) -> Readout {
        let Some((month, totals)) = self.outcome.months.iter().nth(place) else { return Readout::default() };
        let mut rows: Vec<(String, String)> =
            self.shown().map(|it| (it.name.to_owned(), figure((it.of)(&totals), self.units))).collect();
        rows.push(("hours unmet".to_owned(), super::words::whole_hours(totals.unmet_hours)));
        rows.push(("served".to_owned(), figure(totals.served(), self.units)));
        rows.push(("lowest charge".to_owned(), figure(self.outcome.lowest_charge.of(month), self.units)));
        Readout { title: month.name().to_owned(), rows }
    }

    fn table(&self) -> String {
        let mut out = String::from(
            "month,sun_used_wh,clipped_wh,unused_wh,generator_wh,utility_wh,unmet_wh,unmet_hours,served_wh,\
             lowest_charge_percent\n",
        );
        for (i, month) in Month::ALL.into_iter().enumerate() {
            let Some((_, totals)) = self.outcome.months.iter().nth(i) else { continue };
            let _ = write!(out, "{}", month.number());
            for series in SUN.iter().chain(&OTHER) {
                let _ = write!(out, ",{}", cell((series.of)(&totals).value()));
            }
            let more = [
                totals.unmet_hours.value(),
                totals.served().value(),
                self.outcome.lowest_charge.of(month).value(),
            ];
            let _ = writeln!(out, ",{}", more.map(cell).join(","));
        }
        out
    }
}
