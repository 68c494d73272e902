//! Which sources some position joins.

use crate::support::{BREAKER, BYPASS, GENERATOR, INVERTER, PANEL, SERVICE, Sheet, UTILITY};
use lineside_core::kinds::field::Value;
use lineside_study::JoinedBy;

#[test]
fn two_breakers_side_by_side_join_inverter_and_utility() {
    let sheet = Sheet::new(
        &[("U1", UTILITY), ("K2", BREAKER), ("INV1", INVERTER), ("K1", BREAKER), ("P1", PANEL)],
        &[("U1.out", "K2.line"), ("K2.load", "P1.tap1"), ("INV1.out", "K1.line"), ("K1.load", "P1.tap2")],
    );
    assert_eq!(sheet.joined(), ["U1+INV1 by K2,K1"]);
}

#[test]
fn a_listed_interlock_between_the_breakers_keeps_them_apart() {
    let kit = ("interlock", Value::Text("panel kit".to_owned()));
    for (other_kit, joined) in [("panel kit", 0), ("another kit", 1)] {
        let mut sheet = Sheet::new(&[("U1", UTILITY), ("INV1", INVERTER), ("P1", PANEL)], &[]);
        sheet.put("K1", BREAKER, std::slice::from_ref(&kit));
        sheet.put("K2", BREAKER, &[("interlock", Value::Text(other_kit.to_owned()))]);
        for (from, to) in
            [("U1.out", "K2.line"), ("K2.load", "P1.tap1"), ("INV1.out", "K1.line"), ("K1.load", "P1.tap2")]
        {
            sheet.join(from, to);
        }
        assert_eq!(sheet.joined().len(), joined, "{other_kit}");
    }
}

#[test]
fn a_bypass_switch_never_joins_them() {
    let blocks = [
        ("U1", UTILITY),
        ("P1", SERVICE),
        ("QM", BREAKER),
        ("INV1", INVERTER),
        ("QO", BREAKER),
        ("P2", PANEL),
        ("G1", GENERATOR),
        ("QG", BREAKER),
    ];
    let joints = [
        ("U1.out", "P1.feed"),
        ("P1.tap1", "QM.line"),
        ("QM.load", "BP1.source"),
        ("BP1.to_inverter", "INV1.in1"),
        ("INV1.out", "QO.line"),
        ("QO.load", "BP1.from_inverter"),
        ("BP1.load", "P2.feed"),
        ("G1.out", "QG.line"),
        ("QG.load", "INV1.in2"),
    ];
    let mut sheet = Sheet::new(&blocks, &[]);
    sheet.put("BP1", BYPASS, &[]);
    sheet.join_all(&joints);
    // Utility and generator come to inputs whose relays exclude each other.
    assert_eq!(sheet.joined(), Vec::<String>::new());

    // The same without the mechanical interlock: bypass and inverter output together, on the utility's side.
    let mut sheet = Sheet::new(&blocks, &[]);
    sheet.put("BP1", BYPASS, &[("interlock", Value::Choice("none"))]);
    sheet.join_all(&joints);
    let joined = sheet.joined();
    assert!(joined.iter().any(|pair| pair.starts_with("U1+INV1 by")), "{joined:?}");
    assert!(
        joined.iter().any(|pair| pair.starts_with("U1+G1 by")),
        "through the bypass and the second relay"
    );
}

#[test]
fn a_generator_on_the_panel_that_the_inverter_feeds() {
    let sheet = Sheet::new(
        &[("INV1", INVERTER), ("P1", PANEL), ("G1", GENERATOR), ("QG", BREAKER)],
        &[("INV1.out", "P1.feed"), ("G1.out", "QG.line"), ("QG.load", "P1.tap1")],
    );
    assert_eq!(sheet.joined(), ["INV1+G1 by QG,G1"]);
    // Into its input it belongs: there the inverter brings itself in step.
    let sheet = Sheet::new(
        &[("INV1", INVERTER), ("P1", PANEL), ("G1", GENERATOR)],
        &[("INV1.out", "P1.feed"), ("G1.out", "INV1.in1")],
    );
    assert_eq!(sheet.joined(), Vec::<String>::new());
}

#[test]
fn inverters_side_by_side_as_many_as_they_are_made_for() {
    let joints = [
        ("INV1.out", "P1.tap1"),
        ("INV2.out", "P1.tap2"),
        ("U1.out", "P2.feed"),
        ("P2.tap1", "INV1.in1"),
        ("P2.tap2", "INV2.in1"),
    ];
    for (units, joined) in [(Value::Whole(2), 0), (Value::Whole(1), 1), (Value::Absent, 1)] {
        let mut sheet = Sheet::new(&[("U1", UTILITY), ("P1", PANEL), ("P2", PANEL)], &[]);
        for tag in ["INV1", "INV2"] {
            sheet.put(tag, INVERTER, &[("parallel_units", units.clone())]);
        }
        sheet.join_all(&joints);
        assert_eq!(sheet.joined().len(), joined, "{units:?}: {:?}", sheet.joined());
    }
}

#[test]
fn an_interactive_inverter_meets_a_utility_but_no_generator() {
    let inverter = "Inverter, 3 kW, 48 V to 230 V";
    let interactive = [("utility_listed", Value::Choice("yes"))];
    for (source, joined) in [(UTILITY, 0), (GENERATOR, 1)] {
        let mut sheet = Sheet::new(&[("A1", source), ("P1", PANEL)], &[("A1.out", "P1.feed")]);
        sheet.put("INV1", inverter, &interactive);
        sheet.join("INV1.out", "P1.tap1");
        assert_eq!(sheet.joined().len(), joined, "{source}");
    }
}

#[test]
fn too_many_interlocks_are_said_to_be_left_out() {
    // Thirteen bypass switches between utility and generator: 2^13 positions.
    let mut sheet = Sheet::new(&[("U1", UTILITY), ("G1", GENERATOR)], &[]);
    let mut before = "U1.out".to_owned();
    for n in 0..13 {
        sheet.put(&format!("T{n}"), BYPASS, &[]);
        sheet.join(&before, &format!("T{n}.source"));
        before = format!("T{n}.load");
    }
    sheet.join(&before, "G1.out");
    let studied = sheet.studied();
    let joined: Vec<_> = studied.joined().collect();
    assert_eq!(joined.len(), 1);
    assert_eq!(joined[0].by, JoinedBy::Assumption);
}
