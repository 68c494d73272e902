//! Mending a whole project: the worst finding that has a remedy is mended by its first one, again and again. Each
//! step lowers the number of dangers and corrections, so that it ends for sure.

use super::offers::{Offer, offers};
use super::trial::{Budget, Key, Subject, key, objects};
use crate::finding::{Finding, Severity};
use crate::rules::FOLLOWS_CHANGES;
use crate::{Checked, check};
use lineside_codes::Codes;
use lineside_core::edit::Edit;
use lineside_core::project::{Project, StockItem};

/// Trials for one finding while mending: more than when remedies are only offered.
const TRIALS: u32 = 600;
/// Edits that may go with the first one of a step.
const COMPANIONS: usize = 14;

/// One step of mending.
#[derive(Clone, Debug, PartialEq)]
pub struct Step {
    /// The finding that it was made against.
    pub against: String,
    /// Its title, as the rule reported it.
    pub title: String,
    /// What was done.
    pub label: String,
    /// The edit, for the project as it stood after the steps before.
    pub edit: Edit,
    /// Ids of the findings that went.
    pub gone: Vec<String>,
}

/// A mended project.
#[derive(Clone, Debug, PartialEq)]
pub struct Mended {
    /// The project after all steps.
    pub project: Project,
    /// What the rules still report of it.
    pub checked: Checked,
    /// The steps, in order.
    pub steps: Vec<Step>,
}

/// Mends what can be mended of a project's dangers and corrections.
pub fn mend(project: &Project, codes: &Codes, stock: &[StockItem]) -> Mended {
    let checked = check(project, codes, project.rule_set);
    let mut now = Mended { project: project.clone(), checked, steps: Vec::new() };
    // What has no remedy is asked again after the next step that succeeds: it may have one then.
    let mut hopeless: Vec<Key> = Vec::new();
    loop {
        let next = now
            .checked
            .report
            .findings
            .iter()
            .find(|it| objects(it) && !hopeless.contains(&key(it)))
            .cloned();
        let Some(finding) = next else { return with_labels(now, codes, stock) };
        let subject = Subject { project: &now.project, codes, stock, checked: &now.checked };
        let mut budget = Budget { trials: TRIALS, companions: COMPANIONS };
        let offer = offers(&subject, &finding, &mut budget, OFFERS).into_iter().min_by_key(|offer| {
            let gone =
                objections(&now.checked) - objections(&offer.tried.checked).min(objections(&now.checked));
            // What clears several findings at once may disturb more.
            offer.effort.div_ceil(u32::try_from(gone).unwrap_or(1).max(1))
        });
        match offer {
            None => hopeless.push(key(&finding)),
            Some(offer) => {
                hopeless.clear();
                take(&mut now, &finding, offer);
            }
        }
    }
}

/// Remedies that are compared before one is taken.
const OFFERS: usize = 3;

fn objections(checked: &Checked) -> usize {
    checked.report.findings.iter().filter(|it| objects(it)).count()
}

fn take(now: &mut Mended, finding: &Finding, offer: Offer) {
    debug_assert!(objections(&offer.tried.checked) < objections(&now.checked), "each step lowers the number");
    note(now, finding, offer);
}

/// Labels that were made before are made anew, last of all.
fn with_labels(mut now: Mended, codes: &Codes, stock: &[StockItem]) -> Mended {
    let is_label = |it: &&Finding| it.severity < Severity::Advice && it.rule == FOLLOWS_CHANGES;
    let Some(finding) = now.checked.report.findings.iter().find(is_label).cloned() else { return now };
    let subject = Subject { project: &now.project, codes, stock, checked: &now.checked };
    let mut budget = Budget { trials: TRIALS, companions: 0 };
    if let Some(offer) = offers(&subject, &finding, &mut budget, 1).into_iter().next() {
        note(&mut now, &finding, offer);
    }
    now
}

fn note(now: &mut Mended, finding: &Finding, offer: Offer) {
    let before = &now.checked.report.findings;
    let after = &offer.tried.checked.report.findings;
    let gone = before.iter().filter(|it| !after.iter().any(|other| key(other) == key(it)));
    now.steps.push(Step {
        against: finding.id(&now.project.circuit),
        title: finding.title.clone(),
        label: offer.proposal.label,
        edit: offer.proposal.edit,
        gone: gone.map(|it| it.id(&now.project.circuit)).collect(),
    });
    now.project = offer.tried.project;
    now.checked = offer.tried.checked;
}
