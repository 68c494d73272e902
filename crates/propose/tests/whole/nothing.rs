//! Briefs that nothing answers: the limits that stood in the way, and the single change with which something passes.

use crate::briefs::Case;
use crate::ground::Ground;
use lineside_core::project::Project;
use lineside_core::units::Hours;
use lineside_propose::{Change, Limit, Proposals, SearchBounds, propose};
use std::num::NonZeroUsize;
use std::sync::atomic::AtomicBool;

fn nothing(change: impl Fn(&mut Project)) -> Proposals {
    let ground = Ground::new();
    let mut project = Case::ColdCabin.project();
    change(&mut project);
    let terms = ground.terms(&project);
    let two = NonZeroUsize::new(2).unwrap();
    let found = propose(&terms, &SearchBounds::default(), two, &AtomicBool::new(false)).unwrap();
    assert_eq!(found.candidates, []);
    assert!(!found.near.is_empty(), "{:?}", found.found.cuts);
    found
}

#[test]
fn a_budget_that_buys_nothing() {
    let found = nothing(|project| project.brief.goals.budget = Some("5000".parse().unwrap()));
    assert!(found.found.cuts.iter().any(|cut| cut.limit == Limit::Budget && cut.branches > 0));
    let near = &found.near[0];
    assert_eq!(near.change, Change::Budget(near.candidate.cost));
    assert!(!near.parts.is_empty());
    // Lead or lithium is cheaper than nickel-iron, but not for 5000 either.
    assert!(found.near.iter().all(|it| it.change != Change::AnyChemistry));
}

#[test]
fn a_generator_that_may_not_run() {
    let found = nothing(|project| {
        project.brief.goals.generator_hours = Some(Hours::new(0.0));
        project.brief.months[11].sun = project.brief.months[11].sun * 0.1;
    });
    let hours = found.near.iter().find_map(|it| {
        let Change::GeneratorHours(hours) = it.change else { return None };
        Some((hours, it.candidate.generator_hours()))
    });
    let (allowed, runs) = hours.unwrap();
    assert!(allowed >= runs && allowed - runs < Hours::new(1.0));
}

#[test]
fn loads_above_any_stock() {
    let found = nothing(|project| {
        for load in &mut project.brief.loads {
            load.power = load.power * 20.0;
            load.surge = load.surge.map(|surge| surge * 20.0);
        }
    });
    assert!(found.found.cuts.iter().any(|cut| cut.limit == Limit::InverterPower));
    // A twentieth is the cabin again; what passes is no less than that.
    let [near] = found.near.as_slice() else { panic!("one change: {:?}", found.near) };
    let Change::Loads(share) = near.change else { panic!("{:?}", near.change) };
    assert!(share.share() >= 0.05 && share.share() < 1.0);
    assert_eq!(near.change.text(), "with 10 % of the power of every load");
}
