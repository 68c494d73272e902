//! Properties of any circuit: no panic, solved with balance or a plain reason; and what must be monotone.

use super::*;
use crate::network::{LinkKind, NodeId};
use lineside_core::kinds::Equipment;
use lineside_core::kinds::common::Position;
use lineside_core::kinds::inside::SourceKind;
use lineside_core::project::StockItem;
use lineside_core::units::Amps;
use lineside_core::{stock, testing};
use proptest::prelude::*;
use std::collections::BTreeSet;
use std::sync::LazyLock;

/// Any state of a project: its supplies there or not, some of its poles thrown.
pub(super) fn any_state(sheet: &Sheet, seed: &Seed) -> OperatingState {
    let mut state = OperatingState {
        sun: sun(seed.sun),
        ambient: celsius(seed.ambient),
        charge: percent(seed.charge),
        other_loads: Load::Share(percent(seed.load)),
        stage: seed.stage,
        ..OperatingState::new()
    };
    for (i, block) in sheet.project.circuit.blocks().enumerate() {
        let supply = matches!(block.equipment, Equipment::Utility(_) | Equipment::Generator(_));
        if supply && seed.bits.get(i % seed.bits.len()) != Some(&false) {
            state.supplies.insert(block.id);
        }
        if seed.thrown.get(i % seed.thrown.len()) == Some(&true) {
            state = state.thrown(block.id, Position::Open);
        }
    }
    state
}

#[derive(Clone, Debug)]
pub(super) struct Seed {
    sun: f64,
    ambient: f64,
    charge: f64,
    load: f64,
    stage: ChargeStage,
    bits: Vec<bool>,
    thrown: Vec<bool>,
}

pub(super) fn seed() -> impl Strategy<Value = Seed> {
    let stage = prop_oneof![
        Just(ChargeStage::Bulk),
        Just(ChargeStage::Absorb),
        Just(ChargeStage::Float),
        Just(ChargeStage::Equalize),
        Just(ChargeStage::Off)
    ];
    let sun = prop_oneof![Just(0.0), Just(1000.0), 0.0..1200.0];
    let charge = prop_oneof![Just(0.0), Just(100.0), 0.0..100.0];
    let bits = prop::collection::vec(any::<bool>(), 1..4);
    let thrown = prop::collection::vec(prop::bool::weighted(0.2), 1..9);
    (sun, -30.0..45.0, charge, 0.0..150.0, stage, bits, thrown).prop_map(
        |(sun, ambient, charge, load, stage, bits, thrown)| Seed {
            sun,
            ambient,
            charge,
            load,
            stage,
            bits,
            thrown,
        },
    )
}

pub(super) fn reasons(flow: &Flow) -> Vec<Reason> {
    match &flow.outcome {
        Outcome::Solved => Vec::new(),
        Outcome::NotSolved(reasons) => reasons.clone(),
    }
}

static STOCK: LazyLock<Vec<StockItem>> = LazyLock::new(|| stock::built_in().unwrap());
pub(super) static DEMOS: LazyLock<[Sheet; 4]> =
    LazyLock::new(|| ["cabin", "home", "hut", "as-found"].map(demos::demo));

/// Whether something on the island of a node can hold its voltage, looked for anew on the network and the closed poles.
fn is_held(sheet: &Sheet, state: &OperatingState, flow: &Flow, start: NodeId) -> bool {
    let network = &sheet.network;
    let mut seen = BTreeSet::from([start]);
    let mut waiting = vec![start];
    while let Some(node) = waiting.pop() {
        for (_, link) in network.links_at(node) {
            let passes = match link.kind {
                LinkKind::Converter => false,
                LinkKind::Pole(pole) => flow.is_closed(pole),
                LinkKind::Run(_) | LinkKind::Solid => true,
            };
            if passes && seen.insert(link.other(node)) {
                waiting.push(link.other(node));
            }
        }
    }
    network.sources().iter().filter(|source| seen.contains(&source.node)).any(|source| match source.kind {
        SourceKind::Strings => state.sun >= sun(1.0),
        SourceKind::BatteryString(_) => true,
        SourceKind::Utility | SourceKind::Generator => state.supplies.contains(&source.block),
        SourceKind::InverterOutput => {
            matches!(flow.inverter(source.block).unwrap().doing, InverterDoing::Inverting)
        }
        SourceKind::DcConverterOutput => {
            !matches!(flow.converter(source.block).unwrap().doing, ConverterDoing::Off(_))
        }
        SourceKind::ControllerOutput | SourceKind::Charger => false,
    })
}

