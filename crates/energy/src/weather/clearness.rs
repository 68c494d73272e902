//! How the clearness of the days of a month is spread [Bendt, Collares-Pereira & Rabl 1981; range after Herzog, in
//! Duffie & Beckman].

use lineside_core::math::{exp, ln, pow};

/// The spread of daily clearness around its monthly mean.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Clearness {
    /// Every day is alike.
    Even(f64),
    /// Density in proportion to `e^(γK)` between two bounds.
    Spread {
        /// Clearness of the dullest day.
        lowest: f64,
        /// Clearness of the clearest day.
        highest: f64,
        /// `γ × (highest − lowest)`.
        x: f64,
    },
}

/// Clearness of the dullest day.
const LOWEST: f64 = 0.05;
/// Means at or below this have no room for a spread.
const DULLEST_MEAN: f64 = 0.07;
/// The clearest day must be clearer than the mean by this.
const ROOM_ABOVE: f64 = 0.02;

impl Clearness {
    /// The spread around a mean.
    pub fn around(mean: f64) -> Self {
        let highest = 0.6313 + 0.267 * mean - 11.9 * pow(mean - 0.75, 8.0);
        if mean <= DULLEST_MEAN || highest <= mean + ROOM_ABOVE {
            return Self::Even(mean);
        }
        Self::Spread { lowest: LOWEST, highest, x: exponent((mean - LOWEST) / (highest - LOWEST)) }
    }

    /// The clearness that a share `u` of the days stays below.
    pub fn quantile(&self, u: f64) -> f64 {
        match *self {
            Self::Even(mean) => mean,
            Self::Spread { lowest, highest, x } if x.abs() < SMALL => lowest + (highest - lowest) * u,
            Self::Spread { lowest, highest, x } => {
                lowest + (highest - lowest) * ln(1.0 + u * (exp(x) - 1.0)) / x
            }
        }
    }
}

/// Below this the exponential is a straight line.
const SMALL: f64 = 1e-6;

/// The x whose mean is `share` of the way between the bounds: `1/(1 − e^(−x)) − 1/x`.
fn exponent(share: f64) -> f64 {
    let mean = |x: f64| {
        if x.abs() < SMALL { 0.5 + x / 12.0 } else { 1.0 / (1.0 - exp(-x)) - 1.0 / x }
    };
    let (mut low, mut high) = (-200.0, 200.0);
    for _ in 0..200 {
        let middle = 0.5 * (low + high);
        if middle <= low || middle >= high {
            break;
        }
        if mean(middle) < share {
            low = middle;
        } else {
            high = middle;
        }
    }
    0.5 * (low + high)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_mean_is_kept() {
        for mean in [0.1, 0.3, 0.5, 0.65, 0.75] {
            let spread = Clearness::around(mean);
            let found = (0..10_000).map(|i| spread.quantile((f64::from(i) + 0.5) / 1e4)).sum::<f64>() / 1e4;
            assert!((found - mean).abs() < 1e-4, "{mean}: {found}");
        }
    }

    #[test]
    fn extremes_are_even() {
        assert_eq!(Clearness::around(0.05), Clearness::Even(0.05));
        // At 0.85: 0.6313 + 0.22695 − 11.9 × 0.1⁸ = 0.85825, no 0.02 above the mean.
        assert_eq!(Clearness::around(0.85), Clearness::Even(0.85));
        // At 0.3414 … the mean lies in the middle and the spread is nearly straight.
        let straight = Clearness::Spread { lowest: 0.1, highest: 0.5, x: 0.0 };
        assert!((straight.quantile(0.25) - 0.2).abs() < 1e-12);
    }
}
