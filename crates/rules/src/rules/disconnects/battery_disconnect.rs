//! Rule `battery-disconnect`.

use crate::circumstances::Circumstances;
use crate::finding::{Amount, Finding, Part, Severity, words};
use crate::places::Told;
use crate::proposals::{into_run, stock_of, with_equipment, with_site};
use crate::remedy::Proposal;
use crate::report::Report;
use crate::rule::rule;
use crate::rules::disconnects::support::{Around, Means, Nearness, Standing, around, place_words, standing};
use lineside_codes::FactorKey;
use lineside_codes::resistance::CurrentKind;
use lineside_core::circuit::{Block, BlockId, Side, Surroundings};
use lineside_core::kinds::battery_bank::BatteryBank;
use lineside_core::kinds::common::{Fitted, LoadBreak};
use lineside_core::kinds::fuse::FuseMount;
use lineside_core::kinds::inside::Disconnects;
use lineside_core::kinds::switch::Switch;
use lineside_core::kinds::{Equipment, Kind};
use lineside_core::project::{RuleSet, Site};
use lineside_core::units::{Meters, Volts, WattHours};
use lineside_core::working::{Listener, Origin, Working};
use lineside_study::{Missing, NodeId};

rule! {
    /// A battery can be switched off where it stands
    ///
    /// ## The harm
    /// A battery that cannot be switched off feeds every fault behind it.
    ///
    /// ## The limit
    /// On every way out of the battery the first device that opens under load is in it, or in sight and within 10 ft
    /// (3 m), or can be locked open. A fuse alone is none, nor is a device without a DC marking. NEC 2020 and 2023 ask it
    /// of every storage above 1 kWh, NEC 2017 of banks above 60 V. One- and two-family dwellings also need an emergency
    /// shutdown of the storage at a readily accessible place outside (2020 on). That each of several parallel strings
    /// has a device of its own is looked at with the strings.
    ///
    /// ## What to do
    /// A fused switch at the bank.
    BATTERY_DISCONNECT {
        id: "battery-disconnect",
        severity: Correction,
        status: Stable,
        clauses: [
            Nec2023: "NEC 2023 706.15(A) and (B), 480.7",
            Nec2020: "NEC 2020 706.15(A) and (B), 480.7",
            Nec2017: "NEC 2017 706.7, 480.7",
            Iec: "IEC 60364-5-57, IEC 62485-2 cl. 5",
        ],
        check: check,
        remedies: remedies,
    }
}

const EMERGENCY: &str = "emergency";

fn check(on: &Circumstances<'_>, report: &mut Report) {
    for block in on.circuit().blocks() {
        let Equipment::BatteryBank(bank) = &block.equipment else { continue };
        if !is_wanted(on, block, bank) {
            continue;
        }
        let ways: Vec<Around<'_>> = strings_of(on, block.id).map(|node| ways_of(on, node)).collect();
        if !ways.iter().any(Around::is_wired) {
            continue;
        }
        near(on, report, block, bank, &ways);
        emergency(on, report, block, &ways);
    }
}

/// Whether the code asks for a disconnecting means at this bank.
fn is_wanted(on: &Circumstances<'_>, block: &Block, bank: &BatteryBank) -> bool {
    let highest = on.studies.windows.bank(block.id).map(|it| it.highest).unwrap_or_default();
    match on.rule_set() {
        RuleSet::Nec2023 | RuleSet::Nec2020 => {
            bank.nominal_energy() > on.limit::<WattHours>(FactorKey::StorageEnergy)
                || highest > on.limit::<Volts>(FactorKey::BatteryDisconnectVoltage)
        }
        RuleSet::Nec2017 => highest > on.limit::<Volts>(FactorKey::StorageVoltage),
        RuleSet::Iec => true,
    }
}

