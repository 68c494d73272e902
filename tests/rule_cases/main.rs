//! Every rule on small circuits: what must stay silent, what must speak, and the exact limit, by hand-worked
//! figures. Each case departs from a small sound system by what matters to its rule.
#![cfg(test)]

mod battery_bus;
mod case;
mod conductors;
mod controllers;
mod overcurrent;
mod pv_voltage;
mod string_devices;
mod wiring;

use case::Case;
use lineside_acceptance::{JUDGED, bench};

const CASES: &[&[Case]] = &[
    pv_voltage::CASES,
    battery_bus::CASES,
    controllers::CASES,
    conductors::CASES,
    overcurrent::CASES,
    string_devices::CASES,
    wiring::CASES,
];

fn all() -> impl Iterator<Item = &'static Case> {
    CASES.iter().copied().flatten()
}

#[test]
fn the_systems_from_which_cases_depart_are_sound() {
    for sheet in [bench::cabin(), bench::hut()] {
        let verdict = sheet.check();
        assert_eq!(verdict.judged().count(), 0, "{}", verdict.lines());
    }
}

#[test]
fn every_case_is_as_worked_by_hand() {
    let faults: Vec<String> = all().filter_map(Case::fault).collect();
    assert!(faults.is_empty(), "{} of {} cases:\n{}", faults.len(), all().count(), faults.join("\n"));
}

#[test]
fn every_rule_has_a_case_that_passes_and_one_that_fails() {
    for rule in JUDGED {
        assert!(lineside_rules::ALL.iter().any(|it| it.id == *rule), "{rule} is no rule");
        let of_rule = || all().filter(|case| case.rule == *rule);
        assert!(of_rule().any(|case| !case.speaks()), "{rule} has no case that passes");
        assert!(of_rule().any(Case::speaks), "{rule} has no case that fails");
    }
    assert!(all().all(|case| JUDGED.contains(&case.rule)));
}
