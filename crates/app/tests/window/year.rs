//! The Year: run aside, shown in plots that can be read, zoomed and saved, and marked when it is out of date.

use crate::support::{Answers, Folder, Hands as _, Opening, Window};
use egui::{Key, Modifiers, Role};
use egui_kittest::kittest::{NodeT as _, Queryable as _};
use lineside::settings::Theme;
use lineside::window::areas::year::YearStanding;
use lineside::window::ask::Answer;
use lineside_core::project::Project;
use std::time::{Duration, Instant};

fn demo(text: &str) -> Project {
    lineside_core::file::read(text).expect("it reads")
}

fn hut() -> Project {
    demo(include_str!("../../../../assets/demos/hut.lineside"))
}

/// The Year of a project with so many random years, come to rest.
fn year_of(opening: Opening, years: u32) -> Window {
    let mut window = opening.open();
    window.state_mut().state.panels.year.set_years(years);
    window.key_press_modifiers(Modifiers::COMMAND, Key::Num3);
    settle(&mut window);
    window
}

/// Waits for the thread aside, frame by frame.
fn settle(window: &mut Window) {
    let start = Instant::now();
    window.run_steps(2);
    while !window.state().state.panels.year.is_at_rest() {
        assert!(start.elapsed() < Duration::from_mins(2), "the year does not come to an end");
        window.run_steps(1);
    }
    window.run();
}

fn standing(window: &Window) -> YearStanding {
    let app = window.state();
    app.state.panels.year.standing(app.document.history.changes())
}

#[test]
fn a_year_is_run_and_said() {
    let mut window = year_of(Opening { project: hut(), ..Opening::default() }, 3);
    assert_eq!(standing(&window), YearStanding::Done);
    assert!(window.has("Year, done"));
    for words in
        ["Unmet hours", "Longest gap", "Reserve, least", "Lifetime cost", "What was assumed", "Unmet, P90"]
    {
        assert!(window.says(words), "{words}");
    }
    for plot in ["Months. ", "State of charge, day by hour. ", "The worst week, hour by hour. "] {
        assert!(window.says(plot), "{plot}");
    }
    assert_eq!(window.unnamed_widgets(), Vec::<String>::new());
    // At rest it asks for no frame.
    assert_eq!(window.run(), 1);
}

#[test]
fn a_change_of_the_sheet_is_followed() {
    let mut window = year_of(Opening { project: hut(), ..Opening::default() }, 0);
    let before = window.state().state.panels.year.shown().expect("it ran").outcome.clone();
    window.key_press_modifiers(Modifiers::COMMAND, Key::Num2);
    window.run();
    let strings = window.state().document.project.circuit.blocks().find_map(|block| {
        block.equipment.as_kind::<lineside_core::kinds::strings::Strings>().map(|_| block.title())
    });
    let title = strings.expect("there is an array");
    let mut letters = title.chars();
    let name: String = letters.next().into_iter().flat_map(char::to_uppercase).chain(letters).collect();
    window.click(&name);
    window.press(Key::Delete);
    assert_eq!(standing(&window), YearStanding::Stale);
    assert!(window.has("Year, out of date"));
    window.key_press_modifiers(Modifiers::COMMAND, Key::Num3);
    settle(&mut window);
    assert_eq!(standing(&window), YearStanding::Done);
    let after = &window.state().state.panels.year.shown().expect("it ran").outcome;
    assert!(after.year.sun_used < before.year.sun_used);
    // Undo in the Year itself is followed too.
    window.command(Key::Z);
    settle(&mut window);
    assert_eq!(window.state().state.panels.year.shown().expect("it ran").outcome, before);
}

#[test]
fn a_sheet_that_cannot_be_run_says_why() {
    let window = year_of(Opening { project: Project::default(), ..Opening::default() }, 0);
    assert_eq!(standing(&window), YearStanding::CannotRun);
    assert!(window.has("Year, the sheet cannot be run"));
    assert!(window.says("There is no battery bank on the sheet"));
    assert!(window.says("The brief does not give"));
}

