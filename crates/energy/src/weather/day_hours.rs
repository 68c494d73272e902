//! The hours of a day whose clearness is known [Aguiar & Collares-Pereira, Solar Energy 49, 167 (1992)], under the cap of
//! a clear sky.

use crate::random::Stream;
use crate::sun::SunAt;
use lineside_core::math::{cos, exp, sqrt};

/// Hours may lie this far above a clear sky: clouds beside the sun add to it.
const ABOVE_CLEAR: f64 = 1.05;
/// The cap never lies below this clearness.
const LEAST_CAP: f64 = 0.10;
/// No hour is duller than this clearness.
const DULLEST_HOUR: f64 = 0.01;

/// What the day's clearness makes of its hours.
struct Shape {
    level: f64,
    rise: f64,
    slope: f64,
    spread: f64,
    spread_slope: f64,
    memory: f64,
}

impl Shape {
    fn of(k: f64) -> Self {
        let k2 = k * k;
        Self {
            level: -0.19 + 1.12 * k + 0.24 * exp(-8.0 * k),
            rise: 0.32 - 1.6 * (k - 0.5) * (k - 0.5),
            slope: 0.19 + 2.27 * k2 - 2.51 * k2 * k,
            spread: 0.14 * exp(-20.0 * (k - 0.35) * (k - 0.35)),
            spread_slope: 3.0 * (k - 0.45) * (k - 0.45) + 16.0 * k2 * k2 * k,
            memory: 0.38 + 0.06 * cos(7.4 * k - 2.5),
        }
    }
}

/// Fills the hours of one day, W/m², so that they sum to `clearness` times what comes down above the air.
/// `first_hour` numbers the normal deviates, one for each hour of the year.
pub(super) fn fill(suns: &[SunAt], clearness: f64, stream: Stream, first_hour: u64, out: &mut [f64]) {
    let shape = Shape::of(clearness);
    let fresh = sqrt(1.0 - shape.memory * shape.memory);
    let mut deviate: Option<f64> = None;
    let mut caps = [0.0; 24];
    let mut above_air_of_day = 0.0;
    for (((sun, value), cap), hour) in suns.iter().zip(out.iter_mut()).zip(&mut caps).zip(first_hour..) {
        *value = 0.0;
        if sun.above_air <= 0.0 {
            continue;
        }
        above_air_of_day += sun.above_air;
        let normal = stream.normal(hour);
        let y = deviate.map_or(normal, |before| shape.memory * before + fresh * normal);
        deviate = Some(y);
        let sine = sun.cos_zenith;
        let expected = shape.level + shape.rise * exp(-shape.slope / sine);
        let spread = shape.spread * exp(shape.spread_slope * (1.0 - sine));
        let highest = (ABOVE_CLEAR * sun.clear / sun.above_air).max(LEAST_CAP);
        let k = (expected + spread * y).max(DULLEST_HOUR).min(highest);
        *value = k * sun.above_air;
        *cap = highest * sun.above_air;
    }
    share_out(out, &caps, clearness * above_air_of_day);
}

/// Scales the hours until they sum to `total`, none above its cap unless all of them must be.
fn share_out(hours: &mut [f64], caps: &[f64; 24], total: f64) {
    let all_caps: f64 = caps.iter().sum();
    if all_caps <= total {
        let factor = if all_caps > 0.0 { total / all_caps } else { 0.0 };
        for (hour, cap) in hours.iter_mut().zip(caps) {
            *hour = cap * factor;
        }
        return;
    }
    let mut capped = [false; 24];
    let mut factor = 1.0;
    for _ in 0..24 {
        let (mut free_sum, mut capped_sum) = (0.0, 0.0);
        for ((hour, cap), is_capped) in hours.iter().zip(caps).zip(&capped) {
            if *is_capped {
                capped_sum += cap;
            } else {
                free_sum += hour;
            }
        }
        if free_sum <= 0.0 {
            break;
        }
        factor = (total - capped_sum) / free_sum;
        let mut changed = false;
        for ((hour, cap), is_capped) in hours.iter().zip(caps).zip(&mut capped) {
            if !*is_capped && factor * hour > *cap {
                *is_capped = true;
                changed = true;
            }
        }
        if !changed {
            break;
        }
    }
    for ((hour, cap), is_capped) in hours.iter_mut().zip(caps).zip(&capped) {
        *hour = if *is_capped { *cap } else { *hour * factor };
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn capped_hours_keep_the_total() {
        let mut caps = [0.0; 24];
        let mut hours = [0.0; 24];
        caps[..4].copy_from_slice(&[100.0, 300.0, 300.0, 100.0]);
        hours[..4].copy_from_slice(&[80.0, 100.0, 100.0, 20.0]);
        // 600 over 300 would double each: 160 is capped at 100, and 500 are left for 220: 227.27, 227.27, 45.45.
        share_out(&mut hours, &caps, 600.0);
        let expected = [100.0, 500.0 / 2.2, 500.0 / 2.2, 100.0 / 2.2];
        assert!(
            hours.iter().zip(expected).all(|(hour, expected)| (hour - expected).abs() < 1e-9),
            "{hours:?}"
        );
        // More than all the caps hold: they are filled and scaled.
        share_out(&mut hours, &caps, 1600.0);
        assert!((hours[1] - 600.0).abs() < 1e-9 && (hours[3] - 200.0).abs() < 1e-9);
    }
}
