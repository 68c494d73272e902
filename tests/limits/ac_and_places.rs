//! Limits of battery places, the AC side, and data.

use crate::draw::with;
use crate::limit::Sets::{All, Iec, Nec};
use crate::limit::{Limit, drawn, field, shed};
use lineside_acceptance::bench::LEAD;
use lineside_acceptance::sound::{bank, changed, generator_by, set, sound_by};
use lineside_acceptance::{Sheet, feet};
use lineside_core::project::RuleSet;
use lineside_rules::Severity::Advice;

/// The lead bank of 24 cells, 60 A at the end of its charge, in the shed with such a fact.
pub fn flooded(by: RuleSet, key: &str, value: &str) -> Sheet {
    changed(sound_by(by), |sheet| {
        bank(sheet, LEAD);
        set(
            sheet,
            &[
                ("B1", "units_in_series", "8"),
                ("B1", "equalize_current", "60 A"),
                ("B1", "equalize_voltage", "2.5 V"),
            ],
        );
        sheet.place("shed", &[(key, value)]);
    })
}

/// A utility with a panel whose bus takes so much, and the inverter behind a breaker in that panel.
pub fn fed_back(by: RuleSet, bus: &str) -> Sheet {
    changed(sound_by(by), |sheet| {
        let system = if by.is_nec() { "120/240 V" } else { "230 V" };
        sheet.block(
            "U1",
            r#"utility((ac_system: split_120_240, frequency: "60 Hz", service_rating: "100 A"))"#,
        );
        sheet.cut("W5");
        sheet.remove_joint("INV1.out", "Q4.line");
        sheet.run("W5", "INV1.out", "Q4.line", feet("6", 10.0));
        sheet.joint("Q4.load", "P1.tap1");
        sheet.run("W9", "U1.out", "P1.feed", feet("3/0", 20.0));
        set(
            sheet,
            &[
                ("U1", "ac_system", system),
                ("U1", "frequency", if by.is_nec() { "60 Hz" } else { "50 Hz" }),
                ("INV1", "ac_system", system),
                ("INV1", "export", "export to the utility"),
                ("INV1", "utility_listed", "fitted"),
                ("P1", "ac_system", system),
                ("P1", "bus_rating", bus),
                ("P1", "main_rating", "100 A"),
                ("P1", "source_position", "elsewhere on the bus"),
            ],
        );
    })
}

/// Generator and inverter on one panel, by breakers of such interlocks.
fn paralleled(by: RuleSet, interlock: &str) -> Sheet {
    changed(generator_by(by, 30), |sheet| {
        sheet.remove_joint("Q7.load", "INV1.in1");
        sheet.joint("Q7.load", "P1.tap1");
        set(
            sheet,
            &[("INV1", "ac_inputs", "0"), ("Q4", "interlock", "panel"), ("Q7", "interlock", interlock)],
        );
    })
}

/// A transfer switch of such a rating between inverter, generator and panel.
fn transferred(by: RuleSet, amps: &str) -> Sheet {
    changed(generator_by(by, 30), |sheet| {
        let switch = r#"transfer_switch((arrangement: transfer, rating: "60 A", interlock: mechanical, switched_neutral: no,
            load_break: yes, automatic: no, ac_voltage: "240 V", position: normal))"#;
        sheet.block("TS1", switch);
        let feeder = sheet.conductor("W5");
        sheet.cut("W5");
        sheet.remove_joint("Q7.load", "INV1.in1");
        sheet.run("W5", "Q4.load", "TS1.normal", feeder.clone());
        sheet.joint("Q7.load", "TS1.standby");
        sheet.run("W9", "TS1.load", "P1.feed", feeder);
        set(sheet, &[("INV1", "ac_inputs", "0"), ("TS1", "rating", amps)]);
    })
}

