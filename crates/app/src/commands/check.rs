//! `lineside check FILE`: what breaks a rule, worst first.
//!
//! What is a fault is the `rules` crate's; this file only prints.

use super::options::CheckOptions;
use super::shapes::{self, Counts, Figure, Head, PartName, WorkingLine};
use super::table::{Table, words};
use super::text::{self, CAUTION, NO_CLAUSE};
use super::{Verdict, input, mend, output};
use crate::commands::failure::Failure;
use crate::disk::{self, Conflict};
use crate::engine::{Derived, Engine};
use crate::review::{self, Form};
use lineside_core::circuit::Circuit;
use lineside_core::project::{AcceptedAdvice, Project, RuleSet};
use lineside_core::units::{UnitSystem, text as units_text};
use lineside_rules::acceptance::{self, Standing};
use lineside_rules::{Checked, Finding, Report, Severity};
use serde::Serialize;
use std::fmt::Write;
use std::path::Path;

/// Checks a project and prints the findings.
pub fn run(options: &CheckOptions) -> Result<Verdict, Failure> {
    if let (true, Some(output)) = (options.fix, &options.output) {
        return mend::run(options, output);
    }
    if let Some(path) = options.output.as_deref().filter(|path| Form::of(path).is_none()) {
        return Err(Failure::ReviewEnding(path.to_owned()));
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
        standing: Standing::of(&loaded.project, &checked.report),
    };
    if let Some(path) = &options.output {
        write_review(path, &loaded.project, &checked, &listing)?;
    }
    if options.json {
        output::print_json(&listing.shape())?;
    } else if options.output.is_some() {
        output::print(&listing.written())?;
    } else if options.working {
        output::print(&listing.with_workings())?;
    } else {
        output::print(&listing.table())?;
    }
    Ok(Verdict::of(Counts::of(&checked.report)))
}

/// Writes the review of a project under the rule set by which it was checked.
fn write_review(
    path: &Path,
    project: &Project,
    checked: &Checked,
    listing: &Listing<'_>,
) -> Result<(), Failure> {
    let form = Form::of(path).ok_or_else(|| Failure::ReviewEnding(path.to_owned()))?;
    let (engine, told) = Engine::of_this_person().map_err(|error| Failure::Damaged(error.to_string()))?;
    if let Some(told) = told {
        output::remark(&told);
    }
    let project = Project { rule_set: listing.rule_set, ..project.clone() };
    let derived = Derived::of(&project, checked.clone(), 0);
    let bytes =
        review::write(&project, &derived, &engine, listing.units, form).map_err(Failure::ReviewPages)?;
    disk::save(path, &bytes, None, Conflict::Overwrite).map_err(Failure::Review)?;
    Ok(())
}

struct Listing<'a> {
    file: &'a str,
    project: &'a Project,
    rule_set: RuleSet,
    units: UnitSystem,
    report: &'a Report,
    /// The least severity that is listed.
    least: Severity,
    /// Which advice has been accepted.
    standing: Standing,
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
    lapsed: Vec<AcceptedShape<'a>>,
}

/// Advice that was accepted.
#[derive(Serialize)]
struct AcceptedShape<'a> {
    id: String,
    reason: &'a str,
    date: String,
    by: &'a str,
    said: &'a str,
}

impl<'a> AcceptedShape<'a> {
    fn of(entry: &'a AcceptedAdvice) -> Self {
        Self {
            id: acceptance::finding_id(entry),
            reason: &entry.reason,
            date: entry.date.to_string(),
            by: &entry.by,
            said: &entry.said,
        }
    }
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
    accepted: Option<AcceptedShape<'a>>,
}

