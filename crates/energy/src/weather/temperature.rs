//! Air temperature from monthly means and daily ranges [Erbs, Klein & Beckman, ASHRAE J., June 1983].

use crate::calendar::{ByMonth, DAYS, months};
use crate::random::Stream;
use lineside_core::math::{cos, sqrt};

/// Standard deviation and memory of the daily departure from the mean, in random years.
const DEPARTURE: f64 = 2.5;
const MEMORY: f64 = 0.7;

/// Daily range that goes with a mean clearness, kelvins.
pub(super) fn range_of(clearness: f64, least: f64) -> f64 {
    (25.8 * clearness - 5.21).max(least)
}

/// The course of the day at its 24 mid-hours, from its mean, in parts of the range.
pub(super) fn course() -> [f64; 24] {
    std::array::from_fn(|hour| {
        let tau = std::f64::consts::TAU * (hour as f64 + 0.5 - 1.0) / 24.0;
        0.4632 * cos(tau - 3.805)
            + 0.0984 * cos(2.0 * tau - 0.360)
            + 0.0168 * cos(3.0 * tau - 0.822)
            + 0.0138 * cos(4.0 * tau - 3.513)
    })
}

/// Mean of each day: straight between the middles of the months, shifted so that each month's mean is exact.
pub(super) fn daily_means(of_month: &ByMonth<f64>) -> Vec<f64> {
    let middles: Vec<f64> = months().map(|(_, first, days)| first as f64 + days as f64 / 2.0).collect();
    let values = of_month.0;
    let year = DAYS as f64;
    // December of the year before and January of the year after stand around the twelve.
    let around = |shift: f64, at: Option<(&f64, &f64)>| at.map(|(x, y)| (x + shift, *y));
    let before = around(-year, middles.last().zip(values.last()));
    let after = around(year, middles.first().zip(values.first()));
    let within = middles.iter().copied().zip(values);
    let points: Vec<(f64, f64)> = before.into_iter().chain(within).chain(after).collect();
    let at = |x: f64| {
        let line = points.windows(2).find_map(|pair| match pair {
            [(x0, y0), (x1, y1)] if x <= *x1 => Some(y0 + (y1 - y0) * (x - x0) / (x1 - x0)),
            _ => None,
        });
        line.unwrap_or_default()
    };
    let mut means: Vec<f64> = (0..DAYS).map(|day| at(day as f64 + 0.5)).collect();
    for ((_, first, days), wanted) in months().zip(values) {
        let Some(month) = means.get_mut(first..first + days) else { continue };
        let shift = wanted - month.iter().sum::<f64>() / days as f64;
        for mean in month {
            *mean += shift;
        }
    }
    means
}

/// Adds a departure to each day that dies away slowly.
pub(super) fn depart(means: &mut [f64], stream: Stream) {
    let fresh = sqrt(1.0 - MEMORY * MEMORY) * DEPARTURE;
    let mut departure = DEPARTURE * stream.normal(0);
    for (mean, n) in means.iter_mut().zip(1..) {
        departure = MEMORY * departure + fresh * stream.normal(n);
        *mean += departure;
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_course_has_no_mean_and_nearly_the_range() {
        let course = course();
        assert!(course.iter().sum::<f64>().abs() < 1e-12);
        let highest = course.iter().copied().fold(f64::MIN, f64::max);
        let lowest = course.iter().copied().fold(f64::MAX, f64::min);
        assert!((highest - lowest - 0.98).abs() < 0.02);
    }

    #[test]
    fn monthly_means_are_exact() {
        let wanted = ByMonth([-6.0, -3.5, 1.5, 6.0, 10.8, 15.0, 19.5, 18.8, 13.5, 6.5, -0.5, -5.5]);
        let means = daily_means(&wanted);
        for ((_, first, days), wanted) in months().zip(wanted.0) {
            let found = means[first..first + days].iter().sum::<f64>() / days as f64;
            assert!((found - wanted).abs() < 1e-12);
        }
    }
}
