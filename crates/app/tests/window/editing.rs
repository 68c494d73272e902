//! Editing the sheet: lining up, renumbering, enclosing, swapping, going on from a terminal, lasso, history.

use crate::support::{Hands as _, Opening, Window, engine, open, sample};
use egui::{Key, Modifiers, Pos2, Role, Vec2, vec2};
use egui_kittest::kittest::Queryable as _;
use lineside_core::circuit::{Block, PlaceKind};
use lineside_core::project::Project;

fn block(window: &Window, tag: &str) -> Block {
    project(window).circuit.block_by_tag(tag).expect("the block is there").clone()
}

fn project(window: &Window) -> &Project {
    &window.state().document.project
}

fn undo_label(window: &Window) -> Option<String> {
    window.state().document.history.undo_label().map(str::to_owned)
}

/// Millimeters on paper in points on the screen.
fn mm(window: &Window, x: f32, y: f32) -> Vec2 {
    window.state().state.panels.sheet.camera.scale() * vec2(x, y)
}

fn also(window: &mut Window, name: &str) {
    window.get_by_label(name).click_modifiers(Modifiers::SHIFT);
    window.run();
}

/// Chooses a command from its menu.
fn choose(window: &mut Window, menu: &str, name: &str) {
    window.click(menu);
    window.click(name);
}

fn shift(window: &mut Window, key: Key) {
    window.key_press_modifiers(Modifiers::SHIFT, key);
    window.run();
}

#[test]
fn blocks_are_lined_up_and_spaced_by_menu_and_by_key() {
    let mut window = open();
    window.click("Strings S1");
    also(&mut window, "Breaker Q1");
    also(&mut window, "Charge controller C1");
    let before = project(&window).clone();
    choose(&mut window, "Arrange", "Line up tops");
    let tops = ["S1", "Q1", "C1"].map(|tag| block(&window, tag).at.y);
    assert_eq!(undo_label(&window).as_deref(), Some("line up 3 blocks"));
    assert!(tops.iter().all(|top| *top == tops[0]), "{tops:?}");
    window.command(Key::Z);
    assert!(*project(&window) == before);
    window.command(Key::ArrowDown);
    assert!(undo_label(&window).is_some_and(|label| label.starts_with("line up")));
    choose(&mut window, "Arrange", "Space evenly across");
    assert_eq!(undo_label(&window).as_deref(), Some("space 3 blocks"));
}

#[test]
fn what_cannot_be_lined_up_says_why_at_the_pointer() {
    let mut window = open();
    window.click("Strings S1");
    also(&mut window, "Strings S2");
    let before = project(&window).clone();
    window.command(Key::ArrowUp);
    assert!(window.says("would cover each other"));
    window.click("Strings S1");
    window.press(Key::H);
    assert!(window.says("Select two or more blocks first."));
    shift(&mut window, Key::V);
    assert!(window.says("Select three or more blocks first."));
    assert!(*project(&window) == before);
}

#[test]
fn tags_are_renumbered_as_one_step() {
    let mut window = open();
    window.click("Breaker Q3");
    window.type_into("Tag", "Q9");
    window.press(Key::Enter);
    let before = project(&window).clone();
    window.click("Breaker Q9");
    choose(&mut window, "Arrange", "Renumber tags");
    assert!(window.has("Breaker Q3") && !window.has("Breaker Q9"));
    assert_eq!(undo_label(&window).as_deref(), Some("renumber the sheet"));
    window.command(Key::Z);
    assert!(*project(&window) == before);
    shift(&mut window, Key::N);
    assert!(window.has("Breaker Q3"));
    shift(&mut window, Key::N);
    assert!(window.says("in reading order already"));
}

#[test]
fn an_enclosure_is_drawn_round_what_is_selected() {
    let mut window = open();
    window.click("Breaker Q1");
    also(&mut window, "Charge controller C1");
    also(&mut window, "Breaker Q2");
    let before = project(&window).clone();
    window.press(Key::E);
    let place = project(&window).circuit.place_by_name("Enclosure 1").expect("it was drawn").clone();
    assert_eq!(place.kind, PlaceKind::Enclosure);
    let shed = project(&window).circuit.place_by_name("Power shed").expect("it is there").id;
    assert_eq!(place.within, Some(shed));
    for tag in ["Q1", "C1", "Q2"] {
        assert_eq!(block(&window, tag).place, Some(place.id), "{tag}");
    }
    assert!(window.has("Place Enclosure 1"));
    window.press(Key::Escape);
    window.command(Key::Z);
    assert!(*project(&window) == before);
}

#[test]
fn a_block_is_swapped_from_a_list_and_keeps_its_runs() {
    let mut window = open();
    window.click("Breaker Q1");
    let runs = project(&window).circuit.run_count();
    window.press(Key::X);
    window.get_by_label("Swap for").type_text("80 a 150");
    window.run();
    window.press(Key::Enter);
    assert_eq!(block(&window, "Q1").stock.as_deref(), Some("DC breaker, 80 A, 150 V"));
    assert_eq!(project(&window).circuit.run_count(), runs);
    assert_eq!(undo_label(&window).as_deref(), Some("swap Q1"));
    assert!(!window.has("Swap for"));
}

