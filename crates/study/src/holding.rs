//! Holding currents: what can persist into a fault at each end of each run.
//!
//! Take the run out. The greatest current that can keep flowing into a fault at one of its ends is the
//! maximum flow from all sources to that end: every overcurrent device is an edge of its rating, every
//! current-limited source has its limit, batteries and utilities have none, converters are not crossed.
//! In a part without rings the maximum flow is a sum with a limit at each device; in one with rings it is
//! found by augmenting paths.

use crate::arrangements::{Arrangements, Relays};
use crate::conditions::Conditions;
use crate::network::{Link, LinkId, LinkKind, Network, NodeId};
use crate::tally::{self, Port};
use crate::tree::{self, Cut, Cuts, Sum};
use crate::zones::{ZoneId, Zones};
use lineside_core::circuit::{BlockId, IdMap, RunId, Side};
use lineside_core::kinds::inside::SourceKind;
use lineside_core::kinds::inverter::{Export, Inverter};
use lineside_core::units::Amps;
use petgraph::algo::ford_fulkerson;
use petgraph::graph::{DiGraph, NodeIndex};
use std::collections::{BTreeMap, BTreeSet};

/// What can persist into a fault.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Holding {
    /// The limited part.
    pub limited: Amps,
    /// Whether a battery or utility feeds it with no device in the way.
    pub unlimited: bool,
    /// How many overcurrent devices limit it.
    pub devices: u32,
    /// Sources that are limited by themselves and by no device.
    pub self_limited: Amps,
    /// Battery strings that feed it, through devices or not.
    pub batteries: u32,
}

impl Holding {
    /// The current; `None` when nothing limits it.
    pub fn current(&self) -> Option<Amps> {
        (!self.unlimited).then_some(self.limited)
    }
    /// Whether anything flows at all.
    pub fn is_nothing(&self) -> bool {
        !self.unlimited && self.limited <= Amps::ZERO
    }
    fn take_greater(&mut self, other: Self) {
        if other.unlimited && !self.unlimited
            || other.unlimited == self.unlimited && other.limited > self.limited
        {
            *self = other;
        }
    }
    /// Whether every part of it comes from sources that cannot give more, with no device in the way.
    pub fn is_self_limited(&self) -> bool {
        !self.unlimited && self.devices == 0
    }
}

impl Sum for Holding {
    fn add(&mut self, other: &Self) {
        self.limited += other.limited;
        self.unlimited |= other.unlimited;
        self.devices += other.devices;
        self.self_limited += other.self_limited;
        self.batteries += other.batteries;
    }
}

/// Holding currents at both ends of every run.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct HoldingCurrents {
    ends: IdMap<RunId, [Holding; 2]>,
}

impl HoldingCurrents {
    /// At one end of a run.
    pub fn at(&self, run: RunId, side: Side) -> Holding {
        self.ends.get(run).map(|[from, to]| if side == Side::From { *from } else { *to }).unwrap_or_default()
    }
    /// At every end, in the order of runs.
    pub fn all(&self) -> impl Iterator<Item = (RunId, Side, &Holding)> {
        self.ends.iter().flat_map(|(run, [from, to])| [(run, Side::From, from), (run, Side::To, to)])
    }
}

/// Finds what can persist at both ends of every run, over every position of transfer switches and relays.
pub fn study(on: &Conditions<'_>, network: &Network, zones: &Zones) -> HoldingCurrents {
    let arrangements = Arrangements::of(network, zones, Relays::OneAtATime);
    let mut found = HoldingCurrents::default();
    for round in arrangements.rounds() {
        let own = sources_at_nodes(on, network, &arrangements.passing_through(network, round));
        let passes = |_: LinkId, link: &Link| arrangements.passes(network, link.kind, round);
        let cuts = tree::cuts(network, passes, |link, sum| through(network, link, sum), &own);
        let ringed = zones_with_rings(network, zones, &cuts, &passes);
        for run in on.project.circuit.runs() {
            let Some(id) = network.run_link(run.id) else { continue };
            let Some(link) = network.link(id) else { continue };
            let in_ring = zones.of(link.a).is_some_and(|zone| ringed.get(&zone).copied().unwrap_or(false));
            let ends = if in_ring {
                [link.a, link.b].map(|end| by_paths(network, &passes, &own, id, end))
            } else {
                match cuts.of(id) {
                    Cut::Bridge(a, b) => [*a, *b],
                    Cut::Ring(_) | Cut::Outside => continue,
                }
            };
            match found.ends.entry(run.id) {
                Some(so_far) => {
                    so_far.iter_mut().zip(ends).for_each(|(so_far, now)| so_far.take_greater(now));
                }
                None => drop(found.ends.insert(run.id, ends)),
            }
        }
    }
    found
}

