//! Overcurrent devices of strings: where they are needed, and how large.

use crate::bench::{STRING, breaker, cabin, changed, hut, pv_cable, strings, with};
use crate::case::{Case, finds, passes, silent};
use lineside_acceptance::{Sheet, feet};
use lineside_rules::Severity::{Correction, Danger};

const NEEDED: &str = "string-overcurrent-needed";
const SIZE: &str = "string-overcurrent-size";
const SERIES: &str = "module-series-fuse";

const JOINT: &str = r#"junction((ends: 4, rating: "60 A"))"#;

/// A combiner of three ways, each with a breaker of so many amperes.
pub fn ways(amps: &str) -> String {
    format!(
        r#"combiner((ways: 3, buses: 1, bus_rating: "100 A", device: breaker, device_rating: "{amps} A",
        polarity: none, duty: eighty_percent, dc_voltage: "150 V", interrupting_rating: "10000 A",
        pv_listed: yes))"#
    )
}

/// So many like strings, each on its own 10 AWG (4 mm²), gathered in a box, then one run to the controller.
pub fn gathered(base: fn() -> Sheet, count: u32, gathers: &str) -> Sheet {
    changed(base, |sheet| {
        let nec = sheet.project().rule_set.is_nec();
        let string = sheet.conductor("W1");
        sheet.cut("W1");
        sheet.block("CB1", gathers);
        let (way, out) = if gathers == JOINT { ("end", "end4") } else { ("way", "out") };
        for n in 1..=count {
            if n > 1 {
                sheet.block(&format!("S{n}"), STRING);
            }
            sheet.run(&format!("W1{n}"), &format!("S{n}.out"), &format!("CB1.{way}{n}"), string.clone());
        }
        let onward = if nec { feet("4", 20.0) } else { pv_cable("16 mm²", 6.0) };
        sheet.run("W1", &format!("CB1.{out}"), "C1.pv", onward);
    })
}

/// One string behind a device of its own, with a second string beside it.
pub fn string_device(base: fn() -> Sheet, amps: &str) -> Sheet {
    gathered(base, 2, &ways(amps))
}

/// Two strings of 9.20 A behind one breaker, beside a third: modules that allow 15 A.
fn one_for_two(base: fn() -> Sheet, short_circuit: &str, series_fuse: &str, amps: &str) -> Sheet {
    changed(base, |sheet| {
        let string = sheet.conductor("W1");
        sheet.cut("W1");
        sheet.block("S2", STRING);
        sheet.block("CB1", &ways(amps));
        for tag in ["S1", "S2"] {
            sheet.set(tag, "short_circuit_current", short_circuit);
            sheet.set(tag, "series_fuse_rating", series_fuse);
            sheet.set(tag, "max_power_current", "4 A");
        }
        sheet.set("S1", "strings_in_parallel", "2");
        sheet.run("W11", "S1.out", "CB1.way1", string.clone());
        sheet.run("W12", "S2.out", "CB1.way2", string.clone());
        sheet.run("W1", "CB1.out", "C1.pv", string);
    })
}

