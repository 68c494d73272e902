//! Crowds: hundreds of banks and hundreds of strings on one circuit.

use crate::survey::{bench, changed, survey};
use lineside_core::kinds::field::{Shape, Value};
use lineside_core::testing::{Bench, copper};
use lineside_core::units::Meters;

const BUS: &str = "DC bus bar, covered, 400 A, 8 taps, 150 V";
const BATTERY: &str = "Nickel-iron cell, 400 Ah";

/// A row of bars, six of so many equal things on each, joined from bar to bar.
fn on_bars(bench: &mut Bench, things: u32, stock: &str, terminal: &str) {
    let equipment = bench.stock(stock);
    for bar in 0..things.div_ceil(6) {
        let bus = bench.stock(BUS);
        bench.put(&format!("BUS{bar}"), None, bus);
        if let Some(before) = bar.checked_sub(1) {
            bench.join(&format!("J{bar}"), &format!("BUS{before}.tap8"), &format!("BUS{bar}.tap7"), None);
        }
    }
    for thing in 0..things {
        let (bar, tap) = (thing / 6, thing % 6 + 1);
        bench.put(&format!("X{thing}"), None, equipment.clone());
        let conductor = copper("4/0", Meters::new(1.0));
        let (from, to) = (format!("X{thing}.{terminal}"), format!("BUS{bar}.tap{tap}"));
        bench.join(&format!("W{thing}"), &from, &to, Some(conductor));
    }
}

#[test]
fn three_hundred_banks_side_by_side() {
    let mut bench = Bench::new();
    on_bars(&mut bench, 300, BATTERY, "out");
    let lights = bench.stock("DC lights, 48 V, 10 A");
    bench.put("L1", None, lights);
    bench.join("WL", "BUS0.tap7", "L1.in", None);
    let found = survey(bench);
    // Each 56 V behind 21.95 mΩ and 1 m of 4/0, 3.2808 ft × 2 × 0.0608 Ω/kft × (1 − 0.00323 × 55) = 0.32808 mΩ:
    // 2513.68 A, three hundred times.
    let amps = found.fault("BUS20.tap1");
    assert!((amps - 300.0 * 2513.68).abs() < 5.0, "{amps}");
    assert!(found.flows[0].is_solved() && found.flows[0].unmet.is_empty());
}

#[test]
fn two_hundred_strings_side_by_side() {
    let mut bench = Bench::new();
    on_bars(&mut bench, 200, "Module string, 400 W modules", "out");
    for (tag, name) in [("C1", "Tracking controller, 150 V in, 60 A out"), ("B1", BATTERY)] {
        let equipment = bench.stock(name);
        bench.put(tag, None, equipment);
    }
    bench.join("WC", "BUS33.tap8", "C1.pv", None);
    bench.join("WB", "C1.battery", "B1.out", Some(copper("4", Meters::new(2.0))));
    let found = survey(bench);
    // 200 × 1.25 × 13.60 A.
    let amps = found.fault("C1.pv");
    assert!((amps - 3400.0).abs() < 0.01, "{amps}");
    assert!(found.rules().contains("controller-input-short-circuit"), "{:?}", found.rules());
    assert!(found.flows[0].is_solved(), "{:?}", found.reasons(0));
}

#[test]
fn a_bank_and_a_set_of_strings_of_as_many_as_the_fields_allow() {
    let mut bench = bench(&[("C1", "Tracking controller, 150 V in, 60 A out")]);
    let most = |bench: &Bench, stock: &str, field: &str| {
        let fields = bench.stock(stock).kind().fields();
        let shape = fields.iter().find(|it| it.key == field).unwrap().shape;
        let Shape::Whole { high, .. } = shape else { panic!("{field} is {shape:?}") };
        Value::Whole(high)
    };
    for (tag, stock) in [("S1", "Module string, 400 W modules"), ("B1", BATTERY)] {
        let many = [("strings_in_parallel", most(&bench, stock, "strings_in_parallel"))];
        let equipment = changed(&bench, stock, &many);
        bench.put(tag, None, equipment);
    }
    bench.join("W1", "S1.out", "C1.pv", None);
    bench.join("W2", "C1.battery", "B1.out", Some(copper("4", Meters::new(2.0))));
    let found = survey(bench);
    assert!(found.flows[0].is_solved(), "{:?}", found.reasons(0));
    assert!(found.fault("B1.out") > 2551.0);
}

#[test]
fn a_bundle_of_runs_between_two_bars() {
    let mut bench = bench(&[("B1", BATTERY), ("BUS1", BUS), ("BUS2", BUS), ("L1", "DC lights, 48 V, 10 A")]);
    bench.join("W0", "B1.out", "BUS1.tap1", None);
    for n in 0..200 {
        bench.join(&format!("R{n}"), "BUS1.tap2", "BUS2.tap2", Some(copper("4", Meters::new(10.0))));
    }
    bench.join("W9", "BUS2.tap8", "L1.in", None);
    let found = survey(bench);
    // 4 AWG, 0.308 Ω/kft × (1 − 0.00323 × 55) × 65.617 ft = 16.620 mΩ; two hundred of them 0.0831 mΩ:
    // 56 / 22.033 mΩ = 2541.6 A.
    let amps = found.fault("L1.in");
    assert!((amps - 2541.6).abs() < 0.2, "{amps}");
}
