//! Three hand-worked systems. The rules' tests take them from here too.

use lineside_core::circuit::{Conductor, Stranding};
use lineside_core::kinds::Equipment;
use lineside_core::kinds::field::Value;
use lineside_core::project::RuleSet;
use lineside_core::testing::{Bench, copper};
use lineside_core::units::Meters;

/// A conductor of a size, so many feet one way.
#[expect(clippy::unnecessary_wraps, reason = "runs are joined with or without a conductor")]
pub fn feet(size: &str, length: f64) -> Option<Conductor> {
    Some(copper(size, Meters::from_feet(length)))
}

/// A fine-strand conductor in mm², so many meters one way.
#[expect(clippy::unnecessary_wraps, reason = "runs are joined with or without a conductor")]
pub fn meters(size: &str, length: f64) -> Option<Conductor> {
    Some(Conductor { stranding: Stranding::Fine, ..copper(&format!("{size} mm²"), Meters::new(length)) })
}

/// Stock with some of its numbers changed.
pub fn changed(bench: &Bench, name: &str, fields: &[(&str, f64)]) -> Equipment {
    let mut equipment = bench.stock(name);
    for (field, value) in fields {
        let whole = Value::Whole(format!("{value}").parse().unwrap_or(0));
        equipment.set(field, &Value::Number(*value)).or_else(|_| equipment.set(field, &whole)).unwrap();
    }
    equipment
}

/// The 48 V nickel-iron cabin: battery bus and AC.
pub fn system_a() -> Bench {
    let mut bench = Bench::new();
    let battery = changed(
        &bench,
        "Nickel-iron cell, 400 Ah",
        &[("empty_voltage", 1.0), ("lowest_voltage", 1.0), ("charge_voltage", 1.55)],
    );
    bench.put("B1", None, battery);
    let put = |bench: &mut Bench, tag: &str, name: &str| {
        let equipment = bench.stock(name);
        bench.put(tag, None, equipment);
    };
    put(&mut bench, "F1", "Class T fuse, bolted, 225 A, 125 V DC");
    put(&mut bench, "BUS1", "DC bus bar, covered, 400 A, 8 taps, 150 V");
    put(&mut bench, "QB", "DC breaker, 225 A, 125 V");
    put(&mut bench, "Q3", "DC breaker, 80 A, 125 V");
    put(&mut bench, "Q4", "DC breaker, 80 A, 125 V");
    put(&mut bench, "QI", "DC breaker, 150 A, 125 V");
    put(&mut bench, "Q5", "DC breaker, 20 A, 125 V");
    put(&mut bench, "C1", "Tracking controller, 150 V in, 60 A out");
    put(&mut bench, "C2", "Tracking controller, 150 V in, 60 A out");
    put(&mut bench, "INV1", "Inverter-charger, 4 kW, 48 V, 120 V");
    put(&mut bench, "L1", "DC lights, 48 V, 10 A");
    bench.join("W9", "B1.out", "F1.line", feet("4/0", 2.0));
    bench.join("W10", "F1.load", "QB.line", feet("4/0", 12.0));
    bench.join("W11", "C1.battery", "Q3.line", feet("4", 6.0));
    bench.join("W12", "C2.battery", "Q4.line", feet("4", 6.0));
    bench.join("W13", "QI.load", "INV1.dc", feet("1/0", 8.0));
    bench.join("W14", "Q5.load", "L1.in", feet("12", 10.0));
    for (tap, end) in ["QB.load", "Q3.load", "Q4.load", "QI.line", "Q5.line"].iter().enumerate() {
        bench.join(&format!("J{tap}"), end, &format!("BUS1.tap{}", tap + 1), None);
    }
    bench
}

/// The battery bus of the lithium home.
pub fn system_b() -> Bench {
    let mut bench = Bench::new();
    let put = |bench: &mut Bench, tag: &str, name: &str| {
        let equipment = bench.stock(name);
        bench.put(tag, None, equipment);
    };
    put(&mut bench, "BUS1", "DC bus bar, covered, 600 A, 12 taps, 600 V, braced for 50 kA");
    for n in 1..=3 {
        put(&mut bench, &format!("P{n}"), "Lithium iron phosphate wall pack, 51.2 V, 200 Ah");
        put(&mut bench, &format!("FB{n}"), "Fused switch with Class T fuse, 200 A, 125 V DC, 20 kA");
        bench.join(&format!("W{}", 10 + n), &format!("P{n}.out"), &format!("FB{n}.line"), feet("3/0", 3.0));
        bench.join(&format!("JB{n}"), &format!("FB{n}.load"), &format!("BUS1.tap{n}"), None);
    }
    for n in 1..=2 {
        put(&mut bench, &format!("C{n}"), "Tracking controller, 500 V in, 80 A out, with fault protection");
        put(&mut bench, &format!("Q{n}"), "DC breaker, 100 A, 125 V");
        bench.join(&format!("W{}", 4 + n), &format!("C{n}.battery"), &format!("Q{n}.line"), feet("3", 6.0));
        bench.join(&format!("JQ{n}"), &format!("Q{n}.load"), &format!("BUS1.tap{}", 3 + n), None);
    }
    put(&mut bench, "QI", "DC breaker, 250 A, 125 V");
    put(&mut bench, "INV1", "Inverter-charger, 8 kW, 48 V, split-phase, for utility and generator");
    bench.join("JI", "BUS1.tap6", "QI.line", None);
    bench.join("W7", "QI.load", "INV1.dc", feet("4/0", 5.0));
    bench
}

/// The battery bus of the lead-acid hut.
pub fn system_c() -> Bench {
    let mut bench = Bench::new();
    bench.project.rule_set = RuleSet::Iec;
    let battery = changed(
        &bench,
        "Flooded lead-acid battery, 6 V, 225 Ah",
        &[("units_in_series", 4.0), ("empty_voltage", 1.75)],
    );
    bench.put("B1", None, battery);
    let put = |bench: &mut Bench, tag: &str, name: &str| {
        let equipment = bench.stock(name);
        bench.put(tag, None, equipment);
    };
    put(&mut bench, "F1", "Strip fuse, 100 A, 32 V");
    put(&mut bench, "BUS1", "DC bus bar, covered, 150 A, 6 taps, 60 V");
    put(&mut bench, "Q1", "DC breaker, 50 A, 80 V");
    put(&mut bench, "Q2", "DC breaker, 80 A, 80 V");
    let controller = changed(&bench, "Tracking controller, 150 V in, 60 A out", &[("output_current", 40.0)]);
    bench.put("C1", None, controller);
    put(&mut bench, "INV1", "Inverter, 1.2 kW, 24 V to 230 V");
    put(&mut bench, "L1", "DC lights, 48 V, 10 A");
    bench.join("W4", "B1.out", "F1.line", meters("35", 0.3));
    bench.join("W5", "F1.load", "BUS1.tap1", meters("35", 1.5));
    bench.join("W6", "C1.battery", "Q1.line", meters("16", 1.5));
    bench.join("W7", "Q2.load", "INV1.dc", meters("25", 2.0));
    bench.join("W8", "BUS1.tap2", "L1.in", meters("4", 8.0));
    bench.join("J1", "Q1.load", "BUS1.tap3", None);
    bench.join("J2", "BUS1.tap4", "Q2.line", None);
    bench
}
