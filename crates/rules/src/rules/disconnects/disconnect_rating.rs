//! Rule `disconnect-rating`.

use crate::circumstances::Circumstances;
use crate::finding::{Finding, Part, Severity, words};
use crate::proposals::{stock_of, with_stock};
use crate::remedy::Proposal;
use crate::report::Report;
use crate::rule::rule;
use crate::rules::conductors::support::current_working;
use lineside_codes::FactorKey;
use lineside_core::circuit::{Block, Run};
use lineside_core::kinds::common::{AcSystem, LoadBreak};
use lineside_core::kinds::inside::{Disconnects, PoleDevice};
use lineside_core::kinds::switch::Switch;
use lineside_core::kinds::{Equipment, Kind};
use lineside_core::units::{Amps, Volts};
use lineside_core::working::{Listener, Origin, Working};
use lineside_study::network::PoleInBlock;
use lineside_study::{Missing, Zone, ZoneKind};

rule! {
    /// A switch stands what it has to open
    ///
    /// ## The harm
    /// A switch is welded shut or burns.
    ///
    /// ## The limit
    /// It carries the greatest current of its circuit: `I ≥ I_max`. It opens under load where the circuit has more than
    /// 30 A. On AC it and every breaker are marked for AC and for the voltage between the lines. The current that a breaker
    /// holds for hours and the volts of devices on DC have rules of their own.
    ///
    /// ## What to do
    /// A device with the rating.
    DISCONNECT_RATING {
        id: "disconnect-rating",
        severity: Danger,
        status: Stable,
        clauses: [
            Nec2023: "NEC 2023 690.13(D), 690.15",
            Nec2020: "NEC 2020 690.13(D), 690.15",
            Nec2017: "NEC 2017 690.13(F), 690.15",
            Iec: "IEC 60947-3 annex D, IEC 62548-1 cl. 7.3",
        ],
        check: check,
        remedies: remedies,
    }
}

const LOAD: &str = "load";
const VOLTS: &str = "volts";

fn check(on: &Circumstances<'_>, report: &mut Report) {
    for (_, zone) in on.studies.zones.all() {
        let alternating = (zone.kind == ZoneKind::Ac).then(|| on.ac_system_of(zone)).flatten();
        let line = alternating.map(AcSystem::line_voltage);
        zone_of_devices(on, report, zone, line);
    }
}

fn zone_of_devices(on: &Circumstances<'_>, report: &mut Report, zone: &Zone, line: Option<Volts>) {
    let mut worst: Option<(&PoleInBlock, &Run, Amps)> = None;
    let mut last = None;
    for pole in on.poles_in(zone).filter(|it| !it.is_relay()) {
        if last != Some(pole.block) {
            if let Some((pole, run, current)) = worst.take() {
                amperes(on, report, pole, run, current);
            }
            if let Some(line) = line {
                volts(on, report, pole, line);
            }
        }
        last = Some(pole.block);
        if pole.pole.device == PoleDevice::Switch
            && let Some((run, current)) = current_of(on, pole)
            && worst.as_ref().is_none_or(|(_, _, most)| current > *most)
        {
            worst = Some((pole, run, current));
        }
    }
    if let Some((pole, run, current)) = worst {
        amperes(on, report, pole, run, current);
    }
}

/// The run at a pole that carries most.
fn current_of<'a>(on: &Circumstances<'a>, pole: &PoleInBlock) -> Option<(&'a Run, Amps)> {
    let network = &on.studies.network;
    let link = network.link(pole.link)?;
    let runs = [link.a, link.b].into_iter().flat_map(|node| network.runs_at(node));
    let currents = runs.filter_map(|run| Some((on.run(run)?, on.studies.currents.greatest(run)?)));
    currents.max_by(|a, b| a.1.total_cmp(&b.1).then(b.0.id.cmp(&a.0.id)))
}

