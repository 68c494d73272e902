//! The frame: menus, areas, themes, names for assistive technology, and no work while nothing happens.

use crate::support::{Hands as _, Opening, Window, open};
use egui::{Key, Modifiers, Role, vec2};
use egui_kittest::kittest::Queryable as _;
use lineside::settings::Theme;
use lineside::window::areas::Area;
use lineside::window::command::{Command, Menu};
use lineside::window::tokens::Tokens;
use lineside_core::project::Project;
use lineside_core::project::RuleSet;
use lineside_core::units::UnitSystem;

#[test]
fn an_idle_window_asks_for_no_frame() {
    let mut window = open();
    window.click("Charge controller C1");
    window.run();
    // One more pass, as if something else had woken the window: it must ask for nothing itself.
    window.step();
    let delay = window.output().viewport_output[&egui::ViewportId::ROOT].repaint_delay;
    assert_eq!(delay, std::time::Duration::MAX, "{:?}", window.ctx.repaint_causes());
    assert_eq!(window.run(), 1);
}

#[test]
fn everything_that_can_be_used_has_a_name() {
    let mut window = open();
    for name in ["Charge controller C1", "Run W4 from CB1.out to Q1.line", "Battery bank B1"] {
        window.click(name);
        assert_eq!(window.unnamed_widgets(), Vec::<String>::new(), "{name}");
    }
    window.get_by_label("Place Cabin").focus();
    window.run();
    window.click("Brief");
    for key in [Key::F1, Key::Escape] {
        window.press(key);
    }
    assert_eq!(window.unnamed_widgets(), Vec::<String>::new());
}

#[test]
fn menus_hold_every_command() {
    for menu in Menu::ALL {
        let mut window = open();
        window.click(menu.title());
        for command in Command::ALL.iter().filter(|command| command.menu() == menu) {
            assert!(window.says(command.name()), "{} lacks {}", menu.title(), command.name());
        }
    }
}

#[test]
fn the_brief_changes_title_site_rule_set_and_units() {
    let mut window = open();
    window.key_press_modifiers(Modifiers::COMMAND, Key::Num1);
    window.run();
    assert_eq!(window.state().state.area, Area::Brief);
    window.click("Title and rule set");
    window.type_into("System", "Quarry Lane");
    window.press(Key::Enter);
    assert_eq!(window.state().document.project.title.system, "Quarry Lane");
    assert!(window.has("Quarry Lane"), "it stands in the menu row at once");
    window.click("Site and weather");
    window.type_into("Record low", "-31 C");
    window.press(Key::Enter);
    let low = window.state().document.project.brief.site.record_low.expect("it was given");
    assert!((low.value() + 31.0).abs() < 1e-9);
    window.click("Title and rule set");
    window.click("Rule set: NEC 2023");
    window.click("IEC");
    assert_eq!(window.state().document.project.rule_set, RuleSet::Iec);
    window.click("Units: US: feet, °F, AWG");
    window.click("SI: meters, °C, mm²");
    assert_eq!(window.state().document.project.units, UnitSystem::Si);
    assert!(window.has("IEC · SI units"));
    for _ in 0..4 {
        window.command(Key::Z);
    }
    assert_eq!(window.state().document.project.title.system, "Juniper Ridge Cabin");
}

#[test]
fn themes_and_scale_are_chosen() {
    let mut window = open();
    window.click("View");
    window.click("Dark theme");
    assert_eq!((window.state().settings.theme, window.ctx.theme()), (Theme::Dark, egui::Theme::Dark));
    window.key_press_modifiers(Modifiers::COMMAND, Key::Plus);
    window.run();
    assert_eq!(window.state().settings.scale_percent, 110);
    assert!((window.ctx.zoom_factor() - 1.1).abs() < 1e-6);
    window.command(Key::Num0);
    assert_eq!(window.state().settings.scale_percent, 100);
}

