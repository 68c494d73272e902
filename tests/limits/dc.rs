//! Limits of the array side, the battery bus and its chargers.

use crate::draw::{beside, lead_strings, with};
use crate::limit::Sets::{All, Iec, Nec};
use crate::limit::{Limit, drawn, field, run};
use lineside_acceptance::Sheet;
use lineside_acceptance::sound::{changed, set, sound_by};
use lineside_core::project::RuleSet;
use lineside_rules::Severity::{Advice, Correction};

/// A route of such a length to a controller that needs 81.3 V.
fn long_route(by: RuleSet, length: &str) -> Sheet {
    changed(with(by, &[("C1", "headroom", "24.5 V")]), |sheet| sheet.set_run("W1", "length", length))
}

/// A lead bank in such a place, of whose temperature nothing is told, on an inverter for so much.
fn cold(by: RuleSet, place: &str, volts: &str) -> Sheet {
    changed(lead_strings(by, "1"), |sheet| {
        sheet.place("shed", &[("surroundings", place), ("coldest", "")]);
        sheet.set("INV1", "highest_input_voltage", volts);
    })
}

/// Strings of so many modules on a building of a kind.
fn on_building(by: RuleSet, building: &str, series: &str, volts: &str) -> Sheet {
    changed(
        with(by, &[("S1", "open_circuit_voltage", volts), ("S1", "modules_in_series", series)]),
        |sheet| {
            sheet.site("building", building);
            sheet.site("array_on_building", "fitted");
        },
    )
}

