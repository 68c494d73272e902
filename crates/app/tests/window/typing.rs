//! Keys mean the sheet only while the sheet has the keyboard: what somebody types elsewhere draws nothing.

use crate::support::{Hands as _, Opening, Window, open};
use egui::{Event, Key, Role};
use egui_kittest::kittest::{NodeT as _, Queryable as _};
use lineside_core::project::Project;
use lineside_rules::Severity;

fn as_found() -> Project {
    lineside_core::file::read(include_str!("../../../../assets/demos/as-found.lineside")).expect("it reads")
}

/// Types as a person does who looks at no field: each letter as a key and as a text, to whatever has the keyboard.
fn type_blindly(window: &mut Window, text: &str) {
    for letter in text.chars() {
        if let Some(key) = Key::from_name(&letter.to_uppercase().to_string()) {
            window.key_down(key);
            window.event(Event::Text(letter.to_string()));
            window.key_up(key);
        } else {
            window.event(Event::Text(letter.to_string()));
        }
        window.run();
    }
}

#[test]
fn a_reason_typed_at_once_goes_into_its_field_and_changes_no_drawing() {
    let mut window = Opening { project: as_found(), ..Opening::default() }.open();
    let advice = {
        let state = window.state();
        let open = state.derivation.latest().open().find(|finding| finding.severity == Severity::Advice);
        open.expect("the demo has one").id(&state.document.project.circuit)
    };
    window.state_mut().state.finding = Some(advice);
    window.run();
    let before = window.state().document.project.clone();
    window.click("Accept…");
    type_blindly(&mut window, "the owner wrote it");
    let reason = window.get_by_role_and_label(Role::MultilineTextInput, "Reason");
    assert!(reason.accesskit_node().is_focused());
    assert_eq!(reason.value().as_deref(), Some("the owner wrote it"));
    assert!(window.state().document.project == before);
    assert!(window.state().document.history.undo_label().is_none());
}

#[test]
fn letters_are_commands_over_the_sheet_and_nowhere_else() {
    let mut window = open();
    window.click("Breaker Q1");
    let before = window.state().document.project.clone();
    // A row of the findings has the keyboard.
    let row = window.get_all_by_role(Role::ListBoxOption).next().expect("there are findings");
    row.focus();
    window.run();
    window.press(Key::R);
    window.press(Key::Delete);
    assert!(window.state().document.project == before, "a list has the keyboard");
    // Nothing has it, and the pointer rests on the shelf.
    window.ctx.memory_mut(|memory| memory.focused().map(|id| memory.surrender_focus(id)));
    let shelf = window.middle("Find equipment in stock");
    window.hover_at(shelf);
    window.run();
    window.press(Key::T);
    assert!(window.state().document.project == before, "the pointer is not over the sheet");
    // Over the sheet, the same letter is a command.
    let view = window.state().state.panels.sheet.view().expect("it is shown");
    window.hover_at(view.center());
    window.run();
    window.press(Key::T);
    assert!(window.state().document.project != before);
}

#[test]
fn a_form_for_stock_of_ones_own_begins_with_the_cursor_in_its_name() {
    let mut window = open();
    window.click("File");
    window.click("Add an item of stock…");
    assert!(window.get_by_role_and_label(Role::TextInput, "Name of the item").accesskit_node().is_focused());
}
