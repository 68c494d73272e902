//! The scatter of the candidates: what a system costs against what it leaves unmet.

use super::seek::{Shown, called};
use crate::window::plot::{Dash, Fill, Frame, Look, Mark, Picture, Plot, Readout, Span};
use crate::window::tokens::Tokens;
use egui::{Align2, Color32, Pos2, Rect, Vec2, pos2, vec2};
use lineside_core::kinds::battery_bank::Chemistry;
use lineside_core::units::text::{self, UnitSystem};
use lineside_core::units::{Hours, Percent};
use rust_decimal::prelude::ToPrimitive as _;
use std::fmt::Write as _;

/// Against what the cost is drawn.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub(super) enum Against {
    /// What goes unmet.
    #[default]
    Unmet,
    /// Hours of the generator.
    Generator,
    /// What it costs over its life.
    Life,
}

impl Against {
    pub const ALL: [Self; 3] = [Self::Unmet, Self::Generator, Self::Life];

    pub const fn words(self) -> &'static str {
        match self {
            Self::Unmet => "unmet share",
            Self::Generator => "generator hours",
            Self::Life => "cost over its life",
        }
    }

    fn of(self, it: &Shown) -> f64 {
        match self {
            Self::Unmet => it.candidate.unmet().value(),
            Self::Generator => it.candidate.generator_hours().value(),
            Self::Life => it.candidate.life_cost.and_then(|cost| cost.to_f64()).unwrap_or_default(),
        }
    }

    fn tick(self, value: f64, units: UnitSystem) -> String {
        match self {
            Self::Unmet => text::plain(Percent::new(value).into(), units),
            Self::Generator => text::plain(Hours::new(value).into(), units),
            Self::Life => whole(value),
        }
    }

    /// The least that the scale shows, so that nothing is not drawn as much.
    const fn least(self) -> f64 {
        match self {
            Self::Unmet => 0.1,
            Self::Generator => 10.0,
            Self::Life => 1000.0,
        }
    }
}

fn whole(value: f64) -> String {
    #[expect(clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "round figures of a scale")]
    let whole = value.max(0.0).round() as usize;
    text::count(whole)
}

/// The candidates.
pub(super) struct Scatter<'a> {
    pub shown: &'a [Shown],
    pub chosen: Option<usize>,
    pub against: Against,
    /// What the brief allows of it.
    pub allowed: Option<f64>,
    pub currency: &'a str,
    pub units: UnitSystem,
}

const RADIUS: f32 = 5.0;
/// A candidate farther from the pointer than this is not meant.
const REACH: f32 = 22.0;

const fn look_of(chemistry: Chemistry, tokens: &Tokens) -> (&'static str, Color32, Fill) {
    match chemistry {
        Chemistry::NickelIron => ("nickel-iron", tokens.earth, Fill::Solid),
        Chemistry::LithiumIronPhosphate => ("lithium", tokens.battery, Fill::Solid),
        Chemistry::FloodedLead => ("flooded lead", tokens.ac, Fill::Hollow),
        Chemistry::AbsorbedGlassMat => ("glass mat", tokens.accent, Fill::Hollow),
        Chemistry::Gel => ("gel", tokens.ink, Fill::Hollow),
    }
}

fn cost(it: &Shown) -> f64 {
    it.candidate.cost.to_f64().unwrap_or_default()
}

impl Scatter<'_> {
    fn frame(&self, look: &Look<'_>) -> Frame {
        let costs = || self.shown.iter().map(cost);
        let (least, most) = (costs().fold(f64::INFINITY, f64::min), costs().fold(0.0, f64::max));
        let least = if least.is_finite() { least } else { 0.0 };
        let margin = ((most - least) * 0.08).max(most * 0.02).max(1.0);
        let all = Span::new((least - margin).max(0.0), most + margin);
        let figures = self.shown.iter().map(|it| self.against.of(it));
        let most_up = figures.chain(self.allowed).fold(self.against.least(), f64::max);
        Frame::new(
            look.size,
            Span::new(all.at(look.zoom.from), all.at(look.zoom.to)),
            Span::up_to(most_up * 1.05),
        )
    }

    fn spot_of(&self, frame: &Frame, it: &Shown) -> Pos2 {
        frame.at(cost(it), self.against.of(it))
    }
}

