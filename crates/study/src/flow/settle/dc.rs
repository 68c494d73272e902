//! A DC island in the search: its solution, and what that asks of other islands.
//!
//! Which devices stand on it now is in `members.rs`.

use super::members::Taker;
use super::now::{Draw, Fingerprint, Starved};
use super::{Failed, Place, Settled};
use crate::flow::direct::{self, Answer, Member, Regulated, Who};
use crate::flow::machines::{Machines, Works};
use crate::flow::newton::{Fit, GaveUp, Grid, Tie};
use crate::flow::topology::Topology;
use crate::flow::tracking::{self, Bound, Search};
use crate::flow::trips::{Goes, Trip};
use crate::flow::voltages::Voltages;
use crate::network::NodeId;
use lineside_core::units::Volts;

/// A DC island.
#[derive(Clone, Debug)]
pub(in crate::flow) struct DcIsland {
    /// Its position in the wiring.
    pub island: usize,
    pub grid: Grid,
    pub volts: Voltages<f64>,
    /// The voltage before anything flows.
    rest: f64,
    /// What its devices do.
    pub found: Vec<Found>,
    pub fit: Fit,
    /// Where remote-sensing controllers measure.
    pub(super) sensed: Option<usize>,
    known: Option<Fingerprint>,
}

/// What a device does.
#[derive(Clone, Copy, Debug)]
pub(in crate::flow) struct Found {
    pub who: Who,
    pub joint: usize,
    /// Into the island; negative when the device takes.
    pub amps: f64,
}

impl DcIsland {
    pub(super) fn new(machines: &Machines<'_>, topology: &Topology<'_>, island: usize) -> Self {
        let joint = |node: NodeId| topology.wiring.place(node).map(|(_, joint)| joint);
        let content = topology.contents.get(island);
        let wiring = topology.wiring.islands.get(island);
        let ties = wiring.map_or(&[][..], |it| &it.conductors).iter();
        let ties = ties.map(|it| Tie { a: it.a, b: it.b, siemens: 1.0 / it.ohms }).collect();
        let cells = content.and_then(|content| content.cells.first());
        let sensed = cells.and_then(|i| joint(machines.cells.get(*i)?.node));
        let remote = content.iter().flat_map(|content| &content.controllers_out);
        let senses = remote.filter_map(|i| {
            let controller = machines.controllers.get(*i).filter(|it| it.senses_battery)?;
            Some((joint(controller.output)?, sensed?))
        });
        let joints = wiring.map_or(0, |it| it.joints);
        let rest = at_rest(machines, topology, island);
        Self {
            island,
            grid: Grid::new(joints, ties, senses.collect()),
            volts: Voltages::flat(joints, rest),
            rest,
            found: Vec::new(),
            fit: Fit::default(),
            sensed,
            known: None,
        }
    }

