//! What conductors carry and lose.

use crate::bench::{STRING, breaker, cabin, changed, hut, set, strings};
use crate::case::{Case, finds, passes, silent};
use lineside_acceptance::{Sheet, feet};
use lineside_rules::Severity::{Advice, Correction, Danger};

const HOURS: &str = "conductor-continuous-ampacity";
const CORRECTED: &str = "conductor-corrected-ampacity";
const TERMINAL: &str = "terminal-temperature";
const SMALL: &str = "small-conductor-limit";
const DROP: &str = "voltage-drop";

/// Sets fields of a run's conductor.
fn run(sheet: &mut Sheet, tag: &str, fields: &[(&str, &str)]) {
    for (key, typed) in fields {
        sheet.set_run(tag, key, typed);
    }
}

/// The cabin after fields of one conductor were set.
fn cabin_run(tag: &str, fields: &[(&str, &str)]) -> Sheet {
    changed(cabin, |sheet| run(sheet, tag, fields))
}

/// 8000 W at 93 % down to 46 V: 187.00 A, on a run of that size.
fn inverter(size: &str) -> Sheet {
    changed(cabin, |sheet| {
        set(
            sheet,
            &[
                ("INV1", "continuous", "8000 W"),
                ("INV1", "rated_efficiency", "93 %"),
                ("INV1", "low_cut_out", "46 V"),
                ("Q3", "rating", "250 A"),
                ("F1", "rating", "250 A"),
                ("Q4", "rating", "90 A"),
            ],
        );
        sheet.set_run("W3", "size", "400 kcmil");
        sheet.set_run("W4", "size", size);
        sheet.set_run("W5", "size", "3");
    })
}

/// DC lights of 22 A behind a breaker of 30 A on 12 AWG, so much of it for hours.
fn lights(continuous: &str) -> Sheet {
    changed(cabin, |sheet| {
        sheet.block("L1", r#"dc_load((current: "22 A", max_voltage: "60 V"))"#);
        sheet.set("L1", "continuous_current", continuous);
        sheet.block("Q5", &breaker(30));
        sheet.joint("BUS1.tap4", "Q5.line");
        sheet.run("W6", "Q5.load", "L1.in", feet("12", 10.0));
    })
}

/// One string of 13.95 A in a raceway 0.75 in above a roof at 36 °C, four conductors in it.
fn roof(size: &str, short_circuit: &str) -> Sheet {
    changed(cabin, |sheet| {
        sheet.set("S1", "short_circuit_current", short_circuit);
        let laid = [
            ("size", size),
            ("insulation", "THWN-2"),
            ("raceway", "EMT"),
            ("ambient", "36 °C"),
            ("above_roof", "0.75 in"),
            ("loaded_conductors", "4"),
        ];
        run(sheet, "W1", &laid);
    })
}

/// Three strings of 18.50 A on cables of 4 mm², joined by branch connectors or in a combiner.
fn joined(combiner: &str) -> Sheet {
    changed(hut, |sheet| {
        sheet.cut("W1");
        sheet.block("CB1", combiner);
        sheet.set("S1", "short_circuit_current", "18.5 A");
        for n in 1..=3 {
            let tag = format!("S{n}");
            if n > 1 {
                sheet.block(&tag, STRING);
                sheet.set(&tag, "short_circuit_current", "18.5 A");
            }
            let end = if combiner.starts_with("junction") { "end" } else { "way" };
            let cable = crate::bench::pv_cable("4 mm²", 3.0);
            sheet.run(&format!("W1{n}"), &format!("S{n}.out"), &format!("CB1.{end}{n}"), cable);
        }
        let out = if combiner.starts_with("junction") { "CB1.end4" } else { "CB1.out" };
        sheet.run("W1", out, "C1.pv", crate::bench::pv_cable("16 mm²", 5.0));
    })
}
const BRANCHES: &str = r#"junction((ends: 4, rating: "60 A"))"#;
const WAYS: &str = r#"combiner((ways: 3, buses: 1, bus_rating: "100 A", device: fuse_holder, device_rating: "30 A",
    polarity: none, duty: eighty_percent, dc_voltage: "600 V", interrupting_rating: "10000 A", pv_listed: yes))"#;

/// A controller of so many amperes on 4 AWG, one end of which has no mark.
fn unmarked(amps: &str) -> Sheet {
    changed(|| cabin_run("W2", &[("terminal_to", "")]), |sheet| set(sheet, &[("C1", "output_current", amps)]))
}

