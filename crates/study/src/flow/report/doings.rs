//! What controllers, inverters, converters and sources do, and which loads go without.

use super::causes;
use crate::flow::direct::{Mode, Who};
use crate::flow::doing::{
    ControllerDoing, ControllerFlow, ControllerOff, ConverterDoing, ConverterFlow, ConverterOff,
    InverterDoing, InverterFlow, InverterOff, SourceDoing, SourceFlow, Unmet, Unserved,
};
use crate::flow::found::Flow;
use crate::flow::machines::{Controller, Works};
use crate::flow::settle::{ControllerNow, Place, Settled, Starved};
use crate::flow::state::ChargeStage;
use crate::flow::topology::Holds;
use crate::flow::tracking::Bound;
use crate::network::NodeId;
use lineside_core::circuit::{BlockId, IdMap};
use lineside_core::kinds::inside::SourceKind;
use lineside_core::units::{Amps, Percent, Volts, Watts};

fn amps(value: f64) -> Amps {
    if value.is_finite() { Amps::new(value) } else { Amps::ZERO }
}
fn watts(value: f64) -> Watts {
    if value.is_finite() { Watts::new(value) } else { Watts::ZERO }
}
/// Currents below this are none.
const STILL: f64 = 1e-9;

impl Settled<'_> {
    fn dc_volts(&self, node: NodeId) -> Option<Volts> {
        let (island, joint) = self.topology.wiring.place(node)?;
        let Place::Direct(k) = self.place(island) else { return None };
        self.direct.get(k).map(|it| Self::volts(it.volts.at(joint)))
    }
}

pub(super) fn controllers(settled: &Settled<'_>) -> IdMap<BlockId, ControllerFlow> {
    let all = settled.machines.controllers.iter().zip(&settled.controllers).enumerate();
    all.map(|(i, (controller, now))| {
        (controller.block, controller_flow(settled, controller, *now, settled.duty_of(i)))
    })
    .collect()
}

fn controller_flow(
    settled: &Settled<'_>,
    controller: &Controller<'_>,
    now: ControllerNow,
    duty: f64,
) -> ControllerFlow {
    let doing = controller_doing(settled, controller, now);
    let gives = now.out_amps > 0.0 && now.mode.is_some();
    let output = now.out_volts * now.out_amps;
    let converting = match &controller.works {
        _ if !gives => 0.0,
        Works::Tracking { conversion, .. } => conversion.loss(output),
        Works::Switching(drop) => drop * now.out_amps,
    };
    let own = settled.own_consumption(controller);
    let tracked = now.available_watts > 0.0 || now.starved.is_some();
    let input_voltage = settled.dc_volts(controller.input);
    ControllerFlow {
        doing,
        input_voltage,
        input_current: amps(if gives { now.in_amps * duty } else { 0.0 }),
        output_voltage: settled.dc_volts(controller.output),
        output_current: amps(now.out_amps),
        available: tracked.then(|| watts(now.available_watts)),
        stage_voltage: settled.set_volts(controller).map(Volts::new),
        lost: watts(converting + own),
        duty: Percent::from_share(duty),
    }
}

fn controller_doing(
    settled: &Settled<'_>,
    controller: &Controller<'_>,
    now: ControllerNow,
) -> ControllerDoing {
    use ControllerDoing::{HeldBack, LimitedByCurrent, LimitedByPower, LimitedByVoltage, Off, Tracking};
    let stage = settled.given.state.stage;
    if controller.is_off {
        return Off(ControllerOff::SwitchedOff);
    }
    if stage == ChargeStage::Off {
        return Off(ControllerOff::StageOff);
    }
    if !settled.topology.is_direct(controller.input) {
        return Off(no_strings(settled, controller));
    }
    let island = |node| settled.topology.wiring.island(node);
    if island(controller.input) == island(controller.output) {
        return Off(ControllerOff::Bypassed);
    }
    if settled.set_volts(controller).is_none() {
        let dead = !settled.has_bank(controller.output);
        return Off(if dead { ControllerOff::NoBattery } else { ControllerOff::BatteryOutside });
    }
    match (now.starved, now.mode) {
        (Some(Starved::Low), _) => Off(ControllerOff::StringsTooLow),
        (Some(Starved::High), _) => Off(ControllerOff::StringsTooHigh),
        (Some(Starved::Little), _) | (None, None) => Off(ControllerOff::TooLittle),
        (None, Some(Mode::Holding | Mode::Idle)) => HeldBack(stage),
        (None, Some(Mode::Limited)) => {
            let is_switching = matches!(controller.works, Works::Switching(_));
            let takes_all = now.is_power_limited || (is_switching && now.out_amps < controller.limit_amps);
            let capped = controller.limit_watts.is_some_and(|most| most < now.available_watts);
            match now.bound {
                _ if !takes_all => LimitedByCurrent,
                _ if capped => LimitedByPower,
                Bound::Free => Tracking,
                Bound::Lowest | Bound::Highest => LimitedByVoltage,
            }
        }
    }
}

