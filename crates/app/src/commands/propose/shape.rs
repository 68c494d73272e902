//! The proposals, gathered in the shape that is printed as JSON. `docs/json.md` describes it.
//!
//! Nothing is computed here, and nothing is left out because it is unknown: what is not known is `null`.

use super::files::SheetShape;
use crate::commands::options::ProposeOptions;
use crate::commands::shapes::{Figure, Head};
use lineside_core::units::UnitSystem;
use lineside_propose::{Candidate, NearMiss, Proposals, Terms};
use serde::Serialize;

#[derive(Serialize)]
pub(super) struct ProposeShape {
    #[serde(flatten)]
    head: Head,
    file: String,
    rule_set: &'static str,
    pub(super) seed: u64,
    pub(super) currency: String,
    pub(super) candidates: Vec<CandidateShape>,
    pub(super) more: usize,
    pub(super) nearest: Option<CandidateShape>,
    pub(super) near: Vec<NearShape>,
    pub(super) years: usize,
    pub(super) short: usize,
    pub(super) undrawn: usize,
    pub(super) dearer: u64,
    pub(super) cuts: Vec<CutShape>,
    pub(super) left_out: Vec<String>,
}

#[derive(Serialize)]
pub(super) struct CandidateShape {
    pub(super) chemistry: &'static str,
    #[serde(skip)]
    pub(super) label: &'static str,
    pub(super) cost: String,
    pub(super) life_cost: Option<String>,
    pub(super) per_kilowatt_hour: Option<String>,
    pub(super) unmet_share: Figure,
    pub(super) generator_hours: Figure,
    pub(super) lowest_reserve: Option<Figure>,
    pub(super) random_years: Option<DoubtShape>,
    pub(super) array: Figure,
    pub(super) bank: Figure,
    pub(super) merits: Vec<&'static str>,
    pub(super) parts: Vec<PartShape>,
    pub(super) sheet: Option<SheetShape>,
}

/// Random years of a candidate.
#[derive(Serialize)]
pub(super) struct DoubtShape {
    pub(super) years: u32,
    pub(super) unmet_p50: Figure,
    pub(super) unmet_p90: Figure,
    pub(super) generator_p50: Figure,
    pub(super) generator_p90: Figure,
}

/// A change of the brief that lets something pass.
#[derive(Serialize)]
pub(super) struct NearShape {
    pub(super) change: String,
    pub(super) chemistry: &'static str,
    #[serde(skip)]
    pub(super) label: &'static str,
    pub(super) cost: String,
    pub(super) array: Figure,
    pub(super) bank: Figure,
    pub(super) unmet_share: Figure,
    pub(super) generator_hours: Figure,
}

#[derive(Serialize)]
pub(super) struct PartShape {
    kind: &'static str,
    pub(super) name: String,
    pub(super) count: u32,
    pub(super) how: String,
    price: String,
    from_book: bool,
}

#[derive(Serialize)]
pub(super) struct CutShape {
    pub(super) limit: &'static str,
    pub(super) branches: u64,
}

/// Gathers the results.
pub(super) fn gather(
    file: &str,
    terms: &Terms<'_>,
    found: &Proposals,
    sheets: Vec<SheetShape>,
    options: &ProposeOptions,
    units: UnitSystem,
) -> ProposeShape {
    let project = terms.project();
    let book = &project.price_book.currency;
    let shown = found.candidates.iter().take(options.top);
    let mut cuts: Vec<CutShape> = found
        .found
        .cuts
        .iter()
        .map(|cut| CutShape { limit: cut.limit.text(), branches: cut.branches })
        .collect();
    let undrawn =
        found.undrawn.iter().map(|it| format!("a candidate that cannot be drawn whole: {}", it.why));
    cuts.sort_by_key(|cut| std::cmp::Reverse(cut.branches));
    ProposeShape {
        head: Head::of("propose"),
        file: file.to_owned(),
        rule_set: project.rule_set.key(),
        seed: options.seed,
        currency: if book.is_empty() { "USD".to_owned() } else { book.clone() },
        candidates: shown
            .zip(sheets.into_iter().map(Some).chain(std::iter::repeat_with(|| None)))
            .map(|(it, sheet)| CandidateShape { sheet, ..candidate(it, terms, units) })
            .collect(),
        more: found.candidates.len().saturating_sub(options.top),
        near: found.near.iter().map(|it| near(it, units)).collect(),
        nearest: found.nearest.as_ref().map(|it| candidate(it, terms, units)),
        years: found.years,
        short: found.short,
        undrawn: found.undrawn.len(),
        dearer: found.found.dearer,
        cuts,
        left_out: terms.left_out.iter().cloned().chain(undrawn).collect(),
    }
}

fn near(it: &NearMiss, units: UnitSystem) -> NearShape {
    let candidate = &it.candidate;
    NearShape {
        change: it.change.text(),
        chemistry: candidate.chemistry.key(),
        label: candidate.chemistry.label(),
        cost: format!("{:.2}", candidate.cost),
        array: Figure::of(candidate.array, units),
        bank: Figure::of(candidate.bank, units),
        unmet_share: Figure::of(candidate.unmet(), units),
        generator_hours: Figure::of(candidate.generator_hours(), units),
    }
}

fn candidate(it: &Candidate, terms: &Terms<'_>, units: UnitSystem) -> CandidateShape {
    let parts = terms.parts_of(&it.combination).into_iter().map(|line| PartShape {
        kind: line.kind.key(),
        name: line.name,
        count: line.count,
        how: line.how,
        price: format!("{:.2}", line.price),
        from_book: line.from_book,
    });
    CandidateShape {
        chemistry: it.chemistry.key(),
        label: it.chemistry.label(),
        cost: format!("{:.2}", it.cost),
        life_cost: it.life_cost.map(|cost| format!("{cost:.2}")),
        per_kilowatt_hour: it.per_kilowatt_hour.map(|cost| format!("{cost:.3}")),
        unmet_share: Figure::of(it.unmet(), units),
        generator_hours: Figure::of(it.generator_hours(), units),
        random_years: it.doubt.map(|doubt| DoubtShape {
            years: doubt.years,
            unmet_p50: Figure::of(doubt.unmet.p50, units),
            unmet_p90: Figure::of(doubt.unmet.p90, units),
            generator_p50: Figure::of(doubt.generator.p50, units),
            generator_p90: Figure::of(doubt.generator.p90, units),
        }),
        lowest_reserve: it.outcome.reserve.map(|reserve| Figure::of(reserve.least, units)),
        array: Figure::of(it.array, units),
        bank: Figure::of(it.bank, units),
        merits: it.merits.iter().map(|it| it.text()).collect(),
        parts: parts.collect(),
        sheet: None,
    }
}
