//! Text → project. Checks everything, reports every fault it can, and loads all or nothing.

use super::error::{ReadError, ReadFault};
use super::scan::{self, FormFault, Section, Span, line_and_column};
use super::v1::{BlockEntry, PlaceEntry, RunEntry};
use super::{NEWEST_VERSION, SIZE_LIMIT, migrate, ron_options};
use crate::circuit::ID_LIMIT;
use crate::kinds::field::{Field, Value};
use crate::project::{AcceptedAdvice, Project, RuleSet, Site};
use serde::de::DeserializeOwned;

/// Reads a project from the bytes of a file.
pub fn read_bytes(bytes: &[u8]) -> Result<Project, ReadError> {
    if bytes.len() > SIZE_LIMIT {
        return Err(ReadError::TooLarge { found: bytes.len(), limit: SIZE_LIMIT });
    }
    let text = std::str::from_utf8(bytes).map_err(|error| {
        let offset = error.valid_up_to();
        let line = bytes.iter().take(offset).filter(|byte| **byte == b'\n').count() + 1;
        ReadError::NotText { offset, line }
    })?;
    read(text)
}

/// Reads a project from the text of a file.
pub fn read(text: &str) -> Result<Project, ReadError> {
    if text.trim().is_empty() {
        return Err(ReadError::Empty);
    }
    let version = version_of(text)?;
    if version > NEWEST_VERSION {
        return Err(ReadError::Newer { found: version, newest: NEWEST_VERSION });
    }
    let text = migrate::to_newest(text, version);
    let sections =
        scan::sections(&text).map_err(|fault| ReadError::Faults(vec![form_fault(&text, &fault)]))?;
    let mut reader = Reader { text: &text, faults: Vec::new() };
    let project = reader.project(&sections);
    if reader.faults.is_empty() {
        Ok(project)
    } else {
        reader.faults.sort_by_key(|fault| (fault.line, fault.column));
        Err(ReadError::Faults(reader.faults))
    }
}

fn version_of(text: &str) -> Result<u32, ReadError> {
    let sections = scan::sections(text).map_err(|fault| ReadError::Faults(vec![form_fault(text, &fault)]))?;
    let fault = |at: usize, found: String| {
        let (line, column) = line_and_column(text, at);
        ReadError::Faults(vec![ReadFault {
            line,
            column,
            place: "version".to_owned(),
            expected: "“lineside: ” and the number of the file version".to_owned(),
            found,
            advice: "Check that this is a project file; the line stands at its top.".to_owned(),
        }])
    };
    let Some(section) = sections.iter().find(|section| section.name == "lineside") else {
        return Err(fault(0, "no version".to_owned()));
    };
    let value = text.get(section.value.start..section.value.end).unwrap_or("");
    value.parse().map_err(|_| fault(section.value.start, format!("“{value}”")))
}

pub(super) fn form_fault(text: &str, fault: &FormFault) -> ReadFault {
    let (line, column) = line_and_column(text, fault.at);
    ReadFault {
        line,
        column,
        place: String::new(),
        expected: fault.expected.to_owned(),
        found: fault.found.clone(),
        advice:
            "Something is missing or was cut off here; compare with the copy beside the file (.previous)."
                .to_owned(),
    }
}

pub(super) fn ron_fault(text: &str, span: Span, place: &str, error: &ron::error::SpannedError) -> ReadFault {
    let (first_line, first_column) = line_and_column(text, span.start);
    let at = error.span.start;
    let (line, column) = if at.line <= 1 {
        (first_line, first_column + at.col.saturating_sub(1))
    } else {
        (first_line + at.line - 1, at.col)
    };
    let here = text.lines().nth(line.saturating_sub(1)).unwrap_or("").trim();
    ReadFault {
        line,
        column,
        place: place.to_owned(),
        expected: format!("an entry that can be read ({})", error.code),
        found: format!("“{}”", here.chars().take(60).collect::<String>()),
        advice: "Correct this entry.".to_owned(),
    }
}

