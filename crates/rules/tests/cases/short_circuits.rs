//! Rules on short circuits: what devices break, bars and conductors stand, and what still opens them.

use crate::support::{Case, copper};
use crate::systems::{changed, feet, system_a, system_b, system_c};
use lineside_core::circuit::Conductor;
use lineside_core::kinds::battery_bank::BatteryBank;
use lineside_core::kinds::breaker::Breaker;
use lineside_core::kinds::bus_bar::BusBar;
use lineside_core::kinds::common::TripClass;
use lineside_core::kinds::field::Value;
use lineside_core::kinds::fuse::Fuse;
use lineside_core::kinds::switch::Switch;
use lineside_core::project::RuleSet;
use lineside_core::testing::Bench;
use lineside_core::units::{Amps, Meters, Seconds};

const INTERRUPT: &str = "interrupt-rating";
const ASSEMBLY: &str = "assembly-short-circuit-rating";
const HEATING: &str = "conductor-short-circuit-heating";
const CLEARS: &str = "fault-clears";
const DISTANCE: &str = "battery-fuse-distance";

fn cabin() -> Case {
    Case::of(system_a().project)
}
fn home() -> Case {
    Case::of(system_b().project)
}
fn hut() -> Case {
    Case::of(system_c().project)
}

#[test]
fn devices_break_what_comes_through_them() {
    // 56.00 / (0.02195 + 0.00140) + 170 = 2568.29 A against 10 kA
    assert!(cabin().says(INTERRUPT).is_empty() && cabin().passes(INTERRUPT, "2568.29", "10000.00"));
    // 54.40 / (0.0078 + 0.00037795) × 3 + 180 = 20136.10 A against 10 kA
    assert_eq!(
        home().says(INTERRUPT),
        [
            "danger Q1: 20136.10, not 10000.00",
            "danger Q2: 20136.10, not 10000.00",
            "danger QI: 20116.10, not 10000.00",
        ]
    );
    assert_eq!(home().clause(INTERRUPT), "NEC 2023 110.9, 706.31");
    // 25.44 / (0.9 × 0.0083 + 0.0003324) = 3260.54 A against 2000 A, by the IEC
    assert_eq!(hut().says(INTERRUPT), ["danger F1: 3260.54, not 2000.00"]);
    assert_eq!(hut().clause(INTERRUPT), "IEC 60364-4-43 cl. 434.5.1, IEC 61660-1");
}

#[test]
fn a_device_that_cannot_break_it_is_exchanged() {
    let mended = home().mended(INTERRUPT);
    assert!(mended.contains(&"Q1 as Molded-case DC breaker, 100 A, 125 V, 25 kA".to_owned()), "{mended:?}");
    assert!(mended.iter().any(|it| it.contains("Class T fuse, 100 A")), "{mended:?}");
    // No strip fuse breaks 3.3 kA at the hut, and no other fuse of 100 A stands bolted at 32 V or more.
    let mended = hut().mended(INTERRUPT);
    assert!(mended.iter().all(|it| it.starts_with("F1 as ")), "{mended:?}");
}

/// Four batteries of 12 V and 100 Ah, 1.5 kA each, behind one fuse.
fn four_batteries(interrupts: f64, measured: &Value) -> Case {
    let mut bench = Bench::new();
    let mut bank = changed(
        &bench,
        "Sealed glass-mat battery, 12 V, 100 Ah",
        &[("units_in_series", 1.0), ("strings_in_parallel", 4.0)],
    );
    bank.set("unit_resistance", &Value::Absent).unwrap();
    bank.set("short_circuit_current", measured).unwrap();
    bench.put("B1", None, bank);
    let fuse = changed(&bench, "Strip fuse, 100 A, 32 V", &[("interrupting_dc", interrupts)]);
    bench.put("F1", None, fuse);
    bench.join("W1", "B1.out", "F1.line", None);
    Case::of(bench.project)
}

#[test]
fn equality_passes_and_an_estimate_never_decides() {
    let given = Value::Number(1500.0);
    assert_eq!(four_batteries(2000.0, &given).says(INTERRUPT), ["danger F1: 6000.00, not 2000.00"]);
    assert!(four_batteries(20_000.0, &given).says(INTERRUPT).is_empty());
    let exact = four_batteries(6000.0, &given);
    assert!(exact.says(INTERRUPT).is_empty() && exact.passes(INTERRUPT, "6000.00", "6000.00"));
    assert_eq!(four_batteries(5999.0, &given).says(INTERRUPT).len(), 1);
    // Nothing known: 4 × 20 × 100 = 8000 A by estimate
    let unknown = four_batteries(2000.0, &Value::Absent);
    assert!(unknown.says(INTERRUPT).is_empty());
    assert_eq!(unknown.asks(INTERRUPT), ["Resistance of a unit"]);
    let enough = four_batteries(20_000.0, &Value::Absent);
    assert!(enough.asks(INTERRUPT).is_empty() && enough.passes(INTERRUPT, "8000.00", "20000.00"));
}

