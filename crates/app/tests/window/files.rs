//! Files: open, save, save as, and the questions on the way.

use crate::support::{Answers, Folder, Hands as _, Opening, Window, open, sample};
use egui::{Key, Modifiers};
use egui_kittest::kittest::Queryable as _;
use lineside::window::ask::{Answer, Purpose};
use lineside_core::file;
use lineside_core::project::Project;
use std::path::Path;
use std::sync::Arc;
use std::time::{Duration, Instant};

/// Steps until something holds; file dialogs answer from a thread of their own.
fn until(window: &mut Window, what: &str, holds: impl Fn(&Window) -> bool) {
    let start = Instant::now();
    while !holds(window) {
        assert!(start.elapsed() < Duration::from_mins(1), "never: {what}");
        window.step();
        std::thread::yield_now();
    }
    window.run();
}

fn change(window: &mut Window) {
    window.click("Breaker Q1");
    window.press(Key::R);
    assert!(window.state().document.is_unsaved());
}

fn read(path: &Path) -> Project {
    file::read_bytes(&std::fs::read(path).expect("the file is there")).expect("it reads")
}

#[test]
fn a_project_is_saved_under_a_name_and_then_under_the_same() {
    let folder = Folder::new("save");
    let path = folder.file("ridge.lineside");
    let answers = Answers::new(vec![Answer::Chosen(folder.file("ridge"))]);
    let mut window = Opening { asker: Arc::clone(&answers) as _, ..Opening::default() }.open();
    change(&mut window);
    assert!(window.has("unsaved"));
    window.command(Key::S);
    until(&mut window, "saved", |window| !window.state().document.is_unsaved());
    assert!(read(&path) == window.state().document.project);
    assert!(window.has("saved"));
    assert_eq!(window.state().document.window_title(), "ridge.lineside — Lineside");
    let asked = answers.asked.lock().expect("nobody panicked").clone();
    assert_eq!((asked[0].purpose, asked[0].name.as_str()), (Purpose::SaveAs, "juniper-ridge-cabin.lineside"));
    window.press(Key::R);
    assert_eq!(window.state().document.window_title(), "● ridge.lineside — Lineside");
    window.command(Key::S);
    assert!(read(&path) == window.state().document.project);
    assert!(folder.file("ridge.lineside.previous").exists());
}

#[test]
fn a_file_is_opened_and_remembered() {
    let folder = Folder::new("open");
    let path = folder.file("other.lineside");
    let mut other = Project::default();
    "Other Hill".clone_into(&mut other.title.system);
    std::fs::write(&path, file::write(&other).expect("it writes")).expect("it is written");
    let answers = Answers::new(vec![Answer::Chosen(path.clone())]);
    let mut window = Opening { asker: answers, ..Opening::default() }.open();
    window.command(Key::O);
    until(&mut window, "opened", |window| window.state().document.project.name() == "Other Hill");
    assert_eq!(window.state().settings.recent, [path]);
    assert!(window.says("Other Hill"));
}

#[test]
fn work_is_not_lost_unasked() {
    let mut window = open();
    change(&mut window);
    let project = window.state().document.project.clone();
    window.command(Key::N);
    assert!(window.says("Save the changes to"));
    window.click("Cancel");
    assert!(window.state().document.project == project);
    window.command(Key::N);
    window.press(Key::Escape);
    assert!(window.state().document.project == project, "Escape cancels too");
    window.command(Key::N);
    window.click("Don't save");
    assert!(window.state().document.project == Project::default());
    assert!(!window.says("Save the changes to"));
}

#[test]
fn saving_when_asked_goes_on_with_what_was_begun() {
    let folder = Folder::new("ask");
    let path = folder.file("kept.lineside");
    let answers = Answers::new(vec![Answer::Chosen(path.clone())]);
    let mut window = Opening { asker: answers, ..Opening::default() }.open();
    change(&mut window);
    let project = window.state().document.project.clone();
    window.command(Key::N);
    window.click("Save");
    until(&mut window, "a new project", |window| window.state().document.project == Project::default());
    assert!(read(&path) == project);
}

