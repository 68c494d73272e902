//! How the DC systems of a project stand to ground, as far as the sheet or the bank tells. Whether that is as it
//! should be is in the rules.

use crate::circumstances::Circumstances;
use lineside_core::circuit::{BlockId, RunEnd, TerminalName};
use lineside_core::kinds::battery_bank::BatteryBank;
use lineside_core::kinds::charge_controller::ChargeController;
use lineside_core::kinds::common::{DcGrounding, Separation};
use lineside_core::kinds::dc_converter::DcConverter;
use lineside_core::kinds::ground_fault_device::GroundFaultDevice;
use lineside_core::kinds::ground_fault_device::GroundFaultType::DcInterrupter;
use lineside_core::kinds::grounding::{BondedSystem, BondingJumper};
use lineside_study::{ZoneId, ZoneKind};
use std::collections::BTreeMap;

/// Zones by the galvanic group to which they belong: those that converters join without isolating them.
#[derive(Clone, Debug, Default, PartialEq)]
pub(crate) struct GalvanicGroups {
    /// For each DC zone the first zone of its group.
    first: BTreeMap<ZoneId, ZoneId>,
    grounding: BTreeMap<ZoneId, DcGrounding>,
    banks: BTreeMap<ZoneId, BlockId>,
}

impl GalvanicGroups {
    /// The first zone of the group of a zone.
    pub(crate) fn group(&self, zone: ZoneId) -> ZoneId {
        let mut here = zone;
        while let Some(up) = self.first.get(&here).copied()
            && up != here
        {
            here = up;
        }
        here
    }
    /// How the group of a zone stands to ground; `None` when nothing tells.
    pub(crate) fn grounding(&self, zone: ZoneId) -> Option<DcGrounding> {
        self.grounding.get(&self.group(zone)).copied()
    }
    /// The first bank of the group of a zone.
    pub(crate) fn bank(&self, zone: ZoneId) -> Option<BlockId> {
        self.banks.get(&self.group(zone)).copied()
    }

    fn join(&mut self, a: ZoneId, b: ZoneId) {
        let (a, b) = (self.group(a), self.group(b));
        self.first.insert(a.max(b), a.min(b));
    }

    /// What is told twice counts as the looser of the two: a ground-fault device beside a jumper is bypassed by it.
    fn tell(&mut self, zone: ZoneId, grounding: DcGrounding) {
        let group = self.group(zone);
        let told = self.grounding.entry(group).or_insert(grounding);
        *told = (*told).min(grounding);
    }
}

impl Circumstances<'_> {
    /// The galvanic groups of the DC zones, with how each stands to ground: as its bank says, else by the bonding
    /// jumpers and ground-fault devices on the sheet.
    pub(crate) fn galvanic_groups(&self) -> GalvanicGroups {
        let mut groups = GalvanicGroups::default();
        for (id, zone) in self.studies.zones.all() {
            if matches!(zone.kind, ZoneKind::Pv | ZoneKind::Battery) {
                groups.first.insert(id, id);
            }
        }
        for block in self.circuit().blocks() {
            let controller = block.equipment.as_kind::<ChargeController>().map(|it| Some(it.separation));
            let converter = block.equipment.as_kind::<DcConverter>().map(|it| it.separation);
            let joined = controller.or(converter) == Some(Some(Separation::None));
            let zones: Vec<ZoneId> = [0, 1].into_iter().filter_map(|it| self.dc_zone(block.id, it)).collect();
            if let (true, [a, b]) = (joined, zones.as_slice()) {
                groups.join(*a, *b);
            }
        }
        self.tell_grounding(&mut groups);
        groups
    }

    fn tell_grounding(&self, groups: &mut GalvanicGroups) {
        for block in self.circuit().blocks() {
            let equipment = &block.equipment;
            if equipment.as_kind::<BondingJumper>().is_some_and(|it| it.system == BondedSystem::DcNegative)
                && let Some(zone) = self.bonded_zone(block.id, TerminalName::plain("system"))
            {
                groups.tell(zone, DcGrounding::Solid);
            }
            let Some(zone) = self.dc_zone(block.id, 0) else { continue };
            let earth = RunEnd { block: block.id, terminal: TerminalName::plain("earth") };
            if equipment.as_kind::<GroundFaultDevice>().is_some_and(|it| it.kind == DcInterrupter)
                && !self.circuit().runs_on(earth).is_empty()
            {
                groups.tell(zone, DcGrounding::Functional);
            }
            if let Some(bank) = equipment.as_kind::<BatteryBank>() {
                let group = groups.group(zone);
                groups.banks.entry(group).or_insert(block.id);
                if let Some(grounding) = bank.grounding {
                    groups.tell(zone, grounding);
                }
            }
        }
    }

    /// The DC zone of a point of a block.
    pub(crate) fn dc_zone(&self, block: BlockId, point: usize) -> Option<ZoneId> {
        let zone = self.studies.zones.of(self.studies.network.point(block, point)?)?;
        let kind = self.studies.zones.get(zone)?.kind;
        matches!(kind, ZoneKind::Pv | ZoneKind::Battery).then_some(zone)
    }

    /// The DC zone of the block to which a terminal of a jumper is wired.
    pub(crate) fn bonded_zone(&self, jumper: BlockId, terminal: TerminalName) -> Option<ZoneId> {
        let end = RunEnd { block: jumper, terminal };
        self.circuit().runs_on(end).into_iter().find_map(|run| {
            let other = if run.from == end { run.to } else { run.from };
            let terminals = self.block(other.block)?.equipment.terminals().len();
            (0..terminals).find_map(|point| self.dc_zone(other.block, point))
        })
    }
}
