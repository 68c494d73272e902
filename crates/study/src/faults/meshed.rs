//! Faults where runs form rings, such as two runs side by side between the same bars.
//!
//! The links that lie in rings gather the nodes into clusters; between clusters the network is a tree, so sides
//! are still summed up and carried along. Within a cluster all nodes but the one of the fault are eliminated one
//! by one (star to mesh), which only adds and divides and never subtracts.

use super::prospective::Prospective;
use super::{Faults, Part};
use crate::network::{Link, LinkId, LinkKind, NodeId};
use crate::tree::{Cuts, Sum};
use lineside_core::math;
use lineside_core::units::Ohms;
use std::collections::{BTreeMap, BTreeSet};

/// A link that parts the network, seen from one cluster.
#[derive(Clone, Copy)]
struct Bridge {
    link: LinkId,
    inner: NodeId,
    outer: NodeId,
}

/// Nodes that ring links hold together.
#[derive(Default)]
struct Cluster {
    nodes: Vec<NodeId>,
    rings: Vec<(LinkId, Link)>,
    bridges: Vec<Bridge>,
}

struct Mesh<'a> {
    part: &'a Part<'a>,
    clusters: Vec<Cluster>,
    of_node: BTreeMap<NodeId, usize>,
    /// What comes from the side of a node when the link is taken out.
    sides: BTreeMap<(LinkId, NodeId), Prospective>,
}

/// Finds the currents of every node, run and pole that hangs together with the given nodes.
pub(super) fn read(
    part: &Part<'_>,
    cuts: &Cuts<'_, Prospective>,
    passes: &impl Fn(LinkId, &Link) -> bool,
    members: &[NodeId],
    found: &mut Faults,
) {
    let mut mesh = Mesh { part, clusters: Vec::new(), of_node: BTreeMap::new(), sides: BTreeMap::new() };
    mesh.gather(cuts, passes, members);
    mesh.sum_sides();
    for cluster in 0..mesh.clusters.len() {
        mesh.tell(cluster, found);
    }
}

