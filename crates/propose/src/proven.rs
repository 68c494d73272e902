//! Candidates in random years: how far what goes unmet, and how long the generator runs, lie from year to year.

use crate::proposals::{Candidate, Threads};
use crate::shared::share;
use crate::sketch::sketch;
use crate::terms::Terms;
use crate::watch::Watch;
use lineside_core::units::{Hours, Percent};
use lineside_energy::weather::{Weather, random};
use lineside_energy::{Better, ManyYears, ModelDoubt, Run, Spread};
use lineside_energy::{Detail, Outcome, Prepared, Wishes, from_project};

/// Random years of each candidate, unless somebody wants others.
pub const RANDOM_YEARS: u32 = 20;
/// Candidates that go through random years, the cheapest first.
pub const PROVEN: usize = 12;

/// A candidate over random years of weather.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Doubt {
    /// How many years.
    pub years: u32,
    /// Share of the energy that goes unmet.
    pub unmet: Spread<Percent>,
    /// Hours of the generator.
    pub generator: Spread<Hours>,
}

/// Takes the cheapest candidates through the same random years. `None` when the watcher cancels.
pub(crate) fn prove(
    terms: &Terms<'_>,
    candidates: &mut [Candidate],
    years: u32,
    threads: Threads,
    watch: &dyn Watch,
) -> Option<()> {
    if candidates.is_empty() || years == 0 {
        return Some(());
    }
    let numbers: Vec<u32> = (1..=years).collect();
    let weathers = share(&numbers, threads, watch, |number| {
        random(&terms.sky, &terms.climate, &terms.tables.defaults, terms.seed, *number).weather
    })?;
    let proven: Vec<&Candidate> = candidates.iter().take(PROVEN).collect();
    let doubts = share(&proven, threads, watch, |candidate| terms.doubt_of(candidate, &weathers))?;
    for (candidate, doubt) in candidates.iter_mut().zip(doubts) {
        candidate.doubt = doubt;
    }
    Some(())
}

impl Terms<'_> {
    fn doubt_of(&self, candidate: &Candidate, weathers: &[Weather]) -> Option<Doubt> {
        let project = sketch(self, &candidate.combination)?;
        let on = lineside_study::Conditions::new(&project, self.on.codes).under(self.on.rule_set);
        let studies = lineside_study::all(&on);
        let system = from_project(&on, &studies, self.tables, &Wishes::default()).system?;
        let prepared = Prepared::new(&self.sky, &system, self.tables).ok()?;
        let years: Vec<Outcome> = (1..)
            .zip(weathers)
            .map(|(number, weather)| prepared.year(weather, self.seed, number, Detail::Sums).outcome)
            .collect();
        let count = u32::try_from(years.len()).ok()?;
        let run = Run { years: count, seed: self.seed, doubt: ModelDoubt::Left, threads: Threads::MIN };
        let many = ManyYears { run, years };
        Some(Doubt {
            years: count,
            unmet: many.spread(Better::Less, |year| year.unmet_share)?,
            generator: many.spread(Better::Less, |year| year.year.generator_hours)?,
        })
    }
}
