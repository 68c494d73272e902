//! Watching a search: what is told while it runs, and how it is ended early.

use crate::proposals::Candidate;
use std::sync::atomic::{AtomicBool, Ordering};

/// What is told while a search runs. It comes from any of its threads, so that its order is not fixed; what the search
/// returns in the end is.
#[derive(Clone, Copy, Debug)]
pub enum News<'a> {
    /// So many inverters of the shelf are gone through.
    Searched {
        /// How many.
        done: usize,
        /// Of how many.
        of: usize,
    },
    /// A candidate that keeps the brief, while the search still runs: a better one may yet come.
    Early(&'a Candidate),
    /// A candidate that has had its year.
    Year {
        /// The candidate.
        candidate: &'a Candidate,
        /// How many have had theirs.
        done: usize,
        /// Of how many.
        of: usize,
    },
    /// A candidate that was drawn whole, so that nothing but the end of the work is missing.
    Drawn(&'a Candidate),
}

/// Whoever waits for a search.
pub trait Watch: Sync {
    /// Is told how it goes.
    fn told(&self, news: News<'_>);
    /// Whether the work is to end: there are no proposals then.
    fn is_cancelled(&self) -> bool;
}

/// A flag cancels and hears nothing.
impl Watch for AtomicBool {
    fn told(&self, _: News<'_>) {}
    fn is_cancelled(&self) -> bool {
        self.load(Ordering::Relaxed)
    }
}