impl<'a> Listing<'a> {
    fn circuit(&self) -> &'a Circuit {
        &self.project.circuit
    }
    /// The findings that are listed, with their positions in the report.
    fn findings(&self) -> impl Iterator<Item = (usize, &'a Finding)> {
        let least = self.least;
        // The worst severity is the smallest.
        self.report.findings.iter().enumerate().filter(move |(_, finding)| finding.severity <= least)
    }
    fn open(&self) -> impl Iterator<Item = &'a Finding> {
        self.findings().filter(|(at, _)| !self.standing.accepts(*at)).map(|(_, finding)| finding)
    }
    fn entry(&self, at: usize) -> Option<&'a AcceptedAdvice> {
        self.standing.entry(self.project, at)
    }
    fn lapsed(&self) -> impl Iterator<Item = &'a AcceptedAdvice> {
        self.standing.lapsed.iter().filter_map(|at| self.project.accepted.get(*at))
    }

    fn shape(&self) -> CheckShape<'a> {
        CheckShape {
            head: Head::of("check"),
            file: self.file,
            rule_set: self.rule_set.key(),
            counts: Counts::of(self.report),
            compared: self.report.compared.len(),
            findings: self.findings().map(|(at, finding)| self.finding_shape(at, finding)).collect(),
            lapsed: self.lapsed().map(AcceptedShape::of).collect(),
        }
    }

    fn finding_shape(&self, at: usize, finding: &'a Finding) -> FindingShape<'a> {
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
            accepted: self.entry(at).map(AcceptedShape::of),
        }
    }

    /// How many findings stand in the review that was written.
    fn written(&self) -> String {
        let heading = text::heading(self.project, self.rule_set, self.file);
        let counts = text::counts(Counts::of(self.report));
        format!("{heading}\n{counts}\nThe review is written.\n")
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
        for finding in self.open() {
            let [found, allowed] = finding.cells(self.units);
            table.row([
                text::sign(finding.severity).to_owned(),
                finding.title.clone(),
                found,
                allowed,
                finding.place_text(self.circuit()),
                clause(finding).to_owned(),
            ]);
        }
        let body = if table.is_empty() { String::new() } else { format!("\n{}", table.show(0)) };
        self.page(&body)
    }

    fn with_workings(&self) -> String {
        let mut body = String::new();
        for finding in self.open() {
            let _ = writeln!(body, "\n{} {}", text::sign(finding.severity), finding.title);
            let mut facts = Table::new(&[words("", 10), words("", 100)]);
            let [found, allowed] = finding.words().map(str::to_owned);
            facts.row([found, finding.found.show(self.units)]);
            facts.row([allowed, finding.allowed.show(self.units)]);
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
        let accepted = match self.standing.accepted.len() {
            0 => String::new(),
            count => format!(", {} of it accepted", units_text::count(count)),
        };
        let _ = writeln!(page, "{}{accepted}", text::counts(Counts::of(self.report)));
        page.push_str(body);
        page.push_str(&self.accepted());
        page.push('\n');
        page.push_str(&self.remarks());
        page.push_str(&text::paragraph(CAUTION, 0));
        page
    }

    /// Advice that somebody lives with, and why; then what was accepted and no longer arises.
    fn accepted(&self) -> String {
        let mut out = String::new();
        let accepted: Vec<(&Finding, &AcceptedAdvice)> =
            self.findings().filter_map(|(at, finding)| Some((finding, self.entry(at)?))).collect();
        if !accepted.is_empty() {
            out.push_str("\nAccepted advice\n");
            for (finding, entry) in accepted {
                let _ = writeln!(out, "{} {}", text::sign(finding.severity), finding.title);
                out.push_str(&reason(entry, Some(finding)).show(2));
            }
        }
        let mut lapsed = self.lapsed().peekable();
        if lapsed.peek().is_some() {
            out.push_str("\nAccepted, but no longer found as advice\n");
            for entry in lapsed {
                let _ = writeln!(out, "  {}", acceptance::finding_id(entry));
                out.push_str(&reason(entry, None).show(4));
            }
        }
        out
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

/// Why it was accepted, when and by whom; and what it said then, where that is something else now.
fn reason(entry: &AcceptedAdvice, finding: Option<&Finding>) -> Table {
    let mut facts = Table::new(&[words("", 10), words("", 100)]);
    facts.row(["reason".to_owned(), entry.reason.clone()]);
    let by = if entry.by.is_empty() { String::new() } else { format!(" by {}", entry.by) };
    facts.row(["accepted".to_owned(), format!("{}{by}", entry.date)]);
    let changed = finding.is_none_or(|finding| acceptance::said(finding) != entry.said);
    if changed && !entry.said.is_empty() {
        facts.row(["said then".to_owned(), entry.said.clone()]);
    }
    if let (true, Some(finding)) = (changed, finding) {
        facts.row(["says now".to_owned(), acceptance::said(finding)]);
    }
    facts
}

fn clause(finding: &Finding) -> &'static str {
    if finding.clause.is_empty() { NO_CLAUSE } else { finding.clause }
}
