//! The sheet: selecting, dragging, dropping, drawing runs.

use crate::support::{Hands as _, Window, engine, open, sample};
use egui::{Event, Key, Modifiers, Pos2, Vec2, vec2};
use egui_kittest::kittest::{NodeT as _, Queryable as _};
use lineside_core::circuit::{Block, GridPoint};

fn block(window: &Window, tag: &str) -> Block {
    window.state().document.project.circuit.block_by_tag(tag).expect("the block is there").clone()
}

/// Millimeters on paper in points on the screen.
fn mm(window: &Window, x: f32, y: f32) -> Vec2 {
    window.state().state.panels.sheet.camera.scale() * vec2(x, y)
}

fn undo_label(window: &Window) -> Option<String> {
    window.state().document.history.undo_label().map(str::to_owned)
}

#[test]
fn a_click_on_a_block_shows_its_nameplate() {
    let mut window = open();
    window.click("Charge controller C1");
    let tag = window.get_by_role_and_label(egui::Role::TextInput, "Tag");
    assert_eq!(tag.value().as_deref(), Some("C1"));
    assert!(window.has("Greatest PV input voltage"));
    let node = window.get_by_label("Charge controller C1").accesskit_node();
    assert_eq!(node.role(), egui::Role::GraphicsObject);
    assert_eq!(node.toggled(), Some(egui::accesskit::Toggled::True));
}

#[test]
fn dragging_a_block_moves_it_by_whole_steps_and_undo_puts_it_back() {
    let mut window = open();
    let before = window.state().document.project.clone();
    let from = window.middle("Breaker Q1");
    // 7.4 mm to the right is three steps of 2.5 mm; 4.6 mm down is two.
    let to = from + mm(&window, 7.4, 4.6);
    window.drag(from, to);
    let was = before.circuit.block_by_tag("Q1").expect("it was there");
    let at = block(&window, "Q1").at;
    assert_eq!((at.x - was.at.x, at.y - was.at.y), (3, 2));
    assert_eq!(undo_label(&window).as_deref(), Some("move Q1"));
    window.command(Key::Z);
    assert!(window.state().document.project == before);
    assert_eq!(undo_label(&window), None);
    window.key_press_modifiers(Modifiers::COMMAND | Modifiers::SHIFT, Key::Z);
    window.run();
    assert_eq!(block(&window, "Q1").at, at);
}

#[test]
fn escape_puts_a_dragged_block_back() {
    let mut window = open();
    let before = window.state().document.project.clone();
    let from = window.middle("Breaker Q1");
    window.hold_over(from, from + mm(&window, 20.0, 20.0));
    assert!(window.state().document.project != before);
    window.key_press(Key::Escape);
    window.run_steps(2);
    assert!(window.state().document.project == before);
}

#[test]
fn blocks_selected_together_move_together() {
    let mut window = open();
    let before = (block(&window, "Q1").at, block(&window, "C1").at);
    window.click("Breaker Q1");
    window.get_by_label("Charge controller C1").click_modifiers(Modifiers::SHIFT);
    window.run();
    let from = window.middle("Breaker Q1");
    let to = from + mm(&window, 0.0, 10.0);
    window.drag(from, to);
    let moved = |was: GridPoint| was.moved(0, 4);
    assert_eq!((block(&window, "Q1").at, block(&window, "C1").at), (moved(before.0), moved(before.1)));
    assert_eq!(undo_label(&window).as_deref(), Some("move Q1 and C1"));
    window.command(Key::Z);
    assert_eq!((block(&window, "Q1").at, block(&window, "C1").at), before);
}

#[test]
fn a_block_belongs_to_the_place_into_which_it_is_dropped() {
    let mut window = open();
    let circuit = &window.state().document.project.circuit;
    let cabin = circuit.place_by_name("Cabin").expect("it is there").id;
    assert_ne!(block(&window, "Q1").place, Some(cabin));
    let from = window.middle("Breaker Q1");
    let place = window.get_by_label("Place Cabin").rect();
    let to = place.center_top() + mm(&window, 0.0, 60.0);
    window.drag(from, to);
    assert_eq!(block(&window, "Q1").place, Some(cabin));
}

