//! What every study is given: the project, the tables, and the code that is asked for.

use lineside_codes::{Codes, FactorKey};
use lineside_core::project::{Project, RuleSet};
use lineside_core::units::Measure;

/// The input of a study.
#[derive(Clone, Copy)]
pub struct Conditions<'a> {
    /// The project.
    pub project: &'a Project,
    /// The tables.
    pub codes: &'a Codes,
    /// The rule set, which need not be the project's own.
    pub rule_set: RuleSet,
}

impl<'a> Conditions<'a> {
    /// Under the project's own rule set.
    pub fn new(project: &'a Project, codes: &'a Codes) -> Self {
        Self { project, codes, rule_set: project.rule_set }
    }
    /// Under another rule set.
    #[must_use]
    pub const fn under(self, rule_set: RuleSet) -> Self {
        Self { rule_set, ..self }
    }

    /// A pure factor of the rule set.
    pub fn number(&self, key: FactorKey) -> f64 {
        self.codes.number(self.rule_set, key)
    }
    /// A limit of the rule set.
    pub fn quantity<M: Measure + Default>(&self, key: FactorKey) -> M {
        self.codes.quantity(self.rule_set, key)
    }
    /// Where a factor stands.
    pub fn clause(&self, key: FactorKey) -> &'a str {
        &self.codes.factor(self.rule_set, key).clause
    }
}
