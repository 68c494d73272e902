//! Cases S42 to S53: the AC side.

use crate::told::told;
use lineside_acceptance::bench::PANEL;
use lineside_acceptance::sound::{changed, generator, lockable, set, sound};
use lineside_acceptance::{Sheet, feet};

/// The sound system with a panel of two lines on its 120 V inverter.
fn two_lines(fields: &[(&str, &str)]) -> Sheet {
    changed(sound(), |sheet| {
        set(sheet, &[("P1", "ac_system", "120/240 V"), ("P1", "neutral_rating", "100 A")]);
        for (key, typed) in fields {
            sheet.set("P1", key, typed);
        }
    })
}

/// S42 · Shared neutrals on a 120 V inverter.
#[test]
fn s42() {
    let shared = [("multiwire", "some shared neutrals"), ("largest_branch_breaker", "15 A")];
    // 15 + 15, both in phase
    told(&two_lines(&shared)).says(&["danger single-120-volt-supply@P1#multiwire: 30 A, not 15 A"]);
    told(&two_lines(&[("multiwire", "no shared neutrals"), ("largest_branch_breaker", "15 A")])).is_silent();
    let split = changed(two_lines(&shared), |sheet| {
        set(sheet, &[("INV1", "ac_system", "120/240 V"), ("Q4", "rating", "25 A")]);
    });
    told(&split).is_silent();
}

/// S44 · Bonded generator, bonded panel, neutral not switched.
#[test]
fn s44() {
    let supplied = |frame: &str, neutral: &str| {
        told(&changed(generator(40), |sheet| {
            // Panel P2 with its bond on the inverter, a switch of two positions, and the generator on the other side
            sheet.block("P2", PANEL);
            sheet.block(
                "TS1",
                r#"transfer_switch((arrangement: transfer, rating: "60 A", interlock: mechanical, switched_neutral: no,
                    load_break: yes, automatic: no, ac_voltage: "240 V", short_circuit_rating: "10000 A",
                    position: normal))"#,
            );
            let feeder = sheet.conductor("W5");
            sheet.cut("W5");
            sheet.remove_joint("Q7.load", "INV1.in1");
            sheet.run("W5", "Q4.load", "P2.feed", feeder.clone());
            sheet.run("W10", "P2.tap1", "TS1.normal", feeder.clone());
            sheet.joint("Q7.load", "TS1.standby");
            sheet.run("W9", "TS1.load", "P1.feed", feeder);
            set(
                sheet,
                &[
                    ("INV1", "ac_inputs", "0"),
                    ("INV1", "charger_current", ""),
                    ("INV1", "transfer_relay", ""),
                    ("INV1", "neutral_bonding", "never bonds"),
                    ("P2", "bond", "main bonding jumper here"),
                    ("P2", "largest_load", "100 W"),
                    ("P2", "short_circuit_rating", "10000 A"),
                    ("G1", "frame_bond", frame),
                    ("G1", "load_while_charging", ""),
                    ("TS1", "switched_neutral", neutral),
                ],
            );
        }))
    };
    supplied("neutral bonded to the frame", "neutral solid")
        .says(&["correction neutral-bond-count@G1: 2, not 1"]);
    supplied("neutral floating", "neutral solid").is_silent();
    supplied("neutral bonded to the frame", "neutral switched").is_silent();
}

/// S45 · 50 A transfer relay, 30 A on each line.
#[test]
fn s45() {
    let lines = |second: u32, feeder: Option<u32>| {
        told(&changed(generator(30), |sheet| {
            sheet.remove("G1");
            let service = r#"utility((ac_system: single_120, frequency: "60 Hz", service_rating: "100 A",
                fault_current: "2000 A"))"#;
            sheet.block("U1", service);
            sheet.block("X1", r#"junction((ends: 4, rating: "100 A"))"#);
            sheet.block("X2", r#"junction((ends: 3, rating: "100 A"))"#);
            sheet.block("Q8", &lockable(second));
            sheet.remove_joint("Q7.load", "INV1.in1");
            sheet.joint("X1.end1", "Q7.line");
            sheet.joint("X1.end2", "Q8.line");
            sheet.run("W8", "Q7.load", "X2.end1", feet("10", 10.0));
            sheet.run("W9", "Q8.load", "X2.end2", feet("10", 10.0));
            sheet.joint("X2.end3", "INV1.in1");
            if let Some(amps) = feeder {
                sheet.block("Q9", &lockable(amps));
                sheet.run("W10", "U1.out", "Q9.line", feet("3", 10.0));
                sheet.joint("Q9.load", "X1.end3");
            } else {
                sheet.run("W10", "U1.out", "X1.end3", feet("3", 10.0));
            }
        }))
    };
    // 30 + 30 against 50
    // Two lines in parallel make a ring, of which the sheet speaks in any case
    let rule = "ac-pass-through";
    lines(30, None).rule_says(rule, &["correction ac-pass-through@INV1: 60 A, not 50 A"]);
    lines(20, None).rule_says(rule, &[]);
    lines(30, Some(50)).rule_says(rule, &[]);
}

