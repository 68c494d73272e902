//! The nameplate: typing, dragging and choosing values, and what happens to those that will not do.

use crate::support::{Hands as _, Opening, Window, open};
use egui::{Key, Modifiers, Role, vec2};
use egui_kittest::kittest::{NodeT as _, Queryable as _};
use lineside_core::kinds::field::Value;

fn value(window: &Window, tag: &str, key: &str) -> Value {
    let circuit = &window.state().document.project.circuit;
    circuit.block_by_tag(tag).expect("the block is there").equipment.get(key).expect("the field is there")
}

fn steps(window: &Window) -> usize {
    window.state().document.history.steps().len()
}

#[test]
fn a_value_is_applied_at_each_keystroke_as_one_step() {
    let mut window = open();
    window.click("Charge controller C1");
    window.type_into("Charge current", "8");
    assert_eq!(value(&window, "C1", "output_current"), Value::Number(8.0));
    window.get_by_role_and_label(Role::TextInput, "Charge current").type_text("0 A");
    window.run();
    assert_eq!(value(&window, "C1", "output_current"), Value::Number(80.0));
    window.press(Key::Enter);
    assert_eq!(steps(&window), 1);
    assert_eq!(window.state().document.history.undo_label(), Some("charge current of C1"));
    let entry = window.get_by_role_and_label(Role::TextInput, "Charge current");
    assert_eq!(entry.value().as_deref(), Some("80 A"));
    // A second spell of typing is a second step.
    window.type_into("Charge current", "70 A");
    window.press(Key::Enter);
    assert_eq!(steps(&window), 2);
}

#[test]
fn values_are_typed_with_any_unit() {
    let mut window = open();
    window.click("Run W4 from CB1.out to Q1.line");
    window.type_into("Length, one way", "60 m");
    let circuit = &window.state().document.project.circuit;
    let run = circuit.run_by_tag("W4").expect("it is there");
    let length = run.conductor.as_ref().expect("it has conductors").length.value();
    assert!((length - 60.0).abs() < 1e-9, "{length}");
    window.press(Key::Enter);
    // 60 m are 196.9 ft, at four digits.
    let entry = window.get_by_role_and_label(Role::TextInput, "Length, one way");
    assert!(entry.value().is_some_and(|value| value == "196.9 ft"));
}

#[test]
fn a_text_that_will_not_do_stays_with_its_reason_and_reaches_nothing() {
    let mut window = open();
    window.click("Charge controller C1");
    let before = window.state().document.project.clone();
    for (typed, reason) in [
        ("sixty", "expected a number such as"),
        ("60 V", "found the unit “V”"),
        ("1e9 A", "must lie between 1 A and 500 A"),
        ("NaN", "expected a number"),
        ("1e999", "finite"),
        ("", "must have a value"),
    ] {
        window.get_by_role_and_label(Role::TextInput, "Charge current").focus();
        window.run();
        window.key_press_modifiers(Modifiers::COMMAND, Key::A);
        window.key_press(Key::Delete);
        if !typed.is_empty() {
            window.get_by_role_and_label(Role::TextInput, "Charge current").type_text(typed);
        }
        window.run();
        assert!(window.says(reason), "{typed}: no {reason}");
        assert_eq!(value(&window, "C1", "output_current"), Value::Number(60.0), "{typed}");
    }
    window.type_into("Charge current", "sixty");
    window.press(Key::Tab);
    let entry = window.get_by_role_and_label(Role::TextInput, "Charge current");
    assert_eq!(entry.value().as_deref(), Some("sixty"), "it stays when the keyboard goes on");
    assert!(window.says("expected a number such as"));
    assert!(window.state().document.project.circuit == before.circuit);
    window.get_by_role_and_label(Role::TextInput, "Charge current").focus();
    window.run();
    window.press(Key::Escape);
    let entry = window.get_by_role_and_label(Role::TextInput, "Charge current");
    assert_eq!(entry.value().as_deref(), Some("60 A"), "Escape gives it up");
}

#[test]
fn escape_takes_back_what_was_typed() {
    let mut window = open();
    window.click("Charge controller C1");
    let before = window.state().document.project.clone();
    window.type_into("Charge current", "80 A");
    assert!(window.state().document.project != before);
    window.press(Key::Escape);
    assert!(window.state().document.project == before);
    assert_eq!(steps(&window), 0);
}

#[test]
fn a_number_is_dragged_by_its_label() {
    let mut window = Opening { size: [1440.0, 1600.0], ..Opening::default() }.open();
    window.click("Charge controller C1");
    let label =
        window.get_all_by_label("Charge current").find(|node| node.accesskit_node().role() == Role::Label);
    let from = label.expect("it has a label").rect().left_center() + vec2(6.0, 0.0);
    // Ten steps of 6 points; 60 A goes in steps of half an ampere.
    window.hold_over(from, from + vec2(60.0, 0.0));
    assert_eq!(value(&window, "C1", "output_current"), Value::Number(65.0));
    window.let_go(from + vec2(60.0, 0.0));
    assert_eq!(steps(&window), 1);
    window.command(Key::Z);
    assert_eq!(value(&window, "C1", "output_current"), Value::Number(60.0));
}

