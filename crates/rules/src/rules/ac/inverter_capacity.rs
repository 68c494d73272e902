//! Rule `inverter-capacity`.

use crate::circumstances::Circumstances;
use crate::finding::{Part, Severity, words};
use crate::report::Report;
use crate::rule::{no_remedies, rule};
use crate::rules::ac::support::{Panel, panels_of_inverters};
use lineside_core::circuit::Block;
use lineside_core::kinds::common::AcSystem;
use lineside_core::kinds::inverter::Inverter;
use lineside_core::project::LoadCurrent;
use lineside_core::units::Watts;
use lineside_core::working::{Listener, Origin, Working};
use lineside_study::Missing;

rule! {
    /// The inverters run each of their loads
    ///
    /// ## The harm
    /// The largest load does not run, or its start stops the inverter; a 240 V load gets nothing from a 120 V source.
    ///
    /// ## The limit
    /// The inverters that feed a panel together give as much as its largest single load takes; the supply may be smaller than
    /// the calculated load. Their surge covers the hardest start with the loads that run for hours. Loads on two lines have a
    /// source with two lines.
    ///
    /// ## What to do
    /// A larger inverter; a soft starter; another load.
    INVERTER_CAPACITY {
        id: "inverter-capacity",
        severity: Correction,
        status: Stable,
        clauses: [
            Nec2023: "NEC 2023 710.15(A), 702.4",
            Nec2020: "NEC 2020 710.15(A), 702.4",
            Nec2017: "NEC 2017 710.15(A), 702.4",
            Iec: "IEC 60364-5-55 cl. 551",
        ],
        check: check,
        remedies: no_remedies,
    }
}

type Source<'a> = (&'a Block, &'a Inverter);

fn check(on: &Circumstances<'_>, report: &mut Report) {
    for (panel, inverters) in panels_of_inverters(on) {
        largest(on, report, panel, &inverters);
        start(on, report, panel, &inverters);
        two_lines(on, report, panel, &inverters);
    }
}

fn parts(inverters: &[Source<'_>]) -> Vec<Part> {
    inverters.iter().map(|(block, _)| Part::Block(block.id)).collect()
}

fn continuous(inverters: &[Source<'_>], working: &mut Working) -> Watts {
    for (block, it) in inverters {
        working
            .given("continuous output", "P", it.continuous.into(), || Origin::Nameplate(block.tag.clone()));
    }
    inverters.iter().map(|(_, it)| it.continuous).sum()
}

fn largest(on: &Circumstances<'_>, report: &mut Report, (block, panel): Panel<'_>, inverters: &[Source<'_>]) {
    let mut working = Working::new();
    let power = continuous(inverters, &mut working);
    let at = Part::Block(block.id);
    let listed = || {
        let loads = on.project().brief.loads.iter().filter(|load| load.current == LoadCurrent::Ac);
        loads.map(|load| load.power).max_by(Watts::total_cmp)
    };
    let load = match (panel.largest_load, panel.connected_load, listed()) {
        (Some(load), _, _) => {
            working.given("largest load", "P_largest", load.into(), || Origin::Setting(block.tag.clone()));
            load
        }
        (None, Some(all), _) if all <= power => {
            report.at_least(at, power, all);
            return;
        }
        (None, _, Some(load)) => {
            working.given("largest load", "P_largest", load.into(), || Origin::Brief);
            load
        }
        (None, _, None) => {
            report.cannot_tell(Missing::block(block.id, "Largest load"));
            return;
        }
    };
    if report.at_least(at, power, load).fails() {
        let title = format!("The largest load of {} is more than its inverter gives", block.tag);
        let finding = INVERTER_CAPACITY.finding(on, Severity::Correction, at, title);
        report.find(finding.also_all(parts(inverters)).against(power, load).working(working));
    }
}

fn start(on: &Circumstances<'_>, report: &mut Report, (block, panel): Panel<'_>, inverters: &[Source<'_>]) {
    let Some(start) = panel.largest_start else { return };
    let running = panel.continuous_load.unwrap_or_default();
    let mut working = Working::new();
    let mut surge = Watts::ZERO;
    for (inverter, it) in inverters {
        let given = it.surge.unwrap_or(it.continuous);
        working.given("surge output", "P_surge", given.into(), || Origin::Nameplate(inverter.tag.clone()));
        surge += given;
    }
    working.given("largest start", "P_start", start.into(), || Origin::Setting(block.tag.clone()));
    working.given("running meanwhile", "P_run", running.into(), || Origin::Setting(block.tag.clone()));
    let needed = start + running;
    working.found("needed", "P", || "P_start + P_run".to_owned(), needed.into());
    let at = Part::Block(block.id);
    if report.at_least(at, surge, needed).fails() {
        let title = format!("The largest start on {} is more than its inverter's surge", block.tag);
        let finding = INVERTER_CAPACITY.finding(on, Severity::Correction, at, title).aspect("surge");
        report.find(finding.also_all(parts(inverters)).against(surge, needed).working(working));
    }
}

/// On a panel for two lines a single 120 V source is a danger of its own rule.
fn two_lines(
    on: &Circumstances<'_>,
    report: &mut Report,
    (block, panel): Panel<'_>,
    inverters: &[Source<'_>],
) {
    let Some(load) = panel.largest_240_load.filter(|load| *load > Watts::ZERO) else { return };
    let at = Part::Block(block.id);
    let has_lines = inverters.iter().any(|(_, it)| it.ac_system != AcSystem::Single120);
    if report.holds(at, || has_lines).fails() {
        let mut working = Working::new();
        working.given("largest load on two lines", "P", load.into(), || Origin::Setting(block.tag.clone()));
        let title = format!("{} has 240 V loads and a source of 120 V", block.tag);
        let finding = INVERTER_CAPACITY.finding(on, Severity::Correction, at, title).aspect("lines");
        report.find(
            finding
                .also_all(parts(inverters))
                .against(words("120 V source"), words("a source of 240 V"))
                .working(working),
        );
    }
}
