//! Arbitrary projects: nothing panics, nothing is infinite, nothing depends on the order in which things came.

use crate::arbitrary::{CODES, any_project, config, ids};
use lineside_core::circuit::{Circuit, Conductor, Place, Run};
use lineside_core::edit::{Edit, apply};
use lineside_core::file;
use lineside_core::project::{Project, RuleSet};
use lineside_core::units::{Celsius, CelsiusSpan, ConductorSize};
use lineside_rules::{Amount, Checked, Part, check};
use lineside_study::ZoneKind;
use proptest::prelude::*;
use std::collections::{BTreeMap, BTreeSet};

/// Every number of a report that is not finite, with where it stands.
fn infinite(checked: &Checked, circuit: &Circuit) -> Vec<String> {
    let mut found = Vec::new();
    for finding in &checked.report.findings {
        for (what, amount) in [("found", &finding.found), ("allowed", &finding.allowed)] {
            if let Amount::Quantity(quantity) = amount
                && !quantity.value.is_finite()
            {
                found.push(format!("{} {what}", finding.id(circuit)));
            }
        }
        let lines = finding.working.lines.iter().filter(|line| !line.value.value.is_finite());
        found.extend(lines.map(|line| format!("{} {}", finding.id(circuit), line.symbol)));
    }
    let compared = &checked.report.compared;
    let pairs = compared.iter().filter(|it| !it.found.value.is_finite() || !it.allowed.value.is_finite());
    found.extend(pairs.map(|it| format!("{}@{}", it.rule, it.at.name(circuit))));
    found
}

/// The same project, its blocks and runs inserted in another order.
fn in_another_order(project: &Project, order: &[prop::sample::Index]) -> Project {
    let mut edits: Vec<Edit> = Vec::new();
    let mut places: Vec<&Place> = project.circuit.places().collect();
    // A place within another comes after it.
    let depth = |place: &Place| {
        let mut within = place.within;
        let mut depth = 0;
        while let Some(outer) = within.and_then(|id| project.circuit.place(id)) {
            within = outer.within;
            depth += 1;
        }
        depth
    };
    places.sort_by_key(|place| depth(place));
    edits.extend(places.into_iter().map(|place| Edit::InsertPlace(Box::new(place.clone()))));
    let mut blocks: Vec<_> = project.circuit.blocks().cloned().collect();
    let mut runs: Vec<_> = project.circuit.runs().cloned().collect();
    for (i, index) in order.iter().enumerate() {
        if !blocks.is_empty() {
            let at = index.index(blocks.len());
            let last = i % blocks.len();
            blocks.swap(at, last);
        }
        if !runs.is_empty() {
            let at = index.index(runs.len());
            let last = i % runs.len();
            runs.swap(at, last);
        }
    }
    edits.extend(blocks.into_iter().map(|block| Edit::InsertBlock(Box::new(block))));
    edits.extend(runs.into_iter().map(|run| Edit::InsertRun(Box::new(run))));
    let mut copy = Project { circuit: Circuit::default(), last_id: 0, ..project.clone() };
    for edit in edits {
        apply(&mut copy, edit).unwrap();
    }
    copy
}

/// The text of a project with the items of a list in another order.
fn in_file_order(text: &str, list: &str, order: &[prop::sample::Index]) -> String {
    let (open, close) = (format!("\n    {list}: [\n"), "\n    ],\n");
    let Some((before, rest)) = text.split_once(&open) else { return text.to_owned() };
    if rest.starts_with("    ]") {
        return text.to_owned();
    }
    let (inside, after) = rest.split_once(close).unwrap();
    let mut items: Vec<&str> = inside.split_inclusive("\n        ),").collect();
    for (i, index) in order.iter().enumerate() {
        let (at, last) = (index.index(items.len()), i % items.len());
        items.swap(at, last);
    }
    let items: Vec<&str> = items.iter().map(|item| item.trim_start_matches('\n')).collect();
    format!("{before}{open}{}{close}{after}", items.join("\n"))
}

/// The rules by which a run is too small for what it carries or for its device.
const AMPACITY: &[&str] = &[
    "conductor-continuous-ampacity",
    "conductor-corrected-ampacity",
    "terminal-temperature",
    "small-conductor-limit",
    "overcurrent-protects-conductor",
    "both-ends-overcurrent",
];

/// Runs that are too small by one of them.
fn too_small(project: &Project, set: RuleSet) -> BTreeSet<String> {
    let checked = check(project, &CODES, set);
    let of_family =
        checked.report.findings.iter().filter(|it| AMPACITY.contains(&it.rule) && it.aspect.is_empty());
    of_family
        .map(|it| match it.at {
            Part::RunEnd(run, _) | Part::Run(run) => Part::Run(run).name(&project.circuit),
            part @ (Part::Block(_) | Part::Place(_) | Part::Project) => part.name(&project.circuit),
        })
        .collect()
}

/// The next larger size of the same kind.
fn larger(size: ConductorSize) -> ConductorSize {
    let sizes = [
        "14",
        "12",
        "10",
        "8",
        "6",
        "4",
        "3",
        "2",
        "1",
        "1/0",
        "2/0",
        "3/0",
        "4/0",
        "250 kcmil",
        "500 kcmil",
    ];
    let metric = ["4 mm²", "6 mm²", "10 mm²", "16 mm²", "25 mm²", "35 mm²", "50 mm²", "70 mm²", "95 mm²"];
    let all = if size.system() == ConductorSize::Metric(40).system() { metric.as_slice() } else { &sizes };
    let next =
        all.iter().map(|text| ConductorSize::read(text).unwrap()).find(|other| other.area() > size.area());
    next.unwrap_or(size)
}

