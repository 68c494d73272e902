//! From what the search settled to the result of the study.

mod accounts;
mod causes;
mod currents;
mod doings;

use super::found::{Flow, Remark};
use super::outcome::{Outcome, Reason};
use super::settle::{AtRest, Settled};
use super::topology::Holds;
use crate::zones::ZoneKind;
use lineside_core::circuit::BlockId;
use std::collections::BTreeSet;

/// Writes the result.
pub(super) fn write(settled: &Settled<'_>) -> Flow {
    let currents::Currents { voltages, links, residual } = currents::of(settled);
    let (blocks, zones, balance) = accounts::of(settled, &links);
    let mut flow = Flow {
        outcome: outcome(settled),
        balance,
        residual,
        unmet: Vec::new(),
        remarks: remarks(settled),
        voltages,
        links,
        closed: settled.topology.closed.clone(),
        blocks,
        zones,
        sources: doings::sources(settled),
        controllers: doings::controllers(settled),
        inverters: doings::inverters(settled),
        converters: doings::converters(settled),
    };
    flow.unmet = doings::unmet(settled, &flow);
    flow
}

fn outcome(settled: &Settled<'_>) -> Outcome {
    let mut reasons: Vec<Reason> =
        settled.trips.iter().filter_map(|(block, trip)| Reason::of_trip(block, trip)).collect();
    for (island, holds) in settled.topology.holds.iter().enumerate() {
        match holds {
            Holds::Joined(sources) => reasons.push(Reason::Joined { sources: sources.clone() }),
            Holds::Mixed => reasons.push(Reason::Mixed { blocks: blocks_on(settled, island) }),
            Holds::Nothing | Holds::Direct | Holds::Supply(_) | Holds::Inverters(_) => {}
        }
    }
    reasons.extend(nothing_holds(settled));
    if settled.at_rest == AtRest::No {
        reasons.push(Reason::NotAtRest);
    }
    if reasons.is_empty() { Outcome::Solved } else { Outcome::NotSolved(reasons) }
}

/// The blocks of the machines on an island.
fn blocks_on(settled: &Settled<'_>, island: usize) -> Vec<BlockId> {
    let network = settled.given.network;
    let nodes = settled.topology.wiring.islands.get(island).map_or(&[][..], |it| &it.nodes);
    let stands = nodes.iter().filter(|node| network.has_source(**node) || network.has_sink(**node));
    let blocks: BTreeSet<BlockId> =
        stands.filter_map(|node| network.node(*node)).map(|node| node.block).collect();
    blocks.into_iter().collect()
}

/// Controllers in the sun that feed a circuit on which no battery is drawn at all.
fn nothing_holds(settled: &Settled<'_>) -> Vec<Reason> {
    let machines = settled.machines;
    let zones = settled.given.zones;
    let has_cells = |zone| machines.cells.iter().any(|cells| zones.of(cells.node) == Some(zone));
    let feeds = machines.controllers.iter().filter(|controller| {
        let zone = zones.of(controller.output);
        !controller.is_off
            && settled.topology.is_direct(controller.input)
            && !settled.topology.is_direct(controller.output)
            && zone.is_some_and(|zone| {
                let wired =
                    zones.get(zone).is_some_and(|it| it.nodes.len() > 1 && it.kind != ZoneKind::Mixed);
                wired && !has_cells(zone)
            })
    });
    feeds.map(|controller| Reason::NothingHolds { feeder: controller.block }).collect()
}

fn remarks(settled: &Settled<'_>) -> Vec<Remark> {
    let unknown = settled.topology.conductors.unknown.iter();
    let tags = settled.given.state.unknown_tags.iter();
    let models = settled.machines.banks.iter().filter(|bank| bank.string.is_none());
    unknown
        .map(|run| Remark::ResistanceUnknown(*run))
        .chain(tags.map(|tag| Remark::UnknownTag(tag.clone())))
        .chain(models.map(|bank| Remark::NoModel(bank.block)))
        .collect()
}