#[test]
fn marks_that_are_missing() {
    let unmarked = cabin().with::<Breaker>("Q5", |it| it.interrupting_dc = None);
    assert_eq!(unmarked.asks(INTERRUPT), ["DC interrupting rating"]);
    // An AC breaker without a mark counts as 5 kA in the NEC; 10 kA come from the service of the home.
    let ac = Case::home().with::<Breaker>("QM", |it| it.interrupting_ac = None);
    let says = ac.says(INTERRUPT);
    assert_eq!(says.len(), 1, "{says:?}");
    assert!(says[0].starts_with("danger QM") && says[0].ends_with("not 5000.00"), "{says:?}");
    assert_eq!(ac.under(RuleSet::Iec).asks(INTERRUPT), ["AC interrupting rating"]);
}

#[test]
fn bars_and_boxes_stand_it() {
    let marked = |amps| home().with::<BusBar>("BUS1", |it| it.short_circuit_rating = amps);
    let good = marked(Some(Amps::new(25_000.0)));
    assert!(good.says(ASSEMBLY).is_empty() && good.passes(ASSEMBLY, "20216.10", "25000.00"));
    let weak = marked(Some(Amps::new(10_000.0)));
    assert_eq!(weak.says(ASSEMBLY), ["correction BUS1: 20216.10, not 10000.00"]);
    assert!(weak.mended(ASSEMBLY).iter().all(|it| it.starts_with("BUS1 as DC bus bar")));
    assert!(!weak.mended(ASSEMBLY).is_empty());
    // Without a mark above 10 kA the rule cannot tell, below it advises.
    assert_eq!(marked(None).asks(ASSEMBLY), ["Short-circuit rating"]);
    let small = hut().with::<BusBar>("BUS1", |it| it.short_circuit_rating = None);
    assert_eq!(small.says(ASSEMBLY), ["advice BUS1#unmarked: 2727.97, not a marked rating"]);
    assert_eq!(small.clause(ASSEMBLY), "IEC 61439-1, IEC 61439-2");
}

#[test]
fn a_switch_stands_what_comes_through_it() {
    let with_switch = |rating: f64| {
        let mut bench = system_c();
        let switch = changed(&bench, "DC switch, 32 A, 1000 V", &[("short_circuit_rating", rating)]);
        bench.put("SW2", None, switch);
        bench.join("W9", "BUS1.tap5", "SW2.line", None);
        Case::of(bench.project)
    };
    assert!(with_switch(3000.0).says(ASSEMBLY).is_empty());
    assert_eq!(with_switch(2000.0).says(ASSEMBLY), ["correction SW2: 2727.97, not 2000.00"]);
    let unmarked = with_switch(2000.0).with::<Switch>("SW2", |it| it.short_circuit_rating = None);
    assert!(unmarked.says(ASSEMBLY).is_empty() && unmarked.asks(ASSEMBLY).is_empty());
}

#[test]
fn insulation_stands_the_fault_until_the_device_opens() {
    // 115² × 25² / 2727.97² = 1.11 s; 115² × 4² / 2727.97² = 0.028 s, behind a fuse that does not protect 4 mm²
    assert!(hut().passes(HEATING, "1.11", "0.10"));
    assert_eq!(hut().says(HEATING), ["danger W8: 0.03, not 0.10"]);
    assert_eq!(hut().clause(HEATING), "IEC 60364-4-43 cl. 434.5.2");
    assert!(hut().mended(HEATING).iter().all(|it| it.ends_with("for W8")));
    // 211600² × 0.0297 × log10(384 / 309) / 20116.10² = 0.31 s for 4/0 behind a molded-case breaker
    let molded = home().with::<Breaker>("QI", |it| it.trip = TripClass::InverseTime);
    assert!(molded.passes(HEATING, "0.31", "0.05"));
    // 6530² × 0.0028 / 2568.29² = 0.018 s for 12 AWG behind a breaker of 20 A that protects it: advice until its time
    // is known.
    assert_eq!(cabin().says(HEATING), ["advice W14#confirm: 0.02, not 0.10"]);
    let at = |seconds| cabin().with::<Breaker>("Q5", |it| it.clearing_time = Some(Seconds::new(seconds)));
    assert!(at(0.015).says(HEATING).is_empty());
    assert_eq!(at(0.03).says(HEATING), ["danger W14: 0.02, not 0.03"]);
}

#[test]
fn sources_that_limit_themselves_heat_nothing() {
    let thin = |it: &mut Conductor| *it = copper("14", 15.0);
    let case = Case::cabin().run("W1", thin).run("W2", thin).run("W3", thin);
    assert!(case.says(HEATING).is_empty());
}

