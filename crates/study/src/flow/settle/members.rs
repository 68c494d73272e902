//! Which devices stand on a DC island at the moment of the search, and which controllers take all that there is.

use super::now::{Draw, Fingerprint};
use super::{Settled, dc};
use crate::flow::content::Content;
use crate::flow::direct::{Answer, Member, Mode, Regulated, Who};
use crate::flow::machines::{Charger, Controller, Inverter, Sensor, Works};
use crate::network::NodeId;
use lineside_core::circuit::BlockId;
use lineside_core::units::Volts;

/// A controller that takes all that there is.
#[derive(Clone, Copy, Debug)]
pub(super) struct Taker {
    pub controller: usize,
    pub joint: usize,
    pub bounds: (f64, f64),
    /// The voltage that it forces; `None` when it looks for the best.
    pub fixed: Option<f64>,
    /// It does not start above this open-circuit voltage.
    pub starts_below: f64,
    /// Its share where several stand at one point.
    pub weight: f64,
}

/// Chargers hold this share less than controllers, so that the sun is taken before a supply.
const AFTER_THE_SUN: f64 = 5e-5;

impl<'a> Settled<'a> {
    fn content(&self, k: usize) -> Option<(usize, &'a Content)> {
        let island = self.direct.get(k)?.island;
        Some((island, self.topology.contents.get(island)?))
    }

    fn joint(&self, node: NodeId) -> usize {
        self.topology.wiring.place(node).map_or(usize::MAX, |(_, joint)| joint)
    }

    /// Controllers of the island that take all they can get.
    pub(super) fn takers(&self, k: usize) -> Vec<Taker> {
        let Some((_, content)) = self.content(k) else { return Vec::new() };
        let takers = content.controllers_in.iter().filter_map(|i| {
            let controller = self.machines.controllers.get(*i)?;
            let now = self.controllers.get(*i)?;
            if now.draw != Draw::All || now.starved.is_some() || self.set_volts(controller).is_none() {
                return None;
            }
            let (highest, starts_below) = controller.highest_input();
            let lowest = controller.lowest_input(now.over.assumed);
            let switches = matches!(controller.works, Works::Switching(_));
            Some(Taker {
                controller: *i,
                joint: self.joint(controller.input),
                bounds: (lowest, highest),
                fixed: switches.then_some(lowest),
                starts_below,
                weight: controller.limit_amps.max(f64::MIN_POSITIVE),
            })
        });
        takers.collect()
    }

    /// The voltage that a controller holds or would hold; `None` when it has nothing to charge, or does not work.
    pub(in crate::flow) fn set_volts(&self, controller: &Controller<'_>) -> Option<f64> {
        let island = self.topology.wiring.island(controller.output)?;
        let live = self.topology.is_direct(controller.output);
        if !live
            || self.topology.wiring.island(controller.input) == Some(island)
            || controller.is_off
            || self.trips.has(controller.block)
        {
            return None;
        }
        let rest = dc::at_rest(self.machines, self.topology, island);
        let plate = controller.plate;
        let works = plate.min_output_voltage.is_none_or(|low| rest >= low.value())
            && plate.max_output_voltage.is_none_or(|high| rest <= high.value());
        self.stage_volts(island, controller.sensor, controller.highest_setting).filter(|_| works)
    }

    /// The lowest stage voltage of the banks on an island, not above a setting.
    fn stage_volts(&self, island: usize, sensor: Sensor, highest: Option<f64>) -> Option<f64> {
        let content = self.topology.contents.get(island)?;
        let stages = content.cells.iter().filter_map(|i| {
            let bank = self.machines.banks.get(self.machines.cells.get(*i)?.bank)?;
            let stage = bank.stage.filter(|_| !self.trips.has(bank.block) && bank.string.is_some())?;
            Some(match sensor {
                Sensor::Fitted => stage.compensated,
                Sensor::Missing => stage.at_base,
            })
        });
        let lowest = stages.reduce(f64::min)?;
        Some(highest.map_or(lowest, |highest| lowest.min(highest))).filter(|volts| *volts > 0.0)
    }

