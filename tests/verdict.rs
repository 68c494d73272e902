//! What studies and rules say of a project, asked for by tag and compared with printed figures.
#![expect(
    clippy::panic,
    clippy::missing_panics_doc,
    reason = "only tests ask; what is not as printed must stop them"
)]

use crate::JUDGED;
use crate::printed::{near, same};
use lineside_codes::Codes;
use lineside_core::circuit::{BlockId, RunId, Side};
use lineside_core::project::Project;
use lineside_core::units::Measure;
use lineside_rules::{Amount, Checked, Compared, Finding, Outcome, Severity};
use lineside_study::{Conditions, PathKind, Studies};

/// A project with its studies and its report.
pub struct Verdict {
    /// The project.
    pub project: Project,
    /// What was found.
    pub checked: Checked,
    codes: &'static Codes,
}

impl Verdict {
    /// Makes every study and goes through every rule.
    pub fn of(project: Project, codes: &'static Codes) -> Self {
        let checked = lineside_rules::check(&project, codes, project.rule_set);
        Self { project, checked, codes }
    }

    /// The studies.
    pub const fn studies(&self) -> &Studies {
        &self.checked.studies
    }
    /// What studies are given.
    pub fn conditions(&self) -> Conditions<'_> {
        Conditions::new(&self.project, self.codes)
    }
    /// The block of a tag.
    pub fn block(&self, tag: &str) -> BlockId {
        let found = self.project.circuit.block_by_tag(tag);
        found.unwrap_or_else(|| panic!("no block {tag}")).id
    }
    /// The run of a tag.
    pub fn run(&self, tag: &str) -> RunId {
        let found = self.project.circuit.run_by_tag(tag);
        found.unwrap_or_else(|| panic!("no run {tag}")).id
    }

    /// A finding as one line: `danger interrupt-rating@Q1: 20136.10 A, not 10000.00 A`.
    pub fn line(&self, finding: &Finding) -> String {
        let show = |amount: &Amount| match amount {
            Amount::Quantity(quantity) => format!("{:.4} {:?}", quantity.value, quantity.unit),
            Amount::Words(words) => words.clone(),
        };
        let id = finding.id(&self.project.circuit);
        let (found, allowed) = (show(&finding.found), show(&finding.allowed));
        format!("{} {id}: {found}, not {allowed} ({})", finding.severity.key(), finding.title)
    }

    /// Every finding, one line each.
    pub fn lines(&self) -> String {
        let lines: Vec<String> = self.checked.report.findings.iter().map(|it| self.line(it)).collect();
        lines.join("\n")
    }

    /// Asserts that these are the findings of those severities by the rules judged here, and no others:
    /// severity, id, found, allowed.
    pub fn has_only(&self, severities: &[Severity], expected: &[(Severity, &str, &str, &str)]) {
        let circuit = &self.project.circuit;
        for (severity, id, found, allowed) in expected {
            let finding = self.checked.report.findings.iter().find(|it| it.id(circuit) == *id);
            let Some(finding) = finding else { panic!("{id} was not found in\n{}", self.lines()) };
            let as_printed = finding.severity == *severity
                && same(&finding.found, found)
                && same(&finding.allowed, allowed);
            assert!(as_printed, "{}\ninstead of {found}, not {allowed}", self.line(finding));
        }
        for finding in self.judged().filter(|it| severities.contains(&it.severity)) {
            let id = finding.id(circuit);
            assert!(expected.iter().any(|row| row.1 == id), "not expected: {}", self.line(finding));
        }
    }

    /// The findings of the rules judged here. What `data-missing` says on behalf of other rules alone is left out.
    pub fn judged(&self) -> impl Iterator<Item = &Finding> {
        let missing_elsewhere = |finding: &Finding| {
            finding.rule == "data-missing"
                && matches!(&finding.allowed, Amount::Words(words)
                    if !JUDGED.iter().any(|rule| words.contains(rule)))
        };
        let findings = self.checked.report.findings.iter();
        findings.filter(move |it| JUDGED.contains(&it.rule) && !missing_elsewhere(it))
    }

    /// Whether a finding is there, by its id.
    pub fn has(&self, id: &str) -> bool {
        self.checked.report.findings.iter().any(|it| it.id(&self.project.circuit) == id)
    }

    /// Every finding of a rule.
    pub fn of_rule(&self, rule: &str) -> Vec<&Finding> {
        self.judged().filter(|it| it.rule == rule).collect()
    }

    /// Whether a rule has compared two printed figures at a part and found them in order.
    pub fn passed(&self, rule: &str, at: &str, found: &str, allowed: &str) -> bool {
        self.compared(rule, at, found, allowed, Outcome::Passes)
    }

    /// Whether a rule has compared two printed figures at a part, with that outcome.
    pub fn compared(&self, rule: &str, at: &str, found: &str, allowed: &str, outcome: Outcome) -> bool {
        self.checked.report.compared.iter().any(|it| {
            it.rule == rule
                && it.at.name(&self.project.circuit) == at
                && it.outcome == outcome
                && same(&Amount::Quantity(it.found), found)
                && same(&Amount::Quantity(it.allowed), allowed)
        })
    }

    /// What a rule has compared, one line each, for messages.
    pub fn comparisons(&self, rule: &str) -> String {
        let of_rule = self.checked.report.compared.iter().filter(|it| it.rule == rule);
        let lines = of_rule.map(|it| {
            let at = it.at.name(&self.project.circuit);
            format!("{at}: {:.4} against {:.4} {:?}", it.found.value, it.allowed.value, it.outcome)
        });
        lines.collect::<Vec<_>>().join("\n")
    }

    /// Asserts that a rule has compared two printed figures at a part and found them in order.
    pub fn passes(&self, rule: &str, at: &str, found: &str, allowed: &str) {
        let passed = self.passed(rule, at, found, allowed);
        assert!(passed, "{rule}@{at}: {found} against {allowed} is not in\n{}", self.comparisons(rule));
    }

    /// Asserts that these printed figures are a rule's closest call among those that pass; others may be as close.
    pub fn closest(&self, rule: &str, at: &str, found: &str, allowed: &str) {
        self.passes(rule, at, found, allowed);
        let margin = |it: &Compared| (it.found.value / it.allowed.value - 1.0).abs();
        let passing =
            || self.checked.report.compared.iter().filter(|it| it.rule == rule && !it.outcome.fails());
        let named = passing().filter(|it| it.at.name(&self.project.circuit) == at);
        let here = named.map(margin).fold(f64::INFINITY, f64::min);
        let closest = passing().map(margin).fold(f64::INFINITY, f64::min);
        assert!(here <= closest + 1e-9, "{rule}@{at} is not the closest of\n{}", self.comparisons(rule));
    }

    /// Asserts one row of a printed table of runs.
    pub fn run_row(&self, row: &RunRow<'_>) {
        let id = self.run(row.run);
        let check = |what: &str, found: Option<f64>, printed: &str| {
            let as_printed = match found {
                Some(found) => near(found, printed),
                None => printed == "-",
            };
            assert!(as_printed, "{} {what}: {found:?}, not {printed}", row.run);
        };
        let amps = |amps: Option<lineside_core::units::Amps>| amps.map(Measure::value);
        check("I max", amps(self.studies().currents.greatest(id)), row.greatest);
        let Some(rated) = self.studies().ratings.of(id) else { panic!("{} is not rated", row.run) };
        let ampacity = match &rated.ampacity {
            Ok(ampacity) => ampacity,
            Err(why) => panic!("{}: {why:?}", row.run),
        };
        check("table", Some(ampacity.insulation.value.value()), row.corrected[0]);
        check("ambient factor", Some(ampacity.ambient_factor.value), row.corrected[1]);
        check("bundling factor", Some(ampacity.bundling_factor.value), row.corrected[2]);
        check("corrected", Some(ampacity.corrected.value()), row.corrected[3]);
        check("terminals", ampacity.terminal.as_ref().map(|it| it.value.value()), row.terminal);
        check("ampacity", Some(ampacity.ampacity.value()), row.ampacity);
        check("largest device", amps(self.studies().ratings.largest_device(id)), row.largest_device);
        let milliohms = |ohms: Option<lineside_core::units::Ohms>| ohms.map(|ohms| ohms.value() * 1e3);
        check("mohm warm", milliohms(self.studies().ratings.warm_resistance(id)), row.warm);
        check("mohm 20 C", milliohms(self.studies().ratings.cold_resistance(id)), row.cold);
    }

    /// Asserts what can persist into a fault at both ends of a run, in amperes; `-` where nothing limits it.
    pub fn holds(&self, run: &str, from: &str, to: &str) {
        for (side, printed) in [(Side::From, from), (Side::To, to)] {
            let found = self.studies().holding.at(self.run(run), side).current();
            let as_printed = found.map_or(printed == "-", |amps| near(amps.value(), printed));
            assert!(as_printed, "{run}.{}: {found:?}, not {printed}", side.key());
        }
    }

    /// Asserts the voltage lost along a path, in volts and percent, and the runs on it.
    pub fn drop(&self, kind: PathKind, to: &str, legs: &[&str], volts: &str, percent: &str) {
        let end = self.block(to);
        let path = self.studies().drops.all().iter().find(|path| path.kind == kind && path.to == end);
        let Some(path) = path else { panic!("no {kind:?} to {to}") };
        let mut runs: Vec<_> = path.legs.iter().map(|leg| leg.run).collect();
        let mut expected: Vec<_> = legs.iter().map(|leg| self.run(leg)).collect();
        runs.sort_unstable();
        expected.sort_unstable();
        assert_eq!(runs, expected, "legs of {kind:?} to {to}");
        let (drop, share) = (path.drop.value(), path.share.value());
        assert!(near(drop, volts) && near(share, percent), "{kind:?} to {to}: {drop} V, {share} %");
    }
}

