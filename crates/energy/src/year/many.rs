//! Many random years of one system: how far one year lies from the next, and how sure the figures are.
//!
//! Years are shared out to threads, but each is computed by itself from its own number, so that the number of threads
//! changes nothing.

use super::outcome::Outcome;
use super::prepared::{Detail, Prepared};
use crate::random::{Purpose, Stream};
use crate::site::Climate;
use crate::weather::random;
use lineside_core::units::{Measure, Percent};
use std::num::NonZeroUsize;
use std::sync::Mutex;
use std::sync::atomic::{AtomicBool, AtomicU32, Ordering};

/// Whether the years also differ by what is not known about the model.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum ModelDoubt {
    /// They differ by weather alone.
    #[default]
    Left,
    /// The light on the cells of each year is multiplied by a factor of doubt.
    Included,
}

/// Which years to go through.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Run {
    /// How many.
    pub years: u32,
    /// Seed of their weather.
    pub seed: u64,
    /// Whether doubt about the model is included.
    pub doubt: ModelDoubt,
    /// How many threads share the work.
    pub threads: NonZeroUsize,
}

/// Hears how far the work has come.
pub trait Progress: Sync {
    /// So many years are done. The work stops when this is not [`Continue::Yes`].
    fn done(&self, years: u32) -> Continue;
}

/// Whether work goes on.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Continue {
    /// It does.
    Yes,
    /// It stops as soon as it can.
    No,
}

/// Nobody listens.
#[derive(Clone, Copy, Debug, Default)]
pub struct Unheard;

impl Progress for Unheard {
    fn done(&self, _: u32) -> Continue {
        Continue::Yes
    }
}

/// Many years, done.
#[derive(Clone, Debug, PartialEq)]
pub struct ManyYears {
    /// What was run.
    pub run: Run,
    /// Years 1, 2, 3 …
    pub years: Vec<Outcome>,
}

/// What is better.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Better {
    /// More of it: energy.
    More,
    /// Less of it: what goes unmet, fuel.
    Less,
}

/// How a figure is spread over years.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Spread<M> {
    /// The lowest.
    pub least: M,
    /// Half of the years lie below.
    pub p50: M,
    /// Met or bettered in nine years of ten.
    pub p90: M,
    /// The highest.
    pub most: M,
}

impl ManyYears {
    /// How a figure is spread. `None` without years.
    pub fn spread<M: Measure>(&self, better: Better, figure: impl Fn(&Outcome) -> M) -> Option<Spread<M>> {
        let mut values: Vec<f64> = self.years.iter().map(|year| figure(year).value()).collect();
        values.sort_by(f64::total_cmp);
        let part = match better {
            Better::More => 0.1,
            Better::Less => 0.9,
        };
        let at = |part| M::try_new(quantile(&values, part)?).ok();
        Some(Spread { least: at(0.0)?, p50: at(0.5)?, p90: at(part)?, most: at(1.0)? })
    }
}

/// Linear between order statistics at `1 + (N − 1) p`. `None` of nothing.
fn quantile(sorted: &[f64], part: f64) -> Option<f64> {
    let place = part * (sorted.len().checked_sub(1)? as f64);
    let whole = place.floor();
    #[expect(clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "a place in a list")]
    let index = whole as usize;
    let low = sorted.get(index)?;
    let high = sorted.get(index + 1).unwrap_or(low);
    Some(low + (high - low) * (place - whole))
}

/// P90 of an energy without going through years: `P50 (1 − 1.282 σ)`, `σ² = model² + year-to-year²/years averaged`.
pub fn quick_p90<M: Measure>(p50: M, model: Percent, year_to_year: Percent, years: u32) -> Option<M> {
    let (model, spread) = (model.share(), year_to_year.share());
    let sigma = lineside_core::math::sqrt(model * model + spread * spread / f64::from(years.max(1)));
    M::try_new(p50.value() * (1.0 - 1.282 * sigma)).ok()
}

impl Prepared<'_> {
    /// Goes through random years. `None` when the work was stopped.
    pub fn many_years(&self, climate: &Climate, run: &Run, progress: &impl Progress) -> Option<ManyYears> {
        let slots: Vec<Mutex<Option<Outcome>>> = (0..run.years).map(|_| Mutex::new(None)).collect();
        let (next, done) = (AtomicU32::new(0), AtomicU32::new(0));
        let stopped = AtomicBool::new(false);
        let work = || {
            while !stopped.load(Ordering::Relaxed) {
                let index = next.fetch_add(1, Ordering::Relaxed);
                let Some(slot) = slots.get(index as usize) else { break };
                let outcome = self.random_year(climate, run, index + 1);
                if let Ok(mut slot) = slot.lock() {
                    *slot = Some(outcome);
                }
                let so_far = done.fetch_add(1, Ordering::Relaxed) + 1;
                if progress.done(so_far) == Continue::No {
                    stopped.store(true, Ordering::Relaxed);
                }
            }
        };
        std::thread::scope(|scope| {
            for _ in 1..run.threads.get() {
                scope.spawn(work);
            }
            work();
        });
        let years = slots.into_iter().map(|slot| slot.into_inner().ok().flatten());
        Some(ManyYears { run: *run, years: years.collect::<Option<Vec<_>>>()? })
    }

    fn random_year(&self, climate: &Climate, run: &Run, number: u32) -> Outcome {
        let defaults = &self.tables.defaults;
        let weather = random(self.sky, climate, defaults, run.seed, number).weather;
        let factor = match run.doubt {
            ModelDoubt::Left => 1.0,
            ModelDoubt::Included => {
                let bound = defaults.doubt_bound.share();
                let drawn = Stream::new(run.seed, number, Purpose::ModelDoubt).normal(0);
                1.0 + (defaults.model_doubt().share() * drawn).clamp(-bound, bound)
            }
        };
        self.year_with(&weather, run.seed, number, Detail::Sums, factor).outcome
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use lineside_core::units::WattHours;

    #[test]
    fn quantiles() {
        let sorted = [1.0, 2.0, 3.0, 4.0, 10.0];
        assert_eq!(quantile(&sorted, 0.5), Some(3.0));
        // 1 + 4 × 0.9 = 4.6: six tenths of the way from the fourth to the fifth.
        assert!(quantile(&sorted, 0.9).is_some_and(|found| (found - 7.6).abs() < 1e-12));
        assert_eq!((quantile(&sorted, 1.0), quantile(&[], 0.5)), (Some(10.0), None));
    }

    #[test]
    fn the_quick_figure() {
        // σ² = 0.086² + 0.039²/10 = 0.0075481, σ = 0.08688: 1000 × (1 − 0.11138) = 888.62.
        let found = quick_p90(WattHours::new(1000.0), Percent::new(8.6), Percent::new(3.9), 10);
        assert!(found.is_some_and(|found| (found.value() - 888.62).abs() < 0.01));
        let doubt = crate::Tables::load().unwrap().defaults.model_doubt();
        assert!((doubt.value() - 8.6).abs() < 0.05);
    }
}
