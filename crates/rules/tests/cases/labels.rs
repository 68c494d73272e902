//! Rule `labels`: none made, made, out of date, missing, no longer needed.

use crate::support::Case;
use lineside_core::edit::{Edit, apply};
use lineside_core::kinds::battery_bank::BatteryBank;
use lineside_core::kinds::generator::Generator;
use lineside_core::kinds::strings::Strings;
use lineside_core::project::{BuildingUse, LabelKind, LabelPlace, LabelValues, MadeLabel, RuleSet};
use lineside_core::units::{Amps, Ohms, UnitSystem, Volts};

const LABELS: &str = "labels";

fn cabin(set: RuleSet) -> Case {
    Case::cabin().under(set).unlabeled()
}

fn labels(case: &Case, kind: LabelKind) -> Vec<&MadeLabel> {
    case.project.labels.iter().filter(|label| label.kind == kind).collect()
}

#[test]
fn a_draft_without_labels_is_advised_once() {
    for set in RuleSet::ALL {
        let draft = cabin(set);
        let says = draft.says(LABELS);
        assert_eq!(says.len(), 1, "{set:?}: {says:?}");
        let needed = draft.clone().labeled().project.labels.len();
        assert_eq!(says[0], format!("advice project: 0.00, not {needed}.00"), "{set:?}");
        assert_eq!(draft.mended(LABELS), ["Make the labels"], "{set:?}");
    }
    let empty = Case::of(lineside_core::project::Project::default());
    assert!(empty.says(LABELS).is_empty(), "nothing on the sheet needs a label");
}

#[test]
fn made_labels_are_silent_under_every_rule_set() {
    for set in RuleSet::ALL {
        for (name, case) in [("cabin", Case::cabin()), ("home", Case::home()), ("hut", Case::hut())] {
            let made = case.under(set).labeled();
            assert!(!made.project.labels.is_empty(), "{name} {set:?}");
            assert!(made.says(LABELS).is_empty(), "{name} {set:?}: {:?}", made.says(LABELS));
        }
    }
}

/// The kind on which a rule set prints the voltage of the array.
const ARRAY: [(RuleSet, LabelKind, &str); 4] = [
    (RuleSet::Nec2023, LabelKind::PvVoltage, "pv-voltage"),
    (RuleSet::Nec2020, LabelKind::PvVoltage, "pv-voltage"),
    (RuleSet::Nec2017, LabelKind::PvPowerSource, "pv-power-source"),
    (RuleSet::Iec, LabelKind::ArrayDc, "array-dc"),
];

/// The cabin's strings as in 3 × 37.2 V at 25 °C, −0.27 %/°C and −31 °C: 111.60 V and 128.47 V.
#[test]
fn a_label_with_the_voltage_at_25_degrees_is_out_of_date() {
    for (set, kind, key) in ARRAY {
        let made = cabin(set).labeled();
        let first = labels(&made, kind)[0].clone();
        assert_eq!(first.values.highest_voltage, Some(Volts::new(129.0)), "{set:?}");
        assert!(made.passes(LABELS, "129.00", "128.47"), "{set:?}");
        let printed = |volts: f64| {
            made.clone().relabeled(|label| {
                if label.kind == kind {
                    label.values.highest_voltage = Some(Volts::new(volts));
                }
            })
        };
        assert!(printed(128.47).says(LABELS).is_empty(), "{set:?}: the same in more digits");
        let stale = printed(111.60);
        let says = stale.says(LABELS);
        assert_eq!(says.len(), 1, "one finding for the kind under {set:?}: {says:?}");
        let LabelPlace::Block(tag) = &first.at else { panic!("{first:?}") };
        assert_eq!(says[0], format!("correction {tag}#{key}: 111.60, not 128.47"), "{set:?}");
        assert_eq!(stale.mended(LABELS), ["Make the labels anew"], "{set:?}");
    }
}

/// What the first finding of the rule says in a table.
fn cells(case: &Case) -> [String; 2] {
    let found = case.check().report.findings;
    found.into_iter().find(|it| it.rule == LABELS).map(|it| it.cells(UnitSystem::Us)).unwrap_or_default()
}

#[test]
fn a_fourth_module_makes_the_voltage_stale_and_nothing_else() {
    let longer = cabin(RuleSet::Nec2023)
        .labeled()
        .with::<Strings>("S1", |it| it.modules_in_series = 4)
        .with::<Strings>("S2", |it| it.modules_in_series = 4);
    // 4 × 37.2 V × (1 + 0.0027 × 56)
    assert_eq!(longer.says(LABELS), ["correction Q1#pv-voltage: 129.00, not 171.30"]);
    assert_eq!(cells(&longer), ["printed 129.00 V", "true 171.30 V"]);
}

#[test]
fn what_is_missing_and_what_is_too_much_is_told_once_for_a_kind() {
    let made = cabin(RuleSet::Nec2023).labeled();
    let bare = made.clone().labels(|all| all.retain(|label| label.kind != LabelKind::IsolatingDevice));
    assert_eq!(bare.says(LABELS), ["correction S1#isolating-device: none, not a label"]);
    assert_eq!(cells(&bare), ["found none", "needed a label"]);
    let title = |case: &Case| {
        let found = case.check().report.findings;
        found.into_iter().find(|it| it.rule == LABELS).map(|it| it.title).unwrap_or_default()
    };
    assert_eq!(title(&bare), "Labels “isolating device”: 3 missing");
    let gone = made.clone().without("G1");
    let says = gone.says(LABELS);
    assert!(
        says.iter().any(|it| it == "correction project#generator-disconnect: a label, not none"),
        "{says:?}"
    );
    let twice = made.labels(|all| {
        let one = all.iter().find(|label| label.kind == LabelKind::BatteryHazard).cloned();
        all.extend(one);
    });
    assert_eq!(twice.says(LABELS), ["correction Battery room#battery-hazard: a label, not none"]);
}

