//! A review as plain text, for mail and for terminals.

use super::{Entry, Review};
use std::fmt::Write;

/// Writes it.
pub fn text(review: &Review) -> String {
    let mut out = format!("Review of {}\n\n", review.title);
    for (name, value) in &review.facts {
        let _ = writeln!(out, "{name}: {value}");
    }
    let _ = writeln!(out, "\n{}", review.summary);
    for section in &review.sections {
        let _ = writeln!(out, "\n\n{}\n{}", section.title, "=".repeat(section.title.chars().count()));
        if !section.remark.is_empty() {
            let _ = writeln!(out, "{}", section.remark);
        }
        for entry in &section.entries {
            entry_text(&mut out, entry);
        }
    }
    out.push_str("\n\nCautions\n========\n");
    for caution in &review.cautions {
        let _ = writeln!(out, "{caution}");
    }
    out
}

fn entry_text(out: &mut String, entry: &Entry) {
    let _ = writeln!(out, "\n{} {}", entry.sign.letter(), entry.title);
    for (name, value) in &entry.facts {
        let _ = writeln!(out, "    {name}: {value}");
    }
    if !entry.working.is_empty() {
        out.push_str("    working:\n");
    }
    for line in &entry.working {
        let parts = [&line.meaning, &line.formula, &line.figure, &line.origin];
        let parts: Vec<&str> =
            parts.into_iter().map(String::as_str).filter(|part| !part.is_empty()).collect();
        let _ = writeln!(out, "        {}", parts.join("  |  "));
    }
    for remedy in &entry.remedies {
        let _ = writeln!(out, "    remedy: {remedy}");
    }
}
