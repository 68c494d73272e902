//! In which positions the hand-operated and self-acting switches can stand while currents are looked for.
//!
//! Hand-operated poles count as closed, since a conductor must stand what flows when they are. The positions
//! of a transfer switch and the relays of an inverter exclude each other: they are gone through one at a time,
//! in every zone together, so that the number of rounds does not grow with the number of systems on a sheet.

use crate::network::{LinkKind, Network};
use crate::zones::{Zone, Zones};
use lineside_core::circuit::BlockId;
use lineside_core::kinds::common::Position;
use std::collections::{BTreeMap, BTreeSet};

/// Whether the relays inside converters take part.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Relays {
    /// They stay open: both their sides are already counted as source and sink.
    Open,
    /// They close one at a time, and pass on what their input sees.
    OneAtATime,
}

/// The rounds to go through, and which pole acts in which.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Arrangements {
    rounds: usize,
    /// For each pole the round in which it stands otherwise than drawn; 0 for never.
    acts_in: Vec<usize>,
}

impl Arrangements {
    /// Finds the rounds of a network.
    pub fn of(network: &Network, zones: &Zones, relays: Relays) -> Self {
        let mut rounds = 1;
        let mut acts_in = vec![0; network.poles().len()];
        for (_, zone) in zones.all() {
            let mut next = 0;
            let mut of_block: BTreeMap<(BlockId, u8), usize> = BTreeMap::new();
            for index in &zone.poles {
                let Some(it) = network.poles().get(*index) else { continue };
                let key = match (it.is_relay(), it.pole.throw) {
                    (true, Some(throw)) if relays == Relays::OneAtATime => (it.block, throw),
                    (false, Some(_)) => (it.block, 0),
                    _ => continue,
                };
                let round = *of_block.entry(key).or_insert_with(|| {
                    next += 1;
                    next
                });
                if let Some(slot) = acts_in.get_mut(*index) {
                    *slot = round;
                }
            }
            rounds = rounds.max(next + 1);
        }
        Self { rounds, acts_in }
    }

    /// The rounds; 0 is the state as drawn.
    pub fn rounds(&self) -> std::ops::Range<usize> {
        0..self.rounds
    }

    /// Whether something in a zone stands otherwise than drawn in a round.
    pub fn differs(&self, zone: &Zone, round: usize) -> bool {
        round != 0 && zone.poles.iter().any(|pole| self.acts_in.get(*pole) == Some(&round))
    }

    /// The converters whose relay is closed in a round, so that they pass their input through.
    pub fn passing_through(&self, network: &Network, round: usize) -> BTreeSet<BlockId> {
        let poles = network.poles().iter().enumerate();
        poles
            .filter(|(i, it)| it.is_relay() && round != 0 && self.acts_in.get(*i) == Some(&round))
            .map(|(_, it)| it.block)
            .collect()
    }

    /// Whether current can pass a link in a round.
    pub fn passes(&self, network: &Network, kind: LinkKind, round: usize) -> bool {
        let LinkKind::Pole(index) = kind else { return kind != LinkKind::Converter };
        let Some(it) = network.poles().get(index) else { return false };
        let acts = round != 0 && self.acts_in.get(index) == Some(&round);
        match (it.is_relay(), it.pole.throw) {
            (true, Some(_)) => acts,
            (false, Some(_)) => (it.pole.position == Position::Closed) != acts,
            (_, None) => true,
        }
    }
}
