//! Older file versions → the newest, one step for each version, on the text.
//!
//! A step changes only what its version called otherwise. A sample of every older version stands in
//! `tests/files`, and a test opens it.

use super::NEWEST_VERSION;
use super::scan::{self, Span};
use std::borrow::Cow;

/// From version *n* to *n* + 1; the step at index 0 starts from version 0.
const STEPS: [fn(&str) -> String; NEWEST_VERSION as usize] = [from_0];

/// Brings a text of version `version` to the newest form.
pub(super) fn to_newest(text: &str, version: u32) -> Cow<'_, str> {
    let mut text = Cow::Borrowed(text);
    for step in STEPS.iter().skip(version as usize) {
        text = Cow::Owned(step(&text));
    }
    text
}

/// Version 0 was used while the format was being settled: the list of blocks was called `equipment` and the
/// code `code`.
fn from_0(text: &str) -> String {
    rename_sections(text, &[("equipment", "blocks"), ("code", "rule_set")], 1)
}

fn rename_sections(text: &str, names: &[(&str, &str)], version: u32) -> String {
    let Ok(sections) = scan::sections(text) else { return text.to_owned() };
    let mut out = String::with_capacity(text.len());
    let mut done = 0;
    let mut copy = |out: &mut String, to: Span, with: &str| {
        out.push_str(text.get(done..to.start).unwrap_or(""));
        out.push_str(with);
        done = to.end;
    };
    for section in &sections {
        if let Some((_, new)) = names.iter().find(|(old, _)| *old == section.name) {
            copy(&mut out, Span { start: section.at, end: section.at + section.name.len() }, new);
        }
        if section.name == "lineside" {
            copy(&mut out, section.value, &version.to_string());
        }
    }
    let end = Span { start: text.len(), end: text.len() };
    copy(&mut out, end, "");
    out
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn version_0_is_renamed_and_nothing_else_changes() {
        let old = "(lineside: 0, code: \"nec-2020\", // code: kept\n equipment: [(note: \"equipment: x\")])";
        let new = "(lineside: 1, rule_set: \"nec-2020\", // code: kept\n blocks: [(note: \"equipment: x\")])";
        assert_eq!(to_newest(old, 0), new);
        assert_eq!(to_newest(new, 1), new);
    }
}
