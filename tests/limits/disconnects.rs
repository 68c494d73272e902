//! Limits of disconnecting means, PV protection and grounding.

use crate::draw::{battery_room, small, with};
use crate::limit::Sets::{All, Iec, Nec, Nec2017, NecFrom2020};
use crate::limit::{Limit, drawn, field};
use lineside_acceptance::bench::breaker;
use lineside_acceptance::sound::{changed, combined, generator_by, set, sound_by};
use lineside_acceptance::{Sheet, feet};
use lineside_core::project::RuleSet;
use lineside_rules::Severity::{Advice, Correction};

/// The bank with some fields, its disconnect so far away.
fn away_from(by: RuleSet, fields: &[(&str, &str, &str)], away: &str) -> Sheet {
    changed(with(by, fields), |sheet| {
        sheet.set("B1", "disconnect_distance", away);
        sheet.set("F1", "lockable", "not fitted");
    })
}

/// One handle for each way of a combiner and none before the controller.
fn handles(by: RuleSet, ways: &str) -> Sheet {
    changed(combined(ways.parse().unwrap_or(1), "25 A", &[]), |sheet| {
        sheet.rule_set(by);
        sheet.remove("Q1");
        sheet.remove("Q2");
        let out = feet("4", 6.0);
        sheet.run("W2", "C1.battery", "BUS1.tap1", out);
        let cable = feet("1", 3.0);
        sheet.run("W1", "CB1.out", "C1.pv", cable);
        sheet.set("C1", "input_short_circuit_current", "200 A");
        sheet.set("CB1", "bus_rating", "200 A");
    })
}

/// Two arrays on two controllers in the shed, the switch of the second array in such a place.
fn grouped(by: RuleSet, place: &str) -> Sheet {
    changed(sound_by(by), |sheet| {
        let (string, out) = (sheet.conductor("W1"), sheet.conductor("W2"));
        sheet.block("C2", lineside_acceptance::bench::CONTROLLER);
        sheet.place(place, &[("surroundings", "in a shed for the equipment")]);
        sheet.block("S2", lineside_acceptance::bench::STRING);
        sheet.block("Q6", lineside_acceptance::sound::SWITCH);
        sheet.run("W6", "S2.out", "Q6.line", string.clone());
        sheet.run("W7", "Q6.load", "C2.pv", string);
        sheet.run("W8", "C2.battery", "BUS1.tap5", out.clone());
        // Nothing stands at the outputs, so that the switches at the inputs are what parts the arrays.
        sheet.remove("Q2");
        sheet.run("W2", "C1.battery", "BUS1.tap1", out);
    })
}

