//! Rule `backfed-breaker`.

use crate::circumstances::Circumstances;
use crate::finding::{Finding, Part, Severity, words};
use crate::places::Told;
use crate::proposals::with_equipment;
use crate::remedy::Proposal;
use crate::report::Report;
use crate::rule::rule;
use lineside_core::circuit::{Block, Run, RunEnd, Side, TerminalName};
use lineside_core::kinds::Kind;
use lineside_core::kinds::breaker::Breaker;
use lineside_core::kinds::common::Fitted;
use lineside_core::kinds::inverter::{Export, Inverter};
use lineside_study::{Missing, Port, Tally};

rule! {
    /// A breaker that feeds a panel is held down
    ///
    /// ## The harm
    /// A plug-in breaker that is pulled out has live blades.
    ///
    /// ## The reason
    /// A breaker that sits on the bus of a panel, joined to it without conductors, and has a source on its other side feeds
    /// the bus backwards.
    ///
    /// ## The limit
    /// It is fastened to the panel, and it is not marked line and load. A breaker in a box of its own, wired to the panel, is
    /// not fed backwards.
    ///
    /// ## What to do
    /// A hold-down kit; a bolted breaker.
    BACKFED_BREAKER {
        id: "backfed-breaker",
        severity: Correction,
        status: Stable,
        clauses: [
            Nec2023: "NEC 2023 408.36(D), 705.30(D) and (E), 710.15",
            Nec2020: "NEC 2020 408.36(D), 705.30(D) and (E), 710.15",
            Nec2017: "NEC 2017 408.36(D), 705.12(B), 710.15",
        ],
        check: check,
        remedies: remedies,
    }
}

const MARKED: &str = "marked";

fn check(on: &Circumstances<'_>, report: &mut Report) {
    for block in on.circuit().blocks() {
        let Some(breaker) = block.equipment.as_kind::<Breaker>() else { continue };
        if let Some(panel) = backfeeds(on, block) {
            fastened(on, report, block, breaker, panel);
            marking(on, report, block, breaker, panel);
        }
    }
}

/// The panel on whose bus a breaker sits while a source stands on its other side.
fn backfeeds<'a>(on: &Circumstances<'a>, block: &Block) -> Option<&'a Block> {
    let run_at = |stem| {
        let end = RunEnd { block: block.id, terminal: TerminalName::plain(stem) };
        on.circuit().runs_on(end).into_iter().next().map(|run| (run, end))
    };
    let (line, load) = (run_at("line")?, run_at("load")?);
    [(line, load), (load, line)].into_iter().find_map(|((joint, end), (supply, _))| {
        let other = if joint.from == end { joint.to } else { joint.from };
        let panel = on.block(other.block).filter(|block| block.kind() == Kind::AcPanel)?;
        let sits = joint.conductor.is_none();
        (sits && far_side(on, supply, block).is_some_and(|tally| is_source(on, tally))).then_some(panel)
    })
}

/// What stands on the far side of a run, seen from a block at one of its ends.
fn far_side<'a>(on: &Circumstances<'a>, run: &Run, block: &Block) -> Option<&'a Tally> {
    on.side_of(run, if run.from.block == block.id { Side::To } else { Side::From })
}

/// An inverter or generator behind the breaker; an AC input only if inverters export.
fn is_source(on: &Circumstances<'_>, tally: &Tally) -> bool {
    let exports = || {
        on.circuit()
            .blocks()
            .any(|block| block.equipment.as_kind::<Inverter>().is_some_and(|it| it.export == Export::On))
    };
    tally.count(Port::InverterOutput) + tally.count(Port::Generator) > 0
        || tally.count(Port::AcInput) > 0 && exports()
}

fn fastened(on: &Circumstances<'_>, report: &mut Report, block: &Block, breaker: &Breaker, panel: &Block) {
    let at = Part::Block(block.id);
    match Told::from(breaker.plug_in) {
        Told::No => {
            report.holds(at, || true);
        }
        Told::Untold => report.cannot_tell(Missing::block(block.id, "Plug-in, not fastened")),
        Told::Yes => {
            report.holds(at, || false);
            let title = format!("{} feeds {} and is not fastened to it", block.tag, panel.tag);
            let finding = BACKFED_BREAKER.finding(on, Severity::Correction, at, title);
            report.find(
                finding
                    .also(Part::Block(panel.id))
                    .against(words("plug-in, not fastened"), words("held down or bolted")),
            );
        }
    }
}

fn marking(on: &Circumstances<'_>, report: &mut Report, block: &Block, breaker: &Breaker, panel: &Block) {
    let at = Part::Block(block.id);
    match Told::from(breaker.marked_line_load) {
        Told::No => {
            report.holds(at, || true);
        }
        Told::Untold => report.cannot_tell(Missing::block(block.id, "Marked line and load")),
        Told::Yes => {
            report.holds(at, || false);
            let title = format!("{} is marked line and load and is fed backwards", block.tag);
            let finding = BACKFED_BREAKER.finding(on, Severity::Correction, at, title).aspect(MARKED);
            report.find(
                finding
                    .also(Part::Block(panel.id))
                    .against(words("marked line and load"), words("not marked, fit for either direction")),
            );
        }
    }
}

fn remedies(on: &Circumstances<'_>, finding: &Finding) -> Vec<Proposal> {
    let Part::Block(id) = finding.at else { return Vec::new() };
    let Some(block) = on.block(id) else { return Vec::new() };
    let Some(breaker) = block.equipment.as_kind::<Breaker>() else { return Vec::new() };
    if finding.aspect == MARKED {
        let changed = Breaker { marked_line_load: Some(Fitted::No), ..breaker.clone() };
        let label = format!("A breaker without line and load marks as {}", block.tag);
        return vec![with_equipment(block, changed, label)];
    }
    let changed = Breaker { plug_in: Some(Fitted::No), ..breaker.clone() };
    vec![with_equipment(block, changed, format!("A hold-down kit for {}", block.tag))]
}