fn with_conductors(project: &Project, change: impl Fn(&Run, &mut Conductor)) -> Project {
    let mut copy = project.clone();
    for run in project.circuit.runs() {
        let mut run = run.clone();
        if let Some(mut conductor) = run.conductor.take() {
            change(&run, &mut conductor);
            run.conductor = Some(conductor);
            apply(&mut copy, Edit::SetRun(Box::new(run))).unwrap();
        }
    }
    copy
}

fn at_record_low(project: &Project, low: f64) -> Project {
    let mut copy = project.clone();
    let mut brief = copy.brief.clone();
    brief.site.record_low = Some(Celsius::new(low));
    apply(&mut copy, Edit::SetBrief(Box::new(brief))).unwrap();
    copy
}

proptest! {
    #![proptest_config(config(64))]

    #[test]
    fn nothing_panics_and_every_number_is_finite(project in any_project()) {
        for set in RuleSet::ALL {
            let checked = check(&project, &CODES, set);
            prop_assert_eq!(infinite(&checked, &project.circuit), Vec::<String>::new());
        }
    }

    #[test]
    fn an_id_names_one_finding(project in any_project()) {
        for set in RuleSet::ALL {
            let mut ids = ids(&check(&project, &CODES, set), &project.circuit);
            ids.sort_unstable();
            let twice: Vec<_> = ids.windows(2).filter(|pair| pair[0] == pair[1]).collect();
            prop_assert!(twice.is_empty(), "{:?}", twice);
        }
    }

    #[test]
    fn findings_do_not_depend_on_the_order_of_insertion(
        project in any_project(),
        order in prop::collection::vec(any::<prop::sample::Index>(), 0..60),
    ) {
        let other = in_another_order(&project, &order);
        let (one, two) = (check(&project, &CODES, project.rule_set), check(&other, &CODES, project.rule_set));
        prop_assert_eq!(ids(&one, &project.circuit), ids(&two, &other.circuit));
        prop_assert_eq!(one, two);
    }

    #[test]
    fn the_same_project_gives_the_same_findings(project in any_project()) {
        let again = project.clone();
        prop_assert_eq!(check(&project, &CODES, project.rule_set), check(&again, &CODES, project.rule_set));
    }

    /// By run, since one rule of the family speaks where another is silent: the cooler terminal only where the other would
    /// have done, the small conductor before its device.
    #[test]
    fn a_larger_conductor_never_adds_a_finding_of_its_ampacity(project in any_project()) {
        let enlarged = with_conductors(&project, |_, conductor| conductor.size = larger(conductor.size));
        for set in RuleSet::ALL {
            let (before, after) = (too_small(&project, set), too_small(&enlarged, set));
            prop_assert!(after.is_subset(&before), "{:?} came", after.difference(&before));
        }
    }

    #[test]
    fn a_second_conductor_in_parallel_never_adds_a_finding_of_its_ampacity(project in any_project()) {
        let doubled = with_conductors(&project, |_, conductor| conductor.parallel = (conductor.parallel * 2).min(12));
        for set in RuleSet::ALL {
            let (before, after) = (too_small(&project, set), too_small(&doubled, set));
            prop_assert!(after.is_subset(&before), "{:?} came", after.difference(&before));
        }
    }

    #[test]
    fn findings_do_not_depend_on_the_order_in_the_file(
        project in any_project(),
        order in prop::collection::vec(any::<prop::sample::Index>(), 1..60),
    ) {
        let text = file::write(&project).unwrap();
        let mixed = ["places", "blocks", "runs"].iter().fold(text, |text, list| in_file_order(&text, list, &order));
        let other = file::read(&mixed).unwrap();
        prop_assert_eq!(&other.circuit, &project.circuit);
        let (one, two) = (check(&project, &CODES, project.rule_set), check(&other, &CODES, project.rule_set));
        prop_assert_eq!(one, two);
    }

    #[test]
    fn a_colder_site_never_lowers_the_top_of_an_array(
        project in any_project(),
        low in -60.0..30.0_f64,
        colder in 0.0..30.0_f64,
    ) {
        let tops = |project: &Project| -> BTreeMap<String, f64> {
            let checked = check(project, &CODES, project.rule_set);
            let windows = checked.studies.windows.all().filter(|window| window.kind == ZoneKind::Pv);
            windows
                .filter_map(|window| {
                    let zone = checked.studies.zones.get(window.zone)?;
                    let name = zone.name(&checked.studies.network, &project.circuit);
                    Some((name, window.highest()?.value()))
                })
                .collect()
        };
        let warm = tops(&at_record_low(&project, low));
        let below = Celsius::new(low).warmer_by(CelsiusSpan::new(-colder));
        let cold = tops(&at_record_low(&project, below.value().max(-70.0)));
        for (zone, top) in &warm {
            let colder_top = cold.get(zone).copied().unwrap_or(0.0);
            prop_assert!(colder_top >= top - 1e-9, "{}: {} V, {} V when it is colder", zone, top, colder_top);
        }
    }
}
