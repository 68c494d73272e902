//! Devices: every slot gets the smallest device of the stock that carries, stands and breaks what the studies find.

use super::draft::Draft;
use super::pick::{Demand, pick};
use super::slot::{SideOf, Slot};
use super::why::Why;
use lineside_codes::FactorKey;
use lineside_codes::tables::DeviceType;
use lineside_core::circuit::{BlockId, RunId};
use lineside_core::kinds::Equipment;
use lineside_core::kinds::bus_bar::BusBar;
use lineside_core::kinds::charge_controller::ChargeController;
use lineside_core::kinds::common::{AcSystem, Separation};
use lineside_core::kinds::inside::{Pole, PoleDevice};
use lineside_core::units::{Amps, Celsius, Volts};
use lineside_study::{Conditions, Studies, VoltageWindow, ZoneKind};

/// Whether anything was changed.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Outcome {
    /// Something was.
    Changed,
    /// Nothing was.
    Settled,
}

impl Draft<'_> {
    /// Chooses every device anew by what the studies find now.
    pub(super) fn choose_devices(&mut self) -> Result<Outcome, Why> {
        let mut chosen: Vec<(BlockId, String, Equipment)> = Vec::new();
        {
            let on = Conditions::new(&self.project, self.terms.on.codes);
            let studies = lineside_study::all(&on);
            for slot in &self.slots {
                let demand = demand(&on, &studies, slot);
                let item = pick(self.stock, slot.job, &demand, |pole| odd(&on, pole)).ok_or_else(|| {
                    Why::NoPart {
                        what: slot.job.what,
                        tag: self.tag(slot.block),
                        current: demand.eighty,
                        voltage: demand.voltage,
                        fault: demand.fault,
                    }
                })?;
                chosen.push((slot.block, item.name.clone(), item.equipment.clone()));
            }
            for bus in
                self.project.circuit.blocks().filter(|block| block.equipment.as_kind::<BusBar>().is_some())
            {
                if let Some((name, equipment)) = self.bar(&on, &studies, bus.id)? {
                    chosen.push((bus.id, name, equipment));
                }
            }
        }
        let mut outcome = Outcome::Settled;
        for (block, name, equipment) in chosen {
            if self.project.circuit.block(block).is_none_or(|old| old.equipment == equipment) {
                continue;
            }
            outcome = Outcome::Changed;
            self.equip(block, equipment, Some(name))?;
        }
        Ok(outcome)
    }

    pub(super) fn tag(&self, block: BlockId) -> String {
        self.project.circuit.block(block).map(|block| block.tag.clone()).unwrap_or_default()
    }

    /// The smallest bar that takes the runs, the current and the fault of a bus.
    fn bar(
        &self,
        on: &Conditions<'_>,
        studies: &Studies,
        bus: BlockId,
    ) -> Result<Option<(String, Equipment)>, Why> {
        let network = &studies.network;
        let Some(node) = network.point(bus, 0) else { return Ok(None) };
        let runs = on.project.circuit.runs();
        let ends = runs.flat_map(|run| [run.from, run.to]).filter(|end| end.block == bus);
        let taps = ends.filter_map(|end| end.terminal.number().map(u32::from)).max().unwrap_or(2);
        let worst = studies.bus_flows.of(bus).map(|flow| flow.worst).unwrap_or_default();
        let voltage = voltage_at(on, studies, node).unwrap_or_default();
        let fault = studies.faults.at_node(node).total();
        let rank = |equipment: &Equipment| {
            let it = equipment.as_kind::<BusBar>()?;
            let covered = it.covered == Some(lineside_core::kinds::common::Fitted::Yes);
            let fits = covered
                && it.rating >= worst
                && it.taps >= taps
                && it.voltage.is_some_and(|stands| stands >= voltage)
                && it.short_circuit_rating.is_some_and(|bears| bears >= fault);
            fits.then(|| {
                it.rating.value() + f64::from(it.taps) + it.voltage.unwrap_or_default().value() * 1e-3
            })
        };
        let item = super::draft::best(self.stock, rank).ok_or_else(|| Why::NoPart {
            what: "bus bar",
            tag: self.tag(bus),
            current: worst,
            voltage,
            fault,
        })?;
        Ok(Some((item.name.clone(), item.equipment.clone())))
    }
}

