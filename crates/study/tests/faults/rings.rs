//! Faults where runs form rings.

use super::by_hand::{feet, system_a};
use super::support::{Studied, printed};
use lineside_core::circuit::{Conductor, Side};
use lineside_core::testing::{Bench, copper};
use lineside_core::units::Meters;
use lineside_study::{FaultSource, PoleSide, Prospective};
use proptest::prelude::*;

/// Two bus bars joined by runs, a battery on the first.
fn two_bars(joins: &[Option<Conductor>]) -> Studied {
    let mut bench = Bench::new();
    let battery = bench.stock("Nickel-iron cell, 400 Ah");
    bench.put("B1", None, battery);
    for tag in ["BUS1", "BUS2"] {
        let bar = bench.stock("DC bus bar, covered, 400 A, 8 taps, 150 V");
        bench.put(tag, None, bar);
    }
    let breaker = bench.stock("DC breaker, 225 A, 125 V");
    bench.put("QB", None, breaker);
    bench.join("W1", "B1.out", "QB.line", feet("4/0", 2.0));
    bench.join("J1", "QB.load", "BUS1.tap1", None);
    for (n, conductor) in joins.iter().enumerate() {
        let (from, to) = (format!("BUS1.tap{}", n + 2), format!("BUS2.tap{}", n + 2));
        bench.join(&format!("R{n}"), &from, &to, conductor.clone());
    }
    Studied::new(bench.project)
}

#[test]
fn two_runs_side_by_side_are_one_of_twice_the_metal() {
    let ring = two_bars(&[feet("2", 30.0), feet("2", 30.0)]);
    let mut doubled = copper("2", Meters::from_feet(30.0));
    doubled.parallel = 2;
    let tree = two_bars(&[Some(doubled)]);
    for end in ["B1.out", "QB.load", "BUS1.tap1", "BUS2.tap5"] {
        printed(ring.at(end).total().value(), tree.at(end).total().value(), end);
    }
    printed(ring.duty("QB", 0), tree.duty("QB", 0), "QB");
    // With one of them out the other still feeds the far end.
    let single = two_bars(&[feet("2", 30.0)]);
    printed(
        ring.run_side("R0", Side::To).total().value(),
        single.at("BUS2.tap5").total().value(),
        "round by the other run",
    );
    printed(ring.run_side("R0", Side::From).total().value(), single.duty("QB", 0), "straight from the bar");
}

#[test]
fn a_triangle_by_hand() {
    // Bars 1, 2, 3 joined in a triangle by 10, 20 and 30 ft of 2 AWG. From bar 1 to bar 3 the ways of 30 ft and of
    // 10 + 20 ft lie side by side: as 15 ft.
    let mut bench = system_a();
    for tag in ["BUS2", "BUS3"] {
        let bar = bench.stock("DC bus bar, covered, 400 A, 8 taps, 150 V");
        bench.put(tag, None, bar);
    }
    bench.join("R1", "BUS1.tap6", "BUS2.tap1", feet("2", 10.0));
    bench.join("R2", "BUS2.tap2", "BUS3.tap1", feet("2", 20.0));
    bench.join("R3", "BUS3.tap2", "BUS1.tap7", feet("2", 30.0));
    let ring = Studied::new(bench.project);
    let mut bench = system_a();
    let bar = bench.stock("DC bus bar, covered, 400 A, 8 taps, 150 V");
    bench.put("BUS3", None, bar);
    bench.join("R3", "BUS3.tap2", "BUS1.tap7", feet("2", 15.0));
    let tree = Studied::new(bench.project);
    for end in ["B1.out", "BUS1.tap1", "BUS3.tap1", "INV1.dc", "L1.in"] {
        printed(ring.at(end).total().value(), tree.at(end).total().value(), end);
    }
    for device in ["F1", "QB", "Q3", "QI", "Q5"] {
        printed(ring.duty(device, 0), tree.duty(device, 0), device);
    }
}

