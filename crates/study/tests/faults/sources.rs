//! What each sort of source pushes into a fault.

use super::by_hand::{changed, feet};
use super::support::{Studied, printed};
use lineside_core::circuit::Side;
use lineside_core::kinds::field::Value;
use lineside_core::project::RuleSet;
use lineside_core::testing::Bench;
use lineside_study::{Assumption, FaultSource, PoleSide};

/// One block alone on the sheet.
fn alone(bench: Bench, end: &str) -> (f64, Vec<Assumption>) {
    let studied = Studied::new(bench.project);
    let found = studied.at(end);
    (found.total().value(), found.assumed().all().collect())
}

#[test]
fn batteries_by_resistance_by_measured_current_and_by_estimate() {
    // Four cells of 3.5 V and 0.75 mΩ with three jumpers of 0.25 mΩ: 14.0 / 3.75 mΩ = 3733 A
    let mut bench = Bench::new();
    let cells = changed(
        &bench,
        "Nickel-iron cell, 400 Ah",
        &[
            ("full_rest_voltage", 3.5),
            ("charge_voltage", 3.6),
            ("equalize_voltage", 3.65),
            ("unit_resistance", 0.00075),
            ("link_resistance", 0.00025),
            ("units_in_series", 4.0),
        ],
    );
    bench.put("B1", None, cells);
    let (amps, assumed) = alone(bench, "B1.out");
    printed(amps, 3733.33, "four cells");
    assert!(assumed.is_empty());

    // Four batteries of 12 V and 100 Ah side by side, 1.5 kA each by their maker: 6 kA
    let mut bench = Bench::new();
    let mut bank = changed(
        &bench,
        "Sealed glass-mat battery, 12 V, 100 Ah",
        &[("units_in_series", 1.0), ("strings_in_parallel", 4.0), ("short_circuit_current", 1500.0)],
    );
    bank.set("unit_resistance", &Value::Absent).unwrap();
    bench.put("B1", None, bank);
    let (amps, assumed) = alone(bench, "B1.out");
    printed(amps, 6000.0, "four batteries");
    assert!(assumed.is_empty());

    // Nothing known: lead 20 × 100 Ah = 2000 A, said to be an estimate
    let mut bench = Bench::new();
    let mut bank = changed(&bench, "Sealed glass-mat battery, 12 V, 100 Ah", &[("units_in_series", 1.0)]);
    bank.set("unit_resistance", &Value::Absent).unwrap();
    bench.put("B1", None, bank);
    let (amps, assumed) = alone(bench, "B1.out");
    printed(amps, 2000.0, "estimate");
    assert_eq!(assumed, [Assumption::BatteryResistance]);

    // Where both are given the greater current counts: 6 × 2.15 V / 4 mΩ = 3225 A against 1500 A
    let mut bench = Bench::new();
    let bank = changed(
        &bench,
        "Sealed glass-mat battery, 12 V, 100 Ah",
        &[("units_in_series", 1.0), ("short_circuit_current", 1500.0)],
    );
    bench.put("B1", None, bank);
    printed(alone(bench, "B1.out").0, 3225.0, "both given");
}

#[test]
fn the_iec_takes_nine_tenths_of_a_resistance_but_a_measured_current_as_it_is() {
    // 25.44 / (0.9 × 0.0083) = 3405.62
    let mut bench = Bench::new();
    bench.project.rule_set = RuleSet::Iec;
    let bank = changed(&bench, "Flooded lead-acid battery, 6 V, 225 Ah", &[("units_in_series", 4.0)]);
    bench.put("B1", None, bank);
    printed(alone(bench, "B1.out").0, 3405.62, "hut");

    let mut bench = Bench::new();
    bench.project.rule_set = RuleSet::Iec;
    let mut bank = changed(
        &bench,
        "Flooded lead-acid battery, 6 V, 225 Ah",
        &[("units_in_series", 4.0), ("short_circuit_current", 3000.0)],
    );
    bank.set("unit_resistance", &Value::Absent).unwrap();
    bench.put("B1", None, bank);
    printed(alone(bench, "B1.out").0, 3000.0, "measured");
}

