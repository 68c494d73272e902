//! Findings: they follow what is dragged and typed, show their parts and their working.

use crate::support::{Hands as _, Opening, Window, open};
use egui::{Key, Role, vec2};
use egui_kittest::kittest::{NodeT as _, Queryable as _};
use lineside_codes::Codes;
use lineside_core::project::{Project, RuleSet};
use lineside_rules::{Severity, check};

fn count(window: &Window, severity: Severity) -> usize {
    let findings = window.state().derivation.latest().findings().to_vec();
    findings.iter().filter(|finding| finding.severity == severity).count()
}

/// The row of the first finding whose title holds these words.
fn row(window: &Window, words: &str) -> egui::Rect {
    let rows = window.get_all_by_role(Role::ListBoxOption);
    let mut found =
        rows.filter(|node| node.accesskit_node().label().is_some_and(|label| label.contains(words)));
    found.next().unwrap_or_else(|| panic!("no finding says {words}")).rect()
}

#[test]
fn the_sample_has_something_to_say() {
    let window = open();
    assert!(count(&window, Severity::Danger) > 0);
    let dangers = lineside::window::marks::words(Severity::Danger, count(&window, Severity::Danger));
    assert!(window.has(&format!("Draft, {dangers}")), "the strip counts them");
}

#[test]
fn a_click_on_a_finding_frames_its_parts_and_shows_its_working() {
    let mut window = open();
    // Far away and to the side, so that there is something to frame.
    for _ in 0..6 {
        window.press(Key::Plus);
    }
    let finding = window.state().derivation.latest().findings().first().expect("there is one").clone();
    let at = row(&window, &finding.title).center();
    window.hover_at(at);
    window.drag_at(at);
    window.let_go(at);
    let selection = &window.state().state.selection;
    assert!(!selection.is_empty());
    assert!(window.says(finding.rule), "the working names its rule");
    let circuit = &window.state().document.project.circuit;
    let sheet = window.get_by_label("Sheet").rect();
    for id in &selection.blocks {
        let block = circuit.block(*id).expect("it is there");
        let name = lineside::window::areas::draft::sheet::capital(&block.title());
        assert!(sheet.contains_rect(window.get_by_label(&name).rect()), "{name} is in view");
    }
}

#[test]
fn the_list_is_walked_with_the_arrow_keys_and_with_f8() {
    let mut window = open();
    window.press(Key::F8);
    let first = window.state().state.finding.clone().expect("the first one");
    let at = row(&window, "1,").center();
    window.hover_at(at);
    window.drag_at(at);
    window.let_go(at);
    window.press(Key::ArrowDown);
    let second = window.state().state.finding.clone().expect("the next one");
    assert_ne!(first, second);
    window.press(Key::ArrowUp);
    assert_eq!(window.state().state.finding.as_ref(), Some(&first));
}

#[test]
fn findings_follow_a_number_while_it_is_typed_in_the_same_frame() {
    let mut window = open();
    let before = count(&window, Severity::Danger);
    window.click("Charge controller C1");
    window.get_by_role_and_label(Role::TextInput, "Greatest PV input voltage").focus();
    window.run();
    window.key_press_modifiers(egui::Modifiers::COMMAND, Key::A);
    window.step();
    // 40 V stands far below what three modules in series give.
    window.get_by_role_and_label(Role::TextInput, "Greatest PV input voltage").type_text("40 V");
    window.step();
    assert!(count(&window, Severity::Danger) > before);
    let shown = lineside::window::marks::words(Severity::Danger, count(&window, Severity::Danger));
    assert!(window.has(&format!("Draft, {shown}")), "what is on the screen is already new: {shown}");
}

#[test]
fn findings_follow_a_block_while_it_is_dragged() {
    let mut window = open();
    let ids = |window: &Window| -> Vec<String> {
        let circuit = &window.state().document.project.circuit;
        window.state().derivation.latest().findings().iter().map(|finding| finding.id(circuit)).collect()
    };
    let before = ids(&window);
    // Out of the shed and into the cabin: its runs become field runs, which need devices at both ends.
    let from = window.middle("Charge controller C1");
    let cabin = window.get_by_label("Place Cabin").rect();
    window.hold_over(from, cabin.center_bottom() + vec2(0.0, 100.0));
    assert_ne!(ids(&window), before, "while the pointer still holds the block");
    window.key_press(Key::Escape);
    window.run_steps(3);
    assert_eq!(ids(&window), before);
}

/// The first marker whose name fits: its name and the middle of it.
fn marker(window: &Window, fits: impl Fn(&str) -> bool) -> (String, egui::Pos2) {
    let markers = window.get_all_by_role(Role::GraphicsObject);
    let named = markers.filter_map(|node| Some((node.accesskit_node().label()?, node.rect().center())));
    let is_marker =
        |name: &str| ["Danger: ", "Correction: ", "Advice: "].iter().any(|it| name.starts_with(it));
    let mut found = named.filter(|(name, _)| is_marker(name) && fits(name));
    found.next().expect("there is such a marker")
}

fn click_at(window: &mut Window, at: egui::Pos2) {
    window.hover_at(at);
    window.drag_at(at);
    window.let_go(at);
}

