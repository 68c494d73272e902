//! The sheet: selecting, dragging, dropping, drawing runs.


use egui_kittest::kittest::Queryable as _;
use crate::support::{Hands as _, open};

#[test]
fn a_click_on_a_block_shows_its_nameplate() {
    let mut window = open();
    window.click("Charge controller C1");
    let tag = window.get_by_role_and_label(egui::Role::TextInput, "Tag");
    assert_eq!(tag.value().as_deref(), Some("C1"));
    assert!(window.has("Greatest PV input voltage"));
}

#[test]
fn dragging_a_block_moves_it_by_whole_steps_and_undo_puts_it_back() {
    let mut window = open();
    let before = window.state().document.project.clone();
    let from = window.middle("Breaker Q1");
    let scale = window.state().state.panels.sheet.camera.scale();
    // 7.4 mm to the right is three steps of 2.5 mm; 4.6 mm down is two.
    window.drag(from, from + scale * egui::vec2(7.4, 4.6));
    let block = window.state().document.project.circuit.block_by_tag("Q1").expect("it is there").clone();
    let was = before.circuit.block_by_tag("Q1").expect("it was there");
    assert_eq!((block.at.x - was.at.x, block.at.y - was.at.y), (3, 2));
    assert_eq!(window.state().document.history.undo_label(), Some("move Q1"));
    window.command(egui::Key::Z);
    assert_eq!(window.state().document.project, before);
    assert_eq!(window.state().document.history.undo_label(), None);
}
