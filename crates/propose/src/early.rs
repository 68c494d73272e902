//! A first candidate while the search still runs.

use crate::combination::Combination;
use crate::search::{Kept, Search};
use crate::watch::{News, Watch};

/// Whether a first candidate was told.
#[derive(Clone, Copy, PartialEq, Eq)]
pub(crate) enum Early {
    /// Not yet; the last that was tried did not keep the brief.
    Awaited(Option<Combination>),
    /// It was.
    Told,
}

impl Search<'_, '_> {
    /// Takes the cheapest so far through its year, so that whoever waits has something to look at.
    pub(crate) fn early(&self, so_far: Early, watch: &dyn Watch) -> Early {
        let Early::Awaited(tried) = so_far else { return so_far };
        let cheapest = self.best.iter().min_by_key(|(_, (cost, combination))| (*cost, *combination));
        let Some(((chemistry, _, grade), (cost, combination))) = cheapest else { return so_far };
        if tried == Some(*combination) {
            return so_far;
        }
        let kept = Kept { combination: *combination, grade: *grade, chemistry: *chemistry, cost: *cost };
        match self.terms.year_of(&kept).filter(|candidate| self.terms.keeps(candidate)) {
            None => Early::Awaited(Some(*combination)),
            Some(candidate) => {
                watch.told(News::Early(&candidate));
                Early::Told
            }
        }
    }
}