/// A throw of any device leaves nothing live that has no source, nothing dead that has one, and no current where it is
/// open.
#[test]
fn a_throw_leaves_nothing_live_without_a_source() {
    for sheet in DEMOS.iter() {
        let circuit = &sheet.project.circuit;
        let supplies = circuit.blocks().map(|block| block.id).collect();
        let loaded = OperatingState { other_loads: Load::Share(percent(15.0)), ..OperatingState::new() };
        for state in [OperatingState { supplies, ..loaded.clone() }, loaded] {
            for (i, pole) in sheet.network.poles().iter().enumerate().filter(|(_, pole)| !pole.is_relay()) {
                let mut thrown = state.clone();
                let name = pole.pole.name.clone().unwrap_or_default();
                thrown.switches.insert((pole.block, name), Position::Open);
                let flow = sheet.flow(&thrown);
                let what = circuit.block(pole.block).unwrap().title();
                assert_balanced(sheet, &flow, &what);
                assert!(!flow.is_closed(i), "{what}");
                assert_eq!(flow.pole(&sheet.network, i).unwrap().current, Amps::ZERO, "{what}");
                for (node, _) in sheet.network.nodes() {
                    let live = flow.voltage(node).is_some();
                    assert_eq!(live, is_held(sheet, &thrown, &flow, node), "{what} thrown, {node:?}");
                }
            }
        }
    }
}

proptest! {
    #![proptest_config(ProptestConfig { failure_persistence: None, ..ProptestConfig::default() })]

    /// With the sources as they are, more load never raises the voltage of the bus.
    #[test]
    fn more_load_never_raises_the_bus(
        demo in 0..3_usize,
        strength in 0.0..1100.0_f64,
        charge in 0.0..100.0_f64,
        less in 0.0..30.0_f64,
        more in 0.0..30.0_f64,
    ) {
        let sheet = &DEMOS[demo];
        let at = |share: f64| {
            let other_loads = Load::Share(percent(share));
            let state = OperatingState { sun: sun(strength), charge: percent(charge), other_loads, ..OperatingState::new() };
            sheet.flow(&state)
        };
        let (low, high) = (at(less), at(less + more));
        let inverts = |flow: &Flow| flow.inverter(sheet.id("INV1")).unwrap().doing == InverterDoing::Inverting;
        if inverts(&low) && inverts(&high) {
            let bus = sheet.network.point(sheet.id("BUS1"), 0).unwrap();
            let (a, b) = (low.voltage(bus).unwrap().value(), high.voltage(bus).unwrap().value());
            prop_assert!(b <= a + 1e-9 * a, "{a} V at {less} %, {b} V with {more} % more");
        }
    }

    /// The demos in any state, with up to a dozen edits of any kind, are solved or told why not.
    #[test]
    fn spoiled_demos_are_solved_or_told_why_not(
        demo in 0..4_usize,
        wishes in prop::collection::vec(testing::wish(), 0..12),
        seed in seed(),
    ) {
        let mut project = DEMOS[demo].project.clone();
        for wish in wishes {
            if let Some(edit) = wish.edit(&project, &STOCK) {
                let _refused = lineside_core::edit::apply(&mut project, edit);
            }
        }
        let sheet = Sheet::new(project);
        let flow = sheet.flow(&any_state(&sheet, &seed));
        prop_assert!(!reasons(&flow).contains(&Reason::NotAtRest), "{}", table(&sheet, &flow));
        assert_balanced(&sheet, &flow, &format!("{:?}", flow.outcome));
    }

    /// Whatever is drawn, it is solved and balances, or the reason is told and what is left balances.
    #[test]
    fn any_circuit_is_solved_or_told_why_not(project in testing::project(0..60), seed in seed()) {
        let sheet = Sheet::new(project);
        let flow = sheet.flow(&any_state(&sheet, &seed));
        prop_assert!(!reasons(&flow).contains(&Reason::NotAtRest), "{}", table(&sheet, &flow));
        assert_balanced(&sheet, &flow, &format!("{:?}", flow.outcome));
        for reason in reasons(&flow) {
            prop_assert!(!reason.words(&sheet.project.circuit, sheet.project.units).is_empty());
        }
    }
}
