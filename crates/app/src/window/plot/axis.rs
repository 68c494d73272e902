//! Scales of plots: from figures to points, round steps for the ticks, and the frame in which a plot stands.

use super::picture::{Dash, Picture};
use crate::window::tokens::Tokens;
use egui::{Align2, Color32, Pos2, Rect, Vec2, pos2};

/// From where to where a scale goes.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Span {
    /// The least figure.
    pub from: f64,
    /// The greatest.
    pub to: f64,
}

impl Span {
    /// A span; one without extent is widened, so that it can be drawn.
    pub fn new(from: f64, to: f64) -> Self {
        if to - from > 1e-9 { Self { from, to } } else { Self { from, to: from + 1.0 } }
    }

    /// From nought to a round figure not below this one.
    pub fn up_to(most: f64) -> Self {
        let step = round_step(most.max(1e-9) / 4.0);
        Self::new(0.0, (most / step - 1e-9).ceil().max(1.0) * step)
    }

    /// Where a figure lies, as a share of the span.
    pub fn share(self, figure: f64) -> f64 {
        (figure - self.from) / (self.to - self.from)
    }

    /// The figure at a share of the span.
    pub fn at(self, share: f64) -> f64 {
        self.from + (self.to - self.from) * share
    }

    /// Round figures within it, about as many as asked for.
    pub fn ticks(self, about: f64) -> Vec<f64> {
        let step = round_step((self.to - self.from) / about.max(1.0));
        let mut ticks = Vec::new();
        let mut place = (self.from / step - 1e-9).ceil();
        while place * step <= self.to + step * 1e-9 && ticks.len() < 100 {
            ticks.push(place * step);
            place += 1.0;
        }
        ticks
    }
}

/// The round step next above: 1, 2 or 5 of some power of ten.
pub fn round_step(least: f64) -> f64 {
    let power = 10_f64.powf(least.log10().floor());
    let lead = least / power;
    let round = match lead {
        _ if lead <= 1.0 + 1e-9 => 1.0,
        _ if lead <= 2.0 + 1e-9 => 2.0,
        _ if lead <= 5.0 + 1e-9 => 5.0,
        _ => 10.0,
    };
    round * power
}

/// Room left of the plot, for the figures of its scale.
const LEFT: f32 = 68.0;
const RIGHT: f32 = 12.0;
/// Room above, for the key.
const TOP: f32 = 24.0;
const BOTTOM: f32 = 22.0;

/// The frame of a plot: where it lies and its two scales.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Frame {
    /// Where figures are drawn.
    pub rect: Rect,
    /// Figures across.
    pub x: Span,
    /// Figures up.
    pub y: Span,
}

impl Frame {
    /// Within a picture of some size.
    pub fn new(size: Vec2, x: Span, y: Span) -> Self {
        let rect = Rect::from_min_max(pos2(LEFT, TOP), pos2(size.x - RIGHT, size.y - BOTTOM));
        Self { rect, x, y }
    }

    /// Where a figure across lies.
    #[expect(clippy::cast_possible_truncation, reason = "points on a screen")]
    pub fn at_x(&self, x: f64) -> f32 {
        self.rect.left() + self.rect.width() * self.x.share(x) as f32
    }

    /// Where a figure up lies.
    #[expect(clippy::cast_possible_truncation, reason = "points on a screen")]
    pub fn at_y(&self, y: f64) -> f32 {
        self.rect.bottom() - self.rect.height() * self.y.share(y) as f32
    }

    /// Where a pair of figures lies.
    pub fn at(&self, x: f64, y: f64) -> Pos2 {
        pos2(self.at_x(x), self.at_y(y))
    }

    /// The figure across under a point.
    pub fn x_of(&self, at: Pos2) -> f64 {
        self.x.at(f64::from((at.x - self.rect.left()) / self.rect.width()))
    }

    /// Level lines with their figures, as `write` has them, and the upper right corner for a key.
    pub fn levels(&self, picture: &mut Picture, tokens: &Tokens, write: impl Fn(f64) -> String) -> Pos2 {
        for figure in self.y.ticks(f64::from(self.rect.height() / 40.0).clamp(2.0, 6.0)) {
            let y = self.at_y(figure);
            let color = if figure == 0.0 { tokens.line } else { tokens.grid };
            picture.line(
                vec![pos2(self.rect.left(), y), pos2(self.rect.right(), y)],
                color,
                1.0,
                Dash::Solid,
            );
            let at = pos2(self.rect.left() - 7.0, y);
            picture.words(at, Align2::RIGHT_CENTER, write(figure), tokens.soft_ink);
        }
        pos2(self.rect.right(), TOP / 2.0 - 1.0)
    }

    /// A word under a figure across, with a short stroke.
    pub fn tick(&self, picture: &mut Picture, tokens: &Tokens, x: f64, word: &str) {
        let at = self.at_x(x);
        let (top, color) = (self.rect.bottom(), tokens.line);
        picture.line(vec![pos2(at, top), pos2(at, top + 4.0)], color, 1.0, Dash::Solid);
        self.under(picture, at, word, tokens.soft_ink);
    }

    /// A word under the plot, kept within its width.
    pub fn under(&self, picture: &mut Picture, x: f32, word: &str, color: Color32) {
        let half = super::picture::words_width(word) / 2.0;
        let x = x.max(self.rect.left() + half - 30.0).min(self.rect.right() - half + RIGHT);
        picture.words(pos2(x, self.rect.bottom() + 5.0), Align2::CENTER_TOP, word, color);
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn steps_are_round() {
        let steps: Vec<f64> = [0.7, 1.0, 1.2, 3.0, 6.0, 42.0, 260.0].into_iter().map(round_step).collect();
        for (found, expected) in steps.into_iter().zip([1.0, 1.0, 2.0, 5.0, 10.0, 50.0, 500.0]) {
            assert!((found - expected).abs() < 1e-9, "{found} {expected}");
        }
    }

    #[test]
    fn scales_end_on_a_round_figure() {
        // 930 / 4 = 232.5, next round step 500.
        assert_eq!(Span::up_to(930.0), Span { from: 0.0, to: 1000.0 });
        assert_eq!(Span::up_to(0.0).to.partial_cmp(&0.0), Some(std::cmp::Ordering::Greater));
        assert_eq!(Span::new(0.0, 100.0).ticks(5.0), [0.0, 20.0, 40.0, 60.0, 80.0, 100.0]);
        assert!((Span::new(3.0, 3.0).to - 4.0).abs() < 1e-12);
    }

    #[test]
    fn figures_and_points_answer_each_other() {
        let frame = Frame::new(Vec2::new(400.0, 200.0), Span::new(10.0, 20.0), Span::new(0.0, 100.0));
        let at = frame.at(15.0, 50.0);
        assert!((at - frame.rect.center()).length() < 1e-3);
        assert!((frame.x_of(at) - 15.0).abs() < 1e-6);
    }
}
