//! Rule `parallel-conductors`.

use crate::circumstances::Circumstances;
use crate::finding::{Finding, Part, Severity, words};
use crate::remedy::Proposal;
use crate::report::Report;
use crate::rule::rule;
use crate::rules::conductors::support::larger_conductor;
use lineside_codes::tables::SizeKey;
use lineside_core::circuit::{Conductor, Run, Side};
use lineside_core::units::{CircularMils, ConductorSize, Quantity};
use lineside_core::working::{Listener, Origin, Working};
use std::collections::BTreeMap;

rule! {
    /// Conductors in parallel are large enough, and alike
    ///
    /// ## The harm
    /// Unequal halves: one of them carries most of the current.
    ///
    /// ## The limit
    /// In parallel only from 1/0 AWG (IEC: 16 mm²) up; of the same length, metal, size, insulation and strands.
    ///
    /// ## What to do
    /// One larger conductor; two of 1/0 AWG or more.
    PARALLEL_CONDUCTORS {
        id: "parallel-conductors",
        severity: Correction,
        status: Stable,
        clauses: [
            Nec2023: "NEC 2023 310.10(G)",
            Nec2020: "NEC 2020 310.10(G)",
            Nec2017: "NEC 2017 310.10(H)",
            Iec: "IEC 60364-5-52 cl. 523.7, IEC 60364-4-43 annex A",
        ],
        check: check,
        remedies: remedies,
    }
}

fn check(on: &Circumstances<'_>, report: &mut Report) {
    let mut side_by_side: BTreeMap<_, Vec<(&Run, &Conductor)>> = BTreeMap::new();
    for (run, conductor) in on.conductors() {
        let ends = Side::BOTH.map(|side| on.studies.network.run_end(run.id, side));
        if let [Some(a), Some(b)] = ends {
            side_by_side.entry((a.min(b), a.max(b))).or_default().push((run, conductor));
        }
    }
    for (run, conductor) in on.conductors().filter(|(_, conductor)| conductor.parallel > 1) {
        large_enough(on, report, run, conductor, Quantity::count(conductor.parallel as usize));
    }
    for runs in side_by_side.values() {
        let Some(((first, like), others)) = runs.split_first() else { continue };
        if others.is_empty() {
            continue;
        }
        for (run, conductor) in runs.iter().filter(|(_, conductor)| conductor.parallel <= 1) {
            large_enough(on, report, run, conductor, Quantity::count(runs.len()));
        }
        for (run, conductor) in others {
            alike(on, report, (first, like), (run, conductor));
        }
    }
}

fn large_enough(
    on: &Circumstances<'_>,
    report: &mut Report,
    run: &Run,
    conductor: &Conductor,
    together: Quantity,
) {
    let Some(least) = on.codes().common.sizes.find(on.rule_set(), SizeKey::ParallelSmallest) else { return };
    let at = Part::Run(run.id);
    let (area, needed) = (area_of(on, conductor.size), area_of(on, least.value));
    if !report.at_least(at, area, needed).fails() {
        return;
    }
    let mut working = Working::new();
    working.given("conductors in parallel", "n", together, || Origin::Setting(run.tag.clone()));
    working.given("area of each", "A", area.into(), || Origin::Setting(run.tag.clone()));
    working.given("smallest that may be paralleled", "A_least", needed.into(), || {
        Origin::Table(format!("{}: {}", least.source, least.value))
    });
    let title = format!("The conductors of {} are too small to be paralleled", run.tag);
    let finding = PARALLEL_CONDUCTORS.finding(on, Severity::Correction, at, title);
    report.find(finding.against(area, needed).working(working));
}

/// By the NEC's table of conductors where the size is one of its own, so that equal sizes are equal to the digit.
fn area_of(on: &Circumstances<'_>, size: ConductorSize) -> CircularMils {
    on.codes().nec.conductor_properties.circular_mils(size).map_or(size.area(), |found| found.value)
}

/// Two runs between the same two points share the current, so they must be alike.
fn alike(
    on: &Circumstances<'_>,
    report: &mut Report,
    (first, a): (&Run, &Conductor),
    (second, b): (&Run, &Conductor),
) {
    let at = Part::Run(second.id);
    let unlike: Vec<&str> = [
        ("size", a.size == b.size && a.parallel == b.parallel),
        ("length", a.length == b.length),
        ("metal", a.metal == b.metal),
        ("insulation", a.insulation == b.insulation),
        ("strands", a.stranding == b.stranding),
    ]
    .into_iter()
    .filter_map(|(what, same)| (!same).then_some(what))
    .collect();
    if report.holds(at, || unlike.is_empty()).fails() {
        let title = format!("{} and {} share a current and are not alike", first.tag, second.tag);
        let finding = PARALLEL_CONDUCTORS.finding(on, Severity::Correction, at, title).aspect("alike");
        let found = words(format!("another {}", unlike.join(", ")));
        report.find(finding.also(Part::Run(first.id)).against(found, words("alike")));
    }
}

fn remedies(on: &Circumstances<'_>, finding: &Finding) -> Vec<Proposal> {
    if finding.aspect == "alike" { Vec::new() } else { larger_conductor(on, finding) }
}
