//! Cases S30 to S34, S37 to S39, S41 and S59: the bank, its chargers and its place.

use crate::told::told;
use lineside_acceptance::Sheet;
use lineside_acceptance::sound::{changed, lead, nickel_iron, set, sound};

/// S30 · Two chargers, two small lithium batteries.
#[test]
fn s30() {
    let charged = |limit: &str| {
        told(&changed(sound(), |sheet| {
            set(
                sheet,
                &[
                    ("B1", "capacity", "100 Ah"),
                    ("B1", "charge_current", "50 A"),
                    ("B1", "strings_in_parallel", "2"),
                    ("B1", "unit_resistance", "16 mΩ"),
                    ("B1", "internal_fuse_rating", "100 A"),
                    ("B1", "internal_fuse_voltage", "125 V"),
                    ("B1", "internal_fuse_interrupting", "20000 A"),
                    ("B1", "internal_disconnect", "fitted"),
                    ("C1", "output_current", "60 A"),
                    ("INV1", "charger_current", "80 A"),
                    ("INV1", "charge_limit", limit),
                    ("INV1", "highest_charge_setting", "64 V"),
                ],
            );
        }))
    };
    // 60 + 80 against 2 × 50; 100 − 60 = 40
    charged("").says(&["correction battery-charge-current@B1: 140 A, not 100 A"]);
    // With one battery out the other gets it all: a lesser thing than before
    charged("40 A").says(&["advice battery-charge-current@B1#one-out: 100 A, not 50 A"]);
}

/// S31 · Equalize left on for lithium.
#[test]
fn s31() {
    let set_to = |equalize: &str| {
        told(&changed(sound(), |sheet| {
            set(sheet, &[("B1", "charge_voltage", "3.65 V"), ("B1", "equalize_setting", equalize)]);
        }))
    };
    // 16 × 3.75 against 16 × 3.65
    set_to("3.75 V").says(&["danger charge-temperature-compensation@B1#equalized: 60.0 V, not 58.4 V"]);
    set_to("").is_silent();
}

/// S32 · Dead bus: battery opens at 44 V, inverter restarts at 46 V.
#[test]
fn s32() {
    let stops_at = |cut_out: &str, cut_in: &str| {
        told(&changed(sound(), |sheet| {
            set(
                sheet,
                &[
                    ("B1", "management_low", "44.0 V"),
                    ("INV1", "lowest_input_voltage", "42 V"),
                    ("INV1", "low_cut_out", cut_out),
                    ("INV1", "cut_in", cut_in),
                ],
            );
        }))
    };
    // 44.0 + 0.5 V for 48 V nominal
    stops_at("43 V", "46 V").says(&["correction low-cut-out-window@INV1#management: 43.0 V, not 44.5 V"]);
    stops_at("47 V", "50 V").is_silent();
}

/// S33 · Cold battery, compensated charge, inverter ceiling.
#[test]
fn s33() {
    let at = |coldest: &str, ceiling: &str| {
        told(&changed(lead(24, ""), |sheet| {
            sheet.place("shed", &[("coldest", coldest)]);
            set(
                sheet,
                &[
                    ("INV1", "highest_input_voltage", "62.0 V"),
                    ("INV1", "absolute_input_voltage", "68 V"),
                    ("C1", "voltage_ceiling", ceiling),
                ],
            );
        }))
    };
    // 57.6 + 24 × 0.005 × 45, and × 30
    at("-20 °C", "").says(&["correction charge-voltage-above-equipment@INV1: 63.0 V, not 62.0 V"]);
    let mild = at("-5 °C", "");
    mild.is_silent();
    mild.passes("charge-voltage-above-equipment", "INV1", "61.2 V", "62.0 V");
    at("-20 °C", "62.0 V").is_silent();
}

/// S34 · Lithium in an unheated cabin.
#[test]
fn s34() {
    let cabin = |fields: &[(&str, &str)], coldest: &str| {
        told(&changed(sound(), |sheet| {
            sheet.place("shed", &[("coldest", coldest)]);
            for (key, typed) in
                [("charge_from", "0 °C"), ("blocks_cold_charge", "not fitted"), ("heater", "not fitted")]
            {
                sheet.set("B1", key, typed);
            }
            for (key, typed) in fields {
                sheet.set("B1", key, typed);
            }
        }))
    };
    cabin(&[], "-20 °C").says(&["danger charge-temperature-compensation@B1#cold: -20 C, not 0 C"]);
    cabin(&[("blocks_cold_charge", "fitted")], "-20 °C").is_silent();
    cabin(&[("heater", "fitted")], "-20 °C").is_silent();
    cabin(&[], "5 °C").is_silent();
}

