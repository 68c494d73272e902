//! Rule `dc-system-grounding`.

use crate::circumstances::Circumstances;
use crate::finding::{Finding, Part, Severity, words};
use crate::grounding::GalvanicGroups;
use crate::remedy::Proposal;
use crate::report::Report;
use crate::rule::rule;
use lineside_codes::FactorKey;
use lineside_core::circuit::{Block, BlockId, RunEnd, TerminalName};
use lineside_core::edit::remove_block_with_runs;
use lineside_core::kinds::Equipment;
use lineside_core::kinds::battery_bank::BatteryBank;
use lineside_core::kinds::common::{DcGrounding, Separation};
use lineside_core::kinds::ground_fault_device::{GroundFaultDevice, GroundFaultType};
use lineside_core::kinds::grounding::{BondedSystem, BondingJumper};
use lineside_core::kinds::inverter::Inverter;
use lineside_core::units::{Quantity, Volts};
use lineside_core::working::{Listener, Origin, Working};
use lineside_study::{ZoneId, ZoneKind};
use std::collections::BTreeMap;

rule! {
    /// A DC system is joined to ground at one point
    ///
    /// ## The harm
    /// Two grounds in one DC system send load current through frames and defeat ground-fault devices.
    ///
    /// ## The formula
    /// Connections of a pole to ground are counted for each galvanic group: zones that converters join without isolating
    /// them are one. Bonding jumpers count, ground-fault devices that make the connection themselves, and the bond of a
    /// neutral behind an inverter that does not isolate.
    ///
    /// ## The limit
    /// At most one. In the NEC two-wire DC systems above 60 V and to 300 V are grounded unless excepted: an ungrounded bank
    /// whose voltage goes above 60 V is advice, ask the authority; an ungrounded system has a ground detector.
    ///
    /// ## What to do
    /// Remove one; isolate.
    DC_SYSTEM_GROUNDING {
        id: "dc-system-grounding",
        severity: Correction,
        status: Stable,
        clauses: [
            Nec2023: "NEC 2023 250.162, 250.164, 250.167, 690.41, 690.42",
            Nec2020: "NEC 2020 250.162, 250.164, 250.167, 690.41, 690.42",
            Nec2017: "NEC 2017 250.162, 250.164, 250.167, 690.41, 690.42",
            Iec: "IEC 60364-1 cl. 312.2.4, IEC 60364-4-41",
        ],
        check: check,
        remedies: remedies,
    }
}

const UNGROUNDED: &str = "ungrounded";

/// What joins a pole to ground, and in which block.
#[derive(Clone, Copy)]
struct Connection {
    block: BlockId,
    meaning: &'static str,
}

fn check(on: &Circumstances<'_>, report: &mut Report) {
    let groups = on.galvanic_groups();
    let connections = connections(on, &groups);
    for (group, banks) in groups_with_banks(on, &groups) {
        let here = connections.get(&group).map_or(&[][..], Vec::as_slice);
        let Some(first) = banks.first().or(here.first().map(|it| &it.block)) else { continue };
        at_most_one(on, report, *first, here);
        if here.is_empty() && groups.grounding(group) != Some(DcGrounding::Solid) && on.rule_set().is_nec() {
            for bank in &banks {
                grounded(on, report, *bank);
            }
        }
    }
}

/// Every group with its banks.
fn groups_with_banks(on: &Circumstances<'_>, groups: &GalvanicGroups) -> BTreeMap<ZoneId, Vec<BlockId>> {
    let mut found: BTreeMap<ZoneId, Vec<BlockId>> = BTreeMap::new();
    for (id, zone) in on.studies.zones.all() {
        if matches!(zone.kind, ZoneKind::Pv | ZoneKind::Battery) {
            let banks = on.banks_in(zone).into_iter().map(|(block, _, _)| block.id);
            found.entry(groups.group(id)).or_default().extend(banks);
        }
    }
    found
}

fn connections(on: &Circumstances<'_>, groups: &GalvanicGroups) -> BTreeMap<ZoneId, Vec<Connection>> {
    let mut found: BTreeMap<ZoneId, Vec<Connection>> = BTreeMap::new();
    for block in on.circuit().blocks() {
        if let Some((zone, meaning)) = connection(on, block) {
            found.entry(groups.group(zone)).or_default().push(Connection { block: block.id, meaning });
        }
    }
    found
}

