//! Bus flow: the worst continuous current through a bus bar that the devices on it allow.
//!
//! Each feeder has the rating of the first overcurrent device met from the bus, or the limit of its source, or
//! the current of its loads, and a direction: in, out, or both. The bus carries at most what comes in and at
//! most what goes out, over every choice of directions of the two-way feeders.

use crate::conditions::Conditions;
use crate::currents::Currents;
use crate::holding::{Holding, HoldingCurrents};
use crate::network::{LinkId, LinkKind, Network, NodeId};
use crate::tally::{Port, Tally};
use crate::zones::{ZoneKind, Zones};
use lineside_codes::FactorKey;
use lineside_core::circuit::{BlockId, RunId, Side};
use lineside_core::kinds::Kind;
use lineside_core::units::Amps;
use std::collections::BTreeMap;

/// In which direction a feeder can carry current.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Direction {
    /// Into the bus.
    In,
    /// Out of the bus.
    Out,
    /// Either.
    Both,
}

/// One thing that hangs on a bus.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Feeder {
    /// The run by which it hangs on the bus.
    pub run: RunId,
    /// The device whose rating counts; `None` where the source or the loads do.
    pub device: Option<BlockId>,
    /// How much it may carry.
    pub amps: Amps,
    /// In which direction.
    pub direction: Direction,
}

/// What a bus may have to carry.
#[derive(Clone, Debug, PartialEq)]
pub struct BusFlow {
    /// Its feeders, in the order of taps.
    pub feeders: Vec<Feeder>,
    /// The worst over all directions.
    pub worst: Amps,
    /// The simple upper bound: everything that can come in.
    pub simple: Amps,
    /// Taps whose feeder has neither device nor limit.
    pub unlimited: Vec<RunId>,
}

/// The flows of every DC bus bar.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct BusFlows {
    buses: BTreeMap<BlockId, BusFlow>,
}

impl BusFlows {
    /// Of every bus, in the order of ids.
    pub fn all(&self) -> impl Iterator<Item = (BlockId, &BusFlow)> {
        self.buses.iter().map(|(bus, flow)| (*bus, flow))
    }
    /// Of one bus.
    pub fn of(&self, bus: BlockId) -> Option<&BusFlow> {
        self.buses.get(&bus)
    }
}

/// Finds the flow of every bus bar on a battery bus, from what stands on either side of its runs and what the devices
/// there let through.
pub fn study(
    on: &Conditions<'_>,
    network: &Network,
    zones: &Zones,
    currents: &Currents,
    holding: &HoldingCurrents,
) -> BusFlows {
    let on_battery =
        |block| network.point(block, 0).and_then(|node| zones.kind_of(node)) == Some(ZoneKind::Battery);
    let mut found = BusFlows::default();
    for block in
        on.project.circuit.blocks().filter(|block| block.kind() == Kind::BusBar && on_battery(block.id))
    {
        let mut flow =
            BusFlow { feeders: Vec::new(), worst: Amps::ZERO, simple: Amps::ZERO, unlimited: Vec::new() };
        for run in on.project.circuit.runs_at(block.id) {
            let (Some(id), Some(current)) = (network.run_link(run.id), currents.of(run.id)) else { continue };
            let Some(link) = network.link(id) else { continue };
            let (bus_end, far, far_end) = if run.from.block == block.id {
                (link.a, &current.to_side, Side::To)
            } else {
                (link.b, &current.from_side, Side::From)
            };
            if current.in_ring {
                flow.unlimited.push(run.id);
                continue;
            }
            let hangs = Hanging { run: run.id, link: id, bus_end, far, holds: holding.at(run.id, far_end) };
            match hangs.feeder(on, network) {
                Feeds::Nothing => {}
                Feeds::Limited(feeder) => flow.feeders.push(feeder),
                Feeds::Unlimited => flow.unlimited.push(run.id),
            }
        }
        flow.simple = flow.feeders.iter().filter(|it| it.direction != Direction::Out).map(|it| it.amps).sum();
        flow.worst = worst(&flow.feeders);
        found.buses.insert(block.id, flow);
    }
    found
}

/// A run of a bus and what it leads to.
struct Hanging<'a> {
    run: RunId,
    link: LinkId,
    bus_end: NodeId,
    far: &'a Tally,
    /// What can persist into a fault at its far end.
    holds: Holding,
}

/// What a run brings to a bus.
enum Feeds {
    Nothing,
    Limited(Feeder),
    Unlimited,
}

