//! Switching orders of small circuits, by hand.

use lineside_codes::Codes;
use lineside_core::kinds::inside::Disconnects;
use lineside_core::testing::Bench;
use lineside_study::isolation::{self, Live, Purpose, Role};
use lineside_study::{Conditions, SwitchingOrder, all};

/// Blocks from stock and direct joints.
pub fn circuit(blocks: &[(&str, &str)], joints: &[(&str, &str)]) -> Bench {
    let mut bench = Bench::new();
    for (tag, name) in blocks {
        let equipment = bench.stock(name);
        bench.put(tag, None, equipment);
    }
    for (n, (from, to)) in joints.iter().enumerate() {
        bench.join(&format!("W{n}"), from, to, None);
    }
    bench
}

fn order(bench: &Bench, tag: &str) -> SwitchingOrder {
    let codes = Codes::load().unwrap();
    let on = Conditions::new(&bench.project, &codes);
    let studies = all(&on);
    let block = bench.project.circuit.block_by_tag(tag).unwrap().id;
    isolation::of(&on, &studies.network, &studies.zones, block)
}

/// Tags of the steps, in order.
fn tags(bench: &Bench, order: &SwitchingOrder) -> Vec<String> {
    order.steps.iter().map(|step| bench.project.circuit.block(step.block).unwrap().tag.clone()).collect()
}

const STRINGS: &str = "Module string, 400 W modules";
const CONTROLLER: &str = "Tracking controller, 150 V in, 60 A out";
const BATTERY: &str = "Nickel-iron cell, 400 Ah";
const BUS: &str = "DC bus bar, covered, 400 A, 8 taps, 150 V";
const BREAKER: &str = "DC breaker, 80 A, 125 V";
const LIGHTS: &str = "DC lights, 48 V, 10 A";

#[test]
fn loads_first_then_array_then_battery_and_back_again() {
    let bench = circuit(
        &[
            ("S1", STRINGS),
            ("Q1", "DC breaker, 70 A, 150 V"),
            ("C1", CONTROLLER),
            ("X1", "Splice box, three ends, 85 A, 600 V"),
            ("Q2", BREAKER),
            ("B1", BATTERY),
            ("Q3", BREAKER),
            ("L1", LIGHTS),
        ],
        &[
            ("S1.out", "Q1.line"),
            ("Q1.load", "C1.pv"),
            ("C1.battery", "X1.end1"),
            ("X1.end2", "Q2.load"),
            ("Q2.line", "B1.out"),
            ("X1.end3", "Q3.line"),
            ("Q3.load", "L1.in"),
        ],
    );
    let found = order(&bench, "C1");
    assert!(found.is_complete());
    assert_eq!(tags(&bench, &found), ["Q3", "Q1", "Q2"]);
    let purposes: Vec<Purpose> = found.steps.iter().map(|step| step.purpose).collect();
    assert_eq!(purposes, [Purpose::Loads, Purpose::Pv, Purpose::Battery]);
    assert_eq!(found.cuts().count(), 2);
    assert_eq!(found.steps[0].role, Role::TakesLoadOff);
    let back: Vec<&str> =
        found.way_back().map(|step| bench.project.circuit.block(step.block).unwrap().tag.as_str()).collect();
    assert_eq!(back, ["Q2", "Q1", "Q3"]);
    let id = |tag: &str| bench.project.circuit.block_by_tag(tag).unwrap().id;
    assert_eq!(
        found.stays_live,
        [Live::Strings(id("S1")), Live::Battery(id("B1")), Live::Capacitors(id("C1"))]
    );
}

#[test]
fn the_fewest_things_nearest_to_the_block() {
    // Three strings with connectors behind three ways, then one breaker: the breaker alone cuts the controller off,
    // the connectors alone could too, but they are three.
    let mut blocks = vec![("CB1", "Combiner, three ways, 25 A breakers, 150 V")];
    blocks.extend([("S1", STRINGS), ("S2", STRINGS), ("S3", STRINGS), ("C1", CONTROLLER)]);
    blocks.extend([("Q1", "DC breaker, 70 A, 150 V"), ("Q2", BREAKER), ("B1", BATTERY)]);
    let bench = circuit(
        &blocks,
        &[
            ("S1.out", "CB1.way1"),
            ("S2.out", "CB1.way2"),
            ("S3.out", "CB1.way3"),
            ("CB1.out", "Q1.line"),
            ("Q1.load", "C1.pv"),
            ("C1.battery", "Q2.load"),
            ("Q2.line", "B1.out"),
        ],
    );
    assert_eq!(tags(&bench, &order(&bench, "C1")), ["Q1", "Q2"]);
    // The combiner's own ways leave its terminals live: three pairs of connectors, to be opened without load, so that
    // the breaker stops the controller before.
    let combiner = order(&bench, "CB1");
    assert_eq!(tags(&bench, &combiner), ["Q1", "S1", "S2", "S3"]);
    assert_eq!(combiner.steps[0].role, Role::TakesLoadOff);
    assert!(combiner.cuts().all(|step| step.how == Disconnects::WithoutLoad));
    // Nothing makes strings or a battery dead.
    assert_eq!(order(&bench, "S1").remains.len(), 1);
    assert_eq!(order(&bench, "B1").remains.len(), 1);
}

