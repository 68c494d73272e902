//! A week hour by hour: what the sun gives, what loads take, how the bank stands. The worst week unless a person chose
//! another; it can be replayed.

use super::YearState;
use super::words::{cell, date, figure, moment, tick};
use crate::settings::Motion;
use crate::window::action::Actions;
use crate::window::fonts;
use crate::window::plot::{
    Dash, Extent, Fill, Frame, KeyMark, Look, Mark, Picture, Plot, Readout, Span, Toggle, plot_card,
};
use crate::window::tokens::Tokens;
use crate::window::view::View;
use egui::{Align2, Color32, Pos2, Rect, RichText, Ui, Vec2, pos2};
use lineside_core::units::{Percent, UnitSystem, Watts};
use lineside_energy::hours::WEEK_DAYS;
use lineside_energy::{DAYS, Hour};
use std::fmt::Write as _;
use std::time::Duration;

/// Hours of a week.
const HOURS: usize = WEEK_DAYS * 24;
/// How long an hour is shown while the week is replayed.
const PACE: Duration = Duration::from_millis(90);
/// Share of the height that the powers take; the charge has the rest.
const POWERS: f32 = 0.56;
/// A power that nobody notices.
const NOTICED: Watts = Watts::new(0.5);

/// Whether the week is being replayed.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub(super) enum Replay {
    /// It is not.
    #[default]
    Still,
    /// It is, and the next hour comes at this time of the window.
    Next(f64),
}

/// A week of a year.
pub(super) struct WeekPlot<'a> {
    pub hours: &'a [Hour],
    pub first_day: usize,
    pub is_worst: bool,
    pub units: UnitSystem,
}

/// What loads ask for in an hour.
fn asked(hour: &Hour) -> Watts {
    hour.ac_served + hour.dc_served + hour.waiting_served + hour.unmet
}

fn sun(hour: &Hour) -> Watts {
    hour.controllers + hour.pv_inverters
}

/// What is read out of an hour.
pub(super) fn rows(hour: &Hour, units: UnitSystem) -> Vec<(String, String)> {
    let mut rows = vec![
        ("charge".to_owned(), figure(hour.state_of_charge, units)),
        ("sun used".to_owned(), figure(sun(hour), units)),
        ("loads".to_owned(), figure(asked(hour), units)),
    ];
    let more = [
        ("into the bank", hour.charge),
        ("out of the bank", hour.discharge),
        ("sun unused", hour.curtailed),
        ("generator", hour.generator),
        ("utility", hour.import),
        ("unmet", hour.unmet),
    ];
    let more = more.into_iter().filter(|(_, watts)| *watts > NOTICED);
    rows.extend(more.map(|(name, watts)| (name.to_owned(), figure(watts, units))));
    rows
}

/// The two frames of a week: powers above, charge below.
struct Frames {
    powers: Frame,
    charge: Frame,
}

