//! Proposals: what the search kept, gone through for a year, priced over its life, and the ones that nothing beats.

use crate::combination::Combination;
use crate::parts::money;
use crate::search::{Found, Grade, Kept, SearchBounds};
use crate::sketch::sketch;
use crate::terms::Terms;
use lineside_core::kinds::battery_bank::Chemistry;
use lineside_core::units::{Hours, Percent, WattHours, Watts};
use lineside_energy::money::{Costs, WearingPart, WornPart, lifetime, lives};
use lineside_energy::{Detail, Outcome, Prepared, Wishes, from_project};
use rust_decimal::Decimal;
use std::num::NonZeroUsize;
use std::sync::Mutex;
use std::sync::atomic::{AtomicBool, AtomicUsize, Ordering};

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
    /// The search.
    pub found: Found,
}

/// How many threads share the years.
pub type Threads = NonZeroUsize;

/// Searches, goes through the years, and keeps what nothing beats. `stop` ends the work early: then there are none.
pub fn propose(
    terms: &Terms<'_>,
    bounds: &SearchBounds,
    threads: Threads,
    stop: &AtomicBool,
) -> Option<Proposals> {
    let found = terms.search(bounds);
    let slots: Vec<Mutex<Option<Candidate>>> = found.kept.iter().map(|_| Mutex::new(None)).collect();
    let next = AtomicUsize::new(0);
    let work = || {
        while !stop.load(Ordering::Relaxed) {
            let at = next.fetch_add(1, Ordering::Relaxed);
            let (Some(kept), Some(slot)) = (found.kept.get(at), slots.get(at)) else { break };
            let candidate = terms.year_of(kept);
            if let Ok(mut slot) = slot.lock() {
                *slot = candidate;
            }
        }
    };
    std::thread::scope(|scope| {
        for _ in 1..threads.get() {
            scope.spawn(work);
        }
        work();
    });
    if stop.load(Ordering::Relaxed) {
        return None;
    }
    let all: Vec<Candidate> = slots.into_iter().filter_map(|slot| slot.into_inner().ok().flatten()).collect();
    Some(proposals(terms, all, found))
}

fn proposals(terms: &Terms<'_>, mut all: Vec<Candidate>, found: Found) -> Proposals {
    let years = all.len();
    let goals = &terms.on.project.brief.goals;
    let keeps = |it: &Candidate| {
        terms.allowed_unmet().is_none_or(|allowed| it.unmet() <= allowed)
            && goals.generator_hours.is_none_or(|allowed| it.generator_hours() <= allowed)
    };
    all.sort_by_key(|it| (it.cost, it.combination));
    let (kept, short): (Vec<Candidate>, Vec<Candidate>) = all.into_iter().partition(keeps);
    let nearest = if kept.is_empty() {
        short.iter().min_by(|a, b| a.unmet().total_cmp(&b.unmet())).cloned()
    } else {
        None
    };
    Proposals { candidates: pareto(&kept), years, short: short.len(), nearest, found }
}

/// The figures by which candidates are compared; less is better in all of them.
fn figures(it: &Candidate) -> [f64; 4] {
    let number = |sum: Decimal| f64::try_from(sum).unwrap_or(f64::MAX);
    [number(it.cost), it.unmet().value(), it.generator_hours().value(), it.life_cost.map_or(f64::MAX, number)]
}