#[test]
fn closing_the_window_asks_first() {
    let mut window = open();
    change(&mut window);
    let close = |window: &mut Window| {
        let viewport = window.input_mut().viewports.entry(egui::ViewportId::ROOT).or_default();
        viewport.events.push(egui::ViewportEvent::Close);
        window.step();
    };
    close(&mut window);
    let commands = &window.output().viewport_output[&egui::ViewportId::ROOT].commands;
    assert!(commands.contains(&egui::ViewportCommand::CancelClose), "{commands:?}");
    window.run();
    assert!(window.says("Save the changes to"));
    window.get_by_label("Don't save").click();
    let mut closing = false;
    for _ in 0..8 {
        window.step();
        let commands = &window.output().viewport_output[&egui::ViewportId::ROOT].commands;
        closing |= commands.contains(&egui::ViewportCommand::Close);
    }
    assert!(closing);
    // The window now closes without a second question.
    close(&mut window);
    let commands = &window.output().viewport_output[&egui::ViewportId::ROOT].commands;
    assert!(!commands.contains(&egui::ViewportCommand::CancelClose));
}

#[test]
fn a_faulty_file_lists_its_faults_and_stays_as_it_was() {
    let folder = Folder::new("faulty");
    let path = folder.file("faulty.lineside");
    let sample = file::write(&sample::cabin(&crate::support::engine().stock)).expect("it writes");
    let faulty = sample.replacen("output_current: \"60 A\"", "output_current: \"9999 A\"", 1).replacen(
        "\"CB1.out\"",
        "\"CB7.out\"",
        1,
    );
    assert_ne!(sample, faulty);
    std::fs::write(&path, &faulty).expect("it is written");
    let mut window = Opening { file: Some(path.clone()), ..Opening::default() }.open();
    assert!(window.says("faulty.lineside could not be opened"));
    assert!(window.says("It has 2 faults"));
    assert!(window.says(", column "));
    assert!(window.says("Expected "));
    window.click("Close");
    assert!(window.says("Juniper Ridge Cabin"), "the project at hand stays");
    assert_eq!(std::fs::read_to_string(&path).expect("it is there"), faulty);
}

#[test]
fn hostile_files_are_refused_with_a_sentence() {
    let folder = Folder::new("hostile");
    for (name, bytes) in [
        ("empty.lineside", Vec::new()),
        ("binary.lineside", vec![0, 159, 146, 150, 0, 1]),
        ("deep.lineside", b"(".repeat(100_000)),
        ("cut.lineside", b"( lineside: 1, title: (system: \"x".to_vec()),
        ("newer.lineside", b"( lineside: 99 )".to_vec()),
    ] {
        let path = folder.file(name);
        std::fs::write(&path, &bytes).expect("it is written");
        let window = Opening { file: Some(path.clone()), ..Opening::default() }.open();
        assert!(window.says(&format!("{name} could not be opened")), "{name}");
        assert_eq!(std::fs::read(&path).expect("it is there"), bytes);
    }
    let missing = Opening { file: Some(folder.file("missing.lineside")), ..Opening::default() }.open();
    assert!(missing.says("there is no file") || missing.says("There is no file"));
}

#[test]
fn a_file_changed_by_somebody_else_is_not_overwritten_unasked() {
    let folder = Folder::new("changed");
    let path = folder.file("shared.lineside");
    std::fs::write(&path, file::write(&Project::default()).expect("it writes")).expect("it is written");
    let project = sample::cabin(&crate::support::engine().stock);
    std::fs::write(&path, file::write(&project).expect("it writes")).expect("it is written");
    let mut window = Opening { file: Some(path.clone()), ..Opening::default() }.open();
    change(&mut window);
    let theirs = file::write(&Project::default()).expect("it writes");
    std::fs::write(&path, &theirs).expect("it is written");
    window.command(Key::S);
    assert!(window.says("was changed by somebody else"));
    assert_eq!(std::fs::read_to_string(&path).expect("it is there"), theirs);
    window.click("Overwrite");
    assert!(read(&path) == window.state().document.project);
    std::fs::write(&path, &theirs).expect("it is written");
    window.press(Key::R);
    window.command(Key::S);
    window.click("Reload");
    assert!(window.state().document.project == Project::default());
    assert!(!window.state().document.is_read_only());
    std::fs::remove_file(&path).expect("it is removed");
    window.press(Key::P);
    window.press(Key::Escape);
    window.command(Key::S);
    assert!(window.says("is not there any more"));
    window.click("Save it again");
    assert!(path.exists());
}

