//! `lineside rules [ID]`: the list of rules, or what one demands and why.
//!
//! The words are the rules' own; this file only lays them out.

use super::failure::Failure;
use super::options::RulesOptions;
use super::shapes::Head;
use super::table::{Table, words};
use super::text::{self, NO_CLAUSE};
use super::{Verdict, nearest, output};
use lineside_core::project::RuleSet;
use lineside_core::units::text as units_text;
use lineside_rules::{ALL, Rule, Status};
use serde::Serialize;
use std::fmt::Write;

/// Prints the list, or explains one rule.
pub fn run(options: &RulesOptions) -> Result<Verdict, Failure> {
    let rules: Vec<&'static Rule> = match &options.id {
        Some(id) => vec![find(id)?],
        None => ALL
            .iter()
            .copied()
            .filter(|rule| options.rule_set.is_none_or(|set| rule.clause(set).is_some()))
            .collect(),
    };
    if options.json {
        let rules = rules.into_iter().map(rule_shape).collect();
        output::print_json(&RulesShape { head: Head::of("rules"), rules })?;
    } else if options.id.is_some() {
        output::print(&rules.into_iter().map(page).collect::<String>())?;
    } else {
        output::print(&list(&rules, options.rule_set.unwrap_or_default()))?;
    }
    Ok(Verdict::Clean)
}

fn find(id: &str) -> Result<&'static Rule, Failure> {
    let wanted = id.to_lowercase();
    ALL.iter().copied().find(|rule| rule.id == wanted).ok_or_else(|| Failure::NoRule {
        id: id.to_owned(),
        instead: nearest(&wanted, ALL.iter().map(|rule| rule.id)),
    })
}

fn list(rules: &[&Rule], rule_set: RuleSet) -> String {
    let mut table =
        Table::new(&[words("", 1), words("rule", 34), words("demands that", 50), words("clause", 40)]);
    for rule in rules {
        let clause = rule.clause(rule_set).map_or("not in this rule set", clause_text);
        table.row([
            text::sign(rule.severity).to_owned(),
            rule.id.to_owned(),
            rule.title.trim().to_owned(),
            clause.to_owned(),
        ]);
    }
    let mut out = table.show(0);
    let _ = writeln!(
        out,
        "\n{} rules; clauses by {}. The sign is the worst that a rule reports: ▲ danger, ■ correction, ○ advice.",
        units_text::count(rules.len()),
        rule_set.label()
    );
    out
}

const fn clause_text(clause: &'static str) -> &'static str {
    if clause.is_empty() { NO_CLAUSE } else { clause }
}

fn page(rule: &Rule) -> String {
    let mut out = format!("{}\n{} {}", rule.title.trim(), text::sign(rule.severity), rule.severity.key());
    if rule.status == Status::Trial {
        out.push_str(", on trial: it only advises");
    }
    let _ = writeln!(out, ", {}", rule.id);
    for paragraph in paragraphs(rule.explanation) {
        match paragraph.strip_prefix("## ") {
            Some(title) => {
                let _ = writeln!(out, "\n{title}");
            }
            None => out.push_str(&text::paragraph(&paragraph, 2)),
        }
    }
    out.push_str("\nThe clauses\n");
    let mut table = Table::new(&[words("", 12), words("", 80)]);
    for clause in rule.clauses {
        let (set, text) = (clause.rule_set.label(), clause_text(clause.text));
        let text = text.strip_prefix(set).map_or(text, str::trim_start);
        table.row([set.to_owned(), text.to_owned()]);
    }
    out.push_str(&table.show(2));
    out
}

/// Paragraphs without line breaks: a heading, an entry of a list and a text between blank lines are one each.
fn paragraphs(explanation: &str) -> Vec<String> {
    let mut found: Vec<String> = Vec::new();
    let mut goes_on = false;
    for line in explanation.lines().map(str::trim) {
        let begins = line.starts_with("## ") || line.starts_with("- ") || line.starts_with("* ");
        match found.last_mut() {
            _ if line.is_empty() => goes_on = false,
            Some(last) if goes_on && !begins => {
                last.push(' ');
                last.push_str(line);
            }
            _ => {
                found.push(line.to_owned());
                goes_on = !line.starts_with("## ");
            }
        }
    }
    found
}

#[derive(Serialize)]
struct RulesShape {
    #[serde(flatten)]
    head: Head,
    rules: Vec<RuleShape>,
}

#[derive(Serialize)]
struct RuleShape {
    id: &'static str,
    severity: &'static str,
    status: &'static str,
    title: &'static str,
    explanation: String,
    clauses: Vec<ClauseShape>,
}

#[derive(Serialize)]
struct ClauseShape {
    rule_set: &'static str,
    clause: &'static str,
}

fn rule_shape(rule: &'static Rule) -> RuleShape {
    RuleShape {
        id: rule.id,
        severity: rule.severity.key(),
        status: match rule.status {
            Status::Stable => "stable",
            Status::Trial => "trial",
        },
        title: rule.title.trim(),
        explanation: paragraphs(rule.explanation).join("\n\n"),
        clauses: rule
            .clauses
            .iter()
            .map(|clause| ClauseShape { rule_set: clause.rule_set.key(), clause: clause.text })
            .collect(),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn paragraphs_lose_their_line_breaks_only() {
        let found = paragraphs(
            "\n ## The harm\n It burns,\n and smokes.\n\n ## What to do\n - this\n   or so\n - that\n",
        );
        assert_eq!(
            found,
            ["## The harm", "It burns, and smokes.", "## What to do", "- this or so", "- that"]
        );
    }
}
