//! What a case is: a rule, a small circuit, and what the rule must say of it.

use lineside_acceptance::{Sheet, Verdict, same};
use lineside_rules::Severity;

/// One circuit and what one rule says of it.
pub struct Case {
    /// The rule.
    pub rule: &'static str,
    /// What is special about the circuit.
    pub name: &'static str,
    /// Draws it.
    pub draw: fn() -> Sheet,
    /// What the rule says.
    pub says: Says,
}

/// What a rule says. Figures are as printed: a number found rounds to them.
pub enum Says {
    /// Nothing; it compared these two figures at a part.
    Passes(&'static str, &'static str, &'static str),
    /// Nothing, because it does not hold here or has nothing to compare.
    Silent,
    /// These findings and no others: severity, part with its aspect, found, allowed.
    Finds(&'static [(Severity, &'static str, &'static str, &'static str)]),
}

/// A case that must stay silent after comparing two figures.
pub const fn passes(
    rule: &'static str,
    name: &'static str,
    (at, found, allowed): (&'static str, &'static str, &'static str),
    draw: fn() -> Sheet,
) -> Case {
    Case { rule, name, draw, says: Says::Passes(at, found, allowed) }
}

/// A case that must stay silent without comparing anything.
pub const fn silent(rule: &'static str, name: &'static str, draw: fn() -> Sheet) -> Case {
    Case { rule, name, draw, says: Says::Silent }
}

/// A case with findings.
pub const fn finds(
    rule: &'static str,
    name: &'static str,
    findings: &'static [(Severity, &'static str, &'static str, &'static str)],
    draw: fn() -> Sheet,
) -> Case {
    Case { rule, name, draw, says: Says::Finds(findings) }
}

impl Case {
    /// Whether the rule must speak.
    pub const fn speaks(&self) -> bool {
        matches!(self.says, Says::Finds(_))
    }

    /// Draws, checks, and tells what is not as it must be.
    pub fn fault(&self) -> Option<String> {
        let verdict = (self.draw)().check();
        let wrong = match self.says {
            Says::Passes(at, found, allowed) => {
                !verdict.of_rule(self.rule).is_empty() || !verdict.passed(self.rule, at, found, allowed)
            }
            Says::Silent => !verdict.of_rule(self.rule).is_empty(),
            Says::Finds(findings) => !self.found(&verdict, findings),
        };
        wrong.then(|| {
            let found: Vec<String> =
                verdict.of_rule(self.rule).into_iter().map(|it| verdict.line(it)).collect();
            format!(
                "{} — {}\nfound:\n{}\ncompared:\n{}\n",
                self.rule,
                self.name,
                found.join("\n"),
                verdict.comparisons(self.rule)
            )
        })
    }

    fn found(&self, verdict: &Verdict, expected: &[(Severity, &str, &str, &str)]) -> bool {
        let findings = verdict.of_rule(self.rule);
        findings.len() == expected.len()
            && expected.iter().all(|(severity, at, found, allowed)| {
                let id = format!("{}@{at}", self.rule);
                findings.iter().any(|it| {
                    it.id(&verdict.project.circuit) == id
                        && it.severity == *severity
                        && same(&it.found, found)
                        && same(&it.allowed, allowed)
                })
            })
    }
}
