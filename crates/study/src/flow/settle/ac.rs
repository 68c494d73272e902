//! An AC island in the search: its solution, and how a source's power is shared between loads and chargers.

use super::now::{Approach, Fingerprint};
use super::{Failed, Help, Settled};
use crate::flow::alternating::{self, Answer, Member, Power, Who};
use crate::flow::content::Content;
use crate::flow::machines::Machines;
use crate::flow::newton::{Device, Fit, Grid, Tie};
use crate::flow::phasor::{Ac, Phasor};
use crate::flow::spread;
use crate::flow::topology::{Holds, Topology};
use crate::flow::trips::{Goes, Trip};
use crate::flow::voltages::Voltages;
use crate::flow::wiring::Island;
use crate::network::{LinkId, NodeId};
use lineside_core::kinds::common::AcSystem;

/// An AC island.
#[derive(Clone, Debug)]
pub(in crate::flow) struct AcIsland {
    /// Its position in the wiring.
    pub island: usize,
    pub grid: Grid,
    pub volts: Voltages<Ac>,
    pub members: Vec<Member>,
    pub fit: Fit,
    /// Nominal voltage, as apparent power is divided by it to get the current.
    pub nominal: f64,
    /// From that to the voltage between lines.
    pub to_line: f64,
    /// The joint whose voltage one source holds; `None` where several inverters share.
    pub held: Option<usize>,
    /// The supply that holds it.
    pub supply: Option<usize>,
    /// The inverters that hold it.
    pub inverters: Vec<usize>,
    /// What the source gives.
    pub source: Power,
    known: Option<Fingerprint>,
}

/// Inverters that share a bus let the voltage fall by this share from no load to full load.
const DROOP: f64 = 1e-3;

impl AcIsland {
    pub(super) fn new(
        machines: &Machines<'_>,
        topology: &Topology<'_>,
        island: usize,
        holds: &Holds,
    ) -> Self {
        let (supply, inverters) = match holds {
            Holds::Supply(supply) => (Some(*supply), Vec::new()),
            Holds::Inverters(inverters) => (None, inverters.clone()),
            Holds::Nothing | Holds::Direct | Holds::Joined(_) | Holds::Mixed => (None, Vec::new()),
        };
        let first = inverters.first().and_then(|i| machines.inverters.get(*i));
        let source = supply.and_then(|i| machines.supplies.get(i)).map(|it| (it.system, it.node));
        let source = source.or_else(|| first.map(|it| (it.plate.ac_system, it.out)));
        let (system, node) = source.unzip();
        let system = system.unwrap_or(AcSystem::Single120);
        let nominal = system.current_voltage().value();
        // Loss by the phase: two loaded conductors carry the current of one phase, three that of three.
        let conductors = f64::from(system.loaded_conductors()) * 0.5;
        let wiring = topology.wiring.islands.get(island);
        let ties = wiring.map_or(&[][..], |it| &it.conductors).iter();
        let ties = ties.map(|it| Tie { a: it.a, b: it.b, siemens: 1.0 / (it.ohms * conductors) }).collect();
        let joints = wiring.map_or(0, |it| it.joints);
        let mut volts = Voltages::flat(joints, Ac::in_phase(nominal));
        let joint = node.and_then(|node| topology.wiring.place(node)).map(|(_, joint)| joint);
        let held = joint.filter(|_| inverters.len() < 2);
        if let Some(joint) = held {
            volts.hold(joint, Ac::in_phase(nominal));
        }
        Self {
            island,
            grid: Grid::new(joints, ties, Vec::new()),
            volts,
            members: Vec::new(),
            fit: Fit::default(),
            nominal,
            to_line: system.line_voltage().value() / nominal,
            held,
            supply,
            inverters,
            source: Power::default(),
            known: None,
        }
    }

    /// How many conductors' worth of one pole's resistance the current of a run meets, over two.
    pub(in crate::flow) fn conductors(&self) -> f64 {
        // Three phases: the effective voltage is √3 times that between lines.
        if self.to_line < 0.9 { 1.5 } else { 1.0 }
    }

