//! What the AC rules share: the ways of inverters and generators, the panels that they feed, the devices ahead of an
//! input.

use crate::circumstances::Circumstances;
use lineside_core::circuit::{Block, BlockId, RunEnd, TerminalName};
use lineside_core::kinds::ac_panel::AcPanel;
use lineside_core::kinds::inverter::Inverter;
use lineside_study::network::PoleInBlock;
use lineside_study::ways::{self, Ways};
use lineside_study::{BankVoltages, NodeId};
use std::collections::BTreeMap;

/// The point of a terminal.
pub(super) fn node(on: &Circumstances<'_>, block: BlockId, terminal: TerminalName) -> Option<NodeId> {
    on.studies.network.at(RunEnd { block, terminal })
}

/// The point of the output of an inverter or a generator.
pub(super) fn output(on: &Circumstances<'_>, block: BlockId) -> Option<NodeId> {
    node(on, block, TerminalName::plain("out"))
}

/// Every way away from a point, up to poles of a sort.
pub(super) fn ways_from(
    on: &Circumstances<'_>,
    from: NodeId,
    is_stop: impl Fn(&PoleInBlock) -> bool,
) -> Ways {
    ways::from(on.circuit(), &on.studies.network, from, is_stop)
}

/// The blocks of sources and sinks that were reached.
pub(super) fn reached<'a>(on: &Circumstances<'a>, ways: &Ways) -> Vec<&'a Block> {
    let network = &on.studies.network;
    let mut ids: Vec<BlockId> = ways.open.iter().filter_map(|it| Some(network.node(*it)?.block)).collect();
    ids.sort_unstable();
    ids.dedup();
    ids.into_iter().filter_map(|id| on.block(id)).collect()
}

/// The inverters with the blocks that they are.
pub(super) fn inverters<'a>(
    on: &Circumstances<'a>,
) -> impl Iterator<Item = (&'a Block, &'a Inverter)> + use<'a> {
    on.circuit().blocks().filter_map(|block| Some((block, block.equipment.as_kind::<Inverter>()?)))
}

/// A panel with its block.
pub(super) type Panel<'a> = (&'a Block, &'a AcPanel);

/// The panels that an inverter or a generator feeds from its output, up to poles of a sort.
pub(super) fn panels_of<'a>(
    on: &Circumstances<'a>,
    source: BlockId,
    is_stop: impl Fn(&PoleInBlock) -> bool,
) -> Vec<Panel<'a>> {
    let Some(from) = output(on, source) else { return Vec::new() };
    let blocks = reached(on, &ways_from(on, from, is_stop)).into_iter();
    blocks.filter_map(|block| Some((block, block.equipment.as_kind::<AcPanel>()?))).collect()
}

/// A panel with the inverters that feed it.
pub(super) type Fed<'a> = (Panel<'a>, Vec<(&'a Block, &'a Inverter)>);

/// Each panel that inverters feed, with those inverters.
pub(super) fn panels_of_inverters<'a>(on: &Circumstances<'a>) -> Vec<Fed<'a>> {
    let mut found: BTreeMap<BlockId, Fed<'a>> = BTreeMap::new();
    for inverter in inverters(on) {
        for panel in panels_of(on, inverter.0.id, |_| false) {
            found.entry(panel.0.id).or_insert_with(|| (panel, Vec::new())).1.push(inverter);
        }
    }
    found.into_values().collect()
}

/// The bank on the DC side of an inverter.
pub(super) fn bank_of<'a>(
    on: &Circumstances<'a>,
    inverter: BlockId,
) -> Option<(&'a Block, &'a BankVoltages)> {
    let zone = on.studies.zones.of(on.studies.network.point(inverter, 0)?)?;
    on.highest_bank(on.studies.zones.get(zone)?).map(|(block, _, voltages)| (block, voltages))
}
