//! Circuits from which several limits depart. What is held against them is in the other files.

use lineside_acceptance::Sheet;
use lineside_acceptance::bench::{LEAD, LITHIUM, breaker, fuse};
use lineside_acceptance::sound::{bank, changed, combined, set, sound_by};
use lineside_core::project::{LabelKind, RuleSet};
use lineside_core::units::{Unit, UnitSystem, Volts};

/// The sound system with several fields.
pub fn with(by: RuleSet, fields: &[(&str, &str, &str)]) -> Sheet {
    changed(sound_by(by), |sheet| set(sheet, fields))
}

fn volts(printed: &str) -> Option<Volts> {
    lineside_core::units::text::read(printed, Unit::Volt, UnitSystem::Si).ok().map(Volts::new)
}

/// The sound system with its labels, on which the array's voltage is printed as so much.
pub fn printed_voltage(by: RuleSet, printed: &str) -> Sheet {
    changed(sound_by(by), |sheet| {
        sheet.make_labels();
        sheet.change_labels(|labels| {
            for label in labels {
                if matches!(label.kind, LabelKind::PvVoltage | LabelKind::PvPowerSource | LabelKind::ArrayDc)
                {
                    label.values.highest_voltage = volts(printed);
                }
            }
        });
    })
}

/// Strings on the ways of a combiner, under a rule set.
pub fn ways(by: RuleSet, count: u32, fields: &[(&str, &str, &str)]) -> Sheet {
    changed(combined(count, "25 A", &[]), |sheet| {
        sheet.rule_set(by);
        set(sheet, fields);
    })
}

/// A second pack beside the first, with such a capacity.
pub fn beside(by: RuleSet, capacity: &str) -> Sheet {
    changed(sound_by(by), |sheet| {
        sheet.block("B2", LITHIUM);
        sheet.block("F2", &fuse(200));
        let lead = sheet.conductor("W3");
        sheet.run("W6", "B2.out", "F2.line", lead);
        sheet.joint("F2.load", "BUS1.tap5");
        set(sheet, &[("F2", "mount", "fused load-break switch"), ("B2", "capacity", capacity)]);
    })
}

/// So many strings of lead, each with a fuse and a disconnect of its own.
pub fn lead_strings(by: RuleSet, count: &str) -> Sheet {
    changed(sound_by(by), |sheet| {
        bank(sheet, LEAD);
        set(
            sheet,
            &[
                ("B1", "units_in_series", "8"),
                ("B1", "strings_in_parallel", count),
                ("B1", "internal_fuse_rating", "50 A"),
                ("B1", "internal_fuse_voltage", "125 V"),
                ("B1", "internal_disconnect", "fitted"),
            ],
        );
    })
}

/// A load whose breaker stands at its own end of the run.
pub fn far_breaker(by: RuleSet, amps: &str) -> Sheet {
    changed(sound_by(by), |sheet| {
        sheet.block("L1", r#"dc_load((current: "10 A", max_voltage: "62 V"))"#);
        sheet.block("Q5", &breaker(20));
        let laid = sheet.conductor("W3");
        sheet.run("W6", "BUS1.tap5", "Q5.line", laid);
        sheet.joint("Q5.load", "L1.in");
        sheet.set("F1", "rating", amps);
    })
}

/// The bank with its fuse in a room of its own, the fuse so mounted, and a run of so much from bank to fuse.
pub fn battery_room(by: RuleSet, mount: &str, length: &str) -> Sheet {
    changed(sound_by(by), |sheet| {
        let (lead, cable) = (sheet.conductor("W3"), sheet.conductor("W4"));
        sheet.remove("B1");
        sheet.remove("F1");
        sheet.block("QB", &breaker(150));
        sheet.joint("QB.load", "BUS1.tap2");
        sheet.place(
            "battery room",
            &[("surroundings", "in a utility room, basement or store"), ("coldest", "25 °C")],
        );
        sheet.block("B1", LITHIUM);
        sheet.block("F1", &fuse(150));
        set(sheet, &[("F1", "mount", mount), ("B1", "grounding", "one pole solidly grounded")]);
        sheet.run("W3", "B1.out", "F1.line", lead);
        sheet.set_run("W3", "length", length);
        sheet.run("W6", "F1.load", "QB.line", cable);
    })
}

/// One module in series on a controller that also steps up.
pub fn small(by: RuleSet, volts: &str, amps: &str) -> Sheet {
    with(
        by,
        &[
            ("S1", "modules_in_series", "1"),
            ("S1", "open_circuit_voltage", volts),
            ("S1", "short_circuit_current", amps),
            ("S1", "max_power_voltage", "21 V"),
            ("S1", "max_power_current", "6 A"),
            ("S1", "power", "126 W"),
            ("C1", "kind", "tracking, step-up and step-down"),
            ("C1", "tracking_low", "10 V"),
            ("C1", "ground_fault_protection", "not fitted"),
        ],
    )
}