/// S46 · Generator for a fifth of the bank, at altitude.
#[test]
fn s46() {
    // 12 720 Wh / 5 = 2544 W: 20 cells of 1.4133 V, that is 28.27 V, at 90 A and 75 %
    let rated = |watts: &str, elevation: &str, loss: &str| {
        told(&changed(generator(40), |sheet| {
            sheet.site("elevation", elevation);
            set(
                sheet,
                &[
                    ("G1", "power", watts),
                    ("G1", "full_output_below", "0 m"),
                    ("G1", "altitude_derating", loss),
                    ("G1", "load_while_charging", "0 W"),
                    // 16 × 3.55 = 56.8 V; 2544 / 56.8 = 44.7887 A
                    ("INV1", "charger_current", "44.788732 A"),
                    ("INV1", "charger_efficiency", "75 %"),
                    ("INV1", "transfer_relay", "60 A"),
                    ("C1", "output_current", "55 A"),
                ],
            );
        }))
    };
    // 3 % for each 1000 ft: 0.984 252 % for 100 m, 12 % at 4000 ft; 2544 / 0.88 / 0.75 = 3855 W
    let low = rated("3855 W", "1219.2 m", "0.984252 %");
    low.is_silent();
    low.passes("generator-overload", "G1", "3392 W", "3392 W");
    rated("3840 W", "1219.2 m", "0.984252 %").says(&["correction generator-overload@G1: 3392 W, not 3379 W"]);
    // 18 % + 13.2 % at 8200 ft, 1.248 320 % for 100 m on the way; 2544 / 0.688 / 0.75 = 4930 W
    let high = rated("4931 W", "2499.36 m", "1.24832 %");
    high.is_silent();
    high.passes("generator-overload", "G1", "3392 W", "3393 W");
    rated("4900 W", "2499.36 m", "1.24832 %").says(&["correction generator-overload@G1: 3392 W, not 3371 W"]);
}

/// S47 · Governor runs fast, inverter refuses.
#[test]
fn s47() {
    let unloaded = |hertz: &str| {
        told(&changed(generator(40), |sheet| {
            // 60 Hz and 2 Hz above
            set(sheet, &[("G1", "frequency", hertz), ("INV1", "input_frequency_band", "3.33333 %")]);
        }))
    };
    unloaded("63.0 Hz").says(&["danger ac-voltage-frequency@G1#frequency: 63.0 Hz, not 62.0 Hz"]);
    unloaded("61.5 Hz").is_silent();
}

/// S48 · Solar inverters behind a running generator: an inverter that wants a utility finds a generator instead. How
/// much it pushes back, 5.0 − 2.0 kW, is a matter of flow; that it can be joined is found.
#[test]
fn s48() {
    let sheet = changed(generator(40), |sheet| {
        sheet.remove_joint("Q7.load", "INV1.in1");
        sheet.joint("Q7.load", "P1.tap1");
        set(
            sheet,
            &[
                ("INV1", "ac_inputs", "0"),
                ("INV1", "charger_current", ""),
                ("INV1", "transfer_relay", ""),
                ("INV1", "export", "export to the utility"),
                ("INV1", "utility_listed", "fitted"),
                ("Q7", "plug_in", "not fitted"),
                ("Q7", "marked_line_load", "not fitted"),
            ],
        );
    });
    told(&sheet).says(&["danger source-interlock@INV1#generator"]);
}

/// S49 · 60 A back into a 200 A panel.
#[test]
fn s49() {
    let fed_back = |watts: &str, breaker: &str, main: &str| {
        told(&changed(sound(), |sheet| {
            let service = r#"utility((ac_system: split_120_240, frequency: "60 Hz", service_rating: "200 A",
                fault_current: "2000 A"))"#;
            sheet.block("U1", service);
            sheet.cut("W5");
            sheet.remove_joint("INV1.out", "Q4.line");
            sheet.run("W5", "INV1.out", "Q4.line", feet("6", 10.0));
            sheet.joint("Q4.load", "P1.tap1");
            sheet.run("W9", "U1.out", "P1.feed", feet("3/0", 20.0));
            for run in ["W3", "W4"] {
                sheet.set_run(run, "size", "4/0 AWG");
                sheet.set_run(run, "parallel", "2");
            }
            set(
                sheet,
                &[
                    ("B1", "discharge_current", "400 A"),
                    ("F1", "rating", "400 A"),
                    ("Q3", "rating", "400 A"),
                    ("BUS1", "rating", "600 A"),
                    ("INV1", "continuous", watts),
                    ("INV1", "ac_system", "120/240 V"),
                    ("INV1", "export", "export to the utility"),
                    ("INV1", "utility_listed", "fitted"),
                    ("INV1", "neutral_bonding", "never bonds"),
                    ("P1", "ac_system", "120/240 V"),
                    ("P1", "bus_rating", "200 A"),
                    ("P1", "main_rating", main),
                    ("P1", "main_interrupting", "10000 A"),
                    ("P1", "bond", "main bonding jumper here"),
                    ("P1", "short_circuit_rating", "10000 A"),
                    ("P1", "source_position", "at the far end of the bus"),
                    ("Q4", "rating", breaker),
                    ("Q4", "lockable", "fitted"),
                    ("Q4", "plug_in", "not fitted"),
                    ("Q4", "marked_line_load", "not fitted"),
                ],
            );
        }))
    };
    // 48 A × 1.25 = 60 A; 200 + 60 against 1.2 × 200
    fed_back("11520 W", "60 A", "200 A").says(&["correction busbar-120-percent@P1: 260 A, not 240 A"]);
    // 32 A × 1.25 = 40 A
    let less = fed_back("7680 W", "40 A", "200 A");
    less.is_silent();
    less.passes("busbar-120-percent", "P1", "240 A", "240 A");
    // 175 + 60
    let smaller_main = fed_back("11520 W", "60 A", "175 A");
    smaller_main.is_silent();
    smaller_main.passes("busbar-120-percent", "P1", "235 A", "240 A");
}

