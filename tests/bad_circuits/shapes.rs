//! Circuits of a shape that cannot work: no source, no load, only a loop, shorts, runs from a block to itself.

use crate::survey::{bench, survey};
use lineside_core::testing::{Bench, copper};
use lineside_core::units::Meters;

const BUS: &str = "DC bus bar, covered, 400 A, 8 taps, 150 V";
const BATTERY: &str = "Nickel-iron cell, 400 Ah";
const BREAKER: &str = "DC breaker, 80 A, 125 V";
const LIGHTS: &str = "DC lights, 48 V, 10 A";
const CONTROLLER: &str = "Tracking controller, 150 V in, 60 A out";
const STRINGS: &str = "Module string, 400 W modules";

fn join(bench: &mut Bench, tag: &str, from: &str, to: &str) {
    bench.join(tag, from, to, Some(copper("4", Meters::new(3.0))));
}

#[test]
fn an_empty_sheet() {
    let empty = survey(bench(&[]));
    assert!(empty.checked.report.findings.is_empty());
    assert!(empty.flows.iter().all(lineside_study::flow::Flow::is_solved));
}

#[test]
fn no_source() {
    let mut bench = bench(&[("BUS1", BUS), ("Q1", BREAKER), ("L1", LIGHTS), ("C1", CONTROLLER)]);
    join(&mut bench, "W1", "BUS1.tap1", "Q1.line");
    join(&mut bench, "W2", "Q1.load", "L1.in");
    join(&mut bench, "W3", "C1.battery", "BUS1.tap2");
    let found = survey(bench);
    // What the controller would give.
    found.assert_fault("L1.in", 60.0);
    assert_eq!(found.unmet(0).len(), 1);
    assert!(found.unmet(0)[0].contains("charge controller C1"), "{:?}", found.unmet(0));
}

#[test]
fn no_source_and_no_converter() {
    let mut bench = bench(&[("BUS1", BUS), ("L1", LIGHTS)]);
    join(&mut bench, "W1", "BUS1.tap1", "L1.in");
    let found = survey(bench);
    found.assert_fault("L1.in", 0.0);
    assert_eq!(found.unmet(0), ["no source is on its circuit"]);
}

#[test]
fn no_load() {
    let mut bench = bench(&[("B1", BATTERY), ("BUS1", BUS)]);
    join(&mut bench, "W1", "B1.out", "BUS1.tap1");
    let found = survey(bench);
    // 56 V / 21.95 mΩ at the bank; nothing flows as it stands.
    found.assert_fault("B1.out", 2551.25);
    assert!(found.flows[0].is_solved() && found.flows[0].unmet.is_empty());
    assert!(found.flows[0].balance.lost.value().abs() < 1e-9);
    assert!(found.rules().contains("battery-fuse-distance"), "{:?}", found.rules());
}

#[test]
fn nothing_but_a_loop() {
    let mut bench = bench(&[("BUS1", BUS), ("BUS2", BUS), ("BUS3", BUS)]);
    join(&mut bench, "W1", "BUS1.tap1", "BUS2.tap1");
    join(&mut bench, "W2", "BUS2.tap2", "BUS3.tap1");
    join(&mut bench, "W3", "BUS3.tap2", "BUS1.tap2");
    bench.join("J1", "BUS1.tap3", "BUS2.tap3", None);
    let found = survey(bench);
    found.assert_fault("BUS3.tap1", 0.0);
    assert!(found.flows[0].is_solved());
}

#[test]
fn a_bank_in_a_loop_of_direct_joints() {
    let mut bench = bench(&[("B1", BATTERY), ("BUS1", BUS), ("BUS2", BUS), ("L1", LIGHTS)]);
    bench.join("J0", "B1.out", "BUS1.tap1", None);
    for n in 2..6 {
        bench.join(&format!("J{n}"), &format!("BUS1.tap{n}"), &format!("BUS2.tap{n}"), None);
    }
    bench.join("J6", "BUS2.tap6", "L1.in", None);
    let found = survey(bench);
    found.assert_fault("L1.in", 2551.25);
    assert!(found.flows[0].is_solved() && found.flows[0].unmet.is_empty());
}

