//! Utility, generator, transfer and bypass, help and charging, and what must not meet.

use super::demos::demo;
use super::*;
use lineside_core::kinds::ac_panel::AcPanel;
use lineside_core::kinds::common::Position;
use lineside_core::kinds::inside::SourceKind;
use lineside_core::kinds::inverter::Inverter;
use lineside_core::testing::{Bench, copper};
use lineside_core::units::Meters;

/// The house at night: 800 W on the backed-up panel, 2 kW on the service panel.
fn house_at_night(sheet: &Sheet) -> OperatingState {
    let circuit = &sheet.project.circuit;
    OperatingState { sun: sun(0.0), charge: percent(60.0), ..OperatingState::new() }
        .loaded(circuit, "P2", power(800.0))
        .loaded(circuit, "P1", power(2000.0))
}

fn doing(sheet: &Sheet, flow: &Flow) -> InverterDoing {
    flow.inverter(sheet.id("INV1")).unwrap().doing
}

fn source(sheet: &Sheet, flow: &Flow, tag: &str, kind: SourceKind) -> SourceFlow {
    let of_block = |it: &&SourceFlow| it.block == sheet.id(tag) && it.kind == kind;
    *flow.sources().iter().find(of_block).unwrap()
}

fn used(sheet: &Sheet, flow: &Flow, tag: &str) -> f64 {
    flow.block(sheet.id(tag)).unwrap().used.value()
}

#[test]
fn the_utility_comes_before_the_generator() {
    let sheet = demo("home");
    let circuit = &sheet.project.circuit;
    let state = house_at_night(&sheet);
    let both = sheet.flow(&state.clone().supplied(circuit, "U1").supplied(circuit, "G1"));
    assert_balanced(&sheet, &both, "both");
    assert_eq!(doing(&sheet, &both), InverterDoing::Charging { input: 1 });
    assert_eq!(source(&sheet, &both, "G1", SourceKind::Generator).doing, SourceDoing::Resting);
    assert!((used(&sheet, &both, "P2") - 800.0).abs() < 1e-6);
    let generator = sheet.flow(&state.clone().supplied(circuit, "G1"));
    assert_balanced(&sheet, &generator, "generator");
    assert_eq!(doing(&sheet, &generator), InverterDoing::Charging { input: 2 });
    // The service panel has nothing: its only source is the utility.
    assert_eq!(generator.unmet.iter().map(|it| it.block).collect::<Vec<_>>(), [sheet.id("P1")]);
    let none = sheet.flow(&state);
    assert_balanced(&sheet, &none, "none");
    assert_eq!(doing(&sheet, &none), InverterDoing::Inverting);
    assert!((used(&sheet, &none, "P2") - 800.0).abs() < 1e-6);
}

#[test]
fn the_charger_takes_what_the_input_leaves_over() {
    let sheet = demo("home");
    let circuit = &sheet.project.circuit;
    let at = |load| {
        let state = house_at_night(&sheet).loaded(circuit, "P2", power(load)).supplied(circuit, "U1");
        let flow = sheet.flow(&state);
        assert_balanced(&sheet, &flow, "charging");
        *flow.inverter(sheet.id("INV1")).unwrap()
    };
    // 40 A as set at about 54 V: all that the charger is set to.
    let light = at(800.0);
    assert!((light.charging / light.dc_voltage.unwrap()).value() - 40.0 < 1e-6);
    // 40 A of AC at the input, about 9.5 kW: loads, idle and charger together.
    let heavy = at(8800.0);
    let input = circuit.run_by_tag("W21").unwrap().id;
    let run =
        sheet.flow(&house_at_night(&sheet).loaded(circuit, "P2", power(8800.0)).supplied(circuit, "U1"));
    let amps = run.run(&sheet.network, input).unwrap().flow.current.value();
    assert!((amps - 40.0).abs() < 1e-6, "{amps}");
    assert!(heavy.charging < light.charging && heavy.charging > Watts::ZERO);
    // Beyond it the inverter adds from the battery.
    let beyond = at(11_000.0);
    assert_eq!(beyond.doing, InverterDoing::Helping { input: 1 });
    assert!(beyond.charging == Watts::ZERO && beyond.made > Watts::new(1000.0));
}

#[test]
fn a_small_generator_is_never_asked_for_more_than_it_gives_for_hours() {
    let sheet = demo("cabin");
    let circuit = &sheet.project.circuit;
    let state = OperatingState { sun: sun(0.0), charge: percent(50.0), ..OperatingState::new() };
    let state = state.supplied(circuit, "G1");
    // 2000 W, of which 90 % for hours, less 1 % for each 100 m from 300 to 540 m: 1756.8 W.
    for load in [300.0, 900.0, 1700.0, 2600.0] {
        let flow = sheet.flow(&state.clone().loaded(circuit, "P1", power(load)));
        assert_balanced(&sheet, &flow, "generator");
        let given = source(&sheet, &flow, "G1", SourceKind::Generator).power.value();
        assert!(given <= 1756.8 * (1.0 + 1e-9), "{load} W: {given}");
        assert!((used(&sheet, &flow, "P1") - load).abs() < 1e-6);
        let helps = matches!(doing(&sheet, &flow), InverterDoing::Helping { .. });
        assert_eq!(helps, load > 1700.0, "{load} W");
    }
}

