//! What has switched off by itself in a state, and why. Once off it stays off, so that the search ends.

use lineside_core::circuit::BlockId;
use lineside_core::units::{Volts, Watts};
use std::collections::{BTreeMap, BTreeSet};

/// Why something has switched off by itself.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Trip {
    /// The DC voltage fell below where it stops.
    LowVoltage {
        /// What it would have been.
        volts: Volts,
        /// Where it stops.
        limit: Volts,
    },
    /// The DC voltage rose above where it stops.
    HighVoltage {
        /// What it would have been.
        volts: Volts,
        /// Where it stops.
        limit: Volts,
    },
    /// It was asked for more than it gives.
    Overload {
        /// What it was asked for.
        asked: Watts,
        /// What it gives at most.
        limit: Watts,
    },
    /// The voltage at a load broke down: the wires and the source cannot carry it.
    Collapse {
        /// The voltage to which it fell.
        volts: Volts,
    },
}

/// What goes in a round of the search.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) enum Goes {
    /// A block switches off.
    Off(BlockId, Trip),
    /// The charger of an inverter pulls its source down too far, and rests.
    Charger(BlockId),
    /// An inverter refuses an input, counted from 1, because its voltage is outside of the window.
    Input(BlockId, u8),
}

/// Everything that has gone.
#[derive(Clone, Debug, Default, PartialEq)]
pub(super) struct Trips {
    found: BTreeMap<BlockId, Trip>,
    chargers: BTreeSet<BlockId>,
    inputs: BTreeSet<(BlockId, u8)>,
}

impl Trips {
    /// Why a block is off; `None` when it is not.
    pub(super) fn of(&self, block: BlockId) -> Option<Trip> {
        self.found.get(&block).copied()
    }
    /// Whether a block has switched off.
    pub(super) fn has(&self, block: BlockId) -> bool {
        !self.found.is_empty() && self.found.contains_key(&block)
    }
    /// Whether an inverter no longer passes a source on: it was overloaded. A low battery stops only what it makes.
    pub(super) fn stops_relay(&self, block: BlockId) -> bool {
        matches!(self.of(block), Some(Trip::Overload { .. }))
    }
    /// Whether the charger of an inverter rests.
    pub(super) fn stops_charger(&self, block: BlockId) -> bool {
        self.chargers.contains(&block)
    }
    /// Whether an inverter refuses an input.
    pub(super) fn refuses(&self, block: BlockId, input: u8) -> bool {
        self.inputs.contains(&(block, input))
    }
    /// Adds one; a block trips once.
    pub(super) fn add(&mut self, goes: Goes) {
        match goes {
            Goes::Off(block, trip) => drop(self.found.entry(block).or_insert(trip)),
            Goes::Charger(block) => drop(self.chargers.insert(block)),
            Goes::Input(block, input) => drop(self.inputs.insert((block, input))),
        }
    }
    /// The blocks that are off, in their order.
    pub(super) fn iter(&self) -> impl Iterator<Item = (BlockId, Trip)> {
        self.found.iter().map(|(block, trip)| (*block, *trip))
    }
}
