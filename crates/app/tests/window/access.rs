//! What assistive technology and the keyboard meet: in every area and dialog everything that can be used has a name that
//! tells it apart, and the Tab key goes in reading order.

use crate::support::{Answers, Folder, Hands as _, Opening, Window};
use egui::{Key, Modifiers, Rect, Role};
use egui_kittest::kittest::{NodeT as _, Queryable as _};
use lineside::journal::Journals;
use lineside::window::ask::Answer;
use lineside::window::demo::Demo;
use lineside::window::start::Standing;
use lineside_core::project::Project;
use std::collections::BTreeMap;

/// Something that can have the keyboard.
#[derive(Clone, Debug)]
struct Stop {
    name: String,
    role: Role,
    rect: Rect,
    /// Where the stop before lies once this one has been brought into view.
    before: Option<Rect>,
}

/// Roles of what a person uses; labels and groups are not among them.
const USED: [Role; 15] = [
    Role::Button,
    Role::CheckBox,
    Role::RadioButton,
    Role::ComboBox,
    Role::TextInput,
    Role::MultilineTextInput,
    Role::Slider,
    Role::SpinButton,
    Role::Tab,
    Role::Link,
    Role::ListBoxOption,
    Role::MenuItem,
    Role::TreeItem,
    Role::Canvas,
    Role::GraphicsObject,
];

fn used(window: &Window) -> Vec<Stop> {
    window
        .root()
        .children_recursive()
        .filter(|node| {
            let data = node.accesskit_node();
            USED.contains(&data.role()) && !data.is_hidden() && !data.is_disabled()
        })
        .map(|node| stop(&node))
        .collect()
}

fn stop(node: &egui_kittest::Node<'_>) -> Stop {
    let data = node.accesskit_node();
    let name = data.label().or_else(|| data.data().placeholder().map(str::to_owned)).unwrap_or_default();
    Stop { name, role: data.role(), rect: node.rect(), before: None }
}

/// Names that stand for more than one thing of a kind.
fn doubles(window: &Window) -> Vec<String> {
    let mut counts: BTreeMap<(String, String), usize> = BTreeMap::new();
    for stop in used(window) {
        *counts.entry((format!("{:?}", stop.role), stop.name)).or_default() += 1;
    }
    let several = counts.into_iter().filter(|(_, count)| *count > 1);
    several.map(|((role, name), count)| format!("{count} × {role} “{name}”")).collect()
}

/// Where the Tab key goes, from the beginning until it comes round.
fn stops(window: &mut Window) -> Vec<Stop> {
    const MOST: usize = 260;
    let mut found: Vec<Stop> = Vec::new();
    let mut ids = Vec::new();
    // From the beginning: going over the sheet selects, and another nameplate is shown.
    window.ctx.memory_mut(|memory| {
        if let Some(id) = memory.focused() {
            memory.surrender_focus(id);
        }
    });
    window.run();
    for _ in 0..MOST {
        window.key_press(Key::Tab);
        window.run();
        let Some(node) = window.root().children_recursive().find(|node| node.accesskit_node().is_focused())
        else {
            continue;
        };
        let id = node.accesskit_node().id();
        if ids.contains(&id) {
            break;
        }
        let previous = ids.last().copied();
        let before =
            window.root().children_recursive().find(|node| Some(node.accesskit_node().id()) == previous);
        found.push(Stop { before: before.map(|node| node.rect()), ..stop(&node) });
        ids.push(id);
    }
    found
}

