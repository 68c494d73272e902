//! Power at every block and in every zone, each loss by its own formula.

use crate::flow::alternating::{Power, Who as AcWho};
use crate::flow::direct::Who;
use crate::flow::found::{Balance, BlockFlow, LinkFlow};
use crate::flow::machines::Works;
use crate::flow::newton::Device;
use crate::flow::settle::Settled;
use crate::network::{LinkKind, NodeId};
use lineside_core::circuit::{BlockId, IdMap};
use lineside_core::units::Watts;

/// The books while they are written.
struct Books<'a> {
    settled: &'a Settled<'a>,
    blocks: IdMap<BlockId, BlockFlow>,
    zones: Vec<Balance>,
    balance: Balance,
}

/// Power of the blocks, of the zones and of the whole.
pub(super) fn of(
    settled: &Settled<'_>,
    links: &[LinkFlow],
) -> (IdMap<BlockId, BlockFlow>, Vec<Balance>, Balance) {
    let mut books = Books {
        settled,
        blocks: settled.given.on.project.circuit.blocks().map(|it| (it.id, BlockFlow::default())).collect(),
        zones: vec![Balance::default(); settled.given.zones.count()],
        balance: Balance::default(),
    };
    books.links(links);
    books.direct();
    books.alternating();
    books.controllers();
    books.converters();
    books.inverters();
    (books.blocks, books.zones, books.balance)
}

fn watts(value: f64) -> Watts {
    if value.is_finite() { Watts::new(value) } else { Watts::ZERO }
}

impl Books<'_> {
    fn block(&mut self, block: BlockId, change: impl FnOnce(&mut BlockFlow)) {
        if let Some(flow) = self.blocks.entry(block) {
            change(flow);
        }
    }

    fn zone(&mut self, node: NodeId, change: impl FnOnce(&mut Balance)) {
        let zone = self.settled.given.zones.of(node);
        if let Some(balance) = zone.and_then(|zone| self.zones.get_mut(zone.index())) {
            change(balance);
        }
    }

    /// A device brings power to its zone, or takes it.
    fn device(&mut self, node: NodeId, power: f64) {
        self.zone(node, |zone| {
            if power > 0.0 {
                zone.entering += watts(power);
            } else {
                zone.leaving += watts(-power);
            }
        });
    }

    fn lose(&mut self, block: BlockId, power: f64) {
        self.block(block, |flow| flow.lost += watts(power));
        self.balance.lost += watts(power);
    }

    fn make(&mut self, block: BlockId, power: f64) {
        self.block(block, |flow| flow.made += watts(power));
        self.balance.entering += watts(power);
    }

    fn use_up(&mut self, block: BlockId, power: f64) {
        self.block(block, |flow| flow.used += watts(power));
        self.balance.leaving += watts(power);
    }

    fn links(&mut self, links: &[LinkFlow]) {
        let network = self.settled.given.network;
        for ((_, link), flow) in network.links().zip(links) {
            if flow.lost != Watts::ZERO {
                self.zone(link.a, |zone| zone.lost += flow.lost);
                self.balance.lost += flow.lost;
            }
            let (Some(a), Some(b)) = (network.node(link.a), network.node(link.b)) else { continue };
            if !matches!(link.kind, LinkKind::Run(_)) {
                self.block(a.block, |block| block.lost += flow.lost);
                continue;
            }
            // What leaves one block through the run enters the other.
            for (block, out) in [(a.block, flow.power_in), (b.block, Watts::ZERO - flow.power_out)] {
                self.block(block, |it| {
                    if out > Watts::ZERO {
                        it.given += out;
                    } else {
                        it.taken += Watts::ZERO - out;
                    }
                });
            }
        }
    }

    fn direct(&mut self) {
        let settled = self.settled;
        for island in &settled.direct {
            let duty = settled.duty(island);
            for found in &island.found {
                let Some(node) = settled.dc_node(found.who) else { continue };
                let volts = island.volts.at(found.joint);
                let power = volts * found.amps * duty;
                self.device(node, power);
                let Some(block) = settled.block_of(found.who) else { continue };
                match found.who {
                    Who::Strings(_) if power >= 0.0 => self.make(block, power),
                    Who::Cells(i) => self.cells(block, i, power, found.amps),
                    Who::Load(_) => self.use_up(block, -power),
                    // Strings that others push back turn it into heat, as a controller does what it takes for itself.
                    Who::Strings(_) | Who::ControllerOwn(_) => self.lose(block, -power),
                    Who::ControllerIn(_)
                    | Who::ControllerOut(_)
                    | Who::ConverterIn(_)
                    | Who::ConverterOut(_)
                    | Who::Inverter(_)
                    | Who::Charger(_) => {}
                }
            }
        }
    }

    /// A string gives up its resting voltage times the current; of what is charged a part stays.
    fn cells(&mut self, block: BlockId, i: usize, power: f64, amps: f64) {
        let machines = self.settled.machines;
        let string = machines.cells.get(i).and_then(|it| machines.banks.get(it.bank)?.string.as_ref());
        let Some(string) = string else { return };
        let drawn = string.drawn_watts(amps);
        if amps >= 0.0 {
            self.make(block, drawn);
        } else {
            self.use_up(block, -drawn);
        }
        self.lose(block, drawn - power);
    }

    fn alternating(&mut self) {
        let settled = self.settled;
        for island in &settled.alternating {
            for member in &island.members {
                let Some(node) = settled.ac_node(member.who) else { continue };
                let volts = island.volts.at(member.joint);
                let power = Power::of(volts, member.inject(island.volts.point(member.joint)).0).watts;
                self.device(node, power);
                if let AcWho::Panel(i) = member.who
                    && let Some(panel) = settled.machines.panels.get(i)
                {
                    self.use_up(panel.block, -power);
                }
            }
            let given = island.source.watts;
            if let Some(supply) = island.supply.and_then(|i| settled.machines.supplies.get(i)) {
                self.device(supply.node, given);
                self.make(supply.block, given);
            } else if let Some(inverter) = island.inverters.first().filter(|_| island.held.is_some())
                && let Some(inverter) = settled.machines.inverters.get(*inverter)
            {
                self.device(inverter.out, given);
            }
        }
    }

    fn controllers(&mut self) {
        let settled = self.settled;
        for (controller, now) in settled.machines.controllers.iter().zip(&settled.controllers) {
            if now.out_amps <= 0.0 || now.mode.is_none() {
                continue;
            }
            let lost = match &controller.works {
                Works::Tracking { conversion, .. } => conversion.loss(now.out_volts * now.out_amps),
                Works::Switching(drop) => drop * now.out_amps,
            };
            self.lose(controller.block, lost);
        }
    }

    fn converters(&mut self) {
        let settled = self.settled;
        for (converter, now) in settled.machines.converters.iter().zip(&settled.converters) {
            if settled.is_on(converter) {
                self.lose(converter.block, converter.conversion.loss(now.out_watts.max(0.0)));
            }
        }
    }

    fn inverters(&mut self) {
        for (i, inverter) in self.settled.machines.inverters.iter().enumerate() {
            self.lose(inverter.block, self.settled.inverter_loss(i));
        }
    }
}
