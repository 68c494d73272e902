//! From a finding to the remedies that are offered: proposals are sorted into ladders of one sort of edit, each is
//! climbed to the first rung that works, and what works is ranked.

use super::companions::accompanied;
use super::ladder::{Ladder, ladders};
use super::moves;
use super::touch::effort;
use super::trial::{Budget, Key, Ledger, Outcome, Subject, Tried, attempt, key};
use crate::ALL;
use crate::finding::Finding;
use crate::remedy::Proposal;

/// Rungs of a ladder that are tried one by one before it is given up.
const RUNGS: usize = 8;
/// Near misses that are tried with companions.
const NEAR_MISSES: usize = 6;

/// A proposal that works, with the project as it makes it.
pub(super) struct Offer {
    /// What it is and does.
    pub proposal: Proposal,
    /// How much it disturbs.
    pub effort: u32,
    /// The project with it.
    pub tried: Tried,
}

/// Everything that a designer would try against a finding, cheapest first: what the rule itself proposes, then
/// what is usual for findings of its rule.
pub(super) fn proposals(subject: &Subject<'_>, finding: &Finding) -> Vec<Proposal> {
    let on = subject.circumstances();
    let mut all: Vec<Proposal> = Vec::new();
    let own = ALL.iter().find(|rule| rule.id == finding.rule).map(|rule| rule.remedies);
    for propose in own.into_iter().chain(moves::against(finding.rule).iter().copied()) {
        for proposal in propose(&on, finding) {
            if !all.iter().any(|it| it.edit == proposal.edit) {
                all.push(proposal);
            }
        }
    }
    all
}

/// The remedies of a finding, least disturbing first.
pub(super) fn offers(
    subject: &Subject<'_>,
    finding: &Finding,
    budget: &mut Budget,
    most: usize,
) -> Vec<Offer> {
    let ledger = Ledger::of(&subject.checked.report);
    let wanted = key(finding);
    let mut found: Vec<Offer> = Vec::new();
    let mut near: Vec<(Proposal, Tried)> = Vec::new();
    for ladder in ladders(subject, proposals(subject, finding)) {
        if found.len() >= most {
            break;
        }
        match climb(subject, &ledger, wanted, ladder, budget) {
            Climbed::Nowhere => {}
            Climbed::Near(misses) => near.extend(misses),
            Climbed::To(offer) => found.push(*offer),
        }
    }
    if found.is_empty() {
        near.sort_by_key(|(_, tried)| ledger.newcomers(&tried.checked.report).count());
        for (proposal, tried) in near.into_iter().take(NEAR_MISSES) {
            found.extend(accompanied(subject, &ledger, wanted, proposal, tried, budget));
            if found.len() >= most {
                break;
            }
        }
    }
    found.sort_by_key(|offer| offer.effort);
    found
}

enum Climbed {
    Nowhere,
    Near(Vec<(Proposal, Tried)>),
    To(Box<Offer>),
}

fn climb(
    subject: &Subject<'_>,
    ledger: &Ledger,
    wanted: Key,
    ladder: Ladder,
    budget: &mut Budget,
) -> Climbed {
    let Some(start) = ladder.start(subject, ledger, wanted, budget) else { return Climbed::Nowhere };
    let effort = effort(&ladder.touches);
    let mut near: Vec<(Proposal, Tried)> = Vec::new();
    for proposal in ladder.rungs.into_iter().skip(start).take(RUNGS) {
        if budget.spend().is_none() {
            break;
        }
        match attempt(subject, ledger, wanted, &proposal.edit) {
            Outcome::Useless => {}
            Outcome::Works(tried) => return Climbed::To(Box::new(Offer { proposal, effort, tried: *tried })),
            Outcome::Brings(tried) => near.push((proposal, *tried)),
        }
    }
    Climbed::Near(near)
}