#[test]
fn a_band_selects_what_lies_wholly_in_it() {
    let mut window = open();
    let first = window.get_by_label("Strings S1").rect();
    let last = window.get_by_label("Strings S2").rect();
    window.drag(first.left_top() - mm(&window, 5.0, 5.0), last.right_bottom() + mm(&window, 3.0, 3.0));
    let selected = window.state().state.selection.blocks.len();
    assert_eq!(selected, 2);
    assert!(window.has("2 blocks"));
}

/// The middle of an item on the shelf, with its group open.
fn on_shelf(window: &mut Window, search: &str, name: &str) -> Pos2 {
    window.type_into("Find equipment in stock", search);
    window.middle(name)
}

#[test]
fn equipment_is_dropped_from_the_shelf_onto_the_sheet() {
    let mut window = open();
    let before = window.state().document.project.circuit.block_count();
    let from = on_shelf(&mut window, "100 V in, 40", "Tracking controller, 100 V in, 40 A out");
    let to = window.get_by_label("Place Cabin").rect().left_bottom() + mm(&window, 20.0, 90.0);
    window.drag(from, to);
    assert_eq!(window.state().document.project.circuit.block_count(), before + 1);
    let new = block(&window, "C2");
    assert_eq!(new.stock.as_deref(), Some("Tracking controller, 100 V in, 40 A out"));
    assert!(window.has("Charge controller C2"));
    assert_eq!(undo_label(&window).as_deref(), Some("add C2"));
    let middle = window.middle("Charge controller C2");
    assert!((middle - to).length() < mm(&window, 2.0, 2.0).length(), "{middle:?} {to:?}");
}

#[test]
fn enter_on_a_shelf_item_puts_it_in_the_middle_of_the_view() {
    let mut window = open();
    on_shelf(&mut window, "shunt, 500", "Shunt, 500 A, 50 mV");
    window.get_by_label("Shunt, 500 A, 50 mV").focus();
    window.run();
    window.press(Key::Enter);
    assert!(window.has("Meter R1"));
    assert!(window.get_by_label("Meter R1").accesskit_node().is_focused());
}

#[test]
fn a_breaker_dropped_on_a_run_goes_into_it_as_one_step() {
    let mut window = open();
    let before = window.state().document.project.clone();
    let run = before.circuit.run_by_tag("W11").expect("it is there").clone();
    let from = on_shelf(&mut window, "dc breaker 100 a 125", "DC breaker, 100 A, 125 V");
    let to = window.get_by_label("Run W11 from F1.load to BUS1.tap3").rect().center();
    window.hold_over(from, to);
    assert!(window.says("goes into W11"));
    window.let_go(to);
    let circuit = &window.state().document.project.circuit;
    let new = block(&window, "Q4");
    let first = circuit.run(run.id).expect("it stays");
    assert_eq!(
        (circuit.end_name(first.from), circuit.end_name(first.to)),
        ("F1.load".into(), "Q4.line".into())
    );
    let second =
        circuit.runs_at(new.id).into_iter().find(|other| other.id != run.id).expect("it goes on").clone();
    assert_eq!(circuit.end_name(second.to), "BUS1.tap3");
    window.command(Key::Z);
    assert!(window.state().document.project == before);
}

/// A second breaker on the sheet, without runs.
fn with_loose_breaker() -> Window {
    let stock = &engine().stock;
    let mut project = sample::cabin(stock);
    let mut drawing = sample::Drawing::on(stock, project);
    drawing.put("Q9", "DC breaker, 60 A, 125 V", 100, 36);
    project = drawing.project;
    crate::support::Opening { project, ..Default::default() }.open()
}

#[test]
fn a_run_is_pulled_from_terminal_to_terminal() {
    let mut window = with_loose_breaker();
    window.click("Breaker Q9");
    let (from, to) = (window.middle("Q9.line"), window.middle("BUS1.tap7"));
    window.hold_over(from, to);
    window.let_go(to);
    let circuit = &window.state().document.project.circuit;
    let run = circuit.run_by_tag("W13").expect("it was drawn");
    assert_eq!(
        (circuit.end_name(run.from), circuit.end_name(run.to)),
        ("Q9.line".into(), "BUS1.tap7".into())
    );
    assert_eq!(undo_label(&window).as_deref(), Some("draw W13"));
    assert!(window.has("Run W13 from Q9.line to BUS1.tap7"));
}