impl Mesh<'_> {
    fn gather(
        &mut self,
        cuts: &Cuts<'_, Prospective>,
        passes: &impl Fn(LinkId, &Link) -> bool,
        members: &[NodeId],
    ) {
        for first in members {
            if self.of_node.contains_key(first) {
                continue;
            }
            let index = self.clusters.len();
            let mut cluster = Cluster::default();
            let mut links = BTreeSet::new();
            let mut waiting = vec![*first];
            self.of_node.insert(*first, index);
            while let Some(node) = waiting.pop() {
                cluster.nodes.push(node);
                for (id, link) in self.part.network.links_at(node) {
                    if link.a == link.b || !passes(id, link) {
                        continue;
                    }
                    let other = link.other(node);
                    if !cuts.is_ring(id) {
                        cluster.bridges.push(Bridge { link: id, inner: node, outer: other });
                        continue;
                    }
                    if links.insert(id) {
                        cluster.rings.push((id, *link));
                    }
                    if self.of_node.insert(other, index).is_none() {
                        waiting.push(other);
                    }
                }
            }
            self.clusters.push(cluster);
        }
    }

    /// From the leaves to a root and back.
    fn sum_sides(&mut self) {
        let mut seen = vec![false; self.clusters.len()];
        for root in 0..self.clusters.len() {
            let mut order: Vec<(usize, Option<Bridge>)> = Vec::new();
            let mut waiting = vec![(root, None)];
            while let Some((index, up)) = waiting.pop() {
                let fresh = seen.get_mut(index).is_some_and(|seen| !std::mem::replace(seen, true));
                let Some(cluster) = self.clusters.get(index).filter(|_| fresh) else { continue };
                order.push((index, up));
                for bridge in &cluster.bridges {
                    let below = self.of_node.get(&bridge.outer).copied();
                    let back = Bridge { link: bridge.link, inner: bridge.outer, outer: bridge.inner };
                    waiting.extend(below.map(|below| (below, Some(back))));
                }
            }
            for (index, up) in order.iter().rev() {
                if let Some(bridge) = up {
                    self.sum_side(*index, *bridge);
                }
            }
            for (index, up) in &order {
                let bridges = self.clusters.get(*index).map_or(Vec::new(), |it| it.bridges.clone());
                let down = bridges.into_iter().filter(|it| up.is_none_or(|up| up.link != it.link));
                down.for_each(|bridge| self.sum_side(*index, bridge));
            }
        }
    }

    fn sum_side(&mut self, cluster: usize, bridge: Bridge) {
        let side = self.reduce(cluster, Some(bridge.link), None, &[bridge.inner]);
        self.sides.extend(side.first().map(|side| ((bridge.link, bridge.inner), *side)));
    }

    /// What stands at each node of a cluster, with what comes in over its bridges.
    fn injected(&self, cluster: &Cluster, without: Option<LinkId>) -> BTreeMap<NodeId, Prospective> {
        let own = |node: &NodeId| self.part.own.get(node.index()).copied().unwrap_or_default();
        let mut at: BTreeMap<NodeId, Prospective> =
            cluster.nodes.iter().map(|node| (*node, own(node))).collect();
        for bridge in cluster.bridges.iter().filter(|it| Some(it.link) != without) {
            if let (Some(sum), Some(side)) =
                (at.get_mut(&bridge.inner), self.sides.get(&(bridge.link, bridge.outer)))
            {
                sum.add(&self.part.resistances.through(bridge.link, *side));
            }
        }
        at
    }

    /// Eliminates a cluster down to the nodes that are kept, without one bridge and without one of its links.
    fn reduce(
        &self,
        cluster: usize,
        without_bridge: Option<LinkId>,
        without_link: Option<LinkId>,
        keep: &[NodeId],
    ) -> Vec<Prospective> {
        let Some(cluster) = self.clusters.get(cluster) else { return Vec::new() };
        let at = self.injected(cluster, without_bridge);
        if cluster.rings.is_empty() {
            return keep.iter().map(|node| at.get(node).copied().unwrap_or_default()).collect();
        }
        let branches = cluster.rings.iter().filter(|(id, _)| Some(*id) != without_link);
        let branches = branches.map(|(id, link)| (link.a, link.b, self.part.resistances.ohms(*id)));
        Star::new(at, branches).kept(keep)
    }

    fn tell(&self, index: usize, found: &mut Faults) {
        let Some(cluster) = self.clusters.get(index) else { return };
        for node in &cluster.nodes {
            if let Some(total) = self.reduce(index, None, None, &[*node]).first() {
                found.raise_node(*node, *total);
            }
        }
        for bridge in &cluster.bridges {
            let side = |node| self.sides.get(&(bridge.link, node)).copied().unwrap_or_default();
            let Some(link) = self.part.network.link(bridge.link) else { continue };
            found.raise_sides(bridge.link, [side(link.a), side(link.b)]);
        }
        for (id, link) in &cluster.rings {
            let alone = |node| self.reduce(index, None, Some(*id), &[node]).first().copied();
            let sides = match link.kind {
                // A pole has no resistance: when one of its sides is shorted, so is the other.
                LinkKind::Pole(_) => {
                    let both = self.reduce(index, None, Some(*id), &[link.a, link.b]);
                    both.first().copied().zip(both.get(1).copied())
                }
                LinkKind::Run(_) | LinkKind::Solid | LinkKind::Converter => alone(link.a).zip(alone(link.b)),
            };
            if let Some((a, b)) = sides {
                found.raise_sides(*id, [a, b]);
            }
        }
    }
}

/// An admittance: real and imaginary part, siemens.
type Admittance = (f64, f64);

fn times(a: Admittance, b: Admittance) -> Admittance {
    (a.0 * b.0 - a.1 * b.1, a.0 * b.1 + a.1 * b.0)
}

fn over(a: Admittance, b: Admittance) -> Admittance {
    let square = b.0 * b.0 + b.1 * b.1;
    ((a.0 * b.0 + a.1 * b.1) / square, (a.1 * b.0 - a.0 * b.1) / square)
}

fn size(a: Admittance) -> f64 {
    math::sqrt(a.0 * a.0 + a.1 * a.1)
}

