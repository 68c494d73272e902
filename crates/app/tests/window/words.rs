//! Words moved by hand, and runs bent: dragged, undone, and given back to their own places.

use crate::support::{Hands as _, Window, open};
use egui::{Key, Modifiers, Pos2, Vec2, vec2};
use egui_kittest::kittest::Queryable as _;
use lineside_core::circuit::RunId;
use lineside_core::project::WordsOf;
use lineside_drawing::geometry::{Area, Point};
use lineside_drawing::sheet::Words;

fn words(window: &Window, of: WordsOf) -> Words {
    let drawing = &window.state().state.panels.sheet.drawn.drawing;
    *drawing.words.iter().find(|words| words.of == of).expect("the words are on the sheet")
}

/// Where a point of the sheet is on the screen.
fn screen(window: &Window, at: Point) -> Pos2 {
    let symbol = window.get_by_label("Charge controller C1").rect();
    let project = &window.state().document.project;
    let block = project.circuit.block_by_tag("C1").expect("it is there");
    let area = lineside_drawing::placement::bounds(block).on_paper();
    symbol.center() + mm(window, at.x - area.center().x, at.y - area.center().y)
}

fn mm(window: &Window, x: f32, y: f32) -> Vec2 {
    window.state().state.panels.sheet.camera.scale() * vec2(x, y)
}

fn middle(window: &Window, area: Area) -> Pos2 {
    screen(window, area.center())
}

fn run(window: &Window, tag: &str) -> RunId {
    window.state().document.project.circuit.run_by_tag(tag).expect("the run is there").id
}

fn undo_label(window: &Window) -> Option<String> {
    window.state().document.history.undo_label().map(str::to_owned)
}

/// At the true scale and at the scale that shows all of the sheet, where words are set larger.
#[test]
fn words_are_dragged_and_stay_with_their_block() {
    // Words that are set larger stand a little higher, clear of their symbol.
    for (zoom, higher) in [(Key::Num2, 0.0), (Key::Num0, 8.0)] {
        let mut window = open();
        window.click("Charge controller C1");
        window.press(zoom);
        let before = window.state().document.project.clone();
        let of = WordsOf::Tag(before.circuit.block_by_tag("C1").expect("it is there").id);
        let was = words(&window, of).area;
        let from = middle(&window, was) - vec2(0.0, higher);
        window.drag(from, from + mm(&window, -6.0, -9.0));
        let now = words(&window, of).area;
        let off = (now.left - was.left + 6.0).abs() + (now.top - was.top + 9.0).abs();
        assert!(off < 0.8, "{zoom:?}: {was:?} to {now:?}");
        assert_eq!(undo_label(&window).as_deref(), Some("move the tag of C1"), "{zoom:?}");
        // One step back, and all is as it was; forth, and back by the command.
        window.command(Key::Z);
        assert!(window.state().document.project == before, "{zoom:?}");
        window.key_press_modifiers(Modifiers::COMMAND | Modifiers::SHIFT, Key::Z);
        window.run();
        assert_eq!(words(&window, of).area, now);
        window.press(Key::O);
        assert!(window.state().document.project == before, "{zoom:?}: the words stand where they find room");
    }
}

#[test]
fn a_run_is_bent_by_its_piece_and_keeps_the_bend() {
    let mut window = open();
    let before = window.state().document.project.clone();
    let id = run(&window, "W4");
    let way = window.state().state.panels.sheet.drawn.routes.get(id).expect("it has a way").to_vec();
    let longest = way.windows(2).max_by_key(|pair| pair[0].x.abs_diff(pair[1].x)).expect("it has a piece");
    let (a, b) = (Point::on_grid(longest[0]), Point::on_grid(longest[1]));
    let from = screen(&window, Point::new(a.x + 0.3 * (b.x - a.x), a.y));
    // 10 mm are four steps.
    window.drag(from, from + mm(&window, 0.0, 10.0));
    assert_eq!(undo_label(&window).as_deref(), Some("bend W4"));
    let bent = window.state().state.panels.sheet.drawn.routes.get(id).expect("it has a way").to_vec();
    let low = longest[0].y + 4;
    assert!(bent.windows(2).any(|pair| pair[0].y == low && pair[1].y == low), "{bent:?}");
    assert_eq!((bent.first(), bent.last()), (way.first(), way.last()));
    window.command(Key::Z);
    assert!(window.state().document.project == before);
}