/// Another set beside the first, which differs in one field.
fn two_sets(by: RuleSet, key: &str, value: &str) -> Sheet {
    changed(sound_by(by), |sheet| {
        let lead = sheet.conductor("W1");
        sheet.block("S2", lineside_acceptance::bench::STRING);
        sheet.block("X1", r#"junction((ends: 3, rating: "60 A"))"#);
        sheet.cut("W1");
        sheet.run("W1", "S1.out", "X1.end1", lead.clone());
        sheet.run("W6", "S2.out", "X1.end2", lead);
        sheet.joint("X1.end3", "Q1.line");
        sheet.set("S2", key, value);
    })
}

/// A switching controller for so much, and modules of such a working voltage.
fn switching(by: RuleSet, volts: &str, amps: &str) -> Sheet {
    with(
        by,
        &[
            ("C1", "kind", "switching (PWM)"),
            ("C1", "output_current", amps),
            ("S1", "max_power_voltage", volts),
        ],
    )
}

/// A bank of so many cells in a dwelling, its terminals in reach.
fn home(by: RuleSet, cells: &str, charge: &str) -> Sheet {
    changed(sound_by(by), |sheet| {
        sheet.site("building", "one- or two-family dwelling");
        set(
            sheet,
            &[
                ("B1", "cells_per_unit", cells),
                ("B1", "charge_voltage", charge),
                ("B1", "terminals_covered", "not fitted"),
            ],
        );
    })
}

pub const LIMITS: &[Limit] = &[
    // 3 × 37.2 × 1.1512 = 128.47 V
    field("string-cold-voltage", All, ("C1", "max_input_voltage"), "129 V", "128 V"),
    // Neither coefficient nor record low: 1.2 × 3 × 37.2 = 133.92 V
    drawn("string-cold-voltage", Iec, "134 V", "133 V", |by, volts| {
        let controller = ("C1", "max_input_voltage", volts);
        changed(with(by, &[("S1", "open_circuit_coefficient", ""), controller]), |sheet| {
            sheet.site("record_low", "");
        })
    }),
    field("pv-equipment-voltage", All, ("Q1", "dc_voltage"), "129 V", "128 V"),
    field("module-system-voltage", All, ("S1", "system_voltage"), "129 V", "128 V"),
    run("conductor-voltage-rating", All, ("W1", "voltage"), "129 V", "128 V"),
    // 600 V at a dwelling: 3 × 173.7 × 1.1512 = 599.9 V; 1000 V at another building: 5 × 173.7 × 1.1512
    drawn("pv-building-voltage", Nec, "173.7 V", "173.8 V", |by, volts| {
        on_building(by, "one- or two-family dwelling", "3", volts)
    }),
    drawn("pv-building-voltage", All, "173.7 V", "173.8 V", |by, volts| {
        on_building(by, "other building", "5", volts)
    }),
    // 1500 V off buildings: 8 × 162.8 × 1.1512 = 1499.3 V
    drawn("pv-building-voltage", All, "162.8 V", "162.9 V", |by, volts| {
        changed(
            with(by, &[("S1", "open_circuit_voltage", volts), ("S1", "modules_in_series", "8")]),
            |sheet| {
                sheet.place("shed", &[("surroundings", "on the ground")]);
            },
        )
    }),
    drawn("cold-voltage-method", All, "-40 °C", "-41 °C", |by, low| {
        changed(with(by, &[("S1", "open_circuit_coefficient", "")]), |sheet| sheet.site("record_low", low))
    }),
    // 3 × 31.3 × (1 + 0.0034 × 56) = 111.8 V
    field("string-voltage-above-tracking", All, ("C1", "tracking_high"), "112 V", "111 V"),
    // 5 % of 31.3 V
    drawn("unequal-strings", All, "29.74 V", "29.73 V", |by, volts| two_sets(by, "max_power_voltage", volts)),
    drawn("unequal-strings", All, "195 °", "196 °", |by, degrees| two_sets(by, "azimuth", degrees))
        .is(Advice),
    drawn("unequal-strings", All, "60 °", "61 °", |by, degrees| two_sets(by, "tilt", degrees)).is(Advice),
    // 81.37 V over 56.8 + 1.0 V, at most 1.6 times as much; 17.0 A
    drawn("simple-controller-match", All, "22.3 V", "22.1 V", |by, volts| switching(by, volts, "60 A")),
    drawn("simple-controller-match", All, "35.5 V", "35.6 V", |by, volts| switching(by, volts, "60 A"))
        .is(Advice),
    drawn("simple-controller-match", All, "17 A", "16.9 A", |by, amps| switching(by, "31.3 V", amps)),
    // 3 × 31.3 × (1 − 0.0034 × 39.25) = 81.37 V
    field("string-hot-voltage-tracker", All, ("C1", "tracking_low"), "81 V", "82 V"),
    field("string-hot-voltage-battery", All, ("C1", "headroom"), "24.5 V", "24.6 V"),
    // A drop of the run counts above 2 %: 1.9 V less
    drawn("string-hot-voltage-battery", Nec, "59 ft", "60 ft", long_route),
    drawn("string-hot-voltage-battery", Iec, "12.3 m", "12.5 m", long_route),
    // 16 × 3.2 V
    field("nominal-voltage", All, ("INV1", "lowest_input_voltage"), "51 V", "52 V"),
    // 16 × 3.55 V
    field("charge-voltage-above-equipment", All, ("INV1", "highest_input_voltage"), "57 V", "56 V"),
    // 24 × (2.58 + 0.005 × 15): indoors 10 °C where it is not told; outdoors 10 K above the record low
    drawn("charge-voltage-above-equipment", All, "63.8 V", "63.6 V", |by, volts| cold(by, "indoors", volts)),
    drawn("charge-voltage-above-equipment", All, "67.5 V", "67.4 V", |by, volts| {
        cold(by, "on the ground", volts)
    }),
    field("charger-reaches-voltage", All, ("C1", "highest_charge_setting"), "57 V", "56 V"),
    field("charge-temperature-compensation", All, ("B1", "equalize_setting"), "3.55 V", "3.56 V"),
    field("charge-temperature-compensation", All, ("B1", "compensation"), "0 mV/°C", "-0.1 mV/°C").by_fact(),
    // The table's ceiling of 3.65 V
    field("charge-temperature-compensation", All, ("B1", "charge_voltage"), "3.65 V", "3.66 V"),
    drawn("charge-temperature-compensation", All, "0 °C", "-0.1 °C", |by, coldest| {
        changed(sound_by(by), |sheet| {
            sheet.place("shed", &[("coldest", coldest)]);
            set(sheet, &[("B1", "blocks_cold_charge", "not fitted"), ("B1", "heater", "not fitted")]);
        })
    })
    .by_fact(),
    drawn("charge-temperature-compensation", All, "fitted", "not fitted", |by, sensor| {
        changed(lead_strings(by, "1"), |sheet| sheet.set("C1", "temperature_sensor", sensor))
    })
    .is(Correction),
    field("nominal-voltage", All, ("Q3", "dc_voltage"), "52 V", "51 V"),
    drawn("battery-charge-current", All, "60 A", "59 A", |by, amps| {
        changed(beside(by, "200 Ah"), |sheet| {
            set(sheet, &[("B1", "charge_current", amps), ("B2", "charge_current", amps)]);
        })
    })
    .is(Advice),
    // A twentieth of the capacity of flooded cells
    drawn("battery-charge-current", All, "1200 Ah", "1210 Ah", |by, capacity| {
        changed(lead_strings(by, "1"), |sheet| sheet.set("B1", "capacity", capacity))
    })
    .is(Advice),
    // 44 V over 16
    field("low-cut-out-window", All, ("B1", "lowest_voltage"), "2.75 V", "2.76 V"),
    field("low-cut-out-window", All, ("B1", "empty_voltage"), "2.75 V", "2.74 V").is(Advice),
    field("low-cut-out-window", All, ("B1", "management_low"), "43.4 V", "43.6 V"),
    field("low-cut-out-window", All, ("INV1", "cut_in"), "56.8 V", "57 V"),
    field("low-cut-out-window", All, ("INV1", "cut_in"), "44 V", "43.9 V"),
    field("battery-charge-current", All, ("B1", "charge_current"), "60 A", "59 A"),
    // 4000 / (0.92 × 44) = 98.8 A
    field("battery-discharge-current", All, ("B1", "discharge_current"), "99 A", "98 A"),
    drawn("battery-discharge-current", All, "198 A", "197 A", |by, peak| {
        with(by, &[("INV1", "surge", "8000 W"), ("B1", "peak_current", peak)])
    }),
    drawn("parallel-battery-strings", All, "180 Ah", "179 Ah", beside).is(Correction),
    drawn("parallel-battery-strings", All, "2", "1", |by, limit| {
        changed(beside(by, "200 Ah"), |sheet| set(sheet, &[("B1", "parallel_limit", limit)]))
    })
    .is(Correction),
    drawn("parallel-battery-strings", All, "fitted", "not fitted", |by, switched| {
        changed(lead_strings(by, "2"), |sheet| sheet.set("B1", "internal_disconnect", switched))
    }),
    drawn("parallel-battery-strings", All, "50 A", "", |by, fuse| {
        changed(lead_strings(by, "2"), |sheet| sheet.set("B1", "internal_fuse_rating", fuse))
    }),
    drawn("parallel-battery-strings", All, "16", "15", |by, cells| {
        changed(beside(by, "200 Ah"), |sheet| sheet.set("B2", "cells_per_unit", cells))
    })
    .is(Correction),
    // 0.6 m of lead is nine tenths of 0.667 m
    drawn("parallel-battery-strings", All, "0.66 m", "0.67 m", |by, length| {
        changed(beside(by, "200 Ah"), |sheet| {
            sheet.set_run("W3", "length", "0.6 m");
            sheet.set_run("W6", "length", length);
        })
    })
    .is(Correction),
    drawn("parallel-battery-strings", All, "3", "4", lead_strings).is(Advice),
    // 28 and 33 cells
    drawn("dwelling-battery-voltage", Nec, "3.57 V", "3.58 V", |by, charge| home(by, "28", charge)),
    drawn("dwelling-battery-voltage", Iec, "3.63 V", "3.64 V", |by, charge| home(by, "33", charge)),
    // 1.25 × 13.6 = 17.0 A
    field("controller-input-short-circuit", All, ("C1", "input_short_circuit_current"), "17 A", "16.9 A")
        .is(Correction),
    drawn("controller-input-short-circuit", All, "13.6 A", "13.5 A", |by, amps| {
        let basis = "current at 25 °C, 1000 W/m²";
        with(by, &[("C1", "input_short_circuit_current", amps), ("C1", "input_rating_basis", basis)])
    }),
    // 3 × 400 W
    field("controller-array-watts", All, ("C1", "array_watts_48"), "1200 W", "1190 W").is(Advice),
];