#[test]
fn plots_are_read_by_key_and_zoomed() {
    let mut window = year_of(Opening { project: hut(), ..Opening::default() }, 0);
    window.get_by_label_contains("Months. ").focus();
    window.run();
    window.press(Key::ArrowRight);
    assert!(window.says("Months. January: sun used"));
    window.press(Key::ArrowRight);
    assert!(window.says("Months. February: sun used"));
    window.press(Key::End);
    assert!(window.says("Months. December: sun used"));
    window.press(Key::Plus);
    window.click("Show all: Months");
    assert!(!window.has("Show all: Months"));
    window.click("Enlarge: Months");
    assert!(!window.says("The worst week, hour by hour. "));
    window.click("Back: Months");
    assert!(window.says("The worst week, hour by hour. "));
}

#[test]
fn the_week_is_replayed_and_others_can_be_seen() {
    let mut window = year_of(Opening { project: hut(), size: [1440.0, 1200.0], ..Opening::default() }, 0);
    let worst = window.state().state.panels.year.shown().and_then(|year| year.week).expect("a week");
    window.click("Week before");
    assert!(window.says("A week, hour by hour. ") || worst.first_day == 0);
    window.click("Week after");
    window.click("Replay");
    window.run_steps(3);
    assert!(window.says("hour by hour. ") && window.has("Hold"));
    window.click("Hold");
    assert!(window.has("Replay"));
    assert_eq!(window.run(), 1, "it rests again");
}

#[test]
fn a_plot_is_saved_as_picture_drawing_and_figures() {
    let folder = Folder::new("plots");
    let files = ["months.png", "months.svg", "months.csv"].map(|name| folder.file(name));
    let answers = Answers::new(files.iter().map(|file| Answer::Chosen(file.clone())).collect());
    let mut window = year_of(Opening { project: hut(), asker: answers, ..Opening::default() }, 0);
    for (item, file) in ["Picture, PNG…", "Drawing, SVG…", "Figures, CSV…"].into_iter().zip(&files) {
        window.click("Save: Months");
        window.click(item);
        let start = Instant::now();
        while !window.says("Written to") {
            assert!(start.elapsed() < Duration::from_mins(1), "{} is not written", file.display());
            window.run_steps(1);
        }
        window.press(Key::Escape);
    }
    let read = |index: usize| std::fs::read(&files[index]).expect("it is there");
    assert_eq!(&read(0)[1..4], b"PNG");
    let drawing = String::from_utf8(read(1)).expect("text");
    assert!(drawing.starts_with("<svg") && drawing.contains("sun used") && drawing.contains("Months</text>"));
    let table = String::from_utf8(read(2)).expect("text");
    assert_eq!(table.lines().count(), 13);
    assert!(table.starts_with("month,sun_used_wh"));
}

#[test]
fn every_hour_is_saved() {
    let folder = Folder::new("hours");
    let file = folder.file("hours.csv");
    let asker = Answers::new(vec![Answer::Chosen(file.clone())]);
    let mut window = year_of(Opening { project: hut(), asker, ..Opening::default() }, 0);
    window.click("Save every hour, CSV…");
    let start = Instant::now();
    while !window.says("Written to") {
        assert!(start.elapsed() < Duration::from_mins(1), "it is not written");
        window.run_steps(1);
    }
    assert_eq!(std::fs::read_to_string(&file).expect("it is there").lines().count(), 1 + 8760);
}

#[test]
fn seed_and_years_are_chosen() {
    let mut window = year_of(Opening { project: hut(), ..Opening::default() }, 0);
    assert!(window.says("No random years were gone through"), "it says what is missing");
    window.click("Random years: none");
    window.click("10");
    settle(&mut window);
    assert!(window.says("Of 10 years, nine of ten do better"));
    let seed = window.get_by_role_and_label(Role::SpinButton, "Seed of the weather");
    assert_eq!(seed.accesskit_node().numeric_value(), Some(1.0));
}

#[test]
fn the_year_is_shown_in_both_themes_and_sizes() {
    // The harness panics on a glyph that no face has and on two widgets of one id.
    for (theme, size) in [(Theme::Light, [1440.0, 900.0]), (Theme::Dark, [1100.0, 700.0])] {
        let window = year_of(Opening { project: hut(), theme, size, ..Opening::default() }, 2);
        assert!(window.says("Chemistries: money spent by year") || size[0] < 1200.0);
    }
}