/// Steps that go against the order of reading: upwards without going to a column at the right, or backwards in a row.
fn against(stops: &[Stop]) -> Vec<String> {
    let mut faults = Vec::new();
    // The Tab key goes round; reading begins at the upper left.
    let corner = |stop: &Stop| (stop.rect.top() / 12.0).floor() * 10_000.0 + stop.rect.left();
    let corners: Vec<f32> = stops.iter().map(corner).collect();
    let upmost = corners.iter().copied().fold(f32::INFINITY, f32::min);
    let first = corners.iter().position(|corner| *corner <= upmost).unwrap_or(0);
    let mut stops = stops.to_vec();
    stops.rotate_left(first);
    for pair in stops.windows(2) {
        let [a, b] = pair else { continue };
        // The sheet has an order of its own, row by row of the drawing.
        let on_sheet = [Role::Canvas, Role::GraphicsObject];
        if on_sheet.contains(&a.role) && on_sheet.contains(&b.role) {
            continue;
        }
        let (from, to) = (b.before.unwrap_or(a.rect), b.rect);
        let upwards = to.bottom() <= from.top() + 1.0 && to.left() < from.right() - 1.0;
        let in_a_row = (from.center().y - to.center().y).abs() < from.height().min(to.height()) / 2.0;
        let backwards = in_a_row && to.right() <= from.left() + 1.0;
        if upwards || backwards {
            let way = if upwards { "up" } else { "back" };
            faults.push(format!("{way} from “{}” {:?} to “{}” {:?}", a.name, a.rect, b.name, b.rect));
        }
    }
    faults
}

/// Everything that is asked of a view.
fn holds(window: &mut Window, what: &str) {
    assert_eq!(window.unnamed_widgets(), Vec::<String>::new(), "{what}: without a name");
    assert_eq!(doubles(window), Vec::<String>::new(), "{what}: cannot be told apart");
    let stops = stops(window);
    assert!(stops.len() > 1, "{what}: the Tab key goes nowhere: {stops:?}");
    let screen = window.ctx.content_rect();
    for stop in &stops {
        assert!(screen.intersects(stop.rect), "{what}: “{}” has the keyboard out of sight", stop.name);
    }
    let faults = against(&stops);
    assert!(faults.is_empty(), "{what}:\n{}", faults.join("\n"));
}

fn cabin() -> Window {
    Opening { project: Demo::Cabin.project(), ..Opening::default() }.open()
}

#[test]
fn the_start_page() {
    let folder = Folder::new("access-start");
    let mut settings = lineside::settings::Settings::default();
    settings.remember(&folder.file("one.lineside"));
    settings.remember(&folder.file("two.lineside"));
    let mut window = Opening { standing: Standing::Nothing, settings, ..Opening::default() }.open();
    holds(&mut window, "start page");
}

#[test]
fn the_draft() {
    let mut window = cabin();
    holds(&mut window, "nothing selected");
}

#[test]
fn the_draft_with_a_block_and_a_finding() {
    let mut window = Opening { project: Demo::AsFound.project(), ..Opening::default() }.open();
    window.press(Key::F8);
    holds(&mut window, "a finding");
    let mut window = cabin();
    window.click("Charge controller C1");
    holds(&mut window, "a block");
}

#[test]
fn the_draft_with_a_run_or_a_place() {
    let mut window = cabin();
    window.get_by_label_contains("Run W1 from").click();
    window.run();
    holds(&mut window, "a run");
    let mut window = cabin();
    window.get_by_label("Place Cabin").focus();
    window.run();
    window.press(Key::Enter);
    holds(&mut window, "a place");
}

#[test]
fn the_brief() {
    for page in ["Loads", "Site and weather", "Goals", "Proposals", "Title and rule set"] {
        let mut window = cabin();
        window.click("Brief");
        window.click(page);
        holds(&mut window, page);
    }
}

#[test]
fn the_year() {
    let mut window = Opening { project: Demo::Hut.project(), ..Opening::default() }.open();
    window.state_mut().state.panels.year.set_years(0);
    window.key_press_modifiers(Modifiers::COMMAND, Key::Num3);
    window.run_steps(2);
    let start = std::time::Instant::now();
    while !window.state().state.panels.year.is_at_rest() {
        assert!(start.elapsed() < std::time::Duration::from_mins(2), "the year does not come to an end");
        window.run_steps(1);
    }
    window.run();
    holds(&mut window, "year");
}

