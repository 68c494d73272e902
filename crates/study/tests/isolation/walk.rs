//! The walk over the whole network: which blocks that are ever opened cannot be made dead.

use crate::orders::circuit;
use lineside_codes::Codes;
use lineside_core::testing::Bench;
use lineside_study::{Conditions, all};

/// Tags of the blocks that stay live, each with the tag of its source.
fn live(bench: &Bench) -> Vec<(String, String)> {
    let codes = Codes::load().unwrap();
    let studies = all(&Conditions::new(&bench.project, &codes));
    let tag = |block| bench.project.circuit.block(block).unwrap().tag.clone();
    let reached = studies.isolation.all().filter_map(|(block, reached)| Some((block, reached?)));
    reached.map(|(block, source)| (tag(block), tag(source.block))).collect()
}

fn pair(a: &str, b: &str) -> (String, String) {
    (a.to_owned(), b.to_owned())
}

const HUT: [(&str, &str); 8] = [
    ("B1", "Flooded lead-acid battery, 6 V, 225 Ah"),
    ("F1", "Strip fuse, 100 A, 32 V"),
    ("BUS1", "DC bus bar, covered, 150 A, 6 taps, 60 V"),
    ("Q1", "DC breaker, 50 A, 80 V"),
    ("C1", "Tracking controller, 150 V in, 60 A out"),
    ("L1", "DC lights, 48 V, 10 A"),
    ("SW1", "DC switch, 32 A, 1000 V"),
    ("S1", "Module string, 400 W modules"),
];

#[test]
fn a_bus_and_loads_behind_a_bolted_fuse_stay_live() {
    let bench = circuit(
        &HUT,
        &[
            ("B1.out", "F1.line"),
            ("F1.load", "BUS1.tap1"),
            ("BUS1.tap2", "L1.in"),
            ("BUS1.tap3", "Q1.load"),
            ("Q1.line", "C1.battery"),
            ("C1.pv", "SW1.load"),
            ("SW1.line", "S1.out"),
        ],
    );
    // The fuse is the first device at the battery; the controller has SW1 and Q1.
    assert_eq!(live(&bench), [pair("BUS1", "B1"), pair("L1", "B1")]);
}

#[test]
fn energy_crosses_a_converter_forward_only() {
    // Without Q1 the controller's battery side is the bus; its array side stays behind SW1.
    let joints =
        [("BUS1.tap2", "L1.in"), ("BUS1.tap3", "C1.battery"), ("C1.pv", "SW1.load"), ("SW1.line", "S1.out")];
    assert_eq!(live(&circuit(&HUT, &joints)), []);
    // The switch bridged: strings with connectors of 17 A are an isolating device, fixed leads are none.
    let joints = [("BUS1.tap2", "L1.in"), ("BUS1.tap3", "C1.battery"), ("C1.pv", "S1.out")];
    let mut bench = circuit(&HUT, &joints);
    assert_eq!(live(&bench), []);
    let mut strings = bench.stock("Module string, 400 W modules");
    let leads = lineside_core::kinds::field::Value::Choice("leads");
    strings.set("ends", &leads).unwrap();
    bench.put("S2", None, strings);
    bench.join("W9", "S2.out", "C1.pv", None);
    assert_eq!(live(&bench), [pair("BUS1", "S2"), pair("C1", "S2"), pair("L1", "S2")]);
}

#[test]
fn an_ac_breaker_on_dc_cuts_nothing_off() {
    let mut blocks = HUT.to_vec();
    blocks.push(("QA", "AC breaker, two-pole, 50 A, 240 V"));
    let bench = circuit(&blocks, &[("B1.out", "QA.line"), ("QA.load", "BUS1.tap1")]);
    assert_eq!(live(&bench), [pair("BUS1", "B1")]);
}

#[test]
fn a_panel_with_a_main_breaker_is_dead_behind_it() {
    let utility = ("U1", "Utility service, split-phase, 200 A");
    for (panel, stays_live) in [
        ("Service panel, split-phase, 200 A, with main", false),
        ("AC panel, split-phase, 125 A, without main", true),
    ] {
        let bench = circuit(&[utility, ("P1", panel)], &[("U1.out", "P1.feed")]);
        assert_eq!(!live(&bench).is_empty(), stays_live, "{panel}");
    }
}
