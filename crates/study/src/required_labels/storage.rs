//! Labels of batteries: their disconnects, the hazards at their place, the DC system they feed.

use super::{Extent, RequiredLabel, Spot, Survey, blank};
use crate::faults::battery_string;
use crate::missing::Missing;
use crate::network::NodeId;
use crate::places::Told;
use crate::zones::{Zone, ZoneKind};
use lineside_codes::FactorKey;
use lineside_codes::resistance::CurrentKind;
use lineside_core::circuit::{Block, BlockId, RunEnd, Surroundings, TerminalName};
use lineside_core::kinds::Kind;
use lineside_core::kinds::battery_bank::BatteryBank;
use lineside_core::kinds::common::DcGrounding;
use lineside_core::kinds::ground_fault_device::{GroundFaultDevice, GroundFaultType};
use lineside_core::kinds::grounding::{BondedSystem, BondingJumper};
use lineside_core::project::{LabelKind, LabelValues, RuleSet};
use lineside_core::units::{Volts, WattHours};
use std::collections::{BTreeMap, BTreeSet};

pub(super) fn survey(survey: &mut Survey<'_>) {
    let studies = survey.studies;
    let grounders = grounders(survey);
    for (_, zone) in studies.zones.all().filter(|(_, zone)| zone.kind == ZoneKind::Battery) {
        let mut first = None;
        for bank in banks_of(survey, zone) {
            let Some(block) = survey.circuit().block(bank) else { continue };
            let Some(it) = block.equipment.as_kind::<BatteryBank>() else { continue };
            if survey.circuit().runs_at(bank).is_empty() {
                continue;
            }
            first = first.or(Some((block, it)));
            of_bank(survey, block, it);
        }
        if let Some((block, bank)) = first {
            of_system(survey, zone, (block, bank), &grounders);
        }
    }
}

fn banks_of(survey: &Survey<'_>, zone: &Zone) -> BTreeSet<BlockId> {
    let sources = zone.sources.iter().filter_map(|i| survey.network().sources().get(*i));
    let is_bank = |id: &BlockId| survey.circuit().block(*id).is_some_and(|it| it.kind() == Kind::BatteryBank);
    sources.map(|source| source.block).filter(is_bank).collect()
}

fn of_bank(survey: &mut Survey<'_>, block: &Block, bank: &BatteryBank) {
    let voltages = survey.studies.windows.bank(block.id);
    let mut missing: Vec<Missing> = voltages.map(|it| it.missing.clone()).unwrap_or_default();
    if survey.on.project.brief.site.record_low.is_none() && hangs_on_record_low(survey, block.id) {
        missing.push(Missing::site("Record low"));
    }
    let string = battery_string(&survey.on, bank);
    let nothing_given = bank.string_resistance().is_none() && bank.short_circuit_current.is_none();
    if nothing_given {
        missing.push(Missing::block(block.id, "Resistance of a unit"));
    }
    let values = LabelValues {
        highest_voltage: voltages.map(|it| it.highest),
        nominal_voltage: Some(bank.voltage_class()),
        fault_current: Some(string.short_circuit_current() * f64::from(bank.strings_in_parallel)),
        date: survey.on.project.revisions.iter().map(|revision| revision.date).max(),
        ..LabelValues::NONE
    };
    for spot in disconnects_of(survey, block.id) {
        let at = Spot::Block(spot);
        let extent = extent(survey);
        let label =
            RequiredLabel { values, extent, missing: missing.clone(), ..blank(LabelKind::EssDisconnect, at) };
        survey.add(label);
        if is_outside_storage_article(survey, bank, values.highest_voltage) {
            let values = LabelValues { highest_voltage: None, ..values };
            survey.valued(LabelKind::BatteryDisconnect, at, values, missing.clone());
        }
    }
    let place = block.place.map_or(Spot::Block(block.id), Spot::Place);
    let hazard = LabelValues { chemistry: Some(bank.chemistry), ..LabelValues::NONE };
    survey.valued(LabelKind::BatteryHazard, place, hazard, Vec::new());
    if survey.is_asked(LabelKind::BatteryRoom) {
        let from: Volts = survey.on.quantity(FactorKey::DcIdentificationVoltage);
        let nominal = Some(bank.nominal_voltage()).filter(|volts| *volts > from);
        let values = LabelValues { nominal_voltage: nominal, ..hazard };
        survey.valued(LabelKind::BatteryRoom, place, values, Vec::new());
    }
    if survey.is_asked(LabelKind::EssEmergency) && survey.is_dwelling(LabelKind::EssEmergency) == Told::Yes {
        survey.plain(LabelKind::EssEmergency, Spot::Site);
    }
}

