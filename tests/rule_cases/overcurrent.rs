//! Overcurrent devices against their currents and conductors, for DC, and at both ends of a run.

use crate::battery_bus::packs;
use crate::bench::{LITHIUM, NICKEL_IRON, STRING, breaker, cabin, cable, changed, fuse, hut, set, with};
use crate::case::{Case, finds, passes};
use crate::string_devices::{gathered, string_device, ways};
use lineside_acceptance::{Sheet, feet};
use lineside_core::circuit::Conductor;
use lineside_core::units::Celsius;
use lineside_rules::Severity::{Correction, Danger};

const LEAST: &str = "overcurrent-minimum";
const PROTECTS: &str = "overcurrent-protects-conductor";
const DC: &str = "overcurrent-dc-rated";
const ENDS: &str = "both-ends-overcurrent";

/// Lights of 20 A behind a breaker of so many amperes, so much of it for hours.
fn lights(breaker_amps: u32, continuous: &str) -> Sheet {
    changed(cabin, |sheet| {
        sheet.block("L1", r#"dc_load((current: "20 A", max_voltage: "60 V"))"#);
        sheet.set("L1", "continuous_current", continuous);
        sheet.block("Q5", &breaker(breaker_amps));
        sheet.joint("BUS1.tap4", "Q5.line");
        sheet.run("W6", "Q5.load", "L1.in", feet("10", 10.0));
    })
}

/// The hut's inverter run of 25 mm² in 35 °C, 101 × 0.94 = 94.94 A, behind a gG fuse.
fn general_fuse(rating: &str) -> Sheet {
    changed(hut, |sheet| {
        sheet.remove("Q3");
        sheet.block("F3", &fuse(100));
        set(sheet, &[("F3", "class", "gG"), ("F3", "rating", rating)]);
        sheet.joint("BUS1.tap3", "F3.line");
        sheet.run("W4", "F3.load", "INV1.dc", cable("25 mm²", 2.0, 35.0));
    })
}

/// The battery behind devices of so many amperes on a conductor of that size, ten feet of it.
fn battery(size: &str, amps: &str) -> Sheet {
    changed(cabin, |sheet| {
        sheet.set("F1", "rating", amps);
        sheet.cut("W3");
        sheet.run("W3", "F1.line", "B1.out", feet(size, 2.0));
        sheet.block("Q1", &breaker(100));
        sheet.set("Q1", "rating", amps);
        sheet.remove_joint("F1.load", "BUS1.tap2");
        sheet.run("W7", "F1.load", "Q1.line", feet(size, 10.0));
        sheet.joint("Q1.load", "BUS1.tap2");
    })
}

/// Three packs of 150 A with a fuse of 200 A at each pack, two of them with another at the bus; two controllers of
/// 80 A behind 80 A, an inverter-charger of 100 A.
fn three_packs(size: &str) -> Sheet {
    changed(cabin, |sheet| {
        set(
            sheet,
            &[
                ("C1", "output_current", "80 A"),
                ("INV1", "charger_current", "100 A"),
                ("B1", "internal_fuse_rating", "200 A"),
                ("B1", "internal_fuse_voltage", "125 V"),
            ],
        );
        sheet.block("C2", crate::bench::CONTROLLER);
        sheet.set("C2", "output_current", "80 A");
        sheet.block("Q6", &breaker(80));
        sheet.run("W8", "C2.battery", "Q6.line", feet("4", 6.0));
        sheet.joint("Q6.load", "BUS1.tap4");
        for n in 2..=3 {
            let pack = format!("B{n}");
            sheet.block(&pack, LITHIUM);
            sheet.set(&pack, "internal_fuse_rating", "200 A");
            sheet.set(&pack, "internal_fuse_voltage", "125 V");
            sheet.block(&format!("F{n}"), &fuse(200));
            sheet.run(&format!("W3{n}"), &format!("{pack}.out"), &format!("F{n}.line"), feet("3/0", 6.0));
            sheet.joint(&format!("F{n}.load"), &format!("BUS1.tap{}", 4 + n));
        }
        sheet.remove("F1");
        sheet.run("W3", "B1.out", "BUS1.tap2", feet(size, 6.0));
    })
}

/// DC lights of 5 A straight from the bus, by IEC: 4 mm² in 35 °C.
fn lights_without_device(size: &str) -> Sheet {
    changed(hut, |sheet| {
        set(sheet, &[("F1", "rating", "100 A"), ("C1", "output_current", "40 A")]);
        sheet.block("L1", r#"dc_load((current: "5 A", max_voltage: "60 V"))"#);
        sheet.run("W6", "BUS1.tap4", "L1.in", cable(size, 8.0, 35.0));
    })
}

pub const CASES: &[Case] = &[
    // 1.25 × 60
    passes(LEAST, "a controller's breaker", ("Q2", "80.00 A", "75.00 A"), cabin),
    passes(LEAST, "exactly at the limit", ("Q2", "75.00 A", "75.00 A"), || with(&[("Q2", "rating", "75 A")])),
    finds(LEAST, "a breaker of 60 A", &[(Correction, "Q2", "60.00 A", "75.00 A")], || {
        with(&[("Q2", "rating", "60 A")])
    }),
    passes(LEAST, "a breaker of 60 A, rated for 100 %", ("Q2", "60.00 A", "60.00 A"), || {
        with(&[("Q2", "rating", "60 A"), ("Q2", "duty", "100 % rated")])
    }),
    // 1.25 × (2 × 60 + 50)
    passes(LEAST, "a battery's fuse", ("F1", "225.00 A", "212.50 A"), || {
        changed(cabin, |sheet| {
            sheet.swap("B1", NICKEL_IRON);
            set(sheet, &[("F1", "rating", "225 A"), ("INV1", "charger_current", "50 A")]);
            sheet.block("C2", crate::bench::CONTROLLER);
            sheet.joint("C2.battery", "BUS1.tap4");
        })
    }),
    // 187.00 A with one pack out, but a pack gives no more than 150; three packs share 187.00 / 2, and take 260 / 2
    // but no more than 100
    passes(LEAST, "one of two packs", ("F1", "200.00 A", "187.50 A"), || packs(2)),
    passes(LEAST, "one of three packs", ("F1", "200.00 A", "125.00 A"), || packs(3)),
    passes(LEAST, "by IEC the current itself, exactly", ("Q2", "60.00 A", "60.00 A"), || {
        changed(hut, |sheet| sheet.set("Q2", "rating", "60 A"))
    }),
    finds(LEAST, "by IEC too", &[(Correction, "Q2", "50.00 A", "60.00 A")], || {
        changed(hut, |sheet| sheet.set("Q2", "rating", "50 A"))
    }),
    // 1.25 × 20, and 1.25 × 8 + 12
    finds(LEAST, "lights that burn for hours", &[(Correction, "Q5", "22.00 A", "25.00 A")], || {
        lights(22, "")
    }),
    passes(LEAST, "lights of which a part burns for hours", ("Q5", "22.00 A", "22.00 A"), || {
        lights(22, "8 A")
    }),
    // 4/0 of 230 A: the next standard rating is 250
    passes(PROTECTS, "the next standard rating", ("W4", "250.00 A", "250.00 A"), || {
        changed(|| with(&[("Q3", "rating", "250 A")]), |sheet| sheet.set_run("W4", "size", "4/0"))
    }),
    // 1/0 of 150 A, itself a standard rating
    finds(
        PROTECTS,
        "no rounding up from a standard rating",
        &[(Danger, "W4", "175.00 A", "150.00 A")],
        || with(&[("Q3", "rating", "175 A")]),
    ),
    passes(PROTECTS, "a battery on 4/0", ("W7", "225.00 A", "230.00 A"), || battery("4/0", "225 A")),
    finds(
        PROTECTS,
        "no rounding up for a battery",
        &[(Danger, "W3", "250.00 A", "230.00 A"), (Danger, "W7", "250.00 A", "230.00 A")],
        || battery("4/0", "250 A"),
    ),
    // 1.6 × 80 against 1.45 × 94.94
    passes(PROTECTS, "a gG fuse of 80 A, by IEC", ("W4", "128.00 A", "137.66 A"), || general_fuse("80 A")),
    finds(PROTECTS, "a gG fuse of 90 A, by IEC", &[(Danger, "W4", "144.00 A", "137.66 A")], || {
        general_fuse("90 A")
    }),
    finds(PROTECTS, "a gG fuse of 100 A, by IEC", &[(Danger, "W4", "100.00 A", "94.94 A")], || {
        general_fuse("100 A")
    }),
    passes(DC, "a DC breaker, listed for PV", ("CB1", "1", "1"), || string_device(cabin, "25")),
    finds(
        DC,
        "a household breaker on the battery",
        &[(Danger, "Q3", "AC marking only", "marked for DC")],
        || with(&[("Q3", "dc_voltage", ""), ("Q3", "ac_voltage", "240 V")]),
    ),
    finds(
        DC,
        "a household breaker on the array",
        &[
            (Danger, "Q1", "AC marking only", "marked for DC"),
            (Danger, "Q1#pv", "not listed for PV", "listed for PV"),
        ],
        || {
            changed(cabin, |sheet| {
                sheet.block("Q1", &crate::bench::ac_breaker(25));
                sheet.set("Q1", "pv_listed", "not fitted");
                sheet.land("W1", "S1.out", "Q1.line");
                sheet.joint("Q1.load", "C1.pv");
            })
        },
    ),
    finds(
        DC,
        "a combiner of two buses is found once",
        &[(Danger, "CB1#pv", "not listed for PV", "listed for PV")],
        || {
            changed(cabin, |sheet| {
                sheet.block("CB1", &ways("25"));
                set(
                    sheet,
                    &[("CB1", "ways", "2"), ("CB1", "buses", "2"), ("CB1", "pv_listed", "not fitted")],
                );
                sheet.block("S2", STRING);
                sheet.block("C2", crate::bench::CONTROLLER);
                sheet.land("W1", "S1.out", "CB1.way1");
                sheet.joint("S2.out", "CB1.way2");
                sheet.joint("CB1.out1", "C1.pv");
                sheet.joint("CB1.out2", "C2.pv");
            })
        },
    ),
    // Q2 at the bus, the next standard rating above 85
    passes(ENDS, "a controller's run", ("W2.to", "80.00 A", "90.00 A"), cabin),
    passes(ENDS, "an inverter's run, exactly", ("W4.from", "150.00 A", "150.00 A"), cabin),
    // 2 × 60 + 50 on 4/0
    passes(ENDS, "a battery's run from the bus", ("W7.to", "170.00 A", "230.00 A"), || {
        changed(
            || battery("4/0", "225 A"),
            |sheet| {
                sheet.set("INV1", "charger_current", "50 A");
                sheet.block("C2", crate::bench::CONTROLLER);
                sheet.block("Q6", &breaker(80));
                sheet.run("W8", "C2.battery", "Q6.line", feet("4", 6.0));
                sheet.joint("Q6.load", "BUS1.tap4");
            },
        )
    }),
    // 100 + 40 on 32 × 0.94; danger above 1.45 × 30.08 = 43.62
    finds(ENDS, "lights straight from the bus", &[(Danger, "W6.from", "140.00 A", "30.08 A")], || {
        lights_without_device("4 mm²")
    }),
    // 125 × 0.94 = 117.5, danger above 170.38
    finds(
        ENDS,
        "lights on a cable that nearly bears it",
        &[(Correction, "W6.from", "140.00 A", "117.50 A")],
        || lights_without_device("35 mm²"),
    ),
    // 200 + 200 + 2 × 80 + 100 on 3/0
    finds(ENDS, "a pack with a fuse at the pack only", &[(Danger, "W3.to", "660.00 A", "200.00 A")], || {
        three_packs("3/0")
    }),
    // The strings limit themselves: 3 × 17.00 within 85 A
    passes(ENDS, "current that limits itself", ("W1.from", "51.00 A", "85.00 A"), || {
        changed(
            || gathered(cabin, 3, &ways("25")),
            |sheet| {
                let wide = Conductor { ambient: Some(Celsius::new(30.0)), ..feet("4", 20.0) };
                sheet.cut("W1");
                sheet.run("W1", "CB1.out", "C1.pv", wide);
            },
        )
    }),
];
