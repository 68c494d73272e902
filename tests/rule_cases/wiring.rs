//! Bus bars, disconnecting means, AC, wiring and missing data.

use crate::bench::{
    INVERTER, LITHIUM, NICKEL_IRON, STRING, ac_breaker, breaker, cabin, changed, fuse, hut, set, with,
};
use crate::case::{Case, finds, passes, silent};
use lineside_acceptance::{Sheet, feet};
use lineside_rules::Severity::{Advice, Correction, Danger};

const BUS: &str = "dc-bus-rating";
const ENDS: &str = "both-ends-disconnect";
const AC: &str = "ac-voltage-frequency";
const WIRING: &str = "wiring";
const MISSING: &str = "data-missing";

/// A battery of 225 A, two controllers of 80 A, an inverter-charger of 150 A and lights of 20 A on one bus.
fn off_grid_bus(rating: &str) -> Sheet {
    changed(cabin, |sheet| {
        sheet.swap("B1", NICKEL_IRON);
        set(
            sheet,
            &[("BUS1", "rating", rating), ("F1", "rating", "225 A"), ("INV1", "charger_current", "50 A")],
        );
        sheet.block("C2", crate::bench::CONTROLLER);
        sheet.block("Q6", &breaker(80));
        sheet.run("W6", "C2.battery", "Q6.line", feet("4", 6.0));
        sheet.joint("Q6.load", "BUS1.tap4");
        sheet.block("L1", r#"dc_load((current: "10 A", max_voltage: "60 V"))"#);
        sheet.block("Q5", &breaker(20));
        sheet.run("W7", "Q5.load", "L1.in", feet("12", 10.0));
        sheet.joint("Q5.line", "BUS1.tap5");
    })
}

/// Three packs of 200 A, two controllers of 100 A and an inverter-charger of 250 A on one bus.
fn home_bus(rating: &str) -> Sheet {
    changed(cabin, |sheet| {
        set(
            sheet,
            &[
                ("BUS1", "rating", rating),
                ("Q2", "rating", "100 A"),
                ("Q3", "rating", "250 A"),
                ("INV1", "charger_current", "100 A"),
            ],
        );
        sheet.block("C2", crate::bench::CONTROLLER);
        sheet.block("Q6", &breaker(100));
        sheet.joint("C2.battery", "Q6.line");
        sheet.joint("Q6.load", "BUS1.tap4");
        for n in 2..=3 {
            sheet.block(&format!("B{n}"), LITHIUM);
            sheet.block(&format!("F{n}"), &fuse(200));
            sheet.joint(&format!("B{n}.out"), &format!("F{n}.line"));
            sheet.joint(&format!("F{n}.load"), &format!("BUS1.tap{}", 4 + n));
        }
    })
}

/// The battery with its fuse in a room of its own, so mounted; a breaker where its run comes out.
fn battery_room(mount: &str) -> Sheet {
    changed(cabin, |sheet| {
        sheet.remove("B1");
        sheet.remove("F1");
        sheet.block("QB", &breaker(200));
        sheet.joint("QB.load", "BUS1.tap2");
        sheet.place("battery room", &[("coldest", "25 °C"), ("hottest", "30 °C")]);
        sheet.block("B1", LITHIUM);
        sheet.block("F1", &fuse(200));
        sheet.set("F1", "mount", mount);
        sheet.run("W3", "B1.out", "F1.line", feet("4/0", 2.0));
        sheet.run("W6", "F1.load", "QB.line", feet("4/0", 12.0));
    })
}

/// An array in the field, so many strings in a set with such ends, and the run to the shed.
fn field(parallel: &str, ends: &str) -> Sheet {
    changed(cabin, |sheet| {
        sheet.remove("S1");
        sheet.block("Q1", &breaker(70));
        sheet.joint("Q1.load", "C1.pv");
        sheet.place("array field", &[("surroundings", "on the ground"), ("hottest", "33 °C")]);
        sheet.block("S1", STRING);
        set(sheet, &[("S1", "strings_in_parallel", parallel), ("S1", "ends", ends)]);
        sheet.run("W1", "S1.out", "Q1.line", feet("4", 60.0));
    })
}

/// A generator of such a frequency on the inverter's AC input.
fn generator(system: &str, frequency: &str) -> Sheet {
    changed(cabin, |sheet| {
        set(
            sheet,
            &[
                ("INV1", "ac_inputs", "1"),
                ("INV1", "transfer_relay", "30 A"),
                ("INV1", "ac_input_limit", "30 A"),
            ],
        );
        let set_up = r#"generator((power: "3 kW", ac_system: single_120, frequency: "60 Hz", fuel: propane,
            frame_bond: floating))"#;
        sheet.block("G1", set_up);
        set(sheet, &[("G1", "ac_system", system), ("G1", "frequency", frequency)]);
        sheet.block("Q7", &ac_breaker(30));
        sheet.run("W8", "G1.out", "Q7.line", feet("6", 20.0));
        sheet.joint("Q7.load", "INV1.in1");
    })
}

