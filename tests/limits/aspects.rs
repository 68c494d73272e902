//! The other things of which a rule may speak, beside the one that its first limit is on: mostly facts.

use crate::ac_and_places::flooded;
use crate::disconnects::{controlled, electrode};
use crate::draw::{small, with};
use crate::limit::Sets::{All, Iec, Nec, Nec2017, NecFrom2020};
use crate::limit::{Limit, drawn, field};
use lineside_acceptance::Sheet;
use lineside_acceptance::bench::{ac_breaker, breaker, fuse};
use lineside_acceptance::sound::{changed, generator_by, lockable, set, sound_by};
use lineside_core::project::RuleSet;
use lineside_rules::Severity::{Advice, Correction};

const DWELLING: &str = "one- or two-family dwelling";

/// The sound system at a dwelling, with one fact of its site.
fn dwelling(by: RuleSet, key: &str, value: &str) -> Sheet {
    changed(sound_by(by), |sheet| {
        sheet.site("building", DWELLING);
        sheet.site(key, value);
    })
}

/// A generator with some fields, at a dwelling.
fn set_up(by: RuleSet, fields: &[(&str, &str, &str)]) -> Sheet {
    changed(generator_by(by, 30), |sheet| {
        sheet.site("building", DWELLING);
        set(sheet, fields);
    })
}

/// The output of the controller on the bus without a device of its own.
fn straight_to_the_bus(sheet: &mut Sheet) {
    let out = sheet.conductor("W2");
    sheet.remove("Q2");
    sheet.run("W2", "C1.battery", "BUS1.tap1", out);
}

/// Nothing but a switch of such a rating on either side of the controller; no switch at all where none is given.
fn one_switch(by: RuleSet, amps: &str) -> Sheet {
    changed(sound_by(by), |sheet| {
        straight_to_the_bus(sheet);
        if amps.is_empty() {
            let string = sheet.conductor("W1");
            sheet.remove("Q1");
            sheet.run("W1", "S1.out", "C1.pv", string);
        } else {
            sheet.set("Q1", "rating", amps);
        }
    })
}

/// A bank of 60.2 V whose fuse is so mounted, and no other device between it and the controller.
fn mounted(by: RuleSet, mount: &str) -> Sheet {
    changed(with(by, &[("B1", "charge_voltage", "3.76 V"), ("F1", "mount", mount)]), straight_to_the_bus)
}

/// The sound system with one device in the place of another.
fn swapped(by: RuleSet, tag: &str, nameplate: &str) -> Sheet {
    changed(sound_by(by), |sheet| sheet.swap(tag, nameplate))
}

/// A bus that the bank feeds through its fuse, or through nothing.
fn fed(by: RuleSet, lead: &str) -> Sheet {
    changed(sound_by(by), |sheet| {
        if lead == "bare" {
            let cable = sheet.conductor("W3");
            sheet.remove("F1");
            sheet.run("W3", "B1.out", "BUS1.tap2", cable);
        }
    })
}