/// A string behind a breaker of so many amperes on such a conductor.
fn string_device(rating: u32, fields: &[(&str, &str)]) -> Sheet {
    changed(cabin, |sheet| {
        sheet.block("Q1", &breaker(rating));
        sheet.land("W1", "S1.out", "Q1.line");
        sheet.joint("Q1.load", "C1.pv");
        run(sheet, "W1", fields);
    })
}

/// Three strings of 12.79 A at maximum power, each on 15 ft of 10 AWG, then 120 ft of 1/0.
fn far_array() -> Sheet {
    changed(cabin, |sheet| {
        sheet.block("CB1", WAYS);
        for n in 1..=3 {
            if n > 1 {
                sheet.block(&format!("S{n}"), STRING);
            }
            let string = sheet.conductor("W1");
            sheet.run(&format!("W1{n}"), &format!("S{n}.out"), &format!("CB1.way{n}"), string);
        }
        sheet.land("W1", "CB1.out", "C1.pv");
        run(
            sheet,
            "W1",
            &[("size", "1/0"), ("length", "120 ft"), ("raceway", "EMT"), ("insulation", "THWN-2")],
        );
    })
}

/// A controller for so much on 25 mm² of XLPE, by IEC.
fn xlpe(amps: &str) -> Sheet {
    changed(hut, |sheet| {
        sheet.set_run("W2", "insulation", "XLPE");
        sheet.set("C1", "output_current", amps);
    })
}

/// The panel on 2 AWG of aluminum, whose breaker is marked so.
fn aluminum(marking: &str) -> Sheet {
    changed(cabin, |sheet| {
        sheet.set_run("W5", "size", "2 AWG");
        sheet.set_run("W5", "metal", "Al");
        set(sheet, &[("Q4", "terminal_marking", marking), ("P1", "terminal_marking", "copper or aluminum")]);
    })
}

