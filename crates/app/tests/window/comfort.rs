//! Comfort: settings, the page of files opened last with its pictures, dropped files, the tour, the guide.

use crate::support::{Folder, Hands as _, Opening, Window, open};
use egui::{DroppedFile, HoveredFile, Key};
use lineside::settings::{Motion, Settings, Theme, Tour};
use lineside::thumbnails::Thumbnails;
use lineside::window::areas::Area;
use lineside::window::demo::Demo;
use lineside::window::start::Standing;
use lineside_core::file;
use lineside_core::project::Project;
use lineside_core::units::UnitSystem;
use std::path::{Path, PathBuf};
use std::sync::Arc;

fn written(folder: &Folder, name: &str, demo: Demo) -> PathBuf {
    let path = folder.file(name);
    std::fs::write(&path, file::write(&demo.project()).expect("it writes")).expect("it is written");
    path
}

#[test]
fn every_setting_is_chosen_on_one_page_and_kept() {
    let folder = Folder::new("settings");
    let place = folder.file("settings.ron");
    let settings = Settings::kept_at(place.clone());
    let mut window = Opening { settings, ..Opening::default() }.open();
    window.key_press_modifiers(egui::Modifiers::COMMAND, Key::Comma);
    window.run();
    assert!(window.says("Kept in "));
    window.click("Theme: Dark");
    assert_eq!(window.ctx.theme(), egui::Theme::Dark, "it is in force at once");
    window.click("Scale of the window: 125 %");
    window.click("Units of new projects: SI: meters, °C, mm²");
    window.click("Motion: Never");
    assert_eq!(window.state().document.project.units, UnitSystem::Us, "this project keeps its own");
    window.click("Units of this project: SI: meters, °C, mm²");
    assert_eq!(window.state().document.project.units, UnitSystem::Si);
    window.press(Key::Escape);
    assert!(!window.says("Kept in "));
    let kept = Settings::kept_at(place);
    assert_eq!((kept.theme, kept.scale_percent, kept.motion), (Theme::Dark, 125, Motion::Still));
    window.command(Key::Z);
    window.command(Key::N);
    assert_eq!(window.state().document.project.units, UnitSystem::Si, "a new project begins with them");
}

#[test]
fn settings_that_cannot_be_read_are_told_of() {
    let folder = Folder::new("broken");
    let place = folder.file("settings.ron");
    std::fs::write(&place, "(theme: purple)").expect("it is written");
    let mut window = Opening { settings: Settings::kept_at(place), ..Opening::default() }.open();
    assert!(window.says("Your settings could not be read (line 1"));
    window.press(Key::Escape);
    window.key_press_modifiers(egui::Modifiers::COMMAND, Key::Comma);
    window.run();
    assert!(window.says("settings.damaged.ron"), "it stays on the page");
}

/// A window without a project, with files opened last.
fn start_page(folder: &Folder, recent: &[&Path]) -> Window {
    let mut settings = Settings::kept_at(folder.file("settings.ron"));
    for path in recent {
        settings.remember(path);
    }
    let thumbnails = Thumbnails::kept_in(folder.file("pictures"));
    Opening { standing: Standing::Nothing, settings, thumbnails, ..Opening::default() }.open()
}

#[test]
fn files_opened_last_stand_on_a_page_with_pictures_of_their_sheets() {
    let folder = Folder::new("recent");
    let hut = written(&folder, "hut.lineside", Demo::Hut);
    let gone = folder.file("gone.lineside");
    let mut window = start_page(&folder, &[&gone, &hut]);
    let thumbnails = Thumbnails::kept_in(folder.file("pictures"));
    assert!(thumbnails.read(&hut, egui::Theme::Light).is_none());
    let at = folder.file("").display().to_string();
    let at = at.trim_end_matches('/');
    assert!(window.has(&format!("Open gone.lineside in {at}, which is not there any more")));
    window.click(&format!("Open hut.lineside in {at}"));
    assert_eq!(window.state().document.project.name(), "Ridge Hut");
    assert!(window.has("Sheet"));
    window.command(Key::W);
    assert!(window.has("New project") && !window.has("Sheet"));
    assert!(thumbnails.read(&hut, egui::Theme::Light).is_some(), "its picture was made");
    assert!(thumbnails.read(&hut, egui::Theme::Dark).is_some());
    window.click("Take gone.lineside from the list");
    assert!(!window.says("gone.lineside"));
    window.click("Take hut.lineside from the list");
    assert!(hut.exists(), "the file itself stays");
    assert!(thumbnails.read(&hut, egui::Theme::Light).is_none());
    assert!(Settings::kept_at(folder.file("settings.ron")).recent.is_empty());
}

