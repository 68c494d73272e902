//! Rule `pv-system-disconnect`.

use crate::circumstances::Circumstances;
use crate::finding::{Finding, Part, Severity, words};
use crate::places::Told;
use crate::proposals::{into_run, stock_of, with_stock};
use crate::remedy::Proposal;
use crate::report::Report;
use crate::rule::rule;
use crate::rules::conductors::support::current_working;
use crate::rules::disconnects::pv_means::PvMeans;
use crate::rules::disconnects::support::{Means, lockable};
use lineside_core::circuit::{Block, Run, RunId, Side};
use lineside_core::kinds::common::LoadBreak;
use lineside_core::kinds::switch::Switch;
use lineside_core::kinds::{Equipment, Kind};
use lineside_core::project::StockItem;
use lineside_core::units::{Amps, Volts};
use lineside_core::working::{Listener, Origin, Working};
use lineside_study::{Missing, VoltageWindow, ZoneKind};

rule! {
    /// The array side can be parted from everything else
    ///
    /// ## The harm
    /// Firefighter or electrician cannot separate the array from the rest.
    ///
    /// ## The limit
    /// A device that opens under load parts all PV circuits from all other wiring: in the input of each controller, one for
    /// each string, or, under the NEC, at the controller's output. It is rated for the greatest current and can be locked
    /// open. Voltage and fault current are compared by their own rules, so are the number of devices and their poles.
    ///
    /// ## What to do
    /// A disconnect in the input of the controller; a larger one; one that can be locked.
    PV_SYSTEM_DISCONNECT {
        id: "pv-system-disconnect",
        severity: Correction,
        status: Stable,
        clauses: [
            Nec2023: "NEC 2023 690.13",
            Nec2020: "NEC 2020 690.13",
            Nec2017: "NEC 2017 690.13",
            Iec: "IEC 60364-7-712 cl. 712.536.2",
        ],
        check: check,
        remedies: remedies,
    }
}

const LOCK: &str = "lock";

fn check(on: &Circumstances<'_>, report: &mut Report) {
    for zone in on.zones(ZoneKind::Pv) {
        for means in PvMeans::of(on, zone) {
            judge(on, report, &means);
        }
    }
}

fn judge(on: &Circumstances<'_>, report: &mut Report, means: &PvMeans<'_>) {
    let at = Part::Block(means.block.id);
    let output = means.output.as_ref().filter(|_| on.rule_set().is_nec());
    let large_enough = |it: &&Means<'_>| largest_current(on, it).is_none_or(|(_, amps)| rating(it) >= amps);
    let in_series: Vec<&Means<'_>> = means.series.iter().filter(large_enough).collect();
    for it in &in_series {
        if let Some((_, amps)) = largest_current(on, it) {
            report.at_least(Part::Block(it.block.id), rating(it), amps);
        }
    }
    let candidates: Vec<&Means<'_>> = in_series.into_iter().chain(&means.together).chain(output).collect();
    if !candidates.is_empty() {
        locks(on, report, means, &candidates);
        return;
    }
    if let Some(largest) = means.series.iter().max_by(|a, b| rating(a).total_cmp(&rating(b))) {
        too_small(on, report, largest);
        return;
    }
    report.holds(at, || false);
    let title = format!("Nothing parts the array from {}", means.block.tag);
    let finding = PV_SYSTEM_DISCONNECT.finding(on, Severity::Correction, at, title);
    report.find(finding.against(words("none"), words("a load-break disconnect")));
}

/// What a device may carry.
fn rating(means: &Means<'_>) -> Amps {
    means.pole.pole.carries.or(means.pole.pole.overcurrent).unwrap_or_default()
}

/// The greatest current of the runs at a device.
fn largest_current(on: &Circumstances<'_>, means: &Means<'_>) -> Option<(RunId, Amps)> {
    let network = &on.studies.network;
    let link = network.link(means.pole.link)?;
    let runs = [link.a, link.b].into_iter().flat_map(|node| network.runs_at(node));
    let currents = runs.filter_map(|run| Some((run, on.studies.currents.greatest(run)?)));
    currents.max_by(|a, b| a.1.total_cmp(&b.1).then(b.0.cmp(&a.0)))
}

