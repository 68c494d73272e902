//! Rule `equipment-disconnect-kind`.

use crate::circumstances::Circumstances;
use crate::finding::{Part, Severity, words};
use crate::report::Report;
use crate::rule::{no_remedies, rule};
use crate::rules::conductors::support::current_working;
use crate::rules::disconnects::support::{Around, Nearness, Standing, around, standing};
use lineside_codes::FactorKey;
use lineside_codes::resistance::CurrentKind;
use lineside_core::circuit::{Block, Potential, RunEnd, RunId, TerminalName};
use lineside_core::kinds::Kind;
use lineside_core::kinds::inside::Disconnects;
use lineside_core::units::Amps;
use lineside_core::working::{Listener, Origin, Working};
use lineside_study::{Missing, NodeId};

rule! {
    /// Equipment has the right kind of disconnect at hand
    ///
    /// ## The harm
    /// A plug connector or fuse that is pulled under load draws an arc.
    ///
    /// ## The limit
    /// Every DC circuit of a controller, converter, inverter or combiner has a device in it or in sight of it, or one that can
    /// be locked open. Up to 30 A one that isolates without load will do; above, it opens under load. That an inverter has a
    /// device at all is looked at on all of its sides together.
    ///
    /// ## What to do
    /// A switch at the equipment.
    EQUIPMENT_DISCONNECT_KIND {
        id: "equipment-disconnect-kind",
        severity: Correction,
        status: Stable,
        clauses: [
            Nec2023: "NEC 2023 690.15",
            Nec2020: "NEC 2020 690.15(A) to (D)",
            Nec2017: "NEC 2017 690.15(A) to (D)",
            Iec: "IEC 62548-1 cl. 7.3",
        ],
        check: check,
        remedies: no_remedies,
    }
}

fn check(on: &Circumstances<'_>, report: &mut Report) {
    for block in on.circuit().blocks() {
        let combiner = block.kind() == Kind::Combiner;
        let converter = matches!(block.kind(), Kind::ChargeController | Kind::DcConverter | Kind::Inverter);
        if !combiner && !converter {
            continue;
        }
        for terminal in block.equipment.terminals() {
            let direct = matches!(terminal.potential, Potential::Pv | Potential::Battery);
            if direct && (converter || terminal.name.stem() == "out") {
                circuit(on, report, block, terminal.name);
            }
        }
    }
}

fn circuit(on: &Circumstances<'_>, report: &mut Report, block: &Block, terminal: TerminalName) {
    let network = &on.studies.network;
    let Some(node) = network.at(RunEnd { block: block.id, terminal }) else { return };
    let runs = network.runs_at(node);
    let current = runs.filter_map(|run| Some((run, on.studies.currents.greatest(run)?)));
    let Some((run, current)) = current.max_by(|a, b| a.1.total_cmp(&b.1)) else { return };
    let limit: Amps = on.limit(FactorKey::IsolatingDeviceCurrent);
    let at = Part::Block(block.id);
    let name = format!("{}.{terminal}", block.tag);
    let isolates = at_hand(on, block, node, Disconnects::WithoutLoad);
    let opens = if current > limit { at_hand(on, block, node, Disconnects::UnderLoad) } else { isolates };
    match (opens, isolates) {
        (Hand::Yes, _) => {
            if current <= limit {
                report.at_most(at, current, limit);
            } else {
                report.holds(at, || true);
            }
        }
        (_, Hand::Yes) => {
            report.at_most(at, current, limit);
            kind(on, report, block, &name, run, current, limit);
        }
        (Hand::Untold(missing), _) | (_, Hand::Untold(missing)) => report.cannot_tell(missing),
        (Hand::No, Hand::No) if block.kind() != Kind::Inverter => {
            report.holds(at, || false);
            let title = format!("No device at hand cuts {name} off");
            let finding = EQUIPMENT_DISCONNECT_KIND.finding(on, Severity::Correction, at, title);
            let finding = finding.aspect(terminal.stem()).also(Part::Run(run));
            report.find(finding.against(words("none in sight"), words("a disconnect in sight")));
        }
        (Hand::No, Hand::No) => {}
    }
}

fn kind(
    on: &Circumstances<'_>,
    report: &mut Report,
    block: &Block,
    name: &str,
    run: RunId,
    current: Amps,
    limit: Amps,
) {
    let mut working = Working::new();
    if let Some(run) = on.run(run) {
        current_working(on, run, &mut working);
    }
    working.given("isolating devices to", "I_most", limit.into(), || {
        Origin::Table(on.on.clause(FactorKey::IsolatingDeviceCurrent).to_owned())
    });
    let title = format!("{name} is only isolated, and not opened under load");
    let at = Part::Block(block.id);
    let finding = EQUIPMENT_DISCONNECT_KIND.finding(on, Severity::Correction, at, title).aspect("load");
    report.find(finding.also(Part::Run(run)).against(current, limit).working(working));
}

/// Whether a circuit is cut off by devices at hand.
#[derive(Clone, Copy, PartialEq)]
enum Hand {
    Yes,
    No,
    Untold(Missing),
}

fn at_hand(on: &Circumstances<'_>, block: &Block, node: NodeId, how: Disconnects) -> Hand {
    let found = around(on, node, CurrentKind::Direct, how);
    if block.kind() == Kind::Combiner {
        return of_combiner(on, block, &found);
    }
    if found.open.is_empty() { near(on, block, &found) } else { Hand::No }
}

/// All of the devices stand at hand.
fn near(on: &Circumstances<'_>, block: &Block, found: &Around<'_>) -> Hand {
    let mut hand = Hand::Yes;
    for means in &found.means {
        match standing(on, block.id, means, Nearness::SameLocation) {
            Standing::Near | Standing::Locked => {}
            Standing::Far(_) | Standing::Elsewhere => return Hand::No,
            Standing::Untold(missing) => hand = Hand::Untold(missing),
        }
    }
    hand
}

/// A combiner's output is cut off from the strings by its ways, or from the rest by a device at hand.
fn of_combiner(on: &Circumstances<'_>, block: &Block, found: &Around<'_>) -> Hand {
    let network = &on.studies.network;
    if !found.open.iter().any(|node| network.has_source(*node)) {
        return Hand::Yes;
    }
    if found.open.iter().any(|node| network.has_sink(*node)) {
        return Hand::No;
    }
    near(on, block, found)
}
