//! Duration curves: for how much of a year a figure is at least so great.

use lineside_core::units::{Hours, Measure};
use std::marker::PhantomData;

/// The values of a figure, the greatest first.
#[derive(Clone, Debug, PartialEq)]
pub struct DurationCurve<M> {
    falling: Vec<f64>,
    kind: PhantomData<M>,
}

impl<M: Measure> DurationCurve<M> {
    /// Of one value for each hour, in any order.
    pub fn of(values: impl IntoIterator<Item = M>) -> Self {
        let mut falling: Vec<f64> = values.into_iter().map(Measure::value).collect();
        falling.sort_by(|a, b| b.total_cmp(a));
        Self { falling, kind: PhantomData }
    }

    /// The value in the hour of that place, counted from nought from the greatest. `None` beyond the last.
    pub fn at(&self, place: usize) -> Option<M> {
        self.falling.get(place).and_then(|value| M::try_new(*value).ok())
    }

    /// For how long the figure is greater than a bound.
    pub fn above(&self, bound: M) -> Hours {
        Hours::new(self.falling.partition_point(|value| *value > bound.value()) as f64)
    }

    /// For how long the figure is less than a bound.
    pub fn below(&self, bound: M) -> Hours {
        let reached = self.falling.partition_point(|value| *value >= bound.value());
        Hours::new(self.falling.len().saturating_sub(reached) as f64)
    }

    /// How many hours there are.
    pub const fn len(&self) -> usize {
        self.falling.len()
    }

    /// Whether there are none.
    pub const fn is_empty(&self) -> bool {
        self.falling.is_empty()
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use lineside_core::units::Percent;

    #[test]
    fn hours_are_counted_from_the_greatest() {
        let curve = DurationCurve::of([40.0, 100.0, 20.0, 100.0, 60.0].map(Percent::new));
        // 100, 100, 60, 40, 20
        assert_eq!(
            (curve.at(0), curve.at(2), curve.at(4)),
            (Some(Percent::new(100.0)), Some(Percent::new(60.0)), Some(Percent::new(20.0)))
        );
        assert_eq!((curve.at(5), curve.len(), curve.is_empty()), (None, 5, false));
        // Above 60: the two of 100. Below 60: 40 and 20. The hour of just 60 is neither.
        assert_eq!(
            (curve.above(Percent::new(60.0)), curve.below(Percent::new(60.0))),
            (Hours::new(2.0), Hours::new(2.0))
        );
        assert_eq!(
            (curve.above(Percent::new(100.0)), curve.below(Percent::new(5.0))),
            (Hours::ZERO, Hours::ZERO)
        );
        assert!(DurationCurve::<Percent>::of([]).is_empty());
    }
}
