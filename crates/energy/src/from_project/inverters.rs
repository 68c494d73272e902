//! Inverters and chargers of the bus together, with the runs that feed them.

use super::bus::Bus;
use super::fit;
use super::paths::Consumers;
use super::{Sheet, Statement};
use crate::hot_derating::HotDerating;
use crate::inverter::{Charger, Inverter as InverterOfYear};
use lineside_codes::tables::LossLaw;
use lineside_core::circuit::BlockId;
use lineside_core::kinds::charge_controller::ChargeController;
use lineside_core::kinds::inside::{SinkKind, SourceKind};
use lineside_core::kinds::inverter::Inverter;
use lineside_core::kinds::transfer_switch::{TransferArrangement, TransferPosition, TransferSwitch};
use lineside_core::units::{Amps, Celsius, Meters, Ohms, Percent, PercentPerCelsius, VoltAmps, Volts, Watts};
use lineside_study::PathKind;

/// Output is never taken to fall below this in the heat.
const LEAST_HOT_OUTPUT: Percent = Percent::new(50.0);

/// How the nameplate says that output falls in the heat.
pub(super) fn hot_derating(
    full_to: Option<Celsius>,
    change: Option<PercentPerCelsius>,
) -> Option<HotDerating> {
    let (full_to, change) = full_to.zip(change)?;
    Some(HotDerating { full_to, change, least: LEAST_HOT_OUTPUT })
}

