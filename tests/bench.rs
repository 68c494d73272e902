//! Two small sound systems, each in one place, from which cases depart: `cabin` by NEC 2023, `hut` by IEC, and
//! nameplates for what is changed. The cases themselves are elsewhere.

use crate::sheet::{Sheet, feet};
use lineside_core::circuit::{Conductor, Insulation, Method, Raceway, Stranding};
use lineside_core::project::RuleSet;
use lineside_core::testing::copper;
use lineside_core::units::{Celsius, Meters};

/// Three modules of 37.2 V and 13.60 A in series, −0.27 %/°C, series fuse 25 A.
pub const STRING: &str = r#"strings((power: "400 W", open_circuit_voltage: "37.2 V", max_power_voltage: "31.3 V",
    short_circuit_current: "13.60 A", max_power_current: "12.79 A", technology: crystalline,
    open_circuit_coefficient: "-0.27 %/°C", power_coefficient: "-0.34 %/°C", nominal_cell_temperature: "45 °C",
    series_fuse_rating: "25 A", system_voltage: "1000 V", modules_in_series: 3, strings_in_parallel: 1,
    mounting: ground, tilt: "45 °", azimuth: "180 °", ends: leads))"#;
/// A step-down controller of 150 V and 60 A.
pub const CONTROLLER: &str = r#"charge_controller((kind: tracking_step_down, max_input_voltage: "150 V",
    output_current: "60 A", separation: none, tracking_low: "60 V", tracking_high: "145 V", headroom: "5 V",
    input_short_circuit_current: "60 A", array_watts_24: "1650 W", array_watts_48: "3300 W",
    max_output_voltage: "72 V"))"#;
/// Sixteen cells of lithium iron phosphate, 51.2 V, 56.8 V at full charge.
pub const LITHIUM: &str = r#"battery_bank((chemistry: lithium_iron_phosphate, cells_per_unit: 16,
    capacity: "200 Ah", rated_time: "5 h", full_rest_voltage: "3.40 V", charge_voltage: "3.55 V",
    empty_voltage: "3.00 V", lowest_voltage: "2.50 V", unit_resistance: "7.8 mΩ", charge_current: "100 A",
    discharge_current: "150 A", units_in_series: 1, strings_in_parallel: 1))"#;
/// Forty cells of nickel-iron, equalize at 66 V, compensation −4 mV/°C.
pub const NICKEL_IRON: &str = r#"battery_bank((chemistry: nickel_iron, cells_per_unit: 1, capacity: "400 Ah",
    rated_time: "5 h", full_rest_voltage: "1.40 V", charge_voltage: "1.55 V", empty_voltage: "1.00 V",
    lowest_voltage: "1.00 V", equalize_voltage: "1.65 V", compensation: "-4 mV/°C", unit_resistance: "0.5 mΩ",
    charge_current: "200 A", discharge_current: "200 A", units_in_series: 40, strings_in_parallel: 1))"#;
/// Four units of three flooded lead cells, equalize at 30.96 V, compensation −5 mV/°C.
pub const LEAD: &str = r#"battery_bank((chemistry: flooded_lead, cells_per_unit: 3, capacity: "225 Ah",
    rated_time: "20 h", full_rest_voltage: "2.12 V", charge_voltage: "2.40 V", empty_voltage: "1.75 V",
    lowest_voltage: "1.75 V", equalize_voltage: "2.58 V", compensation: "-5 mV/°C", unit_resistance: "2 mΩ",
    charge_current: "80 A", discharge_current: "150 A", units_in_series: 4, strings_in_parallel: 1))"#;
/// 4000 W at 120 V, 44 to 64 V.
pub const INVERTER: &str = r#"inverter((continuous: "4000 W", ac_system: single_120, frequency: "60 Hz",
    ac_inputs: 0, lowest_input_voltage: "44 V", highest_input_voltage: "64 V", neutral_bonding: always,
    separation: galvanic, rated_efficiency: "92 %", export: off))"#;
/// A panel with nothing said of its loads.
pub const PANEL: &str = r#"ac_panel((ac_system: single_120, bus_rating: "100 A", taps: 2, bond: separate,
    multiwire: none))"#;

/// A DC breaker, listed for PV, of 125 V and 10 kA.
pub fn breaker(amps: u32) -> String {
    format!(
        r#"breaker((rating: "{amps} A", poles: 1, polarity: none, duty: eighty_percent, trip: hydraulic_magnetic,
        dc_voltage: "125 V", interrupting_dc: "10000 A", pv_listed: yes, position: closed))"#
    )
}

/// An AC breaker.
pub fn ac_breaker(amps: u32) -> String {
    format!(
        r#"breaker((rating: "{amps} A", poles: 2, polarity: none, duty: eighty_percent, trip: inverse_time,
        ac_voltage: "240 V", interrupting_ac: "10000 A", position: closed))"#
    )
}

/// A current-limiting fuse, bolted, of 125 V and 20 kA.
pub fn fuse(amps: u32) -> String {
    format!(
        r#"fuse((rating: "{amps} A", mount: bolt_down, class: class_t, duty: eighty_percent, dc_voltage: "125 V",
        interrupting_dc: "20000 A", position: closed))"#
    )
}

