//! Currents of all links of an island.
//!
//! Without rings they follow from what devices bring and take, whatever the resistances, and so to the last digit. With
//! rings those of conductors follow from the voltages, and those inside a joint, through closed contacts and bars, again
//! from what flows in and out; in a ring without resistance they are not determined, and equal contacts are assumed.

use super::elimination::Plan;
use super::phasor::Phasor;
use super::wiring::{Conducts, Island};
use crate::network::{LinkId, Network, NodeId};

/// A closed link of a joint: its id, and the positions of its ends in the island's list of nodes.
#[derive(Clone, Copy, Debug)]
struct Contact {
    link: LinkId,
    a: usize,
    b: usize,
}

/// How a node was reached: by which contact, and from which node in the order of the walk.
#[derive(Clone, Copy, Debug)]
struct Way {
    by: Contact,
    from: usize,
}

/// The current of every link that conducts, from its beginning to its end. `injected` is what devices bring to each node
/// of the island, in the order of its nodes; `ties` what flows through its conductors by their voltages.
pub(super) fn currents<F: Phasor>(
    network: &Network,
    island: &Island,
    mut injected: Vec<F>,
    ties: impl Fn(usize) -> F,
    conducts: impl Fn(LinkId) -> Conducts,
) -> Vec<(LinkId, F)> {
    let mut found = Vec::new();
    let whole = walks(network, island, |link| conducts(link) != Conducts::Not);
    if let [walk] = whole.as_slice()
        && !walk.has_rings()
    {
        walk.by_sums(&injected, &mut found);
        return found;
    }
    let position = |node: NodeId| island.nodes.binary_search(&node).ok();
    for (tie, conductor) in island.conductors.iter().enumerate() {
        let (Some(link), amps) = (network.link(conductor.link), ties(tie)) else { continue };
        found.push((conductor.link, amps));
        if let Some(sum) = position(link.a).and_then(|at| injected.get_mut(at)) {
            *sum = sum.minus(amps);
        }
        if let Some(sum) = position(link.b).and_then(|at| injected.get_mut(at)) {
            *sum = sum.plus(amps);
        }
    }
    for walk in walks(network, island, |link| conducts(link) == Conducts::Freely) {
        if walk.has_rings() {
            walk.by_equal_contacts(&injected, &mut found);
        } else {
            walk.by_sums(&injected, &mut found);
        }
    }
    found
}

/// Walks that together reach every node of an island through the links that pass.
fn walks(network: &Network, island: &Island, passes: impl Fn(LinkId) -> bool) -> Vec<Walk> {
    let position = |node: NodeId| island.nodes.binary_search(&node).ok();
    let mut seen = vec![false; island.nodes.len()];
    let mut walks = Vec::new();
    for start in 0..island.nodes.len() {
        if seen.get(start).copied().unwrap_or(true) {
            continue;
        }
        let mut walk = Walk::default();
        walk.visit(start, None, &mut seen);
        let mut from = 0;
        while let Some(here) = walk.order.get(from).copied() {
            let Some(node) = island.nodes.get(here) else { break };
            for (id, link) in network.links_at(*node).filter(|(id, _)| passes(*id)) {
                let (Some(a), Some(b)) = (position(link.a), position(link.b)) else { continue };
                let there = if a == here { b } else { a };
                let by = Contact { link: id, a, b };
                if !seen.get(there).copied().unwrap_or(true) {
                    walk.visit(there, Some(Way { by, from }), &mut seen);
                } else if walk.ways.get(from).copied().flatten().is_none_or(|way| way.by.link != id) {
                    walk.chord(by);
                }
            }
            from += 1;
        }
        walks.push(walk);
    }
    walks
}

/// Nodes that hang together, in the order in which they were reached.
#[derive(Default)]
struct Walk {
    order: Vec<usize>,
    /// For each of them how it was reached.
    ways: Vec<Option<Way>>,
    chords: Vec<Contact>,
}

impl Walk {
    fn visit(&mut self, node: usize, way: Option<Way>, seen: &mut [bool]) {
        if let Some(slot) = seen.get_mut(node) {
            *slot = true;
        }
        self.order.push(node);
        self.ways.push(way);
    }

    /// A link between nodes that are reached already; it is met from both.
    fn chord(&mut self, contact: Contact) {
        if self.chords.iter().all(|it| it.link != contact.link) {
            self.chords.push(contact);
        }
    }

    fn has_rings(&self) -> bool {
        self.chords.iter().any(|chord| chord.a != chord.b)
    }

    /// From the far ends back: what comes together in a branch flows through the contact that leads to it.
    fn by_sums<F: Phasor>(&self, injected: &[F], found: &mut Vec<(LinkId, F)>) {
        let at = |node: usize| injected.get(node).copied().unwrap_or_default();
        let mut sums: Vec<F> = self.order.iter().map(|node| at(*node)).collect();
        for (i, node) in self.order.iter().enumerate().rev() {
            let Some(Way { by, from }) = self.ways.get(i).copied().flatten() else { continue };
            let out = sums.get(i).copied().unwrap_or_default();
            found.push((by.link, if by.a == *node { out } else { F::default().minus(out) }));
            if let Some(sum) = sums.get_mut(from) {
                *sum = sum.plus(out);
            }
        }
    }

    /// As through contacts of one siemens each.
    fn by_equal_contacts<F: Phasor>(&self, injected: &[F], found: &mut Vec<(LinkId, F)>) {
        let local = |node: usize| self.order.iter().position(|other| *other == node).unwrap_or_default();
        let ways = self.ways.iter().flatten().map(|way| way.by);
        let contacts: Vec<Contact> = ways.chain(self.chords.iter().copied()).collect();
        let ends: Vec<(usize, usize)> = contacts.iter().map(|it| (local(it.a), local(it.b))).collect();
        let plan = Plan::new(self.order.len(), &ends);
        let mut matrix = plan.matrix::<F>();
        // The first node holds the others.
        matrix.add_diagonal(0, F::siemens(1.0));
        for (i, (a, b)) in ends.iter().enumerate() {
            if let Some((forth, back)) = plan.pair(i) {
                matrix.add(forth, F::siemens(-1.0));
                matrix.add(back, F::siemens(-1.0));
                matrix.add_diagonal(*a, F::siemens(1.0));
                matrix.add_diagonal(*b, F::siemens(1.0));
            }
        }
        let mut rise: Vec<F> =
            self.order.iter().map(|node| injected.get(*node).copied().unwrap_or_default()).collect();
        let total = rise.iter().fold(F::default(), |sum, amps| sum.plus(*amps));
        if let Some(first) = rise.first_mut() {
            // What the solver left over stays where the sums begin.
            *first = first.minus(total);
        }
        if plan.factor(&mut matrix).is_err() {
            return;
        }
        plan.solve(&matrix, &mut rise);
        let at = |node: usize| rise.get(node).copied().unwrap_or_default();
        for (contact, (a, b)) in contacts.iter().zip(&ends) {
            found.push((contact.link, at(*a).minus(at(*b))));
        }
    }
}