/// Points at one potential, what stands at each, and the admittances between them.
struct Star {
    point_of: BTreeMap<NodeId, usize>,
    own: Vec<Prospective>,
    between: Vec<BTreeMap<usize, Admittance>>,
}

impl Star {
    fn new(
        at: BTreeMap<NodeId, Prospective>,
        branches: impl Iterator<Item = (NodeId, NodeId, Ohms)>,
    ) -> Self {
        let nodes: Vec<NodeId> = at.keys().copied().collect();
        let position: BTreeMap<NodeId, usize> = nodes.iter().copied().zip(0..).collect();
        let mut parent: Vec<usize> = (0..nodes.len()).collect();
        let mut resisting = Vec::new();
        for (a, b, ohms) in branches {
            let (Some(a), Some(b)) = (position.get(&a), position.get(&b)) else { continue };
            if ohms > Ohms::ZERO {
                resisting.push((*a, *b, 1.0 / ohms.value()));
            } else {
                let (a, b) = (root(&parent, *a), root(&parent, *b));
                if let Some(slot) = parent.get_mut(a.max(b)) {
                    *slot = a.min(b);
                }
            }
        }
        let mut star = Self {
            point_of: nodes.iter().copied().zip((0..nodes.len()).map(|i| root(&parent, i))).collect(),
            own: vec![Prospective::default(); nodes.len()],
            between: vec![BTreeMap::new(); nodes.len()],
        };
        for (node, side) in at {
            let point = star.point_of.get(&node).copied().unwrap_or(0);
            if let Some(sum) = star.own.get_mut(point) {
                sum.add(&side);
            }
        }
        for (a, b, siemens) in resisting {
            star.join(root(&parent, a), root(&parent, b), (siemens, 0.0));
        }
        star
    }

    fn join(&mut self, a: usize, b: usize, admittance: Admittance) {
        if a == b {
            return;
        }
        for (here, there) in [(a, b), (b, a)] {
            if let Some(list) = self.between.get_mut(here) {
                let sum = list.entry(there).or_default();
                *sum = (sum.0 + admittance.0, sum.1 + admittance.1);
            }
        }
    }

    /// What is left at the nodes that are kept once all others are eliminated.
    fn kept(mut self, keep: &[NodeId]) -> Vec<Prospective> {
        let kept: Vec<usize> = keep.iter().filter_map(|node| self.point_of.get(node).copied()).collect();
        let points: BTreeSet<usize> = self.point_of.values().copied().collect();
        let mut left: BTreeSet<usize> = points.into_iter().filter(|point| !kept.contains(point)).collect();
        // The point with the fewest neighbors goes first: chains fold up without filling the mesh.
        while let Some(point) =
            left.iter().copied().min_by_key(|point| self.between.get(*point).map_or(0, BTreeMap::len))
        {
            left.remove(&point);
            self.eliminate(point);
        }
        kept.iter().map(|point| self.own.get(*point).copied().unwrap_or_default()).collect()
    }

    fn eliminate(&mut self, point: usize) {
        let arms: Vec<(usize, Admittance)> =
            self.between.get_mut(point).map(std::mem::take).unwrap_or_default().into_iter().collect();
        let own = self.own.get(point).copied().unwrap_or_default();
        let (conductance, susceptance) = own.admittance();
        let shunt = (conductance, -susceptance);
        let total = arms.iter().fold(shunt, |sum, (_, arm)| (sum.0 + arm.0, sum.1 + arm.1));
        for (neighbor, arm) in &arms {
            if let Some(list) = self.between.get_mut(*neighbor) {
                list.remove(&point);
            }
            let share = over(*arm, total);
            let passed_on = times(share, shunt);
            if let Some(slot) = self.own.get_mut(*neighbor) {
                slot.take(size(share), &own, (passed_on.0, -passed_on.1));
            }
        }
        for (i, (a, arm)) in arms.iter().enumerate() {
            for (b, other) in arms.iter().skip(i + 1) {
                self.join(*a, *b, times(over(*arm, total), *other));
            }
        }
    }
}

fn root(parent: &[usize], start: usize) -> usize {
    let mut here = start;
    while let Some(up) = parent.get(here).copied()
        && up != here
    {
        here = up;
    }
    here
}
