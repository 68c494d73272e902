//! Limits of conductors, overcurrent devices and buses.

use crate::draw::{far_breaker, small, ways, with};
use crate::limit::Sets::{All, Iec, Nec};
use crate::limit::{Limit, drawn, field, run};
use lineside_acceptance::bench::{breaker, fuse};
use lineside_acceptance::sound::{changed, sound_by};
use lineside_acceptance::{Sheet, feet};
use lineside_core::project::RuleSet;
use lineside_rules::Severity::{Advice, Correction};

/// Three strings of modules that stand 100 A in series, on the conductor of the sound system.
fn by_conductor(by: RuleSet, amps: &str) -> Sheet {
    let fuse = ("S1", "series_fuse_rating", "100 A");
    with(by, &[("S1", "strings_in_parallel", "3"), fuse, ("S1", "short_circuit_current", amps)])
}

/// Everything on the ground, the strings' leads of such an insulation.
fn in_the_field(by: RuleSet, insulation: &str) -> Sheet {
    changed(sound_by(by), |sheet| {
        sheet.place("shed", &[("surroundings", "on the ground"), ("locked", "fitted")]);
        sheet.set_run("W1", "insulation", insulation);
    })
}

const INSIDE: &str = "in a utility room, basement or store";

/// One module whose lead lies open in such a place, to which anybody comes, or in a plastic conduit inside.
fn open_lead(by: RuleSet, place: &str, volts: &str, amps: &str) -> Sheet {
    changed(small(by, volts, amps), |sheet| {
        sheet.place("shed", &[("surroundings", place), ("locked", "not fitted")]);
        if place == INSIDE {
            sheet.set_run("W1", "raceway", "PVC conduit");
        }
    })
}

/// Two runs in the ground in one duct, the one to the inverter with insulation for so much.
fn one_duct(by: RuleSet, volts: &str) -> Sheet {
    changed(sound_by(by), |sheet| {
        for run in ["W1", "W4"] {
            sheet.set_run(run, "raceway", "PVC conduit, buried");
            sheet.set_run(run, "raceway_name", "D1");
        }
        sheet.set_run("W4", "voltage", volts);
    })
}

/// The feeder of the panel of aluminum, the panel marked so.
fn aluminum(by: RuleSet, marking: &str) -> Sheet {
    let (breaker, panel) =
        (("Q4", "terminal_marking", "copper or aluminum"), ("P1", "terminal_marking", marking));
    changed(with(by, &[breaker, panel]), |sheet| {
        sheet.set_run("W5", "size", if by.is_nec() { "4 AWG" } else { "16 mm²" });
        sheet.set_run("W5", "metal", "Al");
    })
}

/// The conductors to the inverter laid twice, the second of such a length in meters.
fn twice(by: RuleSet, meters: &str) -> Sheet {
    changed(sound_by(by), |sheet| {
        sheet.set_run("W4", "length", "2 m");
        let like = sheet.conductor("W4");
        sheet.run("W6", "Q3.load", "INV1.dc", like);
        sheet.set_run("W6", "length", meters);
    })
}

/// The conductors to the inverter in the ground, of such an insulation.
fn in_a_duct(by: RuleSet, insulation: &str) -> Sheet {
    changed(sound_by(by), |sheet| {
        sheet.set_run("W4", "raceway", "PVC conduit, buried");
        sheet.set_run("W4", "insulation", insulation);
    })
}

/// The conductors to the inverter in a building, of such an insulation.
fn inside(by: RuleSet, insulation: &str) -> Sheet {
    changed(sound_by(by), |sheet| sheet.set_run("W4", "insulation", insulation))
}

/// Open strings on trackers, of such strands.
fn on_tracker(by: RuleSet, strands: &str) -> Sheet {
    changed(with(by, &[("S1", "mounting", "tracker")]), |sheet| sheet.set_run("W1", "stranding", strands))
}