#[test]
fn a_second_window_may_only_read() {
    let folder = Folder::new("lock");
    let path = folder.file("shared.lineside");
    let project = sample::cabin(&crate::support::engine().stock);
    std::fs::write(&path, file::write(&project).expect("it writes")).expect("it is written");
    let first = Opening { file: Some(path.clone()), ..Opening::default() }.open();
    let mut second = Opening { file: Some(path.clone()), ..Opening::default() }.open();
    assert!(!first.state().document.is_read_only());
    assert!(second.has("read only"));
    assert!(second.says("Another window has this file open"));
    change(&mut second);
    second.command(Key::S);
    assert!(second.says("is open in another window"));
    assert!(read(&path) == project);
    drop(first);
    let third = Opening { file: Some(path), ..Opening::default() }.open();
    assert!(!third.state().document.is_read_only());
}

#[cfg(target_os = "linux")]
#[test]
fn a_folder_that_refuses_is_said_and_nothing_is_lost() {
    let answers = Answers::new(vec![Answer::Chosen("/sys/ridge.lineside".into())]);
    let mut window = Opening { asker: answers, ..Opening::default() }.open();
    change(&mut window);
    let project = window.state().document.project.clone();
    window.command(Key::S);
    until(&mut window, "the refusal", |window| window.says("The project was not saved"));
    assert!(window.says("othing may be written in /sys"));
    window.click("Cancel");
    assert!(window.state().document.project == project);
    assert!(window.state().document.is_unsaved());
}

#[test]
fn without_a_dialog_program_a_path_is_typed() {
    let folder = Folder::new("typed");
    let answers = Answers::new(vec![Answer::NoProgram]);
    let mut window = Opening { asker: answers, ..Opening::default() }.open();
    change(&mut window);
    window.key_press_modifiers(Modifiers::COMMAND | Modifiers::SHIFT, Key::S);
    until(&mut window, "the entry", |window| window.has("Path of the file"));
    let path = folder.file("typed.lineside");
    window.type_into("Path of the file", &path.display().to_string());
    window.press(Key::Enter);
    assert!(read(&path) == window.state().document.project);
    assert!(!window.has("Path of the file"));
}

#[test]
fn the_review_is_written_where_it_is_asked_for() {
    let folder = Folder::new("review");
    let path = folder.file("review");
    let asker = Answers::new(vec![Answer::Chosen(path), Answer::Chosen(folder.file("review.docx"))]);
    let mut window = Opening { asker: Arc::clone(&asker) as _, ..Opening::default() }.open();
    window.click("File");
    window.click("Write review…");
    until(&mut window, "the review is written", |window| window.says("Written to "));
    let file = folder.file("review.pdf");
    let bytes = std::fs::read(file).expect("the ending is added");
    assert!(bytes.starts_with(b"%PDF-"));
    let asked = asker.asked.lock().expect("no test panics while it asks").clone();
    assert_eq!(asked.first().map(|question| question.name.as_str()), Some("juniper-ridge-cabin-review.pdf"));
    window.click("File");
    window.click("Write review…");
    until(&mut window, "another ending is refused", |window| {
        window.says("end its name in .pdf, .html or .txt")
    });
}

#[test]
fn the_sheet_is_exported_from_the_menu_in_the_form_of_its_ending() {
    let folder = Folder::new("export");
    let svg = folder.file("cabin.svg");
    let print = folder.file("cabin.pdf");
    let asker = Answers::new(vec![
        Answer::Chosen(svg.clone()),
        Answer::Chosen(folder.file("cabin.png")),
        Answer::Chosen(print.clone()),
    ]);
    let mut window = Opening { asker: Arc::clone(&asker) as _, ..Opening::default() }.open();
    window.click("File");
    window.click("Export sheet…");
    until(&mut window, "written", |window| window.says("Written to "));
    assert!(window.says("cabin.svg"), "it is told where");
    let text = std::fs::read_to_string(&svg).expect("it is there");
    assert!(text.starts_with("<svg ") && text.contains("Juniper Ridge Cabin"));
    window.click("File");
    window.click("Export sheet…");
    until(&mut window, "refused", |window| window.says("PDF, SVG or DXF"));
    window.command(Key::P);
    until(&mut window, "written", |window| window.says("Written to ") && window.says("cabin.pdf"));
    assert!(std::fs::read(&print).expect("it is there").starts_with(b"%PDF-"));
    let asked: Vec<String> = asker.asked.lock().expect("free").iter().map(|it| it.name.clone()).collect();
    assert!(asked.iter().all(|name| name == "juniper-ridge-cabin.pdf") && asked.len() == 3, "{asked:?}");
}
