//! Voltages of the array side.

use crate::bench::{NICKEL_IRON, cabin, changed, hut, set, strings, with};
use crate::case::{Case, finds, passes, silent};
use lineside_acceptance::Sheet;
use lineside_rules::Severity::{Correction, Danger};

const COLD: &str = "string-cold-voltage";
const EQUIPMENT: &str = "pv-equipment-voltage";
const MODULE: &str = "module-system-voltage";
const CONDUCTOR: &str = "conductor-voltage-rating";
const TRACKER: &str = "string-hot-voltage-tracker";
const BATTERY: &str = "string-hot-voltage-battery";

/// Modules of 38.9 V, −0.25 %/°C, at −24 °C on an input of 500 V: each 38.9 × 1.1225 = 43.665 V.
fn roof(modules: u32) -> Sheet {
    changed(cabin, |sheet| {
        sheet.site("record_low", "-24 °C");
        for (key, typed) in [
            ("power", "430 W"),
            ("open_circuit_voltage", "38.9 V"),
            ("max_power_voltage", "32.5 V"),
            ("short_circuit_current", "13.95 A"),
            ("max_power_current", "13.24 A"),
            ("open_circuit_coefficient", "-0.25 %/°C"),
            ("modules_in_series", &modules.to_string()),
        ] {
            sheet.set("S1", key, typed);
        }
        sheet.set("C1", "max_input_voltage", "500 V");
    })
}

/// An arrester of 150 V across the array, of modules without a coefficient at −10 °C, where the table says 1.14.
fn arrester(volts: &str) -> Sheet {
    changed(cabin, |sheet| {
        sheet.site("record_low", "-10 °C");
        sheet.set("S1", "open_circuit_coefficient", "");
        sheet.set("S1", "open_circuit_voltage", volts);
        sheet.block("X1", r#"junction((ends: 3, rating: "30 A"))"#);
        sheet.block("F9", r#"surge_arrester((current: dc, continuous_voltage: "150 V"))"#);
        sheet.land("W1", "S1.out", "X1.end1");
        sheet.joint("X1.end2", "C1.pv");
        sheet.joint("X1.end3", "F9.across");
    })
}

/// Two arrays through one switch of two circuits to two controllers: three and two modules.
fn one_switch(volts: &str) -> Sheet {
    changed(cabin, |sheet| {
        sheet.block("S2", crate::bench::STRING);
        sheet.block("C2", crate::bench::CONTROLLER);
        sheet.set("S2", "modules_in_series", "2");
        let switch = r#"switch((rating: "30 A", circuits: 2, poles: 2, load_break: yes, polarity: none,
            dc_voltage: "600 V", pv_listed: yes, position: closed))"#;
        sheet.block("PVD", switch);
        sheet.set("PVD", "dc_voltage", volts);
        sheet.land("W1", "S1.out", "PVD.line1");
        sheet.joint("PVD.load1", "C1.pv");
        sheet.joint("S2.out", "PVD.line2");
        sheet.joint("PVD.load2", "C2.pv");
    })
}

/// The nickel-iron bank, 66 V at equalize, behind a controller with so much headroom.
fn equalized(modules: &str, headroom: &str) -> Sheet {
    changed(cabin, |sheet| {
        sheet.swap("B1", NICKEL_IRON);
        set(sheet, &[("S1", "modules_in_series", modules), ("C1", "headroom", headroom)]);
    })
}

/// A system of which neither the record low nor the modules' coefficient is known, on an input for so much.
fn in_the_dark(sheet: fn() -> Sheet, volts: &str) -> Sheet {
    changed(sheet, |sheet| {
        sheet.site("record_low", "");
        set(sheet, &[("S1", "open_circuit_coefficient", ""), ("C1", "max_input_voltage", volts)]);
    })
}

/// The array's circuit and the inverter's in one raceway, each of such a name.
fn one_raceway(names: [&str; 2]) -> Sheet {
    changed(cabin, |sheet| {
        for (run, name) in ["W1", "W4"].into_iter().zip(names) {
            sheet.set_run(run, "raceway", "EMT");
            sheet.set_run(run, "raceway_name", name);
        }
        sheet.set_run("W4", "voltage", "100 V");
    })
}

