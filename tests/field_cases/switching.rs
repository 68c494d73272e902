//! Cases S35, S36 and S39: switching orders, bonds to earth, and what flows in a bank.

use crate::told::told;
use lineside_acceptance::feet;
use lineside_acceptance::sound::{breaker, changed, sound};
use lineside_study::isolation::{self, Step};

/// S35 · Which goes first, array or battery? An array by Q1, a bank by Q2 and a load by Q3 at one controller.
#[test]
fn s35() {
    let sheet = changed(sound(), |sheet| {
        for tag in ["INV1", "Q4", "P1", "F1", "Q3", "Q2"] {
            sheet.remove(tag);
        }
        let mut device = breaker(100);
        device = device.replace("position: closed", "lockable: yes, position: closed");
        sheet.blocks(&["Q2", "Q3"], &device);
        sheet.run("W2", "C1.battery", "BUS1.tap1", feet("4", 6.0));
        sheet.run("W3", "B1.out", "Q2.line", feet("1", 2.0));
        sheet.joint("Q2.load", "BUS1.tap2");
        sheet.block("L1", r#"dc_load((current: "20 A", max_voltage: "62 V"))"#);
        sheet.joint("BUS1.tap3", "Q3.line");
        sheet.run("W4", "Q3.load", "L1.in", feet("3", 10.0));
    });
    let verdict = told(&sheet);
    let studies = verdict.studies();
    let order = isolation::of(&verdict.conditions(), &studies.network, &studies.zones, verdict.block("C1"));
    let tag = |step: &Step| verdict.project.circuit.block(step.block).map(|block| block.tag.clone());
    let dead: Vec<_> = order.steps.iter().filter_map(tag).collect();
    let back: Vec<_> = order.way_back().filter_map(tag).collect();
    assert_eq!(dead, ["Q3", "Q1", "Q2"]);
    assert_eq!(back, ["Q2", "Q1", "Q3"]);
    assert!(order.is_complete());
}

/// S36 · Ground-fault breaker bypassed by a second bond.
#[test]
fn s36() {
    let bonded = |jumper: bool| {
        changed(sound(), |sheet| {
            sheet.set("B1", "grounding", "");
            // Nothing is solidly grounded, so every device opens both poles.
            sheet.set_all(&["Q1", "Q2", "Q3", "F1"], "poles", "2");
            sheet.block(
                "GFD1",
                r#"ground_fault_device((kind: dc_interrupter, rating: "80 A", trip_current: "0.5 A", dc_voltage: "150 V",
                    breaker_rating: "80 A", interrupting: "10000 A", poles: 2, position: closed))"#,
            );
            sheet.block("E1", "electrode((kind: rods))");
            sheet.remove_joint("Q2.load", "BUS1.tap1");
            sheet.joint("Q2.load", "GFD1.line");
            sheet.joint("GFD1.load", "BUS1.tap1");
            sheet.run("W6", "GFD1.earth", "E1.earth", feet("6", 10.0));
            if jumper {
                sheet.block("E2", r#"bonding_jumper((system: dc_negative, size: "6 AWG"))"#);
                sheet.joint("E2.system", "BUS1.bond");
                sheet.joint("E2.earth", "E1.earth");
            }
        })
    };
    told(&bonded(true)).says(&["correction dc-system-grounding@E2: 2, not 1"]);
    told(&bonded(false)).is_silent();
}
