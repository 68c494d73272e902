//! What stands beside the sheet while a finding is looked at, while a datum is typed, and in small windows.

use crate::support::{Hands as _, Opening, Window};
use egui::{Key, Role};
use egui_kittest::kittest::Queryable as _;
use lineside_core::project::Project;
use lineside_rules::{Finding, Part};

fn as_found() -> Project {
    lineside_core::file::read(include_str!("../../../../assets/demos/as-found.lineside")).expect("it reads")
}

fn open_as_found(size: [f32; 2]) -> Window {
    Opening { project: as_found(), size, ..Opening::default() }.open()
}

/// The row of a finding in the list, and a click on it after it was brought into view.
fn look_at(window: &mut Window, finding: &Finding) {
    let derived = std::sync::Arc::clone(window.state().derivation.latest());
    let at = derived.open().position(|other| other == finding).expect("it is open");
    for _ in 0..=at {
        window.press(Key::F8);
    }
}

#[test]
fn a_finding_of_several_blocks_shows_the_data_of_its_chief_block_and_a_ladder() {
    let mut window = open_as_found([1440.0, 900.0]);
    let derived = std::sync::Arc::clone(window.state().derivation.latest());
    let circuit = window.state().document.project.circuit.clone();
    let blocks = |finding: &Finding| finding.parts().filter(|part| matches!(part, Part::Block(_))).count();
    let finding = derived.open().find(|it| matches!(it.at, Part::Block(_)) && blocks(it) > 1);
    let finding = finding.expect("the demo has one").clone();
    let Part::Block(chief) = finding.at else { panic!("it is a block") };
    look_at(&mut window, &finding);
    assert!(window.state().state.selection.blocks.len() > 1, "all of them are selected");
    let tag = circuit.block(chief).expect("it is there").tag.clone();
    let shown = window.get_by_role_and_label(Role::TextInput, "Tag");
    assert_eq!(shown.value().as_deref(), Some(tag.as_str()));
    assert!(window.has("Ladder") || window.has("Fold the ladder"));
    assert!(!window.says("of several kinds"));
}

#[test]
fn the_field_that_is_typed_into_stays_put_while_findings_come() {
    let mut window = open_as_found([1440.0, 900.0]);
    let s1 = window.state().document.project.circuit.block_by_tag("S1").expect("it is there").id;
    window.state_mut().state.selection = lineside::window::selection::Selection::of_blocks([s1]);
    window.run();
    let place = |window: &Window| window.get_by_role_and_label(Role::TextInput, "Modules in series").rect();
    let count = |window: &Window| {
        let open = window.state().derivation.latest();
        open.open().filter(|it| it.parts().any(|part| part == Part::Block(s1))).count()
    };
    let (before, findings) = (place(&window), count(&window));
    window.type_into("Modules in series", "25");
    assert!(count(&window) != findings, "findings come or go");
    assert_eq!(place(&window), before);
}

#[test]
fn in_a_small_window_data_ladder_and_findings_are_all_within_reach() {
    let mut window = open_as_found([1100.0, 700.0]);
    let s1 = window.state().document.project.circuit.block_by_tag("S1").expect("it is there").id;
    window.state_mut().state.selection = lineside::window::selection::Selection::of_blocks([s1]);
    window.run();
    let field = window.get_by_role_and_label(Role::TextInput, "Modules in series").rect();
    let rows: Vec<egui::Rect> = window.get_all_by_role(Role::ListBoxOption).map(|row| row.rect()).collect();
    let first = rows.first().expect("there are findings").top();
    assert!(field.bottom() < first, "the data stand above the findings");
    let whole = rows.iter().filter(|row| row.bottom() <= 700.0 - 26.0).count();
    assert!(whole >= 4, "{whole} rows are shown");
    assert!(!window.says("Ladder: "));
    window.click("Open the ladder");
    assert!(window.has("Fold the ladder"));
    window.click("Fold the ladder");
    assert!(window.has("Open the ladder"));
}

#[test]
fn panels_are_hidden_and_shown_and_the_sheet_takes_their_room() {
    let mut window = open_as_found([1440.0, 900.0]);
    let view = |window: &Window| window.state().state.panels.sheet.view().expect("it is shown");
    let before = view(&window);
    for (entry, part) in [("Stock shelf", "Find equipment in stock"), ("Findings", "Show dangers")] {
        assert!(window.has(part));
        window.click("View");
        window.get_by_role_and_label(Role::Button, entry).click();
        window.run();
        assert!(!window.has(part), "{entry} is hidden");
    }
    assert!(view(&window).width() > before.width() && view(&window).height() > before.height());
    // What a command goes to is shown again.
    window.command(Key::F);
    assert!(window.has("Find equipment in stock"));
    window.press(Key::Escape);
    window.press(Key::F8);
    assert!(window.has("Show dangers"));
    assert_eq!(view(&window), before);
}

#[test]
fn the_sheet_is_fitted_anew_when_everything_is_made_larger() {
    let mut window = open_as_found([1440.0, 900.0]);
    window.command(Key::Plus);
    window.command(Key::Plus);
    let sheet = &window.state().state.panels.sheet;
    let (view, camera) = (sheet.view().expect("it is shown"), sheet.camera);
    let bounds = sheet.drawn.drawing.bounds;
    let share = (bounds.width() * camera.scale() / view.width())
        .max(bounds.height() * camera.scale() / view.height());
    // It fills the view in one direction but for the margin, and leaves it in none.
    assert!(share > 0.75 && share <= 1.0, "{share}");
}
