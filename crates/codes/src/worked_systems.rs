//! The tables of runs of the three worked systems: ampacity, largest device and resistance of every run.
//!
//! System A is a 48 V off-grid cabin and B a 48 V home with utility, both NEC 2023; C is a 24 V hut, IEC.

use crate::ampacity::ampacity;
use crate::overcurrent::{CircuitUse, largest_device};
use crate::resistance::{CurrentKind, cold, warm};
use crate::tables::DeviceType;
use crate::testing::{codes, conditions, conductor};
use lineside_core::circuit::{Coating, Conductor, Insulation, Method, Raceway, Stranding};
use lineside_core::project::RuleSet;
use lineside_core::units::{Celsius, Meters, Millimeters};

/// One row of a table of runs: what was given, then what must come out.
struct Row {
    run: &'static str,
    conductor: Conductor,
    rule_set: RuleSet,
    /// Before a roof's adder.
    ambient: f64,
    circuit: CircuitUse,
    current: CurrentKind,
    /// Table value × ambient × bundling = corrected.
    product: [f64; 4],
    /// By the 75 °C column; `None` where terminals set no limit.
    terminal: Option<f64>,
    ampacity: f64,
    largest_device: f64,
    warm_milliohms: f64,
    cold_milliohms: f64,
}

fn check(row: &Row) {
    let codes = codes();
    let near = |found: f64, expected: f64, tolerance: f64, what: &str| {
        assert!((found - expected).abs() <= tolerance, "{} {what}: {found}, not {expected}", row.run);
    };
    let mut conditions = conditions(row.ambient);
    if row.rule_set == RuleSet::Iec {
        conditions.terminals = [None; 2];
    }
    let found = ampacity(&codes, row.rule_set, &row.conductor, &conditions)
        .unwrap_or_else(|why| panic!("{}: {why}", row.run));
    let [table, ambient, bundling, corrected] = row.product;
    near(found.insulation.value.value(), table, 0.0, "table");
    near(found.ambient_factor.value, ambient, 1e-12, "ambient");
    near(found.bundling_factor.value, bundling, 1e-12, "bundling");
    near(found.corrected.value(), corrected, 0.005, "corrected");
    assert_eq!(found.terminal.map(|terminal| terminal.value.value()), row.terminal, "{}", row.run);
    near(found.ampacity.value(), row.ampacity, 0.005, "ampacity");
    let device = largest_device(
        &codes,
        row.rule_set,
        &row.conductor,
        found.ampacity,
        DeviceType::Breaker,
        row.circuit,
    );
    near(device.value.value(), row.largest_device, 0.005, "largest device");
    let resistance = warm(&codes, row.rule_set, &row.conductor, row.current);
    let warm = resistance.unwrap_or_else(|why| panic!("{}: {why}", row.run));
    near(warm.both_ways.value() * 1e3, row.warm_milliohms, 0.0005, "warm");
    let cold = cold(&codes, row.rule_set, &row.conductor).unwrap_or_else(|why| panic!("{}: {why}", row.run));
    near(cold.both_ways.value() * 1e3, row.cold_milliohms, 0.0005, "cold");
}

/// A DC run of 90 °C copper by NEC 2023 with the 75 °C terminals of both ends.
#[expect(clippy::too_many_arguments, reason = "the columns of the printed table, in its order")]
fn nec(
    run: &'static str,
    size: &str,
    feet: f64,
    ambient: f64,
    conductors: u32,
    product: [f64; 4],
    [terminal, ampacity, largest_device]: [f64; 3],
    [warm_milliohms, cold_milliohms]: [f64; 2],
) -> Row {
    Row {
        run,
        conductor: Conductor {
            length: Meters::from_feet(feet),
            loaded_conductors: conductors,
            ..conductor(size)
        },
        rule_set: RuleSet::Nec2023,
        ambient,
        circuit: CircuitUse::Ordinary,
        current: CurrentKind::Direct,
        product,
        terminal: Some(terminal),
        ampacity,
        largest_device,
        warm_milliohms,
        cold_milliohms,
    }
}