#[test]
fn ac_sources_given_and_assumed() {
    let mut bench = Bench::new();
    let utility = bench.stock("Utility service, split-phase, 200 A");
    bench.put("U1", None, utility);
    printed(alone(bench, "U1.out").0, 10_000.0, "utility");

    let mut bench = Bench::new();
    let mut utility = bench.stock("Utility service, split-phase, 200 A");
    utility.set("fault_current", &Value::Absent).unwrap();
    bench.put("U1", None, utility);
    let (amps, assumed) = alone(bench, "U1.out");
    printed(amps, 10_000.0, "utility unknown");
    assert_eq!(assumed, [Assumption::UtilityFault]);

    // 14 kW at 240 V: 58.33 A / 0.12 = 486.11 A
    let mut bench = Bench::new();
    let mut generator = bench.stock("Generator, 14 kW, split-phase, propane");
    generator.set("subtransient_reactance", &Value::Absent).unwrap();
    bench.put("G1", None, generator);
    let (amps, assumed) = alone(bench, "G1.out");
    printed(amps, 486.11, "generator");
    assert_eq!(assumed, [Assumption::GeneratorReactance]);

    // 8 kVA at 240 V: 2 × 33.33 = 66.67 A where nothing is listed
    let mut bench = Bench::new();
    let mut inverter = bench.stock("Inverter-charger, 8 kW, 48 V, split-phase, for utility and generator");
    inverter.set("output_fault_current", &Value::Absent).unwrap();
    bench.put("INV1", None, inverter);
    let (amps, assumed) = alone(bench, "INV1.out");
    printed(amps, 66.67, "inverter");
    assert_eq!(assumed, [Assumption::InverterFault]);
}

/// A utility with its service panel, a breaker, a run and a second panel.
fn service(length: f64) -> Studied {
    let mut bench = Bench::new();
    for (tag, name) in [
        ("U1", "Utility service, split-phase, 200 A"),
        ("P1", "Service panel, split-phase, 200 A, with main"),
        ("QM", "AC breaker, two-pole, 50 A, 240 V"),
        ("P2", "AC panel, split-phase, 125 A, without main"),
    ] {
        let equipment = bench.stock(name);
        bench.put(tag, None, equipment);
    }
    bench.join("J1", "U1.out", "P1.feed", None);
    bench.join("J2", "P1.tap1", "QM.line", None);
    bench.join("W1", "QM.load", "P2.feed", feet("6", length));
    Studied::new(bench.project)
}

#[test]
fn conductors_weaken_a_utility() {
    // 240 V / 10 kA = 24 mΩ of reactance. 6 AWG of 0.491 Ω/kft at 75 °C, 0.4038 at 20: 40 ft there and back
    // 32.30 mΩ; sqrt(24² + 32.30²) = 40.24 mΩ, 5963.9 A
    let studied = service(40.0);
    let far = studied.at("P2.feed").total().value();
    assert!((far - 5963.9).abs() < 1.0, "{far}");
    printed(studied.duty("QM", 0), 10_000.0, "QM");
    printed(studied.run_side("W1", Side::To).total().value(), 0.0, "nothing from the far panel");
}

#[test]
fn an_inverter_passes_its_input_through() {
    let mut bench = Bench::new();
    for (tag, name) in [
        ("U1", "Utility service, split-phase, 200 A"),
        ("QM", "AC breaker, two-pole, 50 A, 240 V"),
        ("INV1", "Inverter-charger, 8 kW, 48 V, split-phase, for utility and generator"),
        ("QO", "AC breaker, two-pole, 50 A, 240 V"),
        ("G1", "Generator, 14 kW, split-phase, propane"),
    ] {
        let equipment = bench.stock(name);
        bench.put(tag, None, equipment);
    }
    bench.join("J1", "U1.out", "QM.line", None);
    bench.join("J2", "QM.load", "INV1.in1", None);
    bench.join("J3", "INV1.out", "QO.line", None);
    bench.join("J4", "G1.out", "INV1.in2", None);
    let studied = Studied::new(bench.project);
    // Through the relay of the first input 10 kA, beside them the inverter's own 66.7 A.
    let through = studied.through("QO", 0, PoleSide::Line);
    printed(through.from(FaultSource::Utility).value(), 10_000.0, "utility");
    printed(through.from(FaultSource::InverterOutput).value(), 66.7, "inverter");
    printed(through.from(FaultSource::Generator).value(), 0.0, "the relays exclude each other");
    // The generator through the relay of the second input: 486.11 + 66.7
    printed(studied.at("INV1.in2").total().value(), 486.11 + 66.7, "second input");
}