impl Hanging<'_> {
    fn feeder(&self, on: &Conditions<'_>, network: &Network) -> Feeds {
        let far = self.far;
        let gives = far.count(Port::Battery)
            + far.count(Port::ControllerOutput)
            + far.count(Port::DcConverter)
            + far.count(Port::Charger)
            > 0;
        let takes = far.count(Port::Battery) + far.count(Port::InverterDc) + far.count(Port::DcLoads) > 0;
        let direction = match (gives, takes) {
            (true, true) => Direction::Both,
            (true, false) => Direction::In,
            (false, true) => Direction::Out,
            (false, false) => return Feeds::Nothing,
        };
        let continuous = on.number(FactorKey::Continuous);
        let (device, amps) = match first_device(network, self.link, self.bus_end) {
            Some((block, rating)) => (Some(block), rating),
            // Batteries that come together behind it, each with a device of its own: these together.
            None if far.count(Port::Battery) > 0 => match self.holds.current() {
                Some(amps) => (None, amps.max(far.discharge())),
                None => return Feeds::Unlimited,
            },
            None if gives => (None, (far.chargers() * continuous).max(far.discharge())),
            None => (None, far.discharge()),
        };
        Feeds::Limited(Feeder { run: self.run, device, amps, direction })
    }
}

/// The first overcurrent device met when walking away from the bus along an unbranched path.
fn first_device(network: &Network, first: LinkId, from: NodeId) -> Option<(BlockId, Amps)> {
    let (mut link_id, mut node) = (first, from);
    for _ in 0..network.link_count() {
        let link = network.link(link_id)?;
        if let Some(pole) = network.pole_of(link)
            && let Some(rating) = pole.pole.overcurrent
        {
            return Some((pole.block, rating));
        }
        node = link.other(node);
        let mut onward =
            network.links_at(node).filter(|(id, link)| *id != link_id && link.kind != LinkKind::Converter);
        let next = onward.next()?;
        if onward.next().is_some() {
            return None;
        }
        link_id = next.0;
    }
    None
}

/// Up to so many two-way feeders every choice of directions is tried.
const TWO_WAY_TRIED: usize = 14;

/// Maximum over directions of the two-way feeders of `min(Σ in, Σ out)`.
fn worst(feeders: &[Feeder]) -> Amps {
    let sum =
        |direction| feeders.iter().filter(|it| it.direction == direction).map(|it| it.amps).sum::<Amps>();
    let (ins, outs) = (sum(Direction::In), sum(Direction::Out));
    let two_way: Vec<Amps> =
        feeders.iter().filter(|it| it.direction == Direction::Both).map(|it| it.amps).collect();
    let all: Amps = two_way.iter().copied().sum();
    if two_way.len() > TWO_WAY_TRIED {
        // No choice can do better than sharing out evenly, nor than all of it on one side.
        return ((ins + outs + all) / 2.0).min(ins + all).min(outs + all);
    }
    let mut greatest = Amps::ZERO;
    for choice in 0_u32..(1 << two_way.len()) {
        let into: Amps =
            two_way.iter().enumerate().filter(|(i, _)| choice & (1 << i) != 0).map(|(_, amps)| *amps).sum();
        let out: Amps =
            two_way.iter().enumerate().filter(|(i, _)| choice & (1 << i) == 0).map(|(_, amps)| *amps).sum();
        greatest = greatest.max((ins + into).min(outs + out));
    }
    greatest
}

#[cfg(test)]
mod tests {
    use super::*;

    fn feeders(list: &[(f64, Direction)]) -> Vec<Feeder> {
        let run = RunId::new(1).unwrap();
        list.iter()
            .map(|(amps, direction)| Feeder {
                run,
                device: None,
                amps: Amps::new(*amps),
                direction: *direction,
            })
            .collect()
    }

    #[test]
    fn hand_worked_buses() {
        use Direction::{Both, In, Out};
        // max(min(225 + 80 + 80, 150 + 20), min(80 + 80 + 150, 225 + 20)) = 245
        let off_grid = [(225.0, Both), (80.0, In), (80.0, In), (150.0, Both), (20.0, Out)];
        assert_eq!(worst(&feeders(&off_grid)), Amps::new(245.0));
        // max(min(3 × 200 + 200, 250), min(200 + 250, 3 × 200)) = 450
        let home = [(200.0, Both), (200.0, Both), (200.0, Both), (100.0, In), (100.0, In), (250.0, Both)];
        assert_eq!(worst(&feeders(&home)), Amps::new(450.0));
        // max(min(100 + 50, 80 + 5), min(50, 100 + 80 + 5)) = 85
        let hut = [(100.0, Both), (50.0, In), (80.0, Out), (5.0, Out)];
        assert_eq!(worst(&feeders(&hut)), Amps::new(85.0));
        assert_eq!(worst(&[]), Amps::ZERO);
    }

    #[test]
    fn many_two_way_feeders_are_bounded_from_above() {
        let many: Vec<(f64, Direction)> = (0..20).map(|i| (10.0 + f64::from(i), Direction::Both)).collect();
        let total: f64 = many.iter().map(|(amps, _)| amps).sum();
        assert_eq!(worst(&feeders(&many)), Amps::new(total / 2.0));
    }
}
