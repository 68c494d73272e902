//! Accepting advice with a reason, taking it back, and what becomes of it; the filter of the list and the walk.

use crate::support::{Hands as _, Opening, Window};
use egui::{Key, Role};
use egui_kittest::kittest::{NodeT as _, Queryable as _};
use lineside_core::project::Project;
use lineside_rules::{Finding, Severity};

fn as_found() -> Project {
    lineside_core::file::read(include_str!("../../../../assets/demos/as-found.lineside")).expect("it reads")
}

fn open_as_found() -> Window {
    Opening { project: as_found(), ..Opening::default() }.open()
}

fn first(window: &Window, severity: Severity) -> Finding {
    let derived = window.state().derivation.latest();
    derived.open().find(|finding| finding.severity == severity).expect("the demo has one").clone()
}

fn id(window: &Window, finding: &Finding) -> String {
    finding.id(&window.state().document.project.circuit)
}

fn look_at(window: &mut Window, finding: &Finding) {
    let id = id(window, finding);
    window.state_mut().state.finding = Some(id);
    window.run();
}

fn rows(window: &Window) -> Vec<String> {
    let rows = window.get_all_by_role(Role::ListBoxOption);
    rows.filter_map(|node| node.accesskit_node().label()).collect()
}

#[test]
fn advice_is_accepted_with_a_reason_and_can_be_taken_back() {
    let mut window = open_as_found();
    let advice = first(&window, Severity::Advice);
    look_at(&mut window, &advice);
    window.click("Accept…");
    assert!(window.get_by_label("Accept this advice").accesskit_node().is_disabled(), "no reason yet");
    window.get_by_role_and_label(Role::MultilineTextInput, "Reason").focus();
    window.run();
    window.get_by_role_and_label(Role::MultilineTextInput, "Reason").type_text("The owner wants it so.");
    window.run();
    window.type_into("Date of acceptance", "2026-04-07");
    window.type_into("Accepted by", "M. Aster");
    let before = window.state().derivation.latest().open().count();
    window.click("Accept this advice");
    let entry = window.state().document.project.accepted.first().expect("it is kept").clone();
    assert_eq!((entry.reason.as_str(), entry.by.as_str()), ("The owner wants it so.", "M. Aster"));
    assert_eq!(entry.date.to_string(), "2026-04-07");
    assert_eq!(window.state().derivation.latest().open().count(), before - 1);
    assert!(window.has("1 accepted"));
    assert!(window.says("Accepted 2026-04-07 by M. Aster."));
    window.click("1 accepted");
    assert!(rows(&window).iter().any(|row| row.starts_with("Accepted: ")), "{:?}", rows(&window));
    window.click("Take the acceptance back");
    assert!(window.state().document.project.accepted.is_empty());
    window.command(Key::Z);
    assert_eq!(window.state().document.project.accepted.len(), 1);
}

#[test]
fn dangers_and_corrections_cannot_be_accepted() {
    let mut window = open_as_found();
    for severity in [Severity::Danger, Severity::Correction] {
        let finding = first(&window, severity);
        look_at(&mut window, &finding);
        assert!(window.has("Working"));
        assert!(!window.has("Accept…"), "{severity:?}");
    }
}

#[test]
fn what_was_accepted_and_no_longer_arises_is_told_and_can_be_removed() {
    let mut project = as_found();
    project.accepted.push(lineside_core::project::AcceptedAdvice {
        rule: "voltage-drop".to_owned(),
        at: lineside_core::project::AdvicePlace::Run("W777".to_owned()),
        aspect: String::new(),
        said: "The drop in W777 is large".to_owned(),
        reason: "It is short.".to_owned(),
        date: jiff::civil::date(2026, 1, 2),
        by: String::new(),
    });
    let mut window = Opening { project, ..Opening::default() }.open();
    window.click("0 accepted, 1 lapsed");
    assert!(window.says("Lapsed: these were accepted"));
    assert!(window.says("The drop in W777 is large"));
    window.click("Remove the entry of voltage-drop@W777");
    assert!(window.state().document.project.accepted.is_empty());
}

#[test]
fn the_list_is_filtered_by_severity_rule_and_place() {
    let mut window = open_as_found();
    let all = window.state().derivation.latest().open().count();
    window.get_by_role_and_label(Role::CheckBox, "Show dangers").click();
    window.run();
    assert!(rows(&window).iter().all(|row| !row.contains(", danger: ")), "{:?}", rows(&window));
    assert!(window.says(&format!("of {all} are shown.")));
    window.click("Show all findings");
    assert!(rows(&window).iter().any(|row| row.contains(", danger: ")));
    let rule = first(&window, Severity::Danger).rule;
    window.click("Rule of findings: every rule");
    window.click(rule);
    let findings = window.state().derivation.latest().open().cloned().collect::<Vec<_>>();
    let of_rule = findings.iter().filter(|finding| finding.rule == rule).count();
    assert_eq!(rows(&window).len(), of_rule);
    window.click("Show all findings");
    let place = window.state().document.project.circuit.places().next().expect("it has places").name.clone();
    window.click("Place of findings: every place");
    window.get_by_role_and_label(Role::Button, &place).click();
    window.run();
    assert!(rows(&window).len() < all);
    assert!(window.says("are shown."));
}

#[test]
fn the_walk_keeps_to_the_filter_says_where_it_is_and_goes_round() {
    let mut window = open_as_found();
    window.get_by_role_and_label(Role::CheckBox, "Show dangers").click();
    window.get_by_role_and_label(Role::CheckBox, "Show corrections").click();
    window.run();
    let advice = window
        .state()
        .derivation
        .latest()
        .open()
        .filter(|finding| finding.severity == Severity::Advice)
        .count();
    assert!(advice > 1);
    window.press(Key::F8);
    assert!(window.has(&format!("1 of {advice}")));
    window.key_press_modifiers(egui::Modifiers::SHIFT, Key::F8);
    window.run();
    assert!(window.has(&format!("{advice} of {advice}")));
    window.press(Key::F8);
    assert!(window.has(&format!("1 of {advice}")));
}

#[test]
fn the_name_of_a_rule_explains_it() {
    let mut window = open_as_found();
    let danger = first(&window, Severity::Danger);
    look_at(&mut window, &danger);
    let rule = lineside_rules::ALL.iter().find(|rule| rule.id == danger.rule).expect("it is known");
    assert!(!window.has(rule.title.trim()));
    let at = window.middle(danger.rule);
    window.hover_at(at);
    // Tips come after a moment of rest.
    for _ in 0..40 {
        window.step();
    }
    assert!(window.has(rule.title.trim()), "its title stands in the tip");
}

#[test]
fn the_walk_brings_the_row_into_view() {
    let mut window = open_as_found();
    window.key_press_modifiers(egui::Modifiers::SHIFT, Key::F8);
    window.run();
    let all = window.state().derivation.latest().open().count();
    assert!(rows(&window).iter().any(|row| row.starts_with(&format!("{all}, "))), "{:?}", rows(&window));
}
