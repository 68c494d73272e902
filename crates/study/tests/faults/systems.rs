//! The tables of fault currents of three complete systems, to the printed decimals.

use super::by_hand::{system_a, system_b, system_c};
use super::support::{Studied, array_a, printed};
use lineside_core::circuit::Side;
use lineside_study::{FaultSource, PoleSide};

#[test]
fn nodes_and_devices_of_the_nickel_iron_cabin() {
    let cabin = Studied::new(system_a().project);
    for (node, amps) in [
        ("B1.out", 2721.25),
        ("F1.line", 2698.22),
        ("F1.load", 2698.22),
        ("QB.line", 2568.29),
        ("BUS1.tap1", 2568.29),
        ("BUS1.tap8", 2568.29),
        ("C1.battery", 2279.40),
        ("C2.battery", 2279.40),
        ("L1.in", 1072.51),
        ("INV1.dc", 2406.30),
        ("Q3.line", 2568.29),
        ("QI.load", 2568.29),
    ] {
        printed(cabin.at(node).total().value(), amps, node);
    }
    for (device, amps) in
        [("F1", 2528.22), ("QB", 2398.29), ("Q3", 2508.29), ("Q4", 2508.29), ("QI", 2518.29), ("Q5", 2568.29)]
    {
        printed(cabin.duty(device, 0), amps, device);
    }
    // 56.00 / 0.02195 = 2551.25 at the battery, the chargers of 170 A beside it
    let at_battery = cabin.at("B1.out");
    printed(at_battery.from(FaultSource::Battery).value(), 2551.25, "battery alone");
    printed(at_battery.from(FaultSource::Controller).value(), 120.0, "controllers");
    printed(at_battery.from(FaultSource::Charger).value(), 50.0, "charger");
    assert_eq!(at_battery.assumed().all().count(), 0);
    // From the controller's end only its 60 A flow into its run, from the bus everything else.
    printed(cabin.run_side("W11", Side::From).total().value(), 60.0, "W11 from C1");
    printed(cabin.run_side("W11", Side::To).total().value(), 2508.29, "W11 from the bus");
    assert!(cabin.run_side("W11", Side::From).limits_itself());
}

#[test]
fn strings_of_the_nickel_iron_cabin() {
    let mut bench = system_a();
    array_a(&mut bench);
    let cabin = Studied::new(bench.project);
    // 3 × 1.25 × 13.60 = 51.00 into the array circuit, 2 × 17.00 back into one string
    printed(cabin.run_side("W7", Side::From).total().value(), 51.0, "W7 from the combiner");
    printed(cabin.run_side("W7", Side::To).total().value(), 0.0, "W7 from the controller");
    printed(cabin.run_side("W1", Side::From).total().value(), 17.0, "W1 from its string");
    printed(cabin.run_side("W1", Side::To).total().value(), 34.0, "W1 from the others");
    printed(cabin.through("CB1", 0, PoleSide::Load).total().value(), 34.0, "way 1 backward");
    printed(cabin.through("CB1", 0, PoleSide::Line).total().value(), 17.0, "way 1 forward");
    printed(cabin.through("Q1", 0, PoleSide::Load).total().value(), 0.0, "Q1 from the controller");
    assert!(cabin.at("CB1.out").limits_itself());
}

#[test]
fn nodes_and_devices_of_the_lithium_home() {
    let home = Studied::new(system_b().project);
    for (node, amps) in [
        ("BUS1.tap1", 20_216.10),
        ("Q1.line", 20_216.10),
        ("Q2.load", 20_216.10),
        ("QI.load", 20_216.10),
        ("FB1.line", 20_216.10),
        ("C1.battery", 10_751.45),
        ("INV1.dc", 17_098.33),
        ("P1.out", 19_390.75),
        ("P3.out", 19_390.75),
    ] {
        printed(home.at(node).total().value(), amps, node);
    }
    for (device, amps) in [
        ("Q1", 20_136.10),
        ("Q2", 20_136.10),
        ("QI", 20_116.10),
        ("P1", 12_416.39),
        ("FB1", 13_564.06),
        ("P3", 12_416.39),
        ("FB3", 13_564.06),
    ] {
        printed(home.duty(device, 0), amps, device);
    }
}

#[test]
fn nodes_and_devices_of_the_lead_acid_hut() {
    let hut = Studied::new(system_c().project);
    for (node, amps) in [
        ("B1.out", 3445.62),
        ("BUS1.tap1", 2727.97),
        ("C1.battery", 1982.82),
        ("L1.in", 291.19),
        ("F1.line", 3300.54),
        ("F1.load", 3300.54),
        ("INV1.dc", 2051.63),
        ("Q1.line", 2727.97),
        ("Q2.load", 2727.97),
    ] {
        printed(hut.at(node).total().value(), amps, node);
    }
    for (device, amps) in [("F1", 3260.54), ("Q1", 2687.97), ("Q2", 2727.97)] {
        printed(hut.duty(device, 0), amps, device);
    }
}