impl WeekPlot<'_> {
    fn week(&self) -> &[Hour] {
        let first = self.first_day * 24;
        self.hours.get(first..(first + HOURS).min(self.hours.len())).unwrap_or_default()
    }

    fn frames(&self, look: &Look<'_>) -> Frames {
        let most = self
            .week()
            .iter()
            .map(|hour| {
                sun(hour).value().max(asked(hour).value()).max((hour.generator + hour.import).value())
            })
            .fold(1.0, f64::max);
        let x = Span::new(HOURS as f64 * look.zoom.from, HOURS as f64 * look.zoom.to);
        let whole = Frame::new(look.size, x, Span::up_to(most));
        let cut = whole.rect.top() + whole.rect.height() * POWERS;
        let upper = Rect::from_min_max(whole.rect.min, pos2(whole.rect.right(), cut - 8.0));
        let lower = Rect::from_min_max(pos2(whole.rect.left(), cut + 4.0), whole.rect.max);
        Frames {
            powers: Frame { rect: upper, ..whole },
            charge: Frame { rect: lower, x, y: Span::new(0.0, 100.0) },
        }
    }

    /// The corners of a line in steps, an hour a step, of the hours that are seen.
    fn steps(&self, frame: &Frame, value: impl Fn(&Hour) -> f64) -> Vec<Pos2> {
        let mut points = Vec::new();
        for (i, hour) in self.week().iter().enumerate() {
            let (from, to) = ((i as f64).max(frame.x.from), (i as f64 + 1.0).min(frame.x.to));
            if to > from {
                points.push(frame.at(from, value(hour)));
                points.push(frame.at(to, value(hour)));
            }
        }
        points
    }

    fn powers(&self, frame: &Frame, picture: &mut Picture, look: &Look<'_>) {
        let tokens = look.tokens;
        let floor =
            |points: &[Pos2]| points.iter().map(|at| pos2(at.x, frame.rect.bottom())).collect::<Vec<_>>();
        let supply = self.steps(frame, |hour| (hour.generator + hour.import).value());
        if self.week().iter().any(|hour| (hour.generator + hour.import).value() > 0.0) {
            let color = self.supply(tokens).map_or(tokens.soft_ink, |(_, color)| color);
            picture.marks.push(Mark::Band { lower: floor(&supply), upper: supply, color });
        }
        let light = self.steps(frame, |hour| sun(hour).value());
        let color = tokens.array.gamma_multiply(0.35);
        picture.marks.push(Mark::Band { lower: floor(&light), upper: light.clone(), color });
        picture.line(light, tokens.array, 1.4, Dash::Solid);
        for (i, hour) in self.week().iter().enumerate() {
            let (from, to) = ((i as f64).max(frame.x.from), (i as f64 + 1.0).min(frame.x.to));
            if hour.unmet > NOTICED && to > from {
                let asked = asked(hour).value();
                let top = frame.at(from, asked);
                let bottom = frame.at(to, asked - hour.unmet.value());
                picture.bar(Rect::from_min_max(top, bottom), tokens.danger, Fill::Hatched);
            }
        }
        picture.line(self.steps(frame, |hour| asked(hour).value()), tokens.ink, 1.6, Dash::Solid);
    }

    /// What AC supplies gave in the week, in the colors of the months; `None` when they gave nothing.
    fn supply(&self, tokens: &Tokens) -> Option<(&'static str, Color32)> {
        let any = |of: fn(&Hour) -> Watts| self.week().iter().any(|hour| of(hour) > NOTICED);
        let (name, color) = match (any(|hour| hour.generator), any(|hour| hour.import)) {
            (false, false) => return None,
            (true, false) => ("generator", tokens.soft_ink),
            (false, true) => ("utility", tokens.ac),
            (true, true) => ("generator and utility", tokens.soft_ink),
        };
        Some((name, color.gamma_multiply(0.45)))
    }

    fn key(&self, picture: &mut Picture, corner: Pos2, look: &Look<'_>) {
        let tokens = look.tokens;
        let any = |of: fn(&Hour) -> Watts| self.week().iter().any(|hour| of(hour) > NOTICED);
        let mut key = vec![
            ("sun used", tokens.array, KeyMark::Fill(Fill::Hollow)),
            ("loads", tokens.ink, KeyMark::Line(Dash::Solid)),
        ];
        if any(|hour| hour.unmet) {
            key.push(("unmet", tokens.danger, KeyMark::Fill(Fill::Hatched)));
        }
        if let Some((name, color)) = self.supply(tokens) {
            key.push((name, color, KeyMark::Fill(Fill::Solid)));
        }
        key.push(("charge", tokens.battery, KeyMark::Line(Dash::Solid)));
        picture.key(corner, &key, tokens.soft_ink);
    }
}

impl Plot for WeekPlot<'_> {
    fn title(&self) -> &'static str {
        if self.is_worst { "The worst week, hour by hour" } else { "A week, hour by hour" }
    }

    fn said(&self) -> String {
        let charges = self.week().iter().map(|hour| hour.state_of_charge.value());
        let lowest = Percent::new(charges.fold(100.0, f64::min));
        let unmet: f64 = self.week().iter().map(|hour| hour.unmet.value()).sum();
        format!(
            "From {}: lowest charge {}, unmet {}.",
            date(self.first_day),
            figure(lowest, self.units),
            figure(lineside_core::units::WattHours::new(unmet), self.units)
        )
    }

    fn places(&self) -> usize {
        self.week().len()
    }

    fn draw(&self, look: &Look<'_>) -> Picture {
        let mut picture = Picture::new(look.size);
        let tokens = look.tokens;
        let Frames { powers, charge } = self.frames(look);
        for day in 0..=WEEK_DAYS {
            let at = day as f64 * 24.0;
            if (powers.x.from..=powers.x.to).contains(&at) {
                let x = powers.at_x(at);
                let ends = vec![pos2(x, powers.rect.top()), pos2(x, charge.rect.bottom())];
                picture.line(ends, tokens.grid, 1.0, Dash::Solid);
            }
            if day < WEEK_DAYS && (charge.x.from..charge.x.to).contains(&(at + 12.0)) {
                let word = date((self.first_day + day).min(DAYS - 1));
                charge.under(&mut picture, charge.at_x(at + 12.0), &word, tokens.soft_ink);
            }
        }
        let corner = powers.levels(&mut picture, tokens, |value| tick(Watts::new(value), look.units));
        self.powers(&powers, &mut picture, look);
        for level in [0.0, 50.0, 100.0] {
            let y = charge.at_y(level);
            let ends = vec![pos2(charge.rect.left(), y), pos2(charge.rect.right(), y)];
            picture.line(ends, tokens.grid, 1.0, Dash::Solid);
            let at = pos2(charge.rect.left() - 7.0, y);
            let word = tick(Percent::new(level), look.units);
            picture.words(at, Align2::RIGHT_CENTER, word, tokens.soft_ink);
        }
        let line = self.steps(&charge, |hour| hour.state_of_charge.value());
        let lower = line.iter().map(|at| pos2(at.x, charge.rect.bottom())).collect();
        let color = tokens.battery.gamma_multiply(0.25);
        picture.marks.push(Mark::Band { upper: line.clone(), lower, color });
        picture.line(line, tokens.battery, 1.8, Dash::Solid);
        self.key(&mut picture, corner, look);
        picture
    }

    fn place_at(&self, look: &Look<'_>, at: Pos2) -> Option<usize> {
        let Frames { powers, charge } = self.frames(look);
        #[expect(clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "hours of a week")]
        let place = powers.x_of(at).max(0.0) as usize;
        (powers.rect.union(charge.rect).contains(at) && place < self.places()).then_some(place)
    }

    fn spot(&self, look: &Look<'_>, place: usize) -> Rect {
        let Frames { powers, charge } = self.frames(look);
        let (left, right) = (powers.at_x(place as f64), powers.at_x(place as f64 + 1.0));
        Rect::from_min_max(pos2(left, powers.rect.top()), pos2(right, charge.rect.bottom()))
    }

    fn strides(&self) -> (usize, usize) {
        (1, 24)
    }

    fn readout(&self, place: usize) -> Readout {
        let Some(hour) = self.week().get(place) else { return Readout::default() };
        Readout { title: moment(self.first_day * 24 + place), rows: rows(hour, self.units) }
    }

    fn table(&self) -> String {
        let mut out = String::from(
            "month,day,hour,sun_used_w,sun_unused_w,loads_w,unmet_w,charge_w,discharge_w,generator_w,utility_w,\
             state_of_charge_percent\n",
        );
        for (i, hour) in self.week().iter().enumerate() {
            let at = lineside_energy::Moment::of(self.first_day * 24 + i);
            let cells = [
                sun(hour).value(),
                hour.curtailed.value(),
                asked(hour).value(),
                hour.unmet.value(),
                hour.charge.value(),
                hour.discharge.value(),
                hour.generator.value(),
                hour.import.value(),
                hour.state_of_charge.value(),
            ];
            let _ =
                writeln!(out, "{},{},{},{}", at.month.number(), at.day, at.hour, cells.map(cell).join(","));
        }
        out
    }
}