/// Why the input of a controller is dead.
fn no_strings(settled: &Settled<'_>, controller: &Controller<'_>) -> ControllerOff {
    let zones = settled.given.zones;
    let zone = zones.of(controller.input);
    let mut strings = settled.machines.strings.iter().filter(|set| zones.of(set.node) == zone);
    let any = strings.next();
    let lit = any.into_iter().chain(strings).any(|set| set.modules.is_some());
    if any.is_some() && !lit { ControllerOff::NoSun } else { ControllerOff::NoStrings }
}

pub(super) fn inverters(settled: &Settled<'_>) -> IdMap<BlockId, InverterFlow> {
    let machines = settled.machines.inverters.iter().zip(&settled.inverters).enumerate();
    let flow = |i: usize| {
        let (inverter, now) = (settled.machines.inverters.get(i)?, settled.inverters.get(i)?);
        let input = now.passes.and_then(|input| inverter.inputs.get(input)).map(|it| it.number);
        let charging = now.charge_watts > STILL;
        let doing = match input {
            Some(input) if now.help_watts > 0.0 => InverterDoing::Helping { input },
            Some(input) if charging => InverterDoing::Charging { input },
            Some(input) => InverterDoing::PassingThrough { input },
            None if now.inverts => InverterDoing::Inverting,
            None => InverterDoing::Off(inverter_off(settled, i)),
        };
        let made = if now.inverts { now.output.watts } else { now.help_watts };
        Some(InverterFlow {
            doing,
            dc_voltage: settled.dc_volts(inverter.dc),
            from_battery: watts(now.dc_watts),
            made: watts(made),
            passed: watts(if input.is_some() { now.through_watts } else { 0.0 }),
            charging: watts(if charging { now.charge_watts } else { 0.0 }),
            stage_voltage: now.set_volts.map(Settled::volts),
            lost: watts(settled.inverter_loss(i)),
        })
    };
    machines.filter_map(|(i, (inverter, _))| Some((inverter.block, flow(i)?))).collect()
}

fn inverter_off(settled: &Settled<'_>, i: usize) -> InverterOff {
    let Some(inverter) = settled.machines.inverters.get(i) else { return InverterOff::NoSource };
    if inverter.is_off {
        return InverterOff::SwitchedOff;
    }
    if let Some(trip) = settled.trips.of(inverter.block) {
        return InverterOff::Tripped(trip);
    }
    match settled.topology.holds(inverter.out) {
        Holds::Joined(_) | Holds::Mixed => InverterOff::Joined,
        Holds::Nothing | Holds::Direct | Holds::Supply(_) | Holds::Inverters(_) => InverterOff::NoSource,
    }
}

pub(super) fn converters(settled: &Settled<'_>) -> IdMap<BlockId, ConverterFlow> {
    let all = settled.machines.converters.iter().zip(&settled.converters);
    let flow = |(converter, now): (&crate::flow::machines::Converter, &crate::flow::settle::ConverterNow)| {
        let feeds = settled.feeds(converter);
        let doing = match now.mode.filter(|_| feeds) {
            Some(Mode::Holding) => ConverterDoing::Holding,
            Some(Mode::Limited) => ConverterDoing::LimitedByCurrent,
            Some(Mode::Idle) => ConverterDoing::Idle,
            None if converter.is_off => ConverterDoing::Off(ConverterOff::SwitchedOff),
            None => ConverterDoing::Off(
                settled.trips.of(converter.block).map_or(ConverterOff::NoSource, ConverterOff::Tripped),
            ),
        };
        let output = if feeds { now.out_watts.max(0.0) } else { 0.0 };
        let lost = if settled.is_on(converter) { converter.conversion.loss(output) } else { 0.0 };
        let flow =
            ConverterFlow { doing, input: watts(output + lost), output: watts(output), lost: watts(lost) };
        (converter.block, flow)
    };
    all.map(flow).collect()
}

