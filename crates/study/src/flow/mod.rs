//! Flow: the steady state of an operating case.
//!
//! What is asked for is an [`OperatingState`]: sun, temperatures, charge, loads, supplies, switches. The answer is a
//! [`Flow`]: voltages, currents, powers and losses everywhere, what every converter does, what is dead and why, or in
//! plain words why there is no such state.
//!
//! ```text
//! positions, topology   which contacts are closed, what hangs together, what holds its voltage
//! settle                islands solved for what the others ask of them, until none asks for anything else
//!   direct, tracking    a DC island: Newton's method, modes of regulated sources, the best voltage of strings
//!   alternating         an AC island in phasors
//! trips                 what stands outside of its limits switches off, and all is done again without it
//! report                the result
//! ```
//!
//! Conductors have their warm resistance and no reactance; breakers do not open by themselves; a new array without
//! mismatch is in even sun.

mod alternating;
mod cells;
mod content;
mod direct;
mod doing;
mod elimination;
mod found;
mod losses;
mod machines;
mod modules;
mod newton;
mod outcome;
mod phasor;
mod positions;
mod report;
mod settle;
mod spread;
mod state;
mod topology;
mod tracking;
mod trips;
mod voltages;
mod wiring;
mod words;

pub use doing::{
    Cause, ControllerDoing, ControllerFlow, ControllerOff, ConverterDoing, ConverterFlow, ConverterOff,
    InverterDoing, InverterFlow, InverterOff, SourceDoing, SourceFlow, Unmet, Unserved,
};
pub use found::{Balance, BlockFlow, Flow, FlowDirection, LinkFlow, Remark, RunFlow};
pub use outcome::{Outcome, Reason};
pub use state::{ChargeStage, Load, OperatingState};
pub use trips::Trip;

use crate::conditions::Conditions;
use crate::network::Network;
use crate::ratings::Ratings;
use crate::zones::Zones;
use lineside_core::circuit::Circuit;
use machines::{Given, Machines};
use settle::Settled;
use topology::Topology;
use trips::Trips;
use wiring::Conductors;

/// Finds the steady state.
///
/// It is looked for from a cold start: every bank at rest, every source that can hold its voltage holding it. What then
/// stands outside of its limits (an inverter below its low cut-out, a source above its rating) switches off for good,
/// and the search begins again without it; each round has one device fewer, so that there is an end.
pub fn study(
    on: &Conditions<'_>,
    network: &Network,
    zones: &Zones,
    ratings: &Ratings,
    state: &OperatingState,
) -> Flow {
    let given = Given { on, network, zones, state };
    let machines = Machines::new(&given);
    let conductors = Conductors::of(&on.project.circuit, network, ratings);
    let mut trips = Trips::default();
    loop {
        let topology = Topology::resolve(&given, &machines, &conductors, &trips);
        let mut settled = Settled::new(&given, &machines, &topology, &trips);
        let found = settled.run();
        let mut more = trips.clone();
        for goes in found {
            more.add(goes);
        }
        if more == trips {
            return report::write(&settled);
        }
        trips = more;
    }
}

/// How every pole stands as drawn, relays of inverters open; by position in [`Network::poles`].
pub(crate) fn closed_as_drawn(circuit: &Circuit, network: &Network) -> Vec<bool> {
    positions::by_hand(circuit, network, &OperatingState::new())
}

#[cfg(test)]
mod tests;
