//! Which machines are joined: relays that close by themselves, automatic transfer switches, and what stands on each
//! island.
//!
//! A relay closes when a source that the inverter accepts is at its input, utility before generator, then by the number
//! of the input. An automatic transfer switch goes over when its normal side is dead and its other side is not.

use super::content::{self, Content};
use super::machines::{Given, Machines};
use super::positions;
use super::trips::Trips;
use super::wiring::{Conductors, Conducts, Wiring};
use crate::network::{LinkId, Network, NodeId};
use lineside_core::circuit::BlockId;
use lineside_core::kinds::Equipment;
use lineside_core::kinds::common::Fitted;

/// What holds the voltage of an island.
#[derive(Clone, Debug, PartialEq)]
pub(super) enum Holds {
    /// Nothing: it is dead.
    Nothing,
    /// Batteries, converters or strings: direct current.
    Direct,
    /// One utility or generator.
    Supply(usize),
    /// One inverter, or several that may run together.
    Inverters(Vec<usize>),
    /// Sources that must not meet.
    Joined(Vec<BlockId>),
    /// Direct and alternating current on one piece of wire.
    Mixed,
}

/// How everything is joined.
#[derive(Clone, Debug)]
pub(super) struct Topology<'a> {
    pub conductors: &'a Conductors,
    /// For each pole of the network whether it is closed.
    pub closed: Vec<bool>,
    pub wiring: Wiring,
    pub contents: Vec<Content>,
    pub holds: Vec<Holds>,
    /// For each inverter the input that it passes through.
    pub passing: Vec<Option<usize>>,
}

impl<'a> Topology<'a> {
    pub(super) fn resolve(
        given: &Given<'_>,
        machines: &Machines<'_>,
        conductors: &'a Conductors,
        trips: &Trips,
    ) -> Self {
        let mut closed = positions::by_hand(&given.on.project.circuit, given.network, given.state);
        let mut passing = vec![None; machines.inverters.len()];
        let mut changed_over = Vec::new();
        let mut wiring = Wiring::of(given.network, conductors, &closed);
        // Each round closes a relay or throws a switch for good.
        let rounds = machines.inverters.len() + given.network.poles().len() + 1;
        for _ in 0..rounds {
            let scene = Scene { given, machines, trips, wiring: &wiring };
            let live = scene.live_supplies();
            let mut changed = scene.close_relays(&live, &mut passing, &mut closed);
            changed |= scene.change_over(&live, &passing, &mut closed, &mut changed_over);
            if !changed {
                break;
            }
            wiring = Wiring::of(given.network, conductors, &closed);
        }
        let contents = content::of(machines, &wiring);
        let scene = Scene { given, machines, trips, wiring: &wiring };
        let holds = scene.holds(&contents, &passing);
        Self { conductors, closed, wiring, contents, holds, passing }
    }

    /// What a link does for current.
    pub(super) fn conducts(&self, network: &Network, id: LinkId) -> Conducts {
        self.conductors.of_link(network, id, &self.closed)
    }
    /// What holds the island of a node.
    pub(super) fn holds(&self, node: NodeId) -> &Holds {
        self.wiring.island(node).and_then(|island| self.holds.get(island)).unwrap_or(&Holds::Nothing)
    }
    /// Whether the island of a node has a direct voltage.
    pub(super) fn is_direct(&self, node: NodeId) -> bool {
        *self.holds(node) == Holds::Direct
    }
    /// Whether the island of a node has an alternating voltage.
    pub(super) fn is_alternating(&self, node: NodeId) -> bool {
        matches!(self.holds(node), Holds::Supply(_) | Holds::Inverters(_))
    }
}

/// One standing of the contacts while the relays are looked for.
struct Scene<'a> {
    given: &'a Given<'a>,
    machines: &'a Machines<'a>,
    trips: &'a Trips,
    wiring: &'a Wiring,
}

