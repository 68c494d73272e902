//! The chemistries compared: what the same system costs over its life with a bank of each that gives the same energy.

use super::words::{cell, money, years};
use crate::energy_year::{Alternative, Money, Standing};
use crate::window::plot::{Dash, Frame, KeyMark, Look, Picture, Plot, Readout, Span};
use crate::window::tokens::Tokens;
use egui::{Align2, Color32, Pos2, Rect, pos2};
use lineside_core::kinds::battery_bank::Chemistry;
use lineside_core::units::text;
use rust_decimal::Decimal;
use rust_decimal::prelude::ToPrimitive as _;
use std::fmt::Write as _;

/// What the comparison takes for granted.
pub(super) const ASSUMED: &str = "Chemistries are compared in the same system, each with a new bank of usual cells that gives \
the same energy between full and its own lowest charge, in the same room, by typical US prices of battery and upkeep. Whether \
the equipment suits its voltages is not looked at: put it on the sheet and the findings tell.";

/// The chemistries of one sheet.
pub(super) struct Chemistries<'a> {
    pub all: &'a [Alternative],
    pub money: &'a Money,
}

/// How the line of a chemistry looks.
const fn look_of(chemistry: Chemistry, tokens: &Tokens) -> (&'static str, Color32, Dash) {
    match chemistry {
        Chemistry::NickelIron => ("nickel-iron", tokens.earth, Dash::Solid),
        Chemistry::LithiumIronPhosphate => ("lithium", tokens.battery, Dash::Dashed),
        Chemistry::FloodedLead => ("flooded lead", tokens.ac, Dash::Solid),
        Chemistry::AbsorbedGlassMat => ("glass mat", tokens.accent, Dash::Dotted),
        Chemistry::Gel => ("gel", tokens.ink, Dash::Dashed),
    }
}

fn number(sum: Decimal) -> f64 {
    sum.to_f64().unwrap_or_default()
}

impl Chemistries<'_> {
    fn priced(&self) -> impl Iterator<Item = &Alternative> {
        self.all.iter().filter(|it| !it.spent.is_empty())
    }

    fn frame(&self, look: &Look<'_>) -> Frame {
        let most = self.priced().filter_map(|it| it.spent.last()).map(|sum| number(*sum)).fold(1.0, f64::max);
        let years = f64::from(self.money.years);
        Frame::new(look.size, Span::new(years * look.zoom.from, years * look.zoom.to), Span::up_to(most))
    }

    /// The chemistries by what they cost in the end, the cheapest first.
    fn ranked(&self) -> Vec<&Alternative> {
        let mut ranked: Vec<&Alternative> = self.priced().collect();
        ranked.sort_by_key(|it| it.spent.last().copied());
        ranked
    }
}

