//! The utility of the year.

use super::bus::Bus;
use super::{Sheet, Statement};
use crate::utility::{Connection, RandomOutages, SunToUtility, Utility as UtilityOfYear};
use lineside_core::circuit::BlockId;
use lineside_core::kinds::inside::SourceKind;
use lineside_core::kinds::inverter::{Export, Inverter, UtilityPriority};
use lineside_core::units::{Percent, Watts};

impl Sheet<'_> {
    /// Supplies of a kind that the inverters of the bus can reach: the first of them. Others are told.
    pub(super) fn supply(&mut self, bus: &Bus, kind: SourceKind) -> Option<BlockId> {
        let zones = self.ac_zones(bus).into_iter().cloned().collect::<Vec<_>>();
        let reached: Vec<BlockId> = zones
            .iter()
            .flat_map(|zone| self.sources(zone))
            .filter(|it| it.kind == kind)
            .map(|it| it.block)
            .collect();
        let all: Vec<BlockId> =
            self.studies.network.sources().iter().filter(|it| it.kind == kind).map(|it| it.block).collect();
        for block in all.iter().filter(|block| !reached.contains(block)) {
            self.say(Statement::UnreachedSupply(*block));
        }
        for block in reached.iter().skip(1) {
            self.say(Statement::SecondSupply(*block));
        }
        reached.first().copied()
    }

    pub(super) fn utility(&mut self, bus: &Bus) -> Option<UtilityOfYear> {
        let block = self.supply(bus, SourceKind::Utility)?;
        let outages = self.wishes.outages.or_else(|| self.outages_of_brief());
        if outages.is_none() {
            self.say(Statement::NoOutages(block));
        }
        let exporting: Vec<&Inverter> = bus
            .inverters
            .iter()
            .filter_map(|at| self.find::<Inverter>(at.block))
            .filter(|it| it.export == Export::On)
            .collect();
        let export: Watts = exporting
            .iter()
            .map(|it| it.export_limit.map_or(it.continuous, |amps| it.ac_system.current_voltage() * amps))
            .sum();
        let connection = self.connection(bus, block);
        Some(UtilityOfYear {
            connection,
            sun: if exporting.is_empty() { SunToUtility::Off } else { SunToUtility::Interactive { export } },
            limit: self.input_limit(bus),
            random: outages,
            ..UtilityOfYear::backup()
        })
    }

    /// When the system is connected: as its inverters are set, else as the brief wishes.
    fn connection(&mut self, bus: &Bus, utility: BlockId) -> Connection {
        let settings: Vec<(BlockId, UtilityPriority, Inverter)> = bus
            .inverters
            .iter()
            .filter_map(|at| self.find::<Inverter>(at.block).map(|it| (at.block, it)))
            .filter_map(|(block, it)| it.utility_priority.map(|priority| (block, priority, it.clone())))
            .collect();
        let Some((_, priority, first)) = settings.first() else {
            return match self.on.project.brief.goals.utility_priority {
                Some(UtilityPriority::SunFirst) => self.sun_first(None, None),
                Some(UtilityPriority::UtilityFirst) => Connection::Backup,
                None => {
                    self.say(Statement::UtilityTakenFirst(utility));
                    Connection::Backup
                }
            };
        };
        for (block, ..) in settings.iter().filter(|(_, other, _)| other != priority) {
            self.say(Statement::OtherPriority(*block));
        }
        match priority {
            UtilityPriority::UtilityFirst => Connection::Backup,
            UtilityPriority::SunFirst => {
                let (connect, disconnect) = (first.utility_connect_charge, first.utility_disconnect_charge);
                self.sun_first(connect, disconnect)
            }
        }
    }

    fn sun_first(&mut self, connect: Option<Percent>, disconnect: Option<Percent>) -> Connection {
        let usual = &self.tables.defaults;
        let (low, high) = (usual.utility_connect, usual.utility_disconnect);
        let connect = self.or_default(connect, low, None, "charge at which the utility connects");
        let disconnect = self.or_default(disconnect, high, None, "charge at which the utility disconnects");
        Connection::SolarFirst { connect, disconnect: disconnect.max(connect) }
    }

    fn outages_of_brief(&self) -> Option<RandomOutages> {
        let pattern = self.on.project.brief.goals.outages?;
        Some(RandomOutages { per_year: f64::from(pattern.per_year), mean: pattern.mean })
    }
}
