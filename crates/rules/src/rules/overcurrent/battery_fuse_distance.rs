//! Rule `battery-fuse-distance`.

use crate::circumstances::Circumstances;
use crate::finding::{Amount, Finding, Part, Severity, words};
use crate::places::Told;
use crate::proposals::{into_run, stock_of};
use crate::remedy::Proposal;
use crate::report::Report;
use crate::rule::rule;
use lineside_codes::FactorKey;
use lineside_core::circuit::{Block, Run, Side};
use lineside_core::kinds::fuse::{Fuse, FuseMount};
use lineside_core::kinds::{Equipment, Kind};
use lineside_core::units::{Amps, Meters};
use lineside_core::working::{Listener, Origin, Working};
use lineside_study::network::PoleInBlock;
use lineside_study::{VoltageWindow, ways};

rule! {
    /// The first device stands close to the battery
    ///
    /// ## The harm
    /// The unprotected lead at a battery carries the full short-circuit current.
    ///
    /// ## The limit
    /// From the battery terminal to its first overcurrent device, on every way out, at most 1.5 m (5 ft) of conductor, in
    /// the same room, through no wall. As short as can be, with the poles apart or doubly insulated.
    ///
    /// ## What to do
    /// A fuse at the terminal.
    BATTERY_FUSE_DISTANCE {
        id: "battery-fuse-distance",
        severity: Danger,
        status: Stable,
        clauses: [
            Nec2023: "NEC 2023 706.31(F), 240.21(H)",
            Nec2020: "NEC 2020 706.31(F), 240.21(H)",
            Nec2017: "NEC 2017 706.21(F), 240.21(H)",
            Iec: "IEC 60364-4-43 cl. 434.2.1, IEC 60364-5-57, IEC 62485-2",
        ],
        check: check,
        remedies: remedies,
    }
}

fn check(on: &Circumstances<'_>, report: &mut Report) {
    for block in on.circuit().blocks().filter(|block| block.kind() == Kind::BatteryBank) {
        judge(on, report, block);
    }
}

fn is_device(pole: &PoleInBlock) -> bool {
    pole.pole.overcurrent.is_some()
}

fn judge(on: &Circumstances<'_>, report: &mut Report, block: &Block) {
    let network = &on.studies.network;
    let sources = network.sources().iter().filter(|source| source.block == block.id);
    let ways: Vec<ways::Ways> =
        sources.map(|source| ways::from(on.circuit(), network, source.node, is_device)).collect();
    let lead = lead(on, block);
    if lead.is_none() && ways.iter().all(|way| way.stops.is_empty() && way.open.is_empty()) {
        return;
    }
    let at = lead.map_or(Part::Block(block.id), |(run, side)| Part::RunEnd(run.id, side));
    let limit: Meters = on.limit(FactorKey::BatteryLead);
    let stops = ways.iter().flat_map(|way| &way.stops);
    let farthest = stops.clone().map(|stop| stop.length).max_by(Meters::total_cmp);
    let elsewhere = stops
        .filter_map(|stop| network.poles().get(stop.pole))
        .find(|pole| on.in_sight(block.id, pole.block) == Told::No);
    // A lead that ends in nothing, such as a bare bar, can be shorted as well.
    let no_device = ways.iter().any(|way| !way.open.is_empty() || way.stops.is_empty());
    if no_device {
        report.holds(at, || false);
        let title = format!("No overcurrent device protects the lead of {}", block.tag);
        return find(on, report, at, title, words("no device on a way out"), limit, Working::new());
    }
    let distance = farthest.unwrap_or_default();
    let is_far = report.at_most(at, distance, limit).fails();
    let through_a_wall = elsewhere.is_some() && report.holds(at, || false).fails();
    if !is_far && !through_a_wall {
        return;
    }
    let mut working = Working::new();
    working
        .given("terminal to the first device", "l", distance.into(), || Origin::Setting(block.tag.clone()));
    working.given("at most", "l_max", limit.into(), || {
        Origin::Table(on.on.clause(FactorKey::BatteryLead).to_owned())
    });
    if is_far {
        let wall = if through_a_wall { ", and through a wall" } else { "" };
        let title = format!("The lead of {} is unprotected for too long{wall}", block.tag);
        find(on, report, at, title, distance.into(), limit, working);
    } else {
        let title = format!("The lead of {} passes a wall before its first device", block.tag);
        find(on, report, at, title, words("first device in another room"), limit, working);
    }
}

fn find(
    on: &Circumstances<'_>,
    report: &mut Report,
    at: Part,
    title: String,
    found: Amount,
    limit: Meters,
    working: Working,
) {
    let finding = BATTERY_FUSE_DISTANCE.finding(on, Severity::Danger, at, title);
    report.find(finding.against(found, limit).working(working));
}

/// The run that leaves the battery, with its end there.
fn lead<'a>(on: &Circumstances<'a>, block: &Block) -> Option<(&'a Run, Side)> {
    let runs = on.circuit().runs_at(block.id).into_iter();
    let mut leads = runs.filter(|run| run.conductor.is_some());
    leads.next().map(|run| (run, if run.from.block == block.id { Side::From } else { Side::To }))
}

/// The smallest current-limiting fuses that hold the circuit's current and protect its conductor.
fn remedies(on: &Circumstances<'_>, finding: &Finding) -> Vec<Proposal> {
    let Part::RunEnd(id, side) = finding.at else { return Vec::new() };
    let Some(run) = on.run(id) else { return Vec::new() };
    let current = on.studies.currents.greatest(id).unwrap_or_default();
    let least = current * on.number(FactorKey::Continuous);
    let Some(most) = on.studies.ratings.largest_device(id) else { return Vec::new() };
    let window = on.window_of_run(run).and_then(VoltageWindow::highest).unwrap_or_default();
    let fault = on.studies.faults.run_side(&on.studies.network, id, side).total();
    let fits = |equipment: &Equipment| {
        equipment.as_kind::<Fuse>().is_some_and(|fuse| {
            fuse.mount == FuseMount::FusedSwitch
                && fuse.is_current_limiting()
                && fuse.rating >= least
                && fuse.rating <= most
                && fuse.dc_voltage.is_some_and(|voltage| voltage >= window)
                && fuse.interrupting_dc.is_some_and(|breaks| breaks >= fault)
        })
    };
    let rating = |equipment: &Equipment| -> Amps {
        equipment.as_kind::<Fuse>().map(|fuse| fuse.rating).unwrap_or_default()
    };
    let mut items = stock_of(on, Kind::Fuse, fits);
    items.sort_by(|a, b| rating(&a.equipment).total_cmp(&rating(&b.equipment)));
    items.truncate(2);
    items
        .into_iter()
        .filter_map(|item| {
            let label = format!("{} at the battery", item.name);
            into_run(on, run, side, item, label)
        })
        .collect()
}