pub const CASES: &[Case] = &[
    // 1.25 × 13.60 × (2 − 1)
    passes(NEEDED, "two strings", ("S1", "17.00 A", "25.00 A"), || gathered(cabin, 2, JOINT)),
    passes(NEEDED, "one string", ("S1", "0.00 A", "25.00 A"), cabin),
    passes(NEEDED, "exactly at the limit", ("S1", "17.00 A", "17.00 A"), || {
        changed(
            || gathered(cabin, 2, JOINT),
            |sheet| sheet.set_all(&["S1", "S2"], "series_fuse_rating", "17 A"),
        )
    }),
    // 1.25 × 13.60 × (3 − 1)
    finds(
        NEEDED,
        "three strings",
        &[
            (Danger, "S1", "34.00 A", "25.00 A"),
            (Danger, "S2", "34.00 A", "25.00 A"),
            (Danger, "S3", "34.00 A", "25.00 A"),
        ],
        || gathered(cabin, 3, JOINT),
    ),
    finds(NEEDED, "three strings in one set", &[(Danger, "S1", "34.00 A", "25.00 A")], || {
        strings(&[("strings_in_parallel", "3")])
    }),
    silent(NEEDED, "three strings with a device each", || gathered(cabin, 3, &ways("25"))),
    // 17.00 + 10
    finds(
        NEEDED,
        "two strings and a controller that leaks back",
        &[(Danger, "S1", "27.00 A", "25.00 A"), (Danger, "S2", "27.00 A", "25.00 A")],
        || changed(|| gathered(cabin, 2, JOINT), |sheet| sheet.set("C1", "backfeed_current", "10 A")),
    ),
    finds(
        NEEDED,
        "one string and a controller that leaks back",
        &[(Danger, "S1", "40.00 A", "25.00 A")],
        || with(&[("C1", "backfeed_current", "40 A")]),
    ),
    // 14 AWG in free air, 90 °C: 35 A; its terminals 20 A
    finds(
        NEEDED,
        "above what the strings' conductors carry",
        &[(Danger, "S1", "34.00 A", "20.00 A")],
        || {
            changed(
                || strings(&[("strings_in_parallel", "3"), ("series_fuse_rating", "40 A")]),
                |sheet| sheet.set_run("W1", "size", "14"),
            )
        },
    ),
    // (3 − 1) × 13.60 by IEC 62548-1
    finds(NEEDED, "three strings, by IEC", &[(Danger, "S1", "27.20 A", "25.00 A")], || {
        changed(hut, |sheet| sheet.set("S1", "strings_in_parallel", "3"))
    }),
    passes(NEEDED, "two strings, by IEC", ("S1", "13.60 A", "25.00 A"), || gathered(hut, 2, JOINT)),
    // 1.25 × 1.25 × 13.60
    passes(SIZE, "25 A", ("S1", "25.00 A", "21.25 A"), || string_device(cabin, "25")),
    passes(SIZE, "exactly at the limit", ("S1", "21.25 A", "21.25 A"), || string_device(cabin, "21.25")),
    finds(
        SIZE,
        "20 A",
        &[(Correction, "S1", "20.00 A", "21.25 A"), (Correction, "S2", "20.00 A", "21.25 A")],
        || string_device(cabin, "20"),
    ),
    // 1.25 × 13.60
    passes(SIZE, "20 A, rated for 100 %", ("S1", "20.00 A", "17.00 A"), || {
        changed(|| string_device(cabin, "20"), |sheet| sheet.set("CB1", "duty", "100 % rated"))
    }),
    // 1.5 × 13.60 and 2.4 × 13.60
    passes(SIZE, "25 A by IEC, least", ("S1", "25.00 A", "20.40 A"), || string_device(hut, "25")),
    passes(SIZE, "25 A by IEC, greatest", ("S1", "25.00 A", "32.64 A"), || string_device(hut, "25")),
    finds(
        SIZE,
        "20 A by IEC",
        &[(Correction, "S1", "20.00 A", "20.40 A"), (Correction, "S2", "20.00 A", "20.40 A")],
        || string_device(hut, "20"),
    ),
    finds(
        SIZE,
        "35 A by IEC",
        &[
            (Correction, "S1#greatest", "35.00 A", "32.64 A"),
            (Correction, "S2#greatest", "35.00 A", "32.64 A"),
        ],
        || string_device(hut, "35"),
    ),
    passes(SERIES, "25 A on modules of 25 A, exactly", ("S1", "25.00 A", "25.00 A"), || {
        string_device(cabin, "25")
    }),
    finds(
        SERIES,
        "30 A on modules of 25 A",
        &[(Danger, "S1", "30.00 A", "25.00 A"), (Danger, "S2", "30.00 A", "25.00 A")],
        || string_device(cabin, "30"),
    ),
    // 30 + 1.25 × 9.20
    finds(
        SERIES,
        "two strings on one device",
        &[(Danger, "S1", "41.50 A", "15.00 A"), (Danger, "S2", "30.00 A", "15.00 A")],
        || one_for_two(cabin, "9.20 A", "15 A", "30"),
    ),
    // By IEC without the factor: 30 + 9.20, and 15 + 5.00
    finds(
        SERIES,
        "two strings on one device, by IEC",
        &[(Danger, "S1", "39.20 A", "15.00 A"), (Danger, "S2", "30.00 A", "15.00 A")],
        || one_for_two(hut, "9.20 A", "15 A", "30"),
    ),
    passes(SERIES, "two strings on one device, by IEC, exactly", ("S1", "20.00 A", "20.00 A"), || {
        one_for_two(hut, "5.00 A", "20 A", "15")
    }),
    silent(SERIES, "a breaker that nothing can push back through", || {
        changed(cabin, |sheet| {
            sheet.block("Q1", &breaker(40));
            sheet.land("W1", "S1.out", "Q1.line");
            sheet.joint("Q1.load", "C1.pv");
        })
    }),
];