pub const CASES: &[Case] = &[
    // 1.25 × 51.00 on 4 AWG of 85 A
    passes(HOURS, "an array circuit", ("W1", "63.75 A", "85.00 A"), || {
        changed(|| strings(&[("strings_in_parallel", "3")]), |sheet| sheet.set_run("W1", "size", "4"))
    }),
    // 1.25 × 80
    passes(HOURS, "exactly at the limit", ("W2", "100.00 A", "100.00 A"), || {
        changed(|| cabin_run("W2", &[("size", "3")]), |sheet| sheet.set("C1", "output_current", "80 A"))
    }),
    // 1.25 × 8000 / (0.93 × 46.0): a breaker of 250 A is still allowed on 4/0, the conductor is not
    finds(HOURS, "an inverter on 4/0", &[(Correction, "W4", "233.75 A", "230.00 A")], || inverter("4/0")),
    passes(HOURS, "an assembly rated for 100 %", ("W4", "187.00 A", "230.00 A"), || {
        changed(|| inverter("4/0"), |sheet| sheet.set("Q3", "duty", "100 % rated"))
    }),
    passes(HOURS, "two of 1/0 in parallel", ("W4", "233.75 A", "300.00 A"), || {
        changed(|| inverter("1/0"), |sheet| sheet.set_run("W4", "parallel", "2"))
    }),
    // 1.25 × 22, and 1.25 × 5 + 17
    finds(HOURS, "lights that burn for hours", &[(Correction, "W6", "27.50 A", "25.00 A")], || lights("")),
    passes(HOURS, "lights that burn for minutes", ("W6", "23.25 A", "25.00 A"), || lights("5 A")),
    silent(HOURS, "the IEC adds no factor for hours", || {
        changed(hut, |sheet| sheet.set_run("W4", "size", "16 mm²"))
    }),
    // 40 × 0.58 × 0.80 against 1.25 × 13.95
    passes(CORRECTED, "10 AWG on a roof", ("W1", "17.44 A", "18.56 A"), || roof("10", "13.95 A")),
    // 1.25 × 14.848
    passes(CORRECTED, "exactly at the limit", ("W1", "18.56 A", "18.56 A"), || roof("10", "14.848 A")),
    finds(CORRECTED, "12 AWG on a roof", &[(Danger, "W1", "17.44 A", "13.92 A")], || roof("12", "13.95 A")),
    // 95 × 0.91 × 0.80 against 51.00
    passes(CORRECTED, "an array circuit at 40 °C", ("W1", "51.00 A", "69.16 A"), || {
        changed(
            || strings(&[("strings_in_parallel", "3")]),
            |sheet| {
                let laid = [
                    ("size", "4"),
                    ("insulation", "THWN-2"),
                    ("raceway", "PVC conduit"),
                    ("ambient", "40 °C"),
                    ("loaded_conductors", "4"),
                ];
                run(sheet, "W1", &laid);
            },
        )
    }),
    // 32 × 0.94 against 1200 / (0.90 × 21.0)
    finds(CORRECTED, "4 mm² to an inverter, by IEC", &[(Danger, "W4", "63.49 A", "30.08 A")], || {
        changed(hut, |sheet| {
            set(
                sheet,
                &[
                    ("INV1", "continuous", "1200 W"),
                    ("INV1", "rated_efficiency", "90 %"),
                    ("INV1", "lowest_input_voltage", "21 V"),
                ],
            );
            sheet.set_run("W4", "size", "4 mm²");
        })
    }),
    // A place that is known and one that is not: the site's 41 °C counts, 40 × 0.87 against 1.25 × 13.60
    passes(CORRECTED, "the end that nobody measured", ("W1", "17.00 A", "34.80 A"), || {
        changed(cabin, |sheet| {
            sheet.site("design_high", "41 °C");
            let laid = [("ambient", ""), ("raceway", "EMT"), ("insulation", "THWN-2")];
            run(sheet, "W1", &laid);
            sheet.place("array field", &[("surroundings", "on the ground")]);
            sheet.stand("S1");
        })
    }),
    // Two others push 2 × 1.25 × 18.50 = 46.25 A into a cable for 44 A
    finds(
        CORRECTED,
        "three strings without devices, by IEC",
        &[
            (Danger, "W11", "46.25 A", "44.00 A"),
            (Danger, "W12", "46.25 A", "44.00 A"),
            (Danger, "W13", "46.25 A", "44.00 A"),
        ],
        || joined(BRANCHES),
    ),
    passes(CORRECTED, "three strings with devices, by IEC", ("W11", "23.13 A", "44.00 A"), || joined(WAYS)),
    // 4 AWG: 85 A at 75 °C, 70 A at 60 °C; 1.25 × 60
    passes(TERMINAL, "both ends marked 75 °C", ("W2", "75.00 A", "85.00 A"), cabin),
    finds(TERMINAL, "one end without a mark", &[(Correction, "W2", "75.00 A", "70.00 A")], || {
        unmarked("60 A")
    }),
    // 1.25 × 56
    passes(TERMINAL, "exactly at the limit", ("W2", "70.00 A", "70.00 A"), || unmarked("56 A")),
    finds(
        TERMINAL,
        "aluminum in a breaker for copper",
        &[(Correction, "W5.from#metal", "Al", "terminals marked for it")],
        || aluminum("copper, fine strands too"),
    ),
    silent(TERMINAL, "aluminum in terminals for it", || aluminum("copper or aluminum")),
    // 25 mm² by B1 in 35 °C: XLPE 133 × 0.96 = 127.68 A, by the column of 70 °C 101 × 0.94 = 94.94 A
    passes(TERMINAL, "a cable for 90 °C, by IEC", ("W2", "60.00 A", "94.94 A"), || xlpe("60 A")),
    finds(TERMINAL, "terminals without a mark, by IEC", &[(Correction, "W2", "100.00 A", "94.94 A")], || {
        xlpe("100 A")
    }),
    silent(TERMINAL, "a cable that is too hot itself, by IEC", || xlpe("130 A")),
    silent(TERMINAL, "a cable that is no hotter than its terminals, by IEC", || {
        changed(hut, |sheet| sheet.set_run("W2", "terminal_to", ""))
    }),
    passes(SMALL, "25 A on 10 AWG", ("W1", "25.00 A", "30.00 A"), || string_device(25, &[])),
    passes(SMALL, "exactly at the limit", ("W1", "30.00 A", "30.00 A"), || string_device(30, &[])),
    finds(
        SMALL,
        "25 A on 12 AWG, though it may carry 28.80",
        &[(Danger, "W1", "25.00 A", "20.00 A")],
        || string_device(25, &[("size", "12")]),
    ),
    finds(SMALL, "20 A on 12 AWG of aluminum", &[(Danger, "W1", "20.00 A", "15.00 A")], || {
        string_device(20, &[("size", "12"), ("metal", "Al")])
    }),
    silent(SMALL, "the IEC has no such list", || {
        changed(hut, |sheet| {
            sheet.block("Q1", &breaker(25));
            sheet.land("W1", "S1.out", "Q1.line");
            sheet.joint("Q1.load", "C1.pv");
            sheet.set_run("W1", "size", "1.5 mm²");
        })
    }),
    // 38.37 × 0.122 × 240 / 1000 + 12.79 × 1.24 × 30 / 1000 = 1.1235 + 0.4758 V of 93.90
    passes(DROP, "an array circuit of 1/0", ("C1", "1.70 %", "2.00 %"), far_array),
    // 38.37 × 0.308 × 240 / 1000 of 93.90
    finds(DROP, "an array circuit of 4 AWG", &[(Advice, "C1#strings", "3.02 %", "2.00 %")], || {
        changed(
            || strings(&[("strings_in_parallel", "3")]),
            |sheet| run(sheet, "W1", &[("size", "4"), ("length", "120 ft")]),
        )
    }),
    // 1 % of 51.2 V at 60 A is 8.5333 mΩ: 0.5 × 8.5333 / 0.122 = 34.972 677 6 ft of 1/0
    passes(DROP, "exactly at the limit", ("C1", "1.00 %", "1.00 %"), || {
        cabin_run("W2", &[("size", "1/0"), ("length", "34.972677595628415 ft")])
    }),
    // 4000 / (0.92 × 44) = 98.81 A; 0.122 × 0.120 and 0.0608 × 0.004 Ω: 1.4466 + 0.0240 V of 51.2
    finds(DROP, "a long way to the inverter", &[(Advice, "INV1#supply", "2.87 %", "2.00 %")], || {
        cabin_run("W4", &[("length", "60 ft")])
    }),
    // 2.8933 + 0.0240 V of 51.2: the inverter cuts out early
    finds(DROP, "much too long", &[(Correction, "INV1#supply", "5.70 %", "5.00 %")], || {
        cabin_run("W4", &[("length", "120 ft")])
    }),
    // 33.33 × 0.49 × 2 × 110 / 1000 = 3.593 V of 120, and for 120 ft 3.920 V
    passes(DROP, "an AC feeder", ("P1", "2.99 %", "3.00 %"), || cabin_run("W5", &[("length", "110 ft")])),
    finds(DROP, "a longer one", &[(Advice, "P1#ac", "3.27 %", "3.00 %")], || {
        cabin_run("W5", &[("length", "120 ft")])
    }),
    // 9 kW at 208 V: 24.98 A; √3 × 24.98 × 0.49 × 100 / 1000 = 2.1202 V of 208
    passes(DROP, "a three-phase feeder", ("P1", "1.02 %", "3.00 %"), || {
        changed(
            || cabin_run("W5", &[("length", "100 ft")]),
            |sheet| {
                set(
                    sheet,
                    &[
                        ("INV1", "continuous", "9000 W"),
                        ("INV1", "ac_system", "120/208 V three-phase"),
                        ("P1", "ac_system", "120/208 V three-phase"),
                    ],
                );
            },
        )
    }),
    // 33.33 × 0.49 × 240 / 1000 of 120 V from the generator, the inverter beside the panel
    finds(DROP, "the worse of two sources", &[(Advice, "P1#ac", "3.27 %", "3.00 %")], || {
        changed(cabin, |sheet| {
            let set_up = r#"generator((power: "4000 W", ac_system: single_120, frequency: "60 Hz", fuel: propane,
                frame_bond: floating))"#;
            sheet.block("G1", set_up);
            sheet.block("BUS2", r#"bus_bar((rating: "100 A", taps: 4))"#);
            sheet.land("W5", "Q4.load", "BUS2.tap1");
            sheet.set_run("W5", "length", "118 ft");
            sheet.run("W9", "G1.out", "BUS2.tap2", feet("6", 120.0));
            sheet.joint("BUS2.tap3", "P1.feed");
        })
    }),
    // 22 × 1.98 × 20 / 1000 of 51.2, by 10 and by 12 ft: 0.8712 V, 1.0454 V
    passes(DROP, "lights near the bus", ("L1", "1.70 %", "2.00 %"), || lights("")),
    finds(DROP, "lights a little further", &[(Advice, "L1#supply", "2.04 %", "2.00 %")], || {
        changed(|| lights(""), |sheet| sheet.set_run("W6", "length", "12 ft"))
    }),
    // By IEC at 70 °C: 40 m of 4 mm², 12.79 × 5.09 × (1 + 0.00393 × 50) × 80 / 1000 = 6.231 V of 93.90
    finds(DROP, "strings far off, by IEC", &[(Advice, "C1#strings", "6.64 %", "2.00 %")], || {
        changed(hut, |sheet| {
            run(sheet, "W1", &[("length", "40 m"), ("stranding", "fine strand"), ("coating", "tinned")]);
        })
    }),
];
