//! The Brief: loads, site, goals, all of them typed, chosen or taken over from files, and undone.

use crate::support::{Answers, Folder, Hands as _, Opening, Window};
use egui::{Key, Modifiers};
use egui_kittest::kittest::Queryable as _;
use lineside::window::areas::brief::Page;
use lineside::window::ask::Answer;
use lineside_core::project::{Brief, ChemistryWish, LoadCurrent, LoadItem, LoadPriority, Month, Project};
use lineside_core::units::{Celsius, Hours, Percent, SunHours, Watts};

fn brief_of(opening: Opening, page: Page) -> Window {
    let mut window = opening.open();
    window.state_mut().state.panels.brief.page = page;
    window.key_press_modifiers(Modifiers::COMMAND, Key::Num1);
    window.run();
    window
}

fn empty() -> Opening {
    Opening { project: Project::default(), ..Opening::default() }
}

fn brief(window: &Window) -> &Brief {
    &window.state().document.project.brief
}

fn load(window: &Window, line: usize) -> &LoadItem {
    brief(window).loads.get(line).expect("it is there")
}

#[test]
fn a_load_is_added_and_every_datum_typed() {
    let mut window = brief_of(empty(), Page::Loads);
    assert!(window.says("The brief has no loads"));
    window.click("Add a load");
    for (what, typed) in [
        ("name", "Well pump"),
        ("watts", "0.9 kW"),
        ("number", "2"),
        ("hours a day", "1.5"),
        ("days a week", "5"),
        ("start", "9:30"),
        ("surge", "2700"),
        ("power factor", "75"),
    ] {
        window.type_into(&format!("Load 1 {what}"), typed);
        window.press(Key::Enter);
    }
    window.click("Load 1 current: AC");
    window.click("DC");
    window.click("Load 1 priority: must run");
    window.click("can wait");
    window.click("Load 1 months: all");
    window.click("January");
    window.press(Key::Escape);
    let item = load(&window, 0);
    assert_eq!((item.name.as_str(), item.power, item.quantity), ("Well pump", Watts::new(900.0), 2));
    assert_eq!((item.hours, item.days_per_week, item.start), (Hours::new(1.5), 5, Some(Hours::new(9.5))));
    assert_eq!((item.surge, item.power_factor), (Some(Watts::new(2700.0)), Some(Percent::new(75.0))));
    assert_eq!((item.current, item.priority), (LoadCurrent::Dc, LoadPriority::CanWait));
    assert_eq!((item.months.len(), item.months.contains(&Month::January)), (11, false));
    assert!(window.has("Load 1 months: Feb–Dec"));
    assert_eq!(window.unnamed_widgets(), Vec::<String>::new());
    for _ in 0..12 {
        window.command(Key::Z);
    }
    assert_eq!(brief(&window), &Brief::default());
}

#[test]
fn a_value_that_will_not_do_says_why_and_changes_nothing() {
    let mut window = brief_of(empty(), Page::Loads);
    window.click("Add a load");
    let before = load(&window, 0).clone();
    window.type_into("Load 1 hours a day", "30");
    assert!(window.says("Expected 0 h to 24 h, found 30 h."));
    window.type_into("Load 1 watts", "much");
    assert!(window.says("a number such as"));
    assert_eq!(load(&window, 0), &before);
}

#[test]
fn lines_are_repeated_moved_and_removed() {
    let mut window = brief_of(empty(), Page::Loads);
    for name in ["Lights", "Pump"] {
        let line = brief(&window).loads.len() + 1;
        window.click("Add a load");
        window.type_into(&format!("Load {line} name"), name);
        window.press(Key::Enter);
    }
    let names =
        |window: &Window| brief(window).loads.iter().map(|it| it.name.clone()).collect::<Vec<_>>().join(" ");
    window.click("Load 1 actions");
    window.click("Duplicate");
    assert_eq!(names(&window), "Lights Lights Pump");
    window.click("Load 3 actions");
    window.click("Move up");
    assert_eq!(names(&window), "Lights Pump Lights");
    window.click("Load 1 actions");
    window.click("Move down");
    assert_eq!(names(&window), "Pump Lights Lights");
    window.click("Load 2 actions");
    window.click("Remove");
    assert_eq!(names(&window), "Pump Lights");
    assert!(window.says("Every AC load at once"));
}

