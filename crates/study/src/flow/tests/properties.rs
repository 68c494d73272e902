//! Properties of any circuit: no panic, solved with balance or a plain reason; and what must be monotone.

use super::*;
use lineside_core::kinds::Equipment;
use lineside_core::kinds::common::Position;
use lineside_core::project::StockItem;
use lineside_core::testing;
use proptest::prelude::*;
use std::sync::LazyLock;

/// Any state of a project: its supplies there or not, some of its poles thrown.
fn any_state(sheet: &Sheet, seed: &Seed) -> OperatingState {
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
struct Seed {
    sun: f64,
    ambient: f64,
    charge: f64,
    load: f64,
    stage: ChargeStage,
    bits: Vec<bool>,
    thrown: Vec<bool>,
}

fn seed() -> impl Strategy<Value = Seed> {
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

fn reasons(flow: &Flow) -> Vec<Reason> {
    match &flow.outcome {
        Outcome::Solved => Vec::new(),
        Outcome::NotSolved(reasons) => reasons.clone(),
    }
}

static STOCK: LazyLock<Vec<StockItem>> = LazyLock::new(|| lineside_core::stock::built_in().unwrap());
static DEMOS: LazyLock<[Sheet; 4]> =
    LazyLock::new(|| ["cabin", "home", "hut", "as-found"].map(super::demos::demo));

proptest! {
    #![proptest_config(ProptestConfig { failure_persistence: None, ..ProptestConfig::default() })]

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
        if !reasons(&flow).contains(&Reason::NotAtRest) {
            assert_balanced(&sheet, &flow, &format!("{:?}", flow.outcome));
        }
        for reason in reasons(&flow) {
            prop_assert!(!reason.words(&sheet.project.circuit, sheet.project.units).is_empty());
        }
    }
}