pub const CASES: &[Case] = &[
    // max(min(225 + 80 + 80, 150 + 20), min(80 + 80 + 150, 225 + 20))
    passes(BUS, "a bar of 400 A", ("BUS1", "245.00 A", "400.00 A"), || off_grid_bus("400 A")),
    passes(BUS, "exactly at the limit", ("BUS1", "245.00 A", "245.00 A"), || off_grid_bus("245 A")),
    // max(min(3 × 200 + 200, 250), min(200 + 250, 3 × 200))
    finds(BUS, "a bar of 400 A in a home", &[(Correction, "BUS1", "450.00 A", "400.00 A")], || {
        home_bus("400 A")
    }),
    finds(
        BUS,
        "a battery without any device",
        &[(Correction, "BUS1#unlimited", "no limit", "400.00 A")],
        || {
            changed(cabin, |sheet| {
                sheet.remove("F1");
                sheet.run("W3", "B1.out", "BUS1.tap2", feet("4/0", 2.0));
            })
        },
    ),
    // Two packs of 200 A come together in a joint: max(min(400 + 80, 150), min(80, 400 + 150))
    passes(BUS, "packs that come together before the bar", ("BUS1", "150.00 A", "400.00 A"), || {
        changed(cabin, |sheet| {
            sheet.remove_joint("F1.load", "BUS1.tap2");
            sheet.block("B2", LITHIUM);
            sheet.block("F2", &fuse(200));
            sheet.block("X1", r#"junction((ends: 3, rating: "400 A"))"#);
            sheet.joint("B2.out", "F2.line");
            sheet.joint("F1.load", "X1.end1");
            sheet.joint("F2.load", "X1.end2");
            sheet.run("W6", "X1.end3", "BUS1.tap2", feet("500 kcmil", 5.0));
        })
    }),
    passes(ENDS, "connectors at the strings, a breaker in the shed", ("W1.from", "1", "1"), || {
        field("1", "connectors")
    }),
    finds(
        ENDS,
        "strings with fixed leads",
        &[(Correction, "W1.from", "strings S1", "a disconnecting means")],
        || field("1", "fixed leads"),
    ),
    // 2 × 17.00 = 34 A, above what connectors isolate; 1 × 1.25 × 24.00 = 30 A is not
    finds(
        ENDS,
        "connectors of two strings",
        &[(Correction, "W1.from", "strings S1", "a disconnecting means")],
        || field("2", "connectors"),
    ),
    passes(ENDS, "connectors at exactly 30 A", ("W1.from", "1", "1"), || {
        changed(|| field("1", "connectors"), |sheet| sheet.set("S1", "short_circuit_current", "24 A"))
    }),
    passes(ENDS, "a fused switch at the battery", ("W6.from", "1", "1"), || {
        battery_room("fused load-break switch")
    }),
    finds(
        ENDS,
        "nothing but a fuse at the battery",
        &[(Correction, "W6.from", "battery B1", "a disconnecting means")],
        || battery_room("bolt-down"),
    ),
    finds(
        ENDS,
        "a touch-safe holder is none at 113 A",
        &[(Correction, "W6.from", "battery B1", "a disconnecting means")],
        || battery_room("touch-safe holder"),
    ),
    silent(ENDS, "everything in one place", cabin),
    // 60 × 1.05
    passes(AC, "a set of 62 Hz", ("G1", "62.00 Hz", "63.00 Hz"), || generator("120 V", "62 Hz")),
    passes(AC, "exactly at the limit", ("G1", "63.00 Hz", "63.00 Hz"), || generator("120 V", "63 Hz")),
    finds(AC, "a set of 64 Hz", &[(Danger, "G1#frequency", "64.00 Hz", "63.00 Hz")], || {
        generator("120 V", "64 Hz")
    }),
    finds(AC, "a set of 50 Hz", &[(Danger, "G1#frequency", "50.00 Hz", "57.00 Hz")], || {
        generator("120 V", "50 Hz")
    }),
    // 60 × 1.10
    passes(AC, "an inverter that is set to take more", ("G1", "64.00 Hz", "66.00 Hz"), || {
        changed(|| generator("120 V", "64 Hz"), |sheet| sheet.set("INV1", "input_frequency_band", "10 %"))
    }),
    finds(AC, "a set of 120/240 V on 120 V", &[(Danger, "G1", "120/240 V", "120 V")], || {
        generator("120/240 V", "60 Hz")
    }),
    passes(AC, "a panel of 120/240 V on 120 V", ("P1", "1", "1"), || {
        with(&[("P1", "ac_system", "120/240 V")])
    }),
    silent(WIRING, "nothing is wrong", cabin),
    finds(
        WIRING,
        "an array on the battery bus",
        &[(Danger, "W2#mixed", "array side and battery bus", "one kind of circuit")],
        || {
            changed(cabin, |sheet| {
                sheet.block("QX", &breaker(20));
                sheet.cut("W1");
                sheet.joint("S1.out", "QX.line");
                sheet.joint("QX.load", "BUS1.tap4");
                sheet.block("S2", STRING);
                sheet.joint("S2.out", "C1.pv");
            })
        },
    ),
    finds(
        WIRING,
        "a block that ends at itself",
        &[(Correction, "W9#self", "BUS1.tap6", "a terminal of another block")],
        || changed(cabin, |sheet| sheet.run("W9", "BUS1.tap5", "BUS1.tap6", feet("4", 1.0))),
    ),
    finds(WIRING, "a ring", &[(Correction, "W2#ring", "two ways round", "one way")], || {
        changed(cabin, |sheet| {
            // A second bar, joined to the first by two runs
            sheet.block("BUS2", r#"bus_bar((rating: "400 A", taps: 4))"#);
            sheet.remove_joint("Q2.load", "BUS1.tap1");
            sheet.joint("Q2.load", "BUS2.tap1");
            sheet.cut("W2");
            sheet.run("W2", "BUS2.tap2", "BUS1.tap4", feet("4/0", 3.0));
            sheet.run("W8", "BUS2.tap3", "BUS1.tap5", feet("4/0", 3.0));
            sheet.run("W9", "C1.battery", "Q2.line", feet("4", 6.0));
        })
    }),
    finds(WIRING, "two runs on one terminal", &[(Correction, "W4.to#crowded", "2", "1")], || {
        changed(cabin, |sheet| {
            sheet.block("L1", r#"dc_load((current: "1 A", max_voltage: "60 V"))"#);
            sheet.run("W9", "L1.in", "INV1.dc", feet("12", 1.0));
        })
    }),
    finds(WIRING, "a controller without strings", &[(Correction, "C1#open", "pv free", "connected")], || {
        changed(cabin, |sheet| sheet.remove("S1"))
    }),
    finds(
        WIRING,
        "two places joined without conductors",
        &[(Correction, "J9#direct", "a direct joint", "conductors")],
        || {
            changed(cabin, |sheet| {
                sheet.place("cellar", &[]);
                sheet.block("INV2", INVERTER);
                sheet.block("P2", crate::bench::PANEL);
                sheet.joint_as("J9", "INV2.dc", "BUS1.tap5");
                sheet.joint("INV2.out", "P2.feed");
            })
        },
    ),
    silent(MISSING, "all is given", cabin),
    // Wanted by rules that speak of danger
    finds(
        MISSING,
        "no series fuse rating on two strings",
        &[(Correction, "S1#Series fuse rating", "not given", "needed by string-overcurrent-needed")],
        || with(&[("S1", "series_fuse_rating", ""), ("S1", "strings_in_parallel", "2")]),
    ),
    finds(
        MISSING,
        "thin film without a coefficient",
        &[(
            Correction,
            "S1#Coefficient of open-circuit voltage",
            "not given",
            "needed by string-cold-voltage",
        )],
        || with(&[("S1", "technology", "thin film"), ("S1", "open_circuit_coefficient", "")]),
    ),
    // Wanted by a rule that only corrects
    finds(
        MISSING,
        "a bank that does not say what it gives",
        &[(Advice, "B1#Greatest discharge current", "not given", "needed by battery-discharge-current")],
        || with(&[("B1", "discharge_current", "")]),
    ),
    finds(
        MISSING,
        "a cable without its method, by IEC",
        &[(
            Correction,
            "W4#An ampacity in the tables",
            "not given",
            "needed by conductor-corrected-ampacity",
        )],
        || changed(hut, |sheet| sheet.set_run("W4", "method", "")),
    ),
];