pub const LIMITS: &[Limit] = &[
    // 0.05 × 24 × 60
    drawn("battery-ventilation", All, "72 m³/h", "71 m³/h", |by, fan| flooded(by, "vent_fan", fan)),
    drawn("battery-spark-distance", All, "1.13 m", "1.12 m", |by, away| flooded(by, "spark_distance", away)),
    // 80 A, of which 93.8 % are left: 75 A, and 75 % for the 60 A of the IEC
    drawn("device-ambient", Nec, "93.8 %", "93.7 %", warm),
    drawn("device-ambient", Iec, "75 %", "74.9 %", warm),
    shed("device-ambient", All, "hottest", "40 °C", "40.1 °C").is(Advice),
    shed("working-space", Nec, "working_depth", "0.92 m", "0.91 m"),
    shed("working-space", Nec, "working_width", "0.77 m", "0.76 m"),
    shed("working-space", Nec, "working_height", "1.99 m", "1.98 m"),
    shed("working-space", Iec, "working_depth", "0.6 m", "0.59 m"),
    drawn("working-space", Nec, "26 mm", "25 mm", |by, gap| flooded(by, "cell_gap", gap)),
    // 16 × 3.125 = 50 V
    drawn("live-parts-guarded", Nec, "3.125 V", "3.13 V", bare),
    drawn("live-parts-guarded", Iec, "3.125 V", "3.13 V", bare).is(Advice),
    // 20 kWh / 51.2 V = 390.6 Ah
    field("lithium-location", All, ("B1", "capacity"), "390 Ah", "391 Ah"),
    // 40 kWh in a utility room, 80 kWh in a garage or outside: 3 strings of 13.3 kWh and 5 of 16 kWh
    drawn("lithium-location", All, "260 Ah", "261 Ah", |by, capacity| {
        group(by, "in a utility room, basement or store", "3", capacity)
    }),
    drawn("lithium-location", All, "312 Ah", "313 Ah", |by, capacity| {
        group(by, "in a garage", "5", capacity)
    }),
    drawn("lithium-location", All, "312 Ah", "313 Ah", |by, capacity| {
        group(by, "in a shed for the equipment", "5", capacity)
    }),
    shed("lithium-location", All, "unit_spacing", "0.92 m", "0.89 m"),
    shed("lithium-location", All, "smoke_detection", "fitted", "not fitted"),
    // 1.25 × 4000 / 120 and 4000 / 230
    field("inverter-output-overcurrent", Nec, ("Q4", "rating"), "42 A", "41 A"),
    field("inverter-output-overcurrent", Iec, ("Q4", "rating"), "17.4 A", "17.3 A"),
    field("inverter-output-overcurrent", Nec, ("INV1", "greatest_output_device"), "45 A", "44 A"),
    field("inverter-output-overcurrent", Iec, ("INV1", "greatest_output_device"), "20 A", "19 A"),
    drawn("ac-pass-through", All, "30 A", "29 A", |by, relay| {
        changed(generator_by(by, 30), |sheet| sheet.set("INV1", "transfer_relay", relay))
    }),
    // 20 × 56.8 / 0.9 + 500 = 1762 W
    drawn("generator-overload", All, "1770 W", "1760 W", |by, watts| {
        changed(generator_by(by, 30), |sheet| sheet.set("G1", "power", watts))
    }),
    // 1262 W / 0.80 + 500 = 2078 VA
    drawn("generator-overload", All, "2080 VA", "2070 VA", |by, rated| {
        changed(generator_by(by, 30), |sheet| {
            set(sheet, &[("INV1", "charger_power_factor", "80 %"), ("G1", "apparent_output", rated)]);
        })
    }),
    // 65 A of 6 AWG at 75 °C; 10 mm² by B1
    drawn("generator-conductor", Nec, "6780 W", "6790 W", |by, watts| {
        changed(generator_by(by, 30), |sheet| sheet.set("G1", "power", watts))
    }),
    drawn("generator-conductor", Iec, "12300 W", "12400 W", |by, watts| {
        changed(generator_by(by, 30), |sheet| sheet.set("G1", "power", watts))
    }),
    drawn("source-interlock", All, "panel", "other", paralleled),
    drawn("transfer-equipment", Nec, "34 A", "33 A", transferred),
    drawn("transfer-equipment", Iec, "18 A", "17 A", transferred),
    drawn("transfer-equipment", All, "fitted", "not fitted", |by, listed| {
        changed(fed_back(by, "200 A"), |sheet| sheet.set("INV1", "utility_listed", listed))
    })
    .at("INV1#listing"),
    drawn("single-120-volt-supply", Nec, "no shared neutrals", "some shared neutrals", |by, shared| {
        with(
            by,
            &[
                ("P1", "ac_system", "120/240 V"),
                ("P1", "neutral_rating", "100 A"),
                ("P1", "multiwire", shared),
            ],
        )
    }),
    drawn("single-120-volt-supply", Nec, "0 W", "100 W", |by, load| {
        with(
            by,
            &[
                ("P1", "ac_system", "120/240 V"),
                ("P1", "neutral_rating", "100 A"),
                ("P1", "largest_240_load", load),
            ],
        )
    }),
    // 4000 / 120
    drawn("single-120-volt-supply", Nec, "34 A", "33 A", |by, neutral| {
        with(by, &[("P1", "ac_system", "120/240 V"), ("P1", "neutral_rating", neutral)])
    }),
    // 100 + 1.25 × 4000 / 240 = 120.8 A; by the IEC 100 + 4000 / 230
    drawn("busbar-120-percent", Nec, "121 A", "120 A", fed_back),
    drawn("busbar-120-percent", Iec, "118 A", "117 A", fed_back),
    drawn("backfed-breaker", All, "not fitted", "fitted", |by, plug_in| {
        changed(fed_back(by, "200 A"), |sheet| {
            set(sheet, &[("Q4", "plug_in", plug_in), ("Q4", "marked_line_load", "not fitted")]);
        })
    }),
    field("inverter-capacity", All, ("P1", "largest_load"), "4000 W", "4100 W"),
    drawn("ac-voltage-frequency", Nec, "63 Hz", "63.1 Hz", frequency),
    drawn("ac-voltage-frequency", Iec, "52.5 Hz", "52.6 Hz", frequency),
    drawn("ac-voltage-frequency", Nec, "57 Hz", "56.9 Hz", frequency),
    drawn("ac-voltage-frequency", Iec, "47.5 Hz", "47.4 Hz", frequency),
    field("ac-shock-protection", Nec, ("P1", "residual_current"), "fitted", "not fitted").is(Advice),
    // 5 × 16 A of type B
    drawn("ac-shock-protection", Iec, "80 A", "79 A", |by, fault| {
        with(
            by,
            &[
                ("P1", "residual_current", "not fitted"),
                ("P1", "largest_branch_breaker", "16 A"),
                ("INV1", "output_fault_current", fault),
            ],
        )
    }),
    drawn("ac-shock-protection", Iec, "0.03 A", "0.031 A", residual).by_fact(),
    drawn("wiring", All, "P1.feed", "BUS1.tap5", |by, end| {
        changed(sound_by(by), |sheet| sheet.land("W5", "Q4.load", end))
    }),
    // 3 % above 31.3 × 12.79 = 400.3 W
    field("nameplate-contradiction", All, ("S1", "power"), "412 W", "413 W"),
    field("data-missing", All, ("S1", "system_voltage"), "1000 V", ""),
];