#[test]
fn keys_while_typing_are_letters() {
    let mut window = open();
    let before = window.state().document.project.clone();
    window.click("Breaker Q1");
    window.get_by_role_and_label(Role::TextInput, "Note").focus();
    window.run();
    for (key, letter) in [(Key::R, "r"), (Key::F, "f"), (Key::W, "w"), (Key::P, "p")] {
        window.key_press(key);
        window.get_by_role_and_label(Role::TextInput, "Note").type_text(letter);
    }
    window.key_press(Key::Backspace);
    window.run();
    let circuit = &window.state().document.project.circuit;
    assert_eq!(circuit.block_count(), before.circuit.block_count());
    let block = circuit.block_by_tag("Q1").expect("it is there");
    assert_eq!(block.note, "rfw");
    assert_eq!(block.orientation, before.circuit.block_by_tag("Q1").expect("there").orientation);
}

#[test]
fn the_table_of_keys_opens_and_closes() {
    let mut window = open();
    window.press(Key::F1);
    assert!(window.has("Turns the selected blocks a quarter."));
    window.press(Key::Escape);
    assert!(!window.has("Turns the selected blocks a quarter."));
}

#[test]
fn every_character_of_the_window_is_in_the_face() {
    // The harness panics on a glyph that no face has; every panel and dialog is shown once.
    let mut window = open();
    for command in [Command::Keys, Command::About] {
        window.click("Help");
        window.click(command.name());
        window.press(Key::Escape);
    }
    window.click("Inverters, 31 in stock, closed");
    window.click("Brief");
}

/// Pictures show what depends on no rule: the frame, an empty sheet, the brief. What the sheet looks like is
/// kept by the drawing crate; that its pens get their colors is asked below.
fn empty(theme: Theme, size: [f32; 2]) -> Window {
    Opening { project: Project::default(), theme, size, ..Opening::default() }.open()
}

fn picture(window: &mut Window, name: &str) {
    window.remove_cursor();
    window.run();
    window.snapshot(name);
}

#[test]
fn looks_light() {
    picture(&mut empty(Theme::Light, [1440.0, 900.0]), "draft_light");
}

#[test]
fn looks_dark() {
    let mut window = empty(Theme::Dark, [1100.0, 700.0]);
    window.click("Bus bars, 9 in stock, closed");
    picture(&mut window, "draft_dark");
}

#[test]
fn looks_like_a_brief() {
    let mut window = empty(Theme::Light, [1100.0, 700.0]);
    window.click("Brief");
    picture(&mut window, "brief_light");
}

#[test]
fn pens_wear_the_colors_of_the_theme() {
    for (theme, tokens) in [(Theme::Light, Tokens::LIGHT), (Theme::Dark, Tokens::DARK)] {
        let mut window = Opening { theme, ..Opening::default() }.open();
        for (name, color) in [
            ("Run W2 from S2.out to CB1.way2", tokens.array),
            ("Run W10 from B1.out to F1.line", tokens.battery),
        ] {
            window.press(Key::Num0);
            window.click(name);
            window.press(Key::Num2);
            window.press(Key::Escape);
            window.remove_cursor();
            window.run();
            // A quarter along the run, where no mark and no flag stands.
            let rect = window.get_by_label(name).rect();
            let at = rect.left_center() + vec2(rect.width() / 4.0, 0.0);
            let found = pixels_near(&mut window, at);
            assert!(found.iter().any(|pixel| is_like(*pixel, color)), "{name} in {theme:?}: {found:?}");
        }
        let corner = window.get_by_label("Sheet").rect().left_top() + vec2(5.0, 5.0);
        assert!(pixels_near(&mut window, corner).iter().any(|pixel| is_like(*pixel, tokens.sheet)));
    }
}

/// The pixels of a short upright line about a point.
#[expect(clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "points on a screen")]
fn pixels_near(window: &mut Window, at: egui::Pos2) -> Vec<[u8; 4]> {
    let image = window.render().expect("it can be painted");
    (-2..=2).map(|dy| image.get_pixel(at.x as u32, (at.y as i32 + dy) as u32).0).collect()
}

fn is_like(pixel: [u8; 4], color: egui::Color32) -> bool {
    pixel.iter().zip(color.to_array()).all(|(a, b)| a.abs_diff(b) <= 6)
}