/// The text and the faults found so far.
pub(super) struct Reader<'t> {
    pub(super) text: &'t str,
    pub(super) faults: Vec<ReadFault>,
}

/// An entry with where it stands and what people call it.
pub(super) struct Placed<T> {
    pub(super) entry: T,
    pub(super) span: Span,
    pub(super) called: String,
}

impl Reader<'_> {
    fn project(&mut self, sections: &[Section<'_>]) -> Project {
        let mut project = Project::default();
        let mut places = Vec::new();
        let mut blocks = Vec::new();
        let mut runs = Vec::new();
        let mut words = Vec::new();
        for (i, section) in sections.iter().enumerate() {
            if sections.iter().take(i).any(|earlier| earlier.name == section.name) {
                self.fault(
                    section.at,
                    section.name,
                    "each section once",
                    "it a second time",
                    "Merge the two into one.",
                );
                continue;
            }
            match section.name {
                "lineside" => {}
                "title" => self.field(section, &mut project.title),
                "rule_set" => self.rule_set(section, &mut project.rule_set),
                "units" => self.field(section, &mut project.units),
                "last_id" => self.last_id(section, &mut project.last_id),
                "places" => places = self.list::<PlaceEntry>(section, "place", |place| &place.name),
                "blocks" => blocks = self.list::<BlockEntry>(section, "block", |block| &block.tag),
                "runs" => runs = self.list::<RunEntry>(section, "run", |run| &run.tag),
                "brief" => self.field(section, &mut project.brief),
                "stock" => project.stock = self.plain_list(section, "stock item"),
                "set_points" => project.set_points = self.plain_list(section, "set point"),
                "price_book" => self.field(section, &mut project.price_book),
                "cases" => project.cases = self.plain_list(section, "operating case"),
                "revisions" => project.revisions = self.plain_list(section, "revision"),
                "moved_words" => words = self.words(section),
                "labels" => project.labels = self.plain_list(section, "label"),
                "accepted" => project.accepted = self.accepted(section),
                "site_record" => self.field(section, &mut project.site_record),
                _ => self.fault(
                    section.at,
                    "project",
                    "a section of this file version",
                    &format!("“{}”", section.name),
                    "Correct its name or remove it.",
                ),
            }
        }
        if let Some(brief) = sections.iter().find(|section| section.name == "brief") {
            let site = project.brief.site.clone();
            self.limits("brief", brief.value, Site::fields(), |key| site.get(key));
            for fault in project.brief.faults() {
                self.fault(brief.at, &fault.place, &fault.expected, &fault.found, "Correct the value.");
            }
        }
        project.circuit = self.circuit(places, blocks, runs, &mut project.last_id);
        project.moved_words = self.moved_words(words, &project.circuit);
        project
    }

    pub(super) fn fault(&mut self, at: usize, place: &str, expected: &str, found: &str, advice: &str) {
        let (line, column) = line_and_column(self.text, at);
        self.faults.push(ReadFault {
            line,
            column,
            place: place.to_owned(),
            expected: expected.to_owned(),
            found: found.to_owned(),
            advice: advice.to_owned(),
        });
    }

    /// A fault at the value of a field within an entry.
    pub(super) fn fault_in(
        &mut self,
        span: Span,
        key: &str,
        place: &str,
        expected: &str,
        found: &str,
        advice: &str,
    ) {
        let at = scan::find_field(self.text, span, key).unwrap_or(span.start);
        self.fault(at, place, expected, found, advice);
    }

    pub(super) fn parse<T: DeserializeOwned>(&mut self, span: Span, place: &str) -> Option<T> {
        let piece = self.text.get(span.start..span.end).unwrap_or("");
        match ron_options().from_str(piece) {
            Ok(value) => Some(value),
            Err(error) => {
                self.faults.push(ron_fault(self.text, span, place, &error));
                None
            }
        }
    }

    fn field<T: DeserializeOwned>(&mut self, section: &Section<'_>, into: &mut T) {
        if let Some(value) = self.parse(section.value, section.name) {
            *into = value;
        }
    }

    fn rule_set(&mut self, section: &Section<'_>, into: &mut RuleSet) {
        let Some(key) = self.parse::<String>(section.value, section.name) else { return };
        if let Some(set) = RuleSet::from_key(&key) {
            *into = set;
        } else {
            let expected = format!("one of {}", RuleSet::ALL.map(RuleSet::key).join(", "));
            self.fault(
                section.value.start,
                "rule set",
                &expected,
                &format!("“{key}”"),
                "Choose one of these.",
            );
        }
    }

    fn last_id(&mut self, section: &Section<'_>, into: &mut u32) {
        self.field(section, into);
        if *into > ID_LIMIT {
            let found = into.to_string();
            self.fault(
                section.value.start,
                "last_id",
                "a number up to 10000000",
                &found,
                "Give the greatest number in use.",
            );
        }
    }

    pub(super) fn spans(&mut self, section: &Section<'_>) -> Vec<Span> {
        match scan::entries(self.text, section.value) {
            Ok(spans) => spans,
            Err(fault) => {
                self.faults.push(form_fault(self.text, &fault));
                Vec::new()
            }
        }
    }

    fn plain_list<T: DeserializeOwned>(&mut self, section: &Section<'_>, what: &str) -> Vec<T> {
        let spans = self.spans(section);
        spans.into_iter().filter_map(|span| self.parse(span, what)).collect()
    }

    fn accepted(&mut self, section: &Section<'_>) -> Vec<AcceptedAdvice> {
        let spans = self.spans(section);
        let mut found: Vec<AcceptedAdvice> = Vec::with_capacity(spans.len());
        for span in spans {
            let Some(entry) = self.parse::<AcceptedAdvice>(span, "accepted advice") else { continue };
            let place = format!("accepted advice of {}", entry.rule);
            if !entry.has_reason() {
                let expected = format!("a reason of 1 to {} characters", AcceptedAdvice::LONGEST_REASON);
                let length = format!("{} characters", entry.reason.trim().chars().count());
                let advice = "Write down why it may stay, or remove the entry.";
                self.fault_in(span, "reason", &place, &expected, &length, advice);
            } else if found.iter().any(|other| other.is_of_same(&entry)) {
                let advice = "Remove one of the two.";
                self.fault_in(span, "rule", &place, "each finding once", "it a second time", advice);
            }
            found.push(entry);
        }
        found
    }

    fn list<T: DeserializeOwned>(
        &mut self,
        section: &Section<'_>,
        what: &str,
        name: fn(&T) -> &String,
    ) -> Vec<Placed<T>> {
        let spans = self.spans(section);
        let mut found: Vec<Placed<T>> = Vec::with_capacity(spans.len());
        for span in spans {
            if let Some(entry) = self.parse::<T>(span, &self.called(span, what)) {
                let called = format!("{what} {}", name(&entry));
                found.push(Placed { entry, span, called });
            }
        }
        found
    }

    /// What an unreadable entry is called: its tag or name, if that much can be made out.
    fn called(&self, span: Span, what: &str) -> String {
        let value = ["tag", "name"].iter().find_map(|key| {
            let at = scan::find_field(self.text, span, key)?;
            let rest = self.text.get(at..span.end)?.strip_prefix('"')?;
            rest.split('"').next()
        });
        value.map_or_else(|| what.to_owned(), |name| format!("{what} {name}"))
    }

    /// Reports every value outside the limits of its field.
    pub(super) fn limits(
        &mut self,
        called: &str,
        span: Span,
        fields: &[Field],
        value: impl Fn(&str) -> Option<Value>,
    ) {
        for field in fields {
            let Some(Err(fault)) = value(field.key).map(|value| field.check(&value)) else { continue };
            let at = scan::find_field(self.text, span, field.key).unwrap_or(span.start);
            self.fault(
                at,
                called,
                &format!("{} within its limits", field.label.to_lowercase()),
                &fault.to_string(),
                "Correct the value.",
            );
        }
    }
}
