//! Everything that is said of a sheet, compared line by line with what a field case expects: no finding may lack,
//! none may be too many, advice included. That no labels have been made is left aside. The circuits are in `bench.rs`.

use lineside_acceptance::{Sheet, Verdict, near, same};
use lineside_core::units::Measure;
use lineside_rules::{Amount, Finding};
use std::ops::Deref;

/// What is said of a sheet.
pub struct Told(Verdict);

/// Goes through every study and rule.
pub fn told(sheet: &Sheet) -> Told {
    Told(sheet.check())
}

impl Deref for Told {
    type Target = Verdict;
    fn deref(&self) -> &Verdict {
        &self.0
    }
}

impl Told {
    /// Asserts that these are the findings and that there is no other: `danger string-cold-voltage@C1: 168.7 V, not 150 V`.
    /// Figures may be left out where a case prints none.
    pub fn says(&self, expected: &[&str]) {
        let circuit = &self.project.circuit;
        let key = |it: &Finding| format!("{} {}", it.severity.key(), it.id(circuit));
        let findings = &self.checked.report.findings;
        for row in expected {
            let (name, figures) =
                row.split_once(": ").map_or((*row, None), |(name, rest)| (name, Some(rest)));
            let Some(finding) = findings.iter().find(|it| key(it) == name) else {
                panic!("{name} was not found in\n{}", self.lines())
            };
            let as_printed = figures.is_none_or(|figures| {
                let (found, allowed) =
                    figures.split_once(", not ").unwrap_or_else(|| panic!("figures of {row}"));
                printed(&finding.found, found) && printed(&finding.allowed, allowed)
            });
            assert!(as_printed, "{}\ninstead of {row}", self.line(finding));
        }
        for finding in findings.iter().filter(|it| it.rule != "labels") {
            let name = key(finding);
            let is_expected = expected.iter().any(|row| row.split(": ").next() == Some(&name));
            assert!(is_expected, "not expected: {}\namong\n{}", self.line(finding), self.lines());
        }
    }

    /// Asserts what one rule says, whatever the others do.
    pub fn rule_says(&self, rule: &str, expected: &[&str]) {
        let circuit = &self.project.circuit;
        let findings = self.checked.report.findings.iter().filter(|it| it.rule == rule);
        let found: Vec<&Finding> = findings.collect();
        let as_printed = |row: &&str| {
            let (name, figures) = row.split_once(": ")?;
            let (most, least) = figures.split_once(", not ")?;
            let is_it = |it: &&&Finding| format!("{} {}", it.severity.key(), it.id(circuit)) == name;
            let finding = found.iter().find(is_it)?;
            (printed(&finding.found, most) && printed(&finding.allowed, least)).then_some(())
        };
        let all = expected.iter().all(|row| as_printed(row).is_some()) && expected.len() == found.len();
        assert!(all, "{rule} does not say {expected:?}\n{}", self.lines());
    }

    /// Asserts that there is nothing to say.
    pub fn is_silent(&self) {
        self.says(&[]);
    }

    /// Asserts the greatest continuous current of a run.
    pub fn carries(&self, run: &str, printed: &str) {
        let found = self.studies().currents.greatest(self.run(run)).map(Measure::value);
        assert!(found.is_some_and(|found| near(found, printed)), "{run} carries {found:?}, not {printed} A");
    }
}

/// An amount as printed; `*` stands for any words.
fn printed(amount: &Amount, text: &str) -> bool {
    text == "*" || same(amount, text)
}
