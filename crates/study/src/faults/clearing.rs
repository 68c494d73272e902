//! Which overcurrent devices have to open before a short circuit in a run goes dark from one of its ends.

use super::{Faults, PoleSide};
use crate::network::{LinkId, LinkKind, Network, NodeId};
use lineside_core::circuit::{RunId, Side};
use lineside_core::kinds::inside::SourceKind;
use std::collections::BTreeSet;

/// The devices that clear one side.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Clearing {
    /// Positions of their poles in [`Network::poles`], in order.
    pub poles: Vec<usize>,
    /// Whether a source that does not limit itself has no device on the way.
    pub bare: bool,
}

/// Walks away from one end of a run, up every way that leads to a source which does not limit itself, to the
/// first overcurrent device.
pub fn clearing_devices(network: &Network, faults: &Faults, run: RunId, side: Side) -> Clearing {
    let mut found = Clearing::default();
    let Some(own) = network.run_link(run) else { return found };
    let Some(link) = network.link(own) else { return found };
    let start = if side == Side::From { link.a } else { link.b };
    let mut seen = BTreeSet::from([start]);
    let mut waiting = vec![start];
    while let Some(node) = waiting.pop() {
        found.bare |= has_unlimited_source(network, node);
        for (id, link) in network.links_at(node).filter(|(id, _)| *id != own) {
            match link.kind {
                LinkKind::Converter => continue,
                LinkKind::Pole(pole) if is_overcurrent_device(network, pole) => {
                    if feeds(network, faults, id, node) && !found.poles.contains(&pole) {
                        found.poles.push(pole);
                    }
                    continue;
                }
                LinkKind::Pole(_) | LinkKind::Run(_) | LinkKind::Solid => {}
            }
            if seen.insert(link.other(node)) {
                waiting.push(link.other(node));
            }
        }
    }
    found.poles.sort_unstable();
    found
}

fn is_overcurrent_device(network: &Network, pole: usize) -> bool {
    network.poles().get(pole).is_some_and(|it| it.pole.overcurrent.is_some())
}

/// Whether something that does not limit itself comes through a pole toward a node.
fn feeds(network: &Network, faults: &Faults, id: LinkId, toward: NodeId) -> bool {
    let from = match network.link(id) {
        Some(link) if link.a == toward => PoleSide::Load,
        _ => PoleSide::Line,
    };
    !faults.through_pole(id, from).limits_itself()
}

fn has_unlimited_source(network: &Network, node: NodeId) -> bool {
    network.has_source(node)
        && network.sources().iter().filter(|source| source.node == node).any(|source| match source.kind {
            SourceKind::BatteryString(_) | SourceKind::Utility | SourceKind::Generator => true,
            SourceKind::Strings
            | SourceKind::ControllerOutput
            | SourceKind::DcConverterOutput
            | SourceKind::Charger
            | SourceKind::InverterOutput => false,
        })
}
