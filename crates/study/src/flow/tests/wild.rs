//! The demos with wild nameplates and wild conductors, within what the fields allow: contradictions, nothing given,
//! least and greatest values.

use super::properties::{DEMOS, any_state, reasons, seed};
use super::*;
use lineside_core::edit::{Edit, apply};
use lineside_core::kinds::field::{CurvePoint, Field, Shape, Value};
use lineside_core::units::Meters;
use proptest::prelude::*;

/// What a field is set to.
#[derive(Clone, Copy, Debug)]
enum Wild {
    Absent,
    Least,
    Greatest,
    /// In thousandths of the way.
    Between(u32),
}

fn wild() -> impl Strategy<Value = Wild> {
    prop_oneof![
        Just(Wild::Absent),
        Just(Wild::Least),
        Just(Wild::Greatest),
        (0..1000_u32).prop_map(Wild::Between)
    ]
}

fn value(field: &Field, wild: Wild) -> Value {
    let thousandths = match wild {
        Wild::Absent => return Value::Absent,
        Wild::Least => 0,
        Wild::Greatest => 1000,
        Wild::Between(thousandths) => thousandths,
    };
    let share = f64::from(thousandths) / 1000.0;
    match field.shape {
        Shape::Quantity { low, high, .. } => Value::Number(low + (high - low) * share),
        Shape::Whole { low, high } => Value::Whole(low + (high - low) * thousandths / 1000),
        Shape::Choice(names) => Value::Choice(names[(names.len() - 1) * thousandths as usize / 1000].key),
        Shape::Curve { .. } => Value::Curve(vec![
            CurvePoint { x: 1.0 + 40.0 * share, y: 1.0 + 4.0 * share },
            CurvePoint { x: 60.0 + 40.0 * share, y: 5.0 - 3.0 * share },
        ]),
        Shape::Text | Shape::Size => Value::Absent,
    }
}

proptest! {
    #![proptest_config(ProptestConfig { failure_persistence: None, ..ProptestConfig::default() })]

    #[test]
    fn wild_nameplates_are_solved_or_told_why_not(
        demo in 0..4_usize,
        changes in prop::collection::vec((any::<prop::sample::Index>(), any::<prop::sample::Index>(), wild()), 1..40),
        lengths in prop::collection::vec((any::<prop::sample::Index>(), prop_oneof![Just(0.0), Just(1e-9), Just(1e-5), Just(0.003), 0.0..5000.0_f64]), 0..6),
        seed in seed(),
    ) {
        let mut project = DEMOS[demo].project.clone();
        let blocks: Vec<BlockId> = project.circuit.blocks().map(|block| block.id).collect();
        for (block, field, wild) in changes {
            let id = *block.get(&blocks);
            let mut equipment = project.circuit.block(id).unwrap().equipment.clone();
            let fields = equipment.kind().fields();
            if fields.is_empty() {
                continue;
            }
            let field = field.get(fields);
            if equipment.set(field.key, &value(field, wild)).is_ok() {
                let edit = Edit::SetEquipment { block: id, equipment: Box::new(equipment), stock: None };
                let _refused = apply(&mut project, edit);
            }
        }
        let runs: Vec<_> = project.circuit.runs().map(|run| run.id).collect();
        for (run, length) in lengths {
            let mut run = project.circuit.run(*run.get(&runs)).unwrap().clone();
            if let Some(conductor) = &mut run.conductor {
                conductor.length = Meters::new(length);
            }
            let _refused = apply(&mut project, Edit::SetRun(Box::new(run)));
        }
        let sheet = Sheet::new(project);
        let flow = sheet.flow(&any_state(&sheet, &seed));
        prop_assert!(!reasons(&flow).contains(&Reason::NotAtRest), "{}", table(&sheet, &flow));
        assert_balanced(&sheet, &flow, &format!("{:?}", flow.outcome));
    }
}
