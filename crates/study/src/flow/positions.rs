//! Which contacts are closed by hand: as drawn, but for those that the operating state has otherwise.
//!
//! Relays of inverters, which close by themselves, and automatic transfer switches are in [`super::topology`].

use super::state::OperatingState;
use crate::network::{Network, PoleInBlock};
use lineside_core::circuit::{Block, BlockId, Circuit};
use lineside_core::kinds::common::{Fitted, Position};
use lineside_core::kinds::switch::Switch;
use lineside_core::kinds::transfer_switch::{Interlock, TransferSwitch};
use lineside_core::kinds::{Equipment, Kind};

/// How every pole stands by hand, relays of inverters open.
pub(super) fn by_hand(circuit: &Circuit, network: &Network, state: &OperatingState) -> Vec<bool> {
    let mut closed = Vec::with_capacity(network.poles().len());
    for poles in network.poles().chunk_by(|a, b| a.block == b.block) {
        let Some(block) = poles.first().and_then(|pole| circuit.block(pole.block)) else {
            closed.extend(poles.iter().map(|_| false));
            continue;
        };
        if let Equipment::TransferSwitch(switch) = &block.equipment {
            closed.extend(transfer(switch, block.id, poles, state));
        } else if block.kind() == Kind::Switch {
            // One handle opens every circuit.
            let asked = poles.iter().find_map(|pole| asked(state, block.id, pole));
            closed.extend(poles.iter().map(|pole| is_closed(asked.unwrap_or(pole.pole.position))));
        } else if block.kind() == Kind::Inverter {
            closed.extend(poles.iter().map(|_| false));
        } else {
            let stands = |pole: &PoleInBlock| asked(state, block.id, pole).unwrap_or(pole.pole.position);
            closed.extend(poles.iter().map(|pole| is_closed(stands(pole))));
        }
    }
    if shutdown_is_started(circuit, network, state, &closed) {
        for (pole, closed) in network.poles().iter().zip(&mut closed) {
            if circuit.block(pole.block).is_some_and(|block| block.kind() == Kind::ShutdownReceiver) {
                *closed = false;
            }
        }
    }
    closed
}

/// Whether a relay of an inverter is kept open by hand.
pub(super) fn is_kept_open(state: &OperatingState, pole: &PoleInBlock) -> bool {
    asked(state, pole.block, pole) == Some(Position::Open)
}

fn is_closed(position: Position) -> bool {
    position == Position::Closed
}

/// What the state asks of a pole, by its name or for the whole block.
fn asked(state: &OperatingState, block: BlockId, pole: &PoleInBlock) -> Option<Position> {
    if state.switches.is_empty() {
        return None;
    }
    let named = pole.pole.name.as_ref().and_then(|name| state.switches.get(&(block, name.clone())));
    named.or_else(|| state.switches.get(&(block, String::new()))).copied()
}

/// With a mechanical interlock one blade stands in one of two positions: to open what is closed, or to close what is
/// open, is to change over. Without one each pole goes its own way.
fn transfer(
    switch: &TransferSwitch,
    block: BlockId,
    poles: &[PoleInBlock],
    state: &OperatingState,
) -> Vec<bool> {
    let drawn = |pole: &PoleInBlock| is_closed(pole.pole.position);
    if switch.interlock == Interlock::None {
        return poles.iter().map(|pole| asked(state, block, pole).map_or(drawn(pole), is_closed)).collect();
    }
    let whole = state.switches.get(&(block, String::new()));
    let named = poles.iter().any(|pole| {
        let name = pole.pole.name.clone().unwrap_or_default();
        state.switches.get(&(block, name)).is_some_and(|asked| is_closed(*asked) != drawn(pole))
    });
    let changed = named || whole == Some(&Position::Open);
    poles.iter().map(|pole| drawn(pole) != changed).collect()
}

/// An initiator that is thrown, or a switch that starts rapid shutdown and stands open, opens every receiver.
fn shutdown_is_started(
    circuit: &Circuit,
    network: &Network,
    state: &OperatingState,
    closed: &[bool],
) -> bool {
    let thrown = |block: &Block| {
        let Equipment::ShutdownInitiator(it) = &block.equipment else { return false };
        let asked = state.switches.get(&(block.id, String::new()));
        !is_closed(*asked.unwrap_or(&it.position))
    };
    let opened = |pole: &PoleInBlock| {
        let switch = circuit.block(pole.block).and_then(|block| block.equipment.as_kind::<Switch>());
        switch.is_some_and(|switch| switch.starts_rapid_shutdown == Some(Fitted::Yes))
    };
    circuit.blocks().any(thrown)
        || network.poles().iter().zip(closed).any(|(pole, closed)| !closed && opened(pole))
}
