//! Limits beyond which a finding becomes worse.

use crate::draw::{battery_room, far_breaker, printed_voltage, with};
use crate::limit::Sets::{All, Iec, Nec};
use crate::limit::{Limit, drawn, field, run};
use lineside_acceptance::sound::changed;
use lineside_rules::Severity::{Advice, Correction, Danger};

pub const LIMITS: &[Limit] = &[
    // 3 × 37.2 V × (1 − 0.0027 × (−31 − 25)) = 128.47 V is printed upward
    drawn("labels", All, "129 V", "128 V", printed_voltage),
    drawn("string-cold-voltage", All, "129 V", "128 V", |by, volts| {
        with(by, &[("C1", "operating_input_voltage", "100 V"), ("C1", "max_input_voltage", volts)])
    })
    .from(Correction, Danger),
    drawn("charge-voltage-above-equipment", All, "57 V", "56 V", |by, volts| {
        with(by, &[("INV1", "highest_input_voltage", "55 V"), ("INV1", "absolute_input_voltage", volts)])
    })
    .from(Correction, Danger),
    // 13.6 A without the factor
    field("controller-input-short-circuit", All, ("C1", "input_short_circuit_current"), "13.6 A", "13.5 A")
        .from(Correction, Danger),
    // 1200 W / 1.30 = 923 W
    field("controller-array-watts", All, ("C1", "array_watts_48"), "924 W", "922 W").from(Advice, Correction),
    // 1.45 × 230 A and 1.45 × 180.48 A, less the 60 A of the controller
    drawn("both-ends-overcurrent", Nec, "273 A", "274 A", far_breaker).from(Correction, Danger),
    drawn("both-ends-overcurrent", Iec, "201 A", "202 A", far_breaker).from(Correction, Danger),
    // 5 % between bank and inverter
    run("voltage-drop", Nec, ("W4", "length"), "105 ft", "106 ft").from(Advice, Correction),
    run("voltage-drop", Iec, ("W4", "length"), "39 m", "39.5 m").from(Advice, Correction),
    // 16 × 3.75 = 60 V
    drawn("live-parts-guarded", Iec, "3.75 V", "3.76 V", |by, charge| {
        with(by, &[("B1", "charge_voltage", charge), ("B1", "terminals_covered", "not fitted")])
    })
    .from(Advice, Correction),
    // Where nothing is above 60 V DC: 16 × 3.75 V in a room with too little depth
    drawn("working-space", Nec, "3.75 V", "3.76 V", |by, charge| {
        changed(battery_room(by, "fused load-break switch", "0.6 m"), |sheet| {
            sheet.place("battery room", &[("working_depth", "0.5 m")]);
            sheet.set("B1", "charge_voltage", charge);
        })
    })
    .from(Advice, Correction),
];
