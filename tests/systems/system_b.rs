//! System B: 48 V lithium iron phosphate home with utility, generator and bypass, NEC 2023.
//!
//! A roof array of two strings on two controllers, three packs, a bypass that feeds the backup panel straight from
//! the utility. Record low −24 °C, design high 36 °C, garage 36 °C. Export is switched on.

use crate::remedy::clears;
use lineside_acceptance::{RunRow, Sheet, feet, near};
use lineside_core::circuit::Conductor;
use lineside_core::project::RuleSet;
use lineside_core::units::{Celsius, Millimeters};
use lineside_rules::Severity::{Advice, Correction, Danger};
use lineside_study::{CircuitKind, PathKind, inverter_input_current};

fn strings(modules: u32) -> String {
    format!(
        r#"strings((power: "430 W", open_circuit_voltage: "38.9 V", max_power_voltage: "32.5 V",
        short_circuit_current: "13.95 A", max_power_current: "13.24 A", technology: crystalline,
        open_circuit_coefficient: "-0.25 %/°C", power_coefficient: "-0.29 %/°C", series_fuse_rating: "30 A",
        system_voltage: "1000 V", modules_in_series: {modules}, strings_in_parallel: 1, mounting: roof,
        tilt: "30 °", azimuth: "180 °", ends: connectors))"#
    )
}
const CONTROLLER: &str = r#"charge_controller((kind: tracking_step_down, max_input_voltage: "500 V",
    output_current: "80 A", separation: none, tracking_low: "120 V", tracking_high: "450 V",
    input_short_circuit_current: "20 A", array_watts_48: "5000 W", max_output_voltage: "65 V",
    ground_fault_protection: yes, arc_fault_protection: yes, input_switch_rating: "30 A",
    input_switch_voltage: "600 V"))"#;
const PV_DISCONNECT: &str = r#"switch((rating: "30 A", circuits: 2, poles: 2, load_break: yes, polarity: none,
    dc_voltage: "600 V", pv_listed: yes, lockable: yes, position: closed, starts_rapid_shutdown: yes))"#;
const PACK: &str = r#"battery_bank((chemistry: lithium_iron_phosphate, cells_per_unit: 16, capacity: "200 Ah",
    rated_time: "5 h", full_rest_voltage: "3.40 V", charge_voltage: "3.55 V", empty_voltage: "3.00 V",
    lowest_voltage: "2.50 V", unit_resistance: "7.8 mΩ", charge_current: "100 A", discharge_current: "150 A",
    circuit_current: "150 A", internal_fuse_rating: "200 A", internal_fuse_voltage: "125 V",
    internal_fuse_interrupting: "20000 A", units_in_series: 1, strings_in_parallel: 1))"#;
const PACK_SWITCH: &str = r#"fuse((rating: "200 A", mount: fused_switch, class: class_t, duty: eighty_percent,
    dc_voltage: "125 V", interrupting_dc: "20000 A", position: closed))"#;
const INVERTER: &str = r#"inverter((continuous: "8000 W", ac_system: split_120_240, frequency: "60 Hz", ac_inputs: 2,
    lowest_input_voltage: "44.0 V", highest_input_voltage: "64 V", neutral_bonding: while_inverting,
    separation: galvanic, rated_efficiency: "93 %", transfer_relay: "50 A", charger_current: "100 A",
    utility_listed: yes, export: on, low_cut_out: "46.0 V", ac_input_limit: "48 A"))"#;
const GENERATOR: &str = r#"generator((power: "10 kW", ac_system: split_120_240, frequency: "60 Hz", fuel: propane,
    frame_bond: floating, usable_share: "80 %", breaker_rating: "50 A", breaker_lockable: yes,
    load_while_charging: "4500 W"))"#;

fn dc_breaker(amps: u32) -> String {
    format!(
        r#"breaker((rating: "{amps} A", poles: 1, polarity: none, duty: eighty_percent, trip: inverse_time,
        dc_voltage: "125 V", interrupting_dc: "10000 A", position: closed))"#
    )
}