pub const CASES: &[Case] = &[
    // 1.2 × 3 × 37.20
    passes(COLD, "nothing is known of the cold, by IEC", ("C1", "133.92 V", "150.00 V"), || {
        in_the_dark(hut, "150 V")
    }),
    finds(COLD, "a smaller input, by IEC", &[(Danger, "C1", "133.92 V", "130.00 V")], || {
        in_the_dark(hut, "130 V")
    }),
    silent(COLD, "nothing is known of the cold, by NEC", || in_the_dark(cabin, "130 V")),
    // 56.8 V beside 3 × 37.20 × (1 + 0.0027 × 56) = 128.47 V
    finds(CONDUCTOR, "two zones in one raceway", &[(Danger, "W4", "128.47 V", "100.00 V")], || {
        one_raceway(["R1", "R1"])
    }),
    passes(CONDUCTOR, "two zones in two raceways", ("W4", "56.80 V", "100.00 V"), || {
        one_raceway(["R1", "R2"])
    }),
    // 3 × 37.20 × (1 + 0.0027 × 56)
    passes(COLD, "by coefficient", ("C1", "128.47 V", "150.00 V"), cabin),
    passes(COLD, "by the table", ("C1", "137.27 V", "150.00 V"), || {
        strings(&[("open_circuit_coefficient", "")])
    }),
    // 3 × 37.20 × 1.1512 = 128.473 92 to the last digit
    passes(COLD, "exactly at the limit", ("C1", "128.47392 V", "128.47392 V"), || {
        with(&[("C1", "max_input_voltage", "128.47392 V")])
    }),
    passes(COLD, "never colder than the test", ("C1", "111.60 V", "150.00 V"), || {
        changed(cabin, |sheet| sheet.site("record_low", "30 °C"))
    }),
    finds(COLD, "92.40 V at 25 °C looks safe", &[(Danger, "C1", "104.32 V", "100.00 V")], || {
        // 2 × 46.20 × (1 + 0.0030 × 43)
        changed(hut, |sheet| {
            sheet.site("record_low", "-18 °C");
            set(
                sheet,
                &[
                    ("S1", "open_circuit_voltage", "46.2 V"),
                    ("S1", "open_circuit_coefficient", "-0.30 %/°C"),
                    ("S1", "modules_in_series", "2"),
                    ("C1", "max_input_voltage", "100 V"),
                ],
            );
        })
    }),
    finds(COLD, "one module too many", &[(Danger, "C1", "523.98 V", "500.00 V")], || roof(12)),
    finds(COLD, "it stays off until the string warms", &[(Correction, "C1", "128.47 V", "125.00 V")], || {
        with(&[("C1", "operating_input_voltage", "125 V")])
    }),
    silent(COLD, "thin film without a coefficient cannot be told", || {
        strings(&[("technology", "thin film"), ("open_circuit_coefficient", "")])
    }),
    passes(EQUIPMENT, "an arrester of 150 V", ("F9", "127.22 V", "150.00 V"), || arrester("37.2 V")),
    // 3 × 46.00 × 1.14
    finds(EQUIPMENT, "the same on modules of 46 V", &[(Danger, "F9", "157.32 V", "150.00 V")], || {
        arrester("46.0 V")
    }),
    passes(EQUIPMENT, "exactly at the limit", ("PVD", "128.47392 V", "128.47392 V"), || {
        one_switch("128.47392 V")
    }),
    finds(
        EQUIPMENT,
        "one switch for two arrays is found once",
        &[(Danger, "PVD", "128.47 V", "80.00 V")],
        || one_switch("80 V"),
    ),
    finds(
        EQUIPMENT,
        "a switch built into the controller",
        &[(Danger, "C1#input-switch", "128.47 V", "125.00 V")],
        || with(&[("C1", "input_switch_rating", "60 A"), ("C1", "input_switch_voltage", "125 V")]),
    ),
    passes(MODULE, "eleven modules", ("S1", "480.32 V", "1000.00 V"), || roof(11)),
    // 3 × 37.20 × 1.1512
    passes(MODULE, "exactly at the limit", ("S1", "128.47392 V", "128.47392 V"), || {
        strings(&[("system_voltage", "128.47392 V")])
    }),
    // 14 × 38.90 × (1 + 0.0025 × 49)
    finds(MODULE, "old modules of 600 V", &[(Danger, "S1", "611.31 V", "600.00 V")], || {
        changed(|| roof(14), |sheet| sheet.set("S1", "system_voltage", "600 V"))
    }),
    passes(CONDUCTOR, "eleven modules", ("W1", "480.32 V", "600.00 V"), || roof(11)),
    passes(CONDUCTOR, "exactly at the limit", ("W1", "128.47392 V", "128.47392 V"), || {
        changed(cabin, |sheet| sheet.set_run("W1", "voltage", "128.47392 V"))
    }),
    passes(CONDUCTOR, "the line voltage of AC", ("W5", "120.00 V", "600.00 V"), cabin),
    finds(CONDUCTOR, "fourteen modules", &[(Danger, "W1", "611.31 V", "600.00 V")], || roof(14)),
    finds(
        CONDUCTOR,
        "battery cable of 50 V on a bank of 56.8 V",
        &[(Danger, "W3", "56.80 V", "50.00 V")],
        || changed(cabin, |sheet| sheet.set_run("W3", "voltage", "50 V")),
    ),
    // 93.90 × (1 − 0.0034 × 39.25)
    passes(TRACKER, "it tracks from 60 V", ("C1", "81.37 V", "60.00 V"), cabin),
    // 93.90 × 0.866 55 = 81.369 045 to the last digit
    passes(TRACKER, "exactly at the limit", ("C1", "81.369045 V", "81.369045 V"), || {
        with(&[("C1", "tracking_low", "81.369045 V")])
    }),
    finds(TRACKER, "an input that starts at 90 V", &[(Correction, "C1", "81.37 V", "90.00 V")], || {
        with(&[("C1", "tracking_low", "90 V")])
    }),
    silent(TRACKER, "a switching controller does not track", || {
        with(&[("C1", "tracking_low", "90 V"), ("C1", "kind", "switching (PWM)")])
    }),
    // 40 × 1.65 + 5
    passes(BATTERY, "three modules", ("C1", "81.37 V", "71.00 V"), || equalized("3", "5 V")),
    passes(BATTERY, "the usual headroom, 2 V for 24 V", ("C1", "81.37 V", "70.00 V"), || equalized("3", "")),
    passes(BATTERY, "exactly at the limit", ("C1", "81.369045 V", "81.369045 V"), || {
        equalized("3", "15.369045 V")
    }),
    finds(BATTERY, "two modules", &[(Correction, "C1", "54.25 V", "71.00 V")], || equalized("2", "5 V")),
    silent(BATTERY, "a controller that also steps up", || {
        changed(|| equalized("2", "5 V"), |sheet| sheet.set("C1", "kind", "tracking, step-up and step-down"))
    }),
];
