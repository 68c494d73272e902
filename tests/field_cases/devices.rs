//! Cases S21 to S28: devices against voltage, kind of current, short circuit and continuous current.

use crate::told::{Told, told};
use lineside_acceptance::Sheet;
use lineside_acceptance::sound::{SWITCH, array_of, changed, lead, set, sound};

const ABOVE: &str = "charge-voltage-above-equipment";

/// S21 · A 48 V breaker on a 48 V bank.
#[test]
fn s21() {
    // 24 × 2.50 = 60.0 V at equalize, 12 × 2.5833 = 31.0 V
    told(&changed(lead(24, "2.5 V"), |sheet| sheet.set("Q3", "dc_voltage", "48 V")))
        .says(&["danger charge-voltage-above-equipment@Q3: 60.0 V, not 48 V"]);
    let half = told(&changed(lead(12, "2.58333 V"), |sheet| sheet.set("Q3", "dc_voltage", "48 V")));
    half.is_silent();
    half.passes(ABOVE, "Q3", "31.0 V", "48 V");
    told(&changed(lead(24, "2.5 V"), |sheet| sheet.set("Q3", "dc_voltage", "80 V"))).is_silent();
}

/// Sixteen cells of lithium iron phosphate that charge to so much each.
fn lithium(charge: &str) -> Sheet {
    changed(sound(), |sheet| sheet.set("B1", "charge_voltage", charge))
}

/// S22 · Automotive fuse on a 48 V bank.
#[test]
fn s22() {
    let fused =
        |sheet: Sheet, volts: &str| told(&changed(sheet, |sheet| sheet.set("F1", "dc_voltage", volts)));
    // 16 × 3.60 = 57.6 V, 24 × 2.50 = 60.0 V
    fused(lithium("3.60 V"), "32 V").says(&[
        "danger charge-voltage-above-equipment@F1: 57.6 V, not 32 V",
        "danger nominal-voltage@F1: 51.2 V, not 32 V",
    ]);
    fused(lead(24, "2.5 V"), "32 V").says(&[
        "danger charge-voltage-above-equipment@F1: 60.0 V, not 32 V",
        "danger nominal-voltage@F1: 48 V, not 32 V",
    ]);
    let close = fused(lithium("3.60 V"), "58 V");
    close.is_silent();
    close.passes(ABOVE, "F1", "57.6 V", "58 V");
    fused(lead(24, "2.5 V"), "58 V").says(&["danger charge-voltage-above-equipment@F1: 60.0 V, not 58 V"]);
    fused(lead(24, "2.5 V"), "80 V").is_silent();
}

/// The sound system with another device in the lead from the array.
fn in_the_lead(device: &str) -> Sheet {
    changed(sound(), |sheet| {
        array_of(
            sheet,
            &[
                ("open_circuit_voltage", "33.0 V"),
                ("max_power_voltage", "28.0 V"),
                ("short_circuit_current", "10.0 A"),
                ("max_power_current", "9.3 A"),
                ("power", "260 W"),
            ],
        );
        sheet.swap("Q1", device);
    })
}

/// S23 · Household AC breaker on the array.
#[test]
fn s23() {
    let household = r#"breaker((rating: "20 A", poles: 2, polarity: none, duty: eighty_percent, trip: type_c,
        ac_voltage: "230 V", interrupting_ac: "6000 A", lockable: yes, position: closed))"#;
    told(&in_the_lead(household)).says(&[
        "danger overcurrent-dc-rated@Q1",
        "correction equipment-disconnect-kind@C1#pv",
        "correction isolation-complete@C1",
    ]);
    told(&in_the_lead(SWITCH)).is_silent();
}

/// S24 · Polarised isolator reversed on the roof.
#[test]
fn s24() {
    let isolator = SWITCH.replace("polarity: none", "polarity: sensitive");
    let right = in_the_lead(&isolator);
    told(&right).is_silent();
    let reversed = changed(right, |sheet| {
        let conductor = sheet.conductor("W1");
        sheet.cut("W1");
        sheet.remove_joint("Q1.load", "C1.pv");
        sheet.run("W1", "S1.out", "Q1.load", conductor);
        sheet.joint("Q1.line", "C1.pv");
    });
    told(&reversed).says(&["danger polarity-sensitive-breaker@Q1#reversed"]);
    told(&changed(reversed, |sheet| sheet.set("Q1", "polarity", "either direction"))).is_silent();
}

