//! The report that rules write into: findings, everything that was compared, and what could not be told.

use crate::finding::{Finding, Part};
use lineside_core::units::{Measure, Quantity};
use lineside_study::Missing;

/// Comparisons allow this much of floating-point slack, relative to the limit. Equality passes.
const SLACK: f64 = 1e-9;

/// Whether a quantity reaches a lower limit, without a note of it.
pub(crate) fn reaches<M: Measure>(found: M, needed: M) -> bool {
    found.value() >= needed.value() - needed.value().abs() * SLACK
}

/// How a comparison ended.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Outcome {
    /// Within the limit.
    Passes,
    /// Beyond it.
    Fails,
}

impl Outcome {
    /// Whether the limit is broken.
    pub const fn fails(self) -> bool {
        matches!(self, Self::Fails)
    }
    fn of(passes: impl FnOnce() -> bool) -> Self {
        if passes() { Self::Passes } else { Self::Fails }
    }
}

/// Something that was compared.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Compared {
    /// By which rule.
    pub rule: &'static str,
    /// Where.
    pub at: Part,
    /// What was found.
    pub found: Quantity,
    /// What is allowed.
    pub allowed: Quantity,
    /// How it ended.
    pub outcome: Outcome,
}

/// A rule that could not tell, for want of a datum.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub struct CannotTell {
    /// Which rule.
    pub rule: &'static str,
    /// What it wants.
    pub missing: Missing,
}

/// What all rules together have to say.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Report {
    /// The rule that is speaking.
    pub(crate) rule: &'static str,
    /// Findings.
    pub findings: Vec<Finding>,
    /// Everything that was compared, passed or not.
    pub compared: Vec<Compared>,
    /// What could not be told.
    pub unknown: Vec<CannotTell>,
}

impl Report {
    /// Compares with an upper limit.
    pub fn at_most<M: Measure + Into<Quantity>>(&mut self, at: Part, found: M, allowed: M) -> Outcome {
        let slack = allowed.value().abs() * SLACK;
        self.compare(at, found.into(), allowed.into(), || found.value() <= allowed.value() + slack)
    }
    /// Compares with a lower limit.
    pub fn at_least<M: Measure + Into<Quantity>>(&mut self, at: Part, found: M, needed: M) -> Outcome {
        self.compare(at, found.into(), needed.into(), || reaches(found, needed))
    }
    /// Compares a count with an upper limit.
    pub fn count_at_most(&mut self, at: Part, found: usize, allowed: usize) -> Outcome {
        self.compare(at, Quantity::count(found), Quantity::count(allowed), || found <= allowed)
    }
    /// Compares a count with a lower limit.
    pub fn count_at_least(&mut self, at: Part, found: usize, needed: usize) -> Outcome {
        self.compare(at, Quantity::count(found), Quantity::count(needed), || found >= needed)
    }
    /// Notes a condition that has no number: counted as one of one.
    pub fn holds(&mut self, at: Part, condition: impl FnOnce() -> bool) -> Outcome {
        let holds = condition();
        self.compare(at, Quantity::count(usize::from(holds)), Quantity::count(1), || holds)
    }
    /// Compares with a value that it must be, in the way that is given.
    pub fn agrees<M: Measure + Into<Quantity>>(
        &mut self,
        at: Part,
        found: M,
        expected: M,
        agree: impl FnOnce() -> bool,
    ) -> Outcome {
        self.compare(at, found.into(), expected.into(), agree)
    }
    /// Reports a finding.
    pub fn find(&mut self, finding: Finding) {
        self.findings.push(finding);
    }
    /// Notes that the rule cannot tell.
    pub fn cannot_tell(&mut self, missing: Missing) {
        let rule = self.rule;
        self.unknown.push(CannotTell { rule, missing });
    }

    fn compare(
        &mut self,
        at: Part,
        found: Quantity,
        allowed: Quantity,
        passes: impl FnOnce() -> bool,
    ) -> Outcome {
        let outcome = Outcome::of(passes);
        self.compared.push(Compared { rule: self.rule, at, found, allowed, outcome });
        outcome
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use lineside_core::units::Volts;

    #[test]
    fn equality_passes_and_so_does_the_slack() {
        let mut report = Report::default();
        let volts = Volts::new;
        assert_eq!(report.at_most(Part::Project, volts(64.0), volts(64.0)), Outcome::Passes);
        assert_eq!(report.at_most(Part::Project, volts(64.0 * (1.0 + 0.9e-9)), volts(64.0)), Outcome::Passes);
        assert_eq!(report.at_most(Part::Project, volts(64.0 * (1.0 + 2e-9)), volts(64.0)), Outcome::Fails);
        assert_eq!(report.at_least(Part::Project, volts(40.0), volts(40.0)), Outcome::Passes);
        assert_eq!(report.at_least(Part::Project, volts(39.999_999), volts(40.0)), Outcome::Fails);
        assert_eq!(report.compared.len(), 5);
    }
}