fn ac_breaker(amps: u32) -> String {
    format!(
        r#"breaker((rating: "{amps} A", poles: 2, polarity: none, duty: eighty_percent, trip: inverse_time,
        ac_voltage: "240 V", interrupting_ac: "10000 A", position: closed))"#
    )
}

fn warm_run(size: &str, length: f64) -> Conductor {
    Conductor { ambient: Some(Celsius::new(36.0)), ..feet(size, length) }
}

fn array(sheet: &mut Sheet) {
    let roof = || Conductor {
        above_roof: Some(Millimeters::new(0.75 * 25.4)),
        loaded_conductors: 4,
        ..warm_run("10", 55.0)
    };
    let indoors = || Conductor { loaded_conductors: 4, ..warm_run("10", 15.0) };
    sheet.place("roof", &[("surroundings", "on a roof")]);
    sheet.block("S1", &strings(11));
    sheet.block("S2", &strings(12));
    sheet.place("outside wall", &[("surroundings", "on an outside wall")]);
    sheet.block("PVD", PV_DISCONNECT);
    sheet.place("power wall", &[("surroundings", "in a garage"), ("coldest", "5 °C"), ("hottest", "36 °C")]);
    sheet.blocks(&["C1", "C2"], CONTROLLER);
    sheet.run("W1", "S1.out", "PVD.line1", roof());
    sheet.run("W2", "PVD.load1", "C1.pv", indoors());
    sheet.run("W3", "S2.out", "PVD.line2", roof());
    sheet.run("W4", "PVD.load2", "C2.pv", indoors());
}

fn battery_bus(sheet: &mut Sheet) {
    sheet.block("BUS1", r#"bus_bar((rating: "600 A", taps: 8))"#);
    sheet.blocks(&["Q1", "Q2"], &dc_breaker(100));
    sheet.block("QI", &dc_breaker(250));
    sheet.block("INV1", INVERTER);
    sheet.blocks(&["P1", "P2", "P3"], PACK);
    sheet.blocks(&["FB1", "FB2", "FB3"], PACK_SWITCH);
    sheet.run("W5", "C1.battery", "Q1.line", warm_run("3", 6.0));
    sheet.run("W6", "C2.battery", "Q2.line", warm_run("3", 6.0));
    sheet.run("W7", "QI.load", "INV1.dc", warm_run("4/0", 5.0));
    for n in 1..=3 {
        let run = warm_run("3/0", 3.0);
        sheet.run(&format!("W{}", 10 + n), &format!("P{n}.out"), &format!("FB{n}.line"), run);
    }
    let ends = ["Q1.load", "Q2.load", "QI.line", "FB1.load", "FB2.load", "FB3.load"];
    for (tap, end) in ends.iter().enumerate() {
        sheet.joint(end, &format!("BUS1.tap{}", tap + 1));
    }
}

fn alternating_current(sheet: &mut Sheet) {
    sheet.block("QO", &ac_breaker(50));
    sheet.block("QG", &ac_breaker(50));
    sheet.block(
        "BP1",
        r#"transfer_switch((arrangement: bypass, rating: "60 A", interlock: mechanical, switched_neutral: no,
        load_break: yes, automatic: no, ac_voltage: "240 V", position: normal))"#,
    );
    sheet.block(
        "LP1",
        r#"ac_panel((ac_system: split_120_240, bus_rating: "125 A", taps: 1, bond: separate, multiwire: some))"#,
    );
    sheet.place("service entrance", &[("surroundings", "on an outside wall")]);
    sheet.block("U1", r#"utility((ac_system: split_120_240, frequency: "60 Hz", service_rating: "200 A"))"#);
    sheet.block(
        "MP1",
        r#"ac_panel((ac_system: split_120_240, bus_rating: "200 A", taps: 2, main_rating: "200 A",
        main_interrupting: "10000 A", bond: bonded, multiwire: some, source_position: far_end))"#,
    );
    sheet.block("QM", &ac_breaker(60));
    sheet.place("generator pad", &[("surroundings", "on the ground")]);
    sheet.block("G1", GENERATOR);
    sheet.joint("U1.out", "MP1.feed");
    sheet.joint("MP1.tap1", "QM.line");
    sheet.run("W8", "QM.load", "BP1.source", feet("6", 40.0));
    sheet.joint("BP1.to_inverter", "INV1.in1");
    sheet.joint("INV1.out", "QO.line");
    sheet.run("W9", "QO.load", "BP1.from_inverter", feet("6", 10.0));
    sheet.joint("BP1.load", "LP1.feed");
    sheet.run("W10", "G1.out", "QG.line", feet("6", 80.0));
    sheet.joint("QG.load", "INV1.in2");
}