#[test]
fn a_taken_tap_gives_way_to_a_free_one_and_says_so() {
    let mut window = with_loose_breaker();
    let (from, to) = (window.middle("Q9.line"), window.middle("BUS1.tap3"));
    window.hold_over(from, to);
    assert!(window.says("BUS1.tap3 is taken by W11"));
    window.let_go(to);
    let circuit = &window.state().document.project.circuit;
    let run = circuit.run_by_tag("W13").expect("it was drawn");
    assert_ne!(circuit.end_name(run.to), "BUS1.tap3");
    assert!(circuit.end_name(run.to).starts_with("BUS1.tap"));
}

#[test]
fn an_illegal_landing_says_why_while_hovering_and_draws_nothing() {
    let mut window = with_loose_breaker();
    let before = window.state().document.project.clone();
    let (from, to) = (window.middle("Q9.line"), window.middle("BUS1.bond"));
    window.hold_over(from, to);
    assert!(window.says("a run cannot join them"));
    window.let_go(to);
    assert!(window.says("a run cannot join them"));
    assert!(window.state().document.project == before);
    // Two devices, one in the array's circuit and one on the bus: the zones tell them apart.
    let (from, to) = (window.middle("P1.tap1"), window.middle("BUS1.tap8"));
    window.hold_over(from, to);
    assert!(window.says("a run cannot join them"), "AC and battery bus");
    window.let_go(to);
    assert!(window.state().document.project == before);
}

#[test]
fn a_lone_block_dragged_onto_a_run_goes_into_it_as_one_step() {
    let mut window = with_loose_breaker();
    let before = window.state().document.project.clone();
    let from = window.middle("Breaker Q9");
    let to = window.get_by_label("Run W11 from F1.load to BUS1.tap3").rect().center();
    window.drag(from, to);
    let circuit = &window.state().document.project.circuit;
    let runs = circuit.runs_at(block(&window, "Q9").id);
    assert_eq!(runs.len(), 2, "{runs:?}");
    window.command(Key::Z);
    assert!(window.state().document.project == before);
}

#[test]
fn the_end_of_a_run_is_taken_to_another_terminal() {
    let mut window = open();
    window.get_by_label("Run W11 from F1.load to BUS1.tap3").click();
    window.run();
    // The nameplate of the run names its end, too.
    let on_sheet = window.get_by_role_and_label(egui::Role::GraphicsObject, "BUS1.tap3");
    let (from, to) = (on_sheet.rect().center(), window.middle("BUS1.tap6"));
    // The end lies on the terminal; what is pulled there is the end, for the terminal is taken.
    window.drag(from + mm(&window, -1.6, 0.0), to);
    let circuit = &window.state().document.project.circuit;
    let run = circuit.run_by_tag("W11").expect("it stays");
    assert_eq!(circuit.end_name(run.to), "BUS1.tap6");
}

#[test]
fn blocks_are_copied_pasted_and_deleted() {
    let mut window = open();
    window.click("Breaker Q1");
    window.get_by_label("Charge controller C1").click_modifiers(Modifiers::SHIFT);
    window.run();
    window.event(Event::Copy);
    window.step();
    let copied = window.output().platform_output.commands.iter().find_map(|command| {
        let egui::OutputCommand::CopyText(text) = command else { return None };
        Some(text.clone())
    });
    let copied = copied.expect("text was copied");
    let before = window.state().document.project.clone();
    window.event(Event::Paste(copied));
    window.run();
    let circuit = &window.state().document.project.circuit;
    assert_eq!(circuit.block_count(), before.circuit.block_count() + 2);
    assert_eq!(circuit.run_count(), before.circuit.run_count() + 1);
    assert!(circuit.block_by_tag("C2").is_some());
    window.press(Key::Delete);
    let circuit = &window.state().document.project.circuit;
    assert_eq!(
        (circuit.block_count(), circuit.run_count()),
        (before.circuit.block_count(), before.circuit.run_count())
    );
    window.command(Key::Z);
    window.command(Key::Z);
    assert!(window.state().document.project == before);
    window.event(Event::Paste("anything else".to_owned()));
    window.run();
    assert!(window.says("holds no blocks"));
    assert!(window.state().document.project == before);
}

