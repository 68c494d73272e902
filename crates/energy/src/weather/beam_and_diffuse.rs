//! Beam and diffuse from sun on the level [Erbs, Klein & Duffie, Solar Energy 28, 293 (1982)].

use crate::sun::SunAt;

/// Cosine of 87°: below that the beam is not told from the sky.
const LOW_SUN: f64 = 0.052_335_956_242_943_83;

/// Diffuse share of the sun on the level, for an hourly clearness.
pub fn diffuse_share(clearness: f64) -> f64 {
    let k = clearness;
    if k <= 0.22 {
        1.0 - 0.09 * k
    } else if k <= 0.80 {
        0.9511 + k * (-0.1604 + k * (4.388 + k * (-16.638 + k * 12.336)))
    } else {
        0.165
    }
}

/// Beam across the rays and diffuse on the level, W/m².
pub(crate) fn split(sun: &SunAt, horizontal: f64) -> (f64, f64) {
    if sun.cos_zenith < LOW_SUN {
        return (0.0, horizontal);
    }
    let diffuse = horizontal * diffuse_share(horizontal / sun.above_air);
    ((horizontal - diffuse) / sun.cos_zenith, diffuse)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_pieces_meet() {
        // The published fit leaves steps of less than 0.001 at 0.22 and 0.001 at 0.80.
        assert!((diffuse_share(0.22) - diffuse_share(0.220_001)).abs() < 1e-3);
        assert!((diffuse_share(0.80) - diffuse_share(0.800_001)).abs() < 2e-3);
        // At 0.5: 0.9511 − 0.0802 + 1.097 − 2.07975 + 0.771 = 0.65915.
        assert!((diffuse_share(0.5) - 0.659_15).abs() < 1e-9);
        assert!((LOW_SUN - lineside_core::math::cos(87_f64.to_radians())).abs() < 1e-15);
    }
}