/// Strings to controller, controller to bus, bank to bus, bus to inverter, inverter to panel:
/// `S1 W1 C1 W2 Q2 BUS1 F1 W3 B1`, `BUS1 Q3 W4 INV1 Q4 W5 P1`. −31 to 33 °C.
pub fn cabin() -> Sheet {
    let mut sheet = Sheet::new(RuleSet::Nec2023, -31.0, 33.0);
    sheet.place("shed", &[("surroundings", "indoors"), ("coldest", "25 °C"), ("hottest", "30 °C")]);
    sheet.block("S1", STRING);
    sheet.block("C1", CONTROLLER);
    sheet.block("BUS1", r#"bus_bar((rating: "400 A", taps: 8))"#);
    sheet.block("Q2", &breaker(80));
    sheet.block("F1", &fuse(200));
    sheet.block("B1", LITHIUM);
    sheet.block("Q3", &breaker(150));
    sheet.block("INV1", INVERTER);
    sheet.block("Q4", &ac_breaker(45));
    sheet.block("P1", PANEL);
    let string = Conductor { insulation: Insulation::PvWire, raceway: Raceway::FreeAir, ..feet("10", 15.0) };
    sheet.run("W1", "S1.out", "C1.pv", string);
    sheet.run("W2", "C1.battery", "Q2.line", feet("4", 6.0));
    sheet.joint("Q2.load", "BUS1.tap1");
    sheet.run("W3", "B1.out", "F1.line", feet("4/0", 2.0));
    sheet.joint("F1.load", "BUS1.tap2");
    sheet.joint("BUS1.tap3", "Q3.line");
    sheet.run("W4", "Q3.load", "INV1.dc", feet("1/0", 8.0));
    sheet.joint("INV1.out", "Q4.line");
    sheet.run("W5", "Q4.load", "P1.feed", feet("6", 30.0));
    sheet
}

/// PV cable of copper on a surface, in 30 °C.
pub fn pv_cable(size: &str, meters: f64) -> Conductor {
    Conductor {
        insulation: Insulation::PvCable,
        raceway: Raceway::FreeAir,
        method: Some(Method::Surface),
        ..cable(size, meters, 30.0)
    }
}

/// PVC 70 °C of fine strands by method B1.
pub fn cable(size: &str, meters: f64, ambient: f64) -> Conductor {
    Conductor {
        insulation: Insulation::Pvc70,
        stranding: Stranding::Fine,
        method: Some(Method::B1),
        raceway: Raceway::PlasticConduit,
        ambient: Some(Celsius::new(ambient)),
        ..copper(size, Meters::new(meters))
    }
}

/// The same by IEC, with metric cables in 35 °C and 230 V, 50 Hz.
pub fn hut() -> Sheet {
    let mut sheet = cabin();
    for run in ["W1", "W2", "W3", "W4", "W5"] {
        sheet.cut(run);
    }
    sheet.rule_set(RuleSet::Iec);
    for (tag, key, typed) in [
        ("INV1", "ac_system", "230 V"),
        ("INV1", "frequency", "50 Hz"),
        ("Q4", "rating", "20 A"),
        ("P1", "ac_system", "230 V"),
        ("F1", "rating", "160 A"),
    ] {
        sheet.set(tag, key, typed);
    }
    sheet.run("W1", "S1.out", "C1.pv", pv_cable("4 mm²", 4.0));
    sheet.run("W2", "C1.battery", "Q2.line", cable("25 mm²", 2.0, 35.0));
    sheet.run("W3", "B1.out", "F1.line", cable("70 mm²", 0.6, 35.0));
    sheet.run("W4", "Q3.load", "INV1.dc", cable("70 mm²", 2.0, 35.0));
    sheet.run("W5", "Q4.load", "P1.feed", cable("4 mm²", 8.0, 35.0));
    sheet
}

/// A sheet after some changes: `changed(cabin, |sheet| …)`.
pub fn changed(base: fn() -> Sheet, change: impl Fn(&mut Sheet)) -> Sheet {
    let mut sheet = base();
    change(&mut sheet);
    sheet
}

/// The cabin with its strings changed, field by field.
pub fn strings(fields: &[(&str, &str)]) -> Sheet {
    changed(cabin, |sheet| fields.iter().for_each(|(key, typed)| sheet.set("S1", key, typed)))
}

/// The cabin after fields of blocks were set.
pub fn with(fields: &[(&str, &str, &str)]) -> Sheet {
    changed(cabin, |sheet| set(sheet, fields))
}

/// Sets fields of blocks.
pub fn set(sheet: &mut Sheet, fields: &[(&str, &str, &str)]) {
    for (tag, key, typed) in fields {
        sheet.set(tag, key, typed);
    }
}

/// The cabin with another bank.
pub fn with_bank(bank: &str) -> Sheet {
    changed(cabin, |sheet| sheet.swap("B1", bank))
}
