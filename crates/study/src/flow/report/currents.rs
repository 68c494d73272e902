//! Voltages of all nodes and what flows through all links.

use crate::flow::alternating::Power;
use crate::flow::found::LinkFlow;
use crate::flow::phasor::{Ac, Phasor};
use crate::flow::settle::{AcIsland, DcIsland, Place, Settled};
use crate::flow::spread;
use crate::flow::wiring::Island;
use crate::network::LinkId;
use lineside_core::units::{Amps, Volts, Watts};

/// For each node its voltage, for each link what flows through it.
pub(super) fn of(settled: &Settled<'_>) -> (Vec<Option<Volts>>, Vec<LinkFlow>) {
    let network = settled.given.network;
    let mut voltages = vec![None; network.node_count()];
    let mut links = vec![LinkFlow::default(); network.link_count()];
    for (i, island) in settled.topology.wiring.islands.iter().enumerate() {
        match settled.place(i) {
            Place::Direct(k) => {
                if let Some(work) = settled.direct.get(k) {
                    direct(settled, island, work, &mut links);
                    mark(settled, island, &mut voltages, |joint| work.volts.at(joint));
                }
            }
            Place::Alternating(k) => {
                if let Some(work) = settled.alternating.get(k) {
                    alternating(settled, island, work, &mut links);
                    let line = |joint| work.volts.at(joint).magnitude() * work.to_line;
                    mark(settled, island, &mut voltages, line);
                }
            }
            Place::Nowhere => {}
        }
    }
    (voltages, links)
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

fn direct(settled: &Settled<'_>, island: &Island, work: &DcIsland, links: &mut [LinkFlow]) {
    let network = settled.given.network;
    let duty = settled.duty(work);
    let mut injected = vec![0.0; island.nodes.len()];
    let mut add = |node, amps: f64| {
        let at = island.nodes.binary_search(&node).ok();
        if let Some(sum) = at.and_then(|at| injected.get_mut(at)) {
            *sum += amps;
        }
    };
    for (tie, conductor) in island.conductors.iter().enumerate() {
        let amps = work.grid.tie_current(tie, &work.volts);
        let Some(link) = network.link(conductor.link) else { continue };
        add(link.a, -amps);
        add(link.b, amps);
        let (a, b) = (work.volts.at(conductor.a), work.volts.at(conductor.b));
        let mean = amps * duty;
        put(links, conductor.link, flow_of(mean, a * mean, b * mean, amps * amps * conductor.ohms * duty));
    }
    for found in &work.found {
        if let Some(node) = settled.dc_node(found.who) {
            add(node, found.amps);
        }
    }
    let passes = |link| settled.topology.passes_freely(network, link);
    for (id, amps) in spread::currents(network, island, &injected, passes) {
        let joint = network.link(id).and_then(|link| settled.topology.wiring.place(link.a));
        let watts = joint.map_or(0.0, |(_, joint)| work.volts.at(joint)) * amps * duty;
        put(links, id, flow_of(amps * duty, watts, watts, 0.0));
    }
}

fn alternating(settled: &Settled<'_>, island: &Island, work: &AcIsland, links: &mut [LinkFlow]) {
    let network = settled.given.network;
    let conductors = work.conductors();
    for (tie, conductor) in island.conductors.iter().enumerate() {
        let amps: Ac = work.grid.tie_current(tie, &work.volts);
        let power_in = Power::of(work.volts.at(conductor.a), amps).watts;
        let power_out = Power::of(work.volts.at(conductor.b), amps).watts;
        let square = amps.along * amps.along + amps.across * amps.across;
        let lost = square * conductor.ohms * conductors;
        put(links, conductor.link, flow_of(signed(amps, power_in), power_in, power_out, lost));
    }
    let injected = settled.ac_injections(work);
    let passes = |link| settled.topology.passes_freely(network, link);
    for (id, amps) in spread::currents(network, island, &injected, passes) {
        let joint = network.link(id).and_then(|link| settled.topology.wiring.place(link.a));
        let volts = joint.map_or_else(Ac::default, |(_, joint)| work.volts.at(joint));
        let watts = Ac::watts(volts, amps);
        put(links, id, flow_of(signed(amps, watts), watts, watts, 0.0));
    }
}

/// The effective value, with the sign of the power.
fn signed(amps: Ac, watts: f64) -> f64 {
    if watts < 0.0 { -amps.magnitude() } else { amps.magnitude() }
}