/// What of a block joins a pole to ground, and the zone of that pole.
fn connection(on: &Circumstances<'_>, block: &Block) -> Option<(ZoneId, &'static str)> {
    let equipment = &block.equipment;
    let bonds_dc = |it: &BondingJumper| it.system == BondedSystem::DcNegative;
    if equipment.as_kind::<BondingJumper>().is_some_and(bonds_dc) {
        return Some((on.bonded_zone(block.id, TerminalName::plain("system"))?, "bonding jumper"));
    }
    let opens_dc = |it: &GroundFaultDevice| it.kind == GroundFaultType::DcInterrupter;
    if equipment.as_kind::<GroundFaultDevice>().is_some_and(opens_dc) {
        let earth = RunEnd { block: block.id, terminal: TerminalName::plain("earth") };
        let wired = !on.circuit().runs_on(earth).is_empty();
        return Some((on.dc_zone(block.id, 0).filter(|_| wired)?, "through the ground-fault device"));
    }
    let joins = |it: &Inverter| it.separation == Separation::None;
    if equipment.as_kind::<Inverter>().is_some_and(joins) && neutral_is_bonded(on, block.id) {
        let meaning = "bonded neutral behind an inverter that does not isolate";
        return Some((on.dc_zone(block.id, 0)?, meaning));
    }
    None
}

/// Whether the neutral at the output of an inverter is bonded in some operating case.
fn neutral_is_bonded(on: &Circumstances<'_>, inverter: BlockId) -> bool {
    let mut zones = on.studies.network.nodes_of(inverter).filter_map(|node| on.studies.zones.of(node));
    zones.any(|zone| {
        let found = on.studies.ac_sources.of(zone);
        found.and_then(|found| found.neutrals.most.as_ref()).is_some_and(|case| !case.bonds.is_empty())
    })
}

fn at_most_one(on: &Circumstances<'_>, report: &mut Report, first: BlockId, here: &[Connection]) {
    let at = here.last().map_or(Part::Block(first), |last| Part::Block(last.block));
    if !report.count_at_most(at, here.len(), 1).fails() {
        return;
    }
    let mut working = Working::new();
    for connection in here {
        let tag = Part::Block(connection.block).name(on.circuit());
        working.given(connection.meaning, "1", Quantity::count(1), || Origin::Setting(tag));
    }
    let count = Quantity::count(here.len());
    working.found("connections to ground of one DC system", "n", || "Σ 1".to_owned(), count);
    let name = Part::Block(first).name(on.circuit());
    let title = format!("The DC system of {name} is joined to ground {} times", here.len());
    let finding = DC_SYSTEM_GROUNDING.finding(on, Severity::Correction, at, title);
    let others = here.iter().rev().skip(1).map(|it| Part::Block(it.block));
    report.find(finding.also_all(others).against(count, Quantity::count(1)).working(working));
}

/// A bank that goes above the voltage from which systems are grounded.
fn grounded(on: &Circumstances<'_>, report: &mut Report, bank: BlockId) {
    let Some(highest) = on.studies.windows.bank(bank).map(|it| it.highest) else { return };
    let (from, to): (Volts, Volts) =
        (on.limit(FactorKey::DcGroundingFrom), on.limit(FactorKey::DcGroundingTo));
    let at = Part::Block(bank);
    if highest > to || !report.at_most(at, highest, from).fails() {
        return;
    }
    let block = on.block(bank);
    let told = block.and_then(|block| block.equipment.as_kind::<BatteryBank>()).and_then(|it| it.grounding);
    let mut working = Working::new();
    on.bank_voltage_working(bank, &mut working);
    working.given("systems above it are grounded", "V", from.into(), || {
        Origin::Table(on.on.clause(FactorKey::DcGroundingFrom).to_owned())
    });
    let name = at.name(on.circuit());
    let title = match told {
        Some(DcGrounding::Floating) => format!("{name} is ungrounded above {}", shown(from)),
        _ => format!("Nothing grounds {name}, which goes above {}", shown(from)),
    };
    let finding = DC_SYSTEM_GROUNDING.finding(on, Severity::Advice, at, title).aspect(UNGROUNDED);
    let allowed = words("one connection, or the authority's consent and a ground detector");
    report.find(finding.against(highest, allowed).working(working));
}

fn shown(volts: Volts) -> String {
    lineside_core::units::text::plain(volts.into(), lineside_core::units::UnitSystem::Si)
}

/// Each jumper taken away.
fn remedies(on: &Circumstances<'_>, finding: &Finding) -> Vec<Proposal> {
    if finding.aspect == UNGROUNDED {
        return Vec::new();
    }
    let parts = finding.parts().filter_map(|part| match part {
        Part::Block(id) => on.block(id),
        Part::Run(_) | Part::RunEnd(..) | Part::Place(_) | Part::Project => None,
    });
    parts
        .filter(|block| matches!(block.equipment, Equipment::BondingJumper(_)))
        .map(|block| Proposal {
            label: format!("{} taken away", block.tag),
            edit: remove_block_with_runs(on.circuit(), block.id),
        })
        .collect()
}