/// Something more on the bus, wired in one of several wrong ways.
fn wired(by: RuleSet, how: &str) -> Sheet {
    changed(sound_by(by), |sheet| match how {
        "open" => sheet.block("Q9", &breaker(20)),
        "ring" => {
            sheet.block("X1", r#"junction((ends: 3, rating: "60 A"))"#);
            sheet.joint("X1.end1", "BUS1.tap5");
            sheet.joint("X1.end2", "BUS1.tap6");
        }
        "crowded" => {
            let like = sheet.conductor("W4");
            sheet.block("L1", r#"dc_load((current: "10 A", max_voltage: "62 V"))"#);
            sheet.run("W9", "Q3.load", "L1.in", like);
        }
        "self" => {
            let like = sheet.conductor("W4");
            sheet.run("W9", "BUS1.tap5", "BUS1.tap6", like);
        }
        "direct" => {
            sheet.place("yard", &[("surroundings", "on the ground")]);
            sheet.block("L1", r#"dc_load((current: "10 A", max_voltage: "62 V"))"#);
            sheet.joint("BUS1.tap5", "L1.in");
        }
        _ => {}
    })
}

/// A utility at the input of the inverter, through the breaker of the generator or through nothing.
fn utility(by: RuleSet, through: &str) -> Sheet {
    changed(generator_by(by, 30), |sheet| {
        let feed = sheet.conductor("W8");
        sheet.remove("G1");
        let nameplate = r#"utility((ac_system: single_120, frequency: "60 Hz", service_rating: "100 A"))"#;
        sheet.block("U1", nameplate);
        if through == "nothing" {
            sheet.remove("Q7");
            sheet.run("W8", "U1.out", "INV1.in1", feed);
        } else {
            sheet.run("W8", "U1.out", "Q7.line", feed);
        }
    })
}

/// A generator before an inverter with such a load and transfer relay, and no limit on its input.
fn loaded(by: RuleSet, load: &str, relay: &str) -> Sheet {
    changed(generator_by(by, 30), |sheet| {
        set(sheet, &[("P1", "connected_load", load), ("INV1", "transfer_relay", relay)]);
    })
}

pub const LIMITS: &[Limit] = &[
    drawn("ac-pass-through", All, "50 A", "51 A", |by, limit| {
        changed(generator_by(by, 30), |sheet| sheet.set("INV1", "ac_input_limit", limit))
    })
    .at("INV1#limit"),
    drawn("ac-pass-through", All, "a breaker", "nothing", utility).at("#unlimited").by_fact(),
    // 2400 W / 120 V beside 20 × 56.8 / 0.9 / 120 = 10.52 A; 4600 W / 230 V beside 5.49 A
    drawn("ac-pass-through", Nec, "30.6 A", "30.5 A", |by, relay| loaded(by, "2400 W", relay))
        .at("#together"),
    drawn("ac-pass-through", Iec, "25.5 A", "25.4 A", |by, relay| loaded(by, "4600 W", relay))
        .at("#together"),
    drawn("ac-shock-protection", Iec, "direct current too", "alternating and pulsating", |by, kind| {
        changed(crate::ac_and_places::residual(by, "0.03 A"), |sheet| {
            set(sheet, &[("GFD1", "residual_type", kind), ("INV1", "separation", "not isolating")]);
        })
    })
    .at("#direct")
    .by_fact(),
    field("ac-voltage-frequency", Nec, ("P1", "ac_system"), "120 V", "120/208 V three-phase").by_fact(),
    field("ac-voltage-frequency", Iec, ("P1", "ac_system"), "230 V", "230/400 V three-phase").by_fact(),
    drawn("backfed-breaker", Nec, "not fitted", "fitted", |by, marked| {
        changed(crate::ac_and_places::fed_back(by, "200 A"), |sheet| {
            set(sheet, &[("Q4", "plug_in", "not fitted"), ("Q4", "marked_line_load", marked)]);
        })
    })
    .at("#marked")
    .by_fact(),
    // 4000 W of start beside 2000 W that run
    drawn("inverter-capacity", All, "6000 W", "5900 W", |by, surge| {
        let (start, running) = (("P1", "largest_start", "4000 W"), ("P1", "continuous_load", "2000 W"));
        with(by, &[start, running, ("INV1", "surge", surge)])
    })
    .at("#surge"),
    drawn("inverter-capacity", All, "0 W", "100 W", |by, load| {
        with(
            by,
            &[("INV1", "ac_system", "120 V"), ("P1", "ac_system", "120 V"), ("P1", "largest_240_load", load)],
        )
    })
    .at("#lines")
    .by_fact(),
    drawn("single-120-volt-supply", Nec, "no shared neutrals", "some shared neutrals", |by, shared| {
        with(
            by,
            &[
                ("P1", "ac_system", "120/240 V"),
                ("P1", "neutral_rating", "100 A"),
                ("P1", "largest_branch_breaker", "20 A"),
                ("P1", "multiwire", shared),
            ],
        )
    })
    .at("#multiwire")
    .by_fact(),
    drawn("transfer-equipment", All, "export to the utility", "no export", |by, export| {
        changed(crate::ac_and_places::fed_back(by, "200 A"), |sheet| {
            let listed = if export == "no export" { "not fitted" } else { "fitted" };
            set(sheet, &[("INV1", "export", export), ("INV1", "utility_listed", listed)]);
        })
    })
    .by_fact(),
    drawn("lithium-location", All, "fitted", "not fitted", |by, barrier| {
        changed(sound_by(by), |sheet| {
            sheet.place("shed", &[("surroundings", "in a garage"), ("vehicle_barrier", barrier)]);
        })
    })
    .at("#vehicles")
    .by_fact(),
    drawn("lithium-location", All, "in a utility room, basement or store", "indoors", |by, place| {
        changed(sound_by(by), |sheet| sheet.place("shed", &[("surroundings", place)]))
    })
    .at("#living")
    .by_fact(),
    drawn("dc-bus-rating", All, "fused", "bare", fed).at("#unlimited").by_fact(),
    drawn("wiring", All, "", "open", wired).at("#open").is(Correction).by_fact(),
    drawn("wiring", All, "", "ring", wired).at("#ring").is(Correction).by_fact(),
    drawn("wiring", All, "", "crowded", wired).at("#crowded").is(Correction).by_fact(),
    drawn("wiring", All, "", "self", wired).at("#self").is(Correction).by_fact(),
    drawn("wiring", All, "", "direct", wired).at("#direct").is(Correction).by_fact(),
    drawn("battery-disconnect", All, "fused load-break switch", "bolt-down", mounted).by_fact(),
    drawn("battery-disconnect", NecFrom2020, "fitted", "not fitted", |by, stop| {
        dwelling(by, "storage_stop_outside", stop)
    })
    .at("#emergency")
    .by_fact(),
    field("disconnect-poles", All, ("Q2", "poles_in"), "all conductors", "the grounded conductor alone")
        .at("Q2#grounded")
        .by_fact(),
    drawn("disconnect-rating", All, "AC", "DC", |by, current| {
        let rating = if by.is_nec() { 45 } else { 20 };
        swapped(by, "Q4", &if current == "DC" { breaker(rating) } else { ac_breaker(rating) })
    })
    .at("Q4#volts")
    .by_fact(),
    drawn("overcurrent-dc-rated", All, "DC", "AC", |by, current| {
        swapped(by, "Q2", &if current == "DC" { breaker(80) } else { ac_breaker(80) })
    })
    .at("Q2")
    .by_fact(),
    drawn("equipment-disconnect-kind", All, "fused load-break switch", "bolt-down", |by, mount| {
        changed(with(by, &[("F1", "mount", mount)]), straight_to_the_bus)
    })
    .at("C1#battery")
    .by_fact(),
    drawn("generator-disconnect", All, "fitted", "not fitted", |by, locks| {
        set_up(by, &[("G1", "breaker_rating", "30 A"), ("G1", "breaker_lockable", locks)])
    })
    .at("G1")
    .by_fact(),
    drawn("generator-disconnect", All, "lockable", "not", |by, locks| {
        changed(set_up(by, &[]), |sheet| {
            sheet.swap("Q7", &if locks == "lockable" { lockable(30) } else { ac_breaker(30) });
        })
    })
    .at("G1")
    .by_fact(),
    drawn("generator-disconnect", NecFrom2020, "fitted", "not fitted", |by, stop| {
        set_up(by, &[("G1", "emergency_stop", stop)])
    })
    .at("#emergency")
    .by_fact(),
    // 1.25 × 13.6
    drawn("pv-system-disconnect", All, "17 A", "16.9 A", one_switch).at("Q1"),
    drawn("pv-system-disconnect", All, "60 A", "", one_switch).at("C1").by_fact(),
    drawn("neutral-bond-count", All, "always bonded", "never bonds", |by, bond| {
        with(by, &[("INV1", "neutral_bonding", bond)])
    })
    .at("#none")
    .by_fact(),
    drawn("neutral-bond-count", All, "bonds while inverting", "never bonds", |by, bond| {
        with(by, &[("INV1", "neutral_bonding", bond)])
    })
    .at("#none")
    .by_fact(),
    drawn("rapid-shutdown", Nec, "there", "not there", |by, initiator| {
        changed(controlled(by, "23.1 V", "0 V", "10 s"), |sheet| {
            if initiator == "not there" {
                sheet.remove("RSI1");
            }
        })
    })
    .at("#initiator")
    .by_fact(),
    drawn(
        "rapid-shutdown",
        Nec,
        "on an outside wall",
        "in a utility room, basement or store",
        |by, place| {
            changed(controlled(by, "23.1 V", "0 V", "10 s"), |sheet| {
                sheet.site("building", DWELLING);
                sheet.place("wall", &[("surroundings", place)]);
            })
        },
    )
    .at("#place")
    .by_fact(),
    drawn("cold-voltage-method", All, "crystalline silicon", "thin film", |by, technology| {
        with(by, &[("S1", "open_circuit_coefficient", ""), ("S1", "technology", technology)])
    })
    .at("#technology")
    .by_fact(),
    field("string-cold-voltage", All, ("C1", "operating_input_voltage"), "129 V", "128 V").is(Correction),
    // 28 × 0.05 × 24 × 60 = 2016 cm²
    drawn("battery-ventilation", All, "2020 cm²", "2010 cm²", |by, opening| {
        changed(flooded(by, "vent_opening", opening), |sheet| sheet.place("shed", &[("vent_fan", "")]))
    }),
    // 20 mA/Ah of the 200 Ah at ten hours: 0.05 × 24 × 4 = 4.8 m³/h
    drawn("battery-ventilation", All, "4.8 m³/h", "4.7 m³/h", |by, fan| {
        changed(flooded(by, "vent_fan", fan), |sheet| {
            let curve = "10 h: 200 Ah; 20 h: 225 Ah";
            set(sheet, &[("B1", "equalize_voltage", ""), ("B1", "capacities", curve)]);
        })
    }),
    drawn("battery-fuse-distance", All, "shed", "battery room", |by, room| {
        changed(sound_by(by), |sheet| {
            sheet.place(room, &[("surroundings", "in a shed for the equipment"), ("coldest", "25 °C")]);
            sheet.stand("B1");
        })
    })
    .by_fact(),
    // 1.45 × 180.48 / 1.6 = 163.6 A
    drawn("overcurrent-protects-conductor", Iec, "163 A", "164 A", |by, amps| {
        changed(swapped(by, "Q3", &fuse(160)), |sheet| {
            set(sheet, &[("Q3", "class", "gG"), ("Q3", "rating", amps)]);
        })
    }),
    // 10 AWG by the table, enlarged as from 6 to 4 AWG: 10 380 × 41 740 / 26 240 = 16 511 cmil, and 8 AWG has 16 510
    drawn("equipment-grounding-size", Nec, "6 AWG", "8 AWG", |by, size| {
        changed(sound_by(by), |sheet| {
            sheet.set_run("W5", "size", "4 AWG");
            sheet.set_run("W5", "size_before_enlarging", "6 AWG");
            sheet.set_run("W5", "grounding_conductor", size);
        })
    })
    .by_fact(),
    // 50 mm² are 98 676 cmil, 1/0 AWG 105 600
    drawn("parallel-conductors", Nec, "1/0 AWG", "50 mm²", |by, size| {
        changed(sound_by(by), |sheet| {
            sheet.set_run("W2", "parallel", "2");
            sheet.set_run("W2", "size", size);
        })
    }),
    drawn("dc-grounding-electrode", Nec, "1/0 AWG", "50 mm²", |by, size| {
        changed(electrode(by, "1/0"), |sheet| {
            sheet.set("E1", "kind", "building steel");
            sheet.set_run("W3", "size", "1/0 AWG");
            sheet.set_run("W9", "size", size);
        })
    }),
    // The largest rating of the standard series
    field("overcurrent-standard-size", Iec, ("Q2", "rating"), "1600 A", "1601 A"),
    // By the edition of 2017 the smallest array too
    drawn("pv-ground-fault-protection", Nec2017, "fitted", "not fitted", |by, fitted| {
        changed(small(by, "26.0 V", "6.4 A"), |sheet| sheet.set("C1", "ground_fault_protection", fitted))
    })
    .by_fact(),
    // By the IEC nine tenths of the bank's resistance and 0.32 mΩ of its lead: 10 kA, and with 25 mm² for 0.05 s 12.9 kA
    drawn("assembly-short-circuit-rating", Iec, "5.6 mΩ", "5.9 mΩ", |by, ohms| {
        with(by, &[("B1", "unit_resistance", ohms), ("BUS1", "short_circuit_rating", "")])
    })
    .is(Advice)
    .by_fact(),
    drawn("conductor-short-circuit-heating", Iec, "4.45 mΩ", "4.25 mΩ", |by, ohms| {
        with(by, &[("B1", "unit_resistance", ohms), ("Q2", "trip", "inverse-time breaker")])
    })
    .is(Advice),
    crate::limit::run("flexible-cable", Iec, ("W3", "insulation"), "XLPE", "welding cable").by_fact(),
];
