//! Unsaved work is kept in the journal, goes when it is saved, and is given back after a crash.

use crate::support::{Folder, Hands as _, Opening, Window};
use egui::Key;
use lineside::journal::Journals;
use lineside_core::file;
use lineside_core::project::Project;
use std::path::PathBuf;
use std::time::{Duration, Instant};

fn entries(folder: &Folder) -> Vec<PathBuf> {
    let Ok(entries) = std::fs::read_dir(folder.file("journal")) else { return Vec::new() };
    let mut paths: Vec<PathBuf> = entries.filter_map(|entry| Some(entry.ok()?.path())).collect();
    paths.retain(|path| path.extension().is_some_and(|ending| ending == "lineside"));
    paths
}

fn opening(folder: &Folder) -> Opening {
    Opening { journals: Journals::kept_in(folder.file("journal")), ..Opening::default() }
}

fn until(window: &mut Window, what: &str, holds: impl Fn() -> bool) {
    let start = Instant::now();
    while !holds() {
        assert!(start.elapsed() < Duration::from_secs(20), "never: {what}");
        window.step();
        std::thread::yield_now();
    }
}

fn kept(path: &std::path::Path) -> Option<Project> {
    file::read(&std::fs::read_to_string(path).ok()?).ok()
}

#[test]
fn unsaved_work_is_kept_and_goes_when_it_is_taken_back() {
    let folder = Folder::new("journal");
    let mut window = opening(&folder).open();
    assert!(entries(&folder).is_empty(), "nothing is unsaved");
    window.click("Breaker Q1");
    window.press(Key::R);
    let project = window.state().document.project.clone();
    until(&mut window, "kept", || {
        entries(&folder).first().and_then(|path| kept(path)).as_ref() == Some(&project)
    });
    window.command(Key::Z);
    until(&mut window, "gone", || entries(&folder).is_empty());
}

#[test]
fn work_of_a_crash_is_offered_back_and_opened_unsaved() {
    let folder = Folder::new("crash");
    let mut window = opening(&folder).open();
    window.click("Breaker Q1");
    window.press(Key::R);
    let project = window.state().document.project.clone();
    until(&mut window, "kept", || {
        entries(&folder).first().and_then(|path| kept(path)).as_ref() == Some(&project)
    });
    // What a crash leaves: the entry, and nobody who holds it.
    let entry = entries(&folder).remove(0);
    let bytes = std::fs::read(&entry).expect("it is there");
    drop(window);
    std::fs::write(&entry, bytes).expect("it is written");
    let mut window = opening(&folder).open();
    assert!(window.has("Unsaved work was found"));
    let apart = window.middle("Open it").y - window.middle("Unsaved work was found").y;
    assert!(apart < 190.0, "the buttons stand under the words, not {apart} points below");
    assert!(window.says("less than a minute ago") && window.says("1 step, the last: "), "when and how much");
    assert!(window.state().document.project != project);
    window.click("Open it");
    assert!(window.state().document.project == project);
    assert!(window.state().document.is_unsaved());
    assert!(!entry.exists() || entries(&folder) == [entry], "it is kept anew, once");
    window.click("Breaker Q1");
}

#[test]
fn lost_work_can_wait_or_be_thrown_away() {
    let folder = Folder::new("later");
    std::fs::create_dir_all(folder.file("journal")).expect("a folder");
    let text = file::write(&Project::default()).expect("it writes");
    let entry = folder.file("journal").join("1-0.lineside");
    std::fs::write(&entry, format!("// Unsaved work of: /tmp/hill.lineside\n{text}")).expect("it is written");
    let mut window = opening(&folder).open();
    assert!(window.says("/tmp/hill.lineside"));
    window.click("Later");
    assert!(entry.exists());
    drop(window);
    let mut window = opening(&folder).open();
    window.click("Throw it away");
    assert!(!entry.exists() && !window.has("Unsaved work was found"));
}

#[test]
fn work_that_was_put_off_is_offered_again_when_its_file_is_opened() {
    let folder = Folder::new("reminder");
    std::fs::create_dir_all(folder.file("journal")).expect("a folder");
    let saved = Project::default();
    let hill = folder.file("hill.lineside");
    std::fs::write(&hill, file::write(&saved).expect("it writes")).expect("it is written");
    let lost = opening(&folder).project;
    let text = file::write(&lost).expect("it writes");
    let entry = folder.file("journal").join("1-0.lineside");
    let head = format!("// Unsaved work of: {}\n// How much: 3 steps\n", hill.display());
    std::fs::write(&entry, format!("{head}{text}")).expect("it is written");
    let mut window = opening(&folder).open();
    assert!(window.says("Not saved: 3 steps."));
    window.click("Later");
    drop(window);
    let mut window = Opening { file: Some(hill.clone()), ..opening(&folder) }.open();
    assert!(window.has("Unsaved work was found") && window.says("hill.lineside"));
    window.click("Open it");
    let document = &window.state().document;
    assert!(document.project == lost && document.is_unsaved());
    assert!(!document.is_read_only(), "its file is its own to save to");
    assert_eq!(document.file.as_ref().map(|file| file.path.clone()), Some(hill));
}
