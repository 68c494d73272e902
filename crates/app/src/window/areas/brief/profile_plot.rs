//! The mean day of a month: power hour by hour, AC, DC, and what can wait.

use crate::window::plot::{Fill, Frame, KeyMark, Look, Picture, Plot, Readout, Span};
use egui::{Pos2, Rect, pos2};
use lineside_core::project::Month;
use lineside_core::units::Watts;
use lineside_core::units::text::{self, UnitSystem};
use lineside_energy::loads::DayProfile;
use std::fmt::Write as _;

/// A mean day.
pub(super) struct ProfilePlot {
    pub profile: DayProfile,
    pub month: Month,
    pub units: UnitSystem,
}

impl ProfilePlot {
    fn at(&self, hour: usize) -> [Watts; 3] {
        let of = |list: &[Watts; 24]| list.get(hour).copied().unwrap_or_default();
        [of(&self.profile.ac), of(&self.profile.dc), of(&self.profile.waiting)]
    }

    fn frame(&self, look: &Look<'_>) -> Frame {
        let sum = |hour| self.at(hour).iter().map(|watts| watts.value()).sum::<f64>();
        let most = (0..24).map(sum).fold(1.0, f64::max);
        let x = Span::new(24.0 * look.zoom.from, 24.0 * look.zoom.to);
        Frame::new(look.size, x, Span::up_to(most))
    }
}

impl Plot for ProfilePlot {
    fn title(&self) -> &'static str {
        "Day profile"
    }

    fn said(&self) -> String {
        let most = (0..24).max_by(|a, b| {
            let sum = |hour: usize| self.at(hour).iter().map(|watts| watts.value()).sum::<f64>();
            sum(*a).total_cmp(&sum(*b))
        });
        most.map_or_else(String::new, |hour| {
            let [ac, dc, waiting] = self.at(hour);
            let sum = text::figure((ac + dc + waiting).into(), self.units);
            format!("A mean day in {}: most at {hour:02}:00, {sum}.", self.month.name())
        })
    }

    fn places(&self) -> usize {
        24
    }

    fn draw(&self, look: &Look<'_>) -> Picture {
        let mut picture = Picture::new(look.size);
        let tokens = look.tokens;
        let frame = self.frame(look);
        let corner =
            frame.levels(&mut picture, tokens, |value| text::plain(Watts::new(value).into(), look.units));
        let series = [
            ("AC", tokens.ac, Fill::Solid),
            ("DC", tokens.battery, Fill::Solid),
            ("can wait", tokens.ac, Fill::Hatched),
        ];
        for hour in 0..24 {
            let mut below = 0.0;
            let across = [hour as f64 + 0.08, hour as f64 + 0.92];
            let [left, right] = across.map(|x| frame.at_x(x).clamp(frame.rect.left(), frame.rect.right()));
            for (watts, (_, color, fill)) in self.at(hour).into_iter().zip(series) {
                let above = below + watts.value();
                let corners = [pos2(left, frame.at_y(above)), pos2(right, frame.at_y(below))];
                picture.bar(Rect::from_min_max(corners[0], corners[1]), color, fill);
                below = above;
            }
        }
        for hour in [0.0, 6.0, 12.0, 18.0, 24.0] {
            if (frame.x.from..=frame.x.to).contains(&hour) {
                frame.tick(&mut picture, tokens, hour, &format!("{hour:02}:00"));
            }
        }
        let shown = series.into_iter().enumerate().filter(|(i, _)| {
            (0..24).any(|hour| self.at(hour).get(*i).is_some_and(|watts| *watts > Watts::ZERO))
        });
        let key: Vec<_> = shown.map(|(_, (name, color, fill))| (name, color, KeyMark::Fill(fill))).collect();
        picture.key(corner, &key, tokens.soft_ink);
        let at = pos2(frame.rect.left() + 6.0, frame.rect.top() + 8.0);
        picture.words(
            at,
            egui::Align2::LEFT_CENTER,
            format!("mean day in {}", self.month.name()),
            tokens.soft_ink,
        );
        picture
    }

    fn place_at(&self, look: &Look<'_>, at: Pos2) -> Option<usize> {
        let frame = self.frame(look);
        #[expect(clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "hours of a day")]
        let hour = frame.x_of(at).clamp(0.0, 23.9) as usize;
        frame.rect.contains(at).then_some(hour)
    }

    fn spot(&self, look: &Look<'_>, place: usize) -> Rect {
        let frame = self.frame(look);
        let (left, right) = (frame.at_x(place as f64), frame.at_x(place as f64 + 1.0));
        Rect::from_min_max(pos2(left, frame.rect.top()), pos2(right, frame.rect.bottom()))
    }

    fn readout(&self, place: usize) -> Readout {
        let figure = |watts: Watts| text::figure(watts.into(), self.units);
        let [ac, dc, waiting] = self.at(place);
        let mut rows = vec![("AC".to_owned(), figure(ac))];
        if dc > Watts::ZERO {
            rows.push(("DC".to_owned(), figure(dc)));
        }
        if waiting > Watts::ZERO {
            rows.push(("can wait".to_owned(), figure(waiting)));
        }
        Readout { title: format!("{place:02}:00 to {:02}:00", place + 1), rows }
    }

    fn table(&self) -> String {
        let mut out = String::from("hour,ac_w,dc_w,can_wait_w\n");
        for hour in 0..24 {
            let [ac, dc, waiting] = self.at(hour).map(Watts::value);
            let _ = writeln!(out, "{hour},{ac:.3},{dc:.3},{waiting:.3}");
        }
        out
    }
}
