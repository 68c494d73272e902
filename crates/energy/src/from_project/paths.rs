//! Ways through the network: which runs lie between two points, and what they resist to the currents that share them.

use super::bus::{At, Bus};
use super::{Sheet, Statement};
use lineside_codes::resistance;
use lineside_core::circuit::{BlockId, RunId};
use lineside_core::kinds::common::Position;
use lineside_core::units::{Amps, Celsius, Ohms, Volts};
use lineside_study::{LinkId, LinkKind, NodeId};
use std::collections::{BTreeMap, BTreeSet, VecDeque};

/// The runs on the way from a point to where all ways begin.
pub(super) type Way = Vec<RunId>;

impl Sheet<'_> {
    /// The first link on the way to `root` from every point that hangs together with it. Converters and open positions of
    /// transfer switches are not passed; other devices are, whether drawn open or closed.
    fn ways_to(&self, root: NodeId) -> BTreeMap<NodeId, (LinkId, NodeId)> {
        let network = &self.studies.network;
        let mut toward: BTreeMap<NodeId, (LinkId, NodeId)> = BTreeMap::new();
        let mut waiting = VecDeque::from([root]);
        while let Some(node) = waiting.pop_front() {
            for (id, link) in network.links_at(node) {
                let other = link.other(node);
                if other == root || toward.contains_key(&other) || link.kind == LinkKind::Converter {
                    continue;
                }
                let shut = network
                    .pole_of(link)
                    .is_some_and(|it| it.pole.throw.is_some() && it.pole.position == Position::Open);
                if !shut {
                    toward.insert(other, (id, node));
                    waiting.push_back(other);
                }
            }
        }
        toward
    }

    /// The runs from each point to a root, with what is drawn open on them told. `None` where there is no way.
    pub(super) fn ways(&mut self, root: NodeId, from: &[At]) -> Vec<Option<Way>> {
        let toward = self.ways_to(root);
        let mut opened: BTreeSet<BlockId> = BTreeSet::new();
        let ways = from
            .iter()
            .map(|at| {
                let mut way = Way::new();
                let mut node = at.node;
                while node != root {
                    let (id, next) = *toward.get(&node)?;
                    let link = self.studies.network.link(id)?;
                    if let LinkKind::Run(run) = link.kind {
                        way.push(run);
                    }
                    let drawn_open = self.studies.network.pole_of(link).filter(|it| {
                        it.pole.throw.is_none() && !it.is_relay() && it.pole.position == Position::Open
                    });
                    opened.extend(drawn_open.map(|it| it.block));
                    node = next;
                }
                Some(way)
            })
            .collect();
        for block in opened {
            self.say(Statement::DrawnOpen(block));
        }
        ways
    }

    /// Resistance of a run, both ways, at a conductor temperature; nothing for a joint without conductors.
    pub(super) fn resistance(&mut self, run: RunId, celsius: Celsius) -> Ohms {
        let on = self.on;
        let Some(conductor) = on.project.circuit.run(run).and_then(|run| run.conductor.as_ref()) else {
            return Ohms::ZERO;
        };
        let found = resistance::direct(on.codes, on.rule_set, conductor, celsius).ok();
        if found.is_none() {
            self.say(Statement::NoResistance(run));
        }
        found.map_or(Ohms::ZERO, |found| found.both_ways)
    }

    /// What each of several currents meets on its way when they share runs: a run that carries twice the current counts
    /// twice for it.
    pub(super) fn shared(&mut self, ways: &[Option<Way>], currents: &[Amps], celsius: Celsius) -> Vec<Ohms> {
        let mut carried: BTreeMap<RunId, Amps> = BTreeMap::new();
        for (way, current) in ways.iter().zip(currents) {
            for run in way.iter().flatten() {
                *carried.entry(*run).or_insert(Amps::ZERO) += *current;
            }
        }
        let mut found = Vec::with_capacity(ways.len());
        for (way, current) in ways.iter().zip(currents) {
            let mut ohms = Ohms::ZERO;
            for run in way.iter().flatten() {
                let all = carried.get(run).copied().unwrap_or_default();
                let times = if *current > Amps::ZERO { all / *current } else { 1.0 };
                ohms += self.resistance(*run, celsius) * times;
            }
            found.push(ohms);
        }
        found
    }
}

/// Resistances of the battery bus.
#[derive(Clone, Debug, Default)]
pub(super) struct Consumers {
    /// Between the bank and the point where everything else meets.
    pub cable: Ohms,
    /// Beyond that point, for each controller and each inverter of the bus.
    pub to_controllers: Vec<Ohms>,
    pub to_inverters: Vec<Ohms>,
}

impl Sheet<'_> {
    /// Parts the runs of the battery bus into the bank's own and those of controllers and inverters.
    pub(super) fn consumers(&mut self, bus: &Bus, nominal: Volts) -> Consumers {
        let celsius = self.tables.defaults.indoor_conductor;
        let all: Vec<At> = bus.controllers.iter().chain(&bus.inverters).copied().collect();
        let currents: Vec<Amps> = all.iter().map(|at| self.rated_current(at.block, nominal)).collect();
        let mut own: Vec<BTreeSet<RunId>> = Vec::new();
        let mut first_ways: Vec<Option<Way>> = Vec::new();
        for (n, bank) in bus.banks.iter().enumerate() {
            let ways = self.ways(bank.node, &all);
            let sets = ways.iter().flatten().map(|way| way.iter().copied().collect::<BTreeSet<_>>());
            own.push(sets.reduce(|a, b| &a & &b).unwrap_or_default());
            if n == 0 {
                for (at, _) in all.iter().zip(&ways).filter(|(_, way)| way.is_none()) {
                    self.say(Statement::NoWay(bank.block, at.block));
                }
                first_ways = ways;
            }
        }
        let common = own.iter().cloned().reduce(|a, b| &a & &b).unwrap_or_default();
        let common = if own.len() > 1 { common } else { BTreeSet::new() };
        let mut conductance = 0.0;
        let mut shorted = false;
        for runs in &own {
            let ohms: Ohms = runs.difference(&common).map(|run| self.resistance(*run, celsius)).sum();
            shorted = shorted || ohms <= Ohms::ZERO;
            conductance += 1.0 / ohms.value().max(f64::MIN_POSITIVE);
        }
        let parallel = if shorted || own.is_empty() { Ohms::ZERO } else { Ohms::new(1.0 / conductance) };
        let series: Ohms = common.iter().map(|run| self.resistance(*run, celsius)).sum();
        let bank_runs = own.first().cloned().unwrap_or_default();
        let beyond: Vec<Option<Way>> = first_ways
            .into_iter()
            .map(|way| way.map(|way| way.into_iter().filter(|run| !bank_runs.contains(run)).collect()))
            .collect();
        let mut ohms = self.shared(&beyond, &currents, celsius).into_iter();
        Consumers {
            cable: parallel + series,
            to_controllers: ohms.by_ref().take(bus.controllers.len()).collect(),
            to_inverters: ohms.collect(),
        }
    }
}