/// One row of a printed table of runs. `-` stands where nothing is printed.
#[derive(Clone, Copy, Debug)]
pub struct RunRow<'a> {
    /// The run.
    pub run: &'a str,
    /// I max, A.
    pub greatest: &'a str,
    /// Table, ambient, bundling, and their product.
    pub corrected: [&'a str; 4],
    /// Terminal column, A.
    pub terminal: &'a str,
    /// Ampacity, A.
    pub ampacity: &'a str,
    /// Largest device, A.
    pub largest_device: &'a str,
    /// mΩ, warm.
    pub warm: &'a str,
    /// mΩ at 20 °C.
    pub cold: &'a str,
}

impl<'a> RunRow<'a> {
    /// Reads a row as it is printed, without the columns that were given:
    /// `W7 | 51.00 | 170 x 0.91 x 0.80 = 123.76 | 150 | 123.76 | 125.00 | 29.280 | 24.078`.
    pub fn read(text: &'a str) -> Self {
        let cells: Vec<&str> = text.split('|').map(str::trim).collect();
        let [run, greatest, product, terminal, ampacity, largest_device, warm, cold] = cells.as_slice()
        else {
            panic!("a row has eight cells: {text}");
        };
        let factors: Vec<&str> = product.split(['x', '=']).map(str::trim).collect();
        let [table, ambient, bundling, corrected] = factors.as_slice() else {
            panic!("a product of three: {product}");
        };
        let corrected = [*table, *ambient, *bundling, *corrected];
        Self { run, greatest, corrected, terminal, ampacity, largest_device, warm, cold }
    }
}
