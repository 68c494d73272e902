//! Ladders: edits of one sort on the same things, the least first. Only the first rung that works is worth offering.

use super::touch::{Touch, effort, touches};
use super::trial::{Budget, Key, Ledger, Outcome, Subject, attempt};
use crate::remedy::Proposal;

/// Edits of one sort on the same things, the least first.
pub(super) struct Ladder {
    /// What all of them touch.
    pub touches: Vec<Touch>,
    /// The edits.
    pub rungs: Vec<Proposal>,
}

/// Sorts proposals into ladders, the least disturbing first.
pub(super) fn ladders(subject: &Subject<'_>, proposals: Vec<Proposal>) -> Vec<Ladder> {
    let mut all: Vec<Ladder> = Vec::new();
    for proposal in proposals {
        let touches = touches(subject.project, &proposal.edit);
        match all.iter_mut().find(|ladder| ladder.touches == touches) {
            Some(ladder) => ladder.rungs.push(proposal),
            None => all.push(Ladder { touches, rungs: vec![proposal] }),
        }
    }
    all.sort_by_key(|ladder| effort(&ladder.touches));
    all
}

impl Ladder {
    /// The rungs from one upwards.
    pub(super) fn from(&self, start: usize) -> &[Proposal] {
        self.rungs.get(start..).unwrap_or_default()
    }

    /// The first rung that is worth trying; `None` when none is.
    pub(super) fn start(
        &self,
        subject: &Subject<'_>,
        ledger: &Ledger,
        wanted: Key,
        budget: &mut Budget,
    ) -> Option<usize> {
        if self.rises() { self.first_that_clears(subject, ledger, wanted, budget) } else { Some(0) }
    }

    /// Whether a higher rung does all that a lower one does: conductor sizes.
    fn rises(&self) -> bool {
        matches!(self.touches.as_slice(), [Touch::Size(_)])
    }

    /// The lowest rung of a rising ladder on which the finding is gone, by halving; `None` when not even the
    /// highest one does it.
    fn first_that_clears(
        &self,
        subject: &Subject<'_>,
        ledger: &Ledger,
        wanted: Key,
        budget: &mut Budget,
    ) -> Option<usize> {
        let mut clears = |index: usize| -> Option<bool> {
            budget.spend()?;
            let edit = &self.rungs.get(index)?.edit;
            Some(!matches!(attempt(subject, ledger, wanted, edit), Outcome::Useless))
        };
        let last = self.rungs.len().checked_sub(1)?;
        if clears(0)? {
            return Some(0);
        }
        if !clears(last)? {
            return None;
        }
        let (mut fails, mut works) = (0, last);
        while works - fails > 1 {
            let middle = fails.midpoint(works);
            if clears(middle)? {
                works = middle;
            } else {
                fails = middle;
            }
        }
        Some(works)
    }
}
