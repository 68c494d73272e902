//! A project judged by every rule set, for the window and the commands: how many findings under each, and which come and
//! which go from one to another.
//!
//! Nothing is judged here; the rules are asked once for each set.

use crate::engine::Engine;
use lineside_core::project::{Project, RuleSet};
use lineside_rules::{Finding, Severity, check};

/// What one rule set says to a project.
#[derive(Clone, Debug, PartialEq)]
pub struct Verdict {
    /// Which.
    pub rule_set: RuleSet,
    /// What it finds, worst first.
    pub findings: Vec<Finding>,
}

impl Verdict {
    /// How many findings have a severity.
    pub fn count(&self, severity: Severity) -> usize {
        self.findings.iter().filter(|finding| finding.severity == severity).count()
    }
}

/// What changes from one rule set to another.
#[derive(Clone, Debug, PartialEq)]
pub struct Difference<'a> {
    /// Found by the other one only, or more severely by it.
    pub come: Vec<&'a Finding>,
    /// Found by the first one only, or more severely by it.
    pub go: Vec<&'a Finding>,
}

/// Judges by every rule set, in the order in which they are listed.
pub fn by_every_rule_set(project: &Project, engine: &Engine) -> Vec<Verdict> {
    let judge = |rule_set: &RuleSet| {
        let findings = check(project, &engine.codes, *rule_set).report.findings;
        Verdict { rule_set: *rule_set, findings }
    };
    RuleSet::ALL.iter().map(judge).collect()
}

/// What changes from one verdict to another on the same project.
pub fn difference<'a>(from: &'a Verdict, to: &'a Verdict) -> Difference<'a> {
    Difference { come: only_in(to, from), go: only_in(from, to) }
}

fn only_in<'a>(one: &'a Verdict, other: &Verdict) -> Vec<&'a Finding> {
    let is_matched = |finding: &Finding| {
        other.findings.iter().any(|it| {
            it.rule == finding.rule
                && it.at == finding.at
                && it.aspect == finding.aspect
                // Severities are in order, the worst first.
                && it.severity <= finding.severity
        })
    };
    one.findings.iter().filter(|finding| !is_matched(finding)).collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    fn verdicts(demo: &str) -> Vec<Verdict> {
        let project = lineside_core::file::read(demo).unwrap();
        by_every_rule_set(&project, &Engine::load().unwrap())
    }

    #[test]
    fn a_verdict_does_not_differ_from_itself() {
        for verdict in verdicts(include_str!("../../../assets/demos/as-found.lineside")) {
            let none = Difference { come: Vec::new(), go: Vec::new() };
            assert_eq!(difference(&verdict, &verdict), none, "{:?}", verdict.rule_set);
        }
    }

    #[test]
    fn what_comes_and_goes_makes_up_the_counts() {
        let all = verdicts(include_str!("../../../assets/demos/as-found.lineside"));
        let of = |set: RuleSet| all.iter().find(|verdict| verdict.rule_set == set).unwrap();
        let (nec, iec) = (of(RuleSet::Nec2023), of(RuleSet::Iec));
        let there = difference(nec, iec);
        let back = difference(iec, nec);
        assert_eq!((&there.come, &there.go), (&back.go, &back.come));
        // Working space by 110.26 is asked for by the NEC alone.
        assert!(there.go.iter().any(|finding| finding.rule == "working-space"), "{}", there.go.len());
        assert!(!there.come.iter().any(|finding| finding.rule == "working-space"));
    }
}