fn too_small(on: &Circumstances<'_>, report: &mut Report, means: &Means<'_>) {
    let Some((run, current)) = largest_current(on, means) else { return };
    let (at, rating) = (Part::Block(means.block.id), rating(means));
    report.at_least(at, rating, current);
    let mut working = Working::new();
    if let Some(run) = on.run(run) {
        current_working(on, run, &mut working);
    }
    working
        .given("rating of the disconnect", "I", rating.into(), || Origin::Nameplate(means.block.tag.clone()));
    let title = format!("{} is too small to disconnect the array", means.block.tag);
    let finding = PV_SYSTEM_DISCONNECT.finding(on, Severity::Correction, at, title);
    report.find(finding.also(Part::Run(run)).against(rating, current).working(working));
}

/// One of the devices can be locked open.
fn locks(on: &Circumstances<'_>, report: &mut Report, means: &PvMeans<'_>, candidates: &[&Means<'_>]) {
    let told: Vec<Told> = candidates.iter().map(|it| lockable(it.block)).collect();
    let at = Part::Block(means.block.id);
    if told.contains(&Told::Yes) {
        report.holds(at, || true);
        return;
    }
    let has_field = |it: &Means<'_>| it.block.equipment.get("lockable").is_some();
    let untold = candidates.iter().zip(&told).find(|(it, told)| **told == Told::Untold && has_field(it));
    match untold.map(|(it, _)| it) {
        Some(it) => report.cannot_tell(Missing::block(it.block.id, "Lockable open")),
        None if told.iter().all(|told| *told == Told::No) => {
            let Some(first) = candidates.first() else { return };
            report.holds(at, || false);
            let title = format!("{} cannot be locked open", first.block.tag);
            let finding = PV_SYSTEM_DISCONNECT
                .finding(on, Severity::Correction, Part::Block(first.block.id), title)
                .aspect(LOCK);
            report
                .find(finding.also(at).against(words("not lockable"), words("a disconnect that locks open")));
        }
        None => {}
    }
}

fn remedies(on: &Circumstances<'_>, finding: &Finding) -> Vec<Proposal> {
    let Part::Block(id) = finding.at else { return Vec::new() };
    let Some(block) = on.block(id) else { return Vec::new() };
    if block.kind() == Kind::ChargeController {
        return inserted(on, block);
    }
    let run = finding.parts().find_map(|part| match part {
        Part::Run(id) => on.run(id),
        Part::Block(_) | Part::RunEnd(..) | Part::Place(_) | Part::Project => None,
    });
    let run = run.or_else(|| on.circuit().runs_at(id).into_iter().next());
    let Some(run) = run else { return Vec::new() };
    let (current, voltage) = demand(on, run);
    let items = switches(on, current, voltage).into_iter();
    let items = items.filter(|item| item.equipment.terminals() == block.equipment.terminals());
    items
        .map(|item| {
            let label = format!("{} as {}", item.name, block.tag);
            with_stock(block, item, label)
        })
        .collect()
}

/// A switch of the stock in the input of a controller.
fn inserted(on: &Circumstances<'_>, controller: &Block) -> Vec<Proposal> {
    let runs = on.circuit().runs_at(controller.id);
    let input = runs.into_iter().find_map(|run| {
        let at_input = |side: &Side| {
            let end = run.end(*side);
            end.block == controller.id && end.terminal.stem() == "pv"
        };
        Some((run, Side::BOTH.into_iter().find(at_input)?))
    });
    let Some((run, side)) = input else { return Vec::new() };
    let (current, voltage) = demand(on, run);
    switches(on, current, voltage)
        .into_iter()
        .filter_map(|item| {
            let label = format!("{} before {}", item.name, controller.tag);
            into_run(on, run, side, item, label)
        })
        .collect()
}

fn demand(on: &Circumstances<'_>, run: &Run) -> (Amps, Volts) {
    let current = on.studies.currents.greatest(run.id).unwrap_or_default();
    let voltage = on.window_of_run(run).and_then(VoltageWindow::highest).unwrap_or_default();
    (current, voltage)
}

/// Load-break switches of the stock for one circuit of an array, the smallest first.
fn switches(on: &Circumstances<'_>, current: Amps, voltage: Volts) -> Vec<StockItem> {
    let of = |equipment: &Equipment| equipment.as_kind::<Switch>().map(|it| it.rating).unwrap_or_default();
    let mut items = stock_of(on, Kind::Switch, |equipment| {
        equipment.as_kind::<Switch>().is_some_and(|it| {
            it.circuits == 1
                && it.load_break == LoadBreak::Yes
                && it.rating >= current
                && it.dc_voltage.is_some_and(|dc| dc >= voltage)
        })
    });
    items.sort_by(|a, b| of(&a.equipment).total_cmp(&of(&b.equipment)));
    items.truncate(2 + 1);
    items
}
