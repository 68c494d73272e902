//! Small windows and large scales: from 1,100 × 700 up and from 100 to 300 percent everything that can be used comes into
//! view, and the sheet keeps room.

use crate::support::{Hands as _, Opening, Window};
use egui::{Key, Modifiers, Rect, Role, vec2};
use egui_kittest::kittest::{NodeT as _, Queryable as _};
use lineside::window::areas::Area;
use lineside::window::demo::Demo;
use lineside::window::start::Standing;

/// Windows in dots, with the scale of the window in percent.
const WINDOWS: [([f32; 2], u16); 4] =
    [([1100.0, 700.0], 100), ([1440.0, 900.0], 175), ([1920.0, 1080.0], 300), ([1100.0, 700.0], 300)];

/// A window of so many dots at a scale is one of fewer points.
fn at((dots, percent): ([f32; 2], u16), opening: Opening) -> Window {
    let scale = f32::from(percent) / 100.0;
    Opening { size: dots.map(|dots| (dots / scale).floor()), ..opening }.open()
}

fn cabin(window: ([f32; 2], u16)) -> Window {
    at(window, Opening { project: Demo::Cabin.project(), ..Opening::default() })
}

/// Goes round with the Tab key: whatever has the keyboard is in the window, as far as the window is large enough for it.
fn all_comes_into_view(window: &mut Window, what: &str) {
    let screen = window.ctx.content_rect().expand(1.0);
    let mut first = None;
    for _ in 0..260 {
        window.key_press(Key::Tab);
        window.run();
        let Some(node) = window.root().children_recursive().find(|node| node.accesskit_node().is_focused())
        else {
            continue;
        };
        let data = node.accesskit_node();
        let id = data.id();
        if first == Some(id) {
            return;
        }
        first = first.or(Some(id));
        if matches!(data.role(), Role::Canvas | Role::GraphicsObject) {
            continue;
        }
        let rect = node.rect();
        let seen = screen.intersect(rect);
        let enough = vec2(rect.width().min(60.0), rect.height().min(18.0));
        let name = data.label().unwrap_or_default();
        assert!(
            seen.width() >= enough.x && seen.height() >= enough.y,
            "{what}: “{name}” at {rect:?} is cut by {screen:?}"
        );
    }
}

#[test]
fn the_draft_can_be_used_at_every_size() {
    for size in WINDOWS {
        let mut window = cabin(size);
        let sheet: Rect = window.get_by_label("Sheet").rect();
        let screen = window.ctx.content_rect();
        assert!(
            sheet.width() >= screen.width() * 0.35 && sheet.height() >= screen.height() * 0.28,
            "{size:?}: the sheet has {sheet:?}"
        );
        window.press(Key::F8);
        window.press(Key::Escape);
        all_comes_into_view(&mut window, &format!("{size:?}"));
    }
}

#[test]
fn parts_of_a_narrow_draft_are_shown_one_at_a_time() {
    let mut window = cabin(([1440.0, 900.0], 300));
    assert!(window.has("Show Stock") && !window.has("Find equipment in stock"));
    window.click("Show Stock");
    assert!(window.has("Find equipment in stock"));
    window.click("Show Nameplate");
    assert!(window.says("Rule set"));
    window.click("Show Findings");
    assert!(window.says("comparisons by"));
    window.click("Show Sheet");
    assert!(!window.says("comparisons by"));
    window.command(Key::F);
    assert!(window.has("Find equipment in stock"), "a command that goes to a part shows it");
}

#[test]
fn the_brief_can_be_used_at_every_size() {
    // Every line of the load table is like the one before.
    let mut project = Demo::Cabin.project();
    project.brief.loads.truncate(2);
    for size in [WINDOWS[0], ([1440.0, 900.0], 300)] {
        for page in ["Loads", "Site and weather", "Goals", "Proposals", "Title and rule set"] {
            let mut window = at(size, Opening { project: project.clone(), ..Opening::default() });
            window.key_press_modifiers(Modifiers::COMMAND, Key::Num1);
            window.run();
            window.get_by_role_and_label(Role::Tab, page).click();
            window.run();
            all_comes_into_view(&mut window, &format!("{page} at {size:?}"));
        }
    }
}

#[test]
fn the_year_can_be_used_at_every_size() {
    for size in [WINDOWS[0], WINDOWS[2]] {
        let mut window = at(size, Opening { project: Demo::Hut.project(), ..Opening::default() });
        window.state_mut().state.panels.year.set_years(0);
        window.key_press_modifiers(Modifiers::COMMAND, Key::Num3);
        window.run_steps(2);
        let start = std::time::Instant::now();
        while !window.state().state.panels.year.is_at_rest() {
            assert!(start.elapsed() < std::time::Duration::from_mins(2), "the year does not come to an end");
            window.run_steps(1);
        }
        window.run();
        assert_eq!(window.state().state.area, Area::Year);
        all_comes_into_view(&mut window, &format!("year at {size:?}"));
    }
}

#[test]
fn pages_and_dialogs_can_be_left_at_every_size() {
    for size in WINDOWS {
        let mut window = at(size, Opening { standing: Standing::Nothing, ..Opening::default() });
        all_comes_into_view(&mut window, &format!("start page at {size:?}"));
        let keys = [(Modifiers::NONE, Key::F1, "Close"), (Modifiers::COMMAND, Key::Comma, "Close")];
        for (modifiers, key, way_out) in keys {
            let mut window = cabin(size);
            window.key_press_modifiers(modifiers, key);
            window.run();
            let screen = window.ctx.content_rect().expand(1.0);
            let rect = window.get_by_label(way_out).rect();
            assert!(screen.contains_rect(rect), "{key:?} at {size:?}: {rect:?} is cut by {screen:?}");
            all_comes_into_view(&mut window, &format!("{key:?} at {size:?}"));
        }
        let mut window = cabin(size);
        window.click("Help");
        window.click("Take the tour");
        for way in ["Next", "Leave the tour"] {
            let rect = window.get_by_label(way).rect();
            assert!(window.ctx.content_rect().expand(1.0).contains_rect(rect), "tour at {size:?}: {rect:?}");
        }
        window.click("Leave the tour");
        window.key_press_modifiers(Modifiers::SHIFT, Key::F1);
        window.run();
        let rect = window.get_by_label("Close window").rect();
        assert!(window.ctx.content_rect().expand(1.0).contains_rect(rect), "guide at {size:?}: {rect:?}");
    }
}
