//! Accepted advice against what the rules report: which advice is accepted, which acceptance has lapsed.
//!
//! Only advice can be accepted. A finding that has become a correction or a danger is open again whatever was written
//! down before. What was written down is the core crate's [`AcceptedAdvice`].

use crate::finding::{Amount, Finding, Part, Severity};
use crate::report::Report;
use jiff::civil::Date;
use lineside_core::circuit::{Circuit, Side};
use lineside_core::project::{AcceptedAdvice, AdvicePlace, Project};
use lineside_core::units::UnitSystem;

/// Where a finding is, as accepted advice keeps it.
pub fn place_of(part: Part, circuit: &Circuit) -> AdvicePlace {
    match part {
        Part::Block(_) => AdvicePlace::Block(part.name(circuit)),
        Part::Run(_) => AdvicePlace::Run(part.name(circuit)),
        Part::RunEnd(run, Side::From) => AdvicePlace::RunFrom(Part::Run(run).name(circuit)),
        Part::RunEnd(run, Side::To) => AdvicePlace::RunTo(Part::Run(run).name(circuit)),
        Part::Place(_) => AdvicePlace::Place(part.name(circuit)),
        Part::Project => AdvicePlace::Project,
    }
}

/// Id of the finding of which an entry speaks, as [`Finding::id`] writes it.
pub fn finding_id(entry: &AcceptedAdvice) -> String {
    let at = match &entry.at {
        AdvicePlace::Block(name) | AdvicePlace::Run(name) | AdvicePlace::Place(name) => name.clone(),
        AdvicePlace::RunFrom(name) => format!("{name}.{}", Side::From.key()),
        AdvicePlace::RunTo(name) => format!("{name}.{}", Side::To.key()),
        AdvicePlace::Project => Part::Project.name(&Circuit::default()),
    };
    let aspect = if entry.aspect.is_empty() { String::new() } else { format!("#{}", entry.aspect) };
    format!("{}@{at}{aspect}", entry.rule)
}

/// What a finding says, for the comparison with what it said when it was accepted: `Drop in W3: 3.2 % against 2 %`.
pub fn said(finding: &Finding) -> String {
    // In SI units, so that a change of units does not look like a change of the finding.
    let show = |amount: &Amount| amount.show(UnitSystem::Si);
    match (show(&finding.found), show(&finding.allowed)) {
        (found, allowed) if found.is_empty() && allowed.is_empty() => finding.title.clone(),
        (found, allowed) if allowed.is_empty() => format!("{}: {found}", finding.title),
        (found, allowed) => format!("{}: {found} against {allowed}", finding.title),
    }
}

/// An entry that accepts a finding; `None` when it is no advice.
pub fn accept(
    finding: &Finding,
    circuit: &Circuit,
    reason: &str,
    date: Date,
    by: &str,
) -> Option<AcceptedAdvice> {
    (finding.severity == Severity::Advice).then(|| AcceptedAdvice {
        rule: finding.rule.to_owned(),
        at: place_of(finding.at, circuit),
        aspect: finding.aspect.to_owned(),
        said: said(finding),
        reason: reason.trim().to_owned(),
        date,
        by: by.trim().to_owned(),
    })
}

/// How the findings of a report stand to what has been accepted.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Standing {
    /// Accepted advice: the position of the finding in the report, and of its entry in the project.
    pub accepted: Vec<(usize, usize)>,
    /// Entries of the project whose finding no longer arises as advice.
    pub lapsed: Vec<usize>,
}

impl Standing {
    /// Of a report on a project.
    pub fn of(project: &Project, report: &Report) -> Self {
        let mut standing = Self::default();
        for (entry_at, entry) in project.accepted.iter().enumerate() {
            let speaks_of = |finding: &Finding| {
                finding.severity == Severity::Advice
                    && finding.rule == entry.rule
                    && finding.aspect == entry.aspect
                    && place_of(finding.at, &project.circuit) == entry.at
            };
            match report.findings.iter().position(speaks_of) {
                Some(finding_at) => standing.accepted.push((finding_at, entry_at)),
                None => standing.lapsed.push(entry_at),
            }
        }
        standing
    }

    /// Whether the finding at a position of the report is accepted.
    pub fn accepts(&self, finding: usize) -> bool {
        self.accepted.iter().any(|(at, _)| *at == finding)
    }

    /// The entry that accepts the finding at a position of the report.
    pub fn entry<'a>(&self, project: &'a Project, finding: usize) -> Option<&'a AcceptedAdvice> {
        let (_, entry) = self.accepted.iter().find(|(at, _)| *at == finding)?;
        project.accepted.get(*entry)
    }

    /// The findings of a report that nobody has accepted, in their order.
    pub fn open<'a>(&'a self, report: &'a Report) -> impl Iterator<Item = &'a Finding> {
        report.findings.iter().enumerate().filter(|(at, _)| !self.accepts(*at)).map(|(_, finding)| finding)
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::check;
    use lineside_codes::Codes;
    use lineside_core::edit::{Edit, apply};
    use lineside_core::file;

    fn as_found() -> Project {
        file::read(include_str!("../../../assets/demos/as-found.lineside")).unwrap()
    }

    fn day() -> Date {
        jiff::civil::date(2026, 3, 14)
    }

    #[test]
    fn only_advice_can_be_accepted_and_its_entry_names_the_finding() {
        let project = as_found();
        let checked = check(&project, &Codes::load().unwrap(), project.rule_set);
        let mut advice = 0;
        for finding in &checked.report.findings {
            let entry = accept(finding, &project.circuit, "It is so.", day(), "");
            assert_eq!(entry.is_some(), finding.severity == Severity::Advice, "{}", finding.title);
            if let Some(entry) = entry {
                assert_eq!(finding_id(&entry), finding.id(&project.circuit));
                advice += 1;
            }
        }
        assert!(advice > 0, "the demo has advice");
    }

    #[test]
    fn accepted_advice_leaves_the_open_findings_and_lapses_when_it_no_longer_arises() {
        let codes = Codes::load().unwrap();
        let mut project = as_found();
        let report = check(&project, &codes, project.rule_set).report;
        let finding = report.findings.iter().find(|it| it.severity == Severity::Advice).unwrap();
        let entry = accept(finding, &project.circuit, " The owner wants it. ", day(), "M.").unwrap();
        assert_eq!(entry.reason, "The owner wants it.");
        let of_danger = AcceptedAdvice {
            rule: report.findings[0].rule.to_owned(),
            at: place_of(report.findings[0].at, &project.circuit),
            aspect: report.findings[0].aspect.to_owned(),
            ..entry.clone()
        };
        assert_eq!(report.findings[0].severity, Severity::Danger);
        let gone = AcceptedAdvice { rule: "no-such-rule".to_owned(), ..entry.clone() };
        apply(&mut project, Edit::SetAccepted(vec![of_danger, entry, gone])).unwrap();
        let standing = Standing::of(&project, &report);
        // The danger stays open though somebody wrote it into the file; what does not arise has lapsed.
        assert_eq!(standing.lapsed, [0, 2]);
        assert_eq!(standing.accepted.len(), 1);
        assert_eq!(standing.open(&report).count(), report.findings.len() - 1);
        assert!(standing.open(&report).all(|it| it.id(&project.circuit) != finding.id(&project.circuit)));
        let at = report.findings.iter().position(|it| it == finding).unwrap();
        assert_eq!(standing.entry(&project, at).map(|it| it.by.as_str()), Some("M."));
        assert_eq!(standing.entry(&project, 0), None);
    }
}
