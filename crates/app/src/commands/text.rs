//! The words that several commands print for people.
//!
//! Numbers come from `lineside_core::units::text`; tables are in `table.rs`.

use super::shapes::Counts;
use super::table::{self, Table, numbers, words};
use lineside_core::project::{Project, RuleSet};
use lineside_core::units::{UnitSystem, text};
use lineside_core::working::Working;
use lineside_rules::Severity;

/// Stands below every verdict.
pub const CAUTION: &str = "Not an approval: the adopted code with its local changes, the instructions of the \
equipment and a licensed professional come first.";

/// What stands where a clause would, when none demands it.
pub const NO_CLAUSE: &str = "engineering judgment";

/// The sign of a severity; its shape alone tells it.
pub const fn sign(severity: Severity) -> &'static str {
    match severity {
        Severity::Danger => "▲",
        Severity::Correction => "■",
        Severity::Advice => "○",
    }
}

/// `▲ 2 dangers  ■ 1 correction  ○ no advice`.
pub fn counts(counts: Counts) -> String {
    Severity::ALL.map(|it| format!("{} {}", sign(it), counted(it, counts.get(it)))).join("  ")
}

/// `2 dangers`, `1 correction`, `no advice`.
pub fn counted(severity: Severity, count: usize) -> String {
    let (one, many) = match severity {
        Severity::Danger => ("danger", "dangers"),
        Severity::Correction => ("correction", "corrections"),
        Severity::Advice => ("advice", "advice"),
    };
    match count {
        0 => format!("no {many}"),
        1 => format!("1 {one}"),
        count => format!("{} {many}", text::count(count)),
    }
}

/// `Highmeadow Cabin, by NEC 2020 (its own rule set is NEC 2023): cabin.lineside`.
pub fn heading(project: &Project, rule_set: RuleSet, file: &str) -> String {
    let own = if rule_set == project.rule_set {
        String::new()
    } else {
        format!(" (its own rule set is {})", project.rule_set.label())
    };
    format!("{}, by {}{own}: {file}", project.name(), rule_set.label())
}

/// A working as a table, each line after so many spaces.
pub fn working(working: &Working, units: UnitSystem, indent: usize) -> String {
    let mut lines = Table::new(&[words("", 46), words("", 44), numbers(""), words("", 40)]);
    for line in &working.lines {
        let formula = match (line.symbol.is_empty(), line.formula.is_empty()) {
            (false, false) => format!("{} = {}", line.symbol, line.formula),
            (false, true) => line.symbol.to_string(),
            (true, _) => line.formula.to_string(),
        };
        lines.row([
            line.meaning.to_string(),
            formula,
            text::worked(line.value, units),
            line.origin.to_string(),
        ]);
    }
    lines.show(indent)
}

/// A paragraph in lines that a terminal shows whole.
pub fn paragraph(words: &str, indent: usize) -> String {
    let margin = " ".repeat(indent);
    table::broken(words, 96).iter().flat_map(|line| [margin.as_str(), line.as_str(), "\n"]).collect()
}