#[test]
fn a_breaker_in_a_ring_sees_what_comes_from_its_own_side() {
    // BUS1 — Q8 — 20 ft — BUS2 and beside it BUS1 — 20 ft — BUS2: a short at the load of Q8 draws everything from
    // BUS1 through Q8, since BUS1 is shorted with it; from the other side what comes round through 40 ft.
    let mut bench = system_a();
    let bar = bench.stock("DC bus bar, covered, 400 A, 8 taps, 150 V");
    bench.put("BUS2", None, bar);
    let breaker = bench.stock("DC breaker, 100 A, 125 V");
    bench.put("Q8", None, breaker);
    bench.join("J8", "BUS1.tap6", "Q8.line", None);
    bench.join("R1", "Q8.load", "BUS2.tap1", feet("2", 20.0));
    bench.join("R2", "BUS2.tap2", "BUS1.tap7", feet("2", 20.0));
    let ring = Studied::new(bench.project);
    printed(ring.through("Q8", 0, PoleSide::Line).total().value(), 2568.29, "from the bar");
    printed(ring.through("Q8", 0, PoleSide::Load).total().value(), 0.0, "round to a shorted bar");
    printed(ring.at("Q8.load").total().value(), 2568.29, "at its load");
}

#[test]
fn the_smallest_fault_splits_over_two_ways() {
    // Two breakers of 100 A feed BUS2 over 100 ft of 2 AWG each. Warm: 0.194 Ω/kft × 200 ft = 38.8 mΩ each, as one
    // 19.4 mΩ. 42 V (40 × 1.05) / (1.5 × 21.95 + 0.243 + 19.4 mΩ) = 798.8 A, half of it through each: 399.4 A
    // against 5 × 100.
    let mut bench = Bench::new();
    let battery = bench.stock("Nickel-iron cell, 400 Ah");
    bench.put("B1", None, battery);
    let fuse = bench.stock("Class T fuse, bolted, 225 A, 125 V DC");
    bench.put("F1", None, fuse);
    for tag in ["BUS1", "BUS2"] {
        let bar = bench.stock("DC bus bar, covered, 400 A, 8 taps, 150 V");
        bench.put(tag, None, bar);
    }
    bench.join("W1", "B1.out", "F1.line", feet("4/0", 2.0));
    bench.join("J1", "F1.load", "BUS1.tap1", None);
    for n in 1..=2 {
        let breaker = bench.stock("DC breaker, 100 A, 125 V");
        bench.put(&format!("Q{n}"), None, breaker);
        bench.join(&format!("JQ{n}"), &format!("BUS1.tap{}", n + 1), &format!("Q{n}.line"), None);
        bench.join(&format!("R{n}"), &format!("Q{n}.load"), &format!("BUS2.tap{n}"), feet("2", 100.0));
    }
    let studied = Studied::new(bench.project);
    let run = studied.project.circuit.run_by_tag("R1").unwrap().id;
    let found = studied.studies.smallest_faults.at(run, Side::To).unwrap();
    let pole = studied.studies.network.poles().get(found.device).unwrap();
    let tag = &studied.project.circuit.block(pole.block).unwrap().tag;
    // 399.4 / 500 is surer than 798.8 / 1125 at F1.
    assert!(tag == "Q1" || tag == "Q2", "{tag}");
    assert!((found.current.value() - 399.4).abs() < 0.1, "{found:?}");
    printed(found.needed.value(), 500.0, "needed");
}

#[test]
fn a_longer_run_can_steer_a_controllers_current_past_the_battery_into_the_fault() {
    // BUS2 with the battery, BUS0 with a controller, the fault at BUS3. 2 AWG is 0.319072 mΩ/ft there and back, the
    // battery with its cable s = 22.24999 mΩ.
    //   a = 0.319072 (BUS2–BUS3, 1 ft), c = 31.9072 (BUS0–BUS3, 100 ft), b = BUS0–BUS2, 1 ft and then 3 ft.
    // Battery: 56 V / (s + a ∥ (b + c)): 2481.616 A, then 2481.610 A, less.
    // Of the controller's 60 A the part c / (c + b + a ∥ s) takes the way by BUS2, where a / (a + s) of it is lost to
    // the battery: 60 × (1 − 0.980528 × 0.0141376) = 59.1683 A, then 60 × (1 − 0.961669 × 0.0141376) = 59.1843 A, more.
    // A source that keeps its current gives up less of it where the way to the battery is longer, and here that
    // outweighs what the battery loses.
    let runs = |length| [(0, 2, length), (3, 2, 1.0), (3, 0, 100.0)];
    for (length, battery, controller) in [(1.0, 2481.616, 59.1683), (3.0, 2481.610, 59.1843)] {
        let found = mesh(&runs(length), 2, 1.0).at("BUS3.tap5");
        let amps = [FaultSource::Battery, FaultSource::Controller].map(|source| found.from(source).value());
        assert!((amps[0] - battery).abs() < 0.0006 && (amps[1] - controller).abs() < 0.0001, "{amps:?}");
    }
}

