//! What rules ask of the circumstances again and again: the strings of a zone, the bank behind a controller,
//! the workings of a study. Verdicts are in the rules.

use crate::circumstances::Circumstances;
use lineside_core::circuit::{Block, BlockId, Run, RunEnd, RunId, Side, TerminalName};
use lineside_core::kinds::Equipment;
use lineside_core::kinds::battery_bank::BatteryBank;
use lineside_core::kinds::charge_controller::ChargeController;
use lineside_core::kinds::common::{AcSystem, ContinuousDuty};
use lineside_core::kinds::inside::{SinkKind, SourceKind};
use lineside_core::kinds::inverter::Inverter;
use lineside_core::kinds::strings::Strings;
use lineside_core::units::{Degrees, Volts};
use lineside_core::working::Working;
use lineside_study::network::PoleInBlock;
use lineside_study::{BankVoltages, Tally, VoltageWindow, Zone, ZoneId, bank_voltage, string_voltage};

const FULL_TURN: Degrees = Degrees::new(360.0);

/// The lesser turn from one direction of the compass to another.
pub(crate) fn turn_between(a: Degrees, b: Degrees) -> Degrees {
    let turn = (a - b).abs();
    turn.min(FULL_TURN - turn)
}

impl<'a> Circumstances<'a> {
    /// The sets of strings that feed a zone, in order.
    pub(crate) fn strings_in(&self, zone: &Zone) -> Vec<BlockId> {
        self.with_source(zone, |kind| kind == SourceKind::Strings)
    }

    /// The blocks with a source of a kind in a zone, each once, in order.
    pub(crate) fn with_source(&self, zone: &Zone, wanted: impl Fn(SourceKind) -> bool) -> Vec<BlockId> {
        let sources = zone.sources.iter().filter_map(|i| self.studies.network.sources().get(*i));
        let mut blocks: Vec<BlockId> =
            sources.filter(|source| wanted(source.kind)).map(|source| source.block).collect();
        blocks.dedup();
        blocks
    }

    /// The blocks with a sink of a kind in a zone, each once, in order.
    pub(crate) fn with_sink(&self, zone: &Zone, wanted: SinkKind) -> Vec<BlockId> {
        let sinks = zone.sinks.iter().filter_map(|i| self.studies.network.sinks().get(*i));
        let mut blocks: Vec<BlockId> =
            sinks.filter(|sink| sink.kind == wanted).map(|sink| sink.block).collect();
        blocks.dedup();
        blocks
    }

    /// The sets of strings of a zone with their blocks.
    pub(crate) fn string_sets(&self, zone: &Zone) -> Vec<(&'a Block, &'a Strings)> {
        self.strings_in(zone)
            .into_iter()
            .filter_map(|id| match self.block(id)? {
                block @ Block { equipment: Equipment::Strings(it), .. } => Some((block, it.as_ref())),
                _ => None,
            })
            .collect()
    }

    /// The controllers whose PV input lies in a zone.
    pub(crate) fn controllers_fed_by(&self, zone: &Zone) -> Vec<(&'a Block, &'a ChargeController)> {
        self.controllers(self.with_sink(zone, SinkKind::ControllerInput))
    }

    /// The controllers that charge a zone.
    pub(crate) fn controllers_charging(&self, zone: &Zone) -> Vec<(&'a Block, &'a ChargeController)> {
        self.controllers(self.with_source(zone, |kind| kind == SourceKind::ControllerOutput))
    }

    fn controllers(&self, blocks: Vec<BlockId>) -> Vec<(&'a Block, &'a ChargeController)> {
        blocks
            .into_iter()
            .filter_map(|id| match self.block(id)? {
                block @ Block { equipment: Equipment::ChargeController(it), .. } => {
                    Some((block, it.as_ref()))
                }
                _ => None,
            })
            .collect()
    }

    /// The inverters that a battery zone feeds.
    pub(crate) fn inverters_on(&self, zone: &Zone) -> Vec<(&'a Block, &'a Inverter)> {
        self.with_sink(zone, SinkKind::InverterInput)
            .into_iter()
            .filter_map(|id| match self.block(id)? {
                block @ Block { equipment: Equipment::Inverter(it), .. } => Some((block, it.as_ref())),
                _ => None,
            })
            .collect()
    }

    /// The banks of a zone with their voltages.
    pub(crate) fn banks_in(&self, zone: &Zone) -> Vec<(&'a Block, &'a BatteryBank, &'a BankVoltages)> {
        self.with_source(zone, |kind| matches!(kind, SourceKind::BatteryString(_)))
            .into_iter()
            .filter_map(|id| match self.block(id)? {
                block @ Block { equipment: Equipment::BatteryBank(it), .. } => {
                    Some((block, it.as_ref(), self.studies.windows.bank(id)?))
                }
                _ => None,
            })
            .collect()
    }

    /// The bank of a zone that rises highest.
    pub(crate) fn highest_bank(&self, zone: &Zone) -> Option<(&'a Block, &'a BatteryBank, &'a BankVoltages)> {
        self.banks_in(zone)
            .into_iter()
            .max_by(|a, b| a.2.highest.total_cmp(&b.2.highest).then(b.0.id.cmp(&a.0.id)))
    }

    /// The bank that a controller charges, the highest one if there are several.
    pub(crate) fn bank_charged_by(&self, controller: BlockId) -> Option<(&'a Block, &'a BankVoltages)> {
        let output = RunEnd { block: controller, terminal: TerminalName::plain("battery") };
        let zone = self.studies.zones.get(self.studies.zones.of(self.studies.network.at(output)?)?)?;
        self.highest_bank(zone).map(|(block, _, voltages)| (block, voltages))
    }