#[test]
fn dialogs_that_tell() {
    for command in ["Settings…", "Keyboard", "About Lineside"] {
        let mut window = cabin();
        window.click(if command == "Settings…" { "View" } else { "Help" });
        window.click(command);
        // What lies behind a dialog cannot be used; only the dialog is gone through.
        assert_eq!(window.unnamed_widgets(), Vec::<String>::new(), "{command}");
        let stops = stops(&mut window);
        let faults = against(&stops);
        assert!(!stops.is_empty() && faults.is_empty(), "{command}: {faults:?}");
        assert!(stops.iter().any(|stop| stop.name == "Close"), "{command}: {stops:?}");
    }
}

/// The stops of a question, its names one by one.
fn question(window: &mut Window, names: &[&str]) {
    assert_eq!(window.unnamed_widgets(), Vec::<String>::new(), "{names:?}");
    let stops = stops(window);
    let faults = against(&stops);
    assert!(faults.is_empty(), "{names:?}: {faults:?}");
    let mut found: Vec<&str> = stops.iter().map(|stop| stop.name.as_str()).collect();
    // It begins with what has the keyboard at once.
    let first = found.iter().position(|name| names.first() == Some(name)).expect("it can be reached");
    found.rotate_left(first);
    assert_eq!(found, names);
}

#[test]
fn dialogs_that_ask() {
    let mut window = cabin();
    window.click("Charge controller C1");
    window.press(Key::R);
    window.command(Key::N);
    question(&mut window, &["Save", "Don't save", "Cancel"]);

    let folder = Folder::new("access-ask");
    std::fs::create_dir_all(folder.file("journal")).expect("a folder");
    let text = lineside_core::file::write(&Project::default()).expect("it writes");
    let entry = folder.file("journal").join("1-0.lineside");
    std::fs::write(entry, format!("// Unsaved work of: \n{text}")).expect("it is written");
    let journals = Journals::kept_in(folder.file("journal"));
    let mut window = Opening { journals, ..Opening::default() }.open();
    question(&mut window, &["Open it", "Later", "Throw it away"]);

    let mut window = Opening { file: Some(folder.file("missing.lineside")), ..Opening::default() }.open();
    question(&mut window, &["Close"]);

    let answers = Answers::new(vec![Answer::NoProgram]);
    let mut window = Opening { asker: answers, ..Opening::default() }.open();
    window.key_press_modifiers(Modifiers::COMMAND, Key::O);
    let start = std::time::Instant::now();
    while !window.has("Path of the file") {
        assert!(start.elapsed() < std::time::Duration::from_secs(10), "nothing is asked");
        window.step();
    }
    window.run();
    question(&mut window, &["Path of the file", "Open", "Cancel"]);
}

#[test]
fn the_guide_and_the_tour() {
    let mut window = cabin();
    window.key_press_modifiers(Modifiers::SHIFT, Key::F1);
    window.run();
    assert_eq!(window.unnamed_widgets(), Vec::<String>::new());
    let chapters = window
        .query_all_by_role(Role::Button)
        .filter(|it| it.accesskit_node().label().as_deref() == Some("Cautions"));
    assert_eq!(chapters.count(), 1);
    window.click("Help");
    window.click("Take the tour");
    assert_eq!(window.unnamed_widgets(), Vec::<String>::new());
    window.press(Key::Enter);
    assert!(window.says("2 of 5"), "the tour goes on by the keyboard");
}

#[test]
fn every_working_can_be_read() {
    // The harness panics on a character that the face lacks, so that each finding with its working is shown once.
    let mut window = Opening { project: Demo::AsFound.project(), ..Opening::default() }.open();
    let count = window.state().derivation.latest().findings().len();
    assert!(count > 20, "{count}");
    for _ in 0..count {
        window.press(Key::F8);
    }
}
