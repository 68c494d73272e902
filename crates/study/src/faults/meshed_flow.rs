//! Currents of the smallest fault where runs form rings: one linear solution for each place of the fault.
//!
//! Points joined without resistance are one unknown. What flows through the devices between such points follows
//! from what each point takes in; where devices stand side by side without resistance their shares are unknown.

use super::smallest::Weak;
use super::sources::Resistances;
use crate::network::{Link, LinkId, Network, NodeId};
use lineside_core::units::Ohms;
use std::collections::{BTreeMap, BTreeSet};

/// What comes over a link toward the node from which one looks.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) enum Flow {
    /// Nothing, or it goes the other way.
    Nothing,
    /// So much, from a node at that voltage.
    Amps {
        /// Amperes.
        amps: f64,
        /// Volts at the far node.
        volts: f64,
    },
    /// Something, but the share of this link cannot be told.
    Unknown {
        /// Volts at the far node.
        volts: f64,
    },
}

/// The currents of one fault.
pub(super) struct Flows {
    /// Amperes from the link's `a` to its `b`; `None` where the share is unknown.
    amps: BTreeMap<LinkId, Option<f64>>,
    volts: BTreeMap<NodeId, f64>,
    ends: BTreeMap<LinkId, (NodeId, NodeId)>,
}

impl Flows {
    /// What comes over a link, whichever way it goes.
    pub fn of(&self, id: LinkId) -> Flow {
        let Some((a, b)) = self.ends.get(&id) else { return Flow::Nothing };
        let volts = |node| self.volts.get(node).copied().unwrap_or(0.0);
        match self.amps.get(&id) {
            Some(Some(amps)) if *amps > 0.0 => Flow::Amps { amps: *amps, volts: volts(a) },
            Some(Some(amps)) if *amps < 0.0 => Flow::Amps { amps: -amps, volts: volts(b) },
            Some(None) => Flow::Unknown { volts: volts(a).max(volts(b)) },
            Some(Some(_)) | None => Flow::Nothing,
        }
    }
}

/// Above so many unknowns a fault in a ring is not followed.
const UNKNOWNS: usize = 300;

/// Solves for a short circuit at a node; `None` when the ring is too large.
pub(super) fn flows(
    network: &Network,
    passes: &impl Fn(LinkId, &Link) -> bool,
    resistances: &Resistances,
    own: &[Weak],
    fault: NodeId,
) -> Option<Flows> {
    let (nodes, links) = gather(network, passes, fault);
    let points = Points::of(&nodes, &links, resistances);
    let unknowns: BTreeMap<usize, usize> =
        points.all().filter(|point| *point != points.of_node(fault)).zip(0..).collect();
    if unknowns.len() > UNKNOWNS {
        return None;
    }
    let mut matrix = vec![vec![0.0; unknowns.len() + 1]; unknowns.len()];
    let mut add = |row: Option<&usize>, column: Option<usize>, value: f64| {
        if let (Some(row), Some(column)) = (row, column)
            && let Some(slot) = matrix.get_mut(*row).and_then(|row| row.get_mut(column))
        {
            *slot += value;
        }
    };
    for node in &nodes {
        let weak = own.get(node.index()).copied().unwrap_or_default();
        let row = unknowns.get(&points.of_node(*node));
        add(row, row.copied(), weak.siemens);
        add(row, Some(unknowns.len()), weak.amps);
    }
    for (id, link) in &links {
        let ohms = resistances.ohms(*id);
        if ohms > Ohms::ZERO {
            let siemens = 1.0 / ohms.value();
            let (a, b) = (unknowns.get(&points.of_node(link.a)), unknowns.get(&points.of_node(link.b)));
            add(a, a.copied(), siemens);
            add(b, b.copied(), siemens);
            add(a, b.copied(), -siemens);
            add(b, a.copied(), -siemens);
        }
    }
    let solved = solve(matrix)?;
    let volts_of = |node: &NodeId| {
        let unknown = unknowns.get(&points.of_node(*node));
        unknown.and_then(|unknown| solved.get(*unknown).copied()).unwrap_or(0.0)
    };
    let volts: BTreeMap<NodeId, f64> = nodes.iter().map(|node| (*node, volts_of(node))).collect();
    Some(Flows {
        amps: currents(&nodes, &links, resistances, own, &volts, fault),
        ends: links.iter().map(|(id, link)| (*id, (link.a, link.b))).collect(),
        volts,
    })
}

/// Everything that hangs together with a node.
fn gather(
    network: &Network,
    passes: &impl Fn(LinkId, &Link) -> bool,
    from: NodeId,
) -> (BTreeSet<NodeId>, BTreeMap<LinkId, Link>) {
    let mut nodes = BTreeSet::from([from]);
    let mut links = BTreeMap::new();
    let mut waiting = vec![from];
    while let Some(node) = waiting.pop() {
        for (id, link) in network.links_at(node) {
            if link.a != link.b && passes(id, link) {
                links.insert(id, *link);
                if nodes.insert(link.other(node)) {
                    waiting.push(link.other(node));
                }
            }
        }
    }
    (nodes, links)
}

