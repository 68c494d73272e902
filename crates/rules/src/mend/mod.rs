//! Mending: from a finding to edits that clear it and bring nothing worse, and from a project to one without
//! dangers and corrections as far as that can be done.
//!
//! Every remedy has been tried on a copy. What is tried is in `moves/`; how it is tried is in `trial.rs`.

mod companions;
pub mod fit;
mod greedy;
mod ladder;
mod moves;
mod offers;
mod preview;
mod touch;
mod trial;

pub use greedy::{Mended, Step, mend};
pub use preview::Cost;
pub use trial::Subject;

use crate::finding::Finding;
use lineside_core::edit::Edit;
use lineside_core::units::UnitSystem;
use trial::{Budget, Ledger, key};

/// Trials for the remedies of one finding: the bound on the time they take.
const TRIALS: u32 = 160;
/// Edits that may go with the first one of a remedy.
const COMPANIONS: usize = 6;
/// Remedies offered for one finding.
const OFFERED: usize = 5;

/// An edit that was tried and clears a finding without a worse one coming.
#[derive(Clone, Debug, PartialEq)]
pub struct ProvenRemedy {
    /// What it does, as people read it: `3 modules in series in S1, S2`.
    pub label: String,
    /// The edit, to be made as one step.
    pub edit: Edit,
    /// How much it disturbs; remedies are offered in this order.
    pub effort: u32,
    /// What changes on the sheet, line by line: `W4 · Size: 8 AWG → 4 AWG`.
    pub changes: Vec<String>,
    /// What it costs, when the price book has all that it takes.
    pub cost: Option<Cost>,
    /// Ids of the findings that go, the wanted one first.
    pub goes: Vec<String>,
    /// Ids of advice that comes with it.
    pub comes: Vec<String>,
}

/// The remedies of a finding, least disturbing first. Empty where none was found.
pub fn remedies(subject: &Subject<'_>, finding: &Finding, units: UnitSystem) -> Vec<ProvenRemedy> {
    let mut budget = Budget { trials: TRIALS, companions: COMPANIONS };
    let ledger = Ledger::of(&subject.checked.report);
    let offers = offers::offers(subject, finding, &mut budget, OFFERED);
    let mut all: Vec<ProvenRemedy> = offers
        .into_iter()
        .map(|offer| {
            let report = &offer.tried.checked.report;
            let circuit = &subject.project.circuit;
            let remains = |it: &&Finding| !report.findings.iter().any(|other| key(other) == key(it));
            let mut goes: Vec<&Finding> = subject.checked.report.findings.iter().filter(remains).collect();
            goes.sort_by_key(|it| key(it) != key(finding));
            ProvenRemedy {
                changes: preview::changes(subject.project, &offer.tried.project, units),
                cost: preview::cost(subject.project, &offer.tried.project),
                goes: goes.into_iter().map(|it| it.id(circuit)).collect(),
                comes: ledger.advice(report).map(|it| it.id(&offer.tried.project.circuit)).collect(),
                label: offer.proposal.label,
                edit: offer.proposal.edit,
                effort: offer.effort,
            }
        })
        .collect();
    all.sort_by(|a, b| a.effort.cmp(&b.effort).then_with(|| a.cost.cmp(&b.cost)));
    all
}