fn with(mut row: Row, change: impl FnOnce(&mut Row)) -> Row {
    change(&mut row);
    row
}

#[test]
fn system_a_arrays() {
    for run in ["W1", "W2", "W3", "W4", "W5", "W6"] {
        let row =
            nec(run, "10", 15.0, 33.0, 2, [55.0, 0.96, 1.0, 52.80], [35.0, 35.0, 30.0], [37.200, 30.591]);
        check(&with(row, |row| {
            row.conductor.insulation = Insulation::PvWire;
            row.conductor.raceway = Raceway::FreeAir;
        }));
    }
    let buried = |row: &mut Row| row.conductor.raceway = Raceway::BuriedConduit;
    let w7 = nec(
        "W7",
        "1/0",
        120.0,
        40.0,
        4,
        [170.0, 0.91, 0.80, 123.76],
        [150.0, 123.76, 125.0],
        [29.280, 24.078],
    );
    let w8 = nec("W8", "4", 120.0, 40.0, 4, [95.0, 0.91, 0.80, 69.16], [85.0, 69.16, 70.0], [73.920, 60.788]);
    check(&with(w7, buried));
    check(&with(w8, buried));
}

#[test]
fn system_a_battery_bus() {
    let storage = |row: &mut Row| row.circuit = CircuitUse::StorageOutput;
    let battery = [260.0, 0.96, 1.0, 249.60];
    check(&with(nec("W9", "4/0", 2.0, 35.0, 2, battery, [230.0, 230.0, 230.0], [0.243, 0.200]), storage));
    check(&with(nec("W10", "4/0", 12.0, 35.0, 2, battery, [230.0, 230.0, 230.0], [1.459, 1.200]), storage));
    for run in ["W11", "W12"] {
        check(&nec(run, "4", 6.0, 35.0, 2, [95.0, 0.96, 1.0, 91.20], [85.0, 85.0, 90.0], [3.696, 3.039]));
    }
    check(&nec(
        "W13",
        "1/0",
        8.0,
        35.0,
        2,
        [170.0, 0.96, 1.0, 163.20],
        [150.0, 150.0, 150.0],
        [1.952, 1.605],
    ));
    check(&nec("W14", "12", 10.0, 35.0, 2, [30.0, 0.96, 1.0, 28.80], [25.0, 25.0, 20.0], [39.600, 32.565]));
}

#[test]
fn alternating_current_feeders() {
    let alternating = |row: &mut Row| row.current = CurrentKind::Alternating;
    for (run, feet, milliohms) in [
        ("A W15", 90.0, [88.200, 72.679]),
        ("B W8", 40.0, [39.200, 32.302]),
        ("B W9", 10.0, [9.800, 8.075]),
        ("B W10", 80.0, [78.400, 64.604]),
    ] {
        let row = nec(run, "6", feet, 30.0, 2, [75.0, 1.0, 1.0, 75.00], [65.0, 65.0, 70.0], milliohms);
        check(&with(row, alternating));
    }
}

#[test]
fn system_b_roof_and_house() {
    for run in ["W1", "W3"] {
        // 36 °C and the roof's 33 °C: the row to 70 °C
        let row =
            nec(run, "10", 55.0, 36.0, 4, [40.0, 0.58, 0.80, 18.56], [35.0, 18.56, 20.0], [136.400, 112.169]);
        check(&with(row, |row| {
            row.conductor.raceway = Raceway::MetalConduit;
            row.conductor.above_roof = Some(Millimeters::new(0.75 * 25.4));
        }));
    }
    for run in ["W2", "W4"] {
        let row =
            nec(run, "10", 15.0, 36.0, 4, [40.0, 0.91, 0.80, 29.12], [35.0, 29.12, 30.0], [37.200, 30.591]);
        check(&with(row, |row| row.conductor.raceway = Raceway::MetalConduit));
    }
}