fn strings_of(on: &Circumstances<'_>, bank: BlockId) -> impl Iterator<Item = NodeId> {
    let sources = on.studies.network.sources().iter();
    let mut nodes: Vec<NodeId> =
        sources.filter(|source| source.block == bank).map(|source| source.node).collect();
    nodes.dedup();
    nodes.into_iter()
}

fn ways_of<'a>(on: &Circumstances<'a>, node: NodeId) -> Around<'a> {
    around(on, node, CurrentKind::Direct, Disconnects::UnderLoad)
}

fn near(on: &Circumstances<'_>, report: &mut Report, block: &Block, bank: &BatteryBank, ways: &[Around<'_>]) {
    let at = Part::Block(block.id);
    let limit: Meters = on.limit(FactorKey::InSightDistance);
    let nearness = Nearness::Measured(bank.disconnect_distance);
    let mut untold = None;
    for means in ways.iter().flat_map(|way| &way.means) {
        match standing(on, block.id, means, nearness) {
            Standing::Near => {
                report.at_most(at, bank.disconnect_distance.unwrap_or(means.length.min(limit)), limit);
            }
            Standing::Locked => {}
            Standing::Untold(missing) => untold = Some(missing),
            Standing::Far(distance) => return find(on, report, block, means, Some(distance)),
            Standing::Elsewhere => {
                return find(on, report, block, means, bank.disconnect_distance.or(Some(means.length)));
            }
        }
    }
    if ways.iter().any(|way| !way.open.is_empty()) {
        report.holds(at, || false);
        let between = between(on, block.id, ways);
        let found = if between.is_empty() { "nothing".to_owned() } else { format!("{between} only") };
        let title = format!("{} cannot be switched off", block.tag);
        let finding = BATTERY_DISCONNECT.finding(on, Severity::Correction, at, title);
        report.find(finding.against(words(found), words("a load-break disconnect in sight")));
    } else if let Some(missing) = untold {
        report.cannot_tell(missing);
    }
}

/// What stands between the battery and the rest of the circuit, in words: `fuse F1`.
fn between(on: &Circumstances<'_>, bank: BlockId, ways: &[Around<'_>]) -> String {
    let mut names: Vec<String> = ways
        .iter()
        .flat_map(|way| &way.passed)
        .filter(|id| **id != bank)
        .filter_map(|id| on.block(*id))
        .filter(|block| matches!(block.kind(), Kind::Fuse | Kind::Breaker | Kind::Switch))
        .map(Block::title)
        .collect();
    names.sort();
    names.dedup();
    names.join(", ")
}

fn find(
    on: &Circumstances<'_>,
    report: &mut Report,
    block: &Block,
    means: &Means<'_>,
    distance: Option<Meters>,
) {
    let at = Part::Block(block.id);
    let limit: Meters = on.limit(FactorKey::InSightDistance);
    report.holds(at, || false);
    let tag = &means.block.tag;
    let title = match distance {
        Some(_) if on.in_sight(block.id, means.block.id) == Told::Yes => {
            format!("{tag}, which switches {} off, is too far from it", block.tag)
        }
        _ => format!("{} cannot be switched off where it stands", block.tag),
    };
    let beyond = distance.filter(|distance| *distance > limit);
    let (found, allowed) = match beyond {
        Some(distance) => (Amount::from(distance), Amount::from(limit)),
        None => (
            words(format!("{tag}{}", place_words(on, means.block.id))),
            words("a load-break disconnect in sight, or one that can be locked open"),
        ),
    };
    let mut working = Working::new();
    working.given("to the disconnect", "d", distance.unwrap_or_default().into(), || {
        Origin::Setting(block.tag.clone())
    });
    working.given("in sight means within", "d_max", limit.into(), || {
        Origin::Table(on.on.clause(FactorKey::InSightDistance).to_owned())
    });
    let finding = BATTERY_DISCONNECT.finding(on, Severity::Correction, at, title);
    report.find(finding.also(Part::Block(means.block.id)).against(found, allowed).working(working));
}

