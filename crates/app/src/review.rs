//! The review of a project: its findings with numbers, clauses and remedies, accepted advice with reasons, and what a reader
//! must know, put into words for paper. For the command and for the window alike.
//!
//! How it is set on pages is the `pack` crate's.

use crate::engine::{Derived, Engine};
use crate::window::symbols::plain;
use lineside_core::project::{AcceptedAdvice, Project};
use lineside_core::units::{UnitSystem, text};
use lineside_core::working::Line as WorkingLine;
use lineside_pack::pdf::PdfFault;
use lineside_pack::review::{self, Entry, Line, Paper, Review, Section, Sign};
use lineside_rules::acceptance::{finding_id, said};
use lineside_rules::mend::{ProvenRemedy, Subject, remedies};
use lineside_rules::{Finding, Severity};
use std::path::Path;

/// Remedies that are printed for one finding.
const REMEDIES: usize = 3;
/// The language in which it is written.
const LANGUAGE: &str = "en";

/// What a review is written as.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Form {
    /// Pages.
    Pdf,
    /// One page of the web.
    Html,
    /// Plain text.
    Text,
}

impl Form {
    /// The form that the ending of a name asks for.
    pub fn of(path: &Path) -> Option<Self> {
        match path.extension()?.to_str()?.to_lowercase().as_str() {
            "pdf" => Some(Self::Pdf),
            "html" | "htm" => Some(Self::Html),
            "txt" => Some(Self::Text),
            _ => None,
        }
    }
}

/// Writes the review of a project as it stands under its rule set.
pub fn write(
    project: &Project,
    derived: &Derived,
    engine: &Engine,
    units: UnitSystem,
    form: Form,
) -> Result<Vec<u8>, PdfFault> {
    let review = of(project, derived, engine, units);
    let paper = match units {
        UnitSystem::Us => Paper::Letter,
        UnitSystem::Si => Paper::A4,
    };
    match form {
        Form::Pdf => review::pdf(&review, paper, LANGUAGE),
        Form::Html => Ok(review::html(&review, LANGUAGE).into_bytes()),
        Form::Text => Ok(review::text(&review).into_bytes()),
    }
}

/// A review in words.
pub fn of(project: &Project, derived: &Derived, engine: &Engine, units: UnitSystem) -> Review {
    let on = On { project, derived, engine, units };
    let mut sections: Vec<Section> = Severity::ALL.iter().filter_map(|it| on.open(*it)).collect();
    sections.extend(on.accepted());
    sections.extend(on.lapsed());
    sections.extend(on.unknown());
    Review {
        title: project.name().to_owned(),
        facts: on.facts(),
        summary: on.summary(),
        sections,
        cautions: CAUTIONS.map(str::to_owned).to_vec(),
        foot: format!("{}, findings by {}", project.name(), project.rule_set.label()),
    }
}

/// What stands below every review.
const CAUTIONS: [&str; 4] = [
    "This is not an approval. The adopted code with its local changes, the instructions of the equipment and a licensed \
     professional come first; where they differ from what is written here, they hold.",
    "Only what is drawn and given was looked at. What is built otherwise, or was left out, is not covered.",
    "The remedies were tried on a copy of the project: each clears its finding, and no danger or correction comes with it. Whether \
     it suits the site is for the designer to say.",
    "Advice that was accepted is the designer's responsibility. Dangers and corrections cannot be accepted.",
];

struct On<'a> {
    project: &'a Project,
    derived: &'a Derived,
    engine: &'a Engine,
    units: UnitSystem,
}

fn fact(name: &str, value: impl Into<String>) -> (String, String) {
    (name.to_owned(), value.into())
}

