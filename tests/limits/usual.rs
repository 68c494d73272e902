//! Limits of what counts where a nameplate says nothing, and of the times in which devices open.

use crate::ac_and_places::fed_back;
use crate::draw::with;
use crate::limit::Sets::{All, Iec, Nec};
use crate::limit::{Limit, drawn, field, run};
use lineside_acceptance::Sheet;
use lineside_acceptance::bench::{ac_breaker, fuse};
use lineside_acceptance::sound::{changed, generator_by, set};
use lineside_core::project::RuleSet;
use lineside_rules::Severity::{Advice, Danger};

/// A bank of such a resistance for each unit, so that the short circuit at the controller's conductors is as great.
fn near_a_bank(by: RuleSet, ohms: &str) -> Sheet {
    with(by, &[("B1", "unit_resistance", ohms)])
}

/// The same before molded-case breakers.
fn molded_case(by: RuleSet, ohms: &str) -> Sheet {
    changed(near_a_bank(by, ohms), |sheet| sheet.set("Q2", "trip", "inverse-time breaker"))
}

/// The same before current-limiting fuses.
fn limiting(by: RuleSet, ohms: &str) -> Sheet {
    changed(near_a_bank(by, ohms), |sheet| {
        sheet.swap("Q2", &fuse(80));
        sheet.swap("Q3", &fuse(150));
    })
}

/// A generator of so many watts of which nothing is told, at such a place.
fn generator_at(by: RuleSet, (elevation, high): (&str, &str), watts: &str) -> Sheet {
    changed(generator_by(by, 30), |sheet| {
        sheet.site("elevation", elevation);
        sheet.site("design_high", high);
        set(sheet, &[("G1", "usable_share", ""), ("G1", "power", watts)]);
    })
}

/// A route of such a length under ten flashes for each square kilometer, to a building of a kind.
fn route(by: RuleSet, building: &str, length: &str) -> Sheet {
    changed(with(by, &[]), |sheet| {
        sheet.site("building", building);
        sheet.site("flash_density", "10");
        sheet.set_run("W1", "length", length);
    })
}

/// Modules of unknown nominal cell temperature, so mounted, on a tracker that begins at so much.
fn mounted(by: RuleSet, how: &str, volts: &str) -> Sheet {
    let modules = [("S1", "nominal_cell_temperature", ""), ("S1", "mounting", how)];
    changed(with(by, &modules), |sheet| sheet.set("C1", "tracking_low", volts))
}

/// A fuse of which nobody knows what it breaks.
const AC_FUSE: &str = r#"fuse((rating: "45 A", mount: touch_safe_holder, class: class_j, duty: eighty_percent,
    ac_voltage: "240 V", position: closed))"#;

/// A device without a mark between the inverter and a utility that gives so much into a fault.
fn unmarked(by: RuleSet, nameplate: &str, amps: &str) -> Sheet {
    changed(fed_back(by, "200 A"), |sheet| {
        sheet.swap("Q4", nameplate);
        if nameplate != AC_FUSE {
            sheet.set("Q4", "interrupting_ac", "");
        }
        sheet.set("U1", "fault_current", amps);
    })
}

