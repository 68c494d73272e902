//! Golden pictures of the areas and pages in both themes, painted on the processor; those of the guide are among them, so
//! that the guide shows the window as it is.

use crate::support::picture::{held, of_guide, of_tests};
use crate::support::{Folder, Hands as _, Opening, Window};
use egui::{Key, Modifiers};
use egui_kittest::kittest::Queryable as _;
use lineside::settings::{Settings, Theme};
use lineside::thumbnails::Thumbnails;
use lineside::window::demo::Demo;
use lineside::window::start::Standing;
use std::path::PathBuf;
use std::time::{Duration, Instant};

/// Both themes, by the end of the name of a picture.
const THEMES: [(Theme, &str); 2] = [(Theme::Light, "light"), (Theme::Dark, "dark")];

fn on(demo: Demo, theme: Theme) -> Window {
    Opening { project: demo.project(), theme, size: [1280.0, 800.0], ..Opening::default() }.open()
}

/// Holds a view in both themes.
fn both(what: &str, place: fn(&str) -> PathBuf, mut view: impl FnMut(Theme) -> Window) {
    for (theme, name) in THEMES {
        held(&mut view(theme), &place(&format!("{what}-{name}")));
    }
}

fn until(window: &mut Window, what: &str, holds: impl Fn(&Window) -> bool) {
    let start = Instant::now();
    while !holds(window) {
        assert!(start.elapsed() < Duration::from_mins(2), "never: {what}");
        window.step();
        std::thread::yield_now();
    }
    window.run();
}

#[test]
fn draft() {
    both("draft", of_guide, |theme| {
        let mut window = on(Demo::Cabin, theme);
        window.click("Charge controller C1");
        window
    });
}

#[test]
fn findings() {
    both("findings", of_guide, |theme| {
        let mut window = on(Demo::AsFound, theme);
        window.press(Key::F8);
        // They are tried on a thread aside, and counted when they are known.
        until(&mut window, "remedies", |window| !window.says("Remedies …"));
        window
    });
}

#[test]
fn brief() {
    both("brief", of_guide, |theme| {
        let mut window = on(Demo::Cabin, theme);
        window.click("Brief");
        window
    });
}

#[test]
fn year() {
    both("year", of_guide, |theme| {
        let mut window = on(Demo::Hut, theme);
        window.state_mut().state.panels.year.set_years(5);
        window.key_press_modifiers(Modifiers::COMMAND, Key::Num3);
        window.run_steps(2);
        until(&mut window, "the year", |window| window.state().state.panels.year.is_at_rest());
        window
    });
}

#[test]
fn proposals() {
    both("proposals", of_guide, |theme| {
        let mut window = on(Demo::Cabin, theme);
        window.click("Brief");
        window.click("Proposals");
        window.get_by_label("Propose systems").click();
        window.run_steps(2);
        until(&mut window, "proposals", |window| !window.state().state.panels.brief.propose.is_running());
        window
    });
}

/// The page shows where files lie, so these lie in the same place each time.
#[cfg(target_os = "linux")]
#[test]
fn start_page() {
    let folder = PathBuf::from("/tmp/lineside-pictures");
    std::fs::create_dir_all(&folder).expect("a folder can be made");
    let own = Folder::new("picture-start");
    let thumbnails = Thumbnails::kept_in(own.file("pictures"));
    let mut settings = Settings::default();
    settings.remember(&folder.join("gone.lineside"));
    for (name, demo) in [("hut", Demo::Hut), ("home", Demo::Home), ("cabin", Demo::Cabin)] {
        let path = folder.join(format!("{name}.lineside"));
        let text = lineside_core::file::write(&demo.project()).expect("it writes");
        std::fs::write(&path, text).expect("it is written");
        let opening =
            Opening { file: Some(path.clone()), thumbnails: thumbnails.clone(), ..Opening::default() };
        let mut window = Opening { settings: settings.clone(), ..opening }.open();
        // Closing waits until its picture is made.
        window.command(Key::W);
        settings.remember(&path);
    }
    both("start", of_tests, |theme| {
        let opening =
            Opening { standing: Standing::Nothing, theme, size: [1280.0, 800.0], ..Opening::default() };
        Opening { settings: settings.clone(), thumbnails: thumbnails.clone(), ..opening }.open()
    });
}

#[test]
fn settings_page() {
    both("settings", of_tests, |theme| {
        let mut window = on(Demo::Cabin, theme);
        window.key_press_modifiers(Modifiers::COMMAND, Key::Comma);
        window.run();
        window
    });
}

#[test]
fn guide_beside_the_work() {
    both("guide", of_tests, |theme| {
        let mut window = on(Demo::Cabin, theme);
        window.key_press_modifiers(Modifiers::SHIFT, Key::F1);
        window.run();
        window
    });
}

#[test]
fn keyboard() {
    both("keyboard", of_tests, |theme| {
        let mut window = on(Demo::Cabin, theme);
        window.press(Key::F1);
        window
    });
}

#[test]
fn tour() {
    both("tour", of_tests, |theme| {
        let mut window = on(Demo::Cabin, theme);
        window.click("Help");
        window.click("Take the tour");
        window.click("Next");
        window
    });
}

#[test]
fn at_three_hundred_percent() {
    both("large", of_tests, |theme| {
        let opening =
            Opening { project: Demo::Cabin.project(), theme, size: [480.0, 300.0], ..Opening::default() };
        let mut window = opening.open();
        window.click("Charge controller C1");
        window.click("Show Nameplate");
        window
    });
}

#[test]
fn every_picture_of_the_guide_is_made_here() {
    let guide = of_guide("x").parent().and_then(|it| it.parent()).expect("a folder").to_owned();
    let mut named = 0;
    for entry in std::fs::read_dir(guide).expect("the guide").flatten().filter(|it| it.path().is_file()) {
        let text = std::fs::read_to_string(entry.path()).expect("it reads");
        for name in text.split("](pictures/").skip(1).filter_map(|rest| rest.split(".png)").next()) {
            let (what, theme) = name.split_once('-').expect("a view and a theme");
            assert!(["draft", "findings", "brief", "year", "proposals"].contains(&what), "{name}");
            assert!(["light", "dark"].contains(&theme), "{name}");
            assert!(of_guide(name).exists(), "{name}");
            named += 1;
        }
    }
    assert!(named >= 5, "{named}");
}
