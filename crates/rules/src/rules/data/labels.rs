//! Rule `labels`. Which labels are needed is the study's to find; how those that were made differ is in
//! `label_differences.rs`.

use super::label_differences::{Difference, How, Unlike, differences};
use crate::circumstances::Circumstances;
use crate::finding::{Amount, Finding, Part, Severity, words};
use crate::remedy::Proposal;
use crate::report::Report;
use crate::rule::rule;
use lineside_core::edit::Edit;
use lineside_core::project::LabelKind;
use lineside_core::units::Quantity;
use lineside_core::working::{Line, Listener, Origin, Working};
use lineside_study::required_labels::{self, RequiredLabels, Undecided};

rule! {
    /// Every label is there, and its values are current
    ///
    /// ## The harm
    /// A label that is missing warns nobody; one with yesterday's voltage or fault current has somebody choose the wrong
    /// meter, glove or breaker.
    ///
    /// ## The formula
    /// Each value is compared as it is printed: voltages and currents in whole units, rounded up. `111.60 V < 128.47 V`
    /// is a label printed with the voltage at 25 °C: it must read 129 V. Wordings are not compared, so that a firm may
    /// use the text of its code.
    ///
    /// ## The limit
    /// Every label that the rule set asks of this circuit has been made, with the values that the studies find, and none
    /// is left that nothing asks for. As long as none has been made at all, that is advice: a draft needs none. Whether a
    /// label is needed may hang on the brief; what it does not say is asked for.
    ///
    /// ## What to do
    /// Make the labels anew, and put them up where they stand in the list.
    LABELS {
        id: "labels",
        severity: Correction,
        status: Stable,
        clauses: [
            Nec2023: "NEC 2023 110.21(B) and the clause of each label",
            Nec2020: "NEC 2020 110.21(B) and the clause of each label",
            Nec2017: "NEC 2017 110.21(B) and the clause of each label",
            Iec: "IEC 62548-1 cl. 10, IEC 60364-7-712 cl. 712.514, IEC 62485-2 cl. 11",
        ],
        check: check,
        remedies: remedies,
    }
}

fn check(on: &Circumstances<'_>, report: &mut Report) {
    let required = required_labels::study(&on.on, on.studies);
    if on.project().labels.is_empty() {
        not_made(on, report, &required);
        return;
    }
    let missing = required.all.iter().flat_map(|label| label.missing.iter().copied());
    for missing in missing.chain(required.undecided.iter().map(|it| it.missing)) {
        report.cannot_tell(missing);
    }
    let found = differences(on, report, &required);
    for of_kind in found.chunk_by(|a, b| a.kind == b.kind) {
        find(on, report, of_kind);
    }
}

/// One piece of advice for all of them. It stands under every draft, so that little is written.
fn not_made(on: &Circumstances<'_>, report: &mut Report, required: &RequiredLabels) {
    let needed = required.all.len();
    if needed == 0 || !report.count_at_least(Part::Project, 0, needed).fails() {
        return;
    }
    let mut working = Working::new();
    for of_kind in required.all.chunk_by(|a, b| a.kind == b.kind) {
        let Some(first) = of_kind.first() else { continue };
        working.found(first.kind.label(), "n", String::new, Quantity::count(of_kind.len()));
    }
    for it in &required.undecided {
        working.lines.push(undecided(on, *it));
    }
    let needs = if required.undecided.is_empty() { "" } else { " at least" };
    let title = format!("No labels have been made: this system needs{needs} {needed}");
    let finding = LABELS.finding(on, Severity::Advice, Part::Project, title);
    report.find(finding.against(Quantity::count(0), Quantity::count(needed)).working(working));
}

/// That one more may be needed, and what would tell.
fn undecided(on: &Circumstances<'_>, it: Undecided) -> Line {
    let whose = it.missing.owner_name(on.circuit());
    Line {
        meaning: it.kind.label().into(),
        symbol: "n".into(),
        formula: "perhaps".into(),
        value: Quantity::count(1),
        origin: Origin::Assumed(format!("“{}” of {whose} is not given", it.missing.datum)),
    }
}

/// One finding for all labels of a kind, so that dragging does not fill the list.
fn find(on: &Circumstances<'_>, report: &mut Report, of_kind: &[Difference]) {
    let Some(worst) = of_kind.iter().rev().max_by_key(|it| it.how.weight()) else { return };
    let mut finding = LABELS
        .finding(on, Severity::Correction, worst.at, title(on, of_kind, worst))
        .aspect(worst.kind.key())
        .also_all(of_kind.iter().map(|it| it.at).filter(|at| *at != worst.at));
    (finding.found, finding.allowed) = amounts(worst);
    let mut working = Working::new();
    for difference in of_kind {
        tell(on, difference, &mut working);
    }
    report.find(finding.working(working));
}

fn title(on: &Circumstances<'_>, of_kind: &[Difference], worst: &Difference) -> String {
    let label = worst.kind.label();
    if let [only] = of_kind {
        let name = only.at.name(on.circuit());
        return format!("The label “{label}” of {name} {}", only.how.verdict().of_one);
    }
    let counts = How::ALL_VERDICTS.iter().filter_map(|verdict| {
        let count = of_kind.iter().filter(|it| it.how.verdict() == *verdict).count();
        (count > 0).then(|| format!("{count} {}", verdict.of_several))
    });
    format!("Labels “{label}”: {}", counts.collect::<Vec<_>>().join(", "))
}

fn amounts(difference: &Difference) -> (Amount, Amount) {
    match &difference.how {
        How::Missing => (words("none"), words("a label")),
        How::NotNeeded => (words("a label"), words("none")),
        How::Stale(all) => match all.first() {
            Some(Unlike::Value { printed: Some(printed), now, .. }) => ((*printed).into(), (*now).into()),
            Some(Unlike::Value { printed: None, now, .. }) => (words("not on the label"), (*now).into()),
            Some(Unlike::Words { printed, now, .. }) => (words(printed.clone()), words(now.clone())),
            None => (words("other values"), words("the values found")),
        },
    }
}

/// What is on the label, and what the studies find.
fn tell(on: &Circumstances<'_>, difference: &Difference, working: &mut Working) {
    let How::Stale(all) = &difference.how else { return };
    let at = difference.at.name(on.circuit());
    let clause = clause(on, difference.kind);
    for unlike in all {
        let Unlike::Value { meaning, printed, now, rounded } = unlike else { continue };
        let mut line = |symbol: &'static str, value, origin| {
            working.lines.push(Line {
                meaning: (*meaning).into(),
                symbol: symbol.into(),
                formula: "".into(),
                value,
                origin,
            });
        };
        if let Some(printed) = printed {
            line("printed", *printed, Origin::Setting(format!("label at {at}")));
        }
        line("found", *now, Origin::Working("study of the circuit".to_owned()));
        line("to be printed", *rounded, Origin::Table(clause.clone()));
    }
}

fn clause(on: &Circumstances<'_>, kind: LabelKind) -> String {
    let row = on.codes().common.labels.find(kind, on.rule_set(), None);
    row.and_then(|row| row.clause(on.rule_set())).unwrap_or_default()
}

/// All labels, as they must be now.
fn remedies(on: &Circumstances<'_>, _: &Finding) -> Vec<Proposal> {
    let required = required_labels::study(&on.on, on.studies);
    let labels = required.made(&on.on, on.project().units);
    let label = if on.project().labels.is_empty() { "Make the labels" } else { "Make the labels anew" };
    vec![Proposal { label: label.to_owned(), edit: Edit::SetLabels(labels) }]
}
