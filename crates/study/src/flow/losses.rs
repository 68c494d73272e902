//! What a converter loses: by the efficiency curve of its nameplate, else by the loss law.

use lineside_codes::tables::LossLaw;
use lineside_core::kinds::field::CurvePoint;
use lineside_core::units::Watts;

/// How a converter's loss depends on its output.
#[derive(Clone, Debug, PartialEq)]
pub(super) struct Conversion {
    rated_watts: f64,
    how: How,
}

#[derive(Clone, Debug, PartialEq)]
enum How {
    /// Efficiencies at shares of the rated output; what is lost without output.
    Curve { points: Vec<CurvePoint>, standing_watts: f64 },
    /// The law of its kind.
    Law(LossLaw),
}

/// Efficiencies on a nameplate count as no lower than this.
const LEAST_EFFICIENCY: f64 = 0.01;

impl Conversion {
    /// By the points of a nameplate, in percent of the rated output and percent. Below the first point the loss goes
    /// straight down to what it is without output; a curve is measured with that included.
    pub(super) fn curve(points: &[CurvePoint], rated_watts: f64, standing_watts: f64) -> Self {
        let points = points.iter().filter(|point| point.x > 0.0);
        let points = points.map(|point| CurvePoint {
            x: point.x / 100.0,
            y: (point.y / 100.0).clamp(LEAST_EFFICIENCY, 1.0),
        });
        Self { rated_watts, how: How::Curve { points: points.collect(), standing_watts } }
    }
    /// At one efficiency at rated output; below it the loss goes straight down to what it is without output.
    pub(super) fn flat(efficiency: f64, rated_watts: f64, standing_watts: f64) -> Self {
        let point = CurvePoint { x: 1.0, y: efficiency.clamp(LEAST_EFFICIENCY, 1.0) };
        Self { rated_watts, how: How::Curve { points: vec![point], standing_watts } }
    }
    /// By a law.
    pub(super) fn law(law: LossLaw, rated_watts: f64) -> Self {
        Self { rated_watts, how: How::Law(law) }
    }

    /// The loss at an output.
    pub(super) fn loss(&self, output: f64) -> f64 {
        match &self.how {
            How::Law(law) => law.loss(Watts::new(self.rated_watts), Watts::new(output)).value(),
            How::Curve { points, standing_watts } => self.loss_by_curve(points, *standing_watts, output),
        }
    }

    fn loss_by_curve(&self, points: &[CurvePoint], standing: f64, output: f64) -> f64 {
        let Some(first) = points.first().filter(|_| self.rated_watts > 0.0) else { return standing };
        let lost = |share: f64, efficiency: f64| self.rated_watts * share * (1.0 / efficiency - 1.0);
        let share = output / self.rated_watts;
        if share < first.x {
            let there = lost(first.x, first.y).max(standing);
            return standing + (there - standing) * share / first.x;
        }
        let efficiency = lineside_core::kinds::curve::value_at(points, share).unwrap_or(1.0);
        lost(share, efficiency).max(standing)
    }

    /// What it takes for an output.
    pub(super) fn input(&self, output: f64) -> f64 {
        output + self.loss(output)
    }

    /// What it gives for an input; nothing when the input does not cover what it loses without output. False position
    /// with the weight of a stubborn end halved, so that it neither stalls nor leaves the bracket.
    pub(super) fn output(&self, input: f64) -> f64 {
        let (mut low, mut high) = (0.0, input);
        let (mut at_low, mut at_high) = (self.input(low) - input, self.input(high) - input);
        if at_low >= 0.0 {
            return 0.0;
        }
        for _ in 0..100 {
            let middle = (low * at_high - high * at_low) / (at_high - at_low);
            let found = self.input(middle) - input;
            if !middle.is_finite() || found.abs() <= 1e-15 * input || high - low <= 1e-16 * input {
                return if middle.is_finite() { middle } else { high };
            }
            if found < 0.0 {
                (low, at_low) = (middle, found);
                at_high *= 0.5;
            } else {
                (high, at_high) = (middle, found);
                at_low *= 0.5;
            }
        }
        low
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use lineside_codes::Codes;

    fn points(pairs: &[(f64, f64)]) -> Vec<CurvePoint> {
        pairs.iter().map(|&(x, y)| CurvePoint { x, y }).collect()
    }
    fn close(found: f64, expected: f64) {
        assert!((found - expected).abs() <= 1e-9 * expected.abs().max(1.0), "{found} instead of {expected}");
    }

    #[test]
    fn an_inverter_by_its_curve() {
        let curve = points(&[(5.0, 82.0), (10.0, 89.5), (25.0, 93.5), (50.0, 94.0), (100.0, 92.0)]);
        let inverter = Conversion::curve(&curve, 4000.0, 24.0);
        // 2000 W at 94 %: 127.659574 W; 3000 W at 93 %: 225.806452 W.
        close(inverter.loss(2000.0), 2000.0 / 0.94 - 2000.0);
        close(inverter.loss(3000.0), 3000.0 / 0.93 - 3000.0);
        // Nothing out: the idle draw. At 200 W 43.902439 W, at 100 W halfway between.
        close(inverter.loss(0.0), 24.0);
        close(inverter.loss(200.0), 43.902_439_024_390_24);
        close(inverter.loss(100.0), 33.951_219_512_195_12);
    }

    #[test]
    fn a_controller_without_curve_by_the_law() {
        let law = Codes::load().unwrap().common.equipment_models.tracking;
        let controller = Conversion::law(law, 4800.0);
        // 4800 × (0.002 + 0.010 × 0.5 + 0.012 × 0.25) = 48 W at 2400 W.
        close(controller.loss(2400.0), 48.0);
        close(controller.output(2448.0), 2400.0);
        close(controller.output(9.0), 0.0);
    }

    #[test]
    fn what_goes_in_comes_out_again() {
        let law = Codes::load().unwrap().common.equipment_models.tracking;
        let strange = points(&[(1.0, 3.0), (2.0, 90.0), (50.0, 40.0), (100.0, 100.0)]);
        for conversion in [
            Conversion::law(law, 5000.0),
            Conversion::flat(0.93, 5000.0, 0.0),
            Conversion::flat(0.85, 5000.0, 7.0),
            Conversion::curve(&points(&[(10.0, 97.0), (25.0, 98.0), (100.0, 97.7)]), 5000.0, 0.0),
            Conversion::curve(&strange, 5000.0, 10.0),
        ] {
            for step in 0..60 {
                let input = f64::from(step * step) * 2.0;
                let output = conversion.output(input);
                assert!((0.0..=input).contains(&output), "{output} of {input}");
                if output > 0.0 {
                    assert!(
                        (conversion.input(output) - input).abs() < 1e-9 * input.max(1.0),
                        "{conversion:?}"
                    );
                }
            }
        }
    }
}
