//! Cases S14 and S16 to S19: conductors, what protects them and what they lose.

use crate::told::{Told, told};
use lineside_acceptance::bench::{LEAD, LITHIUM};
use lineside_acceptance::sound::{array, bank, breaker, changed, set, sound};
use lineside_acceptance::{Sheet, feet};
use lineside_study::PathKind;

/// S14 · “9 A over 100 ft needs 4 AWG”: it needs 12.
#[test]
fn s14() {
    let sized = |size: &str| {
        let array = array(&[
            ("modules_in_series", "5"),
            ("open_circuit_voltage", "37.0 V"),
            ("max_power_voltage", "30.0 V"),
            ("short_circuit_current", "9.6 A"),
            ("max_power_current", "9.0 A"),
            ("power", "270 W"),
        ]);
        told(&changed(array, |sheet| {
            sheet.set("C1", "max_input_voltage", "250 V");
            sheet.set("C1", "tracking_high", "240 V");
            sheet.cut("W1");
            sheet.run("W1", "S1.out", "Q1.line", feet(size, 100.0));
        }))
    };
    // 9 × 1.98 × 0.2 of 150 V; the engine advises above 2 %
    let thin = sized("12");
    thin.says(&["advice voltage-drop@C1#strings: 2.4 %, not 2 %"]);
    thin.drop(PathKind::StringsToController, "C1", &["W1"], "3.56", "2.4");
    // 9 × 0.308 × 0.2
    let thick = sized("4");
    thick.is_silent();
    thick.drop(PathKind::StringsToController, "C1", &["W1"], "0.55", "0.37");
}

/// An inverter of 3000 W and 85 % on six lead cells, which it leaves at so many volts.
fn twelve_volts(lowest: &str, cables: &str) -> Told {
    told(&changed(sound(), |sheet| {
        bank(sheet, LEAD);
        set(
            sheet,
            &[
                ("B1", "units_in_series", "2"),
                ("B1", "capacity", "600 Ah"),
                ("B1", "charge_current", "200 A"),
                ("B1", "discharge_current", "600 A"),
                ("B1", "unit_resistance", "0.8 mΩ"),
                ("C1", "array_watts_12", "1200 W"),
                ("INV1", "continuous", "3000 W"),
                ("INV1", "rated_efficiency", "85 %"),
                ("INV1", "lowest_input_voltage", "10.5 V"),
                ("INV1", "highest_input_voltage", "16 V"),
                ("INV1", "low_cut_out", lowest),
                ("Q3", "rating", "450 A"),
                ("F1", "rating", "450 A"),
                ("Q4", "rating", "35 A"),
                ("BUS1", "rating", "600 A"),
            ],
        );
        sheet.set_run("W2", "length", "0.5 m");
        sheet.set_run("W2", "size", "2 AWG");
        for run in ["W3", "W4"] {
            sheet.set_run(run, "size", "4/0 AWG");
            sheet.set_run(run, "length", "0.5 m");
        }
        sheet.set_run("W3", "parallel", "2");
        sheet.set_run("W4", "parallel", cables);
    }))
}

/// S16 · 3 kW at 12 V.
#[test]
fn s16() {
    // 3000 / 0.85 = 3529 W; over 12.0, 11.0 and 10.5 V
    for (volts, amps) in [("12 V", "294"), ("11 V", "321"), ("10.5 V", "336")] {
        twelve_volts(volts, "2").carries("W4", amps);
    }
    // 336 × 1.25
    twelve_volts("10.5 V", "1").says(&[
        "danger conductor-corrected-ampacity@W4: 336 A, not 260 A",
        "danger overcurrent-protects-conductor@W4: 450 A, not 250 A",
        "correction conductor-continuous-ampacity@W4: 420 A, not 230 A",
    ]);
    let two = twelve_volts("10.5 V", "2");
    two.is_silent();
    two.passes("conductor-continuous-ampacity", "W4", "420 A", "460 A");
    two.passes("overcurrent-minimum", "Q3", "450 A", "420 A");
}

