//! Live and dead: where a voltage stands with every device as it is drawn, whatever source may be there.
//!
//! Strings, batteries, generators and utilities are taken to be there, so that what is called dead is dead by an open
//! device and by nothing else. What flows is in [`crate::flow`].

use crate::flow;
use crate::network::{Link, LinkKind, Network, NodeId, PoleInBlock};
use lineside_core::circuit::{Circuit, RunId, Side};
use lineside_core::kinds::Kind;
use lineside_core::kinds::inside::SourceKind;

/// Which nodes are live.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Liveness {
    live: Vec<bool>,
}

impl Liveness {
    /// Whether a source reaches a node.
    pub fn is_live(&self, node: NodeId) -> bool {
        self.live.get(node.index()).copied().unwrap_or(false)
    }

    /// Whether a source reaches an end of a run; a run that the network has not is dead.
    pub fn is_run_live(&self, network: &Network, run: RunId) -> bool {
        [Side::From, Side::To]
            .into_iter()
            .filter_map(|side| network.run_end(run, side))
            .any(|node| self.is_live(node))
    }
}

/// Whether a source makes energy itself, rather than passing on what reaches its converter.
const fn stands_alone(kind: SourceKind) -> bool {
    matches!(
        kind,
        SourceKind::Strings | SourceKind::BatteryString(_) | SourceKind::Generator | SourceKind::Utility
    )
}

/// Follows every source through what is closed as drawn.
pub fn study(circuit: &Circuit, network: &Network) -> Liveness {
    let closed = flow::closed_as_drawn(circuit, network);
    let mut live = vec![false; network.node_count()];
    let own = network.sources().iter().filter(|source| stands_alone(source.kind));
    let mut front: Vec<NodeId> = own.map(|source| source.node).collect();
    while let Some(node) = front.pop() {
        match live.get_mut(node.index()) {
            Some(known) if !*known => *known = true,
            Some(_) | None => continue,
        }
        let joined =
            network.links_at(node).filter(|(_, link)| leads_on(circuit, network, &closed, link, node));
        front.extend(joined.map(|(_, link)| link.other(node)));
    }
    Liveness { live }
}

/// Whether the voltage of a node stands at the other end of a link too.
fn leads_on(circuit: &Circuit, network: &Network, closed: &[bool], link: &Link, from: NodeId) -> bool {
    match link.kind {
        LinkKind::Run(_) | LinkKind::Solid => true,
        LinkKind::Converter => network.sources_at(link.other(from)).any(|source| !stands_alone(source.kind)),
        LinkKind::Pole(index) => {
            // The relay of an inverter closes by itself on a good source, never from its output to a dead inlet.
            let passes_on = |pole: &PoleInBlock| {
                pole.is_relay()
                    && link.a == from
                    && circuit.block(pole.block).is_some_and(|block| block.kind() == Kind::Inverter)
            };
            closed.get(index).copied().unwrap_or(false) || network.poles().get(index).is_some_and(passes_on)
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::network::expand;
    use lineside_core::kinds::field::Value;
    use lineside_core::testing::Bench;

    const BLOCKS: [(&str, &str); 8] = [
        ("S1", "Module string, 400 W modules"),
        ("Q1", "DC breaker, 70 A, 150 V"),
        ("C1", "Tracking controller, 150 V in, 60 A out"),
        ("Q2", "DC breaker, 80 A, 125 V"),
        ("B1", "Nickel-iron cell, 400 Ah"),
        ("INV1", "Inverter-charger, 4 kW, 48 V, 230 V"),
        ("U1", "Utility service, 230 V, 63 A"),
        ("Q3", "AC breaker, two-pole, 50 A, 240 V"),
    ];
    const RUNS: [(&str, &str, &str); 7] = [
        ("array", "S1.out", "Q1.line"),
        ("input", "Q1.load", "C1.pv"),
        ("output", "C1.battery", "Q2.load"),
        ("bank", "Q2.line", "B1.out"),
        ("inverter", "INV1.dc", "B1.out"),
        ("service", "U1.out", "Q3.line"),
        ("inlet", "Q3.load", "INV1.in1"),
    ];

    /// Tags of the runs that are dead when some breakers are open.
    fn dead(open: &[&str]) -> Vec<String> {
        let mut bench = Bench::new();
        for (tag, stock) in BLOCKS {
            let mut equipment = bench.stock(stock);
            if open.contains(&tag) {
                equipment.set("position", &Value::Choice("open")).unwrap();
            }
            bench.put(tag, None, equipment);
        }
        for (tag, from, to) in RUNS {
            bench.join(tag, from, to, None);
        }
        let circuit = &bench.project.circuit;
        let network = expand(circuit);
        let found = study(circuit, &network);
        let dead = circuit.runs().filter(|run| !found.is_run_live(&network, run.id));
        dead.map(|run| run.tag.clone()).collect()
    }

    #[test]
    fn closed_devices_make_everything_live() {
        assert!(dead(&[]).is_empty());
    }

    #[test]
    fn a_controller_is_live_from_both_sides() {
        // The bank reaches its output, and nothing goes back to the array.
        assert_eq!(dead(&["Q1"]), ["input"]);
        // The array alone keeps its output live.
        assert!(dead(&["Q2"]).is_empty());
        assert_eq!(dead(&["Q1", "Q2"]), ["input", "output"]);
    }

    #[test]
    fn an_inverter_does_not_feed_its_inlet() {
        assert_eq!(dead(&["Q3"]), ["inlet"]);
    }
}
