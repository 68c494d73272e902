//! Gaps in an hourly series: short ones are filled by straight lines and told, longer ones are faults.

use std::ops::Range;

/// The longest gap that is filled, in hours.
pub(super) const LONGEST: usize = 3;

/// Fills the gaps that are short enough. Gives the hours that were filled and the gaps that are too long.
pub(super) fn fill(series: &mut [Option<f64>]) -> (usize, Vec<Range<usize>>) {
    let mut filled = 0;
    let mut too_long = Vec::new();
    let mut hour = 0;
    while hour < series.len() {
        if value(series, hour).is_some() {
            hour += 1;
            continue;
        }
        let end = (hour..series.len()).find(|at| value(series, *at).is_some()).unwrap_or(series.len());
        let before = hour.checked_sub(1).and_then(|at| value(series, at));
        let after = value(series, end);
        match (before.or(after), after.or(before)) {
            (Some(before), Some(after)) if end - hour <= LONGEST => {
                for at in hour..end {
                    let part = (at + 1 - hour) as f64 / (end + 1 - hour) as f64;
                    if let Some(slot) = series.get_mut(at) {
                        *slot = Some(before + (after - before) * part);
                    }
                    filled += 1;
                }
            }
            _ => too_long.push(hour..end),
        }
        hour = end;
    }
    (filled, too_long)
}

fn value(series: &[Option<f64>], hour: usize) -> Option<f64> {
    series.get(hour).copied().flatten()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn short_gaps_are_straight_lines() {
        let mut series = [None, Some(2.0), None, None, None, Some(6.0), None];
        assert_eq!(fill(&mut series), (5, Vec::new()));
        assert_eq!(series, [2.0, 2.0, 3.0, 4.0, 5.0, 6.0, 6.0].map(Some));
    }

    #[test]
    fn long_gaps_are_told() {
        let mut series = [Some(1.0), None, None, None, None, Some(1.0)];
        let (filled, too_long) = fill(&mut series);
        assert_eq!((filled, too_long.len(), too_long.first()), (0, 1, Some(&(1..5))));
        assert_eq!(fill(&mut [None, None]).1.first(), Some(&(0..2)));
    }
}
