//! Protection: the overcurrent devices that stand in series with each run, at either end.
//!
//! From a run's end the walk goes on as long as the way does not branch: through switches, direct joints and
//! further runs of the same circuit, to the first overcurrent device.

use crate::network::{LinkId, LinkKind, Network, NodeId};
use lineside_core::circuit::{Circuit, IdMap, RunId, Side};

/// The first overcurrent device met from the end of a run.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Device {
    /// Position of the pole in [`Network::poles`].
    pub pole: usize,
    /// Whether other runs lie between the end and the device.
    pub beyond_runs: bool,
}

/// The devices in series with every run, and the runs in series with every device.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Protection {
    ends: IdMap<RunId, [Option<Device>; 2]>,
    /// For each pole the runs that end at it.
    runs: Vec<Vec<RunId>>,
}

impl Protection {
    /// The device at one end of a run.
    pub fn at(&self, run: RunId, side: Side) -> Option<Device> {
        let [from, to] = *self.ends.get(run)?;
        if side == Side::From { from } else { to }
    }
    /// The devices at both ends that stand right at the run, without another run between, each once.
    pub fn of(&self, run: RunId) -> Vec<usize> {
        let mut poles: Vec<usize> = Side::BOTH
            .into_iter()
            .filter_map(|side| self.at(run, side))
            .filter(|it| !it.beyond_runs)
            .map(|it| it.pole)
            .collect();
        poles.dedup();
        poles
    }
    /// The runs that end at a device, in the order of ids.
    pub fn runs_of(&self, pole: usize) -> &[RunId] {
        self.runs.get(pole).map_or(&[], Vec::as_slice)
    }
}

/// Finds the devices in series with every run.
pub fn study(circuit: &Circuit, network: &Network) -> Protection {
    let mut found = Protection { ends: IdMap::default(), runs: vec![Vec::new(); network.poles().len()] };
    for run in circuit.runs() {
        let Some(link) = network.run_link(run.id) else { continue };
        let ends = Side::BOTH.map(|side| walk(circuit, network, link, network.run_end(run.id, side)?));
        for device in ends.iter().flatten().filter(|device| !device.beyond_runs) {
            if let Some(runs) = found.runs.get_mut(device.pole)
                && runs.last() != Some(&run.id)
            {
                runs.push(run.id);
            }
        }
        found.ends.insert(run.id, ends);
    }
    found
}

fn walk(circuit: &Circuit, network: &Network, from: LinkId, start: NodeId) -> Option<Device> {
    let (mut came_by, mut node) = (from, start);
    let mut beyond_runs = false;
    for _ in 0..network.link_count() {
        let mut onward =
            network.links_at(node).filter(|(id, link)| *id != came_by && link.kind != LinkKind::Converter);
        let (id, link) = onward.next()?;
        if onward.next().is_some() || ends_here(network, node) {
            return None;
        }
        match link.kind {
            LinkKind::Pole(pole) => {
                let it = network.poles().get(pole)?;
                if it.pole.overcurrent.is_some() {
                    return Some(Device { pole, beyond_runs });
                }
                if it.is_relay() && it.pole.throw.is_some() {
                    return None;
                }
            }
            LinkKind::Run(run) => beyond_runs |= circuit.run(run).is_some_and(|run| run.conductor.is_some()),
            LinkKind::Solid => {}
            LinkKind::Converter => return None,
        }
        came_by = id;
        node = link.other(node);
    }
    None
}

/// A source or sink is the end of a circuit: what lies behind it is another one.
fn ends_here(network: &Network, node: NodeId) -> bool {
    network.has_source(node) || network.has_sink(node)
}