/// So many bonding jumpers on the negative of the bus.
fn jumpers(by: RuleSet, count: &str) -> Sheet {
    changed(sound_by(by), |sheet| {
        sheet.block("E1", "electrode((kind: rods))");
        sheet.block("X1", r#"junction((ends: 4, rating: "100 A"))"#);
        for n in 1..=count.parse().unwrap_or(0) {
            let tag = format!("E1{n}");
            sheet.block(&tag, r#"bonding_jumper((system: dc_negative, size: "2 AWG"))"#);
            let tap = if n == 1 { "BUS1.bond" } else { "C1.bond" };
            sheet.joint(&format!("{tag}.system"), tap);
        }
    })
}

pub const LIMITS: &[Limit] = &[
    drawn("both-ends-disconnect", All, "fused load-break switch", "bolt-down", |by, mount| {
        battery_room(by, mount, "0.6 m")
    }),
    drawn("pv-system-disconnect", All, "fitted", "not fitted", |by, lockable| {
        with(by, &[("Q1", "lockable", lockable), ("Q2", "lockable", "not fitted")])
    }),
    // 1.25 × 24 = 30 A
    drawn("equipment-disconnect-kind", All, "24 A", "24.1 A", |by, amps| {
        with(by, &[("S1", "short_circuit_current", amps), ("Q1", "load_break", "not load-break")])
    }),
    // 10 ft and 3 m from the bank; by the edition of 2017 above 60 V
    drawn("battery-disconnect", Nec, "3.04 m", "3.06 m", |by, away| {
        away_from(by, &[("B1", "cells_per_unit", "18")], away)
    }),
    drawn("battery-disconnect", Iec, "2.99 m", "3.01 m", |by, away| away_from(by, &[], away)),
    drawn("battery-disconnect", Nec2017, "3.75 V", "3.76 V", |by, charge| {
        away_from(by, &[("B1", "charge_voltage", charge)], "4 m")
    })
    .by_fact(),
    drawn("battery-disconnect", NecFrom2020, "3.75 V", "3.76 V", |by, charge| {
        away_from(by, &[("B1", "capacity", "16 Ah"), ("B1", "charge_voltage", charge)], "4 m")
    })
    .by_fact(),
    drawn("battery-disconnect", NecFrom2020, "19.5 Ah", "19.6 Ah", |by, capacity| {
        away_from(by, &[("B1", "capacity", capacity)], "4 m")
    })
    .by_fact(),
    drawn("inverter-disconnect", All, "Q4.load", "INV1.out", |by, from| {
        changed(sound_by(by), |sheet| {
            let feeder = sheet.conductor("W5");
            sheet.cut("W5");
            if from == "INV1.out" {
                sheet.remove("Q4");
            }
            sheet.run("W5", from, "P1.feed", feeder);
        })
    }),
    drawn("generator-disconnect", All, "fitted", "not fitted", |by, lockout| {
        changed(generator_by(by, 30), |sheet| sheet.set("G1", "start_lockout", lockout))
    }),
    drawn("disconnect-count", Nec, "6", "7", handles),
    drawn("disconnect-count", Nec, "shed", "yard", grouped),
    field("disconnect-poles", All, ("B1", "grounding"), "one pole solidly grounded", "ungrounded")
        .is(Correction),
    // 1.25 × 13.6
    field("disconnect-rating", All, ("Q1", "rating"), "17 A", "16.9 A"),
    field("disconnect-rating", Nec, ("Q4", "ac_voltage"), "120 V", "119 V"),
    field("disconnect-rating", Iec, ("Q4", "ac_voltage"), "230 V", "229 V"),
    // 1.25 × 24 = 30 A
    drawn("disconnect-rating", All, "24 A", "24.1 A", |by, amps| {
        with(by, &[("S1", "short_circuit_current", amps), ("Q1", "load_break", "not load-break")])
    }),
    drawn("polarity-sensitive-breaker", All, "either direction", "polarity-sensitive", |by, polarity| {
        changed(sound_by(by), |sheet| {
            sheet.swap("F1", &breaker(150));
            sheet.set("F1", "polarity", polarity);
        })
    }),
    field("isolation-complete", All, ("F1", "mount"), "fused load-break switch", "bolt-down"),
    field("pv-ground-fault-protection", All, ("C1", "ground_fault_protection"), "fitted", "not fitted")
        .by_fact(),
    // 30 V of one module and 8 A
    drawn("pv-ground-fault-protection", NecFrom2020, "26.0 V", "26.1 V", |by, volts| {
        small(by, volts, "6.4 A")
    }),
    drawn("pv-ground-fault-protection", NecFrom2020, "6.4 A", "6.5 A", |by, amps| small(by, "26.0 V", amps)),
    // 3 × 23.1 × 1.1512 = 79.8 V
    drawn("pv-arc-fault", Nec, "23.1 V", "23.2 V", arcing),
    drawn("pv-arc-fault", Iec, "23.1 V", "23.2 V", arcing).is(Advice),
    drawn("pv-arc-fault", Nec, "fitted", "not fitted", arc_protected).by_fact(),
    drawn("pv-arc-fault", Iec, "fitted", "not fitted", arc_protected).is(Advice).by_fact(),
    // 26.0 × 1.1512 = 29.9 V
    drawn("rapid-shutdown", Nec, "26.0 V", "26.1 V", |by, volts| {
        changed(small(by, volts, "6.4 A"), |sheet| {
            sheet.place("wall", &[("surroundings", "on an outside wall")]);
            sheet.block("RSI1", r#"shutdown_initiator((time: "10 s", position: closed))"#);
            sheet.place("shed", &[("surroundings", "in a utility room, basement or store")]);
        })
    }),
    // 3 × 23.1 × 1.1512 = 79.8 V
    drawn("rapid-shutdown", Nec, "23.1 V", "23.2 V", |by, volts| controlled(by, volts, "0 V", "10 s")),
    drawn("rapid-shutdown", Nec, "30 V", "30.1 V", |by, left| controlled(by, "23.1 V", left, "10 s")),
    drawn("rapid-shutdown", Nec, "30 s", "30.1 s", |by, time| controlled(by, "23.1 V", "0 V", time)),
    drawn("equipment-grounding-size", Nec, "6 AWG", "8 AWG", |by, size| {
        changed(sound_by(by), |sheet| {
            sheet.set_run("W4", "raceway", "PVC conduit");
            sheet.set_run("W4", "grounding_conductor", size);
        })
    })
    .by_fact(),
    drawn("equipment-grounding-size", Iec, "4 mm²", "2.5 mm²", |by, size| {
        changed(sound_by(by), |sheet| sheet.set_run("W5", "grounding_conductor", size))
    })
    .by_fact(),
    drawn("dc-grounding-electrode", Nec, "6 AWG", "8 AWG", electrode).by_fact(),
    drawn("dc-grounding-electrode", Iec, "8 AWG", "10 AWG", electrode).by_fact(),
    drawn("dc-system-grounding", All, "1", "2", jumpers),
    drawn("dc-system-grounding", Nec, "3.75 V", "3.76 V", |by, charge| {
        with(by, &[("B1", "charge_voltage", charge), ("B1", "grounding", "ungrounded")])
    })
    .is(Advice),
    // Up to 300 V: 84 × 3.57 = 299.9 V
    drawn("dc-system-grounding", Nec, "3.58 V", "3.57 V", |by, charge| {
        with(
            by,
            &[
                ("B1", "cells_per_unit", "84"),
                ("B1", "charge_voltage", charge),
                ("B1", "grounding", "ungrounded"),
            ],
        )
    })
    .is(Advice)
    .by_fact(),
    field("neutral-bond-count", All, ("P1", "bond"), "neutral kept apart", "main bonding jumper here")
        .is(Correction),
    drawn("surge-protection", Nec, "98", "99", |by, density| {
        changed(sound_by(by), |sheet| sheet.site("flash_density", density))
    }),
    drawn("surge-protection", All, "1", "0", |by, count| arresters(by, "9.9 m", count)),
    drawn("surge-protection", All, "2", "1", |by, count| arresters(by, "10.1 m", count)),
    drawn("surge-protection", NecFrom2020, "1", "0", service),
    // 450 / 98 = 4.59 m
    drawn("surge-protection", Iec, "4.5 m", "4.6 m", |by, length| {
        changed(sound_by(by), |sheet| {
            sheet.site("flash_density", "98");
            sheet.set_run("W1", "length", length);
        })
    }),
];

/// So many arresters on a route of such a length, under lightning of 99 flashes.
fn arresters(by: RuleSet, length: &str, count: &str) -> Sheet {
    changed(sound_by(by), |sheet| {
        sheet.site("flash_density", "99");
        let route = sheet.conductor("W1");
        sheet.block("X1", r#"junction((ends: 4, rating: "60 A"))"#);
        sheet.cut("W1");
        sheet.run("W1", "S1.out", "X1.end1", route);
        sheet.set_run("W1", "length", length);
        sheet.joint("X1.end2", "Q1.line");
        for n in 0..count.parse().unwrap_or(0) {
            let tag = format!("SPD{n}");
            sheet.block(&tag, r#"surge_arrester((current: dc, continuous_voltage: "200 V"))"#);
            sheet.joint(&format!("X1.end{}", 3 + n), &format!("{tag}.across"));
        }
    })
}

/// So many arresters at the service of a dwelling.
fn service(by: RuleSet, count: &str) -> Sheet {
    changed(sound_by(by), |sheet| {
        sheet.site("building", "one- or two-family dwelling");
        sheet.block("U1", r#"utility((ac_system: single_120, frequency: "60 Hz", service_rating: "100 A"))"#);
        sheet.block("P2", lineside_acceptance::bench::PANEL);
        sheet.run("W9", "U1.out", "P2.feed", feet("3/0", 20.0));
        if count == "1" {
            sheet.block("SPD1", r#"surge_arrester((current: ac, continuous_voltage: "150 V"))"#);
            sheet.joint("P2.tap1", "SPD1.across");
        }
    })
}

/// An array of modules of such a voltage on a building, whose arcs nothing puts out.
fn arcing(by: RuleSet, volts: &str) -> Sheet {
    changed(arc_protected(by, "not fitted"), |sheet| sheet.set("S1", "open_circuit_voltage", volts))
}

/// An array on a building, with or without protection against arcs.
fn arc_protected(by: RuleSet, fitted: &str) -> Sheet {
    changed(with(by, &[("C1", "arc_fault_protection", fitted)]), |sheet| {
        sheet.site("array_on_building", "fitted");
    })
}

/// A conductor of such a size from the jumper to rods.
pub fn electrode(by: RuleSet, size: &str) -> Sheet {
    changed(jumpers(by, "1"), |sheet| {
        sheet.run("W9", "E11.earth", "E1.earth", feet(size.trim_end_matches(" AWG"), 10.0));
    })
}

/// An array on a building, a receiver for the whole string, and what starts it on an outside wall.
pub fn controlled(by: RuleSet, volts: &str, left: &str, time: &str) -> Sheet {
    changed(with(by, &[("S1", "open_circuit_voltage", volts)]), |sheet| {
        sheet.site("array_on_building", "fitted");
        let string = sheet.conductor("W1");
        sheet.cut("W1");
        sheet.block(
            "RSR1",
            r#"shutdown_receiver((reach: whole_string, rating: "30 A", residual_voltage: "0 V", dc_voltage: "300 V"))"#,
        );
        sheet.joint("S1.out", "RSR1.line");
        sheet.run("W1", "RSR1.load", "Q1.line", string);
        sheet.place("wall", &[("surroundings", "on an outside wall")]);
        sheet.block("RSI1", r#"shutdown_initiator((time: "10 s", position: closed))"#);
        set(sheet, &[("RSR1", "residual_voltage", left), ("RSI1", "time", time)]);
    })
}
