//! What parts the array side from everything else, controller by controller: the devices in series on its input,
//! those that together part the strings, and the one at its output. Verdicts are in the rules.

use crate::circumstances::Circumstances;
use crate::rules::disconnects::support::{Around, Means, around};
use lineside_codes::resistance::CurrentKind;
use lineside_core::circuit::{Block, BlockId, RunEnd, TerminalName};
use lineside_core::kinds::Kind;
use lineside_core::kinds::inside::{Disconnects, SinkKind};
use lineside_study::{LinkId, NodeId, Zone, ZoneId};

/// The means on the array side of one controller.
pub(super) struct PvMeans<'a> {
    /// The controller.
    pub block: &'a Block,
    /// The battery zone that it charges.
    pub charges: Option<ZoneId>,
    /// Devices through which all of the array's current flows, nearest to the controller first.
    pub series: Vec<Means<'a>>,
    /// Devices that part the strings only together, where there is none in series; empty when some string has none.
    pub together: Vec<Means<'a>>,
    /// The device at the output through which all of the controller's current flows.
    pub output: Option<Means<'a>>,
}

impl<'a> PvMeans<'a> {
    /// Of every controller of an array side.
    pub(super) fn of(on: &Circumstances<'a>, zone: &Zone) -> Vec<Self> {
        if zone.sources.is_empty() {
            return Vec::new();
        }
        let controllers = on.controllers_fed_by(zone).into_iter();
        controllers.filter_map(|(block, _)| Self::of_one(on, zone, block)).collect()
    }

    fn of_one(on: &Circumstances<'a>, zone: &Zone, block: &'a Block) -> Option<Self> {
        let network = &on.studies.network;
        let sinks = zone.sinks.iter().filter_map(|i| network.sinks().get(*i));
        let input = sinks.filter(|sink| sink.kind == SinkKind::ControllerInput);
        let input = input.map(|sink| (sink.block, sink.node)).find(|(id, _)| *id == block.id)?.1;
        let output = network.at(RunEnd { block: block.id, terminal: TerminalName::plain("battery") })?;
        let series = in_series(on, input);
        let together = if series.is_empty() {
            let found = opened(on, input);
            if found.open.is_empty() { found.means } else { Vec::new() }
        } else {
            Vec::new()
        };
        let mut at_output = opened(on, output);
        let only = at_output.open.is_empty() && at_output.means.len() == 1;
        Some(Self {
            block,
            charges: on.studies.zones.of(output),
            series,
            together,
            output: if only { at_output.means.pop() } else { None },
        })
    }
}

fn opened<'a>(on: &Circumstances<'a>, from: NodeId) -> Around<'a> {
    around(on, from, CurrentKind::Direct, Disconnects::UnderLoad)
}

/// Devices one behind the other, as long as there is one and nothing else. Those within a set of strings or a combiner
/// part single strings.
fn in_series<'a>(on: &Circumstances<'a>, input: NodeId) -> Vec<Means<'a>> {
    let mut found: Vec<Means<'a>> = Vec::new();
    let mut from = input;
    for _ in 0..on.studies.network.poles().len() {
        let mut next = opened(on, from);
        next.means.retain(|means| found.iter().all(|seen| seen.pole.link != means.pole.link));
        let [one] = next.means.as_slice() else { break };
        if !next.open.is_empty() || one.block.kind() == Kind::Combiner {
            break;
        }
        found.push(*one);
        from = one.beyond;
    }
    found
}

/// A handle: a switch or a set of poles that opens together. In a combiner each way has its own.
pub(super) fn handle(means: &Means<'_>) -> (BlockId, Option<LinkId>) {
    let own = (means.block.kind() == Kind::Combiner).then_some(means.pole.link);
    (means.block.id, own)
}