#[test]
fn appliances_are_taken_from_the_list() {
    let mut window = brief_of(empty(), Page::Loads);
    let engine = crate::support::engine();
    let first = engine.energy.appliances.first().expect("the list is not empty");
    window.click("Usual appliances");
    window.click(&first.group);
    let watts =
        lineside_core::units::text::plain(first.item.power.into(), lineside_core::units::UnitSystem::Us);
    window.click(&format!("{}, {watts}", first.item.name));
    assert_eq!(load(&window, 0), &first.item);
}

#[test]
fn a_pasted_table_is_taken_and_what_is_refused_is_said() {
    let mut window = brief_of(empty(), Page::Loads);
    let table = "name\twatts\tquantity\thours\nLights\t10\t6\t4\nPump\tmuch\t1\t1\nRadio\t20\t1\t3\n";
    window.event(egui::Event::Paste(table.to_owned()));
    window.run();
    assert_eq!(brief(&window).loads.len(), 2);
    assert!(window.says("2 loads were added.") && window.says("Refused: 1") && window.says("much"));
    window.click("Close the report");
    assert!(!window.says("Refused: 1"));
    window.command(Key::Z);
    assert!(brief(&window).loads.is_empty());
}

#[test]
fn a_load_file_is_read() {
    let folder = Folder::new("loads");
    let file = folder.file("loads.csv");
    std::fs::write(&file, "name,watts,hours\nRouter,8,24\n").expect("it can be written");
    let asker = Answers::new(vec![Answer::Chosen(file), Answer::Chosen(folder.file("none.csv"))]);
    let mut window = brief_of(Opening { asker, ..empty() }, Page::Loads);
    window.click("Read a file…");
    wait_until(&mut window, "One load was added.");
    assert_eq!(load(&window, 0).name, "Router");
    window.click("Read a file…");
    wait_until(&mut window, "Nothing was added.");
    assert_eq!(brief(&window).loads.len(), 1);
}

/// Waits for the thread that asks, frame by frame.
fn wait_until(window: &mut Window, words: &str) {
    let start = std::time::Instant::now();
    while !window.says(words) {
        assert!(start.elapsed() < std::time::Duration::from_mins(1), "nobody says {words}");
        window.run_steps(1);
    }
    window.run();
}

#[test]
fn months_are_typed_and_a_climate_stands_in() {
    let project = Project { units: lineside_core::units::UnitSystem::Si, ..Project::default() };
    let mut window = brief_of(Opening { project, ..Opening::default() }, Page::Site);
    window.type_into("January sun", "1.6");
    window.press(Key::Enter);
    assert!(brief(&window).months.is_empty(), "a record has both sun and temperature");
    window.type_into("January temperature", "-5");
    window.press(Key::Enter);
    let january = *brief(&window).months.first().expect("it is there");
    assert_eq!((january.sun, january.temperature), (SunHours::new(1.6), Celsius::new(-5.0)));
    for (what, typed) in [("Latitude", "46"), ("Longitude", "-112"), ("Elevation", "1200")] {
        window.type_into(what, typed);
        window.press(Key::Enter);
    }
    window.type_into("Far horizon", "90: 5; 180: 12");
    window.press(Key::Enter);
    assert_eq!(brief(&window).horizon.len(), 2);
    // The page has scrolled to what was typed last.
    window.get_by_label("Generic climate: not used").focus();
    window.run();
    window.click("Generic climate: not used");
    let engine = crate::support::engine();
    let found = lineside_energy::climates_at(brief(&window), &engine.energy);
    let label = found.first().expect("one is found there").1.label.clone();
    window.click(&label);
    assert_eq!(brief(&window).months.len(), 12);
    assert!(window.says("stands in for records of the site"));
    window.command(Key::Z);
    assert_eq!(brief(&window).months.len(), 1);
}

