//! Remedies: edits that have been tried on a copy and found to clear a finding without a worse one coming.

use crate::finding::{Finding, Severity};
use crate::rules::FOLLOWS_CHANGES;
use crate::{Checked, check};
use lineside_codes::Codes;
use lineside_core::edit::{Edit, apply};
use lineside_core::project::Project;

/// An edit that a rule thinks worth trying.
#[derive(Clone, Debug, PartialEq)]
pub struct Proposal {
    /// What it does, as people read it: `38 cells`.
    pub label: String,
    /// The edit.
    pub edit: Edit,
}

/// A proposal that was tried and works.
#[derive(Clone, Debug, PartialEq)]
pub struct Remedy {
    /// What it does.
    pub label: String,
    /// The edit, to be made as one step.
    pub edit: Edit,
    /// Ids of the findings that go.
    pub goes: Vec<String>,
    /// Ids of advice that comes with it.
    pub comes: Vec<String>,
}

/// Tries the proposals against a finding, in their order, and keeps those that work.
pub fn tried(
    project: &Project,
    codes: &Codes,
    before: &Checked,
    finding: &Finding,
    proposals: Vec<Proposal>,
) -> Vec<Remedy> {
    let circuit = &project.circuit;
    let known: Vec<(String, Severity)> =
        before.report.findings.iter().map(|it| (it.id(circuit), it.severity)).collect();
    let wanted = finding.id(circuit);
    proposals.into_iter().filter_map(|proposal| try_one(project, codes, &known, &wanted, proposal)).collect()
}

fn try_one(
    project: &Project,
    codes: &Codes,
    known: &[(String, Severity)],
    wanted: &str,
    proposal: Proposal,
) -> Option<Remedy> {
    let mut copy = project.clone();
    apply(&mut copy, proposal.edit.clone()).ok()?;
    let after = check(&copy, codes, project.rule_set);
    let now: Vec<(String, Severity)> =
        after.report.findings.iter().map(|it| (it.id(&copy.circuit), it.severity)).collect();
    let follows: Vec<String> = after
        .report
        .findings
        .iter()
        .filter(|it| it.rule == FOLLOWS_CHANGES)
        .map(|it| it.id(&copy.circuit))
        .collect();
    let severity_before =
        |id: &str| known.iter().find(|(other, _)| other == id).map(|(_, severity)| *severity);
    if now.iter().any(|(id, _)| id == wanted) {
        return None;
    }
    let worse =
        now.iter().filter(|(id, _)| !follows.contains(id)).any(|(id, severity)| match severity_before(id) {
            Some(before) => *severity < before,
            None => *severity < Severity::Advice,
        });
    if worse {
        return None;
    }
    let goes = known
        .iter()
        .filter(|(id, _)| !now.iter().any(|(other, _)| other == id))
        .map(|(id, _)| id.clone())
        .collect();
    let comes =
        now.iter().filter(|(id, _)| severity_before(id).is_none()).map(|(id, _)| id.clone()).collect();
    Some(Remedy { label: proposal.label, edit: proposal.edit, goes, comes })
}