/// Whether the coldest that the bank gets is reckoned from the record low.
fn hangs_on_record_low(survey: &Survey<'_>, bank: BlockId) -> bool {
    let indoors =
        matches!(survey.on.surroundings(bank), Some(Surroundings::Indoors | Surroundings::UtilityRoom));
    !indoors && survey.on.fact(bank, |facts| facts.coldest).is_none()
}

/// Fault current and date may be left out at dwellings. Where the building is not told, they are wanted.
const fn extent(survey: &Survey<'_>) -> Extent {
    match survey.on.is_dwelling() {
        Told::Yes => Extent::NameAndVoltages,
        Told::No | Told::Untold => Extent::Full,
    }
}

/// The devices that switch the bank off, or the bank itself where there is none on some way.
fn disconnects_of(survey: &mut Survey<'_>, bank: BlockId) -> Vec<BlockId> {
    let sources = survey.network().sources().iter().filter(|source| source.block == bank);
    let nodes: BTreeSet<NodeId> = sources.map(|source| source.node).collect();
    let mut found = BTreeSet::new();
    for node in nodes {
        found.extend(survey.disconnects(node, CurrentKind::Direct));
    }
    survey.storage_disconnects.extend(&found);
    if found.is_empty() { vec![bank] } else { found.into_iter().collect() }
}

/// A bank below the limit from which a battery counts as an energy storage system: Article 480 speaks for it.
fn is_outside_storage_article(survey: &Survey<'_>, bank: &BatteryBank, highest: Option<Volts>) -> bool {
    match survey.on.rule_set {
        RuleSet::Nec2023 | RuleSet::Nec2020 => {
            bank.nominal_energy() <= survey.on.quantity::<WattHours>(FactorKey::StorageEnergy)
        }
        RuleSet::Nec2017 => {
            highest.is_some_and(|it| it <= survey.on.quantity::<Volts>(FactorKey::StorageVoltage))
        }
        RuleSet::Iec => false,
    }
}

/// What the DC system of a bus is: how it stands to ground, and whether its conductors are marked.
fn of_system(
    survey: &mut Survey<'_>,
    zone: &Zone,
    (block, bank): (&Block, &BatteryBank),
    grounders: &BTreeMap<BlockId, DcGrounding>,
) {
    let at = Spot::Block(block.id);
    if survey.is_asked(LabelKind::DcSystemGrounding) {
        let grounding = bank.grounding.or_else(|| grounding_on_sheet(survey, zone, grounders));
        let missing =
            if grounding.is_none() { vec![Missing::block(block.id, "DC grounding")] } else { Vec::new() };
        let values = LabelValues { grounding, ..LabelValues::NONE };
        survey.valued(LabelKind::DcSystemGrounding, at, values, missing);
    }
    let highest = survey.studies.windows.bank(block.id).map(|it| it.highest);
    if survey.is_asked(LabelKind::DcIdentification)
        && highest.is_some_and(|it| it > survey.on.quantity::<Volts>(FactorKey::DcIdentificationVoltage))
    {
        survey.plain(LabelKind::DcIdentification, at);
    }
}

/// The blocks that something joins to ground, as the sheet shows it: jumpers with what they are wired to, and devices
/// that join the circuit in which they stand.
fn grounders(survey: &Survey<'_>) -> BTreeMap<BlockId, DcGrounding> {
    let mut found: BTreeMap<BlockId, DcGrounding> = BTreeMap::new();
    // Two count as the looser of them: a device beside a jumper is bypassed by it.
    let mut tell = |block: BlockId, told: DcGrounding| {
        let known = found.entry(block).or_insert(told);
        *known = (*known).min(told);
    };
    for block in survey.circuit().blocks() {
        let jumper = block.equipment.as_kind::<BondingJumper>();
        if jumper.is_some_and(|it| it.system == BondedSystem::DcNegative) {
            let system = RunEnd { block: block.id, terminal: TerminalName::plain("system") };
            for run in survey.circuit().runs_on(system) {
                let other = if run.from == system { run.to } else { run.from };
                tell(other.block, DcGrounding::Solid);
            }
        }
        let device = block.equipment.as_kind::<GroundFaultDevice>();
        if device.is_some_and(|it| it.kind == GroundFaultType::DcInterrupter) {
            tell(block.id, DcGrounding::Functional);
        }
    }
    found
}

/// How a bus stands to ground, by what joins its blocks.
fn grounding_on_sheet(
    survey: &Survey<'_>,
    zone: &Zone,
    grounders: &BTreeMap<BlockId, DcGrounding>,
) -> Option<DcGrounding> {
    if grounders.is_empty() {
        return None;
    }
    zone.blocks(survey.network()).iter().filter_map(|block| grounders.get(block).copied()).min()
}