fn through(network: &Network, link: LinkId, sum: Holding) -> Holding {
    let pole = network.link(link).and_then(|link| network.pole_of(link));
    let Some(rating) = pole.and_then(|it| it.pole.overcurrent) else { return sum };
    if !sum.unlimited && sum.limited <= rating {
        return sum;
    }
    Holding {
        limited: rating,
        unlimited: false,
        devices: 1,
        self_limited: Amps::ZERO,
        batteries: sum.batteries,
    }
}

/// What every source gives. An inverter that passes its input through does not feed back into that input unless
/// it exports.
fn sources_at_nodes(on: &Conditions<'_>, network: &Network, passing: &BTreeSet<BlockId>) -> Vec<Holding> {
    let mut own = vec![Holding::default(); network.node_count()];
    for source in network.sources() {
        let Some(block) = on.project.circuit.block(source.block) else { continue };
        let exports = block.equipment.as_kind::<Inverter>().is_some_and(|it| it.export == Export::On);
        if source.kind == SourceKind::InverterOutput && passing.contains(&source.block) && !exports {
            continue;
        }
        let (port, amps) = tally::source_current(on, block, source.kind);
        let battery = matches!(source.kind, SourceKind::BatteryString(_));
        let holding = match amps {
            Some(limit) => Holding { limited: limit, self_limited: limit, ..Holding::default() },
            None => Holding {
                unlimited: matches!(port, Port::Battery | Port::Utility),
                batteries: u32::from(battery),
                ..Holding::default()
            },
        };
        if let Some(slot) = own.get_mut(source.node.index()) {
            slot.add(&holding);
        }
    }
    for (node, amps) in tally::backfeeds(on, network) {
        if let Some(slot) = own.get_mut(node.index()) {
            slot.add(&Holding { limited: amps, self_limited: amps, ..Holding::default() });
        }
    }
    own
}

fn zones_with_rings(
    network: &Network,
    zones: &Zones,
    cuts: &Cuts<'_, Holding>,
    passes: &impl Fn(LinkId, &Link) -> bool,
) -> BTreeMap<ZoneId, bool> {
    network
        .links()
        .filter(|(id, link)| passes(*id, link) && cuts.is_ring(*id))
        .filter_map(|(_, link)| Some((zones.of(link.a)?, true)))
        .collect()
}

/// Stands for no limit in the flow graph; far above any current that a limited source or device can have.
const NO_LIMIT: f64 = 1e12;

/// Maximum flow from all sources to `end`, with one link taken out.
fn by_paths(
    network: &Network,
    passes: &impl Fn(LinkId, &Link) -> bool,
    own: &[Holding],
    without: LinkId,
    end: NodeId,
) -> Holding {
    let mut graph: DiGraph<(), f64> = DiGraph::new();
    let mut nodes: BTreeMap<NodeId, NodeIndex> = BTreeMap::new();
    let source = graph.add_node(());
    let mut batteries = 0;
    let mut waiting = vec![end];
    nodes.insert(end, graph.add_node(()));
    while let Some(node) = waiting.pop() {
        let Some(here) = nodes.get(&node).copied() else { continue };
        let fed = own.get(node.index()).copied().unwrap_or_default();
        let capacity = if fed.unlimited { NO_LIMIT } else { fed.limited.value() };
        batteries += fed.batteries;
        if capacity > 0.0 {
            graph.add_edge(source, here, capacity);
        }
        for (_, link) in network.links_at(node).filter(|(id, link)| *id != without && passes(*id, link)) {
            let other = link.other(node);
            let there = *nodes.entry(other).or_insert_with(|| {
                waiting.push(other);
                graph.add_node(())
            });
            let rating = match link.kind {
                LinkKind::Pole(_) => network.pole_of(link).and_then(|it| it.pole.overcurrent),
                LinkKind::Run(_) | LinkKind::Solid | LinkKind::Converter => None,
            };
            graph.add_edge(there, here, rating.map_or(NO_LIMIT, Amps::value));
        }
    }
    let Some(target) = nodes.get(&end).copied() else { return Holding::default() };
    let (flow, _) = ford_fulkerson(&graph, source, target);
    let unlimited = flow >= NO_LIMIT;
    let limited = if unlimited { Amps::ZERO } else { Amps::new(flow) };
    let fed = own.get(end.index()).copied().unwrap_or_default();
    let self_limited = if limited == fed.self_limited { limited } else { Amps::ZERO };
    Holding { limited, unlimited, devices: u32::from(self_limited == Amps::ZERO), self_limited, batteries }
}
