//! Arbitrary projects: nothing panics, nothing is infinite, nothing depends on the order in which things came.

use lineside_codes::Codes;
use lineside_core::circuit::{Circuit, Conductor, Place, Run};
use lineside_core::edit::{Edit, apply};
use lineside_core::project::{Project, RuleSet};
use lineside_core::units::{Celsius, CelsiusSpan, ConductorSize};
use lineside_core::{file, stock, testing};
use lineside_rules::{Amount, Checked, check};
use lineside_study::ZoneKind;
use proptest::prelude::*;
use std::collections::{BTreeMap, BTreeSet};
use std::sync::LazyLock;

static CODES: LazyLock<Codes> = LazyLock::new(|| Codes::load().unwrap());

const DEMOS: [&str; 4] = [
    include_str!("../../assets/demos/cabin.lineside"),
    include_str!("../../assets/demos/home.lineside"),
    include_str!("../../assets/demos/hut.lineside"),
    include_str!("../../assets/demos/as-found.lineside"),
];

/// Something drawn from nothing, or a whole system after some edits without sense.
fn any_project() -> impl Strategy<Value = Project> {
    let stock = stock::built_in().unwrap();
    let demos: Vec<Project> = DEMOS.iter().map(|text| file::read(text).unwrap()).collect();
    let spoiled = (prop::sample::select(demos), prop::collection::vec(testing::wish(), 0..16)).prop_map(
        move |(mut project, wishes)| {
            for wish in wishes {
                if let Some(edit) = wish.edit(&project, &stock) {
                    let _refused = apply(&mut project, edit);
                }
            }
            project
        },
    );
    prop_oneof![testing::project(0..60), spoiled]
}

/// No file of failures: a failing project becomes a test of its own.
fn config(cases: u32) -> ProptestConfig {
    ProptestConfig { cases, failure_persistence: None, max_shrink_iters: 400, ..ProptestConfig::default() }
}

fn ids(checked: &Checked, circuit: &Circuit) -> Vec<String> {
    checked.report.findings.iter().map(|finding| finding.id(circuit)).collect()
}

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

    #[test]
    fn a_larger_conductor_never_adds_a_finding_of_its_ampacity(project in any_project()) {
        let enlarged = with_conductors(&project, |_, conductor| conductor.size = larger(conductor.size));
        for set in RuleSet::ALL {
            let of = |project: &Project| -> BTreeSet<String> {
                let checked = check(project, &CODES, set);
                let ids = ids(&checked, &project.circuit).into_iter();
                ids.filter(|id| id.starts_with("conductor-corrected-ampacity@")).collect()
            };
            let (before, after) = (of(&project), of(&enlarged));
            prop_assert!(after.is_subset(&before), "{:?} came", after.difference(&before));
        }
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
