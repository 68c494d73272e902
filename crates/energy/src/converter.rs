//! The one loss law of converters, both ways: `loss = P_n (c₀ + c₁x + c₂x²)`, `x` the output over the rating.
//!
//! Its figures are in the tables of the `codes` crate.

use lineside_codes::tables::LossLaw;
use lineside_core::math::sqrt;
use lineside_core::units::Watts;

/// A converter: a law and the rating it is for.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Converter {
    rated_w: f64,
    standing: f64,
    proportional: f64,
    square: f64,
}

impl Converter {
    /// A law for a rating.
    pub fn new(law: LossLaw, rated: Watts) -> Self {
        let [standing, proportional, square] = law.shares();
        Self { rated_w: rated.value().max(f64::MIN_POSITIVE), standing, proportional, square }
    }
    /// What it takes in to give an output; nothing for none.
    pub fn input(&self, output: Watts) -> Watts {
        Watts::new(self.input_w(output.value()))
    }
    /// What it gives for an input.
    pub fn output(&self, input: Watts) -> Watts {
        Watts::new(self.output_w(input.value()))
    }

    pub(crate) fn loss_w(&self, output_w: f64) -> f64 {
        if output_w <= 0.0 {
            return 0.0;
        }
        self.rated_w * self.standing + output_w * (self.proportional + self.square * output_w / self.rated_w)
    }

    pub(crate) fn input_w(&self, output_w: f64) -> f64 {
        if output_w <= 0.0 { 0.0 } else { output_w + self.loss_w(output_w) }
    }

    pub(crate) fn output_w(&self, input_w: f64) -> f64 {
        let free = input_w - self.rated_w * self.standing;
        if free <= 0.0 {
            return 0.0;
        }
        if free.is_infinite() {
            return free;
        }
        let b = 1.0 + self.proportional;
        2.0 * free / (b + sqrt(b * b + 4.0 * self.square * free / self.rated_w))
    }
}
