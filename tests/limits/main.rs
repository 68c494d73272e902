//! Every rule on both sides of its limit, by every rule set in which it holds: a value that passes and one just beyond
//! that does not, so that a limit that moves by a tenth, or a comparison that turns, makes a test fail.
#![cfg(test)]

mod ac_and_places;
mod aspects;
mod conductors;
mod dc;
mod disconnects;
mod draw;
mod grades;
mod limit;
mod usual;

use limit::Limit;
use lineside_acceptance::sound::sound_by;
use lineside_core::project::RuleSet;
use std::collections::BTreeSet;
use std::fs;
use std::path::Path;

const LIMITS: &[&[Limit]] = &[
    dc::LIMITS,
    conductors::LIMITS,
    disconnects::LIMITS,
    grades::LIMITS,
    ac_and_places::LIMITS,
    aspects::LIMITS,
    usual::LIMITS,
];

fn all() -> impl Iterator<Item = &'static Limit> {
    LIMITS.iter().copied().flatten()
}

#[test]
fn nothing_is_to_be_said_of_the_system_from_which_limits_depart() {
    for set in RuleSet::ALL {
        let mut sheet = sound_by(set);
        sheet.make_labels();
        let verdict = sheet.check();
        assert!(verdict.checked.report.findings.is_empty(), "{}:\n{}", set.label(), verdict.lines());
    }
}

#[test]
fn every_limit_is_where_it_should_be() {
    let faults: Vec<String> = all().flat_map(Limit::faults).collect();
    assert!(faults.is_empty(), "{} of {}:\n{}", faults.len(), all().count(), faults.join("\n"));
}

#[test]
fn every_rule_has_a_limit_by_every_rule_set() {
    let mut missing = Vec::new();
    for rule in lineside_rules::ALL {
        for clause in rule.clauses {
            let has = all().any(|limit| limit.rule == rule.id && limit.sets.have(clause.rule_set));
            if !has {
                missing.push(format!("{} by {}", rule.id, clause.rule_set.label()));
            }
        }
    }
    assert!(missing.is_empty(), "no limit of\n{}", missing.join("\n"));
    for limit in all() {
        assert!(limit.rule_sets().next().is_some(), "{} is no rule of these rule sets", limit.rule);
    }
}

/// The aspects that the file of a rule names: `.aspect("surge")`, or by a constant of the file.
fn aspects_in(text: &str) -> Vec<&str> {
    let constant = |name: &str| {
        let (_, rest) = text.split_once(&format!("const {name}: &str = \""))?;
        rest.split('"').next()
    };
    let calls = text.split(".aspect(").skip(1);
    let named = calls.filter_map(|rest| match rest.strip_prefix('"') {
        Some(literal) => literal.split('"').next(),
        None => constant(rest.split(')').next()?),
    });
    named.filter(|aspect| !aspect.is_empty()).collect()
}

#[test]
fn every_aspect_of_a_rule_has_a_limit() {
    let spoken: BTreeSet<(&str, &str)> = all().flat_map(Limit::spoken).collect();
    let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("../crates/rules/src/rules");
    let mut missing = Vec::new();
    for rule in lineside_rules::ALL {
        let name = format!("{}.rs", rule.id.replace('-', "_"));
        let groups = fs::read_dir(&folder).unwrap().flatten().map(|entry| entry.path().join(&name));
        let file = groups.into_iter().find(|path| path.is_file());
        let text = fs::read_to_string(file.unwrap_or_else(|| panic!("no file {name}"))).unwrap();
        let aspects = aspects_in(&text).into_iter();
        missing.extend(
            aspects.filter(|it| !spoken.contains(&(rule.id, *it))).map(|it| format!("{}#{it}", rule.id)),
        );
    }
    assert!(missing.is_empty(), "no limit of\n{}", missing.join("\n"));
}
