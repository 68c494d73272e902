//! The demo projects: the sound ones are free of dangers and corrections, the one for training has the faults
//! that are listed beside it, and each draws the same sheet as ever.
#![cfg(test)]

use expect_test::expect_file;
use lineside_codes::Codes;
use lineside_core::file;
use lineside_core::project::{Project, RuleSet};
use lineside_drawing::route::Routes;
use lineside_drawing::sheet::{Look, sheet};
use lineside_drawing::svg::{self, Palette};
use lineside_rules::{Severity, check};
use std::path::Path;

const SOUND: [(&str, &str); 3] = [
    ("cabin", include_str!("../assets/demos/cabin.lineside")),
    ("home", include_str!("../assets/demos/home.lineside")),
    ("hut", include_str!("../assets/demos/hut.lineside")),
];
const AS_FOUND: &str = include_str!("../assets/demos/as-found.lineside");

fn read(text: &str) -> Project {
    file::read(text).unwrap_or_else(|error| panic!("{error}"))
}

#[test]
fn sound_demos_have_no_dangers_and_no_corrections() {
    let codes = Codes::load().unwrap();
    for (name, text) in SOUND {
        let project = read(text);
        let report = check(&project, &codes, project.rule_set).report;
        let bad: Vec<String> = report
            .findings
            .iter()
            .filter(|finding| finding.severity < Severity::Advice)
            .map(|finding| format!("{}: {}", finding.id(&project.circuit), finding.title))
            .collect();
        assert!(bad.is_empty(), "{name}:\n{}", bad.join("\n"));
        assert!(report.compared.len() > 80, "{name}: only {} comparisons", report.compared.len());
    }
}

#[test]
fn the_demo_for_training_has_every_fault_that_is_listed() {
    let codes = Codes::load().unwrap();
    let project = read(AS_FOUND);
    let found = check(&project, &codes, RuleSet::Nec2023).report.findings;
    let list = include_str!("../assets/demos/as-found.md");
    let mut faults = 0;
    for row in list.lines().filter(|line| line.starts_with("| ") && line.contains('`')) {
        let rules = row.rsplit('|').nth(1).unwrap();
        for rule in rules.split('`').skip(1).step_by(2) {
            assert!(
                found.iter().any(|finding| finding.rule == rule),
                "{rule} is listed but not found: {row}"
            );
        }
        faults += 1;
    }
    assert!(faults >= 12, "at least twelve faults, found {faults}");
}

#[test]
fn demos_are_saved_as_the_program_saves_them() {
    for (name, text) in SOUND.into_iter().chain([("as-found", AS_FOUND)]) {
        assert_eq!(
            file::write(&read(text)).unwrap(),
            text,
            "{name} differs from what the program would write"
        );
    }
}

#[test]
fn demos_draw_the_same_sheet() {
    for (name, text) in SOUND.into_iter().chain([("as-found", AS_FOUND)]) {
        let project = read(text);
        let routes = Routes::new(&project.circuit);
        let drawing = sheet(&project, &Look::default(), &routes);
        let golden = Path::new(env!("CARGO_MANIFEST_DIR")).join(format!("golden/{name}.svg"));
        expect_file![golden].assert_eq(&svg::write(&drawing, &Palette::SHEET, project.name()));
    }
}

/// Every rule set can be asked of every demo; none may panic, and advice never hides a danger.
#[test]
fn demos_answer_to_every_rule_set() {
    let codes = Codes::load().unwrap();
    for (_, text) in SOUND.into_iter().chain([("as-found", AS_FOUND)]) {
        let project = read(text);
        for set in RuleSet::ALL {
            let findings = check(&project, &codes, set).report.findings;
            assert!(findings.is_sorted_by_key(|finding| finding.severity));
        }
    }
}