#[test]
fn a_click_on_a_marker_opens_its_finding() {
    let mut window = open();
    let (title, at) = marker(&window, |name| !name.contains(", and "));
    click_at(&mut window, at);
    let finding = window.state().state.finding.clone().expect("it opened");
    let circuit = &window.state().document.project.circuit;
    let derived = window.state().derivation.latest();
    let shown = derived.findings().iter().find(|it| it.id(circuit) == finding).expect("it is in the list");
    assert!(title.contains(&shown.title), "{title}");
}

#[test]
fn markers_group_when_crowded_and_open_a_list() {
    let mut window = open();
    let count = |window: &Window| {
        let names =
            window.get_all_by_role(Role::GraphicsObject).filter_map(|node| node.accesskit_node().label());
        names.filter(|name| name.contains(": ")).count()
    };
    let apart = count(&window);
    for _ in 0..10 {
        window.press(Key::Minus);
    }
    assert!(count(&window) < apart, "from afar they stand together");
    // The worst gives the shape: a group with a danger in it is called a danger.
    let dangers =
        window.state().derivation.latest().open().filter(|it| it.severity == Severity::Danger).count();
    assert!(dangers > 0);
    let (name, at) = marker(&window, |name| name.starts_with("Danger: ") && name.contains(", and "));
    let more: usize =
        name.rsplit_once(", and ").and_then(|(_, rest)| rest.split(' ').next()?.parse().ok()).unwrap_or(0);
    click_at(&mut window, at);
    assert_eq!(window.state().state.finding, None, "nothing is opened before one is chosen");
    let rows: Vec<String> = window
        .get_all_by_role(Role::Button)
        .filter_map(|node| node.accesskit_node().label())
        .filter(|label| {
            label.starts_with("Open danger: ")
                || label.starts_with("Open correction: ")
                || label.starts_with("Open advice: ")
        })
        .collect();
    assert_eq!(rows.len(), more + 1);
    window.click(&rows[1]);
    let finding = window.state().state.finding.clone().expect("it opened");
    let circuit = &window.state().document.project.circuit;
    let derived = window.state().derivation.latest();
    let shown = derived.findings().iter().find(|it| it.id(circuit) == finding).expect("it is in the list");
    assert!(rows[1].contains(&shown.title));
    assert!(!window.has(&rows[0]), "the list has closed");
    // Escape closes it too, and keeps what is selected.
    let (_, at) = marker(&window, |name| name.contains(", and "));
    click_at(&mut window, at);
    let selected = window.state().state.selection.clone();
    window.press(Key::Escape);
    assert!(!window.has(&rows[0]));
    assert_eq!(window.state().state.selection, selected);
}

#[test]
fn nothing_to_check_and_nothing_found_are_said() {
    let empty = Opening { project: Project::default(), ..Opening::default() }.open();
    assert!(empty.has("Nothing to check yet"));
    let demo = lineside_core::file::read(include_str!("../../../../assets/demos/cabin.lineside"));
    let sound = Opening { project: demo.expect("it reads"), ..Opening::default() }.open();
    assert_eq!(count(&sound, Severity::Danger) + count(&sound, Severity::Correction), 0);
    assert!(sound.has("No findings"));
    assert!(sound.says("comparisons by"));
}

#[test]
fn the_ladder_shows_windows_of_the_selected_zone() {
    let mut window = open();
    window.click("Battery bank B1");
    assert!(window.says("Ladder of the battery bus. It sees: empty"));
    window.click("Strings S1");
    assert!(window.says("Ladder of the array side."));
}

#[test]
fn a_number_of_the_ladder_opens_its_working() {
    let mut window = open();
    window.click("Charge controller C1");
    let name = "permitted at C1 output";
    window.click(name);
    assert_eq!(window.state().state.figure.as_deref(), Some(name));
    assert!(window.says("above it"));
}

#[test]
fn rule_sets_are_compared_and_changed_as_one_step() {
    let mut window = open();
    let steps = window.state().document.history.changes();
    window.click("NEC 2023 · US units");
    let start = std::time::Instant::now();
    let heading = |window: &Window, set: RuleSet| {
        let mut rows =
            window.get_all_by_role(Role::RadioButton).filter_map(|node| node.accesskit_node().label());
        rows.find(|label| label.starts_with(set.label())).unwrap_or_default()
    };
    while heading(&window, RuleSet::Iec).contains("being checked") {
        assert!(start.elapsed() < std::time::Duration::from_secs(20));
        window.run();
    }
    let project = window.state().document.project.clone();
    let codes = Codes::load().expect("they load");
    for set in RuleSet::ALL {
        let findings = check(&project, &codes, set).report.findings;
        let dangers = findings.iter().filter(|finding| finding.severity == Severity::Danger).count();
        let words = lineside::window::marks::words(Severity::Danger, dangers);
        assert!(heading(&window, set).contains(&words), "{}, not {words}", heading(&window, set));
    }
    assert!(window.says("Choose another to see what would come and go."));
    let iec = heading(&window, RuleSet::Iec);
    window.click(&iec);
    assert!(window.says("These would come") || window.says("These would go"));
    // The list takes its height from what it holds, a frame later.
    window.run_steps(2);
    window.click("Check by IEC");
    assert_eq!(window.state().document.project.rule_set, RuleSet::Iec);
    assert_eq!(window.state().document.history.changes(), steps + 1);
    assert!(window.has("IEC · US units"));
    window.command(Key::Z);
    assert_eq!(window.state().document.project.rule_set, RuleSet::Nec2023);
}
