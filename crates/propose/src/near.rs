//! When nothing answers a brief: which single change of it would let something pass. Each change that is told has been
//! searched, gone through for the year and drawn.

use crate::lines::PartLine;
use crate::proposals::Candidate;
use crate::search::SearchBounds;
use crate::terms::Terms;
use crate::watch::Watch;
use crate::whole::circuit;
use lineside_core::project::{Brief, ChemistryWish, Project, SupplyWish};
use lineside_core::units::text::plain;
use lineside_core::units::{Hours, Percent, UnitSystem};
use rust_decimal::Decimal;

/// A change of a brief.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Change {
    /// Another budget.
    Budget(Decimal),
    /// Any chemistry.
    AnyChemistry,
    /// A generator may be there, or not.
    GeneratorOpen,
    /// No utility.
    NoUtility,
    /// Other hours of the generator.
    GeneratorHours(Hours),
    /// Another unmet share.
    Unmet(Percent),
    /// A shorter reserve.
    Reserve(Hours),
    /// Only a part of the power of every load.
    Loads(Percent),
}

impl Change {
    /// As people read it.
    pub fn text(self) -> String {
        let shown = |quantity| plain(quantity, UnitSystem::Si);
        match self {
            Self::Budget(sum) => format!("with a budget of {sum:.2}"),
            Self::AnyChemistry => "with any chemistry".to_owned(),
            Self::GeneratorOpen => "with or without a generator".to_owned(),
            Self::NoUtility => "without the utility".to_owned(),
            Self::GeneratorHours(hours) => format!("with {} of generator in a year", shown(hours.into())),
            Self::Unmet(share) => format!("with {} unmet", shown(share.into())),
            Self::Reserve(hours) => format!("with {} of reserve", shown(hours.into())),
            Self::Loads(share) => format!("with {} of the power of every load", shown(share.into())),
        }
    }

    fn apply(self, brief: &mut Brief) {
        let goals = &mut brief.goals;
        match self {
            Self::Budget(sum) => goals.budget = Some(sum),
            Self::AnyChemistry => goals.chemistry = ChemistryWish::Open,
            Self::GeneratorOpen => goals.generator = SupplyWish::Open,
            Self::NoUtility => goals.utility = SupplyWish::Excluded,
            Self::GeneratorHours(hours) => goals.generator_hours = Some(hours),
            Self::Unmet(share) => goals.unmet_share = Some(share),
            Self::Reserve(hours) => goals.reserve = Some(hours),
            Self::Loads(share) => {
                for load in &mut brief.loads {
                    load.power = load.power * share.share();
                    load.surge = load.surge.map(|surge| surge * share.share());
                }
            }
        }
    }
}

/// A change with the cheapest that passes then.
#[derive(Clone, Debug, PartialEq)]
pub struct NearMiss {
    /// What is changed.
    pub change: Change,
    /// What passes then.
    pub candidate: Candidate,
    /// Its parts.
    pub parts: Vec<PartLine>,
}

/// The watcher has cancelled.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) struct Cancelled;

/// What was looked for, if there is such a thing.
type Looked<T> = Result<Option<T>, Cancelled>;

/// Shares of the loads that are tried when nothing else helps.
const SHARES: [f64; 23] = [
    90.0, 75.0, 60.0, 50.0, 40.0, 30.0, 20.0, 15.0, 10.0, 7.0, 5.0, 3.0, 2.0, 1.5, 1.0, 0.7, 0.5, 0.3, 0.2,
    0.1, 0.05, 0.02, 0.01,
];
/// Reserves that are tried, in hours.
const RESERVES: [f64; 4] = [48.0, 36.0, 24.0, 12.0];