    /// Every device of an island that does something now.
    pub(super) fn members(&self, k: usize) -> Vec<Member<'a>> {
        let Some((island, content)) = self.content(k) else { return Vec::new() };
        let rest = dc::at_rest(self.machines, self.topology, island);
        let mut members = Vec::new();
        self.add_sources(content, &mut members);
        self.add_controllers(k, content, rest, &mut members);
        self.add_converters(content, &mut members);
        for i in &content.inverters_dc {
            self.add_inverter(*i, island, &mut members);
        }
        for i in &content.dc_loads {
            let Some(load) = self.machines.dc_loads.get(*i) else { continue };
            if load.watts > 0.0 && !self.trips.has(load.block) {
                let floor = load.lowest_volts.max(f64::MIN_POSITIVE);
                self.draws(Who::Load(*i), load.node, load.watts, floor, &mut members);
            }
        }
        members
    }

    fn draws(&self, who: Who, node: NodeId, watts: f64, floor: f64, to: &mut Vec<Member<'a>>) {
        to.push(Member { who, joint: self.joint(node), answer: Answer::Draws { watts, floor } });
    }

    fn add_sources(&self, content: &Content, members: &mut Vec<Member<'a>>) {
        for i in &content.strings {
            let Some(set) = self.machines.strings.get(*i).filter(|set| !self.trips.has(set.block)) else {
                continue;
            };
            if let Some(modules) = &set.modules {
                let joint = self.joint(set.node);
                members.push(Member { who: Who::Strings(*i), joint, answer: Answer::Strings(modules) });
            }
        }
        for i in &content.cells {
            let Some(string) = self.machines.cells.get(*i) else { continue };
            let bank = self.machines.banks.get(string.bank).filter(|bank| !self.trips.has(bank.block));
            if let Some(cells) = bank.and_then(|bank| bank.string.as_ref()) {
                let joint = self.joint(string.node);
                members.push(Member { who: Who::Cells(*i), joint, answer: Answer::Cells(cells) });
            }
        }
    }

    fn add_controllers(&self, k: usize, content: &Content, rest: f64, members: &mut Vec<Member<'a>>) {
        for i in &content.controllers_in {
            let (Some(controller), Some(now)) = (self.machines.controllers.get(*i), self.controllers.get(*i))
            else {
                continue;
            };
            if let Draw::Watts(watts) = now.draw
                && watts > 0.0
                && self.set_volts(controller).is_some()
            {
                // Strings give no more below their best voltage, so that half the voltage at rest is out of the question.
                self.draws(Who::ControllerIn(*i), controller.input, watts, rest * 0.5, members);
            }
        }
        let floor = self.given.on.codes.common.equipment_models.voltage_floor.share() * rest;
        for i in &content.controllers_out {
            let (Some(controller), Some(now)) = (self.machines.controllers.get(*i), self.controllers.get(*i))
            else {
                continue;
            };
            if controller.own_watts > 0.0 && !controller.is_off && !self.trips.has(controller.block) {
                self.draws(Who::ControllerOwn(*i), controller.output, controller.own_watts, floor, members);
            }
            let joint = self.joint(controller.output);
            let sensed = self.direct.get(k).and_then(|it| it.sensed).filter(|_| controller.senses_battery);
            let (amps, watts) = self.controller_limits(controller, *now);
            if let Some(set) = self.set_volts(controller).filter(|_| amps > 0.0 && watts > 0.0) {
                members.push(Member {
                    who: Who::ControllerOut(*i),
                    joint,
                    answer: Answer::Regulated(Regulated {
                        set,
                        senses: sensed.unwrap_or(joint),
                        rated: controller.limit_amps,
                        amps,
                        watts,
                        mode: now.mode.unwrap_or_default(),
                    }),
                });
            }
        }
    }

    /// The current and the power that a controller can give with what its strings give.
    pub(super) fn controller_limits(
        &self,
        controller: &Controller<'_>,
        now: super::ControllerNow,
    ) -> (f64, f64) {
        let input = controller.limit_watts.map_or(now.available_watts, |most| most.min(now.available_watts));
        match &controller.works {
            Works::Tracking { conversion, .. } => (controller.limit_amps, conversion.output(input)),
            Works::Switching(_) => (controller.limit_amps.min(now.available_amps), f64::INFINITY),
        }
    }

    fn add_converters(&self, content: &Content, members: &mut Vec<Member<'a>>) {
        for i in &content.converters_in {
            let (Some(it), Some(now)) = (self.machines.converters.get(*i), self.converters.get(*i)) else {
                continue;
            };
            let watts = it.conversion.input(now.out_watts.max(0.0));
            if self.is_on(it) && watts > 0.0 {
                self.draws(Who::ConverterIn(*i), it.input, watts, it.window.0, members);
            }
        }
        for i in &content.converters_out {
            let (Some(it), Some(now)) = (self.machines.converters.get(*i), self.converters.get(*i)) else {
                continue;
            };
            if !self.feeds(it) || it.limit_amps <= 0.0 {
                continue;
            }
            // Where it alone holds the voltage, an overload is told as such and not as a voltage that breaks down.
            let alone = content.cells.is_empty();
            let joint = self.joint(it.output);
            members.push(Member {
                who: Who::ConverterOut(*i),
                joint,
                answer: Answer::Regulated(Regulated {
                    set: it.output_volts,
                    senses: joint,
                    rated: it.limit_amps,
                    amps: if alone { f64::INFINITY } else { it.limit_amps },
                    watts: f64::INFINITY,
                    mode: now.mode.unwrap_or(Mode::Holding),
                }),
            });
        }
    }

    fn add_inverter(&self, i: usize, island: usize, members: &mut Vec<Member<'a>>) {
        let (Some(inverter), Some(now)) = (self.machines.inverters.get(i), self.inverters.get(i)) else {
            return;
        };
        if inverter.is_off {
            return;
        }
        if now.dc_watts > 0.0 && !self.trips.has(inverter.block) {
            self.draws(Who::Inverter(i), inverter.dc, now.dc_watts, inverter.window.0, members);
        }
        if now.passes.is_some()
            && !self.trips.stops_charger(inverter.block)
            && let Some(charger) = &inverter.charger
            && let Some(answer) = self.charging(island, inverter, charger, *now)
        {
            members.push(Member { who: Who::Charger(i), joint: self.joint(inverter.dc), answer });
        }
    }

    fn charging(
        &self,
        island: usize,
        inverter: &Inverter<'_>,
        charger: &Charger,
        now: super::InverterNow,
    ) -> Option<Answer<'a>> {
        let set = self.stage_volts(island, charger.sensor, charger.highest_setting)?;
        let watts = charger.conversion.output(now.room.map_or(0.0, |room| room.assumed.max(0.0)));
        let joint = self.joint(inverter.dc);
        (watts > 0.0 && charger.limit_amps > 0.0).then_some(Answer::Regulated(Regulated {
            set: set * (1.0 - AFTER_THE_SUN),
            senses: joint,
            rated: charger.limit_amps,
            amps: charger.limit_amps,
            watts,
            mode: now.charge_mode.unwrap_or_default(),
        }))
    }

    /// What an island depends on, in numbers. The bounds of a taker count only where they bind.
    pub(super) fn fingerprint(&self, members: &[Member<'_>], takers: &[Taker]) -> Fingerprint {
        let mut print = Fingerprint::default();
        for member in members {
            match member.answer {
                Answer::Strings(_) | Answer::Cells(_) => print.push(-1.0),
                Answer::Draws { watts, .. } => print.push(watts),
                Answer::Regulated(it) => {
                    print.push(it.set);
                    print.push(it.amps);
                    print.push(it.watts);
                }
            }
        }
        for taker in takers {
            let now = self.controllers.get(taker.controller).copied().unwrap_or_default();
            print.push(taker.controller as f64);
            let (low, high) = taker.bounds;
            let free = taker.fixed.is_none() && now.in_volts > low && now.in_volts < high;
            print.push(if free { 0.0 } else { low });
            print.push(if free { 0.0 } else { high });
        }
        print
    }

    /// The block of a device.
    pub(in crate::flow) fn block_of(&self, who: Who) -> Option<BlockId> {
        let machines = self.machines;
        match who {
            Who::Strings(i) => machines.strings.get(i).map(|it| it.block),
            Who::Cells(i) => machines.cells.get(i).map(|it| it.block),
            Who::ControllerIn(i) | Who::ControllerOut(i) | Who::ControllerOwn(i) => {
                machines.controllers.get(i).map(|it| it.block)
            }
            Who::ConverterIn(i) | Who::ConverterOut(i) => machines.converters.get(i).map(|it| it.block),
            Who::Inverter(i) | Who::Charger(i) => machines.inverters.get(i).map(|it| it.block),
            Who::Load(i) => machines.dc_loads.get(i).map(|it| it.block),
        }
    }

    /// The voltage at which a block stops, for messages.
    pub(in crate::flow) fn volts(value: f64) -> Volts {
        if value.is_finite() { Volts::new(value) } else { Volts::ZERO }
    }
}