/// A breaker that keeps such a share of its rating at 50 °C, in a shed that is as hot.
fn warm(by: RuleSet, share: &str) -> Sheet {
    changed(sound_by(by), |sheet| {
        sheet.place("shed", &[("hottest", "50 °C")]);
        sheet.set_all(&["Q3", "Q4", "F1"], "rating_by_temperature", "40 °C: 100 %; 50 °C: 100 %");
        sheet.set("Q2", "rating_by_temperature", &format!("40 °C: 100 %; 50 °C: {share}"));
    })
}

/// A residual-current device for so much between inverter and panel, of which nothing else is told.
pub fn residual(by: RuleSet, amps: &str) -> Sheet {
    changed(sound_by(by), |sheet| {
        let feeder = sheet.conductor("W5");
        sheet.cut("W5");
        let device = r#"ground_fault_device((kind: residual_current, rating: "40 A", trip_current: "0.03 A",
            ac_voltage: "230 V", residual_type: type_b, position: closed))"#;
        sheet.block("GFD1", device);
        sheet.joint("Q4.load", "GFD1.line");
        sheet.run("W5", "GFD1.load", "P1.feed", feeder);
        set(
            sheet,
            &[
                ("GFD1", "trip_current", amps),
                ("P1", "residual_current", "not fitted"),
                ("P1", "largest_branch_breaker", "16 A"),
                ("INV1", "output_fault_current", "50 A"),
            ],
        );
    })
}

/// Packs of such a capacity side by side in such a place.
fn group(by: RuleSet, place: &str, strings: &str, capacity: &str) -> Sheet {
    changed(with(by, &[("B1", "strings_in_parallel", strings), ("B1", "capacity", capacity)]), |sheet| {
        sheet.place("shed", &[("surroundings", place), ("vehicle_barrier", "fitted")]);
    })
}

fn bare(by: RuleSet, charge: &str) -> Sheet {
    with(
        by,
        &[
            ("B1", "full_rest_voltage", "3.10 V"),
            ("B1", "charge_voltage", charge),
            ("B1", "terminals_covered", "not fitted"),
        ],
    )
}

fn frequency(by: RuleSet, hertz: &str) -> Sheet {
    changed(generator_by(by, 30), |sheet| sheet.set("G1", "frequency", hertz))
}