#[test]
fn a_model_is_replaced_across_the_sheet_as_one_step() {
    let mut window = open();
    let before = project(&window).clone();
    window.click("Strings S2");
    shift(&mut window, Key::X);
    assert!(window.says("In the place of 3 blocks, all of one model"));
    window.get_by_label("Replace across the sheet by").type_text("430 W");
    window.run();
    window.click("Module string, 430 W modules");
    for tag in ["S1", "S2", "S3"] {
        assert_eq!(block(&window, tag).stock.as_deref(), Some("Module string, 430 W modules"), "{tag}");
    }
    window.command(Key::Z);
    assert!(*project(&window) == before);
}

/// A second breaker on the sheet, without runs.
fn with_loose_breaker() -> Window {
    let stock = &engine().stock;
    let mut drawing = sample::Drawing::on(stock, sample::cabin(stock));
    drawing.put("Q9", "DC breaker, 60 A, 125 V", 100, 36);
    Opening { project: drawing.project, ..Default::default() }.open()
}

/// Pulls a run from `Q9.load` onto empty paper.
fn pull_to_paper(window: &mut Window) -> Pos2 {
    window.click("Breaker Q9");
    let from = window.middle("Q9.load");
    let to = from + mm(window, 20.0, 8.0);
    window.hold_over(from, to);
    window.let_go(to);
    to
}

#[test]
fn a_run_pulled_to_empty_paper_offers_blocks_that_fit_and_wires_the_chosen_one() {
    let mut window = with_loose_breaker();
    let before = project(&window).clone();
    let to = pull_to_paper(&mut window);
    assert!(window.says("Goes on from Q9.load"));
    assert!(!window.has("Ground rods, two"), "only what fits is offered");
    window.get_by_label("Blocks that fit").type_text("shunt 500");
    window.run();
    window.press(Key::Enter);
    let meter = block(&window, "R1");
    let run = project(&window).circuit.runs_at(meter.id).first().map(|run| (*run).clone()).expect("a run");
    assert_eq!(project(&window).circuit.end_name(run.from), "Q9.load");
    assert_eq!(undo_label(&window).as_deref(), Some("add R1 to Q9.load"));
    let end = window.state().state.panels.sheet.drawn.terminal_at(run.to).expect("it is drawn");
    let at = window.state().state.panels.sheet.camera.screen(end);
    assert!((at - to).length() < mm(&window, 2.5, 2.5).length(), "{at:?} is not at {to:?}");
    window.command(Key::Z);
    assert!(*project(&window) == before);
}

#[test]
fn the_choice_is_given_up_with_escape_or_by_a_click_elsewhere() {
    let mut window = with_loose_breaker();
    let before = project(&window).clone();
    pull_to_paper(&mut window);
    window.press(Key::Escape);
    assert!(!window.has("Blocks that fit"));
    pull_to_paper(&mut window);
    let elsewhere = window.get_by_label("Place Array field").rect().left_center() + vec2(4.0, 60.0);
    window.drag_at(elsewhere);
    window.let_go(elsewhere);
    assert!(!window.has("Blocks that fit"));
    assert!(*project(&window) == before);
}

#[test]
fn going_on_needs_no_pointer() {
    let mut window = with_loose_breaker();
    window.get_by_label("Breaker Q9").focus();
    window.run();
    shift(&mut window, Key::W);
    window.get_by_label("Blocks that fit").type_text("shunt 500");
    window.run();
    window.press(Key::Enter);
    let meter = block(&window, "R1");
    assert_eq!(project(&window).circuit.runs_at(meter.id).len(), 1);
    // Of a block without a free terminal it is said.
    window.click("Breaker Q1");
    shift(&mut window, Key::W);
    assert!(window.says("every terminal of this block is taken"));
}

#[test]
fn a_device_is_put_into_a_run_without_a_pointer() {
    let mut window = open();
    let before = project(&window).clone();
    window.click("Run W4 from CB1.out to Q1.line");
    window.press(Key::I);
    window.get_by_label("Devices for the run").type_text("dc breaker 100 a 125");
    window.run();
    window.press(Key::Enter);
    let new = block(&window, "Q4");
    assert_eq!(project(&window).circuit.runs_at(new.id).len(), 2);
    assert_eq!(undo_label(&window).as_deref(), Some("insert Q4 in W4"));
    window.command(Key::Z);
    assert!(*project(&window) == before);
    window.click("Breaker Q1");
    window.press(Key::I);
    assert!(window.says("Select one run first."));
}

#[test]
fn a_lasso_selects_the_blocks_within_its_line() {
    let mut window = open();
    let (first, last) = (window.get_by_label("Strings S1").rect(), window.get_by_label("Strings S2").rect());
    window.press(Key::Escape);
    choose(&mut window, "Edit", "Select with a lasso");
    let corners = [
        first.left_top() - vec2(20.0, 12.0),
        first.right_top() + vec2(16.0, -12.0),
        last.right_bottom() + vec2(16.0, 8.0),
        last.left_bottom() + vec2(-20.0, 8.0),
    ];
    window.hover_at(corners[0]);
    window.drag_at(corners[0]);
    for corner in &corners[1..] {
        window.hover_at(*corner);
        window.run_steps(1);
    }
    window.let_go(corners[3]);
    let circuit = &project(&window).circuit;
    let chosen = &window.state().state.selection.blocks;
    let tags: Vec<&str> =
        chosen.iter().filter_map(|id| circuit.block(*id)).map(|block| block.tag.as_str()).collect();
    assert_eq!(tags, ["S1", "S2"]);
}

