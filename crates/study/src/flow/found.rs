//! The result of the study: voltages, currents, powers and losses everywhere.

use super::doing::{ControllerFlow, ConverterFlow, InverterFlow, SourceFlow, Unmet};
use super::outcome::Outcome;
use crate::network::{LinkId, Network, NodeId};
use crate::zones::ZoneId;
use lineside_core::circuit::{BlockId, IdMap, RunId, Side};
use lineside_core::units::{Amps, Volts, Watts};

/// Which way a current flows through a run or a pole.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum FlowDirection {
    /// From its beginning to its end.
    Forward,
    /// From its end to its beginning.
    Backward,
    /// Not at all.
    Still,
}

/// What flows through a link. In AC the current has the sign of the power.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct LinkFlow {
    /// From its beginning to its end.
    pub current: Amps,
    /// Into it at its beginning.
    pub power_in: Watts,
    /// Out of it at its end.
    pub power_out: Watts,
    /// What it loses.
    pub lost: Watts,
}

impl LinkFlow {
    /// Which way the current flows.
    pub fn direction(&self) -> FlowDirection {
        if self.current > Amps::ZERO {
            FlowDirection::Forward
        } else if self.current < Amps::ZERO {
            FlowDirection::Backward
        } else {
            FlowDirection::Still
        }
    }
}

/// What flows through a run.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct RunFlow {
    /// Current, powers and loss.
    pub flow: LinkFlow,
    /// Voltage where it begins; `None` when it is dead there.
    pub from: Option<Volts>,
    /// Voltage where it ends.
    pub to: Option<Volts>,
}

/// Power at a block. `taken + made = given + used + lost`.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct BlockFlow {
    /// Through its terminals, into it.
    pub taken: Watts,
    /// Through its terminals, out of it.
    pub given: Watts,
    /// Of sun, fuel, the utility, or what a battery gives up.
    pub made: Watts,
    /// In loads, and what stays in a battery.
    pub used: Watts,
    /// As heat, and as gas in a battery.
    pub lost: Watts,
}

impl BlockFlow {
    /// What does not add up; rounding and nothing else.
    pub fn gap(&self) -> Watts {
        self.taken + self.made - self.given - self.used - self.lost
    }
}

/// Power of a zone, or of the whole system.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Balance {
    /// From its sources.
    pub entering: Watts,
    /// To its sinks.
    pub leaving: Watts,
    /// In its conductors; for the whole system in its converters and batteries too.
    pub lost: Watts,
}

impl Balance {
    /// What does not add up; rounding and nothing else.
    pub fn gap(&self) -> Watts {
        self.entering - self.leaving - self.lost
    }
}

/// Something that the reader of the figures should know.
#[derive(Clone, Debug, PartialEq)]
pub enum Remark {
    /// No table tells the resistance of a run; it is taken to have none.
    ResistanceUnknown(RunId),
    /// The case names what is not on the sheet.
    UnknownTag(String),
    /// Nothing is known of how a bank behaves.
    NoModel(BlockId),
}

/// The steady state of a circuit.
#[derive(Clone, Debug, PartialEq)]
pub struct Flow {
    /// Whether it is one.
    pub outcome: Outcome,
    /// Power of the whole system: made, used, lost.
    pub balance: Balance,
    /// Greatest current left over at a joint, and the greatest of all currents.
    pub residual: (Amps, Amps),
    /// Loads without power.
    pub unmet: Vec<Unmet>,
    /// What the reader should know.
    pub remarks: Vec<Remark>,
    pub(super) voltages: Vec<Option<Volts>>,
    pub(super) links: Vec<LinkFlow>,
    pub(super) closed: Vec<bool>,
    pub(super) blocks: IdMap<BlockId, BlockFlow>,
    pub(super) zones: Vec<Balance>,
    pub(super) sources: Vec<SourceFlow>,
    pub(super) controllers: IdMap<BlockId, ControllerFlow>,
    pub(super) inverters: IdMap<BlockId, InverterFlow>,
    pub(super) converters: IdMap<BlockId, ConverterFlow>,
}

impl Flow {
    /// Whether the case is a steady state.
    pub fn is_solved(&self) -> bool {
        self.outcome == Outcome::Solved
    }
    /// The voltage of a node, between lines in AC; `None` when it is dead.
    pub fn voltage(&self, node: NodeId) -> Option<Volts> {
        self.voltages.get(node.index()).copied().flatten()
    }
    /// What flows through a link.
    pub fn link(&self, link: LinkId) -> LinkFlow {
        self.links.get(link.index()).copied().unwrap_or_default()
    }
    /// What flows through a run; `None` when the network has no such run.
    pub fn run(&self, network: &Network, run: RunId) -> Option<RunFlow> {
        let link = network.run_link(run)?;
        let end = |side| self.voltage(network.run_end(run, side)?);
        Some(RunFlow { flow: self.link(link), from: end(Side::From), to: end(Side::To) })
    }
    /// What flows through a pole, by its position in [`Network::poles`].
    pub fn pole(&self, network: &Network, pole: usize) -> Option<LinkFlow> {
        Some(self.link(network.poles().get(pole)?.link))
    }
    /// Whether a pole is closed, relays included.
    pub fn is_closed(&self, pole: usize) -> bool {
        self.closed.get(pole).copied().unwrap_or(false)
    }
    /// Power at a block.
    pub fn block(&self, block: BlockId) -> Option<&BlockFlow> {
        self.blocks.get(block)
    }
    /// Power at every block, in the order of ids.
    pub fn blocks(&self) -> impl Iterator<Item = (BlockId, &BlockFlow)> {
        self.blocks.iter()
    }
    /// Power of a zone.
    pub fn zone(&self, zone: ZoneId) -> Option<&Balance> {
        self.zones.get(zone.index())
    }
    /// Every source, in the order of [`Network::sources`].
    pub fn sources(&self) -> &[SourceFlow] {
        &self.sources
    }
    /// A charge controller.
    pub fn controller(&self, block: BlockId) -> Option<&ControllerFlow> {
        self.controllers.get(block)
    }
    /// An inverter.
    pub fn inverter(&self, block: BlockId) -> Option<&InverterFlow> {
        self.inverters.get(block)
    }
    /// A DC-to-DC converter.
    pub fn converter(&self, block: BlockId) -> Option<&ConverterFlow> {
        self.converters.get(block)
    }
    /// Whether no point of a block has a voltage.
    pub fn is_dead(&self, network: &Network, block: BlockId) -> bool {
        let mut points = (0..).map_while(|point| {
            let node = network.point(block, point)?;
            network.node(node).filter(|it| it.block == block).map(|_| node)
        });
        points.all(|node| self.voltage(node).is_none())
    }
}
