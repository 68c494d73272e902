//! Reach: what is met when one walks away from the end of a field run before any disconnecting means.
//!
//! The walk stays in the location where the end stands; a run that leaves it is another field run.

use crate::conditions::Conditions;
use crate::network::{LinkId, LinkKind, Network, NodeId};
use lineside_codes::FactorKey;
use lineside_core::circuit::{BlockId, Run, RunId, Side};
use lineside_core::kinds::inside::{Disconnects, SinkKind, SourceKind};
use lineside_core::units::Amps;
use std::collections::{BTreeMap, BTreeSet, VecDeque};

/// What the walk met.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Met {
    /// A source.
    Source(BlockId, SourceKind),
    /// A terminal of a converter.
    Converter(BlockId),
    /// Another field run.
    FieldRun(RunId),
}

/// For every end of every field run what was met; an end that is not listed is cut off.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Reach {
    ends: BTreeMap<(RunId, Side), Option<Met>>,
}

impl Reach {
    /// Every end of every field run, with what the walk met, if anything.
    pub fn ends(&self) -> impl Iterator<Item = (RunId, Side, Option<Met>)> {
        self.ends.iter().map(|((run, side), met)| (*run, *side, *met))
    }
}

/// Walks from both ends of every field run. `current` gives the greatest continuous current of a run, by which
/// an isolating device counts or does not.
pub fn study(on: &Conditions<'_>, network: &Network, current: impl Fn(RunId) -> Option<Amps>) -> Reach {
    let circuit = &on.project.circuit;
    let field_runs: BTreeSet<RunId> =
        circuit.runs().filter(|run| circuit.is_field_run(run)).map(|run| run.id).collect();
    let stops = Stops::new(network);
    let isolating_limit: Amps = on.quantity(FactorKey::IsolatingDeviceCurrent);
    let mut reach = Reach::default();
    for run in circuit.runs().filter(|run| field_runs.contains(&run.id)) {
        let isolates = current(run.id).is_some_and(|current| current <= isolating_limit);
        let enough = if isolates { Disconnects::WithoutLoad } else { Disconnects::UnderLoad };
        for side in Side::BOTH {
            let met = walk(network, &stops, &field_runs, run, side, enough);
            reach.ends.insert((run.id, side), met);
        }
    }
    reach
}

/// What stands at nodes, for quick look-up.
struct Stops {
    sources: BTreeMap<NodeId, SourceKind>,
    converters: BTreeSet<NodeId>,
}

impl Stops {
    fn new(network: &Network) -> Self {
        let converter_side = |kind| match kind {
            SourceKind::ControllerOutput
            | SourceKind::DcConverterOutput
            | SourceKind::Charger
            | SourceKind::InverterOutput => true,
            SourceKind::Strings
            | SourceKind::BatteryString(_)
            | SourceKind::Generator
            | SourceKind::Utility => false,
        };
        let sources = network
            .sources()
            .iter()
            .filter(|source| !converter_side(source.kind))
            .map(|source| (source.node, source.kind))
            .collect();
        let outputs =
            network.sources().iter().filter(|source| converter_side(source.kind)).map(|source| source.node);
        let inputs = network.sinks().iter().filter(|sink| match sink.kind {
            SinkKind::ControllerInput | SinkKind::InverterInput | SinkKind::InverterAcInput => true,
            SinkKind::DcLoads | SinkKind::AcLoads => false,
        });
        Self { sources, converters: outputs.chain(inputs.map(|sink| sink.node)).collect() }
    }
}

fn walk(
    network: &Network,
    stops: &Stops,
    field_runs: &BTreeSet<RunId>,
    run: &Run,
    side: Side,
    enough: Disconnects,
) -> Option<Met> {
    let start = network.run_end(run.id, side)?;
    let own = network.run_link(run.id)?;
    let mut seen: BTreeSet<NodeId> = BTreeSet::from([start]);
    let mut waiting = VecDeque::from([start]);
    while let Some(node) = waiting.pop_front() {
        let block = network.node(node)?.block;
        if let Some(kind) = stops.sources.get(&node) {
            return Some(Met::Source(block, *kind));
        }
        if stops.converters.contains(&node) {
            return Some(Met::Converter(block));
        }
        for (id, link) in network.links_at(node) {
            match step(network, field_runs, id, link.kind, own, enough) {
                Step::Stop => {}
                Step::Met(met) => return Some(met),
                Step::Go => {
                    let other = link.other(node);
                    if seen.insert(other) {
                        waiting.push_back(other);
                    }
                }
            }
        }
    }
    None
}

enum Step {
    Go,
    Stop,
    Met(Met),
}

fn step(
    network: &Network,
    field_runs: &BTreeSet<RunId>,
    id: LinkId,
    kind: LinkKind,
    own: LinkId,
    enough: Disconnects,
) -> Step {
    match kind {
        _ if id == own => Step::Stop,
        LinkKind::Run(run) if field_runs.contains(&run) => Step::Met(Met::FieldRun(run)),
        LinkKind::Run(_) | LinkKind::Solid => Step::Go,
        LinkKind::Converter => Step::Stop,
        LinkKind::Pole(index) => match network.poles().get(index) {
            Some(it) if it.pole.disconnects < enough => Step::Go,
            _ => Step::Stop,
        },
    }
}
