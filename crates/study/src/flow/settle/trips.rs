//! What stands outside of its limits in the state found, and so switches off: at most one on each island in a round,
//! the one farthest outside, because the others may be within their limits without it.

use super::Settled;
use super::dc::DcIsland;
use crate::flow::alternating::{Answer, Power, Who as AcWho};
use crate::flow::direct::Who;
use crate::flow::machines::SupplyKind;
use crate::flow::trips::{Goes, Trip};
use lineside_core::circuit::BlockId;
use lineside_core::units::{Volts, Watts};

/// A candidate: how far outside, as a share, and what it would be.
type Candidate = (f64, Goes);

/// Limits count as kept this far beyond them, so that rounding throws nothing.
const TOLERANCE: f64 = 1e-9;

impl Settled<'_> {
    /// What must switch off.
    pub(super) fn found_trips(&self) -> Vec<Goes> {
        let mut found = Vec::new();
        let worst = |candidates: Vec<Candidate>| {
            candidates.into_iter().reduce(|a, b| if b.0 > a.0 { b } else { a }).map(|(_, goes)| goes)
        };
        // AC first: an inverter that is asked for too much and so pulls its bank down is overloaded.
        for island in &self.alternating {
            let mut candidates = Vec::new();
            self.loads_on(island, &mut candidates);
            self.sources_on(island, &mut candidates);
            // A source is not judged while an input that should be refused hangs on it.
            found.extend(self.input_goes(island).or_else(|| worst(candidates)));
        }
        for island in &self.direct {
            let mut candidates = Vec::new();
            self.on_direct(island, &mut candidates);
            found.extend(worst(candidates));
        }
        found
    }

    fn on_direct(&self, island: &DcIsland, to: &mut Vec<Candidate>) {
        let Some(content) = self.topology.contents.get(island.island) else { return };
        let machines = self.machines;
        let at = |node| self.topology.wiring.place(node).map_or(0.0, |(_, joint)| island.volts.at(joint));
        for i in &content.inverters_dc {
            let (Some(it), Some(now)) = (machines.inverters.get(*i), self.inverters.get(*i)) else {
                continue;
            };
            // A relay that passes a source on needs no battery.
            let works = now.inverts || now.dc_watts > 0.0;
            if works && !it.is_off && !self.trips.has(it.block) {
                to.extend(outside(it.block, at(it.dc), it.window));
            }
        }
        for i in &content.converters_in {
            let Some(it) = machines.converters.get(*i) else { continue };
            if self.is_on(it) {
                to.extend(outside(it.block, at(it.input), it.window));
            }
        }
        for i in &content.converters_out {
            let (Some(it), Some(now)) = (machines.converters.get(*i), self.converters.get(*i)) else {
                continue;
            };
            if content.cells.is_empty() && now.out_amps > it.limit_amps * (1.0 + TOLERANCE) {
                let (asked, limit) = (now.out_amps * it.output_volts, it.limit_amps * it.output_volts);
                to.push(overload(it.block, asked, limit));
            }
        }
        for i in &content.dc_loads {
            let Some(it) = machines.dc_loads.get(*i) else { continue };
            if it.watts <= 0.0 || self.trips.has(it.block) {
                continue;
            }
            let low = outside(it.block, at(it.node), (it.lowest_volts, f64::INFINITY));
            to.extend(low.map(|(by, lets_go)| {
                let collapse = Goes::Off(it.block, Trip::Collapse { volts: Self::volts(at(it.node)) });
                (by, if it.lowest_from_nameplate { lets_go } else { collapse })
            }));
        }
        self.managements(island, to);
    }

    /// Battery managements that open: below one voltage while current is drawn, above another while it flows in.
    fn managements(&self, island: &DcIsland, to: &mut Vec<Candidate>) {
        for found in &island.found {
            let Who::Cells(i) = found.who else { continue };
            let bank = self.machines.cells.get(i).and_then(|string| self.machines.banks.get(string.bank));
            let Some(bank) = bank else { continue };
            let low = bank.opens_below.filter(|_| found.amps > 0.0).unwrap_or(0.0);
            let high = bank.opens_above.filter(|_| found.amps < 0.0).unwrap_or(f64::INFINITY);
            to.extend(outside(bank.block, island.volts.at(found.joint), (low, high)));
        }
    }

    /// Panels at which the voltage has broken down.
    fn loads_on(&self, island: &super::AcIsland, to: &mut Vec<Candidate>) {
        for member in &island.members {
            let (AcWho::Panel(i), Answer::Draws { floor, .. }) = (member.who, member.answer) else {
                continue;
            };
            let volts = island.volts.at(member.joint).magnitude();
            let block = self.machines.panels.get(i).map(|it| it.block);
            if let Some(block) = block.filter(|_| volts < floor * (1.0 - TOLERANCE)) {
                let trip = Trip::Collapse { volts: Self::volts(volts * island.to_line) };
                to.push((1.0 - volts / floor, Goes::Off(block, trip)));
            }
        }
    }

    /// Sources that are asked for more than they give.
    fn sources_on(&self, island: &super::AcIsland, to: &mut Vec<Candidate>) {
        for i in &island.inverters {
            let (Some(it), Some(now)) = (self.machines.inverters.get(*i), self.inverters.get(*i)) else {
                continue;
            };
            to.extend(above(it.block, now.output.watts, it.greatest_watts));
            to.extend(above(it.block, now.output.volt_amperes(), it.greatest_volt_amperes));
        }
        if let Some(it) = island.supply.and_then(|i| self.machines.supplies.get(i)) {
            let Power { watts, .. } = island.source;
            let asked = match it.kind {
                SupplyKind::Utility => island.source.volt_amperes(),
                SupplyKind::Generator => watts,
            };
            to.extend(above(it.block, asked, it.greatest_watts));
        }
    }
}

fn above(block: BlockId, asked: f64, limit: f64) -> Option<Candidate> {
    (asked > limit * (1.0 + TOLERANCE)).then(|| overload(block, asked, limit))
}

fn overload(block: BlockId, asked: f64, limit: f64) -> Candidate {
    let watts = |value: f64| if value.is_finite() { Watts::new(value) } else { Watts::ZERO };
    (
        asked / limit.max(f64::MIN_POSITIVE) - 1.0,
        Goes::Off(block, Trip::Overload { asked: watts(asked), limit: watts(limit) }),
    )
}

fn outside(block: BlockId, at: f64, (low, high): (f64, f64)) -> Option<Candidate> {
    let volts = |value: f64| if value.is_finite() { Volts::new(value) } else { Volts::ZERO };
    if at < low * (1.0 - TOLERANCE) {
        Some((1.0 - at / low, Goes::Off(block, Trip::LowVoltage { volts: volts(at), limit: volts(low) })))
    } else if at > high * (1.0 + TOLERANCE) {
        Some((at / high - 1.0, Goes::Off(block, Trip::HighVoltage { volts: volts(at), limit: volts(high) })))
    } else {
        None
    }
}