/// The bank of 6 kA in a room of its own, its cable through the wall to a breaker of 175 A beside the bus.
fn through_the_wall(at_battery: Option<&str>) -> Sheet {
    changed(sound(), |sheet| {
        sheet.remove("B1");
        sheet.remove("F1");
        sheet.block("QB", &breaker(175));
        sheet.set("QB", "lockable", "fitted");
        sheet.joint("QB.load", "BUS1.tap2");
        sheet.place(
            "battery room",
            &[
                ("surroundings", "in a utility room, basement or store"),
                ("coldest", "25 °C"),
                ("hottest", "30 °C"),
                ("smoke_detection", "fitted"),
                ("unit_spacing", "1 m"),
                ("working_depth", "1.5 m"),
                ("working_width", "1 m"),
                ("working_height", "2.2 m"),
                ("opposite", "nothing live or grounded"),
            ],
        );
        sheet.block("B1", LITHIUM);
        set(
            sheet,
            &[
                ("B1", "short_circuit_current", "6000 A"),
                ("B1", "grounding", "one pole solidly grounded"),
                ("B1", "terminals_covered", "fitted"),
            ],
        );
        let cable = feet("2/0", 8.0);
        if let Some(device) = at_battery {
            sheet.block("QA", device);
            sheet.run("W3", "B1.out", "QA.line", feet("2/0", 1.0));
            sheet.run("W6", "QA.load", "QB.line", cable);
        } else {
            sheet.run("W6", "B1.out", "QB.line", cable);
        }
    })
}

/// S17 · Eight feet of battery cable through a wall.
#[test]
fn s17() {
    told(&through_the_wall(None))
        .says(&["danger battery-fuse-distance@W6.from", "correction both-ends-disconnect@W6.from"]);
    let mut device = breaker(175);
    device = device.replace("position: closed", "lockable: yes, position: closed");
    told(&through_the_wall(Some(&device))).is_silent();
}

/// S18 · 400 A fuse on 4/0. What leaves a battery has no next size up, unlike what the case says: 706.30(B).
#[test]
fn s18() {
    let fused = |device: &str, run: &str, amps: &str, count: &str| {
        told(&changed(sound(), |sheet| {
            set(sheet, &[(device, "rating", amps), ("BUS1", "rating", "600 A")]);
            for run in ["W3", "W4"] {
                sheet.set_run(run, "size", "4/0 AWG");
            }
            sheet.set_run(run, "parallel", count);
        }))
    };
    // 230 A at 75 °C: the next size is 250 A
    fused("Q3", "W4", "400 A", "1").says(&["danger overcurrent-protects-conductor@W4: 400 A, not 250 A"]);
    fused("Q3", "W4", "250 A", "1").is_silent();
    fused("Q3", "W4", "400 A", "2").is_silent();
    fused("F1", "W3", "400 A", "1").says(&["danger overcurrent-protects-conductor@W3: 400 A, not 230 A"]);
    fused("F1", "W3", "225 A", "1").is_silent();
    fused("F1", "W3", "400 A", "2").is_silent();
}

/// S19 · Aluminum in a copper-only lug.
#[test]
fn s19() {
    let landed = |breaker: &str, panel: &str| {
        told(&changed(sound(), |sheet| {
            sheet.set_run("W5", "size", "2 AWG");
            sheet.set_run("W5", "metal", "Al");
            set(sheet, &[("Q4", "terminal_marking", breaker), ("P1", "terminal_marking", panel)]);
        }))
    };
    landed("copper", "copper or aluminum").says(&["correction terminal-temperature@W5.from#metal"]);
    landed("copper", "copper").says(&[
        "correction terminal-temperature@W5.from#metal",
        "correction terminal-temperature@W5.to#metal",
    ]);
    landed("copper or aluminum", "copper or aluminum").is_silent();
}
