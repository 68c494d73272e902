//! Search for anything, and templates.

use crate::support::{Hands as _, Opening, Window, open};
use egui::{Key, Modifiers, Role};
use egui_kittest::kittest::{NodeT as _, Queryable as _};
use lineside::window::areas::Area;
use lineside::window::selection::Thing;
use lineside_core::project::Project;
use lineside_core::units::UnitSystem;
use lineside_rules::Severity;

fn project(window: &Window) -> &Project {
    &window.state().document.project
}

fn look_for(window: &mut Window, words: &str) {
    window.command(Key::K);
    window.get_by_label("Search for anything").type_text(words);
    window.run();
}

#[test]
fn a_block_a_run_and_a_place_are_found_by_name() {
    let mut window = open();
    look_for(&mut window, "inv1");
    window.press(Key::Enter);
    let selected = window.state().state.selection.single();
    let inverter = project(&window).circuit.block_by_tag("INV1").expect("there").id;
    assert_eq!(selected, Some(Thing::Block(inverter)));
    assert!(window.get_by_label("Inverter INV1").accesskit_node().is_focused());
    look_for(&mut window, "w11");
    window.press(Key::Enter);
    let run = project(&window).circuit.run_by_tag("W11").expect("there").id;
    assert_eq!(window.state().state.selection.single(), Some(Thing::Run(run)));
    look_for(&mut window, "power shed");
    window.press(Key::Enter);
    let shed = project(&window).circuit.place_by_name("Power shed").expect("there").id;
    assert_eq!(window.state().state.selection.single(), Some(Thing::Place(shed)));
}

#[test]
fn an_action_is_found_by_letters_of_its_name_and_tells_its_key() {
    let mut window = open();
    let steps = window.state().document.history.steps().len();
    look_for(&mut window, "rnumber");
    assert!(window.has("Renumber tags"));
    window.press(Key::Escape);
    look_for(&mut window, "tidy");
    window.press(Key::Enter);
    assert_eq!(window.state().document.history.steps().len(), steps + 1);
    assert!(!window.has("Search for anything"));
}

#[test]
fn a_finding_is_found_and_shown_from_any_area() {
    let mut window = open();
    let title = window
        .state()
        .derivation
        .latest()
        .findings()
        .iter()
        .find(|finding| finding.severity == Severity::Danger)
        .expect("the sample has dangers")
        .title
        .clone();
    window.command(Key::Num1);
    look_for(&mut window, &title);
    window.press(Key::Enter);
    assert_eq!(window.state().state.area, Area::Draft);
    assert!(window.state().state.finding.is_some());
}

#[test]
fn arrows_choose_and_what_cannot_be_done_says_why() {
    let mut window = open();
    look_for(&mut window, "line up");
    window.press(Key::ArrowDown);
    let row = window.get_by_role_and_label(Role::ListBoxOption, "Line up right edges");
    assert_eq!(row.accesskit_node().toggled(), Some(egui::accesskit::Toggled::True));
    window.press(Key::Enter);
    assert!(window.says("Select two or more blocks first."));
    assert!(window.has("Search for anything"), "another can be chosen");
    window.type_into("Search for anything", "zebra crossing");
    assert!(window.says("Nothing has such a name."));
}

#[test]
fn keys_do_not_reach_the_sheet_while_one_searches() {
    let mut window = open();
    window.click("Breaker Q1");
    let before = project(&window).clone();
    look_for(&mut window, "rfx");
    window.press(Key::Delete);
    assert!(*project(&window) == before);
}

#[test]
fn templates_are_placed_from_search_menu_and_shelf() {
    let mut window = Opening { project: Project::default(), ..Opening::default() }.open();
    look_for(&mut window, "controller both breakers");
    window.press(Key::Enter);
    assert_eq!((project(&window).circuit.block_count(), project(&window).circuit.run_count()), (3, 2));
    assert_eq!(window.state().document.history.undo_label(), Some("add controller with both its breakers"));
    assert_eq!(window.state().state.selection.blocks.len(), 3);
    window.command(Key::Z);
    assert_eq!(project(&window).circuit.block_count(), 0);
    window.key_press_modifiers(Modifiers::SHIFT, Key::T);
    window.run();
    window.click("Inverter with its AC pair and bypass");
    assert_eq!((project(&window).circuit.block_count(), project(&window).circuit.run_count()), (4, 4));
    window.command(Key::Z);
    window.get_by_label("Template: String with its way").focus();
    window.run();
    window.press(Key::Enter);
    assert_eq!((project(&window).circuit.block_count(), project(&window).circuit.run_count()), (2, 1));
    // The next one takes the next way of the combiner that is there.
    window.get_by_label("Template: String with its way").focus();
    window.run();
    window.press(Key::Enter);
    assert_eq!((project(&window).circuit.block_count(), project(&window).circuit.run_count()), (3, 2));
    let circuit = &project(&window).circuit;
    let ends: Vec<String> = circuit.runs().map(|run| circuit.end_name(run.to)).collect();
    assert_eq!(ends, ["CB1.way1", "CB1.way2"]);
    assert_eq!(project(&window).units, UnitSystem::Us);
}

#[test]
fn a_template_is_dropped_from_the_shelf() {
    let mut window = Opening { project: Project::default(), ..Opening::default() }.open();
    let from = window.middle("Template: Controller with both its breakers");
    let to = window.get_by_label("Sheet").rect().center();
    window.drag(from, to);
    assert_eq!(project(&window).circuit.block_count(), 3);
    let controller = window.middle("Charge controller C1");
    assert!((controller - to).length() < 40.0, "{controller:?} {to:?}");
}

#[test]
fn a_template_from_the_search_stands_where_there_is_room() {
    use lineside_drawing::placement::bounds;
    let mut window = open();
    look_for(&mut window, "inverter pair");
    window.press(Key::Enter);
    let new = window.state().state.selection.blocks.clone();
    assert_eq!(new.len(), 4);
    let circuit = &project(&window).circuit;
    for block in circuit.blocks().filter(|block| new.contains(&block.id)) {
        let mut others = circuit.blocks().filter(|other| other.id != block.id);
        assert!(others.all(|other| !bounds(other).touches(bounds(block))), "{}", block.tag);
    }
}