#[test]
fn the_history_names_each_step_and_goes_to_any() {
    let mut window = open();
    let begun = project(&window).clone();
    window.click("Breaker Q1");
    window.press(Key::R);
    let rotated = project(&window).clone();
    window.press(Key::F);
    window.press(Key::ArrowDown);
    let moved = project(&window).clone();
    window.click("History");
    assert!(window.has("Step 0: As it began, saved"));
    assert!(window.has("Step 1: Rotate Q1") && window.has("Step 3: Move Q1"));
    window.click("Step 1: Rotate Q1");
    assert!(*project(&window) == rotated);
    assert!(window.has("Step 3: Move Q1, taken back"));
    window.click("Step 3: Move Q1, taken back");
    assert!(*project(&window) == moved);
    window.click("Step 0: As it began, saved");
    assert!(*project(&window) == begun);
    window.command(Key::H);
    assert!(!window.has("Step 0: As it began, saved"));
    window.command(Key::H);
    window.press(Key::Escape);
    assert!(!window.has("Step 0: As it began, saved"));
    window.command(Key::H);
    window.click("Close the history");
    assert!(!window.has("Step 0: As it began, saved"));
}

fn secondary(window: &mut Window, at: Pos2) {
    window.hover_at(at);
    window.run();
    for pressed in [true, false] {
        window.event(egui::Event::PointerButton {
            pos: at,
            button: egui::PointerButton::Secondary,
            pressed,
            modifiers: Modifiers::NONE,
        });
        window.run();
    }
}

#[test]
fn a_context_menu_is_about_what_is_under_the_pointer() {
    let mut window = open();
    let at = window.middle("Breaker Q1");
    secondary(&mut window, at);
    assert!(window.has("Swap for…") && window.has("Continue with…") && !window.has("Insert in run…"));
    window.press(Key::Escape);
    assert!(!window.has("Swap for…"), "Escape closes it");
    assert_eq!(window.state().state.selection.blocks.len(), 1, "and nothing else");
    let at = window.middle("Run W4 from CB1.out to Q1.line");
    secondary(&mut window, at);
    assert!(window.has("Insert in run…") && !window.has("Swap for…"));
    window.press(Key::Escape);
    window.click("Strings S1");
    also(&mut window, "Strings S2");
    let at = window.middle("Strings S1");
    secondary(&mut window, at);
    assert!(window.has("Line up") && window.has("Space evenly") && window.has("Renumber tags"));
    window.press(Key::Escape);
    // Over empty paper it is about the sheet, whatever was selected.
    let paper = window.get_by_label("Place Array field").rect().left_bottom() + mm(&window, 3.0, 80.0);
    secondary(&mut window, paper);
    assert!(window.has("Add template…") && window.has("Select all") && !window.has("Duplicate"));
}

#[test]
fn fields_that_several_kinds_have_are_changed_in_all() {
    let mut window = open();
    window.click("Breaker Q1");
    also(&mut window, "Fuse F1");
    assert!(window.says("What all of them have"));
    let rating = window.get_by_role_and_label(Role::TextInput, "Rating");
    assert_eq!(rating.value().as_deref(), Some(""), "they differ");
    window.type_into("Rating", "2*55 A");
    window.press(Key::Enter);
    for tag in ["Q1", "F1"] {
        let value = block(&window, tag).equipment.get("rating");
        assert_eq!(value, Some(lineside_core::kinds::field::Value::Number(110.0)), "{tag}");
    }
    assert_eq!(undo_label(&window).as_deref(), Some("rating of Q1 and F1"));
}

#[test]
fn sums_are_typed_and_what_is_wrong_with_them_is_said() {
    let mut window = open();
    window.click("Charge controller C1");
    window.type_into("Greatest PV input voltage", "3*46 V");
    window.press(Key::Enter);
    let entry = window.get_by_role_and_label(Role::TextInput, "Greatest PV input voltage");
    assert_eq!(entry.value().as_deref(), Some("138 V"));
    window.type_into("Greatest PV input voltage", "150 V/0");
    assert!(window.says("nothing can be divided by zero"));
    window.type_into("Greatest PV input voltage", "3*46 A");
    assert!(window.says("the unit “A”"));
    window.type_into("Greatest PV input voltage", "3 V*46 V");
    assert!(window.says("V × V is not a value in V"));
}

#[test]
fn of_a_mixed_selection_one_sort_is_chosen() {
    let mut window = open();
    window.command(Key::A);
    window.click("Only 13 blocks");
    assert_eq!(window.state().state.selection.blocks.len(), 13);
    assert!(window.state().state.selection.runs.is_empty());
}
