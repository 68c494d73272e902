//! Systems of which nothing is to be said, from which field cases and limits depart. What is expected of them stands
//! with the cases.

use crate::bench::{LEAD, NICKEL_IRON, ac_breaker, cabin, cable, pv_cable};
pub use crate::bench::{breaker, set};
use crate::sheet::{Sheet, feet};
use lineside_core::project::RuleSet;

/// One array of three modules on a 48 V lithium bank with inverter and panel, all in one shed, with every nameplate
/// written out: `S1 W1 Q1 C1 W2 Q2 BUS1 F1 W3 B1`, `BUS1 Q3 W4 INV1 Q4 W5 P1`. Nothing is to be said of it.
pub fn sound() -> Sheet {
    changed(cabin(), |sheet| {
        sheet.place(
            "shed",
            &[
                ("surroundings", "in a shed for the equipment"),
                ("working_depth", "1.5 m"),
                ("working_width", "1 m"),
                ("working_height", "2.2 m"),
                ("smoke_detection", "fitted"),
                ("opposite", "nothing live or grounded"),
                ("unit_spacing", "1 m"),
                ("spark_distance", "3 m"),
            ],
        );
        sheet.site("flash_density", "1");
        sheet.site("building", "other building");
        sheet.site("array_on_building", "not fitted");
        let conductor = sheet.conductor("W1");
        sheet.cut("W1");
        sheet.block("Q1", SWITCH);
        sheet.run("W1", "S1.out", "Q1.line", conductor);
        sheet.joint("Q1.load", "C1.pv");
        sheet.set_all(&["Q2", "Q3", "F1"], "lockable", "fitted");
        set(
            sheet,
            &[
                ("F1", "mount", "fused load-break switch"),
                ("B1", "grounding", "one pole solidly grounded"),
                ("B1", "terminals_covered", "fitted"),
                ("BUS1", "covered", "fitted"),
                ("BUS1", "short_circuit_rating", "20000 A"),
                ("C1", "arc_fault_protection", "fitted"),
                ("C1", "ground_fault_protection", "fitted"),
                ("C1", "temperature_sensor", "fitted"),
                ("C1", "backfeed_current", "0 A"),
                ("C1", "highest_charge_setting", "70 V"),
                ("INV1", "greatest_output_device", "60 A"),
                ("P1", "largest_load", "1500 W"),
            ],
        );
    })
}

/// The sound system under a rule set; under the IEC with metric cables, 230 V and 50 Hz.
pub fn sound_by(set: RuleSet) -> Sheet {
    changed(sound(), |sheet| {
        sheet.rule_set(set);
        if set.is_nec() {
            return;
        }
        self::set(
            sheet,
            &[
                ("INV1", "ac_system", "230 V"),
                ("INV1", "frequency", "50 Hz"),
                ("Q3", "rating", "160 A"),
                ("Q4", "rating", "20 A"),
                ("P1", "ac_system", "230 V"),
                ("P1", "residual_current", "fitted"),
                ("F1", "rating", "160 A"),
            ],
        );
        for (run, conductor) in [
            ("W1", pv_cable("4 mm²", 4.0)),
            ("W2", cable("25 mm²", 2.0, 35.0)),
            ("W3", cable("70 mm²", 0.6, 35.0)),
            ("W4", cable("70 mm²", 2.0, 35.0)),
            ("W5", cable("4 mm²", 8.0, 35.0)),
        ] {
            sheet.lay(run, conductor);
            sheet.set_run(run, "ends", "crimped lugs for these strands");
        }
    })
}

/// A sheet after some changes.
pub fn changed(mut sheet: Sheet, change: impl FnOnce(&mut Sheet)) -> Sheet {
    change(&mut sheet);
    sheet
}

/// A switch of one circuit for the array side.
pub const SWITCH: &str = r#"switch((rating: "60 A", circuits: 1, poles: 1, load_break: yes, polarity: none,
    dc_voltage: "300 V", pv_listed: yes, lockable: yes, position: closed))"#;

/// The sound system with another array: fields of its strings.
pub fn array(fields: &[(&str, &str)]) -> Sheet {
    changed(sound(), |sheet| array_of(sheet, fields))
}

/// Changes the strings of a sheet.
pub fn array_of(sheet: &mut Sheet, fields: &[(&str, &str)]) {
    for (key, typed) in fields {
        sheet.set("S1", key, typed);
    }
}