/// The card of the week, with its own row of buttons.
pub(super) fn card_ui(
    ui: &mut Ui,
    view: &View<'_>,
    state: &mut YearState,
    plot: &WeekPlot<'_>,
    (size, extent): (Vec2, Extent),
    actions: &mut Actions,
) {
    advance(ui, state);
    ui.vertical(|ui| {
        ui.spacing_mut().item_spacing.y = 4.0;
        let Some(remembered) = state.plots.get_mut(super::Which::Week as usize) else { return };
        let shown = size - Vec2::new(0.0, 30.0);
        let (_, response, toggle) = plot_card(ui, view, remembered, plot, (shown, extent), actions);
        if toggle == Toggle::Yes {
            state.enlarged = if extent == Extent::Alone { None } else { Some(super::Which::Week) };
        }
        ui.horizontal(|ui| {
            let step = |day: usize| Some(day.min(DAYS - WEEK_DAYS));
            let playing = state.replay != Replay::Still;
            let button = egui::Button::new(if playing { "Hold" } else { "Replay" });
            let pressed = ui.add_enabled(playing || view.settings.motion == Motion::Shown, button);
            if pressed
                .on_disabled_hover_text("Motion is off in the settings; the arrow keys go hour by hour.")
                .clicked()
            {
                state.replay = if playing { Replay::Still } else { Replay::Next(0.0) };
                if let Some(remembered) = state.plots.get_mut(super::Which::Week as usize)
                    && !playing
                    && remembered.place.is_none_or(|place| place + 1 >= HOURS)
                {
                    remembered.place = Some(0);
                }
                response.request_focus();
            }
            if ui.button("Week before").clicked() {
                state.first_day = step(plot.first_day.saturating_sub(WEEK_DAYS));
            }
            if ui.button("Week after").clicked() {
                state.first_day = step(plot.first_day + WEEK_DAYS);
            }
            if !plot.is_worst && ui.button("Worst week").clicked() {
                state.first_day = None;
            }
            let words = "Click a day of the carpet to see its week. Arrow keys go hour by hour.";
            let soft = RichText::new(words).font(fonts::small()).color(view.tokens.soft_ink);
            ui.add(egui::Label::new(soft).truncate());
        });
    });
}

/// Goes on with the replay, an hour at a time.
fn advance(ui: &Ui, state: &mut YearState) {
    let Replay::Next(due) = state.replay else { return };
    let now = ui.input(|input| input.time);
    let Some(remembered) = state.plots.get_mut(super::Which::Week as usize) else { return };
    if now >= due {
        let place = remembered.place.map_or(0, |place| place + 1);
        if place >= HOURS {
            state.replay = Replay::Still;
            return;
        }
        remembered.place = Some(place);
        state.replay = Replay::Next(now + PACE.as_secs_f64());
    }
    ui.ctx().request_repaint_after(PACE);
}