/// One- and two-family dwellings can shut the storage down from outside.
fn emergency(on: &Circumstances<'_>, report: &mut Report, block: &Block, ways: &[Around<'_>]) {
    let asked = matches!(on.rule_set(), RuleSet::Nec2023 | RuleSet::Nec2020);
    if !asked || on.is_dwelling() != Told::Yes {
        return;
    }
    let outside = |means: &Means<'_>| {
        matches!(
            on.surroundings(means.block.id),
            Some(Surroundings::OutsideWall | Surroundings::Ground | Surroundings::Roof)
        )
    };
    let means: Vec<&Means<'_>> = ways.iter().flat_map(|way| &way.means).collect();
    if !means.is_empty() && means.iter().all(|means| outside(means)) {
        return;
    }
    let at = Part::Block(block.id);
    match Told::from(on.project().brief.site.storage_stop_outside) {
        Told::Yes => {
            report.holds(at, || true);
        }
        Told::Untold => {
            report.cannot_tell(Missing::site("Emergency shutdown of the battery, outside"));
        }
        Told::No => {
            report.holds(at, || false);
            let title = format!("{} cannot be shut down from outside the dwelling", block.tag);
            let finding = BATTERY_DISCONNECT.finding(on, Severity::Correction, at, title).aspect(EMERGENCY);
            report.find(finding.against(words("none"), words("an emergency shutdown outside")));
        }
    }
}

fn remedies(on: &Circumstances<'_>, finding: &Finding) -> Vec<Proposal> {
    let Part::Block(id) = finding.at else { return Vec::new() };
    if finding.aspect == EMERGENCY {
        let site = Site { storage_stop_outside: Some(Fitted::Yes), ..on.project().brief.site.clone() };
        return vec![with_site(on, site, "An emergency shutdown of the battery, outside".to_owned())];
    }
    fused_switches(on, id).into_iter().chain(switches(on, id)).collect()
}

/// The fuse beside the battery becomes a fused switch.
fn fused_switches(on: &Circumstances<'_>, bank: BlockId) -> Vec<Proposal> {
    let passed = strings_of(on, bank).flat_map(|node| ways_of(on, node).passed);
    let fuses = passed.filter(|id| on.in_sight(bank, *id) == Told::Yes).filter_map(|id| on.block(id));
    fuses
        .filter_map(|block| {
            let Equipment::Fuse(fuse) = &block.equipment else { return None };
            let mut fused = fuse.as_ref().clone();
            fused.mount = FuseMount::FusedSwitch;
            Some(with_equipment(block, fused, format!("{} on a load-break switch", block.tag)))
        })
        .collect()
}

/// The smallest switches of the stock that will do, at the terminal of the battery.
fn switches(on: &Circumstances<'_>, bank: BlockId) -> Vec<Proposal> {
    let runs = on.circuit().runs_at(bank);
    let Some(run) = runs.into_iter().find(|run| run.conductor.is_some()) else { return Vec::new() };
    let side = if run.from.block == bank { Side::From } else { Side::To };
    let current = on.studies.currents.greatest(run.id).unwrap_or_default();
    let highest = on.studies.windows.bank(bank).map(|it| it.highest).unwrap_or_default();
    let fits = |equipment: &Equipment| {
        equipment.as_kind::<Switch>().is_some_and(|it| {
            it.load_break == LoadBreak::Yes
                && it.circuits == 1
                && it.rating >= current
                && it.dc_voltage.is_some_and(|voltage| voltage >= highest)
        })
    };
    let rating =
        |equipment: &Equipment| equipment.as_kind::<Switch>().map(|it| it.rating).unwrap_or_default();
    let mut items = stock_of(on, Kind::Switch, fits);
    items.sort_by(|a, b| rating(&a.equipment).total_cmp(&rating(&b.equipment)));
    items
        .into_iter()
        .take(2)
        .filter_map(|item| {
            let label = format!("{} at the battery", item.name);
            into_run(on, run, side, item, label)
        })
        .collect()
}
