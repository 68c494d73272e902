//! Lineside's rules: what a design must hold under a code, and what is reported when it does not.
//!
//! One rule is one file under `rules/`. Rules read studies and tables; they compute no physics of their own
//! and never change the project.

pub mod acceptance;
mod circumstances;
mod fault_workings;
pub mod figures;
mod finding;
mod grounding;
pub mod mend;
mod places;
mod proposals;
pub mod remedy;
mod report;
mod rule;
mod rules;
mod views;

pub use circumstances::Circumstances;
pub use finding::{Amount, Finding, Part, Severity};
pub use report::{CannotTell, Compared, Outcome, Report};
pub use rule::{Clause, Rule, Status};
pub use rules::ALL;

use lineside_codes::Codes;
use lineside_core::project::{Project, RuleSet};
use lineside_study::{Conditions, Studies};
use std::collections::BTreeMap;

/// Studies of a project and what the rules say to them.
#[derive(Clone, Debug, PartialEq)]
pub struct Checked {
    /// What the studies found.
    pub studies: Studies,
    /// What the rules reported, worst first.
    pub report: Report,
}

/// Makes every study and goes through every rule: the one path for window, command and tests.
pub fn check(project: &Project, codes: &Codes, rule_set: RuleSet) -> Checked {
    let on = Conditions::new(project, codes).under(rule_set);
    let studies = lineside_study::all(&on);
    let report = judge(&Circumstances::of(on, &studies));
    Checked { studies, report }
}

/// Goes through every rule that holds in the rule set.
pub fn judge(circumstances: &Circumstances<'_>) -> Report {
    let mut report = Report::default();
    for rule in ALL {
        if rule.clause(circumstances.rule_set()).is_some() {
            report.rule = rule.id;
            (rule.check)(circumstances, &mut report);
        }
    }
    sort(&mut report, circumstances);
    report
}

/// A stable order: severity, then rule in the order of the list, then place.
fn sort(report: &mut Report, circumstances: &Circumstances<'_>) {
    let circuit = circumstances.circuit();
    let position = |id: &str| ALL.iter().position(|rule| rule.id == id).unwrap_or(usize::MAX);
    report.findings.sort_by_cached_key(|it| (it.severity, position(it.rule), it.at.name(circuit), it.aspect));
    gather(&mut report.findings);
}

/// One id names one finding: a device that serves two controllers is one thing to mend, with both in the list of its parts.
fn gather(findings: &mut Vec<Finding>) {
    let mut seen: BTreeMap<(&'static str, Part, &'static str), usize> = BTreeMap::new();
    let mut kept: Vec<Finding> = Vec::with_capacity(findings.len());
    for finding in findings.drain(..) {
        let name = (finding.rule, finding.at, finding.aspect);
        if let Some(first) = seen.get(&name).and_then(|index| kept.get_mut(*index)) {
            let known: Vec<Part> = first.parts().collect();
            first.also.extend(finding.parts().filter(|part| !known.contains(part)));
        } else {
            seen.insert(name, kept.len());
            kept.push(finding);
        }
    }
    *findings = kept;
}