impl Plot for Chemistries<'_> {
    fn title(&self) -> &'static str {
        "Chemistries: money spent by year"
    }

    fn said(&self) -> String {
        let parts: Vec<String> = self
            .ranked()
            .into_iter()
            .map(|it| {
                let end = it.spent.last().copied().unwrap_or_default();
                let life = it.life.map_or_else(String::new, |life| {
                    format!(", a bank lasts {} or more", years(life.cautious))
                });
                format!("{} {}{life}", it.chemistry.label(), money(end, &self.money.currency))
            })
            .collect();
        format!("Spent by the end, at its value today: {}.", parts.join("; "))
    }

    fn places(&self) -> usize {
        if self.priced().next().is_some() { self.money.years as usize + 1 } else { 0 }
    }

    fn draw(&self, look: &Look<'_>) -> Picture {
        let mut picture = Picture::new(look.size);
        let tokens = look.tokens;
        let frame = self.frame(look);
        if self.priced().next().is_none() {
            let words = if self.all.is_empty() {
                "The chemistries are being compared…".to_owned()
            } else if self.money.costs.without.is_empty() {
                format!("Typical prices are US$ and do not go with a price book in {}.", self.money.currency)
            } else {
                format!("There is no price of {}.", self.money.costs.without.join(", "))
            };
            picture.words(frame.rect.center(), Align2::CENTER_CENTER, words, tokens.soft_ink);
            return picture;
        }
        let write = |value: f64| {
            #[expect(
                clippy::cast_possible_truncation,
                clippy::cast_sign_loss,
                reason = "round figures of a scale"
            )]
            let whole = value.max(0.0).round() as usize;
            text::count(whole)
        };
        let corner = frame.levels(&mut picture, tokens, write);
        for year in frame.x.ticks(f64::from(frame.rect.width() / 70.0).max(2.0)) {
            let word = if year == 0.0 { "now".to_owned() } else { format!("{year} a") };
            frame.tick(&mut picture, tokens, year, &word);
        }
        let mut key = Vec::new();
        for it in self.priced() {
            let (name, color, dash) = look_of(it.chemistry, tokens);
            let points = it.spent.iter().enumerate();
            let points =
                points.filter(|(year, _)| (frame.x.from - 0.5..=frame.x.to + 0.5).contains(&(*year as f64)));
            let points: Vec<Pos2> = points.map(|(year, sum)| frame.at(year as f64, number(*sum))).collect();
            let width = if it.standing == Standing::OnSheet { 3.2 } else { 1.8 };
            picture.line(points, color, width, dash);
            key.push((name, color, KeyMark::Line(dash)));
        }
        picture.key(corner, &key, tokens.soft_ink);
        picture
    }

    fn place_at(&self, look: &Look<'_>, at: Pos2) -> Option<usize> {
        let frame = self.frame(look);
        #[expect(clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "years of a life")]
        let year = frame.x_of(at).round().max(0.0) as usize;
        (frame.rect.contains(at) && year < self.places()).then_some(year)
    }

    fn spot(&self, look: &Look<'_>, place: usize) -> Rect {
        let frame = self.frame(look);
        let x = frame.at_x(place as f64);
        Rect::from_min_max(pos2(x - 0.5, frame.rect.top()), pos2(x + 0.5, frame.rect.bottom()))
    }

    fn readout(&self, place: usize) -> Readout {
        let title = match place {
            0 => "Now".to_owned(),
            1 => "After one year".to_owned(),
            years => format!("After {years} years"),
        };
        let mut ranked = self.ranked();
        ranked.sort_by_key(|it| it.spent.get(place).copied());
        let rows = ranked.into_iter().map(|it| {
            let here = if it.standing == Standing::OnSheet { ", on the sheet" } else { "" };
            let life = it.life.map_or_else(String::new, |life| format!(", lasts {}", years(life.cautious)));
            let spent = it.spent.get(place).copied().unwrap_or_default();
            (format!("{}{here}{life}", it.chemistry.label()), money(spent, &self.money.currency))
        });
        Readout { title, rows: rows.collect() }
    }

    fn table(&self) -> String {
        let mut out = String::from("year");
        for it in self.priced() {
            let _ = write!(out, ",{}", it.chemistry.key());
        }
        out.push('\n');
        for year in 0..self.places() {
            let sums = self.priced().map(|it| cell(it.spent.get(year).copied().map_or(0.0, number)));
            let _ = writeln!(out, "{year},{}", sums.collect::<Vec<_>>().join(","));
        }
        let of = |name: &str, value: &dyn Fn(&Alternative) -> f64| {
            let cells: Vec<String> = self.priced().map(|it| cell(value(it))).collect();
            format!("{name},{}\n", cells.join(","))
        };
        out.push_str(&of("usable_wh", &|it| it.usable.value()));
        out.push_str(&of("rated_wh", &|it| it.rated.value()));
        out.push_str(&of("unmet_wh", &|it| it.outcome.year.unmet().value()));
        out.push_str(&of("bank_life_years", &|it| it.life.map_or(0.0, |life| life.cautious.value())));
        out.push_str(&of("per_kwh", &|it| it.per_kilowatt_hour.map_or(0.0, number)));
        out
    }
}