/// Every source of the network, in its order.
pub(super) fn sources(settled: &Settled<'_>) -> Vec<SourceFlow> {
    let network = settled.given.network;
    let mut flows: Vec<SourceFlow> = network
        .sources()
        .iter()
        .map(|source| SourceFlow {
            block: source.block,
            kind: source.kind,
            doing: at_rest(settled, source.block, source.kind),
            power: Watts::ZERO,
            current: Amps::ZERO,
        })
        .collect();
    let mut note = |block: BlockId, kind: SourceKind, power: f64, current: f64| {
        let first = network.sources().partition_point(|source| source.block < block);
        let of_block = flows.iter_mut().skip(first).take_while(|flow| flow.block == block);
        if let Some(flow) = of_block.into_iter().find(|flow| flow.kind == kind) {
            (flow.power, flow.current) = (watts(power), amps(current));
            flow.doing = match current {
                current if current > STILL => SourceDoing::Giving,
                current if current < -STILL => SourceDoing::Taking,
                _ => SourceDoing::Resting,
            };
        }
    };
    for island in &settled.direct {
        let duty = settled.duty(island);
        for found in &island.found {
            let kind = match found.who {
                Who::Strings(_) => SourceKind::Strings,
                Who::Cells(i) => {
                    SourceKind::BatteryString(settled.machines.cells.get(i).map_or(1, |it| it.number))
                }
                Who::ControllerOut(_) => SourceKind::ControllerOutput,
                Who::ConverterOut(_) => SourceKind::DcConverterOutput,
                Who::Charger(_) => SourceKind::Charger,
                Who::ControllerIn(_)
                | Who::ControllerOwn(_)
                | Who::ConverterIn(_)
                | Who::Inverter(_)
                | Who::Load(_) => continue,
            };
            if let Some(block) = settled.block_of(found.who) {
                let current = found.amps * duty;
                note(block, kind, island.volts.at(found.joint) * current, current);
            }
        }
    }
    for island in &settled.alternating {
        if let Some(supply) = island.supply.and_then(|i| settled.machines.supplies.get(i)) {
            let kind = settled.supply_kind(supply);
            note(supply.block, kind, island.source.watts, signed_amps(island.source, island.nominal));
        }
    }
    for (inverter, now) in settled.machines.inverters.iter().zip(&settled.inverters) {
        let volts = inverter.plate.ac_system.current_voltage().value();
        if now.inverts {
            let output = now.output;
            note(inverter.block, SourceKind::InverterOutput, output.watts, signed_amps(output, volts));
        } else if now.help_watts > 0.0 {
            note(inverter.block, SourceKind::InverterOutput, now.help_watts, now.help_watts / volts);
        }
    }
    flows
}

fn signed_amps(power: crate::flow::alternating::Power, volts: f64) -> f64 {
    power.volt_amperes() / volts.max(1.0) * if power.watts < 0.0 { -1.0 } else { 1.0 }
}

/// What a source does that stands on no live circuit.
fn at_rest(settled: &Settled<'_>, block: BlockId, kind: SourceKind) -> SourceDoing {
    if let Some(trip) = settled.trips.of(block) {
        return SourceDoing::Tripped(trip);
    }
    match kind {
        SourceKind::Strings => {
            let set = settled.machines.strings.iter().find(|set| set.block == block);
            let lit = set.is_some_and(|set| set.modules.is_some());
            if lit { SourceDoing::Resting } else { SourceDoing::Dark }
        }
        SourceKind::BatteryString(_) => SourceDoing::Resting,
        SourceKind::Utility | SourceKind::Generator => {
            let present = settled.given.state.supplies.contains(&block);
            if present { SourceDoing::Resting } else { SourceDoing::NotThere }
        }
        SourceKind::ControllerOutput
        | SourceKind::DcConverterOutput
        | SourceKind::Charger
        | SourceKind::InverterOutput => SourceDoing::Off,
    }
}

/// Loads that go without.
pub(super) fn unmet(settled: &Settled<'_>, flow: &Flow) -> Vec<Unmet> {
    let given = settled.given;
    let panels = settled.machines.panels.iter().map(|it| (it.block, it.node, it.watts));
    let dc_loads = settled.machines.dc_loads.iter().map(|it| (it.block, it.node, it.watts));
    let mut found: Vec<Unmet> = panels
        .chain(dc_loads)
        .filter(|(_, _, asked)| *asked > 0.0)
        .filter_map(|(block, node, asked)| {
            let why = if let Some(trip) = settled.trips.of(block) {
                Unserved::LetGo(trip)
            } else if flow.voltage(node).is_none() {
                let sources = flow.sources();
                Unserved::Dead(causes::of(given.network, given.zones, &flow.closed, sources, node))
            } else {
                return None;
            };
            Some(Unmet { block, asked: watts(asked), why })
        })
        .collect();
    found.sort_by_key(|unmet| unmet.block);
    found
}
