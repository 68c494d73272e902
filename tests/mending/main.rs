//! Mending: the demo for training, and generated circuits with faults, are mended to no danger and no correction; no
//! remedy brings a worse finding; a remedy that is undone leaves the project as it was.
#![expect(clippy::panic, reason = "only tests mend here; a mistake must stop them")]

mod circuits;
mod dice;
mod faults;

use circuits::{objections, sound};
use dice::Dice;
use faults::Scene;
use lineside_codes::Codes;
use lineside_core::edit::{History, apply};
use lineside_core::file;
use lineside_core::project::{Project, StockItem};
use lineside_core::stock;
use lineside_rules::mend::{Mended, Subject, mend, remedies};
use lineside_rules::{Finding, Severity, check};
use std::collections::{BTreeMap, BTreeSet};
use std::sync::LazyLock;

static CODES: LazyLock<Codes> = LazyLock::new(|| Codes::load().unwrap_or_else(|error| panic!("{error}")));
static STOCK: LazyLock<Vec<StockItem>> =
    LazyLock::new(|| stock::built_in().unwrap_or_else(|error| panic!("{error}")));

const AS_FOUND: &str = include_str!("../../assets/demos/as-found.lineside");

/// Generated circuits.
const CIRCUITS: usize = 240;
/// Of a hundred, how many must be mended to no danger and no correction.
const SHARE: usize = 95;

fn as_found() -> Project {
    file::read(AS_FOUND).unwrap_or_else(|error| panic!("{error}"))
}

fn left(mended: &Mended) -> Vec<String> {
    let worse = mended.checked.report.findings.iter().filter(|it| it.severity < Severity::Advice);
    worse.map(|it| format!("{}: {}", it.id(&mended.project.circuit), it.title)).collect()
}

#[test]
fn the_demo_for_training_is_mended() {
    let project = as_found();
    assert!(objections(&project, &CODES) > 40);
    let mended = mend(&project, &CODES, &STOCK);
    assert!(left(&mended).is_empty(), "{}", left(&mended).join("\n"));
    assert_eq!(mend(&project, &CODES, &STOCK), mended, "the same project is mended the same way");
    let mut replayed = project;
    for step in &mended.steps {
        apply(&mut replayed, step.edit.clone()).unwrap_or_else(|refusal| panic!("{}: {refusal}", step.label));
        assert!(step.gone.contains(&step.against), "{} clears {}", step.label, step.against);
    }
    assert_eq!(replayed, mended.project);
}

/// A sound circuit with one to three faults, of which at least one is found.
fn faulty(seed: u64) -> (Project, Vec<&'static str>) {
    let mut dice = Dice::new(seed);
    loop {
        let mut project = sound(&mut dice, &CODES, &STOCK);
        let mut names = Vec::new();
        for _ in 0..=dice.below(3) {
            let Some((name, fault)) = dice.pick(faults::ALL) else { continue };
            let edit = fault(&mut dice, &Scene { project: &project, stock: &STOCK });
            if edit.is_some_and(|edit| apply(&mut project, edit).is_ok()) {
                names.push(*name);
            }
        }
        if objections(&project, &CODES) > 0 {
            return (project, names);
        }
    }
}

#[test]
fn generated_circuits_with_faults_are_mended() {
    let mut mended_count = 0;
    let mut failures: BTreeMap<String, Vec<String>> = BTreeMap::new();
    let mut kinds: BTreeSet<&'static str> = BTreeSet::new();
    for seed in 0..CIRCUITS {
        let (project, names) = faulty(u64::try_from(seed).unwrap_or(0));
        kinds.extend(&names);
        let mended = mend(&project, &CODES, &STOCK);
        let mut replayed = project.clone();
        for step in &mended.steps {
            apply(&mut replayed, step.edit.clone())
                .unwrap_or_else(|refusal| panic!("{}: {refusal}", step.label));
        }
        assert_eq!(replayed, mended.project, "the steps of {seed} make the mended project");
        let left = left(&mended);
        if left.is_empty() {
            mended_count += 1;
        }
        for line in left {
            let rule = line.split('@').next().unwrap_or_default().to_owned();
            failures.entry(rule).or_default().push(format!("{seed} {line} ({})", names.join(", ")));
        }
    }
    let listed: Vec<String> = failures.into_values().flatten().collect();
    println!("{mended_count} of {CIRCUITS} mended, {} kinds of faults\n{}", kinds.len(), listed.join("\n"));
    assert!(kinds.len() * 4 > faults::ALL.len() * 3, "{} kinds of faults", kinds.len());
    assert!(
        mended_count * 100 >= CIRCUITS * SHARE,
        "{mended_count} of {CIRCUITS} mended; left:\n{}",
        listed.join("\n")
    );
}

/// Every remedy is asked of its edit: made, checked anew and undone.
#[test]
fn remedies_bring_nothing_worse_and_can_be_undone() {
    let projects = (1000..1012).map(|seed| faulty(seed).0).chain([as_found()]);
    let mut tried = 0;
    for project in projects {
        let checked = check(&project, &CODES, project.rule_set);
        let subject = Subject { project: &project, codes: &CODES, stock: &STOCK, checked: &checked };
        let worse = checked.report.findings.iter().filter(|it| it.severity < Severity::Advice);
        for finding in worse.take(12) {
            for remedy in remedies(&subject, finding, project.units) {
                let mut copy = project.clone();
                let mut history = History::new();
                history
                    .make(&mut copy, remedy.label.clone(), remedy.edit.clone(), None)
                    .unwrap_or_else(|refusal| panic!("{}: {refusal}", remedy.label));
                let after = check(&copy, &CODES, copy.rule_set).report.findings;
                let wanted = finding.id(&project.circuit);
                assert!(
                    !after.iter().any(|it| it.id(&copy.circuit) == wanted),
                    "{} clears {wanted}",
                    remedy.label
                );
                // Labels follow from every change; they are made anew at its end.
                let worse = |it: &&Finding| it.severity < Severity::Advice && it.rule != "labels";
                for it in after.iter().filter(worse) {
                    let id = it.id(&copy.circuit);
                    let before = checked.report.findings.iter().find(|it| it.id(&project.circuit) == id);
                    assert!(
                        before.is_some_and(|before| before.severity <= it.severity),
                        "{} brings {id}",
                        remedy.label
                    );
                }
                assert_eq!(remedy.goes.first(), Some(&wanted));
                assert!(!remedy.changes.is_empty(), "{} changes something", remedy.label);
                history.undo(&mut copy);
                assert_eq!(copy, project, "{} is undone", remedy.label);
                assert_eq!(file::write(&copy).ok(), file::write(&project).ok());
                tried += 1;
            }
        }
    }
    assert!(tried > 60, "{tried} remedies");
}