pub const LIMITS: &[Limit] = &[
    // 1.5625 × 22.4 = 35.0 A on 10 AWG
    field("conductor-continuous-ampacity", Nec, ("S1", "short_circuit_current"), "22.4 A", "22.5 A"),
    // 95 A of 4 AWG at 90 °C
    field("conductor-corrected-ampacity", Nec, ("C1", "output_current"), "95 A", "96 A"),
    field("conductor-corrected-ampacity", Iec, ("C1", "output_current"), "94 A", "96 A"),
    // Below 7/8 in over a roof 33 K come on top
    drawn("conductor-corrected-ampacity", Nec, "22.3 mm", "22.2 mm", |by, height| {
        changed(with(by, &[("S1", "short_circuit_current", "25 A")]), |sheet| {
            sheet.set_run("W1", "raceway", "EMT");
            sheet.set_run("W1", "above_roof", height);
        })
    })
    .by_fact(),
    // 70 A of 4 AWG at 60 °C
    drawn("terminal-temperature", Nec, "56 A", "57 A", |by, amps| {
        changed(sound_by(by), |sheet| {
            sheet.set_run("W2", "terminal_to", "");
            sheet.set("C1", "output_current", amps);
        })
    }),
    // 25 mm² of XLPE would bear 133 × 0.96 = 127.7 A; by the column of 70 °C 101 × 0.94 = 94.94 A
    drawn("terminal-temperature", Iec, "94.9 A", "95 A", |by, amps| {
        changed(with(by, &[("C1", "output_current", amps)]), |sheet| {
            sheet.set_run("W2", "insulation", "XLPE");
        })
    }),
    drawn("terminal-temperature", All, "copper or aluminum", "copper", aluminum).by_fact(),
    drawn("small-conductor-limit", Nec, "30 A", "31 A", |by, amps| {
        changed(sound_by(by), |sheet| {
            sheet.swap("Q1", &breaker(30));
            sheet.set("Q1", "rating", amps);
        })
    }),
    run("voltage-drop", Nec, ("W2", "length"), "13.8 ft", "13.9 ft").is(Advice),
    run("voltage-drop", Iec, ("W2", "length"), "4.5 m", "4.6 m").is(Advice),
    run("flexible-cable", Nec, ("W3", "insulation"), "RHW-2", "welding cable").by_fact(),
    drawn("flexible-cable", All, "crimped lugs for these strands", "bare strands", |by, ends| {
        changed(
            with(by, &[("B1", "terminal_marking", "copper"), ("F1", "terminal_marking", "copper")]),
            |sheet| {
                sheet.set_run("W3", "stranding", "fine strand");
                sheet.set_run("W3", "ends", ends);
            },
        )
    })
    .by_fact(),
    drawn("conductor-type-place", Nec, "PV wire", "THWN-2", in_the_field).by_fact(),
    // 30 V of one module, 8 A: without metal in a building, and open in reach
    drawn("conductor-type-place", Nec, "26.0 V", "26.1 V", |by, volts| open_lead(by, INSIDE, volts, "6.4 A")),
    drawn("conductor-type-place", Nec, "6.4 A", "6.5 A", |by, amps| open_lead(by, INSIDE, "26.0 V", amps)),
    drawn("conductor-type-place", Nec, "26.0 V", "26.1 V", |by, volts| {
        open_lead(by, "on the ground", volts, "6.4 A")
    }),
    drawn("conductor-type-place", Iec, "PV cable", "PVC", in_the_field).by_fact(),
    drawn("conductor-type-place", Nec, "THHN/THWN", "welding cable", in_a_duct).at("W4#wet").by_fact(),
    drawn("conductor-type-place", Iec, "PVC", "welding cable", in_a_duct).at("W4#wet").by_fact(),
    drawn("conductor-type-place", Nec, "THWN-2", "USE-2", inside).at("W4#inside").by_fact(),
    drawn("conductor-type-place", Iec, "XLPE", "USE-2", inside).at("W4#inside").by_fact(),
    drawn("conductor-type-place", All, "fine strand", "stranded", on_tracker).at("W1#tracker").by_fact(),
    // The array's 128.47 V lie beside the bank's 56.8 V
    drawn("conductor-voltage-rating", All, "129 V", "128 V", one_duct),
    drawn("parallel-conductors", All, "2 m", "2.1 m", twice).at("W6#alike").by_fact(),
    // (2 − 1) × 1.25 × 13.6
    drawn("string-overcurrent-needed", Nec, "17 A", "16.9 A", |by, fuse| {
        with(by, &[("S1", "strings_in_parallel", "2"), ("S1", "series_fuse_rating", fuse)])
    }),
    drawn("string-overcurrent-needed", Iec, "13.6 A", "13.5 A", |by, fuse| {
        with(by, &[("S1", "strings_in_parallel", "2"), ("S1", "series_fuse_rating", fuse)])
    }),
    // (3 − 1) × 1.25 × 14.0 on 35 A of 10 AWG; (3 − 1) × 22 on 44 A of 4 mm²
    drawn("string-overcurrent-needed", Nec, "14 A", "14.1 A", by_conductor),
    drawn("string-overcurrent-needed", Iec, "22 A", "22.1 A", by_conductor),
    // 2.4 × 13.6 = 32.64 A
    drawn("string-overcurrent-size", Iec, "32.6 A", "32.7 A", |by, amps| {
        ways(by, 2, &[("CB1", "device_rating", amps)])
    }),
    // 1.5625 × 13.6 = 21.25 A
    drawn("string-overcurrent-size", Nec, "21.3 A", "21.2 A", |by, amps| {
        ways(by, 2, &[("CB1", "device_rating", amps)])
    }),
    drawn("string-overcurrent-size", Iec, "20.5 A", "20.3 A", |by, amps| {
        ways(by, 2, &[("CB1", "device_rating", amps)])
    }),
    drawn("module-series-fuse", All, "25 A", "24.9 A", |by, amps| {
        ways(by, 3, &[("S1", "series_fuse_rating", amps), ("S2", "series_fuse_rating", amps)])
    }),
    // 1.25 × 60 A
    field("overcurrent-minimum", Nec, ("Q2", "rating"), "75 A", "74 A"),
    field("overcurrent-minimum", Iec, ("Q2", "rating"), "60 A", "59 A"),
    field("overcurrent-protects-conductor", Nec, ("Q3", "rating"), "150 A", "151 A"),
    // The next size up to 800 A: 3 × 255 A
    drawn("overcurrent-protects-conductor", Nec, "800 A", "801 A", |by, amps| {
        changed(with(by, &[("Q3", "rating", amps)]), |sheet| {
            sheet.set_run("W4", "size", "250 kcmil");
            sheet.set_run("W4", "parallel", "3");
        })
    }),
    field("overcurrent-protects-conductor", Iec, ("Q3", "rating"), "180 A", "181 A"),
    field("overcurrent-dc-rated", All, ("Q1", "pv_listed"), "fitted", "not fitted"),
    drawn("both-ends-overcurrent", Nec, "190 A", "191 A", far_breaker).is(Correction),
    drawn("both-ends-overcurrent", Iec, "120 A", "121 A", far_breaker).is(Correction),
    drawn("both-ends-overcurrent", All, "fused", "bare", |by, lead| {
        changed(far_breaker(by, "60 A"), |sheet| {
            if lead == "bare" {
                let cable = sheet.conductor("W3");
                sheet.remove("F1");
                sheet.run("W3", "B1.out", "BUS1.tap2", cable);
            }
        })
    })
    .by_fact(),
    run("battery-fuse-distance", All, ("W3", "length"), "1.5 m", "1.51 m"),
    // The pack alone, behind its lead: 6800 A, by the IEC with nine tenths of its resistance 7405 A
    field("interrupt-rating", Nec, ("F1", "interrupting_dc"), "6900 A", "6700 A"),
    field("interrupt-rating", Iec, ("F1", "interrupting_dc"), "7500 A", "7300 A"),
    // Without a mark it advises below 10 kA: 54.4 V / 5.5 mΩ + 60 A
    drawn("assembly-short-circuit-rating", Nec, "5.2 mΩ", "5.3 mΩ", |by, ohms| {
        with(by, &[("B1", "unit_resistance", ohms), ("BUS1", "short_circuit_rating", "")])
    })
    .is(Advice)
    .by_fact(),
    // With the 60 A of the controller
    field("assembly-short-circuit-rating", Nec, ("BUS1", "short_circuit_rating"), "6900 A", "6800 A"),
    field("assembly-short-circuit-rating", Iec, ("BUS1", "short_circuit_rating"), "7500 A", "7400 A"),
    // At the far end of W4: 3454 A, by the IEC 3584 A
    drawn("fault-clears", Nec, "3450 A", "3460 A", |by, amps| {
        with(by, &[("F1", "five_second_current", "9000 A"), ("Q3", "five_second_current", amps)])
    }),
    drawn("fault-clears", Iec, "3580 A", "3590 A", |by, amps| {
        with(by, &[("F1", "five_second_current", "9000 A"), ("Q3", "five_second_current", amps)])
    }),
    // 4 AWG at 6800 A: (41 740 / 6800)² × 0.0297 × log10(384 / 309) = 0.1056 s; by the IEC (115 × 25 / 7405)² = 0.1507 s
    field("conductor-short-circuit-heating", Nec, ("Q2", "clearing_time"), "0.105 s", "0.107 s"),
    field("conductor-short-circuit-heating", Iec, ("Q2", "clearing_time"), "0.148 s", "0.152 s"),
    // A molded-case breaker opens within 0.05 s: 4 AWG stands 9877 A so long; a class T fuse within 0.01 s: 22 087 A
    drawn("conductor-short-circuit-heating", Nec, "5.4 mΩ", "5.25 mΩ", |by, ohms| {
        with(by, &[("B1", "unit_resistance", ohms), ("Q2", "trip", "inverse-time breaker")])
    })
    .is(Advice),
    drawn("conductor-short-circuit-heating", Nec, "2.3 mΩ", "2.2 mΩ", |by, ohms| {
        changed(with(by, &[("B1", "unit_resistance", ohms)]), |sheet| {
            sheet.swap("Q2", &fuse(80));
            sheet.swap("Q3", &fuse(150));
        })
    })
    .is(Advice),
    field("overcurrent-standard-size", Nec, ("Q2", "rating"), "80 A", "75 A").by_fact(),
    field("overcurrent-standard-size", Iec, ("Q2", "rating"), "80 A", "75 A").by_fact(),
    drawn("parallel-conductors", Nec, "1/0 AWG", "1 AWG", |by, size| {
        changed(sound_by(by), |sheet| {
            sheet.set_run("W2", "parallel", "2");
            sheet.set_run("W2", "size", size);
        })
    })
    .by_fact(),
    drawn("parallel-conductors", Iec, "16 mm²", "10 mm²", |by, size| {
        changed(sound_by(by), |sheet| {
            sheet.set_run("W2", "parallel", "2");
            sheet.set_run("W2", "size", size);
        })
    })
    .by_fact(),
    drawn("raceway-fill", Nec, "1-1/4", "1", |by, size| {
        changed(sound_by(by), |sheet| sheet.set_run("W4", "raceway_size", size))
    })
    .by_fact(),
    // No table gives the areas of metric cables
    drawn("raceway-fill", Iec, "1-1/4", "1", |by, size| {
        changed(sound_by(by), |sheet| {
            sheet.lay("W4", feet("1/0", 8.0));
            sheet.set_run("W4", "raceway_size", size);
        })
    })
    .by_fact(),
    field("dc-bus-rating", Nec, ("BUS1", "rating"), "150 A", "149 A"),
    field("dc-bus-rating", Iec, ("BUS1", "rating"), "160 A", "159 A"),
    drawn("combiner-bus-rating", Nec, "42.5 A", "42 A", |by, amps| {
        ways(by, 2, &[("CB1", "bus_rating", amps)])
    }),
    drawn("combiner-bus-rating", Iec, "34 A", "33 A", |by, amps| ways(by, 2, &[("CB1", "bus_rating", amps)])),
];