#[test]
fn goals_are_typed_and_chosen() {
    let mut window = brief_of(empty(), Page::Goals);
    for (what, typed) in [("Days of reserve", "3"), ("Unmet share allowed, %", "1"), ("Quiet from", "21:30")]
    {
        window.type_into(what, typed);
        window.press(Key::Enter);
    }
    window.click("Battery: whatever serves best");
    window.click("nickel-iron");
    let goals = &brief(&window).goals;
    assert_eq!((goals.reserve, goals.unmet_share), (Some(Hours::new(72.0)), Some(Percent::new(1.0))));
    assert_eq!(goals.quiet_hours, Some((Hours::new(21.5), Hours::new(7.0))));
    assert_eq!(goals.chemistry, ChemistryWish::NickelIron);
    assert_eq!(window.unnamed_widgets(), Vec::<String>::new());
}

#[test]
fn the_day_and_the_months_are_drawn_at_once() {
    let demo = lineside_core::file::read(include_str!("../../../../assets/demos/cabin.lineside"));
    let mut window =
        brief_of(Opening { project: demo.expect("it reads"), ..Opening::default() }, Page::Loads);
    assert!(window.says("Day profile. A mean day in"));
    assert!(window.says("Need and sun by month. Most is asked for in"));
    window.get_by_label_contains("Day profile. ").focus();
    window.run();
    window.press(Key::ArrowRight);
    assert!(window.says("Day profile. 00:00 to 01:00: AC"));
    assert_eq!(window.unnamed_widgets(), Vec::<String>::new());
    assert_eq!(window.run(), 1);
}

#[test]
fn systems_are_proposed_asked_about_and_opened() {
    let demo = lineside_core::file::read(include_str!("../../../../assets/demos/hut.lineside"));
    let project = demo.expect("it reads");
    let before = project.clone();
    let mut window = brief_of(Opening { project, ..Opening::default() }, Page::Proposals);
    window.click("Propose systems");
    let start = std::time::Instant::now();
    while window.state().state.panels.brief.propose.is_running() {
        assert!(start.elapsed() < std::time::Duration::from_mins(4), "the search does not end");
        window.run_steps(1);
    }
    window.run();
    assert!(window.says("Candidate 1: "), "there is one at least");
    assert!(window.says("Cost against unmet share. "));
    window.click("Cost against: unmet share");
    window.click("generator hours");
    assert!(window.says("Cost against generator hours. "));
    window.click("Ask why not");
    wait_until(&mut window, "No limit stands in its way");
    window.click("Open as a complete sheet");
    let start = std::time::Instant::now();
    while window.state().state.area != lineside::window::areas::Area::Draft {
        assert!(start.elapsed() < std::time::Duration::from_mins(2), "it does not open");
        window.run_steps(1);
    }
    window.run();
    let opened = &window.state().document.project;
    assert!(opened.circuit.block_count() > 10, "a complete sheet: {}", opened.circuit.block_count());
    assert_eq!((&opened.title, &opened.brief), (&before.title, &before.brief));
    assert!(window.state().document.is_unsaved());
    // Proven before it was shown: there is nothing to mend.
    let findings = window.state().derivation.latest().findings();
    assert!(findings.iter().all(|it| it.severity == lineside_rules::Severity::Advice), "{findings:?}");
    // One step back, and the sheet is as it was.
    window.command(Key::Z);
    let text = |project: &Project| lineside_core::file::write(project).expect("it can be written");
    assert_eq!(text(&window.state().document.project), text(&before));
}

#[test]
fn a_brief_that_lacks_something_is_told_so() {
    let mut window = brief_of(empty(), Page::Proposals);
    window.click("Propose systems");
    wait_until(&mut window, "Nothing can be proposed yet");
    assert!(window.says("the brief has no loads"));
}