/// S37 · Twenty nickel-iron cells on a 24 V inverter.
#[test]
fn s37() {
    let small = |cells: u32, window: (&str, &str)| told(&half(nickel_iron(cells, window)));
    // 20 × 1.65; the bottom 20 × 1.00 is just reached
    let twenty = small(20, ("20 V", "32 V"));
    twenty.says(&["correction charge-voltage-above-equipment@INV1: 33.0 V, not 32.0 V"]);
    twenty.passes("low-cut-out-window", "INV1", "20.0 V", "20.0 V");
    // 19 × 1.65, and 19 × 1.00 below 20.0 V
    let nineteen = small(19, ("20 V", "32 V"));
    nineteen.says(&["advice low-cut-out-window@INV1#early: 20.0 V, not 19.0 V"]);
    nineteen.passes("charge-voltage-above-equipment", "INV1", "31.35 V", "32.0 V");
    small(20, ("20 V", "34 V")).is_silent();
}

/// An inverter of half the power, for 24 V.
fn half(sheet: Sheet) -> Sheet {
    changed(sheet, |sheet| {
        set(
            sheet,
            &[
                ("INV1", "continuous", "2000 W"),
                ("INV1", "absolute_input_voltage", "40 V"),
                ("Q4", "rating", "25 A"),
                ("C1", "array_watts_24", "1650 W"),
            ],
        );
    })
}

/// S38 · Fifty-seven donated cells: which banks fit the inverters.
#[test]
fn s38() {
    // 24 V: 3 × 19 = 57 cells, 3 × 200 Ah; 19 × 1.65 = 31.35 V, 20 cells would reach 33.0 V
    let tops =
        |cells: u32, window| told(&nickel_iron(cells, window)).has("charge-voltage-above-equipment@INV1");
    assert!(!tops(19, ("20 V", "32 V")));
    assert!(tops(20, ("20 V", "32 V")));
    // 48 V: 38 × 1.65 = 62.7 V, 39 would reach 64.35 V
    assert!(!tops(38, ("40 V", "64 V")));
    assert!(tops(39, ("40 V", "64 V")));
}

/// S41 · Bare lithium terminals and a sheet of wood.
#[test]
fn s41() {
    let bolted = |covered: &str| {
        told(&changed(sound(), |sheet| {
            set(sheet, &[("B1", "charge_voltage", "3.65 V"), ("B1", "terminals_covered", covered)]);
        }))
    };
    // 16 × 3.65: the label says 48 V
    bolted("not fitted").says(&["correction live-parts-guarded@B1: 58.4 V, not 50 V"]);
    bolted("fitted").is_silent();
}

/// S59 · Air for a flooded bank.
#[test]
fn s59() {
    let aired = |fan: &str, capacity: &str, equalize: &str| {
        told(&changed(lead(24, "2.5 V"), |sheet| {
            sheet.place("shed", &[("vent_fan", fan)]);
            set(
                sheet,
                &[
                    ("B1", "capacity", capacity),
                    ("B1", "gas_current", "20 mA/Ah"),
                    ("B1", "equalize_current", equalize),
                ],
            );
        }))
    };
    // 0.05 × 24 × 60 = 72 m³/h
    aired("72 m³/h", "225 Ah", "60 A").passes("battery-ventilation", "shed", "72 m3/h", "72 m3/h");
    aired("71 m³/h", "225 Ah", "60 A").says(&["danger battery-ventilation@shed: 71 m3/h, not 72 m3/h"]);
    // 600 Ah × 20 mA/Ah = 12 A; 0.05 × 24 × 12 = 14.4 m³/h
    aired("14.4 m³/h", "600 Ah", "").passes("battery-ventilation", "shed", "14.4 m3/h", "14.4 m3/h");
    aired("14.3 m³/h", "600 Ah", "").says(&["danger battery-ventilation@shed: 14.3 m3/h, not 14.4 m3/h"]);
}