impl Scene<'_> {
    /// For each island the first supply that is there.
    fn live_supplies(&self) -> Vec<Option<usize>> {
        let mut live = vec![None; self.wiring.islands.len()];
        for (i, supply) in self.machines.supplies.iter().enumerate() {
            if supply.present
                && !self.trips.has(supply.block)
                && let Some(slot) = self.wiring.island(supply.node).and_then(|island| live.get_mut(island))
            {
                slot.get_or_insert(i);
            }
        }
        live
    }

    fn supply_at(&self, live: &[Option<usize>], node: NodeId) -> Option<usize> {
        live.get(self.wiring.island(node)?).copied().flatten()
    }

    fn close_relays(
        &self,
        live: &[Option<usize>],
        passing: &mut [Option<usize>],
        closed: &mut [bool],
    ) -> bool {
        let mut changed = false;
        for (inverter, passes) in self.machines.inverters.iter().zip(passing) {
            if passes.is_some() || inverter.is_off || self.trips.stops_relay(inverter.block) {
                continue;
            }
            let best = inverter
                .inputs
                .iter()
                .enumerate()
                .filter_map(|(at, input)| {
                    let supply = self.machines.supplies.get(self.supply_at(live, input.node)?)?;
                    let relay = self.given.network.poles().get(input.pole)?;
                    let number = inverter.inputs.get(at).map_or(0, |it| it.number);
                    let takes = inverter.accepts_supply(self.given, supply)
                        && !self.trips.refuses(inverter.block, number)
                        && !positions::is_kept_open(self.given.state, relay);
                    takes.then_some((supply.kind, at, input.pole))
                })
                .min();
            if let Some((_, at, pole)) = best {
                *passes = Some(at);
                if let Some(slot) = closed.get_mut(pole) {
                    *slot = true;
                }
                changed = true;
            }
        }
        changed
    }

    /// Throws automatic transfer switches whose drawn side is dead while the other is not.
    fn change_over(
        &self,
        live: &[Option<usize>],
        passing: &[Option<usize>],
        closed: &mut [bool],
        done: &mut Vec<BlockId>,
    ) -> bool {
        let mut changed = false;
        let network = self.given.network;
        let mut first = 0;
        for poles in network.poles().chunk_by(|a, b| a.block == b.block) {
            let range = first..first + poles.len();
            first = range.end;
            let Some(pole) = poles.first().filter(|pole| pole.pole.throw.is_some()) else { continue };
            if done.contains(&pole.block) || !self.is_automatic(pole.block) {
                continue;
            }
            // Each pole of a transfer leads from a supply's terminal to the load's.
            let fed = |pole: &crate::network::PoleInBlock| {
                let from = network.link(pole.link).map(|link| link.a);
                from.is_some_and(|node| self.is_fed(live, passing, node))
            };
            let stands = closed.get(range.clone()).unwrap_or(&[]);
            let now = poles.iter().zip(stands).any(|(pole, closed)| *closed && fed(pole));
            let other = poles.iter().zip(stands).any(|(pole, closed)| !*closed && fed(pole));
            if !now && other {
                done.push(pole.block);
                for stands in closed.get_mut(range).unwrap_or(&mut []) {
                    *stands = !*stands;
                }
                changed = true;
            }
        }
        changed
    }

    fn is_automatic(&self, block: BlockId) -> bool {
        let switch = self.given.on.project.circuit.block(block).map(|block| &block.equipment);
        let automatic = match switch {
            Some(Equipment::TransferSwitch(it)) => it.automatic == Fitted::Yes,
            _ => false,
        };
        automatic && !self.given.state.switches.keys().any(|(of, _)| *of == block)
    }

    fn is_fed(&self, live: &[Option<usize>], passing: &[Option<usize>], node: NodeId) -> bool {
        if self.supply_at(live, node).is_some() {
            return true;
        }
        let island = self.wiring.island(node);
        self.machines.inverters.iter().zip(passing).any(|(inverter, passes)| {
            passes.is_none()
                && self.wiring.island(inverter.out) == island
                && !inverter.is_off
                && !self.trips.has(inverter.block)
        })
    }

    fn holds(&self, contents: &[Content], passing: &[Option<usize>]) -> Vec<Holds> {
        let direct = self.direct(contents);
        // Where alternating current might meet it, direct current feeds nothing.
        let is_direct = |node: NodeId| {
            let island = self.wiring.island(node);
            let clean =
                island.and_then(|island| contents.get(island)).is_some_and(|it| it.alternating() == 0);
            clean && island.and_then(|island| direct.get(island)).copied().unwrap_or(false)
        };
        contents
            .iter()
            .zip(&direct)
            .map(|(content, direct)| {
                let alternating = self.alternating(content, passing, &is_direct);
                let live = *direct || alternating != Holds::Nothing;
                if live && content.direct() > 0 && content.alternating() > 0 {
                    Holds::Mixed
                } else if *direct {
                    Holds::Direct
                } else {
                    alternating
                }
            })
            .collect()
    }

    fn alternating(
        &self,
        content: &Content,
        passing: &[Option<usize>],
        is_direct: &impl Fn(NodeId) -> bool,
    ) -> Holds {
        let machines = self.machines;
        let supplies: Vec<usize> = content
            .supplies
            .iter()
            .copied()
            .filter(|i| machines.supplies.get(*i).is_some_and(|it| it.present && !self.trips.has(it.block)))
            .collect();
        let inverters: Vec<usize> = content
            .inverters_out
            .iter()
            .copied()
            .filter(|i| {
                let passes = passing.get(*i).copied().flatten().is_some();
                machines
                    .inverters
                    .get(*i)
                    .is_some_and(|it| !passes && !it.is_off && !self.trips.has(it.block) && is_direct(it.dc))
            })
            .collect();
        match (supplies.as_slice(), inverters.as_slice()) {
            ([], []) => Holds::Nothing,
            ([one], []) => Holds::Supply(*one),
            ([], _) if self.run_together(&inverters) => Holds::Inverters(inverters),
            _ => {
                let of_supplies =
                    supplies.iter().filter_map(|i| machines.supplies.get(*i)).map(|it| it.block);
                let of_inverters =
                    inverters.iter().filter_map(|i| machines.inverters.get(*i)).map(|it| it.block);
                Holds::Joined(of_supplies.chain(of_inverters).collect())
            }
        }
    }

    /// Whether inverters may feed one bus: one alone, or as many as each of their nameplates allows.
    fn run_together(&self, inverters: &[usize]) -> bool {
        let plates = || inverters.iter().filter_map(|i| self.machines.inverters.get(*i)).map(|it| it.plate);
        let system = plates().next().map(|plate| plate.ac_system);
        inverters.len() == 1
            || plates().all(|plate| {
                plate.parallel_units.is_some_and(|units| units as usize >= inverters.len())
                    && Some(plate.ac_system) == system
            })
    }

    /// For each island whether batteries, lit strings or a converter with a live input hold a direct voltage.
    fn direct(&self, contents: &[Content]) -> Vec<bool> {
        let machines = self.machines;
        let lit = |i: &usize| machines.strings.get(*i).is_some_and(|set| set.modules.is_some());
        let charged = |i: &usize| {
            machines
                .cells
                .get(*i)
                .and_then(|cells| machines.banks.get(cells.bank))
                .is_some_and(|bank| bank.string.is_some() && !self.trips.has(bank.block))
        };
        let mut direct: Vec<bool> = contents
            .iter()
            .map(|content| content.strings.iter().any(lit) || content.cells.iter().any(charged))
            .collect();
        for _ in 0..machines.converters.len() {
            let mut changed = false;
            for converter in &machines.converters {
                let at = |node| self.wiring.island(node);
                let clean =
                    |island: &usize| contents.get(*island).is_some_and(|content| content.alternating() == 0);
                let input = at(converter.input).filter(clean);
                let feeds = !converter.is_off
                    && !self.trips.has(converter.block)
                    && input.and_then(|island| direct.get(island)).copied().unwrap_or(false);
                if feeds
                    && at(converter.input) != at(converter.output)
                    && let Some(slot) = at(converter.output).and_then(|island| direct.get_mut(island))
                    && !*slot
                {
                    *slot = true;
                    changed = true;
                }
            }
            if !changed {
                break;
            }
        }
        direct
    }
}