/// S25 · Two-kiloamp fuse on a six-kiloamp bank.
#[test]
fn s25() {
    let fused = |interrupts: &str| {
        told(&changed(sound(), |sheet| {
            set(
                sheet,
                &[
                    ("B1", "strings_in_parallel", "4"),
                    ("B1", "short_circuit_current", "1500 A"),
                    ("B1", "unit_resistance", ""),
                    ("B1", "internal_fuse_rating", "50 A"),
                    ("B1", "internal_fuse_voltage", "125 V"),
                    ("B1", "internal_fuse_interrupting", "20000 A"),
                    ("B1", "internal_disconnect", "fitted"),
                    ("F1", "interrupting_dc", interrupts),
                ],
            );
            sheet.set_run("W3", "length", "0 m");
        }))
    };
    // 4 × 1.5 kA
    fused("2000 A").says(&["danger interrupt-rating@F1: 6000 A, not 2000 A"]);
    fused("20000 A").is_silent();
}

/// S26 · What a four-cell lithium bank can really deliver.
#[test]
fn s26() {
    let cells = |count: &str, interrupts: &str| {
        told(&changed(sound(), |sheet| {
            set(
                sheet,
                &[
                    ("B1", "cells_per_unit", "1"),
                    ("B1", "units_in_series", count),
                    ("B1", "full_rest_voltage", "3.5 V"),
                    ("B1", "unit_resistance", "0.75 mΩ"),
                    ("B1", "link_resistance", "0.25 mΩ"),
                    ("F1", "interrupting_dc", interrupts),
                ],
            );
            sheet.set_run("W3", "length", "0 m");
        }))
    };
    // 3.5 / 0.00075, and 14.0 / (4 × 0.75 + 3 × 0.25) mΩ
    cells("1", "5000 A").passes("interrupt-rating", "F1", "4667 A", "5000 A");
    cells("4", "5000 A").passes("interrupt-rating", "F1", "3733 A", "5000 A");
    let weak = cells("4", "2000 A");
    assert!(weak.has("interrupt-rating@F1"), "{}", weak.lines());
}

/// S27 · 100 A breaker on an 86 A controller.
#[test]
fn s27() {
    let sized = |amps: &str, duty: &str, output: &str| -> Told {
        told(&changed(sound(), |sheet| {
            set(sheet, &[("C1", "output_current", output), ("Q2", "rating", amps), ("Q2", "duty", duty)]);
            sheet.set_run("W2", "size", "1/0 AWG");
        }))
    };
    // 86 × 1.25
    sized("100 A", "80 % continuous", "86 A")
        .says(&["correction overcurrent-minimum@Q2: 100 A, not 107.5 A"]);
    sized("110 A", "80 % continuous", "86 A").is_silent();
    sized("100 A", "100 % rated", "86 A").is_silent();
    // 80 × 1.25 of a controller that can give no more. A limit that is only set, and can be set otherwise, does not
    // count for devices, unlike what the case says.
    let limited = sized("100 A", "80 % continuous", "80 A");
    limited.is_silent();
    limited.passes("overcurrent-minimum", "Q2", "100 A", "100 A");
}

/// S28 · Fuse equal to the controller's rating.
#[test]
fn s28() {
    let fused = |amps: &str| {
        told(&changed(sound(), |sheet| {
            set(sheet, &[("C1", "output_current", "20 A"), ("Q2", "rating", amps)]);
        }))
    };
    fused("20 A").says(&["correction overcurrent-minimum@Q2: 20 A, not 25 A"]);
    let right = fused("25 A");
    right.is_silent();
    right.passes("overcurrent-minimum", "Q2", "25 A", "25 A");
}