/// Nodes that are joined without resistance.
struct Points {
    of: BTreeMap<NodeId, usize>,
}

impl Points {
    fn of(nodes: &BTreeSet<NodeId>, links: &BTreeMap<LinkId, Link>, resistances: &Resistances) -> Self {
        let mut beside: BTreeMap<NodeId, Vec<NodeId>> = BTreeMap::new();
        for (_, link) in links.iter().filter(|(id, _)| resistances.ohms(**id) <= Ohms::ZERO) {
            beside.entry(link.a).or_default().push(link.b);
            beside.entry(link.b).or_default().push(link.a);
        }
        let mut of = BTreeMap::new();
        for (point, first) in nodes.iter().enumerate() {
            let mut waiting = vec![*first];
            while let Some(node) = waiting.pop() {
                if let std::collections::btree_map::Entry::Vacant(entry) = of.entry(node) {
                    entry.insert(point);
                    waiting.extend(beside.get(&node).into_iter().flatten());
                }
            }
        }
        Self { of }
    }
    fn all(&self) -> impl Iterator<Item = usize> {
        self.of.values().copied().collect::<BTreeSet<_>>().into_iter()
    }
    fn of_node(&self, node: NodeId) -> usize {
        self.of.get(&node).copied().unwrap_or(usize::MAX)
    }
}

/// Gaussian elimination with the greatest pivot of each column; `None` when it has no solution.
fn solve(mut matrix: Vec<Vec<f64>>) -> Option<Vec<f64>> {
    let count = matrix.len();
    for column in 0..count {
        let pivot = (column..count).max_by(|a, b| {
            let at =
                |row: &usize| matrix.get(*row).and_then(|row| row.get(column)).map_or(0.0, |it| it.abs());
            at(a).total_cmp(&at(b))
        })?;
        matrix.swap(column, pivot);
        let pivot_row = matrix.get(column)?.clone();
        let by = pivot_row.get(column).copied().filter(|by| by.abs() > 0.0)?;
        for row in matrix.iter_mut().skip(column + 1) {
            let factor = row.get(column).copied().unwrap_or(0.0) / by;
            for (slot, above) in row.iter_mut().zip(&pivot_row).skip(column) {
                *slot -= factor * above;
            }
        }
    }
    let mut solved = vec![0.0; count];
    for (index, row) in matrix.iter().enumerate().rev() {
        let known: f64 = row.iter().zip(&solved).skip(index + 1).map(|(a, x)| a * x).sum();
        let value = (row.last()? - known) / row.get(index)?;
        *solved.get_mut(index)? = value;
    }
    Some(solved)
}

/// Currents over every link: over runs from the voltages, over devices from what each node takes in.
fn currents(
    nodes: &BTreeSet<NodeId>,
    links: &BTreeMap<LinkId, Link>,
    resistances: &Resistances,
    own: &[Weak],
    volts: &BTreeMap<NodeId, f64>,
    fault: NodeId,
) -> BTreeMap<LinkId, Option<f64>> {
    let at = |node: &NodeId| volts.get(node).copied().unwrap_or(0.0);
    let mut taken: BTreeMap<NodeId, f64> = BTreeMap::new();
    for node in nodes {
        let weak = own.get(node.index()).copied().unwrap_or_default();
        taken.insert(*node, weak.amps - weak.siemens * at(node));
    }
    let mut amps = BTreeMap::new();
    let mut left: BTreeMap<NodeId, BTreeSet<LinkId>> = BTreeMap::new();
    for (id, link) in links {
        let ohms = resistances.ohms(*id);
        if ohms > Ohms::ZERO {
            let here = (at(&link.a) - at(&link.b)) / ohms.value();
            *taken.entry(link.a).or_default() -= here;
            *taken.entry(link.b).or_default() += here;
            amps.insert(*id, Some(here));
        } else {
            amps.insert(*id, None);
            left.entry(link.a).or_default().insert(*id);
            left.entry(link.b).or_default().insert(*id);
        }
    }
    let ends = |left: &BTreeMap<NodeId, BTreeSet<LinkId>>, node: &NodeId| {
        let list = left.get(node)?;
        if list.len() == 1 && *node != fault { list.first().copied() } else { None }
    };
    let mut waiting: Vec<NodeId> = left.keys().copied().collect();
    while let Some(node) = waiting.pop() {
        let Some(id) = ends(&left, &node) else { continue };
        let Some(link) = links.get(&id) else { continue };
        let here = taken.get(&node).copied().unwrap_or(0.0);
        amps.insert(id, Some(if link.a == node { here } else { -here }));
        let other = link.other(node);
        *taken.entry(other).or_default() += here;
        for end in [node, other] {
            if let Some(list) = left.get_mut(&end) {
                list.remove(&id);
            }
        }
        waiting.push(other);
    }
    amps
}