pub const LIMITS: &[Limit] = &[
    // 81.37 V of 31.3 V; 56.8 V and 2 V for each 24 V: 60.8 / 3 / 0.86655 = 23.39 V
    drawn("string-hot-voltage-battery", All, "23.39 V", "23.38 V", |by, volts| {
        with(by, &[("C1", "headroom", ""), ("S1", "max_power_voltage", volts)])
    }),
    // By mounting 25, 30 and 35 K above 33 °C: 93.9 × (1 − 0.0034 × 33), × 38 and × 43; and 93.9 × (1 − 0.0040 × 39.25)
    drawn("string-hot-voltage-tracker", All, "83.3 V", "83.4 V", |by, volts| {
        mounted(by, "ground or pole", volts)
    }),
    drawn("string-hot-voltage-tracker", All, "81.7 V", "81.8 V", |by, volts| {
        mounted(by, "tilted rack on a roof", volts)
    }),
    drawn("string-hot-voltage-tracker", All, "80.1 V", "80.2 V", |by, volts| {
        mounted(by, "parallel to the roof", volts)
    }),
    drawn("string-hot-voltage-tracker", All, "79.1 V", "79.2 V", |by, volts| {
        with(by, &[("S1", "power_coefficient", ""), ("C1", "tracking_low", volts)])
    }),
    // 57.8 / 3 / 0.86655 = 22.234 V
    drawn("simple-controller-match", All, "22.24 V", "22.23 V", |by, volts| {
        with(by, &[("C1", "kind", "switching (PWM)"), ("S1", "max_power_voltage", volts)])
    }),
    // 44 V less half a volt
    field("low-cut-out-window", All, ("B1", "management_low"), "43.5 V", "43.51 V"),
    // 20 × 56.8 / 0.9 + 500 = 1762 W, of which the efficiency of 0.9 is the usual one
    drawn("generator-overload", All, "1770 W", "1760 W", |by, watts| {
        changed(generator_by(by, 30), |sheet| {
            set(sheet, &[("INV1", "charger_efficiency", ""), ("G1", "power", watts)]);
        })
    }),
    // 1762.2 / 0.80 = 2202.8 W at the sea in 25 °C
    drawn("generator-overload", All, "2203 W", "2202 W", |by, watts| {
        generator_at(by, ("0 m", "25 °C"), watts)
    }),
    // 3.5 % for each 300 m above 300 m: 2202.8 / 0.825 = 2670.0 W at 1800 m
    drawn("generator-overload", All, "2671 W", "2669 W", |by, watts| {
        generator_at(by, ("1800 m", "25 °C"), watts)
    }),
    // 1 % for each 5.5 °C above 25 °C: 2202.8 / 0.97 = 2270.9 W in 41.5 °C
    drawn("generator-overload", All, "2271 W", "2270 W", |by, watts| {
        generator_at(by, ("0 m", "41.5 °C"), watts)
    }),
    // Breakers without a mark break 5 kA on AC, fuses 10 kA: 10 000 A of the utility are 9945 A behind its conductors
    drawn("interrupt-rating", Nec, "5000 A", "5010 A", |by, amps| unmarked(by, &ac_breaker(45), amps))
        .at("Q4"),
    drawn("interrupt-rating", Nec, "10000 A", "10100 A", |by, amps| unmarked(by, AC_FUSE, amps)).at("Q4"),
    // 100 + 1.25 × 4000 / 240 = 120.83 A, 1.20 times 100.7 A
    drawn("busbar-120-percent", Nec, "100.7 A", "100.6 A", |by, bus| {
        changed(fed_back(by, bus), |sheet| sheet.set("P1", "source_position", "at the far end of the bus"))
    }),
    // 4 AWG bears 6988 A for the 0.1 s of an ordinary breaker, 25 mm² of PVC 9091 A
    drawn("conductor-short-circuit-heating", Nec, "7.65 mΩ", "7.5 mΩ", near_a_bank).is(Advice),
    drawn("conductor-short-circuit-heating", Iec, "6.4 mΩ", "6.25 mΩ", near_a_bank).is(Advice),
    // No breaker opens within less than 0.01 s: 22.1 kA, by the IEC 28.75 kA; no fuse within less than 0.002 s
    drawn("conductor-short-circuit-heating", Nec, "2.3 mΩ", "2.2 mΩ", molded_case).from(Advice, Danger),
    drawn("conductor-short-circuit-heating", Iec, "1.8 mΩ", "1.7 mΩ", molded_case).from(Advice, Danger),
    drawn("conductor-short-circuit-heating", Nec, "0.95 mΩ", "0.88 mΩ", limiting).from(Advice, Danger),
    drawn("conductor-short-circuit-heating", Iec, "0.6 mΩ", "0.56 mΩ", limiting).from(Advice, Danger),
    // 1.5 mm² bear 1.45 × 17.5 × 0.94 = 23.85 A for a while; a gG fuse below 16 A opens at 1.9 times its rating: 12.55 A
    drawn("overcurrent-protects-conductor", Iec, "12.5 A", "12.6 A", |by, amps| {
        changed(with(by, &[]), |sheet| {
            sheet.swap("Q4", &fuse(12));
            set(sheet, &[("Q4", "class", "gG"), ("Q4", "rating", amps)]);
            sheet.set_run("W5", "size", "1.5 mm²");
        })
    }),
    drawn("overcurrent-protects-conductor", Iec, "180 A", "181 A", |by, amps| {
        changed(with(by, &[]), |sheet| {
            sheet.swap("Q3", &fuse(160));
            set(sheet, &[("Q3", "class", "gPV"), ("Q3", "rating", amps)]);
        })
    }),
    // 115 / 10 and 200 / 10 m
    drawn("surge-protection", All, "11.49 m", "11.51 m", |by, length| {
        route(by, "one- or two-family dwelling", length)
    })
    .at("C1"),
    drawn("surge-protection", All, "19.9 m", "20.1 m", |by, length| route(by, "no building", length))
        .at("C1"),
    // 2 % of the strings' 93.9 V: 1.24 × 12.79 × 2 × 59.2 ft / 1000
    run("voltage-drop", Nec, ("W1", "length"), "59 ft", "60 ft").at("C1#strings").is(Advice),
    run("voltage-drop", Iec, ("W1", "length"), "12.3 m", "12.5 m").at("C1#strings").is(Advice),
    // 2 % of the bank's 51.2 V, and 3 % of 120 V
    run("voltage-drop", Nec, ("W4", "length"), "41 ft", "42 ft").at("INV1#supply").is(Advice),
    run("voltage-drop", Nec, ("W5", "length"), "110 ft", "111 ft").at("P1#ac").is(Advice),
];
