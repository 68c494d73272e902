//! The battery bus of the year: which blocks stand on it and on the AC side behind its inverters.

use super::{Sheet, Statement};
use lineside_core::circuit::BlockId;
use lineside_core::kinds::battery_bank::BatteryBank;
use lineside_core::kinds::inside::{SinkKind, SourceKind};
use lineside_core::units::WattHours;
use lineside_study::network::{SinkInBlock, SourceInBlock};
use lineside_study::{NodeId, Zone, ZoneKind};

/// A block and the point at which it stands on the bus.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) struct At {
    pub block: BlockId,
    pub node: NodeId,
}

/// What stands on the battery bus of the year.
#[derive(Clone, Debug, Default)]
pub(super) struct Bus {
    pub banks: Vec<At>,
    pub controllers: Vec<At>,
    pub inverters: Vec<At>,
    pub dc_loads: Vec<At>,
}

impl Sheet<'_> {
    pub(super) fn sources(&self, zone: &Zone) -> Vec<SourceInBlock> {
        zone.sources.iter().filter_map(|at| self.studies.network.sources().get(*at)).copied().collect()
    }
    pub(super) fn sinks(&self, zone: &Zone) -> Vec<SinkInBlock> {
        zone.sinks.iter().filter_map(|at| self.studies.network.sinks().get(*at)).copied().collect()
    }

    /// The battery bus with the most energy; banks on others are told. `None` without any.
    pub(super) fn bus(&mut self) -> Option<Bus> {
        let mut buses: Vec<(WattHours, Bus)> = Vec::new();
        for (_, zone) in self.studies.zones.all().filter(|(_, zone)| zone.kind == ZoneKind::Battery) {
            let bus = self.bus_of(zone);
            let energy = bus.banks.iter().filter_map(|at| self.find::<BatteryBank>(at.block));
            let energy: WattHours = energy.map(BatteryBank::nominal_energy).sum();
            if !bus.banks.is_empty() {
                buses.push((energy, bus));
            }
        }
        // Of equals the first one counts, so that the order of the sheet decides.
        buses.sort_by(|a, b| b.0.total_cmp(&a.0));
        let mut buses = buses.into_iter().map(|(_, bus)| bus);
        let Some(first) = buses.next() else {
            self.say(Statement::NoBank);
            return None;
        };
        for at in buses.flat_map(|bus| bus.banks) {
            self.say(Statement::OtherBus(at.block));
        }
        Some(first)
    }

    fn bus_of(&self, zone: &Zone) -> Bus {
        let mut bus = Bus::default();
        for source in self.sources(zone) {
            let at = At { block: source.block, node: source.node };
            match source.kind {
                SourceKind::BatteryString(_) if bus.banks.iter().all(|it| it.block != at.block) => {
                    bus.banks.push(at);
                }
                SourceKind::ControllerOutput => bus.controllers.push(at),
                SourceKind::BatteryString(_)
                | SourceKind::Strings
                | SourceKind::DcConverterOutput
                | SourceKind::Charger
                | SourceKind::InverterOutput
                | SourceKind::Generator
                | SourceKind::Utility => {}
            }
        }
        for sink in self.sinks(zone) {
            let at = At { block: sink.block, node: sink.node };
            match sink.kind {
                SinkKind::InverterInput => bus.inverters.push(at),
                SinkKind::DcLoads => bus.dc_loads.push(at),
                SinkKind::ControllerInput | SinkKind::InverterAcInput | SinkKind::AcLoads => {}
            }
        }
        bus
    }

    /// The AC zones that the inverters of the bus stand in.
    pub(super) fn ac_zones(&self, bus: &Bus) -> Vec<&Zone> {
        let zones = self.studies.zones.all().map(|(_, zone)| zone).filter(|zone| zone.kind == ZoneKind::Ac);
        let touches = |zone: &&Zone| {
            zone.blocks(&self.studies.network)
                .iter()
                .any(|block| bus.inverters.iter().any(|it| it.block == *block))
        };
        zones.filter(touches).collect()
    }
}
