//! Random numbers that are the same on every machine: SplitMix64 [Steele, Lea & Flood, OOPSLA 2014].
//!
//! A stream is named by seed, year and purpose. Its draws are numbered, so that the drawing of one never shifts
//! another, and what is not needed need not be drawn.

use lineside_core::math::{cos, ln, sqrt};

/// An exact power of two.
const TWO_TO_MINUS_53: f64 = 1.0 / 9_007_199_254_740_992.0;
const STEP: u64 = 0x9E37_79B9_7F4A_7C15;

/// What a stream is for. The numbers are part of the meaning of a seed.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum Purpose {
    DailyClearness = 1,
    Hours = 2,
    Temperature = 3,
    YearFactor = 4,
    Outages = 5,
    /// Doubt about the model itself, one draw a year.
    ModelDoubt = 6,
}

/// A stream of random numbers.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Stream {
    start: u64,
}

const fn mix(x: u64) -> u64 {
    let z = x.wrapping_add(STEP);
    let z = (z ^ (z >> 30)).wrapping_mul(0xBF58_476D_1CE4_E5B9);
    let z = (z ^ (z >> 27)).wrapping_mul(0x94D0_49BB_1331_11EB);
    z ^ (z >> 31)
}

impl Stream {
    /// The stream of a purpose in one year under a seed.
    pub(crate) const fn new(seed: u64, year: u32, purpose: Purpose) -> Self {
        Self { start: mix(mix(mix(seed) ^ year as u64) ^ purpose as u64) }
    }

    /// The n-th number, over all of 64 bits.
    const fn bits(self, n: u64) -> u64 {
        mix(self.start.wrapping_add(n.wrapping_mul(STEP)))
    }

    /// The n-th number, evenly between 0 and 1 and never either.
    pub(crate) fn uniform(self, n: u64) -> f64 {
        ((self.bits(n) >> 11) as f64 + 0.5) * TWO_TO_MINUS_53
    }

    /// The n-th number of a normal distribution with mean 0 and deviation 1; each takes two uniform ones.
    pub(crate) fn normal(self, n: u64) -> f64 {
        let (radius, angle) = (self.uniform(2 * n), self.uniform(2 * n + 1));
        sqrt(-2.0 * ln(radius)) * cos(std::f64::consts::TAU * angle)
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::example_file::{close, component, list, number};

    #[test]
    fn reference_numbers() {
        let rng = component("rng");
        for (n, expected) in (0..).zip(list(&rng["splitmix64_seed0_first3"])) {
            assert_eq!(format!("{:016x}", Stream { start: 0 }.bits(n)), expected.as_str().unwrap());
        }
        let normals = Stream::new(11, 0, Purpose::DailyClearness);
        for (n, expected) in (0..).zip(list(&rng["stream_11_0_1_first3_normals"])) {
            close("normal", normals.normal(n), number(expected));
        }
        let uniforms = Stream::new(22, 5, Purpose::Hours);
        for (n, expected) in (0..).zip(list(&rng["stream_22_5_2_first3_uniforms"])) {
            close("uniform", uniforms.uniform(n), number(expected));
        }
    }

    #[test]
    fn streams_differ_and_stay_within_bounds() {
        let a = Stream::new(7, 0, Purpose::Hours);
        let b = Stream::new(7, 1, Purpose::Hours);
        let c = Stream::new(7, 0, Purpose::Outages);
        assert!(a.bits(0) != b.bits(0) && a.bits(0) != c.bits(0) && b.bits(0) != c.bits(0));
        assert!((0..10_000).map(|n| a.uniform(n)).all(|u| u > 0.0 && u < 1.0));
        // The mean of 10 000 normal numbers strays by 0.01, their mean square by 0.014; three times that is rare.
        let normals: Vec<f64> = (0..10_000).map(|n| a.normal(n)).collect();
        let mean = normals.iter().sum::<f64>() / 1e4;
        let square = normals.iter().map(|z| z * z).sum::<f64>() / 1e4;
        assert!(mean.abs() < 0.03 && (square - 1.0).abs() < 0.042, "{mean} {square}");
    }
}