#[test]
fn connectors_are_parted_after_the_switch_itself_when_nothing_else_stops_the_current() {
    let bench = circuit(
        &[
            ("S1", STRINGS),
            ("SW1", "DC switch, 32 A, 1000 V"),
            ("C1", CONTROLLER),
            ("Q2", BREAKER),
            ("B1", BATTERY),
        ],
        &[("S1.out", "SW1.line"), ("SW1.load", "C1.pv"), ("C1.battery", "Q2.load"), ("Q2.line", "B1.out")],
    );
    let switch = order(&bench, "SW1");
    assert!(switch.is_complete());
    assert_eq!(tags(&bench, &switch), ["SW1", "S1"]);
    assert_eq!(switch.cuts().count(), 1);
    // With the controller there is nothing to be parted without load.
    assert_eq!(tags(&bench, &order(&bench, "C1")), ["SW1", "Q2"]);
}

#[test]
fn a_service_panel_keeps_its_lugs_live_and_is_opened_at_its_main_breaker() {
    let bench = circuit(
        &[
            ("U1", "Utility service, split-phase, 200 A"),
            ("P1", "Service panel, split-phase, 200 A, with main"),
        ],
        &[("U1.out", "P1.feed")],
    );
    let panel = order(&bench, "P1");
    assert_eq!(tags(&bench, &panel), ["P1"]);
    assert_eq!(panel.cuts().count(), 0);
    assert_eq!(panel.remains[0].block, bench.project.circuit.block_by_tag("U1").unwrap().id);
}

#[test]
fn poles_on_one_handle_count_once() {
    let bench = circuit(
        &[
            ("S1", STRINGS),
            ("S2", STRINGS),
            ("PVD", "DC switch, two circuits, 30 A, 600 V"),
            ("Q8", "DC breaker, 30 A, 150 V"),
            ("BUS1", BUS),
        ],
        &[
            ("S1.out", "PVD.line1"),
            ("S2.out", "PVD.line2"),
            ("PVD.load1", "BUS1.tap1"),
            ("PVD.load2", "Q8.line"),
            ("Q8.load", "BUS1.tap2"),
        ],
    );
    // Q8 with one pole of PVD would be two handles; PVD alone is one.
    let found = order(&bench, "BUS1");
    assert_eq!(tags(&bench, &found), ["PVD"]);
    assert_eq!(found.steps[0].poles.len(), 2);
}

#[test]
fn a_fuse_that_is_bolted_cuts_nothing_off() {
    let bench = circuit(
        &[("B1", BATTERY), ("F1", "Class T fuse, bolted, 225 A, 125 V DC"), ("BUS1", BUS), ("L1", LIGHTS)],
        &[("B1.out", "F1.line"), ("F1.load", "BUS1.tap1"), ("BUS1.tap2", "L1.in")],
    );
    for block in ["BUS1", "L1", "F1"] {
        let found = order(&bench, block);
        assert!(!found.is_complete() && found.steps.is_empty(), "{block}");
        assert_eq!(found.remains[0].block, bench.project.circuit.block_by_tag("B1").unwrap().id);
    }
}

#[test]
fn a_panel_behind_a_bypass_has_two_ways_in() {
    let bench = circuit(
        &[
            ("U1", "Utility service, split-phase, 200 A"),
            ("QM", "AC breaker, two-pole, 50 A, 240 V"),
            ("BP1", "Bypass switch, 60 A, 240 V"),
            ("INV1", "Inverter-charger, 8 kW, 48 V, split-phase, for utility and generator"),
            ("QO", "AC breaker, two-pole, 50 A, 240 V"),
            ("P2", "AC panel, split-phase, 125 A, without main"),
            ("B1", BATTERY),
            ("QI", "DC breaker, 225 A, 125 V"),
        ],
        &[
            ("U1.out", "QM.line"),
            ("QM.load", "BP1.source"),
            ("BP1.to_inverter", "INV1.in1"),
            ("INV1.out", "QO.line"),
            ("QO.load", "BP1.from_inverter"),
            ("BP1.load", "P2.feed"),
            ("INV1.dc", "QI.load"),
            ("QI.line", "B1.out"),
        ],
    );
    let panel = order(&bench, "P2");
    assert!(panel.is_complete());
    assert_eq!(tags(&bench, &panel), ["QM", "QO"]);
    let purposes: Vec<Purpose> = panel.steps.iter().map(|step| step.purpose).collect();
    assert_eq!(purposes, [Purpose::AcSources, Purpose::Converters]);
    // The inverter: its output leads to the panel only, which cannot feed it while QM is open.
    let inverter = order(&bench, "INV1");
    assert!(inverter.is_complete());
    assert_eq!(inverter.cuts().count(), 2);
    let id = |tag: &str| bench.project.circuit.block_by_tag(tag).unwrap().id;
    assert!(inverter.stays_live.contains(&Live::Capacitors(id("INV1"))));
    assert!(inverter.stays_live.contains(&Live::AcSource(id("U1"))));
}