#[test]
fn a_run_from_a_block_to_itself() {
    let mut bench = bench(&[("B1", BATTERY), ("BUS1", BUS), ("Q1", BREAKER), ("L1", LIGHTS)]);
    bench.join("W1", "B1.out", "BUS1.tap1", None);
    join(&mut bench, "W2", "BUS1.tap2", "BUS1.tap3");
    join(&mut bench, "W3", "BUS1.tap4", "Q1.line");
    // Past the breaker's own pole.
    join(&mut bench, "W4", "Q1.line", "Q1.load");
    join(&mut bench, "W5", "Q1.load", "L1.in");
    let found = survey(bench);
    assert!(found.flows[0].is_solved() && found.flows[0].unmet.is_empty());
    let tap = found.fault("BUS1.tap3");
    assert!((tap - 2551.25).abs() < 0.01, "{tap}");
}

#[test]
fn a_controller_shorted_from_its_input_to_its_output() {
    let mut bench = bench(&[("S1", STRINGS), ("C1", CONTROLLER), ("B1", BATTERY)]);
    join(&mut bench, "W1", "S1.out", "C1.pv");
    join(&mut bench, "W2", "C1.pv", "C1.battery");
    join(&mut bench, "W3", "C1.battery", "B1.out");
    let found = survey(bench);
    let flow = &found.flows[0];
    let controller = flow.controller(found.project.circuit.block_by_tag("C1").unwrap().id).unwrap();
    assert_eq!(controller.doing.label(), "is bypassed: its input and output are one circuit");
}

#[test]
fn strings_straight_on_a_bank() {
    let mut bench = bench(&[("S1", STRINGS), ("B1", BATTERY)]);
    join(&mut bench, "W1", "S1.out", "B1.out");
    let found = survey(bench);
    assert!(found.checked.report.findings.iter().any(|it| it.severity < lineside_rules::Severity::Advice));
}

#[test]
fn banks_of_two_voltages_on_one_bar() {
    let mut bench =
        bench(&[("B1", BATTERY), ("B2", "Flooded lead-acid battery, 12 V, 105 Ah"), ("BUS1", BUS)]);
    join(&mut bench, "W1", "B1.out", "BUS1.tap1");
    join(&mut bench, "W2", "B2.out", "BUS1.tap2");
    let found = survey(bench);
    assert!(!found.checked.report.findings.is_empty());
    // What the one loses the other takes, and the wires.
    assert!(found.flows[1].balance.lost.value() > 0.0);
}

#[test]
fn direct_on_alternating_current() {
    let mut bench = bench(&[
        ("B1", BATTERY),
        ("U1", "Utility service, split-phase, 200 A"),
        ("P1", "AC panel, split-phase, 125 A, without main"),
    ]);
    join(&mut bench, "W1", "U1.out", "P1.feed");
    join(&mut bench, "W2", "B1.out", "P1.tap1");
    let found = survey(bench);
    assert!(found.reasons(0)[0].starts_with("direct and alternating current stand on one circuit"));
    assert!(!found.checked.report.findings.is_empty());
}

#[test]
fn two_utilities_and_a_generator_on_one_circuit() {
    let mut bench = bench(&[
        ("U1", "Utility service, split-phase, 200 A"),
        ("U2", "Utility service, split-phase, 200 A"),
        ("G1", "Generator, 14 kW, split-phase, propane"),
    ]);
    join(&mut bench, "W1", "U1.out", "U2.out");
    join(&mut bench, "W2", "U2.out", "G1.out");
    let found = survey(bench);
    assert!(found.reasons(0)[0].starts_with("sources that must not meet"), "{:?}", found.reasons(0));
    assert!(found.checked.report.findings.iter().any(|it| it.severity == lineside_rules::Severity::Danger));
}
