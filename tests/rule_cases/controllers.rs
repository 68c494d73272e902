//! Charge controllers against their strings.

use crate::bench::{LEAD, cabin, changed, hut, set, strings, with};
use crate::case::{Case, finds, passes, silent};
use lineside_acceptance::Sheet;
use lineside_rules::Severity::{Advice, Correction, Danger};

const CURRENT: &str = "controller-input-short-circuit";
const WATTS: &str = "controller-array-watts";

/// So many modules in series and strings in parallel, of so many watts, on a controller for so many.
fn watts(series: &str, parallel: &str, each: &str, limit: &str) -> Sheet {
    with(&[
        ("S1", "modules_in_series", series),
        ("S1", "strings_in_parallel", parallel),
        ("S1", "power", each),
        ("C1", "array_watts_48", limit),
        ("C1", "max_input_voltage", "1000 V"),
    ])
}

pub const CASES: &[Case] = &[
    // 1.25 × 3 × 13.60, and without the factor 3 × 13.60
    passes(CURRENT, "three strings", ("C1", "51.00 A", "60.00 A"), || {
        strings(&[("strings_in_parallel", "3")])
    }),
    passes(CURRENT, "exactly at the limit", ("C1", "51.00 A", "51.00 A"), || {
        with(&[("S1", "strings_in_parallel", "3"), ("C1", "input_short_circuit_current", "51 A")])
    }),
    finds(CURRENT, "four strings", &[(Correction, "C1", "68.00 A", "60.00 A")], || {
        strings(&[("strings_in_parallel", "4")])
    }),
    finds(CURRENT, "five strings, even without the factor", &[(Danger, "C1", "68.00 A", "60.00 A")], || {
        strings(&[("strings_in_parallel", "5")])
    }),
    passes(CURRENT, "a limit at standard test conditions", ("C1", "54.40 A", "60.00 A"), || {
        with(&[
            ("S1", "strings_in_parallel", "4"),
            ("C1", "input_rating_basis", "current at 25 °C, 1000 W/m²"),
        ])
    }),
    // 1.25 × 3 × 15.50: modules that see light from behind
    passes(CURRENT, "modules with two faces", ("C1", "58.13 A", "60.00 A"), || {
        strings(&[("strings_in_parallel", "3"), ("bifacial_short_circuit_current", "15.5 A")])
    }),
    finds(CURRENT, "by IEC", &[(Correction, "C1", "68.00 A", "60.00 A")], || {
        changed(hut, |sheet| sheet.set("S1", "strings_in_parallel", "4"))
    }),
    // 11 × 430
    passes(WATTS, "eleven modules", ("C1", "4730.00 W", "5000.00 W"), || watts("11", "1", "430 W", "5000 W")),
    passes(WATTS, "exactly at the limit", ("C1", "3600.00 W", "3600.00 W"), || {
        watts("3", "3", "400 W", "3600 W")
    }),
    // 9 × 400 / 3300 = 1.09
    finds(WATTS, "a little is clipped", &[(Advice, "C1", "3600.00 W", "3300.00 W")], || {
        watts("3", "3", "400 W", "3300 W")
    }),
    // 12 × 400 / 3300 = 1.45, above 1.30 × 3300
    finds(WATTS, "more than makers allow", &[(Correction, "C1", "4800.00 W", "4290.00 W")], || {
        watts("3", "4", "400 W", "3300 W")
    }),
    finds(WATTS, "a maker who allows more", &[(Advice, "C1", "4800.00 W", "3300.00 W")], || {
        changed(|| watts("3", "4", "400 W", "3300 W"), |sheet| sheet.set("C1", "oversize_limit", "150 %"))
    }),
    // Without array watts 60 × 28.80
    passes(WATTS, "by charge current and voltage", ("C1", "1200.00 W", "1728.00 W"), || {
        changed(cabin, |sheet| {
            sheet.swap("B1", LEAD);
            sheet.set("C1", "array_watts_24", "");
        })
    }),
    silent(WATTS, "two controllers on one array share it", || {
        changed(
            || watts("3", "4", "400 W", "3300 W"),
            |sheet| {
                sheet.block("C2", crate::bench::CONTROLLER);
                sheet.block("X1", r#"junction((ends: 3, rating: "30 A"))"#);
                sheet.land("W1", "S1.out", "X1.end1");
                sheet.joint("X1.end2", "C1.pv");
                sheet.joint("X1.end3", "C2.pv");
                sheet.joint("C2.battery", "BUS1.tap4");
                set(sheet, &[("C2", "max_input_voltage", "1000 V")]);
            },
        )
    }),
];
