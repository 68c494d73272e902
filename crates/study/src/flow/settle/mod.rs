//! The powers that converters carry between islands: each island is solved for what the others ask of it, in a fixed
//! order, until none asks for anything else.

mod ac;
mod dc;
mod members;
mod now;
mod told;
mod trips;

pub(super) use ac::AcIsland;
pub(super) use dc::DcIsland;
pub(super) use now::{ControllerNow, ConverterNow, InverterNow, Starved};

use super::machines::{Given, Machines};
use super::topology::{Holds, Topology};
use super::trips::{Goes, Trips};

/// What the search has found so far.
pub(super) struct Settled<'a> {
    pub given: &'a Given<'a>,
    pub machines: &'a Machines<'a>,
    pub topology: &'a Topology<'a>,
    pub trips: &'a Trips,
    pub direct: Vec<DcIsland>,
    pub alternating: Vec<AcIsland>,
    /// For each island its position in one of these lists.
    places: Vec<Place>,
    pub controllers: Vec<ControllerNow>,
    pub converters: Vec<ConverterNow>,
    pub inverters: Vec<InverterNow>,
    /// Whether inverters still add to sources that are too small.
    help: Help,
    /// The greatest power of a device that was seen.
    greatest_watts: f64,
    /// Whether the powers came to rest.
    pub at_rest: AtRest,
}

/// Whether the powers came to rest.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum AtRest {
    /// They did.
    Yes,
    /// They still change after all sweeps.
    No,
}

/// Whether inverters add to sources that are too small.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Help {
    /// They do.
    Given,
    /// They do not: with a way around their relays it would never come to rest.
    Withheld,
}

/// Where the solution of an island is kept.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Place {
    /// It is dead.
    Nowhere,
    /// Among the DC islands.
    Direct(usize),
    /// Among the AC islands.
    Alternating(usize),
}

/// Sweeps over all islands before the search gives up.
const SWEEPS: usize = 60;

/// An island has no state; this must go, if anything is left to go.
pub(super) struct Failed(Option<Goes>);

impl<'a> Settled<'a> {
    pub(super) fn new(
        given: &'a Given<'a>,
        machines: &'a Machines<'a>,
        topology: &'a Topology<'a>,
        trips: &'a Trips,
    ) -> Self {
        let mut settled = Self {
            given,
            machines,
            topology,
            trips,
            direct: Vec::new(),
            alternating: Vec::new(),
            places: Vec::with_capacity(topology.holds.len()),
            controllers: vec![ControllerNow::default(); machines.controllers.len()],
            converters: vec![ConverterNow::default(); machines.converters.len()],
            inverters: vec![InverterNow::default(); machines.inverters.len()],
            help: Help::Given,
            greatest_watts: 0.0,
            at_rest: AtRest::No,
        };
        for (island, holds) in topology.holds.iter().enumerate() {
            let place = match holds {
                Holds::Nothing | Holds::Joined(_) | Holds::Mixed => Place::Nowhere,
                Holds::Direct => {
                    settled.direct.push(DcIsland::new(machines, topology, island));
                    Place::Direct(settled.direct.len() - 1)
                }
                Holds::Supply(_) | Holds::Inverters(_) => {
                    settled.alternating.push(AcIsland::new(machines, topology, island, holds));
                    Place::Alternating(settled.alternating.len() - 1)
                }
            };
            settled.places.push(place);
        }
        settled.begin();
        settled
    }

    /// The first guess: buses at rest, inverters in the mode that the wiring gives them.
    fn begin(&mut self) {
        for (i, inverter) in self.machines.inverters.iter().enumerate() {
            let passes = self.topology.passing.get(i).copied().flatten();
            let inverts =
                matches!(self.topology.holds(inverter.out), Holds::Inverters(all) if all.contains(&i));
            let alive = self.topology.is_alternating(inverter.out);
            let dc_volts = self.bus_volts(inverter.dc);
            if let Some(now) = self.inverters.get_mut(i) {
                now.passes = passes.filter(|_| alive);
                now.inverts = inverts;
                now.idle_watts = inverter.idle_watts;
                now.dc_volts = dc_volts;
            }
        }
        for (i, controller) in self.machines.controllers.iter().enumerate() {
            let volts = self.bus_volts(controller.output);
            if let Some(now) = self.controllers.get_mut(i) {
                (now.out_volts, now.over) = (volts, now::Approach::at(volts));
            }
        }
        for (i, converter) in self.machines.converters.iter().enumerate() {
            let volts = self.bus_volts(converter.input);
            if let Some(now) = self.converters.get_mut(i) {
                now.in_volts = volts;
            }
        }
    }

    /// Sweeps until nothing changes. Gives what must switch off: where an island has no state, or what stands outside
    /// of its limits in the state found.
    pub(super) fn run(&mut self) -> Vec<Goes> {
        let arrays: Vec<usize> = (0..self.direct.len()).filter(|k| self.is_array(*k)).collect();
        let buses: Vec<usize> = (0..self.direct.len()).filter(|k| !self.is_array(*k)).collect();
        for help in [Help::Given, Help::Withheld] {
            self.help = help;
            if let Some(found) = self.sweep(&arrays, &buses) {
                return found;
            }
            // What swings because something is outside of its limits comes to rest without it.
            let outside = self.found_trips();
            if !outside.is_empty() {
                return outside;
            }
        }
        Vec::new()
    }

    /// Sweeps until nothing changes; `None` when something still does after all sweeps.
    fn sweep(&mut self, arrays: &[usize], buses: &[usize]) -> Option<Vec<Goes>> {
        for _ in 0..SWEEPS {
            let mut failed = Vec::new();
            let mut changed = false;
            let mut note = |result: Result<bool, Failed>| match result {
                Ok(moved) => changed |= moved,
                Err(it) => failed.push(it.0),
            };
            for k in 0..self.alternating.len() {
                note(self.solve_ac(k));
            }
            for now in &mut self.controllers {
                now.over.follow(now.out_volts);
            }
            for k in arrays.iter().chain(buses) {
                note(self.solve_dc(*k));
            }
            if !failed.is_empty() {
                return Some(failed.into_iter().flatten().collect());
            }
            if !changed {
                self.at_rest = AtRest::Yes;
                return Some(self.found_trips());
            }
        }
        None
    }

    fn saw(&mut self, watts: f64) {
        if watts.is_finite() {
            self.greatest_watts = self.greatest_watts.max(watts.abs());
        }
    }

    /// Whether controllers take from a DC island.
    fn is_array(&self, k: usize) -> bool {
        let island = self.direct.get(k).map(|it| it.island);
        island
            .and_then(|island| self.topology.contents.get(island))
            .is_some_and(|content| !content.controllers_in.is_empty())
    }

    /// Where the solution of an island is kept.
    pub(super) fn place(&self, island: usize) -> Place {
        self.places.get(island).copied().unwrap_or(Place::Nowhere)
    }
}