#[test]
fn even_the_smallest_fault_opens_something() {
    // 40.00 / (1.5 × 0.02195 + 0.0017024 + 0.0396) = 538.88 A against 5 × 20; W10 at QB 1155.15 against 5 × 225
    assert!(cabin().says(CLEARS).is_empty());
    assert!(cabin().passes(CLEARS, "538.88", "100.00") && cabin().passes(CLEARS, "1155.15", "1125.00"));
    // 200 ft: 40.00 / (1.5 × 0.02195 + 0.0017024 + 0.792) = 48.39 A
    let far = cabin().run("W14", |it| it.length = Meters::from_feet(200.0));
    assert_eq!(far.says(CLEARS), ["correction W14.to: 48.39, not 100.00"]);
    assert!(!far.mended(CLEARS).is_empty());
    let curve = far.clone().with::<Breaker>("Q5", |it| it.five_second_current = Some(Amps::new(40.0)));
    assert!(curve.says(CLEARS).is_empty(), "the curve counts before the factor");
    // 21.00 / (1.5 × 0.0083 + 0.0003977 + 0.0019885 + 0.0947628) = 191.61 A against 5 × 100
    assert_eq!(hut().says(CLEARS), ["correction W8.to: 191.61, not 500.00"]);
    assert_eq!(hut().clause(CLEARS), "IEC 60364-4-41 cl. 411.3.2, IEC 60364-4-43 cl. 434.5");
}

#[test]
fn a_fault_at_the_exact_limit_clears() {
    let found = 40.0 / (1.5 * 0.02195 + 0.000_243_2 + 0.001_459_2);
    let needs = |amps| cabin().with::<Fuse>("F1", |it| it.five_second_current = Some(Amps::new(amps)));
    assert!(needs(found).says(CLEARS).is_empty());
    assert_eq!(needs(found + 0.01).says(CLEARS), ["correction W10.to: 1155.15, not 1155.16"]);
}

#[test]
fn an_estimated_battery_proves_no_clearing() {
    let unknown = |case: Case| {
        case.with::<BatteryBank>("B1", |it| {
            it.unit_resistance = None;
            it.short_circuit_current = None;
        })
    };
    assert_eq!(unknown(cabin()).asks(CLEARS), ["Resistance of a unit"]);
    let far = cabin().run("W14", |it| it.length = Meters::from_feet(200.0));
    assert_eq!(unknown(far).says(CLEARS).len(), 1, "what fails with too much current fails");
}

#[test]
fn the_first_device_stands_close() {
    // 2 × 0.3048 = 0.61 m; 8 × 0.3048 = 2.44 m
    assert!(cabin().says(DISTANCE).is_empty() && cabin().passes(DISTANCE, "0.61", "1.50"));
    let far = cabin().run("W9", |it| it.length = Meters::from_feet(8.0));
    assert_eq!(far.says(DISTANCE), ["danger W9.from: 2.44, not 1.50"]);
    let mended = far.mended(DISTANCE);
    assert!(mended.iter().all(|it| it.ends_with("at the battery")) && !mended.is_empty(), "{mended:?}");
    let exact = cabin().run("W9", |it| it.length = Meters::new(1.5));
    assert!(exact.says(DISTANCE).is_empty() && exact.passes(DISTANCE, "1.50", "1.50"));
    let hut = hut().run("W4", |it| it.length = Meters::new(1.6));
    assert_eq!(hut.says(DISTANCE), ["danger W4.from: 1.60, not 1.50"]);
    assert_eq!(hut.clause(DISTANCE), "IEC 60364-4-43 cl. 434.2.1, IEC 60364-5-57, IEC 62485-2");
    // A pack with a fuse inside needs no lead looked at.
    assert!(home().says(DISTANCE).is_empty() && home().passes(DISTANCE, "0.00", "1.50"));
}

#[test]
fn a_lead_through_a_wall_or_without_any_device() {
    let mut bench = system_a();
    let (room, shed) = (bench.location("battery room"), bench.location("power shed"));
    let battery = bench.stock("Nickel-iron cell, 400 Ah");
    bench.put("B2", Some(room), battery);
    let breaker = bench.stock("DC breaker, 225 A, 125 V");
    bench.put("Q8", Some(shed), breaker);
    bench.join("W20", "B2.out", "Q8.line", feet("4/0", 3.0));
    let wall = Case::of(bench.project.clone());
    assert_eq!(wall.says(DISTANCE), ["danger W20.from: first device in another room, not 1.50"]);
    let lights = bench.stock("DC lights, 48 V, 10 A");
    bench.put("L2", Some(room), lights);
    bench.join("W21", "B2.out", "L2.in", feet("12", 1.0));
    let bare = Case::of(bench.project);
    assert_eq!(bare.says(DISTANCE), ["danger W20.from: no device on a way out, not 1.50"]);
}