/// The candidates that no other beats or equals in everything, with why each is among them. Cheapest first.
fn pareto(all: &[Candidate]) -> Vec<Candidate> {
    let rows: Vec<[f64; 4]> = all.iter().map(figures).collect();
    let beats = |a: &[f64; 4], b: &[f64; 4]| a.iter().zip(b).all(|(a, b)| a <= b);
    let mut kept = Vec::new();
    for (at, (candidate, row)) in all.iter().zip(&rows).enumerate() {
        // Of equals the first stays.
        let beaten = rows.iter().enumerate().any(|(other, figures)| {
            other != at && beats(figures, row) && (!beats(row, figures) || other < at)
        });
        if !beaten {
            kept.push(candidate.clone());
        }
    }
    let rows: Vec<[f64; 4]> = kept.iter().map(figures).collect();
    let least =
        |column: usize| rows.iter().filter_map(|row| row.get(column)).copied().fold(f64::INFINITY, f64::min);
    let leasts: Vec<f64> = (0..4).map(least).collect();
    let mut seen: Vec<Chemistry> = Vec::new();
    for (candidate, row) in kept.iter_mut().zip(&rows) {
        let merits = [Merit::CheapestNow, Merit::LeastUnmet, Merit::LeastGenerator, Merit::CheapestOverLife];
        for ((merit, value), least) in merits.into_iter().zip(row).zip(&leasts) {
            if value <= least {
                candidate.merits.push(merit);
            }
        }
        if !seen.contains(&candidate.chemistry) {
            seen.push(candidate.chemistry);
            candidate.merits.push(Merit::CheapestOfChemistry);
        }
        if candidate.merits.is_empty() {
            candidate.merits.push(Merit::NothingBeatsIt);
        }
    }
    kept
}

impl Terms<'_> {
    /// A combination gone through for the typical year. `None` when there is no year of it.
    fn year_of(&self, kept: &Kept) -> Option<Candidate> {
        let project = sketch(self, &kept.combination)?;
        let on = lineside_study::Conditions::new(&project, self.on.codes).under(self.on.rule_set);
        let studies = lineside_study::all(&on);
        let system = from_project(&on, &studies, self.tables, &Wishes::default()).system?;
        let prepared = Prepared::new(&self.sky, &system, self.tables).ok()?;
        let outcome = prepared.year(&self.weather, self.seed, 0, Detail::Sums).outcome;
        let money = self.life_of(kept, &system, &outcome);
        Some(Candidate {
            combination: kept.combination,
            grade: kept.grade,
            chemistry: kept.chemistry,
            array: system.array_power(),
            bank: system.bank.capacity * system.bank.nominal,
            cost: kept.cost,
            life_cost: money.as_ref().map(|money| money.present_cost),
            per_kilowatt_hour: money.and_then(|money| money.per_kilowatt_hour),
            outcome,
            merits: Vec::new(),
        })
    }

    fn life_of(
        &self,
        kept: &Kept,
        system: &lineside_energy::System,
        outcome: &Outcome,
    ) -> Option<lineside_energy::money::Lifetime> {
        let it = &kept.combination;
        let shelf = &self.shelf;
        let battery = shelf.batteries.get(it.battery)?.price * Decimal::from(it.units * it.bank_strings);
        let electronics = shelf.inverters.get(it.inverter)?.price * Decimal::from(it.inverters)
            + shelf.controllers.get(it.controller)?.price * Decimal::from(it.controllers);
        let engine = it.generator.and_then(|at| shelf.generators.get(at)).map(|part| part.price);
        let (mut capital, mut parts) = (kept.cost, Vec::new());
        for life in lives(system, outcome, &self.tables.defaults) {
            let cost = match life.part {
                WornPart::Battery => battery,
                WornPart::Electronics => electronics,
                WornPart::Engine => engine.unwrap_or_default(),
            };
            capital -= cost;
            parts.push(WearingPart { cost, life: life.cautious });
        }
        let design = self.on.project.brief.goals.design_life_years;
        #[expect(clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "a few decades")]
        let usual = self.factors.value("life") as u32;
        let upkeep = self.factors.chemistry(kept.chemistry)?.upkeep;
        let costs = Costs {
            capital,
            upkeep: money(upkeep),
            fuel: money(outcome.year.fuel.value() * self.factors.value("fuel_price")),
            parts,
            interest: self.tables.defaults.real_interest,
            years: design.unwrap_or(usual).max(1),
        };
        lifetime(&costs, outcome.year.served()).ok()
    }
}
