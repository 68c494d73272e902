//! Rule `wiring`.

use crate::circumstances::Circumstances;
use crate::finding::{Part, Severity, words};
use crate::report::Report;
use crate::rule::{no_remedies, rule};
use lineside_core::circuit::{Block, Potential, Run, RunEnd, Side, TerminalName};
use lineside_core::kinds::{Equipment, Kind};
use lineside_core::units::Quantity;
use lineside_study::{Zone, ZoneKind};
use std::collections::BTreeMap;

rule! {
    /// The wiring makes sense
    ///
    /// ## The harm
    /// A sheet that cannot be built, or that joins what must never be joined.
    ///
    /// ## The limit
    /// Circuits of different kinds are not joined: danger. A run does not end where it begins; two places are not
    /// joined without conductors; a terminal takes one run; no two ways lead round in a ring: corrections. Blocks that
    /// need a connection have one: correction.
    ///
    /// ## What to do
    /// Follow the run and land it where it belongs; use a bar or a junction to join several.
    WIRING {
        id: "wiring",
        severity: Danger,
        status: Stable,
        clauses: [
            Nec2023: "NEC 2023 110.3(B), 110.14(A)",
            Nec2020: "NEC 2020 110.3(B), 110.14(A)",
            Nec2017: "NEC 2017 110.3(B), 110.14(A)",
            Iec: "IEC 60364-5-51 cl. 512, IEC 60364-5-52 cl. 526",
        ],
        check: check,
        remedies: no_remedies,
    }
}

fn check(on: &Circumstances<'_>, report: &mut Report) {
    for (_, zone) in on.studies.zones.all() {
        if zone.kind == ZoneKind::Mixed {
            mixed(on, report, zone);
        }
    }
    let mut landed: BTreeMap<RunEnd, Vec<&Run>> = BTreeMap::new();
    for run in on.circuit().runs() {
        nonsense(on, report, run);
        landed.entry(run.from).or_default().push(run);
        if run.to != run.from {
            landed.entry(run.to).or_default().push(run);
        }
    }
    for (end, runs) in &landed {
        crowded(on, report, *end, runs);
    }
    rings(on, report);
    for block in on.circuit().blocks() {
        open_ends(on, report, block, &landed);
    }
}

fn mixed(on: &Circumstances<'_>, report: &mut Report, zone: &Zone) {
    let blocks = zone.blocks(&on.studies.network);
    let Some(first) = blocks.first() else { return };
    let mut kinds: Vec<&str> = zone
        .nodes
        .iter()
        .filter_map(|id| on.studies.network.node(*id))
        .filter(|node| node.potential != Potential::Any)
        .map(|node| node.potential.label())
        .collect();
    kinds.sort_unstable();
    kinds.dedup();
    let title = "Circuits that do not belong together are joined".to_owned();
    let finding = WIRING.finding(on, Severity::Danger, Part::Block(*first), title).aspect("mixed");
    let others = blocks.iter().skip(1).map(|id| Part::Block(*id));
    report.find(finding.also_all(others).against(words(kinds.join(" and ")), words("one kind of circuit")));
}

fn nonsense(on: &Circumstances<'_>, report: &mut Report, run: &Run) {
    let at = Part::Run(run.id);
    if run.from.block == run.to.block {
        let title = format!("{} ends at the block where it begins", run.tag);
        let finding = WIRING.finding(on, Severity::Correction, at, title).aspect("self");
        let end = on.circuit().end_name(run.to);
        report.find(
            finding
                .also(Part::Block(run.from.block))
                .against(words(end), words("a terminal of another block")),
        );
    }
    if run.conductor.is_none() && on.circuit().is_field_run(run) {
        let title = format!("{} joins two places without conductors", run.tag);
        let finding = WIRING.finding(on, Severity::Correction, at, title).aspect("direct");
        report.find(finding.against(words("a direct joint"), words("conductors")));
    }
}

