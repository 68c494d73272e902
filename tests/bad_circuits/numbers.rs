//! Numbers at the ends of what can be typed: no length, kilometers, hardly any and huge resistance, nameplates that
//! contradict themselves.

use crate::survey::{bench, changed, survey};
use lineside_core::kinds::field::{Shape, Value};
use lineside_core::testing::{Bench, copper};
use lineside_core::units::Meters;

const BATTERY: &str = "Nickel-iron cell, 400 Ah";
const LIGHTS: &str = "DC lights, 48 V, 10 A";

/// A bank and lights, so many meters of a size apart.
fn apart(size: &str, meters: f64) -> Bench {
    let mut bench = bench(&[("B1", BATTERY), ("L1", LIGHTS)]);
    bench.join("W1", "B1.out", "L1.in", Some(copper(size, Meters::new(meters))));
    bench
}

#[test]
fn no_length_and_next_to_none() {
    for meters in [0.0, 1e-12, 1e-6] {
        let found = survey(apart("4/0", meters));
        let amps = found.fault("L1.in");
        assert!((amps - 2551.25).abs() < 0.05, "{meters}: {amps}");
        assert!(found.flows[0].is_solved() && found.flows[0].unmet.is_empty(), "{meters}");
    }
}

#[test]
fn kilometers_of_thin_wire() {
    // 14 AWG, 3.14 Ω/kft at 75 °C, 2.582 at 20 °C; 5 km one way are 32,808 ft of wire, 84.7 Ω: 56 / 84.7 = 0.66 A.
    let found = survey(apart("14", 5000.0));
    let amps = found.fault("L1.in");
    assert!((amps - 0.661).abs() < 0.001, "{amps}");
    // The lights let go below the voltage on their nameplate.
    let [told] = &found.unmet(0)[..] else { panic!("{:?}", found.unmet(0)) };
    assert!(told.starts_with("it stops below 40.00 V, and would stand at "), "{told}");
    assert!(found.rules().contains("voltage-drop"), "{:?}", found.rules());
}

#[test]
fn a_ring_of_nothing_and_of_kilometers() {
    let mut bench = bench(&[
        ("B1", BATTERY),
        ("BUS1", "DC bus bar, covered, 400 A, 8 taps, 150 V"),
        ("BUS2", "DC bus bar, covered, 400 A, 8 taps, 150 V"),
        ("L1", LIGHTS),
    ]);
    bench.join("W0", "B1.out", "BUS1.tap1", Some(copper("4/0", Meters::new(1.0))));
    for (n, meters) in [0.0, 1e-9, 1.0, 5000.0].into_iter().enumerate() {
        let ends = [format!("BUS1.tap{}", n + 2), format!("BUS2.tap{}", n + 2)];
        bench.join(&format!("R{n}"), &ends[0], &ends[1], Some(copper("14", Meters::new(meters))));
    }
    bench.join("W9", "BUS2.tap8", "L1.in", None);
    let found = survey(bench);
    // The run of no length makes both bars one.
    assert!((found.fault("L1.in") - found.fault("BUS1.tap8")).abs() < 1e-6);
    assert!(found.flows[0].is_solved());
}

/// A quantity field's least or greatest value.
fn limit(kind: &str, field: &str, greatest: fn(f64, f64) -> f64) -> f64 {
    let equipment = Bench::new().stock(kind);
    let field = equipment.kind().fields().iter().find(|it| it.key == field).unwrap();
    let Shape::Quantity { low, high, .. } = field.shape else { panic!("{} is no quantity", field.key) };
    greatest(low, high)
}

#[test]
fn banks_of_hardly_any_and_of_huge_resistance() {
    for (pick, name) in [(f64::min as fn(f64, f64) -> f64, "least"), (f64::max, "greatest")] {
        let ohms = limit(BATTERY, "unit_resistance", pick);
        let mut bench = Bench::new();
        let wild = changed(&bench, BATTERY, &[("unit_resistance", Value::Number(ohms))]);
        bench.put("B1", None, wild);
        let lights = bench.stock(LIGHTS);
        bench.put("L1", None, lights);
        bench.join("W1", "B1.out", "L1.in", Some(copper("4", Meters::new(3.0))));
        let found = survey(bench);
        let amps = found.fault("L1.in");
        assert!(amps > 0.0, "{name}: {amps}");
        let flow = &found.flows[0];
        assert!(flow.is_solved() || !found.reasons(0).is_empty(), "{name}");
        if pick(0.0, 1.0) > 0.5 {
            // Nothing comes through: the lights are let go, and it is said.
            assert!(!found.unmet(0).is_empty(), "{name}: {:?}", flow.outcome);
        }
    }
}

#[test]
fn nameplates_that_contradict_themselves() {
    let mut bench = Bench::new();
    let number = Value::Number;
    // A battery that is empty above where it is full, is charged below, and gives more at a short than it has.
    let battery = changed(
        &bench,
        BATTERY,
        &[
            ("empty_voltage", number(2.0)),
            ("full_rest_voltage", number(1.2)),
            ("charge_voltage", number(1.0)),
            ("short_circuit_current", number(1.0)),
            ("unit_resistance", number(0.000_01)),
        ],
    );
    bench.put("B1", None, battery);
    // A controller that tracks from above where it ends, and is destroyed below both.
    let controller = changed(
        &bench,
        "Tracking controller, 150 V in, 60 A out",
        &[
            ("tracking_low", number(140.0)),
            ("tracking_high", number(60.0)),
            ("max_input_voltage", number(50.0)),
        ],
    );
    bench.put("C1", None, controller);
    // Modules that work above their open-circuit voltage and beyond their short-circuit current.
    let strings = changed(
        &bench,
        "Module string, 400 W modules",
        &[("max_power_voltage", number(60.0)), ("max_power_current", number(30.0))],
    );
    bench.put("S1", None, strings);
    // An inverter that stops below where it starts to be destroyed.
    let inverter = changed(
        &bench,
        "Inverter-charger, 4 kW, 48 V, 120 V",
        &[("low_cut_out", number(70.0)), ("highest_input_voltage", number(40.0))],
    );
    bench.put("INV1", None, inverter);
    bench.put("P1", None, bench.stock("AC panel, 120 V, 60 A, without main"));
    bench.put("BUS1", None, bench.stock("DC bus bar, covered, 400 A, 8 taps, 150 V"));
    for (n, (from, to)) in [
        ("S1.out", "C1.pv"),
        ("C1.battery", "BUS1.tap1"),
        ("B1.out", "BUS1.tap2"),
        ("BUS1.tap3", "INV1.dc"),
        ("INV1.out", "P1.feed"),
    ]
    .into_iter()
    .enumerate()
    {
        bench.join(&format!("W{n}"), from, to, Some(copper("4", Meters::new(3.0))));
    }
    let found = survey(bench);
    assert!(found.rules().contains("string-cold-voltage"), "{:?}", found.rules());
    let findings = found.checked.report.findings.iter();
    let contradictions = findings.filter(|it| it.rule == "nameplate-contradiction");
    let titles: Vec<&str> = contradictions.map(|it| it.title.as_str()).collect();
    for tag in ["B1", "C1", "S1", "INV1"] {
        let title = format!("The nameplate of {tag} contradicts itself");
        assert!(titles.contains(&title.as_str()), "{tag}: {titles:?}");
    }
    for flow in &found.flows {
        let inverter = flow.inverter(found.project.circuit.block_by_tag("INV1").unwrap().id).unwrap();
        assert_eq!(inverter.doing.label(), "is off: battery low");
    }
}
