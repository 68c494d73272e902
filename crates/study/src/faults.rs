//! Faults: the prospective short-circuit current at every node and from each side of every run and pole, by
//! source.
//!
//! A short circuit is put at one point at a time. Every side is summed up as a current source beside an
//! admittance and carried through the network: batteries and utilities behind their resistance or reactance,
//! everything else as a constant current, conductors at 20 °C, devices and bars without resistance. Where runs
//! form a ring, `meshed.rs` takes over. The smallest fault is in `smallest.rs`.
//!
//! More resistance never raises what batteries and utilities give. A source that keeps its current shares it with
//! the batteries on the way, so that a longer run between them can send a little more of it into the fault, never
//! more than the whole.

mod clearing;
mod meshed;
mod meshed_flow;
mod prospective;
mod smallest;
mod sources;
mod withstand;

use crate::arrangements::{Arrangements, Relays};
use crate::conditions::Conditions;
use crate::network::{Link, LinkId, LinkKind, Network, NodeId};
use crate::ratings::Ratings;
use crate::tree::{self, Cut, Cuts, Sum};
use crate::zones::Zones;
use lineside_core::circuit::{RunEnd, RunId, Side};
use sources::Resistances;

pub use clearing::{Clearing, clearing_devices};
pub use prospective::{Assumed, Assumption, FaultSource, Prospective};
pub use smallest::{SmallestFault, SmallestFaults, smallest_faults};
pub use sources::{BatteryString, ResistanceFrom, battery_string};
pub use withstand::withstand_time;

/// One side of a pole.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum PoleSide {
    /// Where its `line` or its way is: the first point of the pole.
    Line,
    /// Where its `load` or its bus is: the second.
    Load,
}

/// Prospective short-circuit currents.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Faults {
    nodes: Vec<Prospective>,
    /// For each run and pole what comes from the side of its `a` and of its `b`.
    sides: Vec<[Prospective; 2]>,
    /// For each link its position in `sides`.
    position: Vec<Option<u32>>,
}

impl Faults {
    /// With a short circuit at a node, from all sides.
    pub fn at_node(&self, node: NodeId) -> Prospective {
        self.nodes.get(node.index()).copied().unwrap_or_default()
    }
    /// With a short circuit at a terminal, from all sides.
    pub fn at(&self, network: &Network, end: RunEnd) -> Prospective {
        network.at(end).map(|node| self.at_node(node)).unwrap_or_default()
    }
    /// With a short circuit in a run close to one of its ends, what comes from that end.
    pub fn run_side(&self, network: &Network, run: RunId, side: Side) -> Prospective {
        let sides = network.run_link(run).and_then(|link| self.sides_of(link));
        let [from, to] = sides.unwrap_or_default();
        match side {
            Side::From => from,
            Side::To => to,
        }
    }
    /// What comes through a pole from one of its sides when the other side is shorted.
    pub fn through_pole(&self, link: LinkId, side: PoleSide) -> Prospective {
        let [line, load] = self.sides_of(link).unwrap_or_default();
        match side {
            PoleSide::Line => line,
            PoleSide::Load => load,
        }
    }
    /// The greater of the two: what the pole must interrupt.
    pub fn duty(&self, link: LinkId) -> Prospective {
        let [line, load] = self.sides_of(link).unwrap_or_default();
        line.or_greater(load)
    }

    fn sides_of(&self, link: LinkId) -> Option<[Prospective; 2]> {
        let position = self.position.get(link.index()).copied().flatten()?;
        self.sides.get(position as usize).copied()
    }
    fn raise_node(&mut self, node: NodeId, to: Prospective) {
        if let Some(slot) = self.nodes.get_mut(node.index()) {
            *slot = slot.or_greater(to);
        }
    }
    fn raise_sides(&mut self, link: LinkId, to: [Prospective; 2]) {
        let position = self.position.get(link.index()).copied().flatten();
        if let Some(slot) = position.and_then(|at| self.sides.get_mut(at as usize)) {
            let [a, b] = to;
            *slot = [slot[0].or_greater(a), slot[1].or_greater(b)];
        }
    }

