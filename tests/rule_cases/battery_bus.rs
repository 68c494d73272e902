//! The window of the battery bus, and the currents of the bank.

use crate::bench::{
    INVERTER, LEAD, LITHIUM, NICKEL_IRON, breaker, cabin, changed, fuse, set, with, with_bank,
};
use crate::case::{Case, finds, passes, silent};
use lineside_acceptance::{Sheet, feet};
use lineside_rules::Severity::{Advice, Correction, Danger};

const NOMINAL: &str = "nominal-voltage";
const CHARGE: &str = "charge-voltage-above-equipment";
const CUT_OUT: &str = "low-cut-out-window";
const IN: &str = "battery-charge-current";
const OUT: &str = "battery-discharge-current";

/// The nickel-iron bank of so many cells; the inverter works at what it survives.
fn nickel_iron(cells: &str) -> Sheet {
    changed(
        || with_bank(NICKEL_IRON),
        |sheet| set(sheet, &[("B1", "units_in_series", cells), ("INV1", "lowest_input_voltage", "40 V")]),
    )
}

/// The lead bank of 24 V at its coldest, with a load of 32 V and no charger but the controller.
fn lead(coldest: &str) -> Sheet {
    changed(
        || with_bank(LEAD),
        |sheet| {
            sheet.remove("INV1");
            sheet.remove("Q3");
            sheet.place("shed", &[("coldest", coldest)]);
            sheet.block("L1", r#"dc_load((current: "10 A", max_voltage: "32 V"))"#);
            sheet.block("Q5", &breaker(20));
            sheet.joint("BUS1.tap3", "Q5.line");
            sheet.run("W4", "Q5.load", "L1.in", feet("12", 10.0));
        },
    )
}

/// The bank's own device for 65 V, 58 V and the like.
fn fused(fuse_volts: &str) -> Sheet {
    changed(|| nickel_iron("40"), |sheet| sheet.set("F1", "dc_voltage", fuse_volts))
}

/// Lithium packs in parallel, each behind its fuse, so many of them, and the chargers: two controllers of 80 A
/// and an inverter-charger of 100 A. The inverter gives 8000 W down to 46 V at 93 %.
pub fn packs(count: u32) -> Sheet {
    changed(cabin, |sheet| {
        set(
            sheet,
            &[
                ("C1", "output_current", "80 A"),
                ("Q2", "rating", "100 A"),
                ("Q3", "rating", "250 A"),
                ("Q4", "rating", "90 A"),
                ("INV1", "continuous", "8000 W"),
                ("INV1", "rated_efficiency", "93 %"),
                ("INV1", "low_cut_out", "46 V"),
                ("INV1", "charger_current", "100 A"),
            ],
        );
        sheet.block("C2", crate::bench::CONTROLLER);
        sheet.set("C2", "output_current", "80 A");
        sheet.run("W12", "C2.battery", "BUS1.tap4", feet("4", 6.0));
        for n in 2..=count {
            sheet.block(&format!("B{n}"), LITHIUM);
            sheet.block(&format!("F{n}"), &fuse(200));
            sheet.run(&format!("W{}", 20 + n), &format!("B{n}.out"), &format!("F{n}.line"), feet("4/0", 2.0));
            sheet.joint(&format!("F{n}.load"), &format!("BUS1.tap{}", 3 + n));
        }
    })
}

/// One controller of so many amperes on the nickel-iron bank of 400 Ah.
fn charged_by(amps: &str) -> Sheet {
    changed(|| nickel_iron("40"), |sheet| sheet.set("C1", "output_current", amps))
}

pub const CASES: &[Case] = &[
    // 16 × 3.20 lies between 44 and 64
    passes(NOMINAL, "a 48 V inverter, low end", ("INV1", "51.20 V", "44.00 V"), cabin),
    passes(NOMINAL, "a 48 V inverter, high end", ("INV1", "51.20 V", "64.00 V"), cabin),
    passes(NOMINAL, "exactly at the low end", ("INV1", "51.20 V", "51.20 V"), || {
        with(&[("INV1", "lowest_input_voltage", "51.2 V")])
    }),
    finds(NOMINAL, "a 24 V inverter", &[(Danger, "INV1", "51.20 V", "32.00 V")], || {
        with(&[("INV1", "lowest_input_voltage", "21 V"), ("INV1", "highest_input_voltage", "32 V")])
    }),
    finds(NOMINAL, "a 48 V inverter on 24 V", &[(Danger, "INV1", "24.00 V", "44.00 V")], || with_bank(LEAD)),
    // 16 × 3.55; 38 × 1.65
    passes(CHARGE, "lithium", ("INV1", "56.80 V", "64.00 V"), cabin),
    passes(CHARGE, "38 cells of nickel-iron", ("INV1", "62.70 V", "64.00 V"), || nickel_iron("38")),
    passes(CHARGE, "exactly at the limit: 40 × 1.60", ("INV1", "64.00 V", "64.00 V"), || {
        changed(|| nickel_iron("40"), |sheet| sheet.set("B1", "equalize_setting", "1.60 V"))
    }),
    finds(CHARGE, "40 cells of nickel-iron", &[(Danger, "INV1", "66.00 V", "64.00 V")], || nickel_iron("40")),
    finds(CHARGE, "it survives but shuts off", &[(Correction, "INV1", "66.00 V", "64.00 V")], || {
        changed(|| nickel_iron("40"), |sheet| sheet.set("INV1", "absolute_input_voltage", "70 V"))
    }),
    finds(
        CHARGE,
        "a breaker of 65 V, a strip fuse of 58 V, lights of 60 V",
        &[
            (Danger, "INV1", "66.00 V", "64.00 V"),
            (Danger, "Q3", "66.00 V", "65.00 V"),
            (Danger, "F1", "66.00 V", "58.00 V"),
            (Danger, "L1", "66.00 V", "60.00 V"),
        ],
        || {
            changed(
                || fused("58 V"),
                |sheet| {
                    sheet.set("Q3", "dc_voltage", "65 V");
                    sheet.block("L1", r#"dc_load((current: "5 A", max_voltage: "60 V"))"#);
                    sheet.joint("L1.in", "BUS1.tap4");
                },
            )
        },
    ),
    // 12 × 2.58 = 30.96; in the cold 12 × 0.005 × 25 = 1.50 more
    passes(CHARGE, "lead at 25 °C", ("L1", "30.96 V", "32.00 V"), || lead("25 °C")),
    finds(CHARGE, "lead at 0 °C", &[(Danger, "L1", "32.46 V", "32.00 V")], || lead("0 °C")),
    passes(CHARGE, "a ceiling that every charger has", ("L1", "31.50 V", "32.00 V"), || {
        changed(|| lead("0 °C"), |sheet| sheet.set("C1", "voltage_ceiling", "31.5 V"))
    }),
    passes(CHARGE, "no ceiling lowers it below 25 °C", ("L1", "30.96 V", "32.00 V"), || {
        changed(|| lead("0 °C"), |sheet| sheet.set("C1", "voltage_ceiling", "29 V"))
    }),
    finds(CHARGE, "a ceiling that one charger lacks", &[(Danger, "L1", "32.46 V", "32.00 V")], || {
        changed(
            || lead("0 °C"),
            |sheet| {
                sheet.set("C1", "voltage_ceiling", "31.5 V");
                sheet.block("C2", crate::bench::CONTROLLER);
                sheet.joint("C2.battery", "BUS1.tap4");
            },
        )
    }),
    // 16 × 3.00 and 16 × 2.50
    passes(CUT_OUT, "before empty", ("INV1", "46.00 V", "48.00 V"), || {
        with(&[("INV1", "low_cut_out", "46 V")])
    }),
    passes(CUT_OUT, "above the lowest", ("INV1", "46.00 V", "40.00 V"), || {
        with(&[("INV1", "low_cut_out", "46 V")])
    }),
    passes(CUT_OUT, "exactly at empty", ("INV1", "48.00 V", "48.00 V"), || {
        with(&[("INV1", "low_cut_out", "48 V")])
    }),
    // 40 × 1.00
    finds(CUT_OUT, "capacity is stranded", &[(Advice, "INV1#early", "42.00 V", "40.00 V")], || {
        changed(|| nickel_iron("40"), |sheet| sheet.set("INV1", "low_cut_out", "42 V"))
    }),
    finds(CUT_OUT, "the bank is driven too low", &[(Correction, "INV1#late", "38.00 V", "40.00 V")], || {
        changed(|| nickel_iron("40"), |sheet| sheet.set("INV1", "low_cut_out", "38 V"))
    }),
    passes(CUT_OUT, "the management opens just below", ("INV1", "44.00 V", "44.00 V"), || {
        with(&[("B1", "management_low", "43.5 V")])
    }),
    finds(
        CUT_OUT,
        "the management opens first",
        &[(Correction, "INV1#management", "44.00 V", "44.50 V")],
        || with(&[("B1", "management_low", "44 V")]),
    ),
    finds(CUT_OUT, "it never starts again", &[(Correction, "INV1#restart", "57.00 V", "56.80 V")], || {
        with(&[("INV1", "cut_in", "57 V")])
    }),
    finds(CUT_OUT, "it chatters", &[(Correction, "INV1#restart", "43.00 V", "44.00 V")], || {
        with(&[("INV1", "cut_in", "43 V")])
    }),
    // 2 × 80 + 100
    passes(IN, "four packs, one of them out", ("B1", "260.00 A", "300.00 A"), || packs(4)),
    finds(IN, "three packs, one of them out", &[(Advice, "B1#one-out", "260.00 A", "200.00 A")], || packs(3)),
    finds(IN, "two packs", &[(Correction, "B1", "260.00 A", "200.00 A")], || packs(2)),
    passes(IN, "exactly at the limit", ("B1", "200.00 A", "200.00 A"), || charged_by("200 A")),
    passes(IN, "a limit as set counts", ("B1", "60.00 A", "100.00 A"), || {
        with(&[("C1", "output_current", "120 A"), ("C1", "current_limit", "60 A")])
    }),
    // 0.05 × 400
    passes(IN, "just enough to stir the cells", ("B1", "20.00 A", "20.00 A"), || charged_by("20 A")),
    finds(IN, "too little to stir the cells", &[(Advice, "B1#least", "19.00 A", "20.00 A")], || {
        charged_by("19 A")
    }),
    silent(IN, "lithium needs no stirring", || with(&[("C1", "output_current", "5 A")])),
    // 8000 / (0.93 × 46.0)
    passes(OUT, "three packs", ("B1", "187.00 A", "450.00 A"), || packs(3)),
    finds(OUT, "one pack", &[(Correction, "B1", "187.00 A", "150.00 A")], || packs(1)),
    // 4400 / (1.00 × 44) = 100
    passes(OUT, "exactly at the limit", ("B1", "100.00 A", "100.00 A"), || {
        with(&[
            ("INV1", "continuous", "4400 W"),
            ("INV1", "rated_efficiency", "100 %"),
            ("B1", "discharge_current", "100 A"),
        ])
    }),
    // 8800 / (1.00 × 44) = 200
    finds(OUT, "the surge", &[(Correction, "B1#surge", "200.00 A", "180.00 A")], || {
        with(&[
            ("INV1", "surge", "8800 W"),
            ("INV1", "rated_efficiency", "100 %"),
            ("B1", "peak_current", "180 A"),
        ])
    }),
    passes(OUT, "two inverters and the loads", ("B1", "202.63 A", "450.00 A"), || {
        // 2 × 4000 / (0.92 × 44) + 5 = 197.63 + 5
        changed(
            || with(&[("B1", "strings_in_parallel", "3")]),
            |sheet| {
                sheet.block("INV2", INVERTER);
                sheet.joint("INV2.dc", "BUS1.tap5");
                sheet.block("L1", r#"dc_load((current: "5 A", max_voltage: "60 V"))"#);
                sheet.joint("L1.in", "BUS1.tap6");
            },
        )
    }),
];