impl Plot for Scatter<'_> {
    fn title(&self) -> &'static str {
        match self.against {
            Against::Unmet => "Cost against unmet share",
            Against::Generator => "Cost against generator hours",
            Against::Life => "Cost against cost over its life",
        }
    }

    fn said(&self) -> String {
        format!("{} candidates.", text::count(self.shown.len()))
    }

    fn places(&self) -> usize {
        self.shown.len()
    }

    fn draw(&self, look: &Look<'_>) -> Picture {
        let mut picture = Picture::new(look.size);
        let tokens = look.tokens;
        let frame = self.frame(look);
        let corner = frame.levels(&mut picture, tokens, |value| self.against.tick(value, look.units));
        for figure in frame.x.ticks(f64::from(frame.rect.width() / 90.0).max(2.0)) {
            frame.tick(&mut picture, tokens, figure, &whole(figure));
        }
        if let Some(allowed) = self.allowed {
            let y = frame.at_y(allowed);
            let ends = vec![pos2(frame.rect.left(), y), pos2(frame.rect.right(), y)];
            picture.line(ends, tokens.soft_ink, 1.2, Dash::Dashed);
            let at = pos2(frame.rect.right() - 4.0, y + 2.0);
            picture.words(at, Align2::RIGHT_TOP, "the brief allows so much", tokens.soft_ink);
        }
        let mut x = corner.x;
        let mut seen = Vec::new();
        for (place, it) in self.shown.iter().enumerate() {
            let at = self.spot_of(&frame, it);
            let (name, color, fill) = look_of(it.candidate.chemistry, tokens);
            if frame.rect.expand(RADIUS).contains(at) {
                if self.chosen == Some(place) {
                    let ring =
                        Mark::Dot { at, radius: RADIUS + 4.0, color: tokens.accent, fill: Fill::Hollow };
                    picture.marks.push(ring);
                }
                picture.marks.push(Mark::Dot { at, radius: RADIUS, color, fill });
            }
            if !seen.contains(&name) {
                seen.push(name);
                picture.words(pos2(x, corner.y), Align2::RIGHT_CENTER, name, tokens.soft_ink);
                x -= crate::window::plot::picture::words_width(name) + 10.0;
                picture.marks.push(Mark::Dot { at: pos2(x, corner.y), radius: 4.0, color, fill });
                x -= 16.0;
            }
        }
        picture
    }

    fn place_at(&self, look: &Look<'_>, at: Pos2) -> Option<usize> {
        let frame = self.frame(look);
        let near =
            self.shown.iter().enumerate().map(|(place, it)| (place, self.spot_of(&frame, it).distance(at)));
        near.filter(|(_, far)| *far < REACH).min_by(|a, b| a.1.total_cmp(&b.1)).map(|(place, _)| place)
    }

    fn spot(&self, look: &Look<'_>, place: usize) -> Rect {
        let frame = self.frame(look);
        let at = self.shown.get(place).map_or(frame.rect.center(), |it| self.spot_of(&frame, it));
        Rect::from_center_size(at, Vec2::splat(2.0 * RADIUS + 4.0))
    }

    fn readout(&self, place: usize) -> Readout {
        let Some(it) = self.shown.get(place) else { return Readout::default() };
        let rows = vec![
            ("cost".to_owned(), super::sum(it.candidate.cost, self.currency)),
            ("unmet".to_owned(), text::figure(it.candidate.unmet().into(), self.units)),
            ("generator".to_owned(), text::figure(it.candidate.generator_hours().into(), self.units)),
        ];
        Readout { title: called(&it.candidate, self.units), rows }
    }

    fn table(&self) -> String {
        let mut out = String::from("chemistry,bank_wh,array_w,cost,life_cost,unmet_percent,generator_h\n");
        for it in self.shown {
            let candidate = &it.candidate;
            let _ = writeln!(
                out,
                "{},{:.0},{:.0},{},{},{:.4},{:.1}",
                candidate.chemistry.key(),
                candidate.bank.value(),
                candidate.array.value(),
                candidate.cost,
                candidate.life_cost.map(|cost| cost.to_string()).unwrap_or_default(),
                candidate.unmet().value(),
                candidate.generator_hours().value()
            );
        }
        out
    }
}

/// Room that the scatter takes.
pub(super) const SIZE: Vec2 = vec2(0.0, 240.0);
