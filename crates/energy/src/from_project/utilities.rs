//! The utility of the year.

use super::bus::Bus;
use super::{Sheet, Statement};
use crate::utility::{RandomOutages, SunToUtility, Utility as UtilityOfYear};
use lineside_core::circuit::BlockId;
use lineside_core::kinds::inside::SourceKind;
use lineside_core::kinds::inverter::{Export, Inverter};
use lineside_core::units::Watts;

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
        Some(UtilityOfYear {
            sun: if exporting.is_empty() { SunToUtility::Off } else { SunToUtility::Interactive { export } },
            limit: self.input_limit(bus),
            random: outages,
            ..UtilityOfYear::backup()
        })
    }

    fn outages_of_brief(&self) -> Option<RandomOutages> {
        let pattern = self.on.project.brief.goals.outages?;
        Some(RandomOutages { per_year: f64::from(pattern.per_year), mean: pattern.mean })
    }
}