/// The sound system with a flooded lead bank of so many cells, in a well aired shed of 25 °C. It is charged to 2.40 V
/// per cell and equalized at so much.
pub fn lead(cells: u32, equalize: &str) -> Sheet {
    changed(sound(), |sheet| {
        bank(sheet, LEAD);
        set(
            sheet,
            &[
                ("B1", "units_in_series", &(cells / 3).to_string()),
                ("B1", "equalize_voltage", equalize),
                ("INV1", "lowest_input_voltage", &format!("{} V", 1.75 * f64::from(cells))),
            ],
        );
        if cells == 12 {
            // 24 V: half of everything.
            set(
                sheet,
                &[
                    ("INV1", "continuous", "2000 W"),
                    ("INV1", "highest_input_voltage", "32 V"),
                    ("Q4", "rating", "25 A"),
                    ("C1", "array_watts_24", "1650 W"),
                ],
            );
        }
    })
}

/// The sound system with so many cells of nickel-iron that charge and equalize at 1.65 V and end at 1.00 V, on an
/// inverter of such a window.
pub fn nickel_iron(cells: u32, window: (&str, &str)) -> Sheet {
    changed(sound(), |sheet| {
        bank(sheet, NICKEL_IRON);
        set(
            sheet,
            &[
                ("B1", "units_in_series", &cells.to_string()),
                ("B1", "charge_voltage", "1.65 V"),
                ("INV1", "lowest_input_voltage", window.0),
                ("INV1", "highest_input_voltage", window.1),
            ],
        );
    })
}

/// Another bank, grounded and covered like the first, in a shed with a fan.
pub fn bank(sheet: &mut Sheet, nameplate: &str) {
    sheet.place("shed", &[("vent_fan", "1000 m³/h"), ("cell_gap", "50 mm")]);
    sheet.swap("B1", nameplate);
    set(sheet, &[("B1", "grounding", "one pole solidly grounded"), ("B1", "terminals_covered", "fitted")]);
}

/// So many strings of the array, each on a way of a combiner with devices of so many amperes: `S1 … Sn`, runs `W11 …`,
/// `CB1`, and `W1` on to the switch.
pub fn combined(ways: u32, amps: &str, fields: &[(&str, &str)]) -> Sheet {
    changed(sound(), |sheet| {
        let string = sheet.conductor("W1");
        let nameplate = crate::bench::STRING;
        sheet.cut("W1");
        let combiner = format!(
            r#"combiner((ways: {ways}, buses: 1, bus_rating: "100 A", device: breaker, device_rating: "{amps}",
            polarity: none, duty: eighty_percent, dc_voltage: "300 V", interrupting_rating: "10000 A", pv_listed: yes,
            short_circuit_rating: "10000 A"))"#
        );
        sheet.block("CB1", &combiner);
        for way in 1..=ways {
            let tag = format!("S{way}");
            if way > 1 {
                sheet.block(&tag, nameplate);
            }
            sheet.set(&tag, "ends", "connectors");
            for (key, typed) in fields {
                sheet.set(&tag, key, typed);
            }
            sheet.run(&format!("W1{way}"), &format!("{tag}.out"), &format!("CB1.way{way}"), string.clone());
        }
        let together = feet("4", 15.0);
        sheet.run("W1", "CB1.out", "Q1.line", together);
    })
}

/// The sound system with an inverter that also charges from a generator of 120 V through a breaker of so many amperes:
/// `G1 W8 Q7 INV1.in1`.
pub fn generator(breaker: u32) -> Sheet {
    generator_by(RuleSet::Nec2023, breaker)
}

/// The same under a rule set; under the IEC of 230 V and 50 Hz.
pub fn generator_by(by: RuleSet, breaker: u32) -> Sheet {
    changed(sound_by(by), |sheet| {
        set(
            sheet,
            &[
                ("INV1", "ac_inputs", "1"),
                ("INV1", "transfer_relay", "50 A"),
                ("INV1", "charger_current", "20 A"),
                ("INV1", "charger_efficiency", "90 %"),
                ("INV1", "highest_charge_setting", "64 V"),
                ("P1", "short_circuit_rating", "10000 A"),
            ],
        );
        sheet.site("elevation", "0 m");
        sheet.block(
            "G1",
            r#"generator((power: "3500 W", ac_system: single_120, frequency: "60 Hz", fuel: propane, frame_bond: floating,
                usable_share: "100 %", load_while_charging: "500 W", cord_connected: no, start_lockout: yes,
                emergency_stop: yes))"#,
        );
        sheet.block("Q7", &lockable(breaker));
        if by.is_nec() {
            sheet.run("W8", "G1.out", "Q7.line", feet("6", 10.0));
        } else {
            set(sheet, &[("G1", "ac_system", "230 V"), ("G1", "frequency", "50 Hz")]);
            sheet.run("W8", "G1.out", "Q7.line", cable("10 mm²", 3.0, 35.0));
        }
        sheet.joint("Q7.load", "INV1.in1");
    })
}

/// An AC breaker that can be locked.
pub fn lockable(amps: u32) -> String {
    ac_breaker(amps).replace("position: closed", "lockable: yes, position: closed")
}
