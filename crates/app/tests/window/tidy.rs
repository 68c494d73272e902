//! The sheet laid out anew by the window.

use crate::support::{Hands as _, open};
use egui::Key;
use lineside_core::project::Project;

#[test]
fn the_sheet_is_tidied_as_one_step_and_put_back() {
    let mut window = open();
    let before = window.state().document.project.clone();
    window.press(Key::T);
    let tidied = window.state().document.project.clone();
    assert_ne!(tidied.circuit, before.circuit);
    assert_eq!(window.state().document.history.undo_label(), Some("tidy the sheet"));
    // Nothing but where things stand has changed, and the whole sheet is in view.
    let tags = |project: &Project| {
        project.circuit.blocks().map(|block| (block.tag.clone(), block.place)).collect::<Vec<_>>()
    };
    assert_eq!(tags(&tidied), tags(&before));
    assert!(window.has("Breaker Q1") && window.has("AC panel P1"));
    window.press(Key::T);
    assert_eq!(window.state().document.project.circuit, tidied.circuit, "a tidy sheet stays as it is");
    assert!(window.has("The sheet is tidy already."));
    window.command(Key::Z);
    assert_eq!(window.state().document.project, before);
}
