//! The wiring as it stands: which points are one joint because nothing but closed contacts and bars lies between them,
//! and which joints hang together through conductors as one island.
//!
//! Which contacts are closed is decided in [`super::positions`] and [`super::topology`].

use crate::network::{LinkId, LinkKind, Network, NodeId};
use crate::ratings::Ratings;
use lineside_core::circuit::{BlockId, Circuit, RunId};
use lineside_core::kinds::meter::Meter;

/// What a link does for current.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) enum Conducts {
    /// Nothing passes.
    Not,
    /// As if it were not there.
    Freely,
    /// Through a resistance.
    Through(f64),
}

/// Conductors of less than this are joints: a centimeter of the thickest cable.
const LEAST_OHMS: f64 = 1e-6;

/// What every link does when every contact is closed, and the runs whose resistance no table tells.
#[derive(Clone, Debug, Default)]
pub(super) struct Conductors {
    links: Vec<Conducts>,
    /// Runs with conductors whose resistance is not known; they count as having none.
    pub unknown: Vec<RunId>,
}

impl Conductors {
    pub(super) fn of(circuit: &Circuit, network: &Network, ratings: &Ratings) -> Self {
        let mut found = Self { links: Vec::with_capacity(network.link_count()), unknown: Vec::new() };
        for (_, link) in network.links() {
            let conducts = match link.kind {
                LinkKind::Converter => Conducts::Not,
                LinkKind::Pole(_) => Conducts::Freely,
                LinkKind::Solid => shunt(circuit, network.node(link.a).map(|node| node.block))
                    .map_or(Conducts::Freely, through),
                LinkKind::Run(run) => found.of_run(circuit, ratings, run),
            };
            found.links.push(conducts);
        }
        found
    }

    fn of_run(&mut self, circuit: &Circuit, ratings: &Ratings, run: RunId) -> Conducts {
        if circuit.run(run).is_none_or(|run| run.conductor.is_none()) {
            return Conducts::Freely;
        }
        if let Some(ohms) = ratings.warm_resistance(run) {
            through(ohms.value())
        } else {
            self.unknown.push(run);
            Conducts::Freely
        }
    }

    /// What a link does with these poles closed.
    pub(super) fn of_link(&self, network: &Network, id: LinkId, closed: &[bool]) -> Conducts {
        let open = network.link(id).is_some_and(|link| match link.kind {
            LinkKind::Pole(pole) => !closed.get(pole).copied().unwrap_or(false),
            LinkKind::Run(_) | LinkKind::Solid | LinkKind::Converter => false,
        });
        if open { Conducts::Not } else { self.links.get(id.index()).copied().unwrap_or(Conducts::Not) }
    }
}

fn through(ohms: f64) -> Conducts {
    if ohms < LEAST_OHMS { Conducts::Freely } else { Conducts::Through(ohms) }
}

fn shunt(circuit: &Circuit, block: Option<BlockId>) -> Option<f64> {
    Some(circuit.block(block?)?.equipment.as_kind::<Meter>()?.resistance?.value())
}

/// A conductor of an island.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct Conductor {
    /// Its link.
    pub link: LinkId,
    /// The joint at the link's beginning, counted within the island.
    pub a: usize,
    /// The joint at its end.
    pub b: usize,
    /// Its resistance, both ways.
    pub ohms: f64,
}

/// Joints that hang together.
#[derive(Clone, Debug, Default)]
pub(super) struct Island {
    /// How many joints it has.
    pub joints: usize,
    /// What ties them.
    pub conductors: Vec<Conductor>,
    /// Its nodes, in order.
    pub nodes: Vec<NodeId>,
}

/// The joints and islands of one standing of all contacts.
#[derive(Clone, Debug, Default)]
pub(super) struct Wiring {
    /// All islands, in the order of their first node.
    pub islands: Vec<Island>,
    /// For each node its island, and its joint within that.
    places: Vec<(u32, u32)>,
}

impl Wiring {
    /// What hangs together with these poles closed.
    pub(super) fn of(network: &Network, conductors: &Conductors, closed: &[bool]) -> Self {
        let mut joined = Groups::new(network.node_count());
        let mut tied = Groups::new(network.node_count());
        for (id, link) in network.links() {
            match conductors.of_link(network, id, closed) {
                Conducts::Not => continue,
                Conducts::Freely => joined.join(link.a.index(), link.b.index()),
                Conducts::Through(_) => {}
            }
            tied.join(link.a.index(), link.b.index());
        }
        let mut wiring = Self::default();
        let mut island_of = vec![u32::MAX; network.node_count()];
        let mut joint_of = vec![u32::MAX; network.node_count()];
        for (node, _) in network.nodes() {
            let island = numbered(&mut island_of, tied.find(node.index()), wiring.islands.len());
            if island as usize == wiring.islands.len() {
                wiring.islands.push(Island::default());
            }
            let Some(of_node) = wiring.islands.get_mut(island as usize) else { continue };
            let joint = numbered(&mut joint_of, joined.find(node.index()), of_node.joints);
            of_node.joints = of_node.joints.max(joint as usize + 1);
            of_node.nodes.push(node);
            wiring.places.push((island, joint));
        }
        for (id, link) in network.links() {
            if let Conducts::Through(ohms) = conductors.of_link(network, id, closed)
                && let (Some((island, a)), Some((_, b))) = (wiring.place(link.a), wiring.place(link.b))
                && let Some(island) = wiring.islands.get_mut(island)
            {
                island.conductors.push(Conductor { link: id, a, b, ohms });
            }
        }
        wiring
    }

    /// The island of a node, and its joint within that.
    pub(super) fn place(&self, node: NodeId) -> Option<(usize, usize)> {
        self.places.get(node.index()).map(|(island, joint)| (*island as usize, *joint as usize))
    }
    /// The island of a node.
    pub(super) fn island(&self, node: NodeId) -> Option<usize> {
        Some(self.place(node)?.0)
    }
}

/// The number of a group: the one it has, else the next.
fn numbered(numbers: &mut [u32], group: usize, next: usize) -> u32 {
    match numbers.get_mut(group) {
        Some(number) if *number == u32::MAX => {
            *number = u32::try_from(next).unwrap_or(u32::MAX);
            *number
        }
        Some(number) => *number,
        None => u32::MAX,
    }
}

/// Which nodes belong together. The lowest node of a group names it.
struct Groups {
    parents: Vec<u32>,
}

impl Groups {
    fn new(nodes: usize) -> Self {
        Self { parents: (0..).take(nodes).collect() }
    }
    fn find(&mut self, node: usize) -> usize {
        let mut here = node;
        while let Some(up) = self.parents.get(here).map(|up| *up as usize)
            && up != here
        {
            let above = self.parents.get(up).copied().unwrap_or_default();
            if let Some(slot) = self.parents.get_mut(here) {
                *slot = above;
            }
            here = above as usize;
        }
        here
    }
    fn join(&mut self, a: usize, b: usize) {
        let (a, b) = (self.find(a), self.find(b));
        if let Some(slot) = self.parents.get_mut(a.max(b)) {
            *slot = u32::try_from(a.min(b)).unwrap_or_default();
        }
    }
}
