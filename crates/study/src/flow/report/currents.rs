//! Voltages of all nodes and what flows through all links.

use crate::flow::alternating::Power;
use crate::flow::found::LinkFlow;
use crate::flow::phasor::{Ac, Phasor};
use crate::flow::settle::{AcIsland, DcIsland, Place, Settled};
use crate::flow::spread;
use crate::flow::wiring::{Conducts, Island};
use crate::network::{LinkId, NodeId};
use lineside_core::units::{Amps, Volts, Watts};

/// Voltages and currents, and how well the currents add up.
pub(super) struct Currents {
    /// For each node its voltage.
    pub voltages: Vec<Option<Volts>>,
    /// For each link what flows through it.
    pub links: Vec<LinkFlow>,
    /// Greatest current that is left over at a node, devices and links together, and the greatest of all currents.
    pub residual: (Amps, Amps),
}

/// For each node its voltage, for each link what flows through it.
pub(super) fn of(settled: &Settled<'_>) -> Currents {
    let network = settled.given.network;
    let mut voltages = vec![None; network.node_count()];
    let mut links = vec![LinkFlow::default(); network.link_count()];
    let mut sums = Sums::default();
    for (i, island) in settled.topology.wiring.islands.iter().enumerate() {
        match settled.place(i) {
            Place::Direct(k) => {
                if let Some(work) = settled.direct.get(k) {
                    direct(settled, island, work, &mut links, &mut sums);
                    mark(settled, island, &mut voltages, |joint| work.volts.at(joint));
                }
            }
            Place::Alternating(k) => {
                if let Some(work) = settled.alternating.get(k) {
                    alternating(settled, island, work, &mut links, &mut sums);
                    let line = |joint| work.volts.at(joint).magnitude() * work.to_line;
                    mark(settled, island, &mut voltages, line);
                }
            }
            Place::Nowhere => {}
        }
    }
    let amps = |value: f64| if value.is_finite() { Amps::new(value) } else { Amps::ZERO };
    Currents { voltages, links, residual: (amps(sums.left_over), amps(sums.largest)) }
}

/// How well currents add up.
#[derive(Default)]
struct Sums {
    left_over: f64,
    largest: f64,
}

impl Sums {
    /// Adds up an island: what devices bring to each node against what links carry away.
    fn add<F: Phasor>(
        &mut self,
        settled: &Settled<'_>,
        island: &Island,
        injected: &[F],
        currents: &[(LinkId, F)],
    ) {
        let mut left = injected.to_vec();
        let at = |node: NodeId| island.nodes.binary_search(&node).ok();
        for amps in injected {
            self.largest = self.largest.max(amps.size());
        }
        for (id, amps) in currents {
            self.largest = self.largest.max(amps.size());
            let Some(link) = settled.given.network.link(*id) else { continue };
            if let Some(sum) = at(link.a).and_then(|at| left.get_mut(at)) {
                *sum = sum.minus(*amps);
            }
            if let Some(sum) = at(link.b).and_then(|at| left.get_mut(at)) {
                *sum = sum.plus(*amps);
            }
        }
        self.left_over = left.iter().map(|sum| sum.size()).fold(self.left_over, f64::max);
    }
}

fn mark(settled: &Settled<'_>, island: &Island, voltages: &mut [Option<Volts>], at: impl Fn(usize) -> f64) {
    for node in &island.nodes {
        let joint = settled.topology.wiring.place(*node).map(|(_, joint)| joint);
        let volts = joint.map(&at).filter(|volts| volts.is_finite());
        if let Some(slot) = voltages.get_mut(node.index()) {
            *slot = volts.map(Volts::new);
        }
    }
}

fn put(links: &mut [LinkFlow], id: LinkId, flow: LinkFlow) {
    if let Some(slot) = links.get_mut(id.index()) {
        *slot = flow;
    }
}

fn flow_of(current: f64, power_in: f64, power_out: f64, lost: f64) -> LinkFlow {
    let watts = |value: f64| if value.is_finite() { Watts::new(value) } else { Watts::ZERO };
    LinkFlow {
        current: if current.is_finite() { Amps::new(current) } else { Amps::ZERO },
        power_in: watts(power_in),
        power_out: watts(power_out),
        lost: watts(lost),
    }
}

/// The joints at both ends of a link.
fn ends(settled: &Settled<'_>, id: LinkId) -> Option<(usize, usize)> {
    let link = settled.given.network.link(id)?;
    let joint = |node| settled.topology.wiring.place(node).map(|(_, joint)| joint);
    Some((joint(link.a)?, joint(link.b)?))
}

fn direct(settled: &Settled<'_>, island: &Island, work: &DcIsland, links: &mut [LinkFlow], sums: &mut Sums) {
    let network = settled.given.network;
    let duty = settled.duty(work);
    let mut injected = vec![0.0; island.nodes.len()];
    for found in &work.found {
        let node = settled.dc_node(found.who);
        let at = node.and_then(|node| island.nodes.binary_search(&node).ok());
        if let Some(sum) = at.and_then(|at| injected.get_mut(at)) {
            *sum += found.amps;
        }
    }
    let conducts = |link| settled.topology.conducts(network, link);
    let ties = |tie| work.grid.tie_current(tie, &work.volts);
    let currents = spread::currents(network, island, injected.clone(), ties, conducts);
    sums.add(settled, island, &injected, &currents);
    for (id, amps) in currents {
        let Some((a, b)) = ends(settled, id) else { continue };
        let (from, to) = (work.volts.at(a), work.volts.at(b));
        let (mean, lost) = (amps * duty, amps * amps * ohms(conducts(id)) * duty);
        put(links, id, flow_of(mean, from * mean, to * mean, lost));
    }
}

fn ohms(conducts: Conducts) -> f64 {
    match conducts {
        Conducts::Through(ohms) => ohms,
        Conducts::Freely | Conducts::Not => 0.0,
    }
}

fn alternating(
    settled: &Settled<'_>,
    island: &Island,
    work: &AcIsland,
    links: &mut [LinkFlow],
    sums: &mut Sums,
) {
    let injected = settled.ac_injections(island, work);
    let currents = settled.ac_currents(island, work, injected.clone());
    sums.add(settled, island, &injected, &currents);
    for (id, amps) in currents {
        let Some((a, b)) = ends(settled, id) else { continue };
        let power_in = Power::of(work.volts.at(a), amps).watts;
        let power_out = Power::of(work.volts.at(b), amps).watts;
        let square = amps.along * amps.along + amps.across * amps.across;
        let conducts = settled.topology.conducts(settled.given.network, id);
        let lost = square * ohms(conducts) * work.conductors();
        put(links, id, flow_of(signed(amps, power_in), power_in, power_out, lost));
    }
}

/// The effective value, with the sign of the power.
fn signed(amps: Ac, watts: f64) -> f64 {
    if watts < 0.0 { -amps.magnitude() } else { amps.magnitude() }
}
