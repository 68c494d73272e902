//! Cases S07 to S11, S13, S15 and S29: currents of strings, their devices and conductors.

use crate::told::{Told, told};
use lineside_acceptance::Sheet;
use lineside_acceptance::sound::{array, changed, combined, set};

const NEEDED: &str = "string-overcurrent-needed";
const SIZE: &str = "string-overcurrent-size";

/// So many strings in parallel without devices, of modules of such a short-circuit current and 15 A in series.
fn unfused(strings: &str, isc: &str, imp: &str, power: &str) -> Sheet {
    array(&[
        ("strings_in_parallel", strings),
        ("short_circuit_current", isc),
        ("max_power_current", imp),
        ("power", power),
        ("series_fuse_rating", "15 A"),
    ])
}

/// S07 · Three parallel strings that need no fuses.
#[test]
fn s07() {
    // (3 − 1) × 1.25 × 5.0
    let three = told(&unfused("3", "5.0 A", "4.7 A", "147 W"));
    three.is_silent();
    three.passes(NEEDED, "S1", "12.5 A", "15 A");
}

/// Three strings of modern modules on the ways of a combiner.
fn modern(amps: &str, duty: &str) -> Told {
    let fields = [
        ("short_circuit_current", "9.8 A"),
        ("max_power_current", "9.2 A"),
        ("power", "288 W"),
        ("series_fuse_rating", "15 A"),
    ];
    told(&changed(combined(3, amps, &fields), |sheet| sheet.set("CB1", "duty", duty)))
}

/// S08 · Three strings of modern modules, unfused.
#[test]
fn s08() {
    // (3 − 1) × 1.25 × 9.8
    let unfused =
        changed(unfused("3", "9.8 A", "9.2 A", "288 W"), |sheet| sheet.set_run("W1", "size", "6 AWG"));
    told(&unfused).says(&["danger string-overcurrent-needed@S1: 24.5 A, not 15 A"]);
    // 1.25 × 1.25 × 9.8 = 15.3 A: above 15 A, and 20 A is above what the module allows
    let found = [
        "correction string-overcurrent-size@S1: 15 A, not 15.3 A",
        "correction string-overcurrent-size@S2: 15 A, not 15.3 A",
        "correction string-overcurrent-size@S3: 15 A, not 15.3 A",
    ];
    modern("15 A", "80 % continuous").says(&found);
    let found = [
        "danger module-series-fuse@S1: 20 A, not 15 A",
        "danger module-series-fuse@S2: 20 A, not 15 A",
        "danger module-series-fuse@S3: 20 A, not 15 A",
    ];
    modern("20 A", "80 % continuous").says(&found);
    // 1.25 × 9.8 = 12.25 A of a device that carries all of its rating
    let listed = modern("15 A", "100 % rated");
    listed.is_silent();
    listed.passes(SIZE, "S1", "15 A", "12.25 A");
}

/// S09 · 10 A combiner breakers trip under cloud-edge sun.
#[test]
fn s09() {
    let fields = [
        ("short_circuit_current", "7.34 A"),
        ("max_power_current", "6.9 A"),
        ("power", "216 W"),
        ("series_fuse_rating", "15 A"),
    ];
    // 1.25 × 1.25 × 7.34
    told(&combined(2, "10 A", &fields)).says(&[
        "correction string-overcurrent-size@S1: 10 A, not 11.47 A",
        "correction string-overcurrent-size@S2: 10 A, not 11.47 A",
    ]);
    let next = told(&combined(2, "15 A", &fields));
    next.is_silent();
    next.passes(SIZE, "S1", "15 A", "11.47 A");
    next.passes("module-series-fuse", "S1", "15 A", "15 A");
}

/// S10 · Two strings into one input.
#[test]
fn s10() {
    // (2 − 1) × 1.25 × 8.9
    let two = told(&unfused("2", "8.9 A", "8.4 A", "263 W"));
    two.is_silent();
    two.passes(NEEDED, "S1", "11.1 A", "15 A");
}

