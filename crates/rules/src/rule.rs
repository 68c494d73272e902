//! What a rule is: a value with its explanation, its clauses, its check and its remedies.
//!
//! There is no registry: the list in `rules/mod.rs` is plain data.

use crate::circumstances::Circumstances;
use crate::finding::{Amount, Finding, Part, Severity};
use crate::remedy::Proposal;
use crate::report::Report;
use lineside_core::project::RuleSet;
use lineside_core::working::Working;

/// How far a rule is trusted.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Status {
    /// It may speak of dangers.
    Stable,
    /// It may only advise.
    Trial,
}

/// The clause of one rule set that demands something; empty where it is engineering judgement.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Clause {
    /// The rule set.
    pub rule_set: RuleSet,
    /// The clause, as it is printed.
    pub text: &'static str,
}

/// One check.
pub struct Rule {
    /// Its id, in plain words, for good.
    pub id: &'static str,
    /// Title of its page.
    pub title: &'static str,
    /// The worst that it reports.
    pub severity: Severity,
    /// How far it is trusted.
    pub status: Status,
    /// What the user reads: the harm, the reason, the formula, what to do.
    pub explanation: &'static str,
    /// The rule sets in which it holds, with their clauses.
    pub clauses: &'static [Clause],
    /// Looks for what breaks it.
    pub check: fn(&Circumstances<'_>, &mut Report),
    /// Edits that a designer would try against one of its findings, cheapest first. They are only offered
    /// after they have been tried.
    pub remedies: fn(&Circumstances<'_>, &Finding) -> Vec<Proposal>,
}

impl Rule {
    /// The clause under a rule set; `None` when the rule does not hold there.
    pub fn clause(&self, rule_set: RuleSet) -> Option<&'static str> {
        self.clauses.iter().find(|clause| clause.rule_set == rule_set).map(|clause| clause.text)
    }
}

impl Rule {
    /// A finding of this rule at a part, to be filled in.
    pub(crate) fn finding(
        &self,
        on: &Circumstances<'_>,
        severity: Severity,
        at: Part,
        title: String,
    ) -> Finding {
        Finding {
            rule: self.id,
            severity,
            title,
            at,
            aspect: "",
            also: Vec::new(),
            found: Amount::Words(String::new()),
            allowed: Amount::Words(String::new()),
            clause: self.clause(on.rule_set()).unwrap_or(""),
            working: Working::new(),
        }
    }
}

/// For rules whose findings no edit of the circuit can clear by itself.
pub fn no_remedies(_: &Circumstances<'_>, _: &Finding) -> Vec<Proposal> {
    Vec::new()
}

/// Declares a rule. The doc comment is the explanation that the user reads; its first line is the title. A
/// rule holds in the rule sets that have a clause here; an empty clause is engineering judgement.
macro_rules! rule {
    (
        #[doc = $title:literal]
        $(#[doc = $text:literal])*
        $name:ident {
            id: $id:literal,
            severity: $severity:ident,
            status: $status:ident,
            clauses: [$($set:ident: $clause:literal),* $(,)?],
            check: $check:path,
            remedies: $remedies:path $(,)?
        }
    ) => {
        #[doc = $title]
        $(#[doc = $text])*
        pub(crate) const $name: $crate::rule::Rule = $crate::rule::Rule {
            id: $id,
            title: $title,
            severity: $crate::finding::Severity::$severity,
            status: $crate::rule::Status::$status,
            explanation: concat!($($text, "\n"),*),
            clauses: &[$($crate::rule::Clause { rule_set: lineside_core::project::RuleSet::$set, text: $clause }),*],
            check: $check,
            remedies: $remedies,
        };
    };
}
pub(crate) use rule;