#[test]
fn the_bypass_feeds_the_panel_past_the_inverter() {
    let sheet = demo("home");
    let circuit = &sheet.project.circuit;
    let state = house_at_night(&sheet).supplied(circuit, "U1").thrown(sheet.id("BP1"), Position::Open);
    let flow = sheet.flow(&state);
    assert_balanced(&sheet, &flow, "bypass");
    assert!(flow.is_solved());
    // Nothing reaches the inverter's input and nothing hangs on its output, but the panel has its power.
    assert_eq!(doing(&sheet, &flow), InverterDoing::Inverting);
    assert!((used(&sheet, &flow, "P2") - 800.0).abs() < 1e-6);
    assert_eq!(source(&sheet, &flow, "INV1", SourceKind::InverterOutput).power, Watts::ZERO);
    // Without the utility the panel is dead behind the bypass, and the inverter is told to be beyond an open pole.
    let flow = sheet.flow(&house_at_night(&sheet).thrown(sheet.id("BP1"), Position::Open));
    let unmet = flow.unmet.iter().find(|it| it.block == sheet.id("P2")).unwrap();
    let Unserved::Dead(causes) = &unmet.why else { panic!("{unmet:?}") };
    let of = |tag: &str| causes.iter().find(|it| it.source == sheet.id(tag)).unwrap();
    assert_eq!((of("U1").doing, of("U1").open), (SourceDoing::NotThere, None));
    let pole = &sheet.network.poles()[of("INV1").open.unwrap()];
    assert_eq!((pole.block, pole.pole.name.as_deref()), (sheet.id("BP1"), Some("from the inverter")));
}

#[test]
fn an_automatic_transfer_switch_goes_over_by_itself() {
    let mut bench = Bench::new();
    bench.put("U1", None, bench.stock("Utility service, split-phase, 200 A"));
    bench.put("G1", None, bench.stock("Generator, 10 kW, split-phase, propane"));
    bench.put("Q1", None, bench.stock("Transfer switch, automatic, 200 A, 240 V"));
    let panel = bench.stock("AC panel, split-phase, 125 A, without main");
    bench.put("P1", None, panel);
    bench.join("W1", "U1.out", "Q1.normal", None);
    bench.join("W2", "G1.out", "Q1.standby", None);
    bench.join("W3", "Q1.load", "P1.feed", None);
    let sheet = Sheet::new(bench.project);
    let circuit = &sheet.project.circuit;
    let state = OperatingState::new().loaded(circuit, "P1", power(3000.0));
    let power_of = |flow: &Flow, tag: &str, kind| source(&sheet, flow, tag, kind).power.value();
    let flow = sheet.flow(&state.clone().supplied(circuit, "U1").supplied(circuit, "G1"));
    assert!((power_of(&flow, "U1", SourceKind::Utility) - 3000.0).abs() < 1e-6);
    let flow = sheet.flow(&state.clone().supplied(circuit, "G1"));
    assert_balanced(&sheet, &flow, "gone over");
    assert!((power_of(&flow, "G1", SourceKind::Generator) - 3000.0).abs() < 1e-6);
    // Held by hand it stays.
    let held = state.supplied(circuit, "G1").thrown(sheet.id("Q1"), Position::Closed);
    assert!(sheet.flow(&held).is_dead(&sheet.network, sheet.id("P1")));
}

#[test]
fn three_phases_lose_what_three_phases_lose() {
    let mut bench = Bench::new();
    bench.put("U1", None, bench.stock("Utility service, three-phase 400 V, 63 A"));
    bench.put("P1", None, bench.stock("AC board, three-phase 400 V, 63 A, with main"));
    bench.join("W1", "U1.out", "P1.feed", Some(copper("6", Meters::from_feet(100.0))));
    let sheet = Sheet::new(bench.project);
    let circuit = &sheet.project.circuit;
    let state = OperatingState::new().supplied(circuit, "U1").loaded(circuit, "P1", power(12_000.0));
    let flow = sheet.flow(&state);
    assert_balanced(&sheet, &flow, "three phases");
    let run = flow.run(&sheet.network, circuit.run_by_tag("W1").unwrap().id).unwrap();
    // 0.049 Ω in each phase: V between lines at the load from √3 V I = 12 kW and V = 400 − √3 × 0.049 I.
    let (volts, amps) = (run.to.unwrap().value(), run.flow.current.value());
    assert!((3.0_f64.sqrt() * volts * amps - 12_000.0).abs() < 1e-6);
    assert!((400.0 - 3.0_f64.sqrt() * 0.049 * amps - volts).abs() < 1e-9, "{volts}");
    assert!((run.flow.lost.value() - 3.0 * 0.049 * amps * amps).abs() < 1e-9);
}

