//! The months of a brief: what loads ask for on a mean day, and below it the sun that the records give.

use crate::window::plot::{Fill, Frame, KeyMark, Look, Picture, Plot, Readout, Span};
use egui::{Align2, Pos2, Rect, pos2};
use lineside_core::project::{Brief, Month};
use lineside_core::units::text::{self, UnitSystem};
use lineside_core::units::{SunHours, WattHours};
use lineside_propose::Need;
use std::fmt::Write as _;

/// Need and sun by month.
pub(super) struct NeedPlot<'a> {
    pub need: &'a Need,
    pub brief: &'a Brief,
    pub units: UnitSystem,
}

/// Share of the height that the need takes; the sun has the rest.
const NEED: f32 = 0.58;

impl NeedPlot<'_> {
    fn sun(&self, month: Month) -> Option<SunHours> {
        self.brief.months.iter().find(|it| it.month == month).map(|it| it.sun)
    }

    fn frames(&self, look: &Look<'_>) -> [Frame; 2] {
        let asked = |month| self.need.ac.of(month).value() + self.need.dc.of(month).value();
        let most = Month::ALL.into_iter().map(asked).fold(1.0, f64::max);
        let sun = Month::ALL.into_iter().filter_map(|month| self.sun(month)).map(SunHours::value);
        let x = Span::new(12.0 * look.zoom.from, 12.0 * look.zoom.to);
        let whole = Frame::new(look.size, x, Span::up_to(most));
        let cut = whole.rect.top() + whole.rect.height() * NEED;
        let upper = Rect::from_min_max(whole.rect.min, pos2(whole.rect.right(), cut - 8.0));
        let lower = Rect::from_min_max(pos2(whole.rect.left(), cut + 8.0), whole.rect.max);
        [Frame { rect: upper, ..whole }, Frame { rect: lower, x, y: Span::up_to(sun.fold(1.0, f64::max)) }]
    }
}

impl Plot for NeedPlot<'_> {
    fn title(&self) -> &'static str {
        "Need and sun by month"
    }

    fn said(&self) -> String {
        let asked = |month: &Month| self.need.ac.of(*month).value() + self.need.dc.of(*month).value();
        let most = Month::ALL.into_iter().max_by(|a, b| asked(a).total_cmp(&asked(b)));
        let darkest = Month::ALL
            .into_iter()
            .filter_map(|month| Some((month, self.sun(month)?)))
            .min_by(|a, b| a.1.value().total_cmp(&b.1.value()));
        let mut said = most.map_or_else(String::new, |month| {
            let energy = text::figure(WattHours::new(asked(&month)).into(), self.units);
            format!("Most is asked for in {}, {energy} a day.", month.name())
        });
        if let Some((month, sun)) = darkest {
            let _ = write!(said, " Least sun in {}, {}.", month.name(), text::figure(sun.into(), self.units));
        }
        said
    }

    fn places(&self) -> usize {
        12
    }

    fn draw(&self, look: &Look<'_>) -> Picture {
        let mut picture = Picture::new(look.size);
        let tokens = look.tokens;
        let [need, sun] = self.frames(look);
        let corner =
            need.levels(&mut picture, tokens, |value| text::plain(WattHours::new(value).into(), look.units));
        sun.levels(&mut picture, tokens, |value| {
            text::plain(SunHours::new(value).into(), UnitSystem::Si).replace(" kWh/m²d", "")
        });
        let narrow = need.rect.width() / 12.0 < 26.0;
        for (i, month) in Month::ALL.into_iter().enumerate() {
            let across = [i as f64 + 0.18, i as f64 + 0.82];
            let bar = |frame: &Frame, from: f64, to: f64| {
                let [left, right] =
                    across.map(|x| frame.at_x(x).clamp(frame.rect.left(), frame.rect.right()));
                Rect::from_min_max(pos2(left, frame.at_y(to)), pos2(right, frame.at_y(from)))
            };
            let (ac, dc) = (self.need.ac.of(month).value(), self.need.dc.of(month).value());
            picture.bar(bar(&need, 0.0, ac), tokens.ac, Fill::Solid);
            picture.bar(bar(&need, ac, ac + dc), tokens.battery, Fill::Solid);
            if let Some(of_month) = self.sun(month) {
                picture.bar(bar(&sun, 0.0, of_month.value()), tokens.array, Fill::Hollow);
            }
            let middle = i as f64 + 0.5;
            if (sun.x.from..=sun.x.to).contains(&middle) {
                let word = month.name().get(..if narrow { 1 } else { 3 }).unwrap_or_default();
                sun.under(&mut picture, sun.at_x(middle), word, tokens.soft_ink);
            }
        }
        let key = [
            ("AC", tokens.ac, KeyMark::Fill(Fill::Solid)),
            ("DC", tokens.battery, KeyMark::Fill(Fill::Solid)),
            ("sun, kWh/m² a day", tokens.array, KeyMark::Fill(Fill::Hollow)),
        ];
        picture.key(corner, &key, tokens.soft_ink);
        if self.brief.months.is_empty() {
            let words = "There are no weather records yet.";
            picture.words(sun.rect.center(), Align2::CENTER_CENTER, words, tokens.soft_ink);
        }
        picture
    }

    fn place_at(&self, look: &Look<'_>, at: Pos2) -> Option<usize> {
        let [need, sun] = self.frames(look);
        #[expect(clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "from 0 to 12")]
        let place = need.x_of(at).clamp(0.0, 11.9) as usize;
        need.rect.union(sun.rect).contains(at).then_some(place)
    }

    fn spot(&self, look: &Look<'_>, place: usize) -> Rect {
        let [need, sun] = self.frames(look);
        let (left, right) = (need.at_x(place as f64 + 0.05), need.at_x(place as f64 + 0.95));
        Rect::from_min_max(pos2(left, need.rect.top()), pos2(right, sun.rect.bottom()))
    }

    fn readout(&self, place: usize) -> Readout {
        let Some(month) = Month::ALL.into_iter().nth(place) else { return Readout::default() };
        let means = self.brief.months.iter().find(|it| it.month == month);
        let mut rows = vec![
            ("AC a day".to_owned(), text::figure(self.need.ac.of(month).into(), self.units)),
            ("DC a day".to_owned(), text::figure(self.need.dc.of(month).into(), self.units)),
        ];
        if let Some(means) = means {
            rows.push(("sun, level".to_owned(), text::figure(means.sun.into(), self.units)));
            rows.push(("temperature".to_owned(), text::figure(means.temperature.into(), self.units)));
        }
        Readout { title: month.name().to_owned(), rows }
    }

    fn table(&self) -> String {
        let mut out = String::from("month,ac_wh_a_day,dc_wh_a_day,sun_kwh_m2_a_day\n");
        for month in Month::ALL {
            let (ac, dc) = (self.need.ac.of(month).value(), self.need.dc.of(month).value());
            let sun = self.sun(month).map_or_else(String::new, |sun| format!("{:.3}", sun.value()));
            let _ = writeln!(out, "{},{ac:.3},{dc:.3},{sun}", month.number());
        }
        out
    }
}