/// A mesh of bars: runs between any two of them, a battery and a controller somewhere, a load at the end of a spur. The first
/// run is so many times longer.
fn mesh(runs: &[(usize, usize, f64)], battery: usize, longer: f64) -> Studied {
    mesh_with_spur(runs, battery, longer, 10.0)
}

fn mesh_with_spur(runs: &[(usize, usize, f64)], battery: usize, longer: f64, spur: f64) -> Studied {
    let mut bench = Bench::new();
    for n in 0..5 {
        let bar = bench.stock("DC bus bar, covered, 400 A, 8 taps, 150 V");
        bench.put(&format!("BUS{n}"), None, bar);
    }
    let bank = bench.stock("Nickel-iron cell, 400 Ah");
    bench.put("B1", None, bank);
    bench.join("W0", "B1.out", &format!("BUS{battery}.tap1"), feet("4/0", 3.0));
    let controller = bench.stock("Tracking controller, 150 V in, 60 A out");
    bench.put("C1", None, controller);
    bench.join("W1", "C1.battery", "BUS0.tap2", feet("4", 6.0));
    let lights = bench.stock("DC lights, 48 V, 10 A");
    bench.put("L1", None, lights);
    bench.join("W2", "BUS1.tap2", "L1.in", feet("12", spur));
    for (n, (a, b, length)) in runs.iter().enumerate() {
        let length = if n == 0 { length * longer } else { *length };
        bench.join(&format!("R{n}"), &format!("BUS{a}.tap3"), &format!("BUS{b}.tap4"), feet("2", length));
    }
    Studied::new(bench.project)
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(40))]

    /// A longer run anywhere never raises what batteries give, nor the whole where nothing else feeds it; a source
    /// that keeps its current never gives more than that; a longer run to the fault itself never raises anything.
    #[test]
    fn resistance_never_raises_a_fault(
        runs in prop::collection::vec((0..5_usize, 0..5_usize, 1.0..200.0_f64), 4..10),
        battery in 0..5_usize,
    ) {
        let (short, long) = (mesh(&runs, battery, 1.0), mesh(&runs, battery, 3.0));
        for n in 0..5 {
            let end = format!("BUS{n}.tap5");
            let (before, after) = (short.at(&end), long.at(&end));
            let battery = |found: &Prospective| found.from(FaultSource::Battery).value();
            let fell = battery(&after) <= battery(&before) * (1.0 + 1e-9);
            prop_assert!(fell, "{end}: {} then {}", battery(&before), battery(&after));
            for found in [&before, &after] {
                prop_assert!(found.from(FaultSource::Controller).value() <= 60.0 + 1e-9, "{end}");
                // Nothing can be more than battery and controller together at their own terminals.
                prop_assert!(found.total().value() <= 56.0 / 0.02195 + 60.0 + 1e-6, "{end}");
            }
        }
        let far = mesh_with_spur(&runs, battery, 1.0, 30.0).at("L1.in");
        for source in [FaultSource::Battery, FaultSource::Controller] {
            let (before, after) = (short.at("L1.in").from(source).value(), far.from(source).value());
            prop_assert!(after <= before * (1.0 + 1e-9), "{source:?} at the end of the spur: {before} then {after}");
        }
        let smallest = |studied: &Studied| studied.studies.smallest_faults.all().count();
        prop_assert_eq!(smallest(&short), 0, "no device stands anywhere");
    }
}