#[test]
fn system_b_battery_bus() {
    for run in ["W5", "W6"] {
        let values = [100.0, 100.0, 100.0];
        check(&nec(run, "3", 6.0, 36.0, 2, [115.0, 0.91, 1.0, 104.65], values, [2.940, 2.418]));
    }
    check(&nec("W7", "4/0", 5.0, 36.0, 2, [260.0, 0.91, 1.0, 236.60], [230.0, 230.0, 250.0], [0.608, 0.500]));
    for run in ["W11", "W12", "W13"] {
        let values = [200.0, 200.0, 200.0];
        let row = nec(run, "3/0", 3.0, 36.0, 2, [225.0, 0.91, 1.0, 204.75], values, [0.460, 0.378]);
        check(&with(row, |row| row.circuit = CircuitUse::StorageOutput));
    }
}

/// A run of the hut: flexible copper, two loaded conductors, terminals without a mark.
fn iec(
    run: &'static str,
    size: &str,
    meters: f64,
    ambient: f64,
    method: Method,
    product: [f64; 4],
    [warm_milliohms, cold_milliohms]: [f64; 2],
) -> Row {
    let [.., corrected] = product;
    Row {
        run,
        conductor: Conductor {
            length: Meters::new(meters),
            stranding: Stranding::Fine,
            method: Some(method),
            ..conductor(size)
        },
        rule_set: RuleSet::Iec,
        ambient,
        circuit: CircuitUse::Ordinary,
        current: CurrentKind::Direct,
        product,
        terminal: None,
        ampacity: corrected,
        largest_device: corrected,
        warm_milliohms,
        cold_milliohms,
    }
}

#[test]
fn system_c() {
    let pv = |row: &mut Row| {
        row.conductor.insulation = Insulation::PvCable;
        row.conductor.coating = Coating::Tinned;
    };
    let string = [44.0, 1.0, 1.0, 44.00];
    for run in ["W1", "W2"] {
        check(&with(iec(run, "4 mm²", 3.0, 30.0, Method::Surface, string, [36.541, 30.540]), pv));
    }
    let array = [57.0, 1.0, 1.0, 57.00];
    check(&with(iec("W3", "6 mm²", 18.0, 30.0, Method::Surface, array, [146.021, 122.040]), pv));
    let b1 = Method::B1;
    check(&iec("W4", "35 mm²", 0.3, 35.0, b1, [125.0, 0.94, 1.0, 117.50], [0.398, 0.332]));
    check(&iec("W5", "35 mm²", 1.5, 35.0, b1, [125.0, 0.94, 1.0, 117.50], [1.989, 1.662]));
    check(&iec("W6", "16 mm²", 1.5, 35.0, b1, [76.0, 0.94, 1.0, 71.44], [4.343, 3.630]));
    check(&iec("W7", "25 mm²", 2.0, 35.0, b1, [101.0, 0.94, 1.0, 94.94], [3.733, 3.120]));
    check(&iec("W8", "4 mm²", 8.0, 35.0, b1, [32.0, 0.94, 1.0, 30.08], [94.763, 79.200]));
}

#[test]
fn the_ambient_that_was_used_is_said() {
    let mut roof = conductor("10");
    roof.above_roof = Some(Millimeters::new(19.05));
    let found = ampacity(&codes(), RuleSet::Nec2017, &roof, &conditions(36.0));
    let found = found.unwrap_or_else(|why| panic!("{why}"));
    assert_eq!(found.ambient, Celsius::new(69.0));
    let adder = found.roof_adder.map(|adder| (adder.value.value(), adder.source.into_owned()));
    assert_eq!(adder, Some((33.0, "310.15(B)(3)(c)".to_owned())));
    assert_eq!(found.ambient_factor.source, "Table 310.15(B)(2)(a)");
}