fn voltage_at(on: &Conditions<'_>, studies: &Studies, node: lineside_study::NodeId) -> Option<Volts> {
    let zone = studies.zones.of(node)?;
    if studies.zones.kind_of(node)? == ZoneKind::Ac {
        return ac_system(on, studies, node).map(AcSystem::line_voltage);
    }
    studies.windows.of(zone).and_then(VoltageWindow::highest)
}

fn ac_system(on: &Conditions<'_>, studies: &Studies, node: lineside_study::NodeId) -> Option<AcSystem> {
    let zone = studies.zones.get(studies.zones.of(node)?)?;
    let blocks = zone.blocks(&studies.network);
    blocks.into_iter().find_map(|id| on.project.circuit.block(id)?.equipment.ac_system())
}

/// Amperes by which a larger device of a standard rating is preferred, as a share of its own.
const ODD: f64 = 0.3;

/// Legal if listed, but a reviewer asks: a rating that is none of the standard ones.
fn odd(on: &Conditions<'_>, pole: &Pole) -> f64 {
    let Some(rating) = pole.overcurrent else { return 0.0 };
    let device = if pole.device == PoleDevice::Fuse { DeviceType::Fuse } else { DeviceType::Breaker };
    let standard = on.codes.common.ratings.is_standard(rating, device, on.rule_set);
    if standard { 0.0 } else { rating.value() * ODD }
}

/// What a slot must do.
fn demand(on: &Conditions<'_>, studies: &Studies, slot: &Slot) -> Demand {
    let factor = on.number(FactorKey::Continuous);
    let mut demand = Demand {
        voltage: Volts::ZERO,
        fault: Amps::ZERO,
        eighty: Amps::ZERO,
        hundred: Amps::ZERO,
        poles: 1,
        hottest: hottest(on, slot.block),
        most: slot.most,
    };
    let network = &studies.network;
    for (index, pole) in network.poles().iter().enumerate().filter(|(_, it)| it.block == slot.block) {
        let Some(link) = network.link(pole.link) else { continue };
        let mut runs: Vec<RunId> = studies.protection.runs_of(index).to_vec();
        runs.extend(network.runs_at(link.a).chain(network.runs_at(link.b)));
        for current in runs.iter().filter_map(|run| studies.currents.of(*run)) {
            demand.eighty = demand.eighty.max(current.sized(factor).unwrap_or_default());
            demand.hundred = demand.hundred.max(current.sized(1.0).unwrap_or_default());
        }
        demand.fault = demand.fault.max(studies.faults.duty(pole.link).total());
        demand.voltage = demand.voltage.max(voltage_at(on, studies, link.a).unwrap_or_default());
        demand.poles = match slot.job.side {
            SideOf::Alternating => ac_system(on, studies, link.a).map_or(1, AcSystem::lines),
            SideOf::Array => poles_of_array(on, studies, link.a),
            SideOf::Battery | SideOf::AtBattery => 1,
        };
    }
    demand
}

/// An array behind an isolating controller is not grounded: both poles open.
fn poles_of_array(on: &Conditions<'_>, studies: &Studies, node: lineside_study::NodeId) -> u32 {
    let zone = studies.zones.of(node).and_then(|zone| studies.zones.get(zone));
    let blocks = zone.map(|zone| zone.blocks(&studies.network)).unwrap_or_default();
    let isolated = blocks.into_iter().filter_map(|id| on.project.circuit.block(id)).any(|block| {
        block.equipment.as_kind::<ChargeController>().is_some_and(|it| it.separation == Separation::Galvanic)
    });
    if isolated { 2 } else { 1 }
}

/// The hottest where a block stands.
fn hottest(on: &Conditions<'_>, block: BlockId) -> Celsius {
    let circuit = &on.project.circuit;
    let place = circuit.block(block).and_then(|block| block.place);
    let known = place
        .into_iter()
        .flat_map(|place| [place, circuit.location_of(place)])
        .filter_map(|place| circuit.place(place)?.facts.hottest);
    known.max_by(Celsius::total_cmp).or(on.project.brief.site.design_high).unwrap_or(Celsius::STANDARD_TEST)
}