impl Sheet<'_> {
    /// Current for which a controller or an inverter stands on the bus.
    pub(super) fn rated_current(&self, block: BlockId, nominal: Volts) -> Amps {
        let controller = self.find::<ChargeController>(block).map(ChargeController::output_limit);
        let inverter = self.find::<Inverter>(block).map(|it| it.continuous / nominal);
        controller.or(inverter).unwrap_or_default()
    }

    /// What the height of the site leaves of an output.
    pub(super) fn at_altitude(&self, full_below: Option<Meters>, for_100_m: Option<Percent>) -> Percent {
        let height = self.on.project.brief.site.elevation;
        let (Some(height), Some(full_below), Some(lost)) = (height, full_below, for_100_m) else {
            return Percent::new(100.0);
        };
        let steps = ((height - full_below).value() / 100.0).max(0.0);
        Percent::from_share((1.0 - lost.share() * steps).max(0.0))
    }

    /// The inverters of the bus as one.
    pub(super) fn inverter(
        &mut self,
        bus: &Bus,
        consumers: &Consumers,
        nominal: Volts,
    ) -> Option<InverterOfYear> {
        let units: Vec<(BlockId, Ohms)> =
            bus.inverters.iter().map(|at| at.block).zip(consumers.to_inverters.clone()).collect();
        let mut parts = Vec::new();
        for (block, beyond) in units {
            if let Some(it) = self.find::<Inverter>(block) {
                parts.push(self.one_inverter(block, it, beyond, nominal));
            }
        }
        self.bypasses(bus);
        let first = *parts.first()?;
        let apparent: VoltAmps = parts.iter().map(|it| it.apparent).sum();
        // Loads are shared by rating, so each works at the same part of it: shares are weighed by ratings.
        let mut shares = [0.0; 3];
        for part in &parts {
            let weight = part.apparent / apparent;
            for (sum, share) in shares.iter_mut().zip(part.law.shares()) {
                *sum += weight * share;
            }
        }
        let weighed = |figure: fn(&InverterOfYear) -> f64| {
            parts.iter().map(|part| part.apparent / apparent * figure(part)).sum::<f64>()
        };
        Some(InverterOfYear {
            apparent,
            continuous: parts.iter().map(|it| it.continuous).sum(),
            idle: parts.iter().map(|it| it.idle).sum(),
            search: None,
            law: LossLaw::of_shares(shares),
            at_altitude: Percent::new(weighed(|it| it.at_altitude.value())),
            hot: first.hot,
        })
    }

    fn one_inverter(
        &mut self,
        block: BlockId,
        it: &Inverter,
        beyond: Ohms,
        nominal: Volts,
    ) -> InverterOfYear {
        let usual = self.on.codes.common.equipment_models.inverter;
        let apparent = it.rated_apparent_output();
        let rated = Watts::new(apparent.value());
        let idle = self.or_default(it.idle_draw, usual.standing(rated), Some(block), "idle draw");
        let curve = it.efficiency.as_deref().unwrap_or_default();
        if curve.is_empty() && it.rated_efficiency.is_none() {
            let at_rated =
                100.0 * (it.continuous / (it.continuous + idle + usual.loss(rated, it.continuous)));
            let value = Percent::new((at_rated * 10.0).round() / 10.0).into();
            self.say(Statement::Assumed { block: Some(block), what: "efficiency at rated output", value });
        }
        let law = fit::law(usual, rated, it.continuous, idle, it.rated_efficiency, curve);
        let law = fit::with_series_share(law, rated / nominal * beyond / nominal);
        let law = fit::with_series_share(law, self.lost_to_panels(block));
        let hot = hot_derating(it.full_output_to, it.hot_derating);
        let at_altitude = self.at_altitude(it.full_output_below, it.altitude_derating);
        InverterOfYear { apparent, continuous: it.continuous, idle, search: None, law, at_altitude, hot }
    }

    /// The share of the voltage that is lost between an inverter and its farthest panel at rated output.
    fn lost_to_panels(&self, inverter: BlockId) -> f64 {
        let ways = self.studies.drops.all().iter();
        let mine = ways.filter(|way| way.kind == PathKind::AcSource && way.from == inverter);
        mine.map(|way| way.share.share()).fold(0.0, f64::max)
    }

    /// Tells of inverters that are bypassed as drawn.
    fn bypasses(&mut self, bus: &Bus) {
        let zones: Vec<BlockId> =
            self.ac_zones(bus).iter().flat_map(|zone| zone.blocks(&self.studies.network)).collect();
        for block in zones {
            let bypassed = self.find::<TransferSwitch>(block).is_some_and(|it| {
                it.arrangement == TransferArrangement::Bypass && it.position == TransferPosition::Alternate
            });
            if bypassed {
                self.say(Statement::Bypassed(block));
            }
        }
    }

    /// The chargers of the bus as one, when an AC supply reaches their inverters.
    pub(super) fn charger(&mut self, bus: &Bus, nominal: Volts) -> Option<Charger> {
        let supplied = self.supplied_inverters(bus);
        let usual = self.on.codes.common.equipment_models.charger;
        let mut current = Amps::ZERO;
        let mut law = usual;
        for block in supplied {
            let Some(it) = self.find::<Inverter>(block) else { continue };
            match it.charge_current() {
                Some(amps) => {
                    current += amps;
                    let rated = nominal * amps;
                    law = fit::law(usual, rated, rated, Watts::ZERO, it.charger_efficiency, &[]);
                }
                None => self.say(Statement::NoCharger(block)),
            }
        }
        (current > Amps::ZERO).then_some(Charger { current, law })
    }

    /// Inverters of the bus with an AC input in whose zone a generator or a utility stands.
    fn supplied_inverters(&self, bus: &Bus) -> Vec<BlockId> {
        let zones = self.studies.zones.all().map(|(_, zone)| zone);
        let supplied = zones.filter(|zone| {
            let sources = self.sources(zone);
            sources.iter().any(|source| matches!(source.kind, SourceKind::Generator | SourceKind::Utility))
        });
        let mut blocks: Vec<BlockId> = supplied
            .flat_map(|zone| self.sinks(zone))
            .filter(|sink| sink.kind == SinkKind::InverterAcInput)
            .map(|sink| sink.block)
            .filter(|block| bus.inverters.iter().any(|it| it.block == *block))
            .collect();
        blocks.sort_unstable();
        blocks.dedup();
        blocks
    }

    /// Power that the AC inputs of the inverters may take together; `None` when one of them has no limit.
    pub(super) fn input_limit(&self, bus: &Bus) -> Option<Watts> {
        let supplied = self.supplied_inverters(bus);
        let limits = supplied.iter().map(|block| {
            let it = self.find::<Inverter>(*block)?;
            Some(it.ac_system.current_voltage() * it.input_current()?)
        });
        let limits: Option<Vec<Watts>> = limits.collect();
        limits.filter(|limits| !limits.is_empty()).map(|limits| limits.into_iter().sum())
    }
}
