//! Edits that go together: a larger breaker wants a larger conductor behind it. When an edit clears its finding and
//! others come, those are mended in turn on the same copy, and all is offered as one remedy or not at all.

use super::ladder::ladders;
use super::offers::{Offer, proposals};
use super::touch::{Touch, effort, overtakes, touches};
use super::trial::{Budget, Key, Ledger, Outcome, Subject, Tried, attempt, key};
use crate::finding::Finding;
use crate::remedy::Proposal;
use lineside_core::edit::Edit;

/// Proposals that are tried against one newcomer.
const TRIES: usize = 40;
/// Of which so many of one sort.
const RUNGS: usize = 5;

/// A near miss with the edits that it needs besides; `None` if none were found within the budget.
pub(super) fn accompanied(
    subject: &Subject<'_>,
    ledger: &Ledger,
    wanted: Key,
    first: Proposal,
    tried: Tried,
    budget: &mut Budget,
) -> Option<Offer> {
    let touched = touches(subject.project, &first.edit);
    let (mut steps, mut now) = (vec![Taken { proposal: first, touched }], tried);
    while let Some(next) = worst(ledger, &now) {
        let left = ledger.newcomers(&now.checked.report).count();
        if steps.len() + left > budget.companions + 1 {
            return None;
        }
        let (proposal, then) = follow(&now.subject(subject), ledger, wanted, &next, left, budget)?;
        let touched = touches(&now.project, &proposal.edit);
        // The next rung of the same ladder takes the place of the one before.
        steps.retain(|step| !overtakes(&touched, &step.touched));
        steps.push(Taken { proposal, touched });
        now = then;
    }
    let effort = steps.iter().map(|step| effort(&step.touched)).sum();
    let label = steps.iter().map(|step| step.proposal.label.as_str()).collect::<Vec<_>>().join("; ");
    let edit = Edit::Batch(steps.into_iter().map(|step| step.proposal.edit).collect());
    Some(Offer { proposal: Proposal { label, edit }, effort, tried: now })
}

/// A step with what it touches.
struct Taken {
    proposal: Proposal,
    touched: Vec<Touch>,
}

fn worst(ledger: &Ledger, tried: &Tried) -> Option<Finding> {
    ledger.newcomers(&tried.checked.report).next().cloned()
}

/// The first edit that clears a newcomer, leaves the wanted finding cleared and the list shorter; else the first that
/// leaves it no longer, since what it brings may be mended in turn.
fn follow(
    subject: &Subject<'_>,
    ledger: &Ledger,
    wanted: Key,
    newcomer: &Finding,
    left: usize,
    budget: &mut Budget,
) -> Option<(Proposal, Tried)> {
    let mut tries = TRIES;
    let mut as_long: Option<(Proposal, Tried)> = None;
    for ladder in ladders(subject, proposals(subject, newcomer)) {
        let start = ladder.start(subject, ledger, key(newcomer), budget);
        for proposal in start.map_or(&[][..], |start| ladder.from(start)).iter().take(RUNGS) {
            budget.spend()?;
            tries = tries.checked_sub(1)?;
            let tried = match attempt(subject, ledger, key(newcomer), &proposal.edit) {
                Outcome::Useless => continue,
                Outcome::Brings(tried) | Outcome::Works(tried) => tried,
            };
            let report = &tried.checked.report;
            if report.findings.iter().any(|it| key(it) == wanted) {
                continue;
            }
            let count = ledger.newcomers(report).count();
            if count < left {
                return Some((proposal.clone(), *tried));
            }
            if count == left && as_long.is_none() {
                as_long = Some((proposal.clone(), *tried));
            }
        }
    }
    as_long
}
