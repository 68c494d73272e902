//! Ways: what is met when one walks away from a point in every direction, up to devices of a sort.
//!
//! [`crate::reach`] asks only whether the end of a field run is cut off; here the devices themselves are found,
//! and how far away they stand. Whether they will do is the rules' matter.

use crate::network::{LinkId, LinkKind, Network, NodeId, PoleInBlock};
use lineside_codes::resistance::CurrentKind;
use lineside_core::circuit::{Circuit, RunId};
use lineside_core::kinds::inside::{Disconnects, PoleDevice};
use lineside_core::units::Meters;
use std::collections::{BTreeSet, VecDeque};

/// A device at which a way ends.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Stop {
    /// Position of the pole in [`Network::poles`].
    pub pole: usize,
    /// The point on its far side.
    pub beyond: NodeId,
    /// Length of conductor on the way to it.
    pub length: Meters,
}

/// What was met on all ways away from a point.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Ways {
    /// The devices at which ways end, nearest first.
    pub stops: Vec<Stop>,
    /// Other sources and sinks that were reached without passing such a device.
    pub open: Vec<NodeId>,
    /// Length of conductor to the farthest of those.
    pub farthest: Meters,
    /// Every point that was reached without passing such a device, the start first.
    pub passed: Vec<NodeId>,
}

/// Walks away from a point, through runs and whatever is not a stop. Converters are not crossed, nor the relays by
/// which an inverter passes its input on, since both of their sides are counted already. The positions of a
/// transfer switch exclude each other.
pub fn from(
    circuit: &Circuit,
    network: &Network,
    start: NodeId,
    is_stop: impl Fn(&PoleInBlock) -> bool,
) -> Ways {
    let mut ways = Ways { passed: vec![start], ..Ways::default() };
    let mut seen = BTreeSet::from([start]);
    let mut waiting: VecDeque<(NodeId, Option<LinkId>, Meters)> =
        VecDeque::from([(start, None, Meters::ZERO)]);
    while let Some((node, came_by, length)) = waiting.pop_front() {
        if node != start && (network.has_source(node) || network.has_sink(node)) {
            ways.open.push(node);
            ways.farthest = ways.farthest.max(length);
        }
        for (id, link) in network.links_at(node).filter(|(id, _)| Some(*id) != came_by) {
            let further = match link.kind {
                LinkKind::Converter => continue,
                LinkKind::Solid => length,
                LinkKind::Run(run) => length + length_of(circuit, run),
                LinkKind::Pole(pole) => {
                    let Some(it) = network.poles().get(pole) else { continue };
                    if is_passing_relay(it) || excludes(network, came_by, it) {
                        continue;
                    }
                    if is_stop(it) {
                        ways.stops.push(Stop { pole, beyond: link.other(node), length });
                        continue;
                    }
                    length
                }
            };
            let other = link.other(node);
            if seen.insert(other) {
                ways.passed.push(other);
                waiting.push_back((other, Some(id), further));
            }
        }
    }
    ways.stops.sort_by(|a, b| a.length.total_cmp(&b.length).then(a.pole.cmp(&b.pole)));
    ways.stops.dedup_by_key(|stop| stop.pole);
    ways
}

/// A device that opens a circuit by hand: under load, or at least without. One that is marked for the
/// other kind of current only does not open this one.
pub fn opens(pole: &PoleInBlock, current: CurrentKind, how: Disconnects) -> bool {
    let marked = match current {
        CurrentKind::Direct => pole.pole.dc_voltage.is_some() || pole.pole.ac_voltage.is_none(),
        CurrentKind::Alternating => pole.pole.ac_voltage.is_some() || pole.pole.dc_voltage.is_none(),
    };
    marked && pole.pole.disconnects >= how
}

fn length_of(circuit: &Circuit, run: RunId) -> Meters {
    circuit.run(run).and_then(|run| run.conductor.as_ref()).map_or(Meters::ZERO, |it| it.length)
}

fn is_passing_relay(pole: &PoleInBlock) -> bool {
    pole.pole.device == PoleDevice::Relay && pole.pole.throw.is_some()
}

/// Whether a pole cannot be closed while the one by which the walk came is.
fn excludes(network: &Network, came_by: Option<LinkId>, pole: &PoleInBlock) -> bool {
    let before = came_by.and_then(|id| network.link(id)).and_then(|link| network.pole_of(link));
    before.is_some_and(|before| {
        before.block == pole.block
            && matches!((before.pole.throw, pole.pole.throw), (Some(a), Some(b)) if a != b)
    })
}