pub fn sheet() -> Sheet {
    let mut sheet = Sheet::new(RuleSet::Nec2023, -24.0, 36.0);
    array(&mut sheet);
    battery_bus(&mut sheet);
    alternating_current(&mut sheet);
    sheet
}

/// The table of runs, without the columns that are given.
const RUNS: &str = "
W1 | 17.44 | 40 x 0.58 x 0.80 = 18.56 | 35 | 18.56 | 20.00 | 136.400 | 112.169
W2 | 17.44 | 40 x 0.91 x 0.80 = 29.12 | 35 | 29.12 | 30.00 | 37.200 | 30.591
W3 | 17.44 | 40 x 0.58 x 0.80 = 18.56 | 35 | 18.56 | 20.00 | 136.400 | 112.169
W4 | 17.44 | 40 x 0.91 x 0.80 = 29.12 | 35 | 29.12 | 30.00 | 37.200 | 30.591
W5 | 80.00 | 115 x 0.91 x 1.00 = 104.65 | 100 | 100.00 | 100.00 | 2.940 | 2.418
W6 | 80.00 | 115 x 0.91 x 1.00 = 104.65 | 100 | 100.00 | 100.00 | 2.940 | 2.418
W7 | 187.00 | 260 x 0.91 x 1.00 = 236.60 | 230 | 230.00 | 250.00 | 0.608 | 0.500
W11 | 150.00 | 225 x 0.91 x 1.00 = 204.75 | 200 | 200.00 | 200.00 | 0.460 | 0.378
W12 | 150.00 | 225 x 0.91 x 1.00 = 204.75 | 200 | 200.00 | 200.00 | 0.460 | 0.378
W13 | 150.00 | 225 x 0.91 x 1.00 = 204.75 | 200 | 200.00 | 200.00 | 0.460 | 0.378
W8 | 48.00 | 75 x 1.00 x 1.00 = 75.00 | 65 | 65.00 | 70.00 | 39.200 | 32.302
W9 | 33.33 | 75 x 1.00 x 1.00 = 75.00 | 65 | 65.00 | 70.00 | 9.800 | 8.075
W10 | 41.67 | 75 x 1.00 x 1.00 = 75.00 | 65 | 65.00 | 70.00 | 78.400 | 64.604";

#[test]
fn the_table_of_runs() {
    let verdict = sheet().check();
    let rows: Vec<&str> = RUNS.lines().filter(|line| !line.is_empty()).collect();
    assert_eq!(rows.len(), 13);
    for row in rows {
        verdict.run_row(&RunRow::read(row));
    }
    for roof in ["W1", "W3"] {
        let ampacity = verdict.studies().ratings.of(verdict.run(roof)).unwrap().ampacity.as_ref().unwrap();
        // 36 + 33, the raceway 0.75 in above the roof
        assert!(near(ampacity.ambient.value(), "69.00"));
    }
}

#[test]
fn the_table_of_devices() {
    let verdict = sheet().check();
    for (device, rating, least) in [
        ("Q1", "100 A", "100.00 A"),
        ("Q2", "100 A", "100.00 A"),
        ("QI", "250 A", "233.75 A"),
        ("P1", "200 A", "187.50 A"),
        ("P2", "200 A", "187.50 A"),
        ("P3", "200 A", "187.50 A"),
        ("FB1", "200 A", "187.50 A"),
        ("FB2", "200 A", "187.50 A"),
        ("FB3", "200 A", "187.50 A"),
        ("QO", "50 A", "41.67 A"),
        // By the AC input limit as set, 1.25 × 48: the inverter passes more through than it makes.
        ("QM", "60 A", "60.00 A"),
    ] {
        verdict.passes("overcurrent-minimum", device, rating, least);
    }
}

