//! `lineside check FILE`: what breaks a rule, worst first.
//!
//! What is a fault is the `rules` crate's; this file only prints.

use super::options::CheckOptions;
use super::shapes::{self, Counts, Figure, Head, PartName, WorkingLine};
use super::table::{Table, words};
use super::text::{self, CAUTION, NO_CLAUSE};
use super::{Verdict, input, mend, output};
use crate::commands::failure::Failure;
use lineside_core::circuit::Circuit;
use lineside_core::project::{Project, RuleSet};
use lineside_core::units::{UnitSystem, text as units_text};
use lineside_rules::{Finding, Report, Severity};
use serde::Serialize;
use std::fmt::Write;

/// Checks a project and prints the findings.
pub fn run(options: &CheckOptions) -> Result<Verdict, Failure> {
    if let (true, Some(output)) = (options.fix, &options.output) {
        return mend::run(options, output);
    }
    let loaded = input::load(&options.project.file)?;
    let checked = super::checked(&loaded, &options.project)?;
    let listing = Listing {
        file: &loaded.name,
        project: &loaded.project,
        rule_set: options.project.rule_set.unwrap_or(loaded.project.rule_set),
        units: options.units.units.unwrap_or(loaded.project.units),
        report: &checked.report,
        least: options.severity.unwrap_or(Severity::Advice),
    };
    if options.json {
        output::print_json(&listing.shape())?;
    } else if options.working {
        output::print(&listing.with_workings())?;
    } else {
        output::print(&listing.table())?;
    }
    Ok(Verdict::of(Counts::of(&checked.report)))
}

struct Listing<'a> {
    file: &'a str,
    project: &'a Project,
    rule_set: RuleSet,
    units: UnitSystem,
    report: &'a Report,
    /// The least severity that is listed.
    least: Severity,
}

#[derive(Serialize)]
struct CheckShape<'a> {
    #[serde(flatten)]
    head: Head,
    file: &'a str,
    rule_set: &'static str,
    counts: Counts,
    compared: usize,
    findings: Vec<FindingShape<'a>>,
}

#[derive(Serialize)]
struct FindingShape<'a> {
    id: String,
    rule: &'static str,
    severity: &'static str,
    title: &'a str,
    #[serde(rename = "where")]
    place: String,
    parts: Vec<PartName>,
    found: Figure,
    allowed: Figure,
    clause: &'static str,
    working: Vec<WorkingLine>,
}

impl<'a> Listing<'a> {
    fn circuit(&self) -> &'a Circuit {
        &self.project.circuit
    }
    fn findings(&self) -> impl Iterator<Item = &'a Finding> {
        let least = self.least;
        // The worst severity is the smallest.
        self.report.findings.iter().filter(move |finding| finding.severity <= least)
    }

    fn shape(&self) -> CheckShape<'a> {
        CheckShape {
            head: Head::of("check"),
            file: self.file,
            rule_set: self.rule_set.key(),
            counts: Counts::of(self.report),
            compared: self.report.compared.len(),
            findings: self.findings().map(|finding| self.finding_shape(finding)).collect(),
        }
    }

    fn finding_shape(&self, finding: &'a Finding) -> FindingShape<'a> {
        FindingShape {
            id: finding.id(self.circuit()),
            rule: finding.rule,
            severity: finding.severity.key(),
            title: &finding.title,
            place: finding.place_text(self.circuit()),
            parts: finding.parts().map(|part| PartName::of(part, self.circuit())).collect(),
            found: Figure::amount(&finding.found, self.units),
            allowed: Figure::amount(&finding.allowed, self.units),
            clause: finding.clause,
            working: shapes::working(&finding.working, self.units),
        }
    }

    fn table(&self) -> String {
        let mut table = Table::new(&[
            words("", 1),
            words("what", 38),
            words("found", 16),
            words("allowed", 16),
            words("where", 20),
            words("clause", 26),
        ]);
        for finding in self.findings() {
            table.row([
                text::sign(finding.severity).to_owned(),
                finding.title.clone(),
                finding.found.show(self.units),
                finding.allowed.show(self.units),
                finding.place_text(self.circuit()),
                clause(finding).to_owned(),
            ]);
        }
        let body = if table.is_empty() { String::new() } else { format!("\n{}", table.show(0)) };
        self.page(&body)
    }

    fn with_workings(&self) -> String {
        let mut body = String::new();
        for finding in self.findings() {
            let _ = writeln!(body, "\n{} {}", text::sign(finding.severity), finding.title);
            let mut facts = Table::new(&[words("", 10), words("", 100)]);
            facts.row(["found".to_owned(), finding.found.show(self.units)]);
            facts.row(["allowed".to_owned(), finding.allowed.show(self.units)]);
            facts.row(["where".to_owned(), finding.place_text(self.circuit())]);
            facts.row(["clause".to_owned(), clause(finding).to_owned()]);
            facts.row(["id".to_owned(), finding.id(self.circuit())]);
            body.push_str(&facts.show(2));
            if !finding.working.lines.is_empty() {
                body.push_str("  working\n");
                body.push_str(&text::working(&finding.working, self.units, 4));
            }
        }
        self.page(&body)
    }

    fn page(&self, body: &str) -> String {
        let mut page = String::new();
        let _ = writeln!(page, "{}", text::heading(self.project, self.rule_set, self.file));
        let _ = writeln!(page, "{}", text::counts(Counts::of(self.report)));
        page.push_str(body);
        page.push('\n');
        page.push_str(&self.remarks());
        page.push_str(&text::paragraph(CAUTION, 0));
        page
    }

    /// What a reader must know beside the findings: how much was compared, and what is not listed.
    fn remarks(&self) -> String {
        let mut remarks = String::new();
        if self.circuit().block_count() == 0 {
            remarks.push_str("The sheet is empty; there was nothing to check.\n");
            return remarks;
        }
        let hidden = self.report.findings.len() - self.findings().count();
        match hidden {
            0 => {}
            1 => remarks.push_str("1 finding is less severe and not listed.\n"),
            many => {
                let _ =
                    writeln!(remarks, "{} findings are less severe and not listed.", units_text::count(many));
            }
        }
        let rules = lineside_rules::ALL.iter().filter(|rule| rule.clause(self.rule_set).is_some()).count();
        let compared = units_text::count(self.report.compared.len());
        let _ = writeln!(remarks, "{compared} comparisons by {} rules.", units_text::count(rules));
        if !self.report.unknown.is_empty() {
            let unknown = units_text::count(self.report.unknown.len());
            let _ = writeln!(remarks, "{unknown} could not be made for want of data.");
        }
        remarks
    }
}

fn clause(finding: &Finding) -> &'static str {
    if finding.clause.is_empty() { NO_CLAUSE } else { finding.clause }
}