#[test]
fn saving_renews_the_picture() {
    let folder = Folder::new("renew");
    let hut = written(&folder, "hut.lineside", Demo::Hut);
    let mut window = start_page(&folder, &[&hut]);
    window.click(&format!(
        "Open hut.lineside in {}",
        folder.file("").display().to_string().trim_end_matches('/')
    ));
    window.command(Key::W);
    let thumbnails = Thumbnails::kept_in(folder.file("pictures"));
    let before = thumbnails.read(&hut, egui::Theme::Light).expect("it was made");
    window.click(&format!(
        "Open hut.lineside in {}",
        folder.file("").display().to_string().trim_end_matches('/')
    ));
    window.command(Key::A);
    window.press(Key::Delete);
    window.command(Key::S);
    assert!(!window.state().document.is_unsaved());
    window.command(Key::W);
    assert_ne!(thumbnails.read(&hut, egui::Theme::Light).expect("it is there"), before);
}

#[test]
fn without_a_project_only_what_needs_none_can_be_done() {
    let folder = Folder::new("nothing");
    let mut window = start_page(&folder, &[]);
    assert!(window.says("Projects that you open or save stand here"));
    for key in [Key::T, Key::P, Key::Delete] {
        window.press(key);
    }
    window.command(Key::S);
    assert!(window.has("New project"), "nothing was saved or drawn");
    assert_eq!(window.state().document.project.circuit.block_count(), 0);
    window.click("Larkspur Street Home");
    assert!(window.has("Sheet"));
    assert_eq!(window.state().document.project.name(), "Larkspur Street Home");
    assert!(!window.state().document.is_unsaved());
    window.command(Key::W);
    window.click("New project");
    assert!(window.state().document.project == Project::default());
}

#[derive(Debug)]
struct Dropped(PathBuf);

impl DroppedFile for Dropped {
    fn path(&self) -> &Path {
        &self.0
    }
    fn bytes(&self) -> Result<Vec<u8>, String> {
        std::fs::read(&self.0).map_err(|error| error.to_string())
    }
}

fn drop_on(window: &mut Window, path: &Path) {
    window.input_mut().dropped_files.push(Arc::new(Dropped(path.to_owned())));
    window.run();
}

#[test]
fn a_dropped_project_opens_and_work_is_asked_about() {
    let folder = Folder::new("drop");
    let hut = written(&folder, "hut.lineside", Demo::Hut);
    let mut window = open();
    window.click("Breaker Q1");
    window.press(Key::R);
    window.input_mut().hovered_files = vec![HoveredFile { path: Some(hut.clone()), mime: String::new() }];
    window.run_steps(3);
    window.input_mut().hovered_files.clear();
    drop_on(&mut window, &hut);
    assert!(window.says("Save the changes to"));
    drop_on(&mut window, &hut);
    assert!(window.says("answer that first"));
    window.click("Don't save");
    assert_eq!(window.state().document.project.name(), "Ridge Hut");
}

#[test]
fn dropped_tables_go_into_the_brief_and_other_things_are_refused_with_words() {
    let folder = Folder::new("tables");
    let write = |name: &str, text: &str| {
        let path = folder.file(name);
        std::fs::write(&path, text).expect("it is written");
        path
    };
    let mut window = open();
    drop_on(&mut window, &write("loads.csv", "name,watts,hours,start\nLamp,10,4,18:00\nPump,400,0.5,9:00\n"));
    assert_eq!(window.state().state.area, Area::Brief);
    assert_eq!(window.state().document.project.brief.loads.len(), 2);
    assert!(window.says("2 loads were added"));
    for (name, text, told) in [
        ("roof.jpg", "JFIF", "nothing that Lineside reads"),
        ("prices.csv", "item,each\nBreaker,40\n", "neither hourly weather nor a table of loads or stock"),
    ] {
        let before = window.state().document.project.clone();
        drop_on(&mut window, &write(name, text));
        assert!(window.says(told), "{name}");
        assert!(window.state().document.project == before);
        window.press(Key::Escape);
    }
    let stock = "name,equipment,max_input_voltage,output_current\nOurs,controller,150 V,60 A\n";
    drop_on(&mut window, &write("stock.csv", stock));
    assert!(window.state().state.dialogs.is_open(), "a table of stock is looked at");
    window.press(Key::Escape);
    drop_on(&mut window, &folder.file(""));
    assert!(window.says("is a folder"));
    let mut window = start_page(&folder, &[]);
    drop_on(&mut window, &folder.file("loads.csv"));
    assert!(window.says("Open a project first"));
}