/// S11 · A 30 A fuse on a 15 A module.
#[test]
fn s11() {
    let seller = |amps: &str| {
        let fields = [
            ("modules_in_series", "1"),
            ("power", "144 W"),
            ("open_circuit_voltage", "22.0 V"),
            ("max_power_voltage", "18.0 V"),
            ("short_circuit_current", "8.5 A"),
            ("max_power_current", "8.0 A"),
            ("series_fuse_rating", "15 A"),
        ];
        told(&changed(combined(4, amps, &fields), |sheet| {
            set(sheet, &[("C1", "kind", "tracking, step-up and step-down"), ("C1", "tracking_low", "10 V")]);
            sheet.remove("Q1");
            sheet.block("Q1", &lineside_acceptance::bench::breaker(60));
            sheet.set("Q1", "lockable", "fitted");
            for way in 1..=4 {
                sheet.set_run(&format!("W1{way}"), "length", "1 m");
            }
            let conductor = lineside_acceptance::feet("4", 3.0);
            sheet.run("W1", "CB1.out", "Q1.line", conductor);
            sheet.joint("Q1.load", "C1.pv");
        }))
    };
    let fused = seller("30 A");
    fused.says(&[
        "danger module-series-fuse@S1: 30 A, not 15 A",
        "danger module-series-fuse@S2: 30 A, not 15 A",
        "danger module-series-fuse@S3: 30 A, not 15 A",
        "danger module-series-fuse@S4: 30 A, not 15 A",
    ]);
    // 1.5625 × 8.5, and 3 × 1.25 × 8.5 from the others; together 4 × 1.5625 × 8.5
    let right = seller("15 A");
    right.is_silent();
    right.passes(SIZE, "S1", "15 A", "13.3 A");
    right.passes("overcurrent-minimum", "Q1", "60 A", "53.1 A");
    let without =
        changed(unfused("4", "8.5 A", "8.0 A", "250 W"), |sheet| sheet.set_run("W1", "size", "4 AWG"));
    told(&without).says(&["danger string-overcurrent-needed@S1: 31.9 A, not 15 A"]);
}

/// S13 · Three modules down one 10 AWG pair.
#[test]
fn s13() {
    let parallel = |modules: &str, series: &str, size: &str| {
        told(&changed(
            array(&[
                ("modules_in_series", series),
                ("strings_in_parallel", modules),
                ("short_circuit_current", "8.6 A"),
                ("max_power_current", "8.1 A"),
                ("power", "254 W"),
            ]),
            |sheet| {
                sheet.set_run("W1", "size", size);
                sheet.set_run("W1", "length", "3 m");
                set(
                    sheet,
                    &[("C1", "kind", "tracking, step-up and step-down"), ("C1", "tracking_low", "10 V")],
                );
            },
        ))
    };
    // 3 × 8.6 × 1.25 × 1.25
    parallel("3", "1", "10 AWG").says(&["correction conductor-continuous-ampacity@W1: 40.3 A, not 35 A"]);
    let pairs = parallel("2", "2", "10 AWG");
    pairs.is_silent();
    pairs.passes("conductor-continuous-ampacity", "W1", "26.9 A", "35 A");
    let thicker = parallel("3", "1", "8 AWG");
    thicker.is_silent();
    thicker.passes("conductor-continuous-ampacity", "W1", "40.3 A", "50 A");
}

/// S15 · Leads trapped at 85 °C under the module.
#[test]
fn s15() {
    let trapped = |ambient: &str, size: &str| {
        told(&changed(
            array(&[("short_circuit_current", "9.4 A"), ("max_power_current", "8.9 A"), ("power", "279 W")]),
            |sheet| {
                sheet.set_run("W1", "ambient", ambient);
                sheet.set_run("W1", "size", size);
                sheet.set_run("W1", "raceway", "EMT");
            },
        ))
    };
    // 40 × 0.29 against 1.25 × 9.4
    trapped("85 °C", "10 AWG").says(&["danger conductor-corrected-ampacity@W1: 11.75 A, not 11.6 A"]);
    // 40 × 0.41
    let airy = trapped("80 °C", "10 AWG");
    airy.is_silent();
    airy.passes("conductor-corrected-ampacity", "W1", "11.75 A", "16.4 A");
    trapped("85 °C", "8 AWG").is_silent();
}

/// S29 · A switching (PWM) controller for five modules.
#[test]
fn s29() {
    let rated = |amps: &str| {
        told(&changed(
            array(&[
                ("strings_in_parallel", "5"),
                ("short_circuit_current", "8.86 A"),
                ("max_power_current", "8.4 A"),
                ("power", "263 W"),
                ("series_fuse_rating", "50 A"),
            ]),
            |sheet| {
                set(
                    sheet,
                    &[
                        ("C1", "kind", "switching (PWM)"),
                        ("C1", "output_current", amps),
                        ("C1", "input_short_circuit_current", amps),
                        ("C1", "array_watts_48", "5000 W"),
                    ],
                );
                sheet.set_run("W1", "size", "4 AWG");
            },
        ))
    };
    // 5 × 8.86 × 1.25; 5 × 8.86 = 44.3 A without the factor is still within, so it is no danger here
    rated("50 A").says(&[
        "correction controller-input-short-circuit@C1: 55.4 A, not 50 A",
        "correction simple-controller-match@C1#current: 55.4 A, not 50 A",
    ]);
    let sixty = rated("60 A");
    sixty.is_silent();
    sixty.passes("controller-input-short-circuit", "C1", "55.4 A", "60 A");
    // × 1.25 again
    sixty.passes("conductor-continuous-ampacity", "W1", "69.2 A", "85 A");
}