    /// Solves the island for its devices, with takers at the voltage that is best for them.
    fn solve(&mut self, members: &mut [Member<'_>], takers: &[Taker]) -> Result<Bound, GaveUp> {
        self.volts.held.fill(false);
        let mut free: Vec<usize> = Vec::new();
        let (mut low, mut high) = (0.0, f64::MAX);
        for taker in takers {
            if let Some(fixed) = taker.fixed {
                self.volts.hold(taker.joint, fixed);
            } else {
                (low, high) = (f64::max(low, taker.bounds.0), f64::min(high, taker.bounds.1));
                free.push(taker.joint);
            }
        }
        free.sort_unstable();
        free.dedup();
        free.retain(|joint| takers.iter().all(|it| it.joint != *joint || it.fixed.is_none()));
        let (fit, bound) = if free.is_empty() {
            (direct::solve(&self.grid, members, &mut self.volts)?, Bound::Free)
        } else {
            let search = Search { joints: &free, bounds: (low, high.max(low)), guess: best_guess(members) };
            tracking::best(&self.grid, members, &mut self.volts, &search)?
        };
        self.fit = fit;
        self.found.clear();
        self.found.extend(members.iter().map(|member| Found {
            who: member.who,
            joint: member.joint,
            amps: direct::amps(member, &self.volts),
        }));
        Ok(bound)
    }

    /// From the voltage at rest, where the state of a loaded string is found from its right side.
    fn start_again(&mut self) {
        self.volts = Voltages::flat(self.grid.joints(), self.rest);
    }
}

/// Controllers that take a set power, where this holds of their joint and the voltage at which they fade.
fn drawing(members: &[Member<'_>], holds: impl Fn(usize, f64) -> bool) -> Vec<usize> {
    let drawing = members.iter().filter_map(|member| match (member.who, member.answer) {
        (Who::ControllerIn(i), Answer::Draws { floor, .. }) if holds(member.joint, floor) => Some(i),
        _ => None,
    });
    drawing.collect()
}

/// Where the strings of an island give most, by their powers.
fn best_guess(members: &[Member<'_>]) -> f64 {
    let (mut sum, mut watts) = (0.0, 0.0);
    for member in members {
        if let Answer::Strings(modules) = &member.answer {
            sum += modules.best_volts * modules.best_watts();
            watts += modules.best_watts();
        }
    }
    if watts > 0.0 { sum / watts } else { 1.0 }
}

/// The voltage of an island before anything flows: of the highest bank, else of the highest strings or converter.
pub(super) fn at_rest(machines: &Machines<'_>, topology: &Topology<'_>, island: usize) -> f64 {
    let Some(content) = topology.contents.get(island) else { return 0.0 };
    let cells = content.cells.iter().filter_map(|i| {
        let cells = machines.cells.get(*i)?;
        Some(machines.banks.get(cells.bank)?.string.as_ref()?.rest_volts)
    });
    let strings = content.strings.iter().filter_map(|i| Some(machines.strings.get(*i)?.modules?.open_volts));
    let converters =
        content.converters_out.iter().filter_map(|i| Some(machines.converters.get(*i)?.output_volts));
    cells.reduce(f64::max).or_else(|| strings.chain(converters).reduce(f64::max)).unwrap_or_default()
}

impl Settled<'_> {
    /// The voltage of a DC node as last found; at first that of its island at rest.
    pub(super) fn bus_volts(&self, node: NodeId) -> f64 {
        let Some((island, joint)) = self.topology.wiring.place(node) else { return 0.0 };
        match self.place(island) {
            Place::Direct(k) => self.direct.get(k).map_or(0.0, |it| it.volts.at(joint)),
            Place::Alternating(_) | Place::Nowhere => 0.0,
        }
    }

    /// Solves an island if anything that it depends on has changed; tells whether it had.
    pub(super) fn solve_dc(&mut self, k: usize) -> Result<bool, Failed> {
        let known = self.fingerprint(&self.members(k), &self.takers(k));
        let Some(island) = self.direct.get(k) else { return Ok(false) };
        if island.known.as_ref().is_some_and(|before| before.is_like(&known, self.greatest_watts)) {
            return Ok(false);
        }
        let mut work = island.clone();
        let is_array = self.is_array(k);
        let too_high = self.too_high(&work, &self.members(k), &self.takers(k));
        self.starve(&too_high, Starved::High);
        loop {
            if is_array {
                work.start_again();
            }
            let (takers, mut members) = (self.takers(k), self.members(k));
            let asked = members.clone();
            let found = work.solve(&mut members, &takers);
            self.forget(&work);
            let weak = match found {
                Ok(bound) => self.note_takers(&mut work, &members, &takers, bound),
                Err(GaveUp) => drawing(&members, |_, _| true),
            };
            let useless = self.useless(&takers);
            if found.is_err() && weak.is_empty() {
                return Err(self.failed(&members, &work));
            }
            // What strings cannot give at any voltage ends as a voltage below that at which a draw fades.
            let faded = drawing(&members, |joint, floor| work.volts.at(joint) < floor);
            if weak.is_empty() && faded.is_empty() && useless.is_empty() {
                self.note_members(&work, &members);
                work.known = Some(self.fingerprint(&asked, &takers));
                if let Some(island) = self.direct.get_mut(k) {
                    *island = work;
                }
                return Ok(true);
            }
            // Each round fewer controllers take anything.
            self.starve(&weak, Starved::Low);
            self.starve(&faded, Starved::Low);
            self.starve(&useless, Starved::Little);
        }
    }

    /// Takers whose strings stand above what they start at when nothing is taken.
    fn too_high(&self, work: &DcIsland, members: &[Member<'_>], takers: &[Taker]) -> Vec<usize> {
        let open = members.iter().filter_map(|member| match &member.answer {
            Answer::Strings(modules) => Some(modules.open_volts),
            Answer::Cells(_) | Answer::Draws { .. } | Answer::Regulated(_) => None,
        });
        let highest = open.fold(0.0, f64::max);
        if takers.iter().all(|taker| taker.starts_below >= highest) {
            return Vec::new();
        }
        let mut open = work.clone();
        open.start_again();
        if open.solve(&mut members.to_vec(), &[]).is_err() {
            return Vec::new();
        }
        let above = |taker: &&Taker| open.volts.at(taker.joint) > taker.starts_below;
        takers.iter().filter(above).map(|taker| taker.controller).collect()
    }

    /// What stood on an island before does nothing until it is found again.
    fn forget(&mut self, work: &DcIsland) {
        let Some(content) = self.topology.contents.get(work.island) else { return };
        for i in &content.controllers_in {
            if let Some(now) = self.controllers.get_mut(*i) {
                now.in_amps = 0.0;
            }
        }
        for i in &content.controllers_out {
            if let Some(now) = self.controllers.get_mut(*i) {
                (now.out_amps, now.mode) = (0.0, None);
            }
        }
        for i in &content.converters_out {
            if let Some(now) = self.converters.get_mut(*i) {
                (now.out_watts, now.out_amps, now.mode) = (0.0, 0.0, None);
            }
        }
        for i in &content.inverters_dc {
            if let Some(now) = self.inverters.get_mut(*i) {
                (now.charge_watts, now.charge_amps, now.charge_mode) = (0.0, 0.0, None);
            }
        }
    }

    fn starve(&mut self, controllers: &[usize], why: Starved) {
        for i in controllers {
            if let Some(now) = self.controllers.get_mut(*i) {
                (now.available_watts, now.available_amps, now.in_amps) = (0.0, 0.0, 0.0);
                (now.draw, now.starved) = (Draw::Watts(0.0), Some(why));
            }
        }
    }

    /// Takers that could give nothing of what they get.
    fn useless(&self, takers: &[Taker]) -> Vec<usize> {
        let gives_nothing = |i: &usize| {
            let (Some(controller), Some(now)) = (self.machines.controllers.get(*i), self.controllers.get(*i))
            else {
                return false;
            };
            let (amps, watts) = self.controller_limits(controller, *now);
            amps <= 0.0 || watts <= 0.0
        };
        takers.iter().map(|taker| taker.controller).filter(gives_nothing).collect()
    }

    /// Notes what takers get; gives those that get nothing.
    fn note_takers(
        &mut self,
        work: &mut DcIsland,
        members: &[Member<'_>],
        takers: &[Taker],
        bound: Bound,
    ) -> Vec<usize> {
        let mut nothing = Vec::new();
        for taker in takers {
            let beside: f64 = takers.iter().filter(|it| it.joint == taker.joint).map(|it| it.weight).sum();
            let (all, _) = tracking::taken(&work.grid, members, &work.volts, taker.joint, None);
            let (volts, amps) = (work.volts.at(taker.joint), all * taker.weight / beside);
            if amps <= 0.0 || volts <= 0.0 {
                nothing.push(taker.controller);
                continue;
            }
            if let Some(now) = self.controllers.get_mut(taker.controller) {
                (now.in_volts, now.in_amps, now.bound) = (volts, amps, bound);
                (now.available_watts, now.available_amps) = (volts * amps, amps);
            }
            let who = Who::ControllerIn(taker.controller);
            work.found.push(Found { who, joint: taker.joint, amps: -amps });
        }
        nothing
    }

    /// Notes what devices do, and what they ask of other islands for it.
    fn note_members(&mut self, work: &DcIsland, members: &[Member<'_>]) {
        for (member, found) in members.iter().zip(&work.found) {
            let volts = work.volts.at(member.joint);
            self.saw(volts * found.amps);
            if let Answer::Regulated(it) = member.answer {
                self.note_regulated(member.who, it, volts, found.amps);
            } else if let Who::ControllerIn(i) = member.who
                && let Some(now) = self.controllers.get_mut(i)
            {
                (now.in_volts, now.in_amps) = (volts, -found.amps);
            }
        }
        let Some(content) = self.topology.contents.get(work.island) else { return };
        let at = |node: NodeId| self.topology.wiring.place(node).map(|(_, joint)| work.volts.at(joint));
        for i in &content.inverters_dc {
            let volts = self.machines.inverters.get(*i).and_then(|it| at(it.dc));
            if let (Some(now), Some(volts)) = (self.inverters.get_mut(*i), volts) {
                now.dc_volts = volts;
            }
        }
        for i in &content.controllers_out {
            let volts = self.machines.controllers.get(*i).and_then(|it| at(it.output));
            if let (Some(now), Some(volts)) = (self.controllers.get_mut(*i), volts) {
                now.out_volts = volts;
            }
        }
        for i in &content.converters_in {
            let volts = self.machines.converters.get(*i).and_then(|it| at(it.input));
            if let (Some(now), Some(volts)) = (self.converters.get_mut(*i), volts) {
                now.in_volts = volts;
            }
        }
    }

    fn note_regulated(&mut self, who: Who, it: Regulated, volts: f64, amps: f64) {
        match who {
            Who::ControllerOut(i) => self.note_controller(i, it, volts, amps),
            Who::ConverterOut(i) => {
                if let Some(now) = self.converters.get_mut(i) {
                    (now.out_watts, now.out_amps, now.mode) = (volts * amps, amps, Some(it.mode));
                }
            }
            Who::Charger(i) => {
                if let Some(now) = self.inverters.get_mut(i) {
                    (now.charge_watts, now.charge_amps) = (volts * amps, amps);
                    (now.charge_mode, now.set_volts) = (Some(it.mode), Some(it.set));
                }
            }
            Who::Strings(_)
            | Who::Cells(_)
            | Who::ControllerIn(_)
            | Who::ControllerOwn(_)
            | Who::ConverterIn(_)
            | Who::Inverter(_)
            | Who::Load(_) => {}
        }
    }

    fn note_controller(&mut self, i: usize, it: Regulated, volts: f64, amps: f64) {
        let Some(controller) = self.machines.controllers.get(i) else { return };
        let lets_through = self.lets_through(i);
        let Some(now) = self.controllers.get_mut(i) else { return };
        now.out_amps = amps;
        (now.mode, now.is_power_limited) = (Some(it.mode), it.is_power_limited(volts));
        let needs = match &controller.works {
            _ if amps <= 0.0 => 0.0,
            Works::Tracking { conversion, .. } => conversion.input(volts * amps),
            Works::Switching(drop) => (volts + drop) * amps,
        };
        if lets_through {
            // It puts the strings on the battery all the time, or part of it.
        } else if needs > 0.0 && needs >= now.available_watts * (1.0 - 1e-12) {
            now.draw = Draw::All;
        } else {
            now.draw = Draw::Watts(needs);
        }
    }

    /// What goes when an island has no state: the greatest load, else the first source.
    fn failed(&self, members: &[Member<'_>], work: &DcIsland) -> Failed {
        let draws = members.iter().filter_map(|member| match member.answer {
            Answer::Draws { watts, .. } => Some((watts, member)),
            Answer::Strings(_) | Answer::Cells(_) | Answer::Regulated(_) => None,
        });
        let greatest = draws.max_by(|a, b| a.0.total_cmp(&b.0)).map(|(_, member)| member);
        let goes = greatest.or(members.first());
        let volts = goes.map_or(0.0, |member| work.volts.at(member.joint));
        let volts = if volts.is_finite() { Volts::new(volts) } else { Volts::ZERO };
        Failed(goes.and_then(|member| Some(Goes::Off(self.block_of(member.who)?, Trip::Collapse { volts }))))
    }
}