#[test]
fn sources_that_must_not_meet_are_told() {
    let mut bench = Bench::new();
    bench.put("U1", None, bench.stock("Utility service, split-phase, 200 A"));
    bench.put("G1", None, bench.stock("Generator, 10 kW, split-phase, propane"));
    bench.put("Q1", None, bench.stock("AC breaker, two-pole, 50 A, 240 V"));
    bench.put("P1", None, bench.stock("AC panel, split-phase, 125 A, without main"));
    bench.join("W1", "U1.out", "P1.feed", None);
    bench.join("W2", "G1.out", "Q1.line", None);
    bench.join("W3", "Q1.load", "P1.tap1", None);
    let sheet = Sheet::new(bench.project);
    let circuit = &sheet.project.circuit;
    let state = OperatingState::new().supplied(circuit, "U1").supplied(circuit, "G1");
    let flow = sheet.flow(&state);
    let Outcome::NotSolved(reasons) = &flow.outcome else { panic!("{:?}", flow.outcome) };
    assert_eq!(*reasons, [Reason::Joined { sources: vec![sheet.id("U1"), sheet.id("G1")] }]);
    assert_eq!(
        reasons[0].words(circuit, sheet.project.units),
        "sources that must not meet stand on one circuit: utility service U1, generator G1"
    );
    // With the breaker open all is well.
    assert!(sheet.flow(&state.thrown(sheet.id("Q1"), Position::Open)).is_solved());
}

#[test]
fn a_foreign_source_is_not_taken() {
    // The workshop as found: a 240 V generator on the input of a 120 V inverter.
    let sheet = demo("as-found");
    let circuit = &sheet.project.circuit;
    let state = OperatingState { sun: sun(0.0), ..OperatingState::new() };
    let flow = sheet.flow(&state.loaded(circuit, "P1", power(500.0)).supplied(circuit, "G1"));
    assert_balanced(&sheet, &flow, "foreign source");
    assert_eq!(doing(&sheet, &flow), InverterDoing::Inverting);
}

/// Two inverters on one bus and one panel.
fn two_inverters(item: &str) -> Sheet {
    let mut bench = Bench::new();
    bench.put("B1", None, bench.stock("Lithium iron phosphate floor pack, 51.2 V, 300 Ah"));
    let inverter = bench.stock(item);
    bench.put("INV1", None, inverter.clone());
    bench.put("INV2", None, inverter);
    bench.put("P1", None, bench.stock("AC panel, split-phase, 125 A, without main"));
    for (tag, from, to) in [
        ("W1", "B1.out", "INV1.dc"),
        ("W2", "B1.out", "INV2.dc"),
        ("W3", "INV1.out", "P1.feed"),
        ("W4", "INV2.out", "P1.feed"),
    ] {
        bench.join(tag, from, to, None);
    }
    Sheet::new(bench.project)
}

#[test]
fn inverters_share_a_bus_where_their_makers_allow_it() {
    let item = "Inverter-charger, 8 kW, 48 V, split-phase, for utility and generator";
    let sheet = two_inverters(item);
    let block = sheet.project.circuit.block(sheet.id("INV1")).unwrap();
    assert!(block.equipment.as_kind::<Inverter>().unwrap().parallel_units.is_some_and(|units| units >= 2));
    let state = OperatingState::new().loaded(&sheet.project.circuit, "P1", power(9000.0));
    let flow = sheet.flow(&state);
    assert_balanced(&sheet, &flow, "parallel");
    assert!(flow.is_solved(), "{:?}", flow.outcome);
    for tag in ["INV1", "INV2"] {
        assert!((flow.inverter(sheet.id(tag)).unwrap().made.value() - 4500.0).abs() < 1e-6);
    }
    // Inverters that may not: told.
    let sheet = two_inverters("Inverter-charger, 6 kW, 48 V, split-phase");
    let may = |sheet: &Sheet| {
        let block = sheet.project.circuit.block(sheet.id("INV1")).unwrap();
        block.equipment.as_kind::<Inverter>().unwrap().parallel_units.is_some_and(|units| units >= 2)
    };
    let state = OperatingState::new().loaded(&sheet.project.circuit, "P1", power(5000.0));
    let told = matches!(&sheet.flow(&state).outcome, Outcome::NotSolved(reasons)
        if reasons.iter().any(|it| matches!(it, Reason::Joined { .. })));
    assert_ne!(told, may(&sheet));
}

#[test]
fn a_panel_without_connected_load_takes_a_share_of_nothing() {
    let mut bench = Bench::new();
    let panel =
        bench.stock("AC panel, split-phase, 125 A, without main").as_kind::<AcPanel>().unwrap().clone();
    bench.put("U1", None, bench.stock("Utility service, split-phase, 200 A"));
    bench.put("P1", None, AcPanel { connected_load: None, ..panel });
    bench.join("W1", "U1.out", "P1.feed", None);
    let sheet = Sheet::new(bench.project);
    let state = OperatingState { other_loads: Load::ALL, ..OperatingState::new() };
    let flow = sheet.flow(&state.supplied(&sheet.project.circuit, "U1"));
    assert!(flow.is_solved() && flow.unmet.is_empty());
    assert_eq!(flow.balance.entering, Watts::ZERO);
}
