//! Voltage windows: what voltages each zone can see, and what each terminal in it permits.
//!
//! From the coldest morning to the equalize charge to the empty bank. Verdicts are the rules'.

use crate::conditions::Conditions;
use crate::missing::Missing;
use crate::network::Network;
use crate::permitted::{self, Permitted};
use crate::zones::{Zone, ZoneId, ZoneKind, Zones};
use crate::{bank_voltage, string_voltage};
use lineside_core::circuit::BlockId;
use lineside_core::kinds::Equipment;
use lineside_core::kinds::inside::SourceKind;
use lineside_core::units::Volts;
use lineside_core::working::Silent;
use std::collections::BTreeMap;

pub use crate::bank_voltage::BankVoltages;
pub use crate::string_voltage::{ColdMethod, StringVoltages};

/// One voltage that a zone will see, with what brings it about.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Level {
    /// What brings it about: `cold`, `equalize`, `empty`.
    pub cause: &'static str,
    /// The voltage.
    pub voltage: Volts,
}

/// What one zone will see and what stands in it.
#[derive(Clone, Debug, PartialEq)]
pub struct VoltageWindow {
    /// The zone.
    pub zone: ZoneId,
    /// What it is for.
    pub kind: ZoneKind,
    /// The levels that are known, lowest first.
    pub levels: Vec<Level>,
    /// Each terminal's permitted window.
    pub permitted: Vec<Permitted>,
    /// What was not given, so that a level could not be found.
    pub missing: Vec<Missing>,
}

impl VoltageWindow {
    /// The lowest voltage in service; `None` when nothing is known.
    pub fn lowest(&self) -> Option<Volts> {
        self.levels.first().map(|level| level.voltage)
    }
    /// The highest voltage that can come about; `None` when nothing is known.
    pub fn highest(&self) -> Option<Volts> {
        self.levels.last().map(|level| level.voltage)
    }
}

/// Voltage windows of all zones, with the voltages of every set of strings and every bank.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct VoltageWindows {
    zones: BTreeMap<ZoneId, VoltageWindow>,
    strings: BTreeMap<BlockId, StringVoltages>,
    banks: BTreeMap<BlockId, BankVoltages>,
}

impl VoltageWindows {
    /// Of a zone.
    pub fn of(&self, zone: ZoneId) -> Option<&VoltageWindow> {
        self.zones.get(&zone)
    }
    /// Of every zone.
    pub fn all(&self) -> impl Iterator<Item = &VoltageWindow> {
        self.zones.values()
    }
    /// Of a set of strings.
    pub fn strings(&self, block: BlockId) -> Option<&StringVoltages> {
        self.strings.get(&block)
    }
    /// Of a battery bank.
    pub fn bank(&self, block: BlockId) -> Option<&BankVoltages> {
        self.banks.get(&block)
    }
}

/// Finds the voltage window of every zone.
pub fn study(on: &Conditions<'_>, network: &Network, zones: &Zones) -> VoltageWindows {
    let mut windows = VoltageWindows::default();
    for block in on.project.circuit.blocks() {
        if let Equipment::Strings(strings) = &block.equipment {
            windows.strings.insert(block.id, string_voltage::study(on, block, strings, &mut Silent));
        }
    }
    for (id, zone) in zones.all() {
        for bank in blocks_with_source(network, zone, |kind| matches!(kind, SourceKind::BatteryString(_))) {
            let voltages = bank_voltage::study(on, network, zone, bank, &mut Silent);
            windows.banks.extend(voltages.map(|voltages| (bank, voltages)));
        }
        let window = window_of(on, network, id, zone, &windows);
        windows.zones.insert(id, window);
    }
    windows
}

/// The blocks whose sources of a kind stand in a zone, each once, in order.
pub(crate) fn blocks_with_source(
    network: &Network,
    zone: &Zone,
    wanted: impl Fn(SourceKind) -> bool,
) -> Vec<BlockId> {
    let mut blocks: Vec<BlockId> = zone
        .sources
        .iter()
        .filter_map(|i| network.sources().get(*i))
        .filter(|source| wanted(source.kind))
        .map(|source| source.block)
        .collect();
    blocks.dedup();
    blocks
}

fn window_of(
    on: &Conditions<'_>,
    network: &Network,
    id: ZoneId,
    zone: &Zone,
    found: &VoltageWindows,
) -> VoltageWindow {
    let mut window = VoltageWindow {
        zone: id,
        kind: zone.kind,
        levels: Vec::new(),
        permitted: permitted::in_zone(on, network, zone),
        missing: Vec::new(),
    };
    if zone.kind == ZoneKind::Earth {
        // Earth has the blocks bonded to it, but none of their voltages.
        window.permitted.clear();
        return window;
    }
    let mut level =
        |cause, voltage: Option<Volts>| window.levels.extend(voltage.map(|voltage| Level { cause, voltage }));
    for block in zone.blocks(network) {
        if let Some(strings) = found.strings.get(&block) {
            level("hot, working", strings.hot_max_power);
            level("working at 25 °C", Some(strings.max_power));
            level("open at 25 °C", Some(strings.open_circuit));
            level("cold, open", strings.cold_open_circuit);
            level("cold, open, at least", strings.cold_at_least);
            window.missing.extend(strings.missing.iter().copied());
        }
        if let Some(bank) = found.banks.get(&block) {
            level("empty", Some(bank.empty));
            level("charge", Some(bank.charge));
            level("equalize", bank.equalize);
            level("highest, cold", Some(bank.highest));
            window.missing.extend(bank.missing.iter().copied());
        }
    }
    if zone.kind == ZoneKind::Ac {
        // What feeds the zone sets its voltage; a panel for 120/240 V on a 120 V inverter sees 120 V.
        let greatest = |blocks: Vec<BlockId>| {
            blocks.into_iter().filter_map(|block| ac_voltage(on, block)).max_by(Volts::total_cmp)
        };
        let fed = greatest(blocks_with_source(network, zone, |_| true));
        level("nominal", fed.or_else(|| greatest(zone.blocks(network))));
    }
    window.levels.sort_by(|a, b| a.voltage.total_cmp(&b.voltage));
    window
}

fn ac_voltage(on: &Conditions<'_>, block: BlockId) -> Option<Volts> {
    Some(on.project.circuit.block(block)?.equipment.ac_system()?.line_voltage())
}
