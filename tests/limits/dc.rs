//! Limits of the array side and the battery bus.

use crate::limit::Sets::{All, Iec, Nec};
use crate::limit::{Limit, drawn, field, run};
use lineside_acceptance::bench::{LEAD, LITHIUM, breaker, fuse};
use lineside_acceptance::sound::{bank, changed, combined, set, sound_by};
use lineside_acceptance::{Sheet, feet};
use lineside_core::project::RuleSet;

/// The sound system with several fields.
fn with(by: RuleSet, fields: &[(&str, &str, &str)]) -> Sheet {
    changed(sound_by(by), |sheet| set(sheet, fields))
}

/// Strings on the ways of a combiner, under a rule set.
fn ways(by: RuleSet, count: u32, fields: &[(&str, &str, &str)]) -> Sheet {
    changed(combined(count, "25 A", &[]), |sheet| {
        sheet.rule_set(by);
        set(sheet, fields);
    })
}

/// A second pack beside the first, with such a capacity.
fn beside(by: RuleSet, capacity: &str) -> Sheet {
    changed(sound_by(by), |sheet| {
        sheet.block("B2", LITHIUM);
        sheet.block("F2", &fuse(200));
        let lead = sheet.conductor("W3");
        sheet.run("W6", "B2.out", "F2.line", lead);
        sheet.joint("F2.load", "BUS1.tap5");
        set(sheet, &[("F2", "mount", "fused load-break switch"), ("B2", "capacity", capacity)]);
    })
}

/// So many strings of lead, each with a fuse and a disconnect of its own.
fn lead_strings(by: RuleSet, count: &str) -> Sheet {
    changed(sound_by(by), |sheet| {
        bank(sheet, LEAD);
        set(
            sheet,
            &[
                ("B1", "units_in_series", "8"),
                ("B1", "strings_in_parallel", count),
                ("B1", "internal_fuse_rating", "50 A"),
                ("B1", "internal_fuse_voltage", "125 V"),
                ("B1", "internal_disconnect", "fitted"),
            ],
        );
    })
}

/// Three strings of modules that stand 100 A in series, on the conductor of the sound system.
fn by_conductor(by: RuleSet, amps: &str) -> Sheet {
    let fuse = ("S1", "series_fuse_rating", "100 A");
    with(by, &[("S1", "strings_in_parallel", "3"), fuse, ("S1", "short_circuit_current", amps)])
}

/// Everything on the ground, the strings' leads of such an insulation.
fn in_the_field(by: RuleSet, insulation: &str) -> Sheet {
    changed(sound_by(by), |sheet| {
        sheet.place("shed", &[("surroundings", "on the ground"), ("locked", "fitted")]);
        sheet.set_run("W1", "insulation", insulation);
    })
}

