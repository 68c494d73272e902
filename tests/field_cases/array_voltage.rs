//! Cases S01 to S06 and S12: voltages of strings, and strings that differ.

use crate::told::told;
use lineside_acceptance::Sheet;
use lineside_acceptance::sound::{array, array_of, changed, lead, set, sound};

const COLD: &str = "string-cold-voltage";
const HOT: &str = "string-hot-voltage-battery";

/// A module of 250 W without a coefficient of its open-circuit voltage.
const BUYERS: &[(&str, &str)] = &[
    ("power", "250 W"),
    ("open_circuit_voltage", "37.0 V"),
    ("max_power_voltage", "30.5 V"),
    ("short_circuit_current", "8.8 A"),
    ("max_power_current", "8.2 A"),
    ("open_circuit_coefficient", ""),
];

/// S01 · Four in series on a 150 V input, cold morning.
#[test]
fn s01() {
    let series = |modules: &str| {
        changed(array(BUYERS), |sheet| {
            sheet.site("record_low", "-10 °C");
            sheet.set("S1", "modules_in_series", modules);
        })
    };
    // 4 × 37.0 = 148.0 V at 25 °C; × 1.14 = 168.7 V
    told(&series("4")).says(&["danger string-cold-voltage@C1: 168.7 V, not 150 V"]);
    // 3 × 37.0 × 1.14; 150 / (37.0 × 1.14) = 3.56
    let three = told(&series("3"));
    three.is_silent();
    three.passes(COLD, "C1", "126.5 V", "150 V");
    told(&changed(series("4"), |sheet| sheet.set("C1", "max_input_voltage", "200 V"))).is_silent();
}

/// The buyer's modules on 24 lead cells that are equalized at 61.0 V, in a place where cells reach 65 °C.
fn equalized_in_heat(modules: &str) -> Sheet {
    changed(lead(24, "2.5416667 V"), |sheet| {
        sheet.site("record_low", "-10 °C");
        sheet.site("design_high", "30 °C");
        array_of(sheet, BUYERS);
        set(
            sheet,
            &[
                ("S1", "modules_in_series", modules),
                ("S1", "nominal_cell_temperature", ""),
                ("S1", "cell_rise", "35 K"),
                ("S1", "voltage_coefficient", "-0.45 %/°C"),
                ("C1", "headroom", "1.0 V"),
                ("C1", "tracking_low", "40 V"),
            ],
        );
    })
}

/// S02 · Two in series cannot finish charging a 48 V bank in heat.
#[test]
fn s02() {
    // 2 × 30.5 × (1 − 0.0045 × 40) against 61.0 + 1.0
    told(&equalized_in_heat("2")).says(&["correction string-hot-voltage-battery@C1: 50.0 V, not 62.0 V"]);
    // 3 × 30.5 × 0.82, and 3 × 37.0 × 1.14 in the cold
    let three = told(&equalized_in_heat("3"));
    three.is_silent();
    three.passes(HOT, "C1", "75.0 V", "62.0 V");
    three.passes(COLD, "C1", "126.5 V", "150 V");
}

/// S03 · The cell-count rule of thumb breaks below −15 °C.
#[test]
fn s03() {
    let at = |low: &str| {
        let modules = array(&[
            ("power", "300 W"),
            ("open_circuit_voltage", "44.6 V"),
            ("max_power_voltage", "36.0 V"),
            ("short_circuit_current", "8.8 A"),
            ("max_power_current", "8.33 A"),
            ("open_circuit_coefficient", "-0.30 %/°C"),
            ("cells", "72"),
        ]);
        told(&changed(modules.clone(), |sheet| sheet.site("record_low", low)))
    };
    // 3 × 44.6 × (1 + 0.003 × 35) and × (1 + 0.003 × 50)
    let mild = at("-10 °C");
    mild.is_silent();
    mild.passes(COLD, "C1", "147.8 V", "150 V");
    at("-25 °C").says(&["danger string-cold-voltage@C1: 153.9 V, not 150 V"]);
    // It crosses 150 V at 25 − (150 / 133.8 − 1) / 0.003 = −15.36 °C
    at("-15.3 °C").is_silent();
    at("-15.4 °C").says(&["danger string-cold-voltage@C1: 150.0 V, not 150 V"]);
}

