//! Copying from one project and pasting into another, and what is refused.

use crate::support::{Hands as _, Opening, Window, open};
use egui::Modifiers;
use egui_kittest::kittest::Queryable as _;
use lineside_core::project::Project;

fn project(window: &Window) -> &Project {
    &window.state().document.project
}

#[test]
fn what_is_pasted_from_elsewhere_must_be_a_sheet() {
    let mut window = open();
    let before = project(&window).clone();
    for (text, why) in [
        ("", "nothing has been copied yet"),
        ("shopping list", "holds no blocks"),
        ("( lineside: 1, blocks: [ broken", "is damaged"),
    ] {
        window.event(egui::Event::Paste(text.to_owned()));
        window.run();
        assert!(window.says(why), "{text}: not {why}");
    }
    assert!(*project(&window) == before);
}

#[test]
fn what_is_copied_in_one_project_is_pasted_into_another() {
    let mut window = open();
    window.click("Breaker Q1");
    window.get_by_label("Charge controller C1").click_modifiers(Modifiers::SHIFT);
    window.run();
    window.event(egui::Event::Copy);
    window.step();
    let commands = &window.output().platform_output.commands;
    let copied = commands.iter().find_map(|command| {
        let egui::OutputCommand::CopyText(text) = command else { return None };
        Some(text.clone())
    });
    let copied = copied.expect("text was copied");
    let mut other = Opening { project: Project::default(), ..Opening::default() }.open();
    other.event(egui::Event::Paste(copied.clone()));
    other.run();
    let circuit = &project(&other).circuit;
    let tags: Vec<&str> = circuit.blocks().map(|block| block.tag.as_str()).collect();
    assert_eq!((tags, circuit.run_count()), (vec!["Q1", "C1"], 1));
    // A second time, they get tags of their own.
    other.event(egui::Event::Paste(copied));
    other.run();
    assert!(other.has("Breaker Q2") && other.has("Charge controller C2"));
    assert_eq!(other.state().document.history.undo_label(), Some("paste 2 blocks"));
}