/// S50 · Bypass that can put generator and inverter together.
#[test]
fn s50() {
    let bypassed = |interlock: &str| {
        told(&changed(generator(40), |sheet| {
            sheet.remove_joint("Q7.load", "INV1.in1");
            sheet.block("K2", &lockable(40));
            sheet.joint("Q7.load", "K2.line");
            sheet.joint("K2.load", "P1.tap1");
            set(
                sheet,
                &[
                    ("INV1", "ac_inputs", "0"),
                    ("INV1", "charger_current", ""),
                    ("INV1", "transfer_relay", ""),
                    ("Q4", "interlock", interlock),
                    ("K2", "interlock", interlock),
                    ("K2", "plug_in", "not fitted"),
                    ("K2", "marked_line_load", "not fitted"),
                ],
            );
        }))
    };
    bypassed("").says(&["danger source-interlock@INV1#generator"]);
    bypassed("bypass").is_silent();
}

/// S51 · Plug-in back-fed breaker not fastened.
#[test]
fn s51() {
    let plugged = |plug_in: &str| {
        told(&changed(sound(), |sheet| {
            sheet.cut("W5");
            sheet.remove_joint("INV1.out", "Q4.line");
            sheet.run("W5", "INV1.out", "Q4.line", feet("6", 5.0));
            sheet.joint("Q4.load", "P1.feed");
            set(
                sheet,
                &[
                    ("Q4", "plug_in", plug_in),
                    ("Q4", "marked_line_load", "not fitted"),
                    ("Q4", "lockable", "fitted"),
                ],
            );
        }))
    };
    plugged("fitted").says(&["correction backfed-breaker@Q4"]);
    plugged("not fitted").is_silent();
}

/// S52 · 240 V pump and a 120 V inverter.
#[test]
fn s52() {
    let pump = |system: &str, volts: &str, efficiency: &str, peak: &str| {
        told(&changed(two_lines(&[("largest_240_load", "2400 W"), ("largest_load", "2400 W")]), |sheet| {
            set(
                sheet,
                &[
                    ("B1", "discharge_current", "250 A"),
                    ("B1", "peak_current", peak),
                    ("INV1", "ac_system", system),
                    ("INV1", "continuous", "2400 W"),
                    ("INV1", "surge", "7200 W"),
                    ("INV1", "rated_efficiency", efficiency),
                    ("INV1", "lowest_input_voltage", "12 V"),
                    ("INV1", "low_cut_out", volts),
                    ("Q4", "rating", "25 A"),
                ],
            );
        }))
    };
    // 2400 / (0.90 × 48), and three times as much while it starts
    let single = pump("120 V", "48 V", "90 %", "170 A");
    single.says(&["danger single-120-volt-supply@P1#outlets", "correction inverter-capacity@P1#lines"]);
    single.carries("W4", "55.6");
    let split = pump("120/240 V", "48 V", "90 %", "170 A");
    split.is_silent();
    split.passes("battery-discharge-current", "B1", "167 A", "170 A");
    // 2400 / (0.88 × 12), and three times as much
    let low = pump("120/240 V", "12 V", "88 %", "690 A");
    low.carries("W4", "227");
    low.passes("battery-discharge-current", "B1", "682 A", "690 A");
}

/// S53 · Ground-mounted array to its own power shed.
#[test]
fn s53() {
    let shed = |surroundings: &str| {
        told(&changed(sound(), |sheet| sheet.place("shed", &[("surroundings", surroundings)])))
    };
    shed("in a shed for the equipment").is_silent();
    // In a building for anything else the conductors count
    shed("in a utility room, basement or store")
        .says(&["correction rapid-shutdown@shed#outside: 128.5 V, not 30 V"]);
}