#[test]
fn the_voltages() {
    let verdict = sheet().check();
    // 38.9 × (1 + 0.0025 × 49), 36 + 35, 32.5 × (1 − 0.0029 × 46), 32.5 × (1 + 0.0029 × 49), by 11 and 12
    for (tag, cold, hot, cold_working) in
        [("S1", "480.32", "309.81", "408.30"), ("S2", "523.98", "337.97", "445.42")]
    {
        let strings = verdict.studies().windows.strings(verdict.block(tag)).unwrap();
        assert!(near(strings.cold_open_circuit.unwrap().value(), cold));
        assert!(near(strings.hot_cell.unwrap().value(), "71.00"));
        assert!(near(strings.hot_max_power.unwrap().value(), hot));
        assert!(near(strings.cold_max_power.unwrap().value(), cold_working));
    }
    let bank = verdict.studies().windows.bank(verdict.block("P1")).unwrap();
    // 16 × 3.55, 16 × 3.00, 16 × 3.40; lithium has no compensation
    assert!(near(bank.charge.value(), "56.80"));
    assert!(near(bank.highest.value(), "56.80"));
    assert!(near(bank.empty.value(), "48.00"));
    assert!(near(bank.open_circuit.value(), "54.40"));
}

#[test]
fn the_currents() {
    let verdict = sheet().check();
    let current = |run: &str| verdict.studies().currents.of(verdict.run(run)).unwrap();
    let inverter = inverter_input_current(&verdict.conditions(), verdict.block("INV1")).unwrap();
    // 8000 / (0.93 × 46.0)
    assert!(near(inverter.current.value(), "187.00"));
    // 1.25 × 17.44, 1.25 × 80, 1.25 × 33.33
    verdict.passes("conductor-continuous-ampacity", "W1", "21.80 A", "35 A");
    verdict.passes("conductor-continuous-ampacity", "W5", "100.00 A", "100 A");
    verdict.passes("conductor-continuous-ampacity", "W9", "41.67 A", "65 A");
    for (run, circuit) in [
        ("W1", CircuitKind::String),
        ("W5", CircuitKind::ControllerOutput),
        ("W7", CircuitKind::InverterDc),
        ("W8", CircuitKind::InverterInput),
        ("W9", CircuitKind::InverterOutput),
        ("W10", CircuitKind::Generator),
        ("W11", CircuitKind::Battery),
    ] {
        assert_eq!(current(run).circuit, circuit, "{run}");
    }
}

#[test]
fn the_drops() {
    let verdict = sheet().check();
    verdict.drop(PathKind::StringsToController, "C1", &["W1", "W2"], "2.30", "0.64");
    verdict.drop(PathKind::StringsToController, "C2", &["W3", "W4"], "2.30", "0.59");
    verdict.drop(PathKind::BankToInverter, "INV1", &["W7"], "0.11", "0.22");
    for controller in ["C1", "C2"] {
        let from = verdict.block(controller);
        let path = verdict.studies().drops.all().iter().find(|path| path.from == from).unwrap();
        assert!(near(path.drop.value(), "0.24"));
    }
    // To the inverter from the utility, through the relay of 50 A, and from the generator
    let input = |source: &str| {
        let from = verdict.block(source);
        verdict.studies().drops.all().iter().find(|path| path.from == from).unwrap().drop.value()
    };
    assert!(near(input("U1"), "1.96"));
    assert!(near(input("G1"), "3.27"));
    verdict.drop(PathKind::AcSource, "LP1", &["W9"], "0.33", "0.14");
}

#[test]
fn what_persists_into_a_fault() {
    let verdict = sheet().check();
    for string in ["W1", "W2", "W3", "W4"] {
        verdict.holds(string, "17.44", "0.00");
    }
    verdict.holds("W5", "80.00", "100.00");
    verdict.holds("W6", "80.00", "100.00");
    verdict.holds("W7", "250.00", "100.00");
    for pack in ["W11", "W12", "W13"] {
        verdict.holds(pack, "200.00", "200.00");
    }
    // Utility through QM; the exporting inverter back through its relay
    verdict.holds("W8", "60.00", "33.33");
    // Through the relay the utility adds to the inverter, 33.33 + 60, as far as QO of 50 lets it
    verdict.holds("W9", "50.00", "0.00");
    verdict.holds("W10", "41.67", "33.33");
    let bus = verdict.studies().bus_flows.of(verdict.block("BUS1")).unwrap();
    // max(min(3 × 200 + 200, 250), min(200 + 250, 3 × 200))
    assert!(near(bus.worst.value(), "450.00"));
}