    /// The set of strings of a zone with the highest cold voltage.
    pub(crate) fn coldest_strings(&self, zone: &Zone) -> Option<(BlockId, Volts)> {
        self.strings_in(zone)
            .into_iter()
            .filter_map(|id| Some((id, self.studies.windows.strings(id)?.cold_open_circuit?)))
            .max_by(|a, b| a.1.total_cmp(&b.1).then(b.0.cmp(&a.0)))
    }

    /// The set of strings of a zone with the lowest hot working voltage.
    pub(crate) fn hottest_strings(&self, zone: &Zone) -> Option<(BlockId, Volts)> {
        self.strings_in(zone)
            .into_iter()
            .filter_map(|id| Some((id, self.studies.windows.strings(id)?.hot_max_power?)))
            .min_by(|a, b| a.1.total_cmp(&b.1).then(a.0.cmp(&b.0)))
    }

    /// The AC system of a zone, when all of its sources agree.
    pub(crate) fn ac_system_of(&self, zone: &Zone) -> Option<AcSystem> {
        let mut systems = self
            .with_source(zone, |_| true)
            .into_iter()
            .filter_map(|id| self.block(id)?.equipment.ac_system());
        let first = systems.next()?;
        systems.all(|other| other == first).then_some(first)
    }

    /// The poles of a zone.
    pub(crate) fn poles_in(&self, zone: &'a Zone) -> impl Iterator<Item = &'a PoleInBlock> {
        let poles = self.studies.network.poles();
        zone.poles.iter().filter_map(move |i| poles.get(*i))
    }

    /// The voltage limits of bars, arresters, meters and the like in a zone: block, what of it, limit.
    pub(crate) fn standing_limits(&self, zone: &Zone) -> Vec<(BlockId, String, Volts)> {
        let Some(window) = self.zone_id(zone).and_then(|id| self.studies.windows.of(id)) else {
            return Vec::new();
        };
        window
            .permitted
            .iter()
            .filter(|it| {
                self.block(it.block).is_some_and(|block| {
                    matches!(
                        block.equipment,
                        Equipment::BusBar(_)
                            | Equipment::Junction(_)
                            | Equipment::Meter(_)
                            | Equipment::SurgeArrester(_)
                    ) || it.what == "arrester"
                })
            })
            .filter_map(|it| Some((it.block, it.what.clone(), it.absolute?)))
            .collect()
    }

    fn zone_id(&self, zone: &Zone) -> Option<ZoneId> {
        self.studies.zones.of(*zone.nodes.first()?)
    }

    /// The voltage window of a zone.
    pub(crate) fn window_of(&self, zone: &Zone) -> Option<&'a VoltageWindow> {
        self.studies.windows.of(self.zone_id(zone)?)
    }

    /// The voltage window of the zone of a run.
    pub(crate) fn window_of_run(&self, run: &Run) -> Option<&'a VoltageWindow> {
        let node = self.studies.network.run_end(run.id, Side::From)?;
        self.studies.windows.of(self.studies.zones.of(node)?)
    }

    /// Writes down how the cold voltage of a set of strings came about.
    pub(crate) fn cold_voltage_working(&self, strings: BlockId, working: &mut Working) {
        if let Some(block) = self.block(strings)
            && let Equipment::Strings(it) = &block.equipment
        {
            let _ = match self.project().brief.site.record_low {
                Some(low) => string_voltage::cold_open_circuit(&self.on, block, it, low, working).is_ok(),
                None => string_voltage::cold_without_data(&self.on, block, it, working).is_some(),
            };
        }
    }

    /// Writes down how the hot working voltage of a set of strings came about.
    pub(crate) fn hot_voltage_working(&self, strings: BlockId, working: &mut Working) {
        if let Some(block) = self.block(strings)
            && let Equipment::Strings(it) = &block.equipment
            && let Some(high) = self.project().brief.site.design_high
        {
            string_voltage::hot(&self.on, block, it, high, working);
        }
    }

    /// Writes down how the highest voltage of a bank came about.
    pub(crate) fn bank_voltage_working(&self, bank: BlockId, working: &mut Working) {
        let zone = self.studies.network.point(bank, 0).and_then(|node| self.studies.zones.of(node));
        if let Some(zone) = zone.and_then(|id| self.studies.zones.get(id)) {
            let _ = bank_voltage::study(&self.on, &self.studies.network, zone, bank, working);
        }
    }

    /// The overcurrent devices that stand in series with a run.
    pub(crate) fn devices_of(&self, run: RunId) -> impl Iterator<Item = &'a PoleInBlock> {
        let poles = self.studies.network.poles();
        self.studies.protection.of(run).into_iter().filter_map(move |pole| poles.get(pole))
    }

    /// Whether a run is protected, and by nothing but devices rated for 100 %.
    pub(crate) fn is_rated_for_all(&self, run: RunId) -> bool {
        let mut devices = self.devices_of(run).peekable();
        devices.peek().is_some() && devices.all(|pole| pole.pole.duty == ContinuousDuty::HundredPercent)
    }

    /// What stands on one side of a run when it is taken out.
    pub(crate) fn side_of(&self, run: &Run, side: Side) -> Option<&'a Tally> {
        let current = self.studies.currents.of(run.id)?;
        Some(match side {
            Side::From => &current.from_side,
            Side::To => &current.to_side,
        })
    }
}
