//! The rule catalogue in `docs/rules`, made from the rules themselves: text from the rule, example and working
//! from running it on the demo that breaks it. `UPDATE_EXPECT=1` writes it.
#![cfg(test)]

use expect_test::expect_file;
use lineside_codes::Codes;
use lineside_core::file;
use lineside_core::project::{Project, RuleSet};
use lineside_core::units::{UnitSystem, text};
use lineside_rules::{ALL, Finding, Rule, check};
use std::fmt::Write;
use std::path::Path;

fn pages_folder() -> std::path::PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("../docs/rules")
}

fn as_found() -> Project {
    file::read(include_str!("../assets/demos/as-found.lineside")).unwrap()
}

#[test]
fn the_catalogue_is_current() {
    let codes = Codes::load().unwrap();
    let project = as_found();
    let findings = check(&project, &codes, RuleSet::Nec2023).report.findings;
    for rule in ALL {
        let example = findings.iter().find(|finding| finding.rule == rule.id);
        let page = page(rule, example, &project);
        expect_file![pages_folder().join(format!("{}.md", rule.id))].assert_eq(&page);
    }
    expect_file![pages_folder().join("README.md")].assert_eq(&index());
}

#[test]
fn no_page_is_left_of_a_rule_that_is_gone() {
    for entry in std::fs::read_dir(pages_folder()).unwrap().flatten() {
        let name = entry.file_name().to_string_lossy().into_owned();
        let known = name == "README.md" || ALL.iter().any(|rule| format!("{}.md", rule.id) == name);
        assert!(known, "docs/rules/{name} belongs to no rule");
    }
}

fn index() -> String {
    let mut page = String::from(
        "# Rules\n\nWritten by the rules themselves; do not edit. `UPDATE_EXPECT=1 cargo test -p lineside-acceptance` brings it up to date.\n\n\
         | rule | worst | asks |\n|---|---|---|\n",
    );
    for rule in ALL {
        let _ = writeln!(
            page,
            "| [`{}`]({}.md) | {} | {} |",
            rule.id,
            rule.id,
            rule.severity.key(),
            rule.title.trim()
        );
    }
    page
}

fn page(rule: &Rule, example: Option<&Finding>, project: &Project) -> String {
    let mut page = format!("# {}\n\n`{}` · {}\n", rule.title.trim(), rule.id, rule.severity.key());
    for line in rule.explanation.lines() {
        let _ = writeln!(page, "{}", line.strip_prefix(' ').unwrap_or(line));
    }
    page.push_str("\n## Clauses\n| rule set | clause |\n|---|---|\n");
    for clause in rule.clauses {
        let text = if clause.text.is_empty() { "engineering judgment" } else { clause.text };
        let _ = writeln!(page, "| {} | {text} |", clause.rule_set.label());
    }
    if let Some(finding) = example {
        let _ =
            write!(page, "\n## Example\nFrom the demo project `as-found`:\n\n{}\n", shown(finding, project));
    }
    page
}

fn shown(finding: &Finding, project: &Project) -> String {
    let system = UnitSystem::Us;
    let [before_found, before_allowed] = finding.words();
    let mut out = format!(
        "> **{}** ({}): {before_found} {}, {before_allowed} {}.\n",
        finding.title,
        finding.place_text(&project.circuit),
        finding.found.show(system),
        finding.allowed.show(system)
    );
    if !finding.working.lines.is_empty() {
        out.push_str("\n| | | | | |\n|---|---|---|--:|---|\n");
    }
    for line in &finding.working.lines {
        let value = text::figure(line.value, system);
        let _ = writeln!(
            out,
            "| {} | {} | {} | {value} | {} |",
            line.meaning, line.symbol, line.formula, line.origin
        );
    }
    out
}