#[test]
fn the_findings() {
    let verdict = sheet().check();
    verdict.has_only(
        &[Danger, Correction, Advice],
        &[
            (Danger, "string-cold-voltage@C2", "523.98 V", "500.00 V"),
            (Correction, "conductor-continuous-ampacity@W7", "233.75 A", "230.00 A"),
            (Advice, "battery-charge-current@P1#one-out", "260.00 A", "200.00 A"),
            (Advice, "controller-array-watts@C2", "5160.00 W", "5000.00 W"),
        ],
    );
}

#[test]
fn the_closest_calls() {
    let verdict = sheet().check();
    for (rule, at, found, allowed) in [
        ("battery-charge-current", "P1", "260.00 A", "300.00 A"),
        ("battery-discharge-current", "P1", "187.00 A", "450.00 A"),
        ("both-ends-overcurrent", "W5.to", "100.00 A", "100.00 A"),
        ("charge-voltage-above-equipment", "INV1", "56.80 V", "64.00 V"),
        ("conductor-continuous-ampacity", "W5", "100.00 A", "100.00 A"),
        ("conductor-corrected-ampacity", "W1", "17.44 A", "18.56 A"),
        ("controller-array-watts", "C1", "4730.00 W", "5000.00 W"),
        ("controller-input-short-circuit", "C1", "17.44 A", "20.00 A"),
        ("dc-bus-rating", "BUS1", "450.00 A", "600.00 A"),
        ("low-cut-out-window", "INV1", "46.00 V", "48.00 V"),
        ("overcurrent-minimum", "Q1", "100.00 A", "100.00 A"),
        ("overcurrent-protects-conductor", "W5", "100.00 A", "100.00 A"),
        ("pv-equipment-voltage", "PVD", "523.98 V", "600.00 V"),
        ("pv-equipment-voltage", "C2", "523.98 V", "600.00 V"),
        ("string-cold-voltage", "C1", "480.32 V", "500.00 V"),
        ("string-hot-voltage-tracker", "C1", "309.81 V", "120.00 V"),
        ("string-overcurrent-needed", "S1", "0.00 A", "30.00 A"),
        ("voltage-drop", "C1", "0.46 %", "1.00 %"),
    ] {
        verdict.closest(rule, at, found, allowed);
    }
    let ends = verdict.checked.report.compared.iter().filter(|it| it.rule == "both-ends-disconnect");
    assert_eq!(ends.filter(|it| !it.outcome.fails()).count(), 12);
}

#[test]
fn the_remedies() {
    clears(&sheet, |sheet| sheet.set("S2", "modules_in_series", "11"), "string-cold-voltage@C2");
    clears(&sheet, |sheet| sheet.set("S2", "modules_in_series", "11"), "controller-array-watts@C2");
    let larger = "conductor-continuous-ampacity@W7";
    clears(&sheet, |sheet| sheet.set_run("W7", "size", "250 kcmil"), larger).passes(
        "conductor-continuous-ampacity",
        "W7",
        "233.75 A",
        "255 A",
    );
    let two = |sheet: &mut Sheet| {
        sheet.set_run("W7", "size", "1/0");
        sheet.set_run("W7", "parallel", "2");
    };
    clears(&sheet, two, larger).passes("conductor-continuous-ampacity", "W7", "233.75 A", "300 A");
    let limited = |sheet: &mut Sheet| {
        sheet.set_all(&["C1", "C2"], "current_limit", "50 A");
        sheet.set("INV1", "charge_limit", "100 A");
    };
    clears(&sheet, limited, "battery-charge-current@P1#one-out").passes(
        "battery-charge-current",
        "P1",
        "200 A",
        "200 A",
    );
}