/// The single changes that let something pass. An error when the watcher cancels.
pub(crate) fn near(
    terms: &Terms<'_>,
    bounds: &SearchBounds,
    watch: &dyn Watch,
) -> Result<Vec<NearMiss>, Cancelled> {
    let look = Look { terms, bounds, watch };
    let goals = &terms.on.project.brief.goals;
    let mut found = Vec::new();
    if let Some(budget) = goals.budget {
        let cheapest = look.under(&|brief| brief.goals.budget = None)?;
        let change = cheapest.map(|it| Change::Budget(it.candidate.cost.max(budget)));
        found.extend(look.change(change)?);
    }
    let open = [
        (goals.chemistry != ChemistryWish::Open, Change::AnyChemistry),
        (goals.generator != SupplyWish::Open, Change::GeneratorOpen),
        (goals.utility == SupplyWish::Wanted, Change::NoUtility),
    ];
    for (_, change) in open.into_iter().filter(|(differs, _)| *differs) {
        found.extend(look.change(Some(change))?);
    }
    if goals.generator_hours.is_some() {
        let free = look.under(&|brief| brief.goals.generator_hours = None)?;
        let hours = free.map(|it| Hours::new(it.candidate.generator_hours().value().ceil()));
        found.extend(look.change(hours.map(Change::GeneratorHours))?);
    }
    if goals.unmet_share.is_some() {
        let free = look.under(&|brief| brief.goals.unmet_share = None)?;
        let share = free.map(|it| Percent::new((it.candidate.unmet().value() * 10.0).ceil() / 10.0));
        found.extend(look.change(share.map(Change::Unmet))?);
    }
    if let Some(reserve) = goals.reserve {
        let shorter = RESERVES.into_iter().map(Hours::new).filter(|hours| *hours < reserve);
        found.extend(look.first_of(shorter.map(Change::Reserve))?);
    }
    if found.is_empty() {
        found.extend(look.first_of(SHARES.into_iter().map(|share| Change::Loads(Percent::new(share))))?);
    }
    Ok(found)
}

struct Look<'a, 't> {
    terms: &'a Terms<'t>,
    bounds: &'a SearchBounds,
    watch: &'a dyn Watch,
}

/// What passes under a changed brief.
struct Passing {
    candidate: Candidate,
    parts: Vec<PartLine>,
}

impl Look<'_, '_> {
    /// The first change that lets something pass.
    fn first_of(&self, changes: impl Iterator<Item = Change>) -> Looked<NearMiss> {
        for change in changes {
            if let Some(found) = self.change(Some(change))? {
                return Ok(Some(found));
            }
        }
        Ok(None)
    }

    /// What passes with a change; the outer An error when the watcher cancels.
    fn change(&self, change: Option<Change>) -> Looked<NearMiss> {
        let Some(change) = change else { return Ok(None) };
        let passing = self.under(&|brief| change.apply(brief))?;
        Ok(passing.map(|it| NearMiss { change, candidate: it.candidate, parts: it.parts }))
    }

    /// The cheapest that answers a changed brief and can be drawn.
    fn under(&self, change: &dyn Fn(&mut Brief)) -> Looked<Passing> {
        let terms = self.terms;
        let mut project: Project = terms.on.project.clone();
        project.rule_set = terms.on.rule_set;
        change(&mut project.brief);
        let changed =
            Terms::new(&project, terms.on.codes, terms.tables, terms.factors, terms.stock, terms.seed);
        let Ok(changed) = changed else { return Ok(None) };
        let mut kept = changed.search_watched(self.bounds, self.watch).ok_or(Cancelled)?.kept;
        kept.sort_by_key(|it| (it.cost, it.combination));
        for it in &kept {
            if self.watch.is_cancelled() {
                return Err(Cancelled);
            }
            let candidate = changed.year_of(it).filter(|candidate| changed.keeps(candidate));
            let Some(candidate) = candidate else { continue };
            if circuit(&changed, &candidate.combination, changed.stock).is_ok() {
                let parts = changed.parts_of(&candidate.combination);
                return Ok(Some(Passing { candidate, parts }));
            }
        }
        Ok(None)
    }
}
