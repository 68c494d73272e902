//! What the result of the study asks of the search: where devices stand, what converters lose.

use super::Settled;
use super::dc::DcIsland;
use crate::flow::direct::Who;
use crate::flow::machines::{Controller, Converter, Supply, SupplyKind, Works};
use crate::network::NodeId;
use lineside_core::kinds::inside::SourceKind;

impl Settled<'_> {
    /// The node where a device stands.
    pub(in crate::flow) fn dc_node(&self, who: Who) -> Option<NodeId> {
        let machines = self.machines;
        match who {
            Who::Strings(i) => machines.strings.get(i).map(|it| it.node),
            Who::Cells(i) => machines.cells.get(i).map(|it| it.node),
            Who::ControllerIn(i) => machines.controllers.get(i).map(|it| it.input),
            Who::ControllerOut(i) | Who::ControllerOwn(i) => machines.controllers.get(i).map(|it| it.output),
            Who::ConverterIn(i) => machines.converters.get(i).map(|it| it.input),
            Who::ConverterOut(i) => machines.converters.get(i).map(|it| it.output),
            Who::Inverter(i) | Who::Charger(i) => machines.inverters.get(i).map(|it| it.dc),
            Who::Load(i) => machines.dc_loads.get(i).map(|it| it.node),
        }
    }

    /// Part of the time in which the currents of an island flow: of strings behind a switching controller that holds
    /// back.
    pub(in crate::flow) fn duty(&self, island: &DcIsland) -> f64 {
        let taker = island
            .found
            .iter()
            .find_map(|found| if let Who::ControllerIn(i) = found.who { Some(i) } else { None });
        taker.map_or(1.0, |i| self.duty_of(i))
    }

    /// Part of the time in which a controller lets its strings through.
    pub(in crate::flow) fn duty_of(&self, controller: usize) -> f64 {
        match self.controllers.get(controller) {
            Some(now) if now.available_amps > 0.0 && self.lets_through(controller) => {
                (now.out_amps / now.available_amps).clamp(0.0, 1.0)
            }
            _ => 1.0,
        }
    }

    /// Whether a controller switches, and nothing but strings stands on the island of its input, so that it can let all
    /// of it through part of the time.
    pub(in crate::flow) fn lets_through(&self, controller: usize) -> bool {
        let Some(it) = self.machines.controllers.get(controller) else { return false };
        let island = self.topology.wiring.island(it.input);
        let content = island.and_then(|island| self.topology.contents.get(island));
        matches!(it.works, Works::Switching(_))
            && content.is_some_and(|content| content.strings.len() + 1 == content.machines())
    }

    /// What a controller takes for itself.
    pub(in crate::flow) fn own_consumption(&self, controller: &Controller<'_>) -> f64 {
        let Some(island) = self.topology.wiring.island(controller.output) else { return 0.0 };
        let super::Place::Direct(k) = self.place(island) else { return 0.0 };
        let Some(island) = self.direct.get(k) else { return 0.0 };
        let own = island.found.iter().find(|found| {
            matches!(found.who, Who::ControllerOwn(_)) && self.block_of(found.who) == Some(controller.block)
        });
        own.map_or(0.0, |found| -found.amps * island.volts.at(found.joint))
    }

    /// Whether a bank stands on the island of a node.
    pub(in crate::flow) fn has_bank(&self, node: NodeId) -> bool {
        let content = self.topology.wiring.island(node).and_then(|island| self.topology.contents.get(island));
        content.is_some_and(|content| !content.cells.is_empty()) && self.topology.is_direct(node)
    }

    /// Whether a DC converter is on: it takes what it needs for itself at least.
    pub(in crate::flow) fn is_on(&self, converter: &Converter) -> bool {
        !converter.is_off && !self.trips.has(converter.block) && self.topology.is_direct(converter.input)
    }

    /// Whether a DC converter is on, with its input and its output alive and apart.
    pub(in crate::flow) fn feeds(&self, converter: &Converter) -> bool {
        self.is_on(converter)
            && self.topology.is_direct(converter.output)
            && self.topology.wiring.island(converter.input) != self.topology.wiring.island(converter.output)
    }

    /// What an inverter loses in all that it does.
    pub(in crate::flow) fn inverter_loss(&self, i: usize) -> f64 {
        let (Some(inverter), Some(now)) = (self.machines.inverters.get(i), self.inverters.get(i)) else {
            return 0.0;
        };
        if now.inverts {
            return inverter.conversion.loss(now.output.volt_amperes());
        }
        if now.passes.is_none() {
            return 0.0;
        }
        let charger = inverter.charger.as_ref().filter(|_| now.charge_watts > 0.0);
        let charging = charger.map_or(0.0, |charger| charger.conversion.loss(now.charge_watts));
        let making =
            if now.help_watts > 0.0 { inverter.conversion.loss(now.help_watts) } else { inverter.idle_watts };
        charging + making
    }

    /// The kind of source that a supply is.
    pub(in crate::flow) fn supply_kind(&self, supply: &Supply) -> SourceKind {
        match supply.kind {
            SupplyKind::Utility => SourceKind::Utility,
            SupplyKind::Generator => SourceKind::Generator,
        }
    }
}
