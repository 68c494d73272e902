//! Proposals: what the search kept, gone through for a year, and the ones that nothing beats and that can be drawn.

use crate::combination::Combination;
use crate::front::pareto;
use crate::near::{NearMiss, near};
use crate::proven::{Doubt, prove};
use crate::search::{Found, Grade, SearchBounds};
use crate::shared::share;
use crate::terms::Terms;
use crate::watch::{News, Watch};
use crate::whole::{Why, circuit};
use lineside_core::kinds::battery_bank::Chemistry;
use lineside_core::units::{Hours, Percent, WattHours, Watts};
use lineside_energy::Outcome;
use rust_decimal::Decimal;
use std::num::NonZeroUsize;
use std::sync::atomic::{AtomicUsize, Ordering};

/// Why a candidate stands among the proposals.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Merit {
    /// Nothing is cheaper now.
    CheapestNow,
    /// Nothing is cheaper over its life.
    CheapestOverLife,
    /// Nothing leaves less unmet.
    LeastUnmet,
    /// No generator runs less.
    LeastGenerator,
    /// The cheapest now of its chemistry.
    CheapestOfChemistry,
    /// Whatever is better than it in one thing is worse in another.
    NothingBeatsIt,
}

impl Merit {
    /// As people read it.
    pub const fn text(self) -> &'static str {
        match self {
            Self::CheapestNow => "cheapest now",
            Self::CheapestOverLife => "cheapest over its life",
            Self::LeastUnmet => "least unmet",
            Self::LeastGenerator => "least generator",
            Self::CheapestOfChemistry => "cheapest of its chemistry",
            Self::NothingBeatsIt => "nothing beats it in everything",
        }
    }
}

/// A combination, gone through for the typical year.
#[derive(Clone, Debug, PartialEq)]
pub struct Candidate {
    /// What it is made of.
    pub combination: Combination,
    /// How far it passes the need.
    pub grade: Grade,
    /// Its chemistry.
    pub chemistry: Chemistry,
    /// Power of its array.
    pub array: Watts,
    /// Energy of its bank at the nominal voltage.
    pub bank: WattHours,
    /// What its equipment costs.
    pub cost: Decimal,
    /// Net present cost over its life; `None` when that cannot be reckoned.
    pub life_cost: Option<Decimal>,
    /// Levelized cost of a kilowatt-hour.
    pub per_kilowatt_hour: Option<Decimal>,
    /// The typical year.
    pub outcome: Outcome,
    /// Random years; only the cheapest candidates of the proposals go through them.
    pub doubt: Option<Doubt>,
    /// Why it is among the proposals; empty for one that another beats.
    pub merits: Vec<Merit>,
}

impl Candidate {
    /// Share of the energy that goes unmet.
    pub const fn unmet(&self) -> Percent {
        self.outcome.unmet_share
    }
    /// Hours of the generator in the year.
    pub const fn generator_hours(&self) -> Hours {
        self.outcome.year.generator_hours
    }
    /// Energy served in the year.
    pub fn served(&self) -> WattHours {
        self.outcome.year.served()
    }
}

/// What the search and the years found.
#[derive(Clone, Debug, PartialEq)]
pub struct Proposals {
    /// The candidates that nothing beats and that keep what the brief allows, cheapest first.
    pub candidates: Vec<Candidate>,
    /// How many were gone through for a year.
    pub years: usize,
    /// Of these, how many leave more unmet or run the generator longer than the brief allows.
    pub short: usize,
    /// The one of those that leaves least unmet, when no other is left.
    pub nearest: Option<Candidate>,
    /// Single changes of the brief that let something pass, when nothing does.
    pub near: Vec<NearMiss>,
    /// Candidates that would be among them but cannot be drawn whole, with the reason.
    pub undrawn: Vec<Undrawn>,
    /// The search.
    pub found: Found,
}

/// How many threads share the years.
pub type Threads = NonZeroUsize;

/// A candidate that cannot be drawn whole, and why.
#[derive(Clone, Debug, PartialEq)]
pub struct Undrawn {
    /// Which.
    pub combination: Combination,
    /// Why.
    pub why: Why,
}

/// Searches, goes through the years, keeps what nothing beats, and proves of each that its whole circuit can be drawn
/// without a danger or a correction. `None` when the watcher cancels.
pub fn propose(
    terms: &Terms<'_>,
    bounds: &SearchBounds,
    threads: Threads,
    watch: &dyn Watch,
) -> Option<Proposals> {
    let found = terms.search_watched(bounds, watch)?;
    let done = AtomicUsize::new(0);
    let years = share(&found.kept, threads, watch, |kept| {
        let candidate = terms.year_of(kept);
        let done = done.fetch_add(1, Ordering::Relaxed) + 1;
        if let Some(candidate) = &candidate {
            watch.told(News::Year { candidate, done, of: found.kept.len() });
        }
        candidate
    })?;
    let all: Vec<Candidate> = years.into_iter().flatten().collect();
    proposals(terms, bounds, all, found, threads, watch)
}

fn proposals(
    terms: &Terms<'_>,
    bounds: &SearchBounds,
    mut all: Vec<Candidate>,
    found: Found,
    threads: Threads,
    watch: &dyn Watch,
) -> Option<Proposals> {
    let years = all.len();
    all.sort_by_key(|it| (it.cost, it.combination));
    let (mut kept, short): (Vec<Candidate>, Vec<Candidate>) = all.into_iter().partition(|it| terms.keeps(it));
    let nearest = if kept.is_empty() {
        short.iter().min_by(|a, b| a.unmet().total_cmp(&b.unmet())).cloned()
    } else {
        None
    };
    let mut undrawn = Vec::new();
    let mut drawn: Vec<Combination> = Vec::new();
    let mut candidates = loop {
        let front = pareto(&kept);
        let open: Vec<&Candidate> = front.iter().filter(|it| !drawn.contains(&it.combination)).collect();
        if open.is_empty() {
            break front;
        }
        let faults = draw_all(terms, &open, threads, watch)?;
        drawn.extend(open.iter().map(|it| it.combination));
        // What another would have hidden comes forth when that one is gone.
        kept.retain(|it| faults.iter().all(|fault| fault.combination != it.combination));
        undrawn.extend(faults);
    };
    prove(terms, &mut candidates, bounds.random_years, threads, watch)?;
    let near = if candidates.is_empty() { near(terms, bounds, watch).ok()? } else { Vec::new() };
    Some(Proposals { candidates, years, short: short.len(), nearest, near, undrawn, found })
}

/// Draws candidates; gives those that cannot be drawn, in their order. `None` when the watcher cancels.
fn draw_all(
    terms: &Terms<'_>,
    all: &[&Candidate],
    threads: Threads,
    watch: &dyn Watch,
) -> Option<Vec<Undrawn>> {
    let whys = share(all, threads, watch, |candidate| {
        let made = circuit(terms, &candidate.combination, terms.stock);
        if made.is_ok() {
            watch.told(News::Drawn(candidate));
        }
        made.err()
    })?;
    let faults = all
        .iter()
        .zip(whys)
        .filter_map(|(candidate, why)| Some(Undrawn { combination: candidate.combination, why: why? }));
    Some(faults.collect())
}

impl Terms<'_> {
    /// Whether a candidate keeps what the brief allows.
    pub(crate) fn keeps(&self, it: &Candidate) -> bool {
        let goals = &self.on.project.brief.goals;
        goals.unmet_share.is_none_or(|allowed| it.unmet() <= allowed)
            && goals.generator_hours.is_none_or(|allowed| it.generator_hours() <= allowed)
    }
}
