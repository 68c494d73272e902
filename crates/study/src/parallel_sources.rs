//! Which exporting inverters share a bus with the utility: those whose way to it leads through the main breaker of a
//! panel. What the bus may carry is in the rules.

use crate::conditions::Conditions;
use crate::network::Network;
use crate::ways;
use crate::zones::{Zone, ZoneKind, Zones};
use lineside_core::circuit::{Block, BlockId, RunEnd, TerminalName};
use lineside_core::kinds::ac_panel::AcPanel;
use lineside_core::kinds::inside::SourceKind;
use lineside_core::kinds::inverter::{Export, Inverter};
use lineside_core::kinds::{Kind, OfKind};
use lineside_core::units::Amps;
use std::collections::BTreeSet;

/// A block with its equipment.
pub type Of<'a, T> = (&'a Block, &'a T);

/// A panel with a main breaker between the utility and inverters that run in parallel with it.
#[derive(Clone, Debug)]
pub struct SharedBus<'a> {
    /// The panel.
    pub panel: Of<'a, AcPanel>,
    /// Rating of its main breaker.
    pub main: Amps,
    /// The inverters.
    pub sources: Vec<Of<'a, Inverter>>,
}

/// The blocks of a kind with their equipment.
fn of_kind<'a, T: OfKind + 'a>(on: &Conditions<'a>) -> impl Iterator<Item = Of<'a, T>> {
    on.project.circuit.blocks().filter_map(|block| Some((block, block.equipment.as_kind::<T>()?)))
}

/// Every inverter that is set to give energy to the utility.
pub fn exporting<'a>(on: &Conditions<'a>) -> Vec<Of<'a, Inverter>> {
    of_kind::<Inverter>(on).filter(|(_, it)| it.export == Export::On).collect()
}

/// What an inverter gives at most.
pub fn exported(inverter: &Inverter) -> Amps {
    let rated = inverter.output_current();
    inverter.export_limit.map_or(rated, |set| set.min(rated))
}

/// Every bus that utility and inverters feed together, in the order of zones and blocks.
pub fn study<'a>(on: &Conditions<'a>, network: &Network, zones: &Zones) -> Vec<SharedBus<'a>> {
    let exporting = exporting(on);
    let mut found = Vec::new();
    if exporting.is_empty() {
        return found;
    }
    for (_, zone) in zones.all().filter(|(_, zone)| zone.kind == ZoneKind::Ac) {
        for id in zone.blocks(network) {
            let Some(block) = on.project.circuit.block(id) else { continue };
            let Some(panel) = block.equipment.as_kind::<AcPanel>() else { continue };
            let Some(main) = panel.main_rating else { continue };
            let sources = behind(on, network, zone, block, &exporting);
            if !sources.is_empty() {
                found.push(SharedBus { panel: (block, panel), main, sources });
            }
        }
    }
    found
}

/// The exporting inverters whose way to the utility leads through the main breaker of a panel.
fn behind<'a>(
    on: &Conditions<'a>,
    network: &Network,
    zone: &Zone,
    panel: &Block,
    exporting: &[Of<'a, Inverter>],
) -> Vec<Of<'a, Inverter>> {
    let is_utility = |index: &usize| {
        network.sources().get(*index).is_some_and(|source| source.kind == SourceKind::Utility)
    };
    if !zone.sources.iter().any(is_utility) {
        return Vec::new();
    }
    let here: BTreeSet<_> = zone.blocks(network).into_iter().collect();
    let feeds = |block: &Block| {
        let mut terminals = block.equipment.terminals().into_iter();
        terminals.any(|it| {
            matches!(it.name.stem(), "in" | "out") && through_main(on, network, panel.id, block.id, it.name)
        })
    };
    let inside = exporting.iter().filter(|(block, _)| here.contains(&block.id));
    inside.filter(|(block, _)| feeds(block)).copied().collect()
}

/// Whether all that is met from a terminal of an inverter reaches the utility through a panel's poles only.
fn through_main(
    on: &Conditions<'_>,
    network: &Network,
    panel: BlockId,
    block: BlockId,
    terminal: TerminalName,
) -> bool {
    let circuit = &on.project.circuit;
    let Some(from) = network.at(RunEnd { block, terminal }) else { return false };
    let found = ways::from(circuit, network, from, |pole| pole.block == panel);
    let mut reached = found.open.iter().filter_map(|node| circuit.block(network.node(*node)?.block));
    !found.stops.is_empty() && !reached.any(|block| block.kind() == Kind::Utility)
}
