//! Rule `wiring`.

use crate::circumstances::Circumstances;
use crate::finding::{Part, Severity, words};
use crate::report::Report;
use crate::rule::{no_remedies, rule};
use lineside_core::circuit::{Block, Potential, Run, RunEnd, Side, Terminal, TerminalName};
use lineside_core::kinds::Kind;
use lineside_core::units::Quantity;
use lineside_study::{Zone, ZoneKind};

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
    for run in on.circuit().runs() {
        nonsense(on, report, run);
    }
    rings(on, report);
    let network = &on.studies.network;
    for block in on.circuit().blocks() {
        let terminals = block.equipment.terminals();
        let landed: Vec<usize> = (0..terminals.len())
            .map(|point| network.point(block.id, point).map_or(0, |node| network.runs_at(node).count()))
            .collect();
        for (terminal, count) in terminals.iter().zip(&landed) {
            if *count > 1 && terminal.potential != Potential::Earth {
                crowded(on, report, RunEnd { block: block.id, terminal: terminal.name });
            }
        }
        open_ends(on, report, block, &terminals, &landed);
    }
}

/// At the first run of the zone: a block may have a part in several such zones, a run lies in one.
fn mixed(on: &Circumstances<'_>, report: &mut Report, zone: &Zone) {
    let network = &on.studies.network;
    let blocks = zone.blocks(network);
    let Some(first) = zone.nodes.iter().flat_map(|node| network.runs_at(*node)).min() else { return };
    let mut kinds: Vec<&str> = zone
        .nodes
        .iter()
        .filter_map(|id| network.node(*id))
        .filter(|node| node.potential != Potential::Any)
        .map(|node| node.potential.label())
        .collect();
    kinds.sort_unstable();
    kinds.dedup();
    let title = "Circuits that do not belong together are joined".to_owned();
    let finding = WIRING.finding(on, Severity::Danger, Part::Run(first), title).aspect("mixed");
    let blocks = blocks.iter().map(|id| Part::Block(*id));
    report.find(finding.also_all(blocks).against(words(kinds.join(" and ")), words("one kind of circuit")));
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
fn crowded(on: &Circumstances<'_>, report: &mut Report, end: RunEnd) {
    let runs = on.circuit().runs_on(end);
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
        let zone = on.studies.network.run_end(run.id, Side::From).and_then(|node| on.studies.zones.of(node));
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
    terminals: &[Terminal],
    landed: &[usize],
) {
    let power: Vec<(TerminalName, usize)> = terminals
        .iter()
        .zip(landed)
        .filter(|(terminal, _)| terminal.potential != Potential::Earth)
        .map(|(terminal, count)| (terminal.name, *count))
        .collect();
    if power.iter().all(|(_, count)| *count > 0) {
        return;
    }
    let free: Vec<String> = needed(block, &power).into_iter().map(|name| name.to_string()).collect();
    if free.is_empty() {
        return;
    }
    let title = format!("{} is not connected: {}", block.tag, free.join(", "));
    let finding = WIRING.finding(on, Severity::Correction, Part::Block(block.id), title).aspect("open");
    report.find(finding.against(words(format!("{} free", free.join(", "))), words("connected")));
}

/// The free terminals that a block needs. Taps, ways, second circuits and AC inputs may stay free; of a switch
/// the circuits that are used need both ends.
fn needed(block: &Block, power: &[(TerminalName, usize)]) -> Vec<TerminalName> {
    let free = |wanted: &dyn Fn(TerminalName) -> bool| {
        power.iter().filter(|(name, count)| *count == 0 && wanted(*name)).map(|(name, _)| *name).collect()
    };
    match block.kind() {
        Kind::Switch => power
            .chunks(2)
            .filter(|pair| power.len() <= 2 || pair.iter().any(|(_, count)| *count > 0))
            .flatten()
            .filter(|(_, count)| *count == 0)
            .map(|(name, _)| *name)
            .collect(),
        Kind::Combiner => free(&|name| name.stem() == "out"),
        Kind::Inverter => free(&|name| name.stem() != "in"),
        Kind::AcPanel => free(&|name| name.stem() == "feed"),
        Kind::TransferSwitch => free(&|name| name.stem() != "standby"),
        Kind::Junction | Kind::BusBar => Vec::new(),
        Kind::Strings
        | Kind::ChargeController
        | Kind::BatteryBank
        | Kind::Breaker
        | Kind::Fuse
        | Kind::DcConverter
        | Kind::DcLoad
        | Kind::Generator
        | Kind::Utility
        | Kind::Meter
        | Kind::SurgeArrester
        | Kind::GroundFaultDevice
        | Kind::ShutdownInitiator
        | Kind::ShutdownReceiver
        | Kind::Electrode
        | Kind::BondingJumper => free(&|_| true),
    }
}
