//! The walk over the network: which links part it, and what stands on either side, by taking each link out.

use crate::drawn::{Drawn, web};
use lineside_core::units::Amps;
use lineside_study::network::expand;
use lineside_study::tree::{Cut, Sum, cuts};
use lineside_study::{LinkId, Network, NodeId, Port};
use proptest::prelude::*;
use std::collections::{BTreeMap, BTreeSet};

#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
struct Weight(u64);

impl Sum for Weight {
    fn add(&mut self, other: &Self) {
        self.0 += other.0;
    }
}

/// Everything that hangs together with a node when a link is taken out.
fn reached(network: &Network, from: NodeId, without: LinkId) -> BTreeSet<NodeId> {
    let mut seen = BTreeSet::from([from]);
    let mut waiting = vec![from];
    while let Some(node) = waiting.pop() {
        for (id, link) in network.links() {
            if id == without || (link.a != node && link.b != node) {
                continue;
            }
            let other = if link.a == node { link.b } else { link.a };
            if seen.insert(other) {
                waiting.push(other);
            }
        }
    }
    seen
}

fn agrees(drawn: &Drawn, weights: &[u32]) -> Result<(), TestCaseError> {
    let network = expand(&drawn.sheet.project().circuit);
    let weigh = |i: usize| Weight(u64::from(weights[i % weights.len()]));
    let own: Vec<Weight> = (0..network.node_count()).map(weigh).collect();
    let of_node: BTreeMap<NodeId, Weight> =
        network.nodes().map(|(id, _)| id).zip(own.iter().copied()).collect();
    let sum = |nodes: &BTreeSet<NodeId>| Weight(nodes.iter().map(|node| of_node[node].0).sum());
    let found = cuts(&network, |_, _| true, |_, sum| sum, &own);
    for (id, link) in network.links() {
        let (a, b) = (reached(&network, link.a, id), reached(&network, link.b, id));
        if a.contains(&link.b) {
            prop_assert_eq!(found.of(id), Cut::Ring(&sum(&a)));
        } else {
            prop_assert_eq!(found.of(id), Cut::Bridge(&sum(&a), &sum(&b)));
        }
    }
    Ok(())
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 200, failure_persistence: None, ..ProptestConfig::default() })]

    #[test]
    fn bridges_and_their_sides_are_those_of_brute_force(
        drawn in web(),
        weights in prop::collection::vec(0..1000_u32, 1..40),
    ) {
        agrees(&drawn, &weights)?;
    }

    /// What stands on either side of a run, by sort, is what is reached when the run is taken out.
    #[test]
    fn the_sides_of_a_run_hold_what_is_reached(drawn in web()) {
        let verdict = drawn.sheet.check();
        let network = &verdict.studies().network;
        for (tag, ..) in &drawn.runs {
            let run = verdict.run(tag);
            let current = verdict.studies().currents.of(run).unwrap();
            let id = network.run_link(run).unwrap();
            let link = network.link(id).unwrap();
            let (a, b) = (reached(network, link.a, id), reached(network, link.b, id));
            prop_assert_eq!(current.in_ring, a.contains(&link.b));
            if current.in_ring {
                continue;
            }
            for (nodes, side) in [(&a, &current.from_side), (&b, &current.to_side)] {
                let at_bars = |bar: usize| {
                    let block = verdict.block(&format!("BUS{bar}"));
                    nodes.iter().any(|node| network.node(*node).is_some_and(|node| node.block == block))
                };
                let given = drawn.controllers.iter().enumerate().filter(|(bar, _)| at_bars(*bar));
                let chargers: f64 = given.map(|(_, amps)| amps).sum();
                let found: Amps = side.amps(Port::ControllerOutput);
                prop_assert!((found.value() - chargers).abs() < 1e-9, "{} found {}, not {}", tag, found, chargers);
            }
        }
    }
}