impl On<'_> {
    fn facts(&self) -> Vec<(String, String)> {
        let title = &self.project.title;
        let mut facts = Vec::new();
        for (name, value) in [
            ("customer", &title.customer),
            ("site", &title.site_address),
            ("firm", &title.firm),
            ("drawing", &title.drawing_number),
            ("drawn by", &title.drawn_by),
            ("checked by", &title.checked_by),
        ] {
            if !value.is_empty() {
                facts.push(fact(name, value.clone()));
            }
        }
        facts.push(match self.project.revisions.last() {
            Some(revision) => fact("revision", format!("{} of {}", revision.letter, revision.date)),
            None => fact("revision", "none yet; the project has no date"),
        });
        facts.push(fact("rule set", self.project.rule_set.label()));
        facts
    }

    fn summary(&self) -> String {
        let counted = |severity| {
            let count = self.derived.open().filter(|it| it.severity == severity).count();
            crate::window::marks::words(severity, count)
        };
        let standing = &self.derived.standing;
        let mut all = Severity::ALL.map(counted).to_vec();
        if !standing.accepted.is_empty() {
            all.push(format!("{} accepted", text::count(standing.accepted.len())));
        }
        if !standing.lapsed.is_empty() {
            all.push(format!("{} lapsed", text::count(standing.lapsed.len())));
        }
        let compared = text::count(self.derived.checked.report.compared.len());
        format!("{}. {compared} comparisons were made.", all.join(", "))
    }

    fn open(&self, severity: Severity) -> Option<Section> {
        let (title, remark) = match severity {
            Severity::Danger => ("Dangers", "They can hurt somebody or destroy equipment."),
            Severity::Correction => ("Corrections", "A reviewer would reject them."),
            Severity::Advice => ("Advice", "Legal, but a good designer would want to know."),
        };
        let found = self.derived.open().filter(|finding| finding.severity == severity);
        let entries: Vec<Entry> = found.map(|finding| self.entry(finding, tried_remedies)).collect();
        section(title, remark, entries)
    }

    fn accepted(&self) -> Option<Section> {
        let entries = self.derived.standing.accepted.iter().filter_map(|(finding, entry)| {
            let finding = self.derived.findings().get(*finding)?;
            let accepted = self.project.accepted.get(*entry)?;
            let mut entry = self.entry(finding, |_, _| Vec::new());
            let mut facts = reason(accepted);
            if said(finding) != accepted.said && !accepted.said.is_empty() {
                facts.push(fact("said then", accepted.said.clone()));
            }
            facts.append(&mut entry.facts);
            Some(Entry { facts, ..entry })
        });
        let remark = "The designer has looked at these and lives with them, for the reasons that are given.";
        section("Accepted advice", remark, entries.collect())
    }

    fn lapsed(&self) -> Option<Section> {
        let entries = self.derived.standing.lapsed.iter().filter_map(|at| {
            let entry = self.project.accepted.get(*at)?;
            let title = if entry.said.is_empty() { finding_id(entry) } else { entry.said.clone() };
            Some(Entry {
                sign: Sign::Nothing,
                title,
                facts: reason(entry),
                working: Vec::new(),
                remedies: Vec::new(),
            })
        });
        section("Lapsed", "Accepted once, but no such advice arises any more.", entries.collect())
    }

    fn unknown(&self) -> Option<Section> {
        let count = self.derived.checked.report.unknown.len();
        (count > 0).then(|| Section {
            title: "What could not be told".to_owned(),
            remark: format!(
                "{} comparisons could not be made for want of data; the advice of the rule data-missing names what is missing.",
                text::count(count)
            ),
            entries: Vec::new(),
        })
    }

    fn entry(&self, finding: &Finding, offered: fn(&Self, &Finding) -> Vec<ProvenRemedy>) -> Entry {
        let circuit = &self.project.circuit;
        let clause = if finding.clause.is_empty() {
            "engineering judgment; no clause demands it".to_owned()
        } else {
            finding.clause.to_owned()
        };
        let mut facts = vec![fact("where", finding.place_text(circuit))];
        let [before_found, before_allowed] = finding.words();
        match (finding.found.show(self.units), finding.allowed.show(self.units)) {
            (found, allowed) if found.is_empty() && allowed.is_empty() => {}
            (found, allowed) if allowed.is_empty() => facts.push(fact(before_found, found)),
            (found, allowed) if found.is_empty() => facts.push(fact(before_allowed, allowed)),
            (found, allowed) => {
                facts.push(fact(before_found, format!("{found}; {before_allowed}: {allowed}")));
            }
        }
        facts.push(fact("clause", clause));
        facts.push(fact("rule", finding.rule));
        let remedies = offered(self, finding);
        Entry {
            sign: match finding.severity {
                Severity::Danger => Sign::Danger,
                Severity::Correction => Sign::Correction,
                Severity::Advice => Sign::Advice,
            },
            title: finding.title.clone(),
            facts,
            working: finding.working.lines.iter().map(|line| self.line(line)).collect(),
            remedies: remedies.iter().take(REMEDIES).map(remedy_words).collect(),
        }
    }

    fn line(&self, line: &WorkingLine) -> Line {
        let formula = match (line.symbol.is_empty(), line.formula.is_empty()) {
            (false, false) => format!("{} = {}", line.symbol, line.formula),
            (false, true) => line.symbol.to_string(),
            (true, _) => line.formula.to_string(),
        };
        Line {
            meaning: line.meaning.to_string(),
            formula: plain(&formula),
            figure: text::worked(line.value, self.units),
            origin: plain(&line.origin.to_string()),
        }
    }
}

