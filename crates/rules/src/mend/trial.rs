//! Trying an edit on a copy: studies and rules run again, and what they report is held against what they reported
//! before. Which edits are tried is decided in `offers.rs` and `companions.rs`.

use crate::circumstances::Circumstances;
use crate::finding::{Finding, Part, Severity};
use crate::report::{CannotTell, Report};
use crate::rules::FOLLOWS_CHANGES;
use crate::{ALL, Checked, judge};
use lineside_codes::Codes;
use lineside_core::edit::{Edit, Refusal, apply};
use lineside_core::project::{Project, StockItem};
use lineside_study::Conditions;
use std::collections::{BTreeMap, BTreeSet};

/// A project with everything that remedies are found from.
#[derive(Clone, Copy)]
pub struct Subject<'a> {
    /// The project, checked under its own rule set.
    pub project: &'a Project,
    /// The tables.
    pub codes: &'a Codes,
    /// Stock from which equipment may be taken, beside the project's own.
    pub stock: &'a [StockItem],
    /// What the rules report now.
    pub checked: &'a Checked,
}

impl<'a> Subject<'a> {
    /// As rules see it.
    pub fn circumstances(&self) -> Circumstances<'a> {
        let on = Conditions::new(self.project, self.codes);
        Circumstances { on, studies: &self.checked.studies, stock: self.stock }
    }
}

/// Whether a finding is a reason against an edit: a danger or a correction that does not follow from every change.
pub(super) fn objects(finding: &Finding) -> bool {
    finding.severity < Severity::Advice && finding.rule != FOLLOWS_CHANGES
}

/// Names a finding within one project, without writing its id out.
pub(super) type Key = (&'static str, Part, &'static str);

/// The key of a finding.
pub(super) const fn key(finding: &Finding) -> Key {
    (finding.rule, finding.at, finding.aspect)
}

/// What was reported before anything was tried.
pub(super) struct Ledger {
    findings: BTreeMap<Key, Severity>,
    unknown: BTreeSet<CannotTell>,
}

impl Ledger {
    /// Of a report.
    pub(super) fn of(report: &Report) -> Self {
        Self {
            findings: report.findings.iter().map(|it| (key(it), it.severity)).collect(),
            unknown: report.unknown.iter().copied().collect(),
        }
    }

    /// Dangers and corrections that were not there, or were less severe.
    pub(super) fn newcomers<'a>(&'a self, report: &'a Report) -> impl Iterator<Item = &'a Finding> {
        report.findings.iter().filter(|it| {
            objects(it) && self.findings.get(&key(it)).is_none_or(|before| it.severity < *before)
        })
    }

    /// Advice that was not there, and what follows from every change.
    pub(super) fn advice<'a>(&'a self, report: &'a Report) -> impl Iterator<Item = &'a Finding> {
        report.findings.iter().filter(|it| !objects(it) && !self.findings.contains_key(&key(it)))
    }

    /// Findings that were there and are not any more.
    pub(super) fn gone<'a>(&self, before: &'a Report, report: &Report) -> impl Iterator<Item = &'a Finding> {
        let now: BTreeSet<Key> = report.findings.iter().map(key).collect();
        before.findings.iter().filter(move |it| !now.contains(&key(it)))
    }

    /// How many comparisons can no longer be made.
    pub(super) fn newly_unknown(&self, report: &Report) -> usize {
        report.unknown.iter().filter(|it| !self.unknown.contains(it)).count()
    }

    /// Whether a rule can no longer tell something that it could tell before.
    fn blinds(&self, report: &Report, rule: &str) -> bool {
        report.unknown.iter().any(|it| it.rule == rule && !self.unknown.contains(it))
    }
}

/// A copy of the project after an edit.
pub(super) struct Tried {
    /// The copy.
    pub project: Project,
    /// What the rules report of it.
    pub checked: Checked,
}

impl Tried {
    /// As a subject of further edits.
    pub(super) const fn subject<'a>(&'a self, from: &Subject<'a>) -> Subject<'a> {
        Subject { project: &self.project, checked: &self.checked, codes: from.codes, stock: from.stock }
    }
}

/// How a trial ended.
pub(super) enum Outcome {
    /// The edit was refused, or the finding is still there.
    Useless,
    /// The finding goes, but others come.
    Brings(Box<Tried>),
    /// The finding goes, and nothing worse comes.
    Works(Box<Tried>),
}

/// How long to look. A trial costs a full check, so that their number bounds the time.
pub(super) struct Budget {
    /// Trials that may still be made.
    pub trials: u32,
    /// Edits that may go with the first one.
    pub companions: usize,
}

impl Budget {
    /// One trial less; `None` when there is none left.
    pub(super) fn spend(&mut self) -> Option<()> {
        self.trials = self.trials.checked_sub(1)?;
        Some(())
    }
}

/// Tries an edit against a finding. `ledger` is of the project as the designer has it, which may be some edits
/// before `subject`.
pub(super) fn attempt(subject: &Subject<'_>, ledger: &Ledger, wanted: Key, edit: &Edit) -> Outcome {
    let mut project = subject.project.clone();
    if apply(&mut project, edit.clone()).is_err() {
        return Outcome::Useless;
    }
    let on = Conditions::new(&project, subject.codes);
    let studies = lineside_study::all(&on);
    let report = {
        let circumstances = Circumstances::of(on, &studies);
        if is_still_there(&circumstances, wanted) {
            return Outcome::Useless;
        }
        judge(&circumstances)
    };
    let is_there = report.findings.iter().any(|it| key(it) == wanted);
    // Labels that have been made ask for what was open all along.
    let blinds = wanted.0 != FOLLOWS_CHANGES && ledger.blinds(&report, wanted.0);
    if is_there || blinds {
        return Outcome::Useless;
    }
    let works = ledger.newcomers(&report).next().is_none();
    let tried = Box::new(Tried { project, checked: Checked { studies, report } });
    if works { Outcome::Works(tried) } else { Outcome::Brings(tried) }
}

/// Makes an edit on a copy and lets every rule speak of it.
pub(super) fn outcome_of(subject: &Subject<'_>, edit: &Edit) -> Result<Tried, Refusal> {
    let mut project = subject.project.clone();
    apply(&mut project, edit.clone())?;
    let on = Conditions::new(&project, subject.codes);
    let studies = lineside_study::all(&on);
    let report = judge(&Circumstances::of(on, &studies));
    Ok(Tried { project, checked: Checked { studies, report } })
}

/// Asks the rule of the finding alone, which saves most of the work of a trial that fails. The rule that speaks for
/// all the others cannot be asked alone.
fn is_still_there(on: &Circumstances<'_>, wanted: Key) -> bool {
    let rule = ALL.iter().find(|rule| rule.id == wanted.0 && rule.id != crate::rules::SPEAKS_FOR_OTHERS);
    rule.is_some_and(|rule| {
        let mut alone = Report { rule: rule.id, ..Report::default() };
        (rule.check)(on, &mut alone);
        alone.findings.iter().any(|it| key(it) == wanted)
    })
}
