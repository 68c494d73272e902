//! What must grow in proportion: copies beside each other, strings and cables in parallel, modules in series, lengths.

use crate::arbitrary::{CODES, DEMOS, any_project, config};
use lineside_core::circuit::{Conductor, RunId};
use lineside_core::edit::{Edit, apply};
use lineside_core::kinds::Equipment;
use lineside_core::project::Project;
use lineside_core::units::Amps;
use lineside_core::{file, testing};
use lineside_rules::{Finding, Part, check};
use lineside_study::{Conditions, Port, Studies};
use proptest::prelude::*;
use std::collections::BTreeMap;

fn studies(project: &Project) -> Studies {
    lineside_study::all(&Conditions::new(project, &CODES))
}

/// Changes every block's equipment.
fn with_equipment(project: &Project, change: impl Fn(&mut Equipment)) -> Project {
    let mut copy = project.clone();
    for block in project.circuit.blocks() {
        let mut equipment = block.equipment.clone();
        change(&mut equipment);
        if equipment != block.equipment {
            let edit = Edit::SetEquipment {
                block: block.id,
                equipment: Box::new(equipment),
                stock: block.stock.clone(),
            };
            apply(&mut copy, edit).unwrap();
        }
    }
    copy
}

fn with_conductors(project: &Project, change: impl Fn(&mut Conductor)) -> Project {
    let mut copy = project.clone();
    for run in project.circuit.runs() {
        let mut run = run.clone();
        if let Some(conductor) = &mut run.conductor {
            change(conductor);
            apply(&mut copy, Edit::SetRun(Box::new(run))).unwrap();
        }
    }
    copy
}

fn same(found: f64, expected: f64) -> bool {
    (found - expected).abs() <= 1e-9 * expected.abs().max(1.0)
}

/// Drops of all paths, in volts.
fn drops(project: &Project) -> Vec<f64> {
    studies(project).drops.all().iter().map(|path| path.drop.value()).collect()
}

/// What is found of blocks, runs and places, by the name of the part without the number of its copy.
fn by_part(project: &Project) -> BTreeMap<String, usize> {
    let checked = check(project, &CODES, project.rule_set);
    let mut found = BTreeMap::new();
    let of_parts = checked.report.findings.iter().filter(|it| it.at != Part::Project);
    for finding in of_parts {
        *found.entry(without_copy(finding, project)).or_insert(0) += 1;
    }
    found
}

fn without_copy(finding: &Finding, project: &Project) -> String {
    let name = finding.at.name(&project.circuit);
    let name = ["-0", "-1", " 0", " 1"].iter().fold(name, |name, copy| name.replace(copy, ""));
    format!("{} {}@{name}#{}", finding.severity.key(), finding.rule, finding.aspect)
}

#[test]
fn two_copies_beside_each_other_have_every_finding_twice() {
    for demo in DEMOS {
        let project = file::read(demo).unwrap();
        let one = by_part(&testing::copies(&project, 1));
        let two = by_part(&testing::copies(&project, 2));
        let doubled: BTreeMap<String, usize> = one.into_iter().map(|(id, count)| (id, 2 * count)).collect();
        assert_eq!(two, doubled);
    }
}

proptest! {
    #![proptest_config(config(48))]

    #[test]
    fn twice_as_long_loses_twice_as_much(project in any_project()) {
        let shorter = with_conductors(&project, |it| it.length = it.length * 0.5);
        let (whole, half) = (drops(&project), drops(&shorter));
        prop_assert_eq!(whole.len(), half.len());
        for (whole, half) in whole.iter().zip(half) {
            prop_assert!(same(half * 2.0, *whole), "{} V, {} V at half the length", whole, half);
        }
    }

    #[test]
    fn two_cables_in_parallel_lose_half_and_carry_twice(project in any_project()) {
        let single = with_conductors(&project, |it| it.parallel = 1);
        let double = with_conductors(&project, |it| it.parallel = 2);
        for (one, two) in drops(&single).iter().zip(drops(&double)) {
            prop_assert!(same(two * 2.0, *one), "{} V, {} V with two cables", one, two);
        }
        let corrected = |project: &Project| -> BTreeMap<RunId, f64> {
            let studies = studies(project);
            let runs = project.circuit.runs().filter_map(|run| {
                let ampacity = studies.ratings.of(run.id)?.ampacity.as_ref().ok()?;
                Some((run.id, ampacity.corrected.value()))
            });
            runs.collect()
        };
        let two = corrected(&double);
        for (run, one) in corrected(&single) {
            let two = two.get(&run).copied();
            prop_assert!(two.is_some_and(|two| same(two, 2.0 * one)), "{} A, {:?} A with two cables", one, two);
        }
    }

    #[test]
    fn twice_the_strings_in_parallel_bring_twice_the_current(project in any_project()) {
        let one = with_equipment(&project, |it| {
            if let Equipment::Strings(strings) = it { strings.strings_in_parallel = 1; }
        });
        let two = with_equipment(&project, |it| {
            if let Equipment::Strings(strings) = it { strings.strings_in_parallel = 2; }
        });
        let (single, double) = (studies(&one), studies(&two));
        for run in project.circuit.runs() {
            let (Some(before), Some(after)) = (single.currents.of(run.id), double.currents.of(run.id)) else {
                continue;
            };
            for (before, after) in [(&before.from_side, &after.from_side), (&before.to_side, &after.to_side)] {
                let (before, after): (Amps, Amps) = (before.amps(Port::Strings), after.amps(Port::Strings));
                prop_assert!(same(after.value(), 2.0 * before.value()), "{}: {} and {}", run.tag, before, after);
            }
        }
    }

    #[test]
    fn twice_the_modules_in_series_bring_twice_the_voltage(project in any_project()) {
        let of = |series: u32| {
            with_equipment(&project, |it| {
                if let Equipment::Strings(strings) = it { strings.modules_in_series = series; }
            })
        };
        let (one, two) = (studies(&of(5)), studies(&of(10)));
        for block in project.circuit.blocks() {
            let cold = |studies: &Studies| studies.windows.strings(block.id).and_then(|it| it.cold_open_circuit);
            prop_assert_eq!(cold(&one).is_some(), cold(&two).is_some());
            if let (Some(one), Some(two)) = (cold(&one), cold(&two)) {
                prop_assert!(same(two.value(), 2.0 * one.value()), "{} and {}", one, two);
            }
        }
    }
}