#[test]
fn choices_are_made_from_a_list() {
    let mut window = open();
    window.click("Breaker Q1");
    window.click("Position: closed");
    window.click("open");
    assert_eq!(value(&window, "Q1", "position"), Value::Choice("open"));
    assert_eq!(window.state().document.history.undo_label(), Some("position of Q1"));
}

#[test]
fn a_tag_is_changed_and_a_taken_one_is_refused() {
    let mut window = open();
    window.click("Breaker Q1");
    window.type_into("Tag", "Q2");
    assert!(window.says("the tag Q2 is already in use"));
    window.type_into("Tag", "two words");
    assert!(window.says("cannot be a tag"));
    assert!(window.state().document.project.circuit.block_by_tag("Q1").is_some());
    window.type_into("Tag", "MAIN");
    window.press(Key::Enter);
    assert!(window.has("Breaker MAIN"));
    assert_eq!(steps(&window), 1);
}

#[test]
fn blocks_of_one_kind_are_edited_together() {
    let mut window = open();
    window.click("Breaker Q1");
    for tag in ["Breaker Q2", "Breaker Q3"] {
        window.get_by_label(tag).click_modifiers(Modifiers::SHIFT);
        window.run();
    }
    assert!(window.has("3 blocks"));
    let rating = window.get_by_role_and_label(Role::TextInput, "Rating");
    assert_eq!(rating.value().as_deref(), Some(""), "they differ");
    window.type_into("Rating", "90 A");
    window.press(Key::Enter);
    for tag in ["Q1", "Q2", "Q3"] {
        assert_eq!(value(&window, tag, "rating"), Value::Number(90.0), "{tag}");
    }
    window.command(Key::Z);
    assert_eq!(value(&window, "Q1", "rating"), Value::Number(70.0));
}

#[test]
fn a_place_is_renamed_and_its_facts_are_given() {
    let mut window = open();
    window.get_by_label("Place Cabin").focus();
    window.run();
    window.type_into("Name", "Power shed");
    assert!(window.says("there is already a place called Power shed"));
    window.type_into("Name", "Kitchen");
    window.press(Key::Enter);
    assert!(window.has("Place Kitchen"));
    window.get_by_label("Place Kitchen").focus();
    window.run();
    window.type_into("Coldest", "-10 C");
    window.press(Key::Enter);
    let circuit = &window.state().document.project.circuit;
    let place = circuit.place_by_name("Kitchen").expect("it was renamed");
    assert_eq!(place.facts.coldest.map(lineside_core::units::Celsius::value), Some(-10.0));
}

#[test]
fn a_run_becomes_a_direct_joint_and_back() {
    let mut window = open();
    window.click("Run W5 from Q1.load to C1.pv");
    window.click("Made of: conductors");
    window.click("direct joint");
    let conductor = |window: &Window| {
        window.state().document.project.circuit.run_by_tag("W5").expect("it is there").conductor.is_some()
    };
    assert!(!conductor(&window));
    window.click("Made of: direct joint");
    window.click("conductors");
    assert!(conductor(&window));
}

#[test]
fn another_item_of_stock_keeps_the_runs() {
    let mut window = open();
    window.click("Charge controller C1");
    let runs = window.state().document.project.circuit.run_count();
    window.click("Stock item: Tracking controller, 150 V in, 60 A out");
    window.click("Tracking controller, 100 V in, 50 A out");
    assert_eq!(value(&window, "C1", "max_input_voltage"), Value::Number(100.0));
    assert_eq!(window.state().document.project.circuit.run_count(), runs);
    assert_eq!(window.state().document.history.undo_label(), Some("swap C1"));
}

#[test]
fn figures_of_what_is_selected_open_their_working() {
    let mut window = open();
    window.click("Run W4 from CB1.out to Q1.line");
    let figure = |window: &Window, name: &str| {
        let buttons = window.get_all_by_role(Role::Button).filter_map(|node| node.accesskit_node().label());
        buttons.into_iter().find(|label| label.starts_with(name)).unwrap_or_default()
    };
    let drop = figure(&window, "Voltage drop: ");
    assert!(drop.ends_with(" %"), "{drop}");
    window.click(&drop);
    assert!(window.says("W4: voltage drop"), "the working says of what it is");
    assert!(window.says("resistance of both poles, warm"));
    // It follows what is typed.
    window.type_into("Length, one way", "300 m");
    assert_ne!(figure(&window, "Voltage drop: "), drop);
    window.press(Key::Enter);
    // A finding takes its place.
    window.press(Key::F8);
    assert!(!window.says("W4: voltage drop"));
}