#[test]
fn keys_turn_flip_nudge_and_duplicate() {
    let mut window = open();
    window.click("Breaker Q1");
    let was = block(&window, "Q1");
    window.press(Key::R);
    assert_eq!(block(&window, "Q1").orientation.turn, was.orientation.turn.next());
    window.press(Key::F);
    assert_ne!(block(&window, "Q1").orientation.mirror, was.orientation.mirror);
    window.press(Key::ArrowDown);
    window.key_press_modifiers(Modifiers::SHIFT, Key::ArrowRight);
    window.run();
    assert_eq!(block(&window, "Q1").at, was.at.moved(4, 1));
    window.command(Key::D);
    assert!(window.has("Breaker Q4"));
}

#[test]
fn tab_goes_through_the_blocks_in_reading_order_and_enter_edits() {
    let mut window = open();
    window.get_by_label("Strings S1").focus();
    window.run();
    assert_eq!(window.state().state.selection.blocks.len(), 1);
    window.press(Key::Tab);
    assert!(window.get_by_label("S1.out").accesskit_node().is_focused());
    window.press(Key::Tab);
    let circuit = &window.state().document.project.circuit;
    let next =
        window.state().state.selection.blocks.first().and_then(|id| circuit.block(*id)).expect("a block");
    assert_eq!(next.tag, "Q1");
    window.press(Key::Enter);
    assert!(window.get_by_role_and_label(egui::Role::TextInput, "Tag").is_focused());
}

#[test]
fn a_run_is_drawn_without_a_pointer() {
    let mut window = with_loose_breaker();
    window.get_by_label("Breaker Q9").focus();
    window.run();
    window.press(Key::W);
    assert!(window.has("Draw run"));
    window.get_by_label("Find a terminal").type_text("BUS1.tap7");
    window.run();
    window.press(Key::Enter);
    let circuit = &window.state().document.project.circuit;
    let run = circuit.run_by_tag("W13").expect("it was drawn");
    assert_eq!(
        (circuit.end_name(run.from), circuit.end_name(run.to)),
        ("Q9.line".into(), "BUS1.tap7".into())
    );
    assert!(!window.has("Draw run"));
}

#[test]
fn places_are_added_moved_with_what_stands_in_them_and_resized() {
    let mut window = open();
    let shed = |window: &Window| {
        window.state().document.project.circuit.place_by_name("Cabin").expect("there").clone()
    };
    let (was, panel) = (shed(&window), block(&window, "P1").at);
    let title = window.get_by_label("Place Cabin").rect();
    let from = title.right_center() - mm(&window, 4.0, 0.0);
    window.drag(from, from + mm(&window, 10.0, 5.0));
    assert_eq!(shed(&window).at, was.at.moved(4, 2));
    assert_eq!(block(&window, "P1").at, panel.moved(4, 2));
    let corner = {
        let title = window.get_by_label("Place Cabin").rect();
        egui::pos2(title.right(), title.top() + mm(&window, 0.0, 2.5 * was.size.y as f32).y)
    };
    window.drag(corner, corner + mm(&window, 5.0, 7.5));
    assert_eq!(shed(&window).size, GridPoint::new(was.size.x + 2, was.size.y + 3));
    window.command(Key::Z);
    window.command(Key::Z);
    assert_eq!(shed(&window), was);
    window.click("Strings S1");
    window.press(Key::P);
    assert!(window.state().document.project.circuit.place_by_name("Place 1").is_some() || window.has("Name"));
}

#[test]
fn the_wheel_zooms_at_the_pointer_and_keys_fit() {
    let mut window = open();
    let at = window.middle("Charge controller C1");
    window.hover_at(at);
    window.run();
    let before = window.state().state.panels.sheet.camera;
    let fixed = before.sheet(at);
    window.event(Event::MouseWheel {
        unit: egui::MouseWheelUnit::Line,
        delta: vec2(0.0, 2.0),
        phase: egui::TouchPhase::Move,
        source: egui::MouseWheelSource::Wheel,
        modifiers: Modifiers::NONE,
    });
    window.run();
    let after = window.state().state.panels.sheet.camera;
    assert!(after.scale() > before.scale() * 1.3);
    let now = after.sheet(at);
    assert!((now.x - fixed.x).abs() < 0.01 && (now.y - fixed.y).abs() < 0.01);
    window.press(Key::Num0);
    assert_eq!(window.state().state.panels.sheet.camera, before);
}