    fn fingerprint(&self) -> Fingerprint {
        let mut print = Fingerprint::default();
        for member in &self.members {
            if let Answer::Draws { watts, .. } = member.answer {
                print.push(watts);
            }
        }
        print
    }
}

impl Settled<'_> {
    /// Solves an island if anything that it depends on has changed; tells whether it had.
    pub(super) fn solve_ac(&mut self, k: usize) -> Result<bool, Failed> {
        let Some(mut work) = self.alternating.get(k).cloned() else { return Ok(false) };
        let Some(content) = self.topology.contents.get(work.island) else { return Ok(false) };
        work.members = self.ac_members(&work, content);
        let known = work.fingerprint();
        if work.known.as_ref().is_some_and(|before| before.is_like(&known, self.greatest_watts)) {
            return Ok(false);
        }
        work.known = Some(known);
        match alternating::solve(&work.grid, &work.members, &mut work.volts) {
            Ok(fit) => work.fit = fit,
            Err(_) => return Err(self.ac_failed(&work)),
        }
        if let Some(joint) = work.held {
            let amps = alternating::given(&work.members, &work.volts);
            work.source = Power::of(work.volts.at(joint), amps);
        }
        self.saw(work.source.watts);
        self.note_inverters(&mut work);
        if work.supply.is_some() {
            self.share(&work, content);
        }
        if let Some(island) = self.alternating.get_mut(k) {
            *island = work;
        }
        Ok(true)
    }

    fn ac_joint(&self, node: NodeId) -> usize {
        self.topology.wiring.place(node).map_or(usize::MAX, |(_, joint)| joint)
    }

    fn ac_members(&self, work: &AcIsland, content: &Content) -> Vec<Member> {
        let floor = self.given.on.codes.common.equipment_models.voltage_floor.share() * work.nominal;
        let mut members = Vec::new();
        let mut draws = |who, node, watts: f64, vars| {
            let answer = Answer::Draws { watts, vars, floor };
            members.push(Member { who, joint: self.ac_joint(node), answer });
        };
        for i in &content.panels {
            let Some(panel) = self.machines.panels.get(*i).filter(|it| !self.trips.has(it.block)) else {
                continue;
            };
            if panel.watts > 0.0 {
                draws(Who::Panel(*i), panel.node, panel.watts, panel.vars);
            }
        }
        for (i, input) in &content.inverters_in {
            let (Some(inverter), Some(now)) = (self.machines.inverters.get(*i), self.inverters.get(*i))
            else {
                continue;
            };
            if now.passes != Some(*input) {
                continue;
            }
            if let Some(at) = inverter.inputs.get(*input) {
                draws(Who::Input(*i), at.node, self.taken_at_input(*i), 0.0);
            }
            if now.help_watts > 0.0 {
                draws(Who::Help(*i), inverter.out, -now.help_watts, 0.0);
            }
        }
        if work.held.is_none() {
            for i in &work.inverters {
                let Some(inverter) = self.machines.inverters.get(*i) else { continue };
                let siemens = inverter.greatest_volt_amperes / (work.nominal * work.nominal * DROOP);
                let answer = Answer::Behind { volts: work.nominal, siemens: siemens.max(f64::MIN_POSITIVE) };
                members.push(Member { who: Who::Inverter(*i), joint: self.ac_joint(inverter.out), answer });
            }
        }
        members
    }

    /// What an inverter takes at the input that it passes through: for its charger, and for itself.
    pub(in crate::flow) fn taken_at_input(&self, i: usize) -> f64 {
        let (Some(inverter), Some(now)) = (self.machines.inverters.get(i), self.inverters.get(i)) else {
            return 0.0;
        };
        let charger = inverter.charger.as_ref().filter(|_| now.charge_watts > 0.0);
        let charging = charger.map_or(0.0, |charger| charger.conversion.input(now.charge_watts));
        charging + now.idle_watts
    }

    /// What inverters that hold the island give, and ask of their batteries for it.
    fn note_inverters(&mut self, work: &mut AcIsland) {
        for i in work.inverters.clone() {
            let Some(inverter) = self.machines.inverters.get(i) else { continue };
            let output = if work.held.is_some() {
                work.source
            } else {
                let shared = work.members.iter().find(|member| member.who == Who::Inverter(i));
                let power = |it: &Member| {
                    let volts = work.volts.at(it.joint);
                    Power::of(volts, it.inject(work.volts.point(it.joint)).0)
                };
                shared.map(power).unwrap_or_default()
            };
            if let Some(now) = self.inverters.get_mut(i) {
                now.output = output;
                now.dc_watts = (output.watts + inverter.conversion.loss(output.volt_amperes())).max(0.0);
            }
        }
    }

    /// Shares what a source gives for good: loads first, then chargers, in the order of blocks. What an input or the
    /// source cannot carry, an inverter adds from its battery.
    fn share(&mut self, work: &AcIsland, content: &Content) {
        let passing: Vec<(usize, usize)> = content
            .inverters_in
            .iter()
            .copied()
            .filter(|(i, input)| self.inverters.get(*i).is_some_and(|now| now.passes == Some(*input)))
            .collect();
        if passing.is_empty() {
            return;
        }
        let through = self.through_relays(work, &passing);
        let mut others = work.source.watts;
        for ((i, _), through) in passing.iter().zip(&through) {
            others -= through + self.taken_at_input(*i);
        }
        let supply = work.supply.and_then(|i| self.machines.supplies.get(i));
        let mut left = supply.map_or(0.0, |it| it.usable_watts) - others;
        for ((i, input), through) in passing.iter().zip(&through) {
            let Some(inverter) = self.machines.inverters.get(*i) else { continue };
            let node = inverter.inputs.get(*input).map(|it| it.node);
            let volts = node.map_or(0.0, |node| work.volts.at(self.ac_joint(node)).magnitude());
            let can_help = self.help == Help::Given
                && self.topology.is_direct(inverter.dc)
                && !self.trips.has(inverter.block);
            let Some(now) = self.inverters.get_mut(*i) else { continue };
            let limit = inverter.input_amps.map_or(f64::MAX, |amps| amps * volts);
            let room = limit.min(left).max(0.0);
            let loads = through + now.help_watts;
            let (help, idle) = if can_help {
                let help = (loads - room).clamp(0.0, inverter.greatest_watts);
                (help, (room - loads).clamp(0.0, inverter.idle_watts))
            } else {
                (0.0, inverter.idle_watts)
            };
            let from_source = loads - help + idle;
            (now.help_watts, now.idle_watts) = (help, idle);
            // Without output its loss is the idle draw.
            let needs = help + if help > 0.0 { inverter.conversion.loss(help) } else { inverter.idle_watts };
            now.dc_watts = if can_help { (needs - idle).max(0.0) } else { 0.0 };
            (now.through_watts, now.in_volts) = (*through, volts);
            match &mut now.room {
                Some(approach) => approach.follow(room - from_source),
                None => now.room = Some(Approach::at(room - from_source)),
            }
            let charging = inverter.charger.as_ref().filter(|_| now.charge_watts > 0.0);
            left -= from_source + charging.map_or(0.0, |charger| charger.conversion.input(now.charge_watts));
        }
    }

    /// Watts that go through the relays of inverters, from the source to the loads.
    fn through_relays(&self, work: &AcIsland, passing: &[(usize, usize)]) -> Vec<f64> {
        let Some(island) = self.topology.wiring.islands.get(work.island) else { return Vec::new() };
        let currents = self.ac_currents(island, work, self.ac_injections(island, work));
        let watts = passing.iter().map(|(i, input)| {
            let at = self.machines.inverters.get(*i).and_then(|it| it.inputs.get(*input))?;
            let link = self.given.network.poles().get(at.pole)?.link;
            let amps = currents.iter().find(|(id, _)| *id == link)?.1;
            Some(Ac::watts(work.volts.at(self.ac_joint(at.node)), amps))
        });
        watts.map(Option::unwrap_or_default).collect()
    }

    /// What devices bring to each node of an AC island, the source that holds it included.
    pub(in crate::flow) fn ac_injections(&self, island: &Island, work: &AcIsland) -> Vec<Ac> {
        let mut injected = vec![Ac::default(); island.nodes.len()];
        let mut put = |node: Option<NodeId>, amps: Ac| {
            let at = node.and_then(|node| island.nodes.binary_search(&node).ok());
            if let Some(sum) = at.and_then(|at| injected.get_mut(at)) {
                *sum = sum.plus(amps);
            }
        };
        for member in &work.members {
            put(self.ac_node(member.who), member.inject(work.volts.point(member.joint)).0);
        }
        if work.held.is_some() {
            let supply = work.supply.and_then(|i| self.machines.supplies.get(i)).map(|it| it.node);
            let inverter = work.inverters.first().and_then(|i| self.machines.inverters.get(*i));
            put(supply.or_else(|| inverter.map(|it| it.out)), alternating::given(&work.members, &work.volts));
        }
        injected
    }

    /// The current of every link of an AC island.
    pub(in crate::flow) fn ac_currents(
        &self,
        island: &Island,
        work: &AcIsland,
        injected: Vec<Ac>,
    ) -> Vec<(LinkId, Ac)> {
        let network = self.given.network;
        let ties = |tie| work.grid.tie_current(tie, &work.volts);
        let conducts = |link| self.topology.conducts(network, link);
        spread::currents(network, island, injected, ties, conducts)
    }

    /// The node where a device stands.
    pub(in crate::flow) fn ac_node(&self, who: Who) -> Option<NodeId> {
        match who {
            Who::Panel(i) => self.machines.panels.get(i).map(|it| it.node),
            Who::Input(i) => {
                let input = self.inverters.get(i)?.passes?;
                self.machines.inverters.get(i)?.inputs.get(input).map(|it| it.node)
            }
            Who::Help(i) | Who::Inverter(i) => self.machines.inverters.get(i).map(|it| it.out),
        }
    }

    fn ac_failed(&self, work: &AcIsland) -> Failed {
        let greatest = work
            .members
            .iter()
            .filter_map(|member| match (member.who, member.answer) {
                (Who::Panel(i), Answer::Draws { watts, .. }) => Some((watts, i, member.joint)),
                _ => None,
            })
            .max_by(|a, b| a.0.total_cmp(&b.0));
        let Some((panel, joint)) =
            greatest.and_then(|(_, i, joint)| Some((self.machines.panels.get(i)?.block, joint)))
        else {
            return Failed(self.input_goes(work));
        };
        let volts = Self::volts(work.volts.at(joint).magnitude() * work.to_line);
        Failed(Some(Goes::Off(panel, Trip::Collapse { volts })))
    }

    /// The inverter whose AC input stands farthest outside of its window: its charger rests, or it refuses the input.
    pub(super) fn input_goes(&self, work: &AcIsland) -> Option<Goes> {
        let (mut farthest, mut goes) = (0.0, None);
        for member in &work.members {
            let Who::Input(i) = member.who else { continue };
            let (Some(inverter), Some(now)) = (self.machines.inverters.get(i), self.inverters.get(i)) else {
                continue;
            };
            let own = inverter.plate.ac_system.current_voltage().value();
            let off = (work.volts.at(member.joint).magnitude() / own - 1.0).abs();
            let outside = off - inverter.voltage_window;
            if outside > farthest || outside.is_nan() {
                farthest = outside;
                let number =
                    now.passes.and_then(|input| inverter.inputs.get(input)).map_or(1, |it| it.number);
                goes = Some(if now.charge_watts > 0.0 {
                    Goes::Charger(inverter.block)
                } else {
                    Goes::Input(inverter.block, number)
                });
            }
        }
        goes
    }
}