#[test]
fn fault_current_may_be_left_out_at_dwellings_only() {
    let without = |case: Case| {
        case.labeled().relabeled(|label| {
            label.values.fault_current = None;
        })
    };
    assert!(without(cabin(RuleSet::Nec2023)).says(LABELS).is_empty(), "a dwelling");
    let shop = cabin(RuleSet::Nec2023).site(|it| it.building = Some(BuildingUse::Other));
    let says = without(shop).says(LABELS);
    assert_eq!(says.len(), 1, "{says:?}");
    assert!(says[0].starts_with("correction F1#ess-disconnect: not on the label, not "), "{says:?}");
}

#[test]
fn another_battery_needs_another_hazard_and_another_fault_current() {
    let made = cabin(RuleSet::Nec2020).labeled();
    let harder = made.clone().with::<BatteryBank>("B1", |it| it.unit_resistance = Some(Ohms::new(0.000_4)));
    let says = harder.says(LABELS);
    assert_eq!(says.len(), 1, "{says:?}");
    assert!(says[0].starts_with("correction F1#ess-disconnect: "), "{says:?}");
    let renamed = made.labels(|all| {
        for label in all {
            "Fernwick, by our own text".clone_into(&mut label.lines[0]);
        }
    });
    assert!(renamed.says(LABELS).is_empty(), "wordings are not compared");
}

#[test]
fn what_the_brief_does_not_say_is_asked_for() {
    let unknown = cabin(RuleSet::Nec2023).site(|it| it.building = None);
    let needs = &unknown.check().report.findings;
    let advice = needs.iter().find(|it| it.rule == LABELS).unwrap();
    assert!(advice.title.contains("at least"), "{}", advice.title);
    assert!(unknown.asks(LABELS).is_empty(), "as long as none has been made");
    assert_eq!(unknown.labeled().asks(LABELS), ["Building"]);
}

#[test]
fn a_generator_without_a_breaker_of_its_own_has_no_disconnect_inside() {
    let made = Case::home().labeled();
    assert_eq!(labels(&made, LabelKind::GeneratorDisconnect).len(), 1);
    assert_eq!(
        labels(&made, LabelKind::NeutralWarning).len(),
        1,
        "a floating neutral, bonded at the service"
    );
    let plain = Case::home().with::<Generator>("G1", |it| it.breaker_rating = None).labeled();
    assert!(labels(&plain, LabelKind::GeneratorDisconnect).is_empty());
    let edition_2020 = Case::home().under(RuleSet::Nec2020).labeled();
    assert!(labels(&edition_2020, LabelKind::GeneratorDisconnect).is_empty(), "2023 asks for it");
}

#[test]
fn rapid_shutdown_is_labeled_where_it_applies() {
    let roof = Case::home().labeled();
    assert_eq!(labels(&roof, LabelKind::RapidShutdown).len(), 3, "service and two initiators");
    assert!(labels(&Case::cabin().labeled(), LabelKind::RapidShutdown).is_empty(), "a ground mount");
}

#[test]
fn a_bank_below_the_storage_limit_is_labeled_by_article_480_too() {
    let small = cabin(RuleSet::Nec2023)
        .with::<BatteryBank>("B1", |it| it.capacity = lineside_core::units::AmpHours::new(20.0))
        .labeled();
    // 20 Ah × 45.6 V = 912 Wh
    assert_eq!(labels(&small, LabelKind::BatteryDisconnect).len(), 1);
    assert!(labels(&cabin(RuleSet::Nec2023).labeled(), LabelKind::BatteryDisconnect).is_empty());
}

#[test]
fn labels_follow_a_new_tag_and_undo_exactly() {
    let made = cabin(RuleSet::Nec2023).labeled();
    let before = made.project.clone();
    let mut project = made.project;
    let id = project.circuit.block_by_tag("Q1").unwrap().id;
    let undo = apply(&mut project, Edit::SetTag(id, "Q99".to_owned())).unwrap();
    let renamed = Case::of(project.clone());
    assert!(renamed.says(LABELS).is_empty(), "{:?}", renamed.says(LABELS));
    let redo = apply(&mut project, undo).unwrap();
    assert_eq!(project, before);
    apply(&mut project, redo).unwrap();
    assert_eq!(project, renamed.project);
}

#[test]
fn values_are_read_and_written() {
    let made = cabin(RuleSet::Nec2023).labeled();
    let text = lineside_core::file::write(&made.project).unwrap();
    assert!(text.contains("highest_voltage: \"129 V\""));
    assert_eq!(lineside_core::file::read(&text).unwrap(), made.project);
    let draft = lineside_core::file::write(&made.clone().unlabeled().project).unwrap();
    assert!(!draft.contains("labels:"), "left out as long as none have been made");
    assert_eq!(LabelValues::NONE.printed(), LabelValues::NONE);
    let storage = labels(&made, LabelKind::EssDisconnect)[0];
    assert!(storage.values.fault_current.is_some_and(|amps| amps > Amps::new(1000.0)));
    assert_eq!(storage.values.date, None, "no revision, no date");
}