/// The remedies of a finding, tried.
fn tried_remedies(on: &On<'_>, finding: &Finding) -> Vec<ProvenRemedy> {
    let subject = Subject {
        project: on.project,
        codes: &on.engine.codes,
        stock: &on.engine.stock,
        checked: &on.derived.checked,
    };
    remedies(&subject, finding, on.units)
}

fn remedy_words(remedy: &ProvenRemedy) -> String {
    let cost = remedy.cost.as_ref().map(|cost| format!(", {} {} more", cost.amount, cost.currency));
    let goes = remedy.goes.len().saturating_sub(1);
    let also = match goes {
        0 => String::new(),
        1 => "; clears 1 other finding too".to_owned(),
        many => format!("; clears {} other findings too", text::count(many)),
    };
    format!("{}{}{also}", remedy.label, cost.unwrap_or_default())
}

fn reason(entry: &AcceptedAdvice) -> Vec<(String, String)> {
    let by = if entry.by.is_empty() { String::new() } else { format!(" by {}", entry.by) };
    vec![fact("reason", entry.reason.clone()), fact("accepted", format!("{}{by}", entry.date))]
}

fn section(title: &str, remark: &str, entries: Vec<Entry>) -> Option<Section> {
    (!entries.is_empty()).then(|| Section { title: title.to_owned(), remark: remark.to_owned(), entries })
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::engine::derive;
    use lineside_core::file;
    use lineside_rules::acceptance::accept;

    #[test]
    fn everything_that_was_found_stands_in_it() {
        let mut project = file::read(include_str!("../../../assets/demos/as-found.lineside")).unwrap();
        let engine = Engine::load().unwrap();
        let report = derive(&project, &engine, 0).checked.report;
        let advice = report.findings.iter().find(|it| it.severity == Severity::Advice).unwrap();
        let date = jiff::civil::date(2026, 4, 7);
        project.accepted.extend(accept(advice, &project.circuit, "The owner wants it.", date, "M."));
        let derived = derive(&project, &engine, 1);
        let review = of(&project, &derived, &engine, UnitSystem::Us);
        let entries: Vec<&Entry> = review.sections.iter().flat_map(|it| &it.entries).collect();
        assert_eq!(entries.len(), report.findings.len());
        assert!(
            entries
                .iter()
                .all(|it| it.facts.iter().any(|(name, value)| name == "clause" && !value.is_empty()))
        );
        let accepted = review.sections.iter().find(|it| it.title == "Accepted advice").unwrap();
        let [entry] = accepted.entries.as_slice() else { panic!("one entry") };
        assert_eq!(entry.facts[0], fact("reason", "The owner wants it."));
        assert_eq!(entry.facts[1], fact("accepted", "2026-04-07 by M."));
        let cold = entries.iter().find(|it| it.title == "Cold strings destroy the input of C1").unwrap();
        assert!(cold.remedies.iter().any(|it| it.starts_with("3 modules in series in S1, S2")), "{cold:?}");
        assert!(review.summary.contains("1 accepted"), "{}", review.summary);
        assert!(review.cautions[0].contains("licensed professional come first"));
    }

    #[test]
    fn forms_are_told_by_their_endings() {
        let of = |name: &str| Form::of(Path::new(name));
        assert_eq!(
            (of("a.pdf"), of("a.HTML"), of("a.txt")),
            (Some(Form::Pdf), Some(Form::Html), Some(Form::Text))
        );
        assert_eq!((of("a.lineside"), of("a")), (None, None));
    }
}