    /// Room for a network, nothing found yet.
    fn empty(network: &Network) -> Self {
        let mut count = 0_u32;
        let position = network.links().map(|(_, link)| {
            matches!(link.kind, LinkKind::Run(_) | LinkKind::Pole(_)).then(|| {
                count += 1;
                count - 1
            })
        });
        let position: Vec<Option<u32>> = position.collect();
        Self {
            nodes: vec![Prospective::default(); network.node_count()],
            sides: vec![[Prospective::default(); 2]; count as usize],
            position,
        }
    }
}

/// Finds the greatest currents over every position of transfer switches and relays.
pub fn study(on: &Conditions<'_>, network: &Network, zones: &Zones, ratings: &Ratings) -> Faults {
    let arrangements = Arrangements::of(network, zones, Relays::OneAtATime);
    let resistances = Resistances::cold(network, zones, ratings, on);
    let own = sources::at_nodes(on, network);
    let mut found = Faults::empty(network);
    for round in arrangements.rounds() {
        let takes_part: Vec<bool> =
            zones.all().map(|(_, zone)| round == 0 || arrangements.differs(zone, round)).collect();
        let walked = |node: NodeId| {
            zones.of(node).and_then(|zone| takes_part.get(zone.index()).copied()).unwrap_or(false)
        };
        let passes =
            |_: LinkId, link: &Link| walked(link.a) && arrangements.passes(network, link.kind, round);
        let through = |link: LinkId, side: Prospective| resistances.through(link, side);
        let cuts = tree::cuts(network, passes, through, &own);
        let part = Part { network, resistances: &resistances, own: &own };
        part.read(&cuts, &passes, &walked, &mut found);
    }
    found
}

/// What a round of the study reads from.
struct Part<'a> {
    network: &'a Network,
    resistances: &'a Resistances,
    own: &'a [Prospective],
}

impl Part<'_> {
    fn read(
        &self,
        cuts: &Cuts<'_, Prospective>,
        passes: &impl Fn(LinkId, &Link) -> bool,
        walked: &impl Fn(NodeId) -> bool,
        found: &mut Faults,
    ) {
        let meshed = self.meshed_nodes(cuts, passes);
        let mut done = meshed.clone();
        for (id, link) in self.network.links().filter(|(id, link)| passes(*id, link)) {
            if meshed.get(link.a.index()).copied().unwrap_or(false) {
                continue;
            }
            let Cut::Bridge(a, b) = cuts.of(id) else { continue };
            found.raise_sides(id, [*a, *b]);
            for (node, here, there) in [(link.a, a, b), (link.b, b, a)] {
                if done.get_mut(node.index()).is_some_and(|seen| !std::mem::replace(seen, true)) {
                    let mut total = *here;
                    total.add(&self.resistances.through(id, *there));
                    found.raise_node(node, total);
                }
            }
        }
        for (node, _) in self.network.nodes().filter(|(node, _)| walked(*node)) {
            if !done.get(node.index()).copied().unwrap_or(true) {
                found.raise_node(node, self.own.get(node.index()).copied().unwrap_or_default());
            }
        }
        let in_mesh = |node: &NodeId| meshed.get(node.index()).copied().unwrap_or(false);
        let members: Vec<NodeId> = self.network.nodes().map(|(node, _)| node).filter(in_mesh).collect();
        if !members.is_empty() {
            meshed::read(self, cuts, passes, &members, found);
        }
    }

    /// For each node whether it hangs together with a ring.
    fn meshed_nodes(
        &self,
        cuts: &Cuts<'_, Prospective>,
        passes: &impl Fn(LinkId, &Link) -> bool,
    ) -> Vec<bool> {
        let mut meshed = vec![false; self.network.node_count()];
        let in_ring =
            |(id, link): &(LinkId, &Link)| link.a != link.b && passes(*id, link) && cuts.is_ring(*id);
        let mut waiting: Vec<NodeId> = self.network.links().filter(in_ring).map(|(_, link)| link.a).collect();
        while let Some(node) = waiting.pop() {
            if meshed.get_mut(node.index()).is_none_or(|seen| std::mem::replace(seen, true)) {
                continue;
            }
            let onward = self.network.links_at(node).filter(|(id, link)| passes(*id, link));
            waiting.extend(onward.map(|(_, link)| link.other(node)));
        }
        meshed
    }
}