/// A load whose breaker stands at its own end of the run.
fn far_breaker(by: RuleSet, amps: &str) -> Sheet {
    changed(sound_by(by), |sheet| {
        sheet.block("L1", r#"dc_load((current: "10 A", max_voltage: "62 V"))"#);
        sheet.block("Q5", &breaker(20));
        let laid = sheet.conductor("W3");
        sheet.run("W6", "BUS1.tap5", "Q5.line", laid);
        sheet.joint("Q5.load", "L1.in");
        sheet.set("F1", "rating", amps);
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

pub const LIMITS: &[Limit] = &[
    // 3 × 37.2 × 1.1512 = 128.47 V
    field("string-cold-voltage", All, ("C1", "max_input_voltage"), "129 V", "128 V"),
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
    drawn("cold-voltage-method", All, "-40 °C", "-41 °C", |by, low| {
        changed(with(by, &[("S1", "open_circuit_coefficient", "")]), |sheet| sheet.site("record_low", low))
    }),
    // 3 × 31.3 × (1 + 0.0034 × 56) = 111.8 V
    field("string-voltage-above-tracking", All, ("C1", "tracking_high"), "112 V", "111 V"),
    // 5 % of 31.3 V
    drawn("unequal-strings", All, "29.74 V", "29.73 V", |by, volts| two_sets(by, "max_power_voltage", volts)),
    drawn("unequal-strings", All, "195 °", "196 °", |by, degrees| two_sets(by, "azimuth", degrees)),
    drawn("unequal-strings", All, "60 °", "61 °", |by, degrees| two_sets(by, "tilt", degrees)),
    // 81.37 V over 56.8 + 1.0 V, at most 1.6 times as much; 17.0 A
    drawn("simple-controller-match", All, "22.3 V", "22.1 V", |by, volts| switching(by, volts, "60 A")),
    drawn("simple-controller-match", All, "35.5 V", "35.6 V", |by, volts| switching(by, volts, "60 A")),
    drawn("simple-controller-match", All, "17 A", "16.9 A", |by, amps| switching(by, "31.3 V", amps)),
    // 3 × 31.3 × (1 − 0.0034 × 39.25) = 81.37 V
    field("string-hot-voltage-tracker", All, ("C1", "tracking_low"), "81 V", "82 V"),
    field("string-hot-voltage-battery", All, ("C1", "headroom"), "24.5 V", "24.6 V"),
    // 16 × 3.2 V
    field("nominal-voltage", All, ("INV1", "lowest_input_voltage"), "51 V", "52 V"),
    // 16 × 3.55 V
    field("charge-voltage-above-equipment", All, ("INV1", "highest_input_voltage"), "57 V", "56 V"),
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
    }),
    field("nominal-voltage", All, ("Q3", "dc_voltage"), "52 V", "51 V"),
    drawn("battery-charge-current", All, "60 A", "59 A", |by, amps| {
        changed(beside(by, "200 Ah"), |sheet| {
            set(sheet, &[("B1", "charge_current", amps), ("B2", "charge_current", amps)]);
        })
    }),
    // A twentieth of the capacity of flooded cells
    drawn("battery-charge-current", All, "1200 Ah", "1210 Ah", |by, capacity| {
        changed(lead_strings(by, "1"), |sheet| sheet.set("B1", "capacity", capacity))
    }),
    // 44 V over 16
    field("low-cut-out-window", All, ("B1", "lowest_voltage"), "2.75 V", "2.76 V"),
    field("low-cut-out-window", All, ("B1", "empty_voltage"), "2.75 V", "2.74 V"),
    field("low-cut-out-window", All, ("B1", "management_low"), "43.4 V", "43.6 V"),
    field("low-cut-out-window", All, ("INV1", "cut_in"), "56.8 V", "57 V"),
    field("low-cut-out-window", All, ("INV1", "cut_in"), "44 V", "43.9 V"),
    field("battery-charge-current", All, ("B1", "charge_current"), "60 A", "59 A"),
    // 4000 / (0.92 × 44) = 98.8 A
    field("battery-discharge-current", All, ("B1", "discharge_current"), "99 A", "98 A"),
    drawn("battery-discharge-current", All, "198 A", "197 A", |by, peak| {
        with(by, &[("INV1", "surge", "8000 W"), ("B1", "peak_current", peak)])
    }),
    drawn("parallel-battery-strings", All, "180 Ah", "179 Ah", beside),
    drawn("parallel-battery-strings", All, "2", "1", |by, limit| {
        changed(beside(by, "200 Ah"), |sheet| set(sheet, &[("B1", "parallel_limit", limit)]))
    }),
    drawn("parallel-battery-strings", All, "fitted", "not fitted", |by, switched| {
        changed(lead_strings(by, "2"), |sheet| sheet.set("B1", "internal_disconnect", switched))
    }),
    drawn("parallel-battery-strings", All, "50 A", "", |by, fuse| {
        changed(lead_strings(by, "2"), |sheet| sheet.set("B1", "internal_fuse_rating", fuse))
    }),
    drawn("parallel-battery-strings", All, "16", "15", |by, cells| {
        changed(beside(by, "200 Ah"), |sheet| sheet.set("B2", "cells_per_unit", cells))
    }),
    // 0.6 m of lead is nine tenths of 0.667 m
    drawn("parallel-battery-strings", All, "0.66 m", "0.67 m", |by, length| {
        changed(beside(by, "200 Ah"), |sheet| {
            sheet.set_run("W3", "length", "0.6 m");
            sheet.set_run("W6", "length", length);
        })
    }),
    drawn("parallel-battery-strings", All, "3", "4", lead_strings),
    // 28 and 33 cells
    drawn("dwelling-battery-voltage", Nec, "3.57 V", "3.58 V", |by, charge| home(by, "28", charge)),
    drawn("dwelling-battery-voltage", Iec, "3.63 V", "3.64 V", |by, charge| home(by, "33", charge)),
    // 1.25 × 13.6 = 17.0 A
    field("controller-input-short-circuit", All, ("C1", "input_short_circuit_current"), "17 A", "16.9 A"),
    drawn("controller-input-short-circuit", All, "13.6 A", "13.5 A", |by, amps| {
        let basis = "current at 25 °C, 1000 W/m²";
        with(by, &[("C1", "input_short_circuit_current", amps), ("C1", "input_rating_basis", basis)])
    }),
    // 3 × 400 W
    field("controller-array-watts", All, ("C1", "array_watts_48"), "1200 W", "1190 W"),
    // 1.5625 × 22.4 = 35.0 A on 10 AWG
    field("conductor-continuous-ampacity", Nec, ("S1", "short_circuit_current"), "22.4 A", "22.5 A"),
    // 95 A of 4 AWG at 90 °C
    field("conductor-corrected-ampacity", Nec, ("C1", "output_current"), "95 A", "96 A"),
    field("conductor-corrected-ampacity", Iec, ("C1", "output_current"), "94 A", "96 A"),
    // 70 A of 4 AWG at 60 °C
    drawn("terminal-temperature", Nec, "56 A", "57 A", |by, amps| {
        changed(sound_by(by), |sheet| {
            sheet.set_run("W2", "terminal_to", "");
            sheet.set("C1", "output_current", amps);
        })
    }),
    drawn("small-conductor-limit", Nec, "30 A", "31 A", |by, amps| {
        changed(sound_by(by), |sheet| {
            sheet.swap("Q1", &breaker(30));
            sheet.set("Q1", "rating", amps);
        })
    }),
    run("voltage-drop", Nec, ("W2", "length"), "13.8 ft", "13.9 ft"),
    run("voltage-drop", Iec, ("W2", "length"), "4.5 m", "4.6 m"),
    run("flexible-cable", Nec, ("W3", "insulation"), "RHW-2", "welding cable").by_fact(),
    drawn("flexible-cable", All, "crimped lugs for these strands", "bare strands", |by, ends| {
        changed(
            with(by, &[("B1", "terminal_marking", "copper"), ("F1", "terminal_marking", "copper")]),
            |sheet| {
                sheet.set_run("W3", "stranding", "fine strand");
                sheet.set_run("W3", "ends", ends);
            },
        )
    })
    .by_fact(),
    drawn("conductor-type-place", Nec, "PV wire", "THWN-2", in_the_field).by_fact(),
    drawn("conductor-type-place", Iec, "PV cable", "PVC", in_the_field).by_fact(),
    // (2 − 1) × 1.25 × 13.6
    drawn("string-overcurrent-needed", Nec, "17 A", "16.9 A", |by, fuse| {
        with(by, &[("S1", "strings_in_parallel", "2"), ("S1", "series_fuse_rating", fuse)])
    }),
    drawn("string-overcurrent-needed", Iec, "13.6 A", "13.5 A", |by, fuse| {
        with(by, &[("S1", "strings_in_parallel", "2"), ("S1", "series_fuse_rating", fuse)])
    }),
    // (3 − 1) × 1.25 × 14.0 on 35 A of 10 AWG; (3 − 1) × 22 on 44 A of 4 mm²
    drawn("string-overcurrent-needed", Nec, "14 A", "14.1 A", by_conductor),
    drawn("string-overcurrent-needed", Iec, "22 A", "22.1 A", by_conductor),
    // 2.4 × 13.6 = 32.64 A
    drawn("string-overcurrent-size", Iec, "32.6 A", "32.7 A", |by, amps| {
        ways(by, 2, &[("CB1", "device_rating", amps)])
    }),
    // 1.5625 × 13.6 = 21.25 A
    drawn("string-overcurrent-size", Nec, "21.3 A", "21.2 A", |by, amps| {
        ways(by, 2, &[("CB1", "device_rating", amps)])
    }),
    drawn("string-overcurrent-size", Iec, "20.5 A", "20.3 A", |by, amps| {
        ways(by, 2, &[("CB1", "device_rating", amps)])
    }),
    drawn("module-series-fuse", All, "25 A", "24.9 A", |by, amps| {
        ways(by, 3, &[("S1", "series_fuse_rating", amps), ("S2", "series_fuse_rating", amps)])
    }),
    // 1.25 × 60 A
    field("overcurrent-minimum", Nec, ("Q2", "rating"), "75 A", "74 A"),
    field("overcurrent-minimum", Iec, ("Q2", "rating"), "60 A", "59 A"),
    field("overcurrent-protects-conductor", Nec, ("Q3", "rating"), "150 A", "151 A"),
    field("overcurrent-protects-conductor", Iec, ("Q3", "rating"), "180 A", "181 A"),
    field("overcurrent-dc-rated", All, ("Q1", "pv_listed"), "fitted", "not fitted"),
    drawn("both-ends-overcurrent", Nec, "190 A", "191 A", far_breaker),
    drawn("both-ends-overcurrent", Iec, "120 A", "121 A", far_breaker),
    drawn("both-ends-overcurrent", All, "fused", "bare", |by, lead| {
        changed(far_breaker(by, "60 A"), |sheet| {
            if lead == "bare" {
                let cable = sheet.conductor("W3");
                sheet.remove("F1");
                sheet.run("W3", "B1.out", "BUS1.tap2", cable);
            }
        })
    })
    .by_fact(),
    run("battery-fuse-distance", All, ("W3", "length"), "1.5 m", "1.51 m"),
    // The pack alone, behind its lead: 6800 A, by the IEC with nine tenths of its resistance 7405 A
    field("interrupt-rating", Nec, ("F1", "interrupting_dc"), "6900 A", "6700 A"),
    field("interrupt-rating", Iec, ("F1", "interrupting_dc"), "7500 A", "7300 A"),
    // With the 60 A of the controller
    field("assembly-short-circuit-rating", Nec, ("BUS1", "short_circuit_rating"), "6900 A", "6800 A"),
    field("assembly-short-circuit-rating", Iec, ("BUS1", "short_circuit_rating"), "7500 A", "7400 A"),
    // At the far end of W4: 3454 A, by the IEC 3584 A
    drawn("fault-clears", Nec, "3450 A", "3460 A", |by, amps| {
        with(by, &[("F1", "five_second_current", "9000 A"), ("Q3", "five_second_current", amps)])
    }),
    drawn("fault-clears", Iec, "3580 A", "3590 A", |by, amps| {
        with(by, &[("F1", "five_second_current", "9000 A"), ("Q3", "five_second_current", amps)])
    }),
    // 4 AWG at 6800 A: (41 740 / 6800)² × 0.0297 × log10(384 / 309) = 0.1056 s; by the IEC (115 × 25 / 7405)² = 0.1507 s
    field("conductor-short-circuit-heating", Nec, ("Q2", "clearing_time"), "0.105 s", "0.107 s"),
    field("conductor-short-circuit-heating", Iec, ("Q2", "clearing_time"), "0.148 s", "0.152 s"),
    field("overcurrent-standard-size", Nec, ("Q2", "rating"), "80 A", "75 A").by_fact(),
    field("overcurrent-standard-size", Iec, ("Q2", "rating"), "80 A", "75 A").by_fact(),
    drawn("parallel-conductors", Nec, "1/0 AWG", "1 AWG", |by, size| {
        changed(sound_by(by), |sheet| {
            sheet.set_run("W2", "parallel", "2");
            sheet.set_run("W2", "size", size);
        })
    })
    .by_fact(),
    drawn("parallel-conductors", Iec, "16 mm²", "10 mm²", |by, size| {
        changed(sound_by(by), |sheet| {
            sheet.set_run("W2", "parallel", "2");
            sheet.set_run("W2", "size", size);
        })
    })
    .by_fact(),
    drawn("raceway-fill", Nec, "1-1/4", "1", |by, size| {
        changed(sound_by(by), |sheet| sheet.set_run("W4", "raceway_size", size))
    })
    .by_fact(),
    // No table gives the areas of metric cables
    drawn("raceway-fill", Iec, "1-1/4", "1", |by, size| {
        changed(sound_by(by), |sheet| {
            sheet.lay("W4", feet("1/0", 8.0));
            sheet.set_run("W4", "raceway_size", size);
        })
    })
    .by_fact(),
    field("dc-bus-rating", Nec, ("BUS1", "rating"), "150 A", "149 A"),
    field("dc-bus-rating", Iec, ("BUS1", "rating"), "160 A", "159 A"),
    drawn("combiner-bus-rating", Nec, "42.5 A", "42 A", |by, amps| {
        ways(by, 2, &[("CB1", "bus_rating", amps)])
    }),
    drawn("combiner-bus-rating", Iec, "34 A", "33 A", |by, amps| ways(by, 2, &[("CB1", "bus_rating", amps)])),
];

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