#[test]
fn the_tour_has_five_steps_and_is_taken_once() {
    let folder = Folder::new("tour");
    let place = folder.file("settings.ron");
    let settings = Settings::kept_at(place.clone());
    assert!(settings.is_first_start());
    let mut window = Opening { settings, project: Demo::Cabin.project(), ..Opening::default() }.open();
    assert!(!window.says("1 of 5"));
    let ctx = window.ctx.clone();
    window.state_mut().greet(&ctx);
    window.run();
    for (n, area) in [Area::Draft, Area::Draft, Area::Draft, Area::Brief, Area::Year].into_iter().enumerate()
    {
        assert!(window.says(&format!("{} of 5", n + 1)), "step {}", n + 1);
        assert_eq!(window.state().state.area, area);
        if n == 1 {
            window.click("Back");
            assert!(window.says("1 of 5"));
            window.click("Next");
        }
        if n < 4 {
            window.click("Next");
        }
    }
    window.click("Done");
    assert!(!window.says("of 5"));
    let kept = Settings::kept_at(place);
    assert!(kept.tour == Tour::Done && !kept.is_first_start());
    // Again from the menu, and left at once.
    window.click("Help");
    window.click("Take the tour");
    assert!(window.says("1 of 5"));
    window.click("Leave the tour");
    assert!(!window.says("of 5"));
}

#[test]
fn the_guide_opens_beside_the_work_and_leads_from_chapter_to_chapter() {
    let mut window = open();
    window.key_press_modifiers(egui::Modifiers::SHIFT, Key::F1);
    window.run();
    assert!(window.has("Drawing and editing"), "the chapter of the open area");
    window.click("Cautions");
    assert!(window.says("cannot be switched off"));
    window.click("Charge controller C1");
    assert!(window.says("cannot be switched off"), "it stays while one works");
    window.key_press_modifiers(egui::Modifiers::SHIFT, Key::F1);
    window.run();
    assert!(!window.says("cannot be switched off"));
}

/// How a view is opened.
type View = fn(&Folder) -> Window;

#[test]
fn idle_costs_nothing_wherever_one_is() {
    let folder = Folder::new("idle");
    let views: [(&str, View); 5] = [
        ("start page", |folder| start_page(folder, &[])),
        ("brief", |_| {
            let mut window = open();
            window.click("Brief");
            window
        }),
        ("year", |_| {
            let mut window = Opening { project: Demo::Hut.project(), ..Opening::default() }.open();
            window.state_mut().state.panels.year.set_years(0);
            window.key_press_modifiers(egui::Modifiers::COMMAND, Key::Num3);
            window.run_steps(2);
            let start = std::time::Instant::now();
            while !window.state().state.panels.year.is_at_rest() {
                assert!(
                    start.elapsed() < std::time::Duration::from_mins(2),
                    "the year does not come to an end"
                );
                window.step();
            }
            window
        }),
        ("guide and tour", |_| {
            let mut window = open();
            window.click("Help");
            window.click("Take the tour");
            window.key_press_modifiers(egui::Modifiers::SHIFT, Key::F1);
            window
        }),
        ("settings", |_| {
            let window = open();
            window.key_press_modifiers(egui::Modifiers::COMMAND, Key::Comma);
            window
        }),
    ];
    for (what, view) in views {
        let mut window = view(&folder);
        window.run();
        // One more pass, as if something else had woken the window: it must ask for nothing itself.
        window.step();
        let delay = window.output().viewport_output[&egui::ViewportId::ROOT].repaint_delay;
        assert_eq!(delay, std::time::Duration::MAX, "{what}: {:?}", window.ctx.repaint_causes());
    }
}
