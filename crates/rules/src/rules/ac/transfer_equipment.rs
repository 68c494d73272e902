//! Rule `transfer-equipment`.

use crate::circumstances::Circumstances;
use crate::finding::{Part, Severity, words};
use crate::report::Report;
use crate::rule::{no_remedies, rule};
use lineside_core::circuit::{Block, BlockId, RunEnd, TerminalName};
use lineside_core::kinds::common::Fitted;
use lineside_core::kinds::inside::SourceKind;
use lineside_core::kinds::inverter::{Export, Inverter};
use lineside_core::kinds::transfer_switch::TransferSwitch;
use lineside_core::units::Amps;
use lineside_core::working::{Listener, Origin, Working};
use lineside_study::{Missing, ZoneKind};
use std::collections::BTreeSet;

rule! {
    /// Standby sources come in through transfer equipment
    ///
    /// ## The harm
    /// Back-feed into a dead utility line.
    ///
    /// ## The limit
    /// Every standby source that can feed premises wiring goes through listed transfer equipment: a transfer switch, or
    /// the listed relay of an inverter-charger. It carries what is transferred: its rating is not below the greatest
    /// current of the runs on it. An inverter that gives energy to a utility is listed to leave it when it fails
    /// (UL 1741, IEEE 1547).
    ///
    /// ## What to do
    /// A transfer switch; a larger one.
    TRANSFER_EQUIPMENT {
        id: "transfer-equipment",
        severity: Danger,
        status: Stable,
        clauses: [
            Nec2023: "NEC 2023 702.5, 705.40, 710",
            Nec2020: "NEC 2020 702.5, 705.40, 710",
            Nec2017: "NEC 2017 702.5, 705.40, 710",
            Iec: "IEC 60364-5-55 cl. 551 and 551.7.5",
        ],
        check: check,
        remedies: no_remedies,
    }
}

fn check(on: &Circumstances<'_>, report: &mut Report) {
    back_feed(on, report);
    for block in on.circuit().blocks() {
        if let Some(switch) = block.equipment.as_kind::<TransferSwitch>() {
            let terminals = block.equipment.terminals().into_iter().map(|terminal| terminal.name);
            carries(on, report, block, "", switch.rating, terminals);
        }
        if let Some(inverter) = block.equipment.as_kind::<Inverter>() {
            relay(on, report, block, inverter);
            leaves_a_dead_utility(on, report, block, inverter);
        }
    }
}

/// A source that some position ties to the utility has no transfer equipment before it.
fn back_feed(on: &Circumstances<'_>, report: &mut Report) {
    let mut told: BTreeSet<BlockId> = BTreeSet::new();
    for joined in on.studies.ac_sources.joined() {
        let Some((standby, utility)) = joined.standby_to_utility().filter(|(it, _)| told.insert(*it)) else {
            continue;
        };
        let at = Part::Block(standby);
        report.holds(at, || false);
        let name = |id| Part::Block(id).name(on.circuit());
        let title = format!("{} can feed back into {}", name(standby), name(utility));
        let finding = TRANSFER_EQUIPMENT.finding(on, Severity::Danger, at, title).also(Part::Block(utility));
        report
            .find(finding.against(words("no transfer equipment between them"), words("transfer equipment")));
    }
}

fn relay(on: &Circumstances<'_>, report: &mut Report, block: &Block, inverter: &Inverter) {
    let terminals = block.equipment.terminals().into_iter().map(|terminal| terminal.name);
    let inputs: Vec<TerminalName> = terminals.filter(|name| name.stem() == "in").collect();
    if greatest(on, block, inputs.iter().copied()).is_none() {
        return;
    }
    match inverter.transfer_relay {
        Some(rating) => carries(on, report, block, "relay", rating, inputs.into_iter()),
        None => report.cannot_tell(Missing::block(block.id, "Transfer relay")),
    }
}

/// The greatest continuous current of the runs on some terminals of a block.
fn greatest(
    on: &Circumstances<'_>,
    block: &Block,
    terminals: impl Iterator<Item = TerminalName>,
) -> Option<(Amps, String)> {
    terminals
        .flat_map(|terminal| on.circuit().runs_on(RunEnd { block: block.id, terminal }))
        .filter_map(|run| Some((on.studies.currents.greatest(run.id)?, run.tag.clone())))
        .max_by(|a, b| a.0.total_cmp(&b.0))
}

fn carries(
    on: &Circumstances<'_>,
    report: &mut Report,
    block: &Block,
    aspect: &'static str,
    rating: Amps,
    terminals: impl Iterator<Item = TerminalName>,
) {
    let Some((current, run)) = greatest(on, block, terminals) else { return };
    let at = Part::Block(block.id);
    if !report.at_least(at, rating, current).fails() {
        return;
    }
    let mut working = Working::new();
    working.given("to be transferred", "I_max", current.into(), || Origin::Working(run));
    working
        .given("transfer equipment carries", "I_n", rating.into(), || Origin::Nameplate(block.tag.clone()));
    let title = format!("{} cannot carry what it transfers", block.tag);
    let finding = TRANSFER_EQUIPMENT.finding(on, Severity::Danger, at, title).aspect(aspect);
    report.find(finding.against(rating, current).working(working));
}

fn leaves_a_dead_utility(on: &Circumstances<'_>, report: &mut Report, block: &Block, inverter: &Inverter) {
    if inverter.export != Export::On || !meets_a_utility(on, block.id) {
        return;
    }
    let at = Part::Block(block.id);
    match inverter.utility_listed {
        None => report.cannot_tell(Missing::block(block.id, "Listed for the utility")),
        Some(listed) => {
            if report.holds(at, || listed == Fitted::Yes).fails() {
                let title = format!("{} is not listed to leave a utility that fails", block.tag);
                let finding = TRANSFER_EQUIPMENT.finding(on, Severity::Danger, at, title).aspect("listing");
                report.find(finding.against(words("not listed"), words("listed for the utility")));
            }
        }
    }
}

fn meets_a_utility(on: &Circumstances<'_>, inverter: BlockId) -> bool {
    on.zones(ZoneKind::Ac).any(|zone| {
        on.with_source(zone, |kind| kind == SourceKind::InverterOutput).contains(&inverter)
            && !on.with_source(zone, |kind| kind == SourceKind::Utility).is_empty()
    })
}
