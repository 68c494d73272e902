//! The smallest fault: through which device, against what it needs.

use super::by_hand::{changed, feet, system_a, system_b, system_c};
use super::support::{Studied, array_a, printed};
use lineside_core::circuit::Side;
use lineside_study::{Assumption, SmallestFault};

fn at(studied: &Studied, run: &str, side: Side) -> Option<SmallestFault> {
    let run = studied.project.circuit.run_by_tag(run).unwrap().id;
    studied.studies.smallest_faults.at(run, side).copied()
}

fn check(studied: &Studied, run: &str, side: Side, device: &str, current: f64, needed: f64) {
    let found = at(studied, run, side).unwrap();
    let pole = studied.studies.network.poles().get(found.device).unwrap();
    let tag = &studied.project.circuit.block(pole.block).unwrap().tag;
    assert_eq!(tag, device, "{run}: {found:?}");
    printed(found.current.value(), current, run);
    printed(found.needed.value(), needed, run);
}

#[test]
fn worked_by_hand() {
    let mut bench = system_a();
    array_a(&mut bench);
    let cabin = Studied::new(bench.project);
    // 40.00 / (1.5 × 0.02195 + 0.0017024 + 0.0396) = 538.88 against 5 × 20
    check(&cabin, "W14", Side::To, "Q5", 538.88, 100.0);
    // 40.00 / (1.5 × 0.02195 + 0.000243 + 0.001459) = 1155.15 against 5 × 225
    check(&cabin, "W10", Side::To, "F1", 1155.15, 1125.0);
    // No device stands between the battery and its own lead, nor any battery behind an array.
    assert_eq!(at(&cabin, "W9", Side::From), None);
    assert_eq!(at(&cabin, "W9", Side::To), None);
    assert_eq!(at(&cabin, "W7", Side::To), None);
    assert_eq!(cabin.studies.smallest_faults.all().count(), 10);

    let home = Studied::new(system_b().project);
    // From P1 alone 48 / (1.5 × 0.0078 + 0.00046) = 3947.5 through the fuse inside it; the other packs come
    // through more than one device.
    check(&home, "W11", Side::To, "P1", 3947.50, 1000.0);
    assert_eq!(home.studies.smallest_faults.all().count(), 12);

    let hut = Studied::new(system_c().project);
    // 21.00 / (1.5 × 0.0083 + 0.0003977 + 0.0019885 + 0.0947628) = 191.61 against 5 × 100
    check(&hut, "W8", Side::To, "F1", 191.61, 500.0);
    // 21 / (0.01245 + 0.0003978 + 0.0019885 + 0.0037333) = 1130.89 against 5 × 80
    check(&hut, "W7", Side::To, "Q2", 1130.89, 400.0);
    assert_eq!(hut.studies.smallest_faults.all().count(), 8);
}

#[test]
fn a_curve_on_the_nameplate_counts_before_the_factor() {
    let mut bench = system_a();
    let breaker = changed(&bench, "DC breaker, 20 A, 125 V", &[("five_second_current", 60.0)]);
    bench.put("Q6", None, breaker);
    let lights = bench.stock("DC lights, 48 V, 10 A");
    bench.put("L2", None, lights);
    bench.join("J8", "BUS1.tap6", "Q6.line", None);
    bench.join("W20", "Q6.load", "L2.in", feet("12", 200.0));
    let cabin = Studied::new(bench.project);
    // 40.00 / (1.5 × 0.02195 + 0.0017024 + 0.792) = 48.39, against the curve's 60 instead of 5 × 20; QB and F1
    // see 48.39 of 1125.
    check(&cabin, "W20", Side::To, "Q6", 48.39, 60.0);
}

#[test]
fn an_unknown_resistance_is_told() {
    let mut bench = system_a();
    let mut battery = bench.stock("Flooded lead-acid battery, 12 V, 105 Ah");
    battery.set("unit_resistance", &lineside_core::kinds::field::Value::Absent).unwrap();
    bench.put("B2", None, battery);
    let fuse = bench.stock("Strip fuse, 100 A, 58 V");
    bench.put("F2", None, fuse);
    bench.join("W21", "B2.out", "F2.line", feet("2", 2.0));
    bench.join("W22", "F2.load", "BUS1.tap7", feet("2", 4.0));
    let cabin = Studied::new(bench.project);
    let found = at(&cabin, "W22", Side::To).unwrap();
    assert!(!found.assumed.has(Assumption::RunResistance));
    // Lead: 20 × 105 = 2100 A at its own terminals, said to be an estimate.
    let battery = cabin.at("B2.out");
    assert!(battery.assumed().has(Assumption::BatteryResistance));
}
