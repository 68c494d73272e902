//! The demo projects in many cases: each is solved, balances, and does what such a system does.

use super::*;
use lineside_core::kinds::Kind;
use lineside_core::kinds::common::Position;

pub(super) fn demo(name: &str) -> Sheet {
    let path = format!("{}/../../assets/demos/{name}.lineside", env!("CARGO_MANIFEST_DIR"));
    let text = std::fs::read_to_string(path).unwrap();
    Sheet::new(lineside_core::file::read(&text).unwrap_or_else(|fault| panic!("{fault}")))
}

/// A dozen cases of a demo.
fn cases(sheet: &Sheet) -> Vec<(&'static str, OperatingState)> {
    let base = OperatingState { other_loads: Load::Share(percent(20.0)), ..sheet.state() };
    let supplies = sheet
        .project
        .circuit
        .blocks()
        .filter(|block| matches!(block.kind(), Kind::Generator | Kind::Utility));
    let all: std::collections::BTreeSet<BlockId> = supplies.map(|block| block.id).collect();
    let with = |change: &dyn Fn(&mut OperatingState)| {
        let mut state = base.clone();
        change(&mut state);
        state
    };
    vec![
        ("sun high and bank filling", with(&|it| it.charge = percent(50.0))),
        ("absorb with the array held back", with(&|it| it.charge = percent(99.0))),
        ("float", with(&|it| (it.charge, it.stage) = (percent(100.0), ChargeStage::Float))),
        ("equalize", with(&|it| (it.charge, it.stage) = (percent(100.0), ChargeStage::Equalize))),
        ("cloud passing", with(&|it| it.sun = sun(150.0))),
        ("evening on the bank", with(&|it| it.sun = sun(0.0))),
        (
            "bank low and supplies there",
            with(&|it| {
                (it.sun, it.charge, it.supplies) = (sun(0.0), percent(10.0), all.clone());
            }),
        ),
        ("sun and supplies", with(&|it| it.supplies = all.clone())),
        ("cold morning", with(&|it| (it.ambient, it.sun) = (celsius(-25.0), sun(700.0)))),
        ("hot noon", with(&|it| (it.ambient, it.sun) = (celsius(42.0), sun(1050.0)))),
        ("charging off", with(&|it| it.stage = ChargeStage::Off)),
        ("nothing loaded", with(&|it| it.other_loads = Load::NONE)),
        ("empty bank, no sun", with(&|it| (it.sun, it.charge) = (sun(0.0), percent(0.0)))),
    ]
}

#[test]
fn every_demo_is_solved_and_balances_in_a_dozen_cases() {
    for name in ["cabin", "home", "hut", "as-found"] {
        let sheet = demo(name);
        for (case, state) in cases(&sheet) {
            let flow = sheet.flow(&state);
            let what = format!("{name}, {case}");
            assert_balanced(&sheet, &flow, &what);
            assert!(flow.is_solved(), "{what}: {:?}", flow.outcome);
            // The same again gives the same bits.
            assert_eq!(flow, sheet.flow(&state), "{what}");
        }
    }
}

#[test]
fn the_cabin_does_what_a_cabin_does() {
    let sheet = demo("cabin");
    let circuit = &sheet.project.circuit;
    let (c1, inv1) = (sheet.id("C1"), sheet.id("INV1"));
    let state = sheet.state().loaded(circuit, "P1", power(800.0)).loaded(circuit, "L1", Load::ALL);
    let controller = |flow: &Flow| *flow.controller(c1).unwrap();
    // The sun fills the bank.
    let filling = sheet.flow(&OperatingState { charge: percent(75.0), ..state.clone() });
    assert_eq!(controller(&filling).doing, ControllerDoing::Tracking);
    let into = -filling.sources().iter().find(|it| it.block == sheet.id("B1")).unwrap().power.value();
    assert!(into > 1500.0, "{into}");
    // The bank is full: the controller takes what the house needs and little more, and holds the rest back.
    let full = OperatingState { charge: percent(100.0), stage: ChargeStage::Float, ..state.clone() };
    let full = sheet.flow(&full);
    assert_eq!(controller(&full).doing, ControllerDoing::HeldBack(ChargeStage::Float));
    let (available, taken) = (controller(&full).available.unwrap(), controller(&full).input_voltage.unwrap());
    assert!(available.value() > 3000.0 && taken.value() > 95.0);
    // Night.
    let night = sheet.flow(&OperatingState { sun: sun(0.0), ..state.clone() });
    assert_eq!(controller(&night).doing, ControllerDoing::Off(ControllerOff::NoSun));
    assert_eq!(night.inverter(inv1).unwrap().doing, InverterDoing::Inverting);
    assert!(night.is_dead(&sheet.network, sheet.id("CB1")));
    // Array locked off: the strings stay live, nothing behind the breaker on the array's side.
    let locked = sheet.flow(&state.thrown(sheet.id("Q1"), Position::Open));
    assert_balanced(&sheet, &locked, "locked off");
    assert_eq!(controller(&locked).doing, ControllerDoing::Off(ControllerOff::NoStrings));
    assert!(!locked.is_dead(&sheet.network, sheet.id("CB1")));
}