/// S04 · Rack or flush: fifteen degrees of rise, or thirty-five.
#[test]
fn s04() {
    let mounted = |modules: &str, mounting: &str, rise: &str| {
        told(&changed(lead(24, ""), |sheet| {
            sheet.site("design_high", "36 °C");
            set(
                sheet,
                &[
                    // 24 × 2.45 = 58.8 V
                    ("B1", "charge_voltage", "2.45 V"),
                    ("S1", "power", "290 W"),
                    ("S1", "open_circuit_voltage", "43.0 V"),
                    ("S1", "max_power_voltage", "35.0 V"),
                    ("S1", "short_circuit_current", "8.8 A"),
                    ("S1", "max_power_current", "8.29 A"),
                    ("S1", "modules_in_series", modules),
                    ("S1", "mounting", mounting),
                    ("S1", "nominal_cell_temperature", ""),
                    ("S1", "cell_rise", rise),
                    ("S1", "voltage_coefficient", "-0.45 %/°C"),
                    ("C1", "headroom", "1.0 V"),
                    ("C1", "tracking_low", "40 V"),
                ],
            );
        }))
    };
    // 2 × 35 × (1 − 0.0045 × (36 + 15 − 25))
    let rack = mounted("2", "ground or pole", "15 K");
    rack.is_silent();
    rack.passes(HOT, "C1", "61.8 V", "59.8 V");
    // 2 × 35 × (1 − 0.0045 × (36 + 35 − 25))
    mounted("2", "parallel to the roof", "35 K")
        .says(&["correction string-hot-voltage-battery@C1: 55.5 V, not 59.8 V"]);
    mounted("3", "parallel to the roof", "35 K").is_silent();
}

/// S05 · An arrester chosen on label voltage.
#[test]
fn s05() {
    let rated = |arrester: &str| {
        told(&changed(sound(), |sheet| {
            sheet.site("record_low", "-10 °C");
            array_of(
                sheet,
                &[
                    ("open_circuit_voltage", "46.0 V"),
                    ("max_power_voltage", "38.0 V"),
                    ("max_power_current", "10.53 A"),
                    ("short_circuit_current", "11.2 A"),
                    ("open_circuit_coefficient", ""),
                ],
            );
            sheet.set("C1", "max_input_voltage", "200 V");
            sheet.block("X1", r#"junction((ends: 3, rating: "30 A"))"#);
            sheet.block("SPD1", r#"surge_arrester((current: dc, continuous_voltage: "150 V"))"#);
            sheet.set("SPD1", "continuous_voltage", arrester);
            sheet.remove_joint("Q1.load", "C1.pv");
            sheet.joint("Q1.load", "X1.end1");
            sheet.joint("X1.end2", "C1.pv");
            sheet.joint("X1.end3", "SPD1.across");
        }))
    };
    // 3 × 46.0 × 1.14
    let label = rated("150 V");
    label.says(&["danger pv-equipment-voltage@SPD1: 157.3 V, not 150 V"]);
    label.passes(COLD, "C1", "157.3 V", "200 V");
    label.passes("pv-equipment-voltage", "Q1", "157.3 V", "300 V");
    rated("160 V").is_silent();
}

/// The buyer's modules in two sets on one tracking input, one of so many in series and one of so many.
fn two_sets(first: &[(&str, &str)], second: &[(&str, &str)]) -> Sheet {
    changed(equalized_in_heat("3"), |sheet| {
        sheet.block("S2", lineside_acceptance::bench::STRING);
        sheet.block("X1", r#"junction((ends: 3, rating: "60 A"))"#);
        let lead = sheet.conductor("W1");
        sheet.cut("W1");
        sheet.run("W1", "S1.out", "X1.end1", lead.clone());
        sheet.run("W2A", "S2.out", "X1.end2", lead);
        sheet.joint("X1.end3", "Q1.line");
        set(sheet, &[("C1", "array_watts_48", "6000 W"), ("C1", "output_current", "60 A")]);
        for (tag, fields) in [("S1", first), ("S2", second)] {
            for (key, typed) in BUYERS.iter().chain(fields) {
                sheet.set(tag, key, typed);
            }
            for (key, typed) in [
                ("nominal_cell_temperature", ""),
                ("cell_rise", "35 K"),
                ("voltage_coefficient", "-0.45 %/°C"),
            ] {
                sheet.set(tag, key, typed);
            }
        }
    })
}

/// S06 · Five modules as three plus two.
#[test]
fn s06() {
    let strings = |first: &str, second: &str| {
        told(&two_sets(&[("modules_in_series", first)], &[("modules_in_series", second)]))
    };
    // (91.5 − 61.0) / 91.5
    strings("3", "2").says(&[
        "correction string-hot-voltage-battery@C1: 50.0 V, not 62.0 V",
        "correction unequal-strings@S2: 33.3 %, not 5 %",
    ]);
    // 6 as 2 × 3
    let six = strings("3", "3");
    six.is_silent();
    six.passes("string-hot-voltage-tracker", "C1", "75.0 V", "40 V");
    six.passes("unequal-strings", "S1", "0 %", "5 %");
}

/// S12 · Two tilts on one controller. A set of strings looks one way, so that modules of both sides in one string are
/// not to be drawn. Sets on two sides of a ridge have equal voltages; that they look different ways is advice, though
/// at 7° little is lost.
#[test]
fn s12() {
    let first = [("tilt", "7 °"), ("azimuth", "90 °")];
    let sides = told(&two_sets(&first, &[("tilt", "7 °"), ("azimuth", "270 °")]));
    sides.says(&["advice unequal-strings@S2#direction"]);
    sides.passes("unequal-strings", "S1", "0 %", "5 %");
    // The input still takes the sum: 1.25 × 2 × 8.8
    sides.passes("controller-input-short-circuit", "C1", "22.0 A", "60 A");
    told(&two_sets(&first, &first)).is_silent();
}