fn amperes(on: &Circumstances<'_>, report: &mut Report, pole: &PoleInBlock, run: &Run, current: Amps) {
    let Some(block) = on.block(pole.block).filter(|block| block.kind() != Kind::BatteryBank) else { return };
    let at = Part::Block(block.id);
    let working = |rating: Amps, what: &'static str| {
        let mut working = Working::new();
        current_working(on, run, &mut working);
        working.given(what, "I", rating.into(), || Origin::Nameplate(block.tag.clone()));
        working
    };
    let finding =
        |title: String| DISCONNECT_RATING.finding(on, Severity::Danger, at, title).also(Part::Run(run.id));
    if let Some(rating) = pole.pole.carries.filter(|_| pole.pole.overcurrent.is_none())
        && report.at_least(at, rating, current).fails()
    {
        let title = format!("{} is too small for the current of {}", block.tag, run.tag);
        let working = working(rating, "rating of the switch");
        report.find(finding(title).against(rating, current).working(working));
    }
    let limit: Amps = on.limit(FactorKey::IsolatingDeviceCurrent);
    if pole.pole.disconnects == Disconnects::WithoutLoad && report.at_most(at, current, limit).fails() {
        let title = format!("{} is not made to be opened under load, as it may be", block.tag);
        let working = working(limit, "switches that do not break load, to");
        report.find(finding(title).aspect(LOAD).against(current, limit).working(working));
    }
}

/// The AC marking of a device against the voltage between the lines.
fn volts(on: &Circumstances<'_>, report: &mut Report, pole: &PoleInBlock, line: Volts) {
    if matches!(pole.pole.device, PoleDevice::Connector | PoleDevice::ManagementContactor) {
        return;
    }
    let Some(block) = on.block(pole.block) else { return };
    let at = Part::Block(block.id);
    let finding = |title: String| DISCONNECT_RATING.finding(on, Severity::Danger, at, title).aspect(VOLTS);
    match (pole.pole.ac_voltage, pole.pole.dc_voltage) {
        (Some(rating), _) => {
            if report.at_least(at, rating, line).fails() {
                let mut working = Working::new();
                working.given("AC voltage of the device", "V", rating.into(), || {
                    Origin::Nameplate(block.tag.clone())
                });
                working.given("between the lines", "V_line", line.into(), || {
                    Origin::Working("AC system of the sources".to_owned())
                });
                let title = format!("{} is not rated for the voltage of its circuit", block.tag);
                report.find(finding(title).against(rating, line).working(working));
            }
        }
        (None, Some(_)) => {
            report.holds(at, || false);
            let title = format!("{} is a DC device on AC", block.tag);
            report.find(finding(title).against(words("DC marking only"), words("marked for AC")));
        }
        (None, None) => report.cannot_tell(Missing::block(block.id, "AC voltage")),
    }
}

/// Switches of the stock that will do, the smallest first.
fn remedies(on: &Circumstances<'_>, finding: &Finding) -> Vec<Proposal> {
    let Part::Block(id) = finding.at else { return Vec::new() };
    let Some(block) = on.block(id) else { return Vec::new() };
    let Some(now) = block.equipment.as_kind::<Switch>() else { return Vec::new() };
    let run = finding.parts().find_map(|part| match part {
        Part::Run(id) => on.run(id),
        Part::Block(_) | Part::RunEnd(..) | Part::Place(_) | Part::Project => None,
    });
    let current = run.and_then(|run| on.studies.currents.greatest(run.id)).unwrap_or(now.rating);
    larger_switches(on, block, now, current)
}

fn larger_switches(on: &Circumstances<'_>, block: &Block, now: &Switch, current: Amps) -> Vec<Proposal> {
    let mut items = stock_of(on, Kind::Switch, |equipment| {
        equipment.as_kind::<Switch>().is_some_and(|it| {
            it.rating >= current
                && it.circuits == now.circuits
                && it.load_break == LoadBreak::Yes
                && (it.dc_voltage >= now.dc_voltage || it.ac_voltage > now.ac_voltage)
        })
    });
    let rating =
        |equipment: &Equipment| equipment.as_kind::<Switch>().map(|it| it.rating).unwrap_or_default();
    items.sort_by(|a, b| rating(&a.equipment).total_cmp(&rating(&b.equipment)));
    items
        .into_iter()
        .map(|item| {
            let label = format!("{} as {}", item.name, block.tag);
            with_stock(block, item, label)
        })
        .collect()
}
