//! Loss laws fitted to the efficiencies on a nameplate.

use lineside_codes::tables::LossLaw;
use lineside_core::kinds::field::CurvePoint;
use lineside_core::units::{Percent, Watts};

/// The law of a converter whose loss with no output is known: through two points of its curve, else through its efficiency
/// at rated output, else the usual one. Points give load and efficiency in percent of `continuous`; the law is for `rated`.
pub(super) fn law(
    usual: LossLaw,
    rated: Watts,
    continuous: Watts,
    standing: Watts,
    at_rated: Option<Percent>,
    curve: &[CurvePoint],
) -> LossLaw {
    let standing = standing / rated;
    let point = |load: f64, efficiency: f64| {
        let output = load / 100.0 * (continuous / rated);
        (load > LEAST_LOAD && efficiency > 0.0 && efficiency < 100.0)
            .then(|| (output, output * (100.0 / efficiency - 1.0) - standing))
    };
    let points: Vec<(f64, f64)> = curve.iter().filter_map(|it| point(it.x, it.y)).collect();
    let last = points.last().copied().or_else(|| point(100.0, at_rated?.value()));
    let Some((x, loss)) = last else {
        let [_, proportional, square] = usual.shares();
        return LossLaw::of_shares([standing, proportional, square]);
    };
    let middle = points.iter().copied().find(|(output, _)| *output >= x / 3.0 && *output < x);
    let fitted = middle.and_then(|(x1, loss1)| through(x1, loss1, x, loss));
    let [proportional, square] = fitted.unwrap_or_else(|| {
        let [_, usual, _] = usual.shares();
        let proportional = usual.min((loss / x).max(0.0));
        [proportional, ((loss - proportional * x) / (x * x)).max(0.0)]
    });
    LossLaw::of_shares([standing, proportional, square])
}

/// Points at lower loads tell of the standing loss, not of the law.
const LEAST_LOAD: f64 = 5.0;

/// `c₁x + c₂x²` through two points; `None` when one of them would be negative.
fn through(x1: f64, loss1: f64, x2: f64, loss2: f64) -> Option<[f64; 2]> {
    let square = (loss2 / x2 - loss1 / x1) / (x2 - x1);
    let proportional = loss1 / x1 - square * x1;
    (square >= 0.0 && proportional >= 0.0).then_some([proportional, square])
}

/// The law with the loss of a resistance in series added, its rating over the voltage being the current.
pub(super) fn with_series_share(law: LossLaw, share: f64) -> LossLaw {
    let [standing, proportional, square] = law.shares();
    LossLaw::of_shares([standing, proportional, square + share.max(0.0)])
}

#[cfg(test)]
mod tests {
    use super::*;

    const USUAL: LossLaw = LossLaw::of_shares([0.006, 0.015, 0.05]);

    fn efficiency(law: LossLaw, rated: f64, output: f64) -> f64 {
        output / (output + law.loss(Watts::new(rated), Watts::new(output)).value()) * 100.0
    }

    #[test]
    fn a_curve_is_met_at_two_loads() {
        let curve = [(10.0, 90.0), (50.0, 95.0), (100.0, 93.0)].map(|(x, y)| CurvePoint { x, y });
        let (rated, continuous) = (Watts::new(5000.0), Watts::new(4000.0));
        let law = law(USUAL, rated, continuous, Watts::new(25.0), None, &curve);
        assert!((efficiency(law, 5000.0, 2000.0) - 95.0).abs() < 1e-9);
        assert!((efficiency(law, 5000.0, 4000.0) - 93.0).abs() < 1e-9);
    }

    #[test]
    fn a_single_figure_is_met_at_rated_output() {
        let rated = Watts::new(4000.0);
        let found = law(USUAL, rated, rated, Watts::new(25.0), Some(Percent::new(92.0)), &[]);
        assert!((efficiency(found, 4000.0, 4000.0) - 92.0).abs() < 1e-9);
        let [standing, proportional, square] = law(USUAL, rated, rated, Watts::new(24.0), None, &[]).shares();
        assert!(
            (standing - 0.006).abs() < 1e-12
                && (proportional - 0.015).abs() < 1e-12
                && (square - 0.05).abs() < 1e-12
        );
        // 0.0004 × 4000² / 50² = 2.56: 1 mΩ at 4000 W and 50 V loses 6.4 W, 0.0016 of the rating.
        let [.., with] = with_series_share(USUAL, 0.0016).shares();
        assert!((with - 0.0516).abs() < 1e-12);
    }
}
