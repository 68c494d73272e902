//! Remedies: found aside for the finding that is looked at, shown with what they do, applied as one step.

use crate::support::{Hands as _, Opening, Window};
use egui_kittest::kittest::{NodeT as _, Queryable as _};
use lineside_core::kinds::Kind;
use lineside_core::kinds::field::Value;
use std::time::{Duration, Instant};

const COLD: &str = "string-cold-voltage@C1";

/// The demo for training, with one finding looked at.
fn looking_at(finding: &str) -> Window {
    let demo = lineside_core::file::read(include_str!("../../../../assets/demos/as-found.lineside"));
    looking_at_in(demo.expect("it reads"), finding)
}

fn looking_at_in(project: lineside_core::project::Project, finding: &str) -> Window {
    let mut window = Opening { project, ..Opening::default() }.open();
    window.state_mut().state.finding = Some(finding.to_owned());
    window.run();
    window
}

/// Waits for the thread aside, frame by frame.
fn wait_for_remedies(window: &mut Window) {
    let start = Instant::now();
    while window.has("Remedies …") {
        assert!(start.elapsed() < Duration::from_mins(1), "remedies come");
        std::thread::yield_now();
        window.run_steps(1);
    }
}

fn remedies_tab(window: &Window) -> String {
    let mut names = window.root().children_recursive().filter_map(|node| node.accesskit_node().label());
    names.find(|name| name.starts_with("Remedies ")).expect("the remedies are named")
}

#[test]
fn remedies_are_counted_beside_the_working_and_say_what_they_do() {
    let mut window = looking_at(COLD);
    assert!(window.has("Working"));
    wait_for_remedies(&mut window);
    let tab = remedies_tab(&window);
    assert_ne!(tab, "Remedies 0");
    window.click(&tab);
    assert!(window.has("3 modules in series in S1, S2"));
    assert!(window.has("Apply: 3 modules in series in S1, S2"));
    assert!(window.says("S1 · Modules in series: 4 → 3"), "what changes is previewed");
    assert!(
        window.says("Clears 5 findings: Cold strings destroy the input of C1; "),
        "which findings go is said"
    );
}

#[test]
fn a_remedy_is_applied_as_one_step_and_undone_whole() {
    let mut window = looking_at(COLD);
    wait_for_remedies(&mut window);
    let tab = remedies_tab(&window);
    window.click(&tab);
    let before = window.state().document.project.clone();
    let steps = window.state().document.history.steps().len();
    window.click("Apply: 3 modules in series in S1, S2");
    let project = &window.state().document.project;
    let most = project.circuit.blocks().filter(|block| block.kind() == Kind::Strings).all(
        |block| matches!(block.equipment.get("modules_in_series"), Some(Value::Whole(count)) if count <= 3),
    );
    assert!(most, "no string has more than three modules");
    assert_eq!(window.state().document.history.steps().len(), steps + 1);
    let findings = window.state().derivation.latest().findings().to_vec();
    assert!(!findings.iter().any(|it| it.id(&project.circuit) == COLD));
    window.command(egui::Key::Z);
    assert_eq!(window.state().document.project, before);
}

#[test]
fn a_remedy_is_previewed_on_the_sheet_before_anything_changes() {
    let mut window = looking_at(COLD);
    wait_for_remedies(&mut window);
    let tab = remedies_tab(&window);
    window.click(&tab);
    let before = window.state().document.project.clone();
    let preview = "Preview: 3 modules in series in S1, S2";
    assert!(!window.has(preview));
    let at = window.middle("Apply: 3 modules in series in S1, S2");
    window.hover_at(at);
    window.run_steps(4);
    assert!(window.has(preview));
    assert!(window.says("2 blocks change. 5 findings go, 1 advice comes. Nothing has been changed yet."));
    assert_eq!(window.state().document.project, before);
    let sheet = window.middle("Sheet");
    window.hover_at(sheet);
    window.run_steps(4);
    assert!(!window.has(preview), "it goes with the pointer");
    // The keyboard shows it too.
    window.get_by_label("Apply: 3 modules in series in S1, S2").focus();
    window.run();
    assert!(window.has(preview));
    assert_eq!(window.state().document.project, before);
}

#[test]
fn labels_are_made_by_their_remedy() {
    let demo = lineside_core::file::read(include_str!("../../../../assets/demos/as-found.lineside"));
    let unlabeled = lineside_core::project::Project { labels: Vec::new(), ..demo.expect("it reads") };
    let mut window = looking_at_in(unlabeled, "labels@project");
    wait_for_remedies(&mut window);
    let tab = remedies_tab(&window);
    window.click(&tab);
    assert!(window.says("Labels: "), "what changes is previewed");
    window.click("Apply: Make the labels");
    let project = &window.state().document.project;
    assert!(!project.labels.is_empty());
    let findings = window.state().derivation.latest().findings().to_vec();
    assert!(!findings.iter().any(|it| it.rule == "labels"));
}

#[test]
fn no_frame_waits_for_remedies() {
    let mut window = looking_at("ac-voltage-frequency@G1");
    // The finding is shown at once, whether or not its remedies are known.
    assert!(window.says("INV1 and G1 have different voltages"));
    wait_for_remedies(&mut window);
    // Another finding is asked for while nothing is at work, and the old answer is not shown for it.
    window.state_mut().state.finding = Some("overcurrent-minimum@Q2".to_owned());
    window.run_steps(1);
    wait_for_remedies(&mut window);
    let tab = remedies_tab(&window);
    window.click(&tab);
    assert!(window.says("as Q2"), "the remedies are those of Q2");
}