/// Earth terminals gather; every other terminal takes one run.
fn crowded(on: &Circumstances<'_>, report: &mut Report, end: RunEnd, runs: &[&Run]) {
    let earth = on
        .block(end.block)
        .and_then(|block| block.equipment.terminals().into_iter().find(|it| it.name == end.terminal))
        .is_some_and(|terminal| terminal.potential == Potential::Earth);
    if earth || runs.len() <= 1 {
        return;
    }
    let name = on.circuit().end_name(end);
    let title = format!("{} runs land on {name}, which takes one", runs.len());
    let first = runs.first().map_or(Part::Block(end.block), |run| {
        Part::RunEnd(run.id, if run.from == end { Side::From } else { Side::To })
    });
    let finding = WIRING.finding(on, Severity::Correction, first, title).aspect("crowded");
    let others = runs.iter().skip(1).map(|run| Part::Run(run.id));
    report.find(
        finding
            .also(Part::Block(end.block))
            .also_all(others)
            .against(Quantity::count(runs.len()), Quantity::count(1)),
    );
}

/// One finding for each zone that holds a ring, at its first run.
fn rings(on: &Circumstances<'_>, report: &mut Report) {
    let mut seen = Vec::new();
    for (id, current) in on.studies.currents.all() {
        let Some(run) = on.run(id) else { continue };
        if !current.in_ring || run.from.block == run.to.block {
            continue;
        }
        let zone = on.studies.network.at(on.circuit(), run.from).and_then(|node| on.studies.zones.of(node));
        if zone.is_none() || seen.contains(&zone) {
            continue;
        }
        seen.push(zone);
        let title = format!("{} lies in a ring: how the ways share the current is not known", run.tag);
        let finding = WIRING.finding(on, Severity::Correction, Part::Run(id), title).aspect("ring");
        report.find(finding.against(words("two ways round"), words("one way")));
    }
}

/// Reports a block of which a terminal that it needs is free.
fn open_ends(
    on: &Circumstances<'_>,
    report: &mut Report,
    block: &Block,
    landed: &BTreeMap<RunEnd, Vec<&Run>>,
) {
    let is_free = |terminal: TerminalName| !landed.contains_key(&RunEnd { block: block.id, terminal });
    let free: Vec<String> = needed(block, &is_free)
        .into_iter()
        .filter(|name| is_free(*name))
        .map(|name| name.to_string())
        .collect();
    if free.is_empty() {
        return;
    }
    let title = format!("{} is not connected: {}", block.tag, free.join(", "));
    let finding = WIRING.finding(on, Severity::Correction, Part::Block(block.id), title).aspect("open");
    report.find(finding.against(words(format!("{} free", free.join(", "))), words("connected")));
}

/// The terminals that a block needs. Taps, ways, second circuits and AC inputs may stay free; what lands on them
/// decides whether their partner is needed.
fn needed(block: &Block, is_free: &impl Fn(TerminalName) -> bool) -> Vec<TerminalName> {
    let all: Vec<TerminalName> = block
        .equipment
        .terminals()
        .into_iter()
        .filter(|terminal| terminal.potential != Potential::Earth)
        .map(|terminal| terminal.name)
        .collect();
    match (&block.equipment, block.kind()) {
        (Equipment::Switch(_), _) => {
            let pairs =
                all.chunks(2).filter(|pair| all.len() <= 2 || pair.iter().any(|name| !is_free(*name)));
            pairs.flatten().copied().collect()
        }
        (Equipment::Combiner(_), _) => all.into_iter().filter(|name| name.stem() == "out").collect(),
        (Equipment::Inverter(_), _) => all.into_iter().filter(|name| name.stem() != "in").collect(),
        (Equipment::AcPanel(_), _) => all.into_iter().filter(|name| name.stem() == "feed").collect(),
        (Equipment::Junction(_) | Equipment::BusBar(_), _) => Vec::new(),
        (_, Kind::TransferSwitch) => all.into_iter().filter(|name| name.stem() != "standby").collect(),
        _ => all,
    }
}
