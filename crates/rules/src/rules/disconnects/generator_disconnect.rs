//! Rule `generator-disconnect`.

use crate::circumstances::Circumstances;
use crate::finding::{Finding, Part, Severity, words};
use crate::places::Told;
use crate::proposals::with_equipment;
use crate::remedy::Proposal;
use crate::report::Report;
use crate::rule::rule;
use crate::rules::disconnects::support::{Nearness, Standing, around, lockable, place_words, standing};
use lineside_codes::resistance::CurrentKind;
use lineside_core::circuit::{Block, RunEnd, TerminalName};
use lineside_core::kinds::Equipment;
use lineside_core::kinds::common::Fitted;
use lineside_core::kinds::generator::Generator;
use lineside_core::kinds::inside::Disconnects;
use lineside_core::project::RuleSet;
use lineside_study::Missing;

rule! {
    /// A generator can be cut off and stays stopped
    ///
    /// ## The harm
    /// It starts by itself while its feed lies open on the bench.
    ///
    /// ## The limit
    /// Other than by cord and plug: a device at the set that can be locked open cuts it off; the engine can be stopped so
    /// that it stays stopped until it is reset by hand. At one- and two-family dwellings an emergency stop outside (2020
    /// on).
    ///
    /// ## What to do
    /// A lockable breaker at the set; the start circuit in the switching order.
    GENERATOR_DISCONNECT {
        id: "generator-disconnect",
        severity: Correction,
        status: Stable,
        clauses: [
            Nec2023: "NEC 2023 445.18, 445.19",
            Nec2020: "NEC 2020 445.18",
            Nec2017: "NEC 2017 445.18",
            Iec: "IEC 60364-5-55 cl. 551, IEC 60364-5-53 cl. 537",
        ],
        check: check,
        remedies: remedies,
    }
}

const RESTART: &str = "restart";
const EMERGENCY: &str = "emergency";

fn check(on: &Circumstances<'_>, report: &mut Report) {
    for block in on.circuit().blocks() {
        let Equipment::Generator(it) = &block.equipment else { continue };
        let wired = !on.circuit().runs_at(block.id).is_empty();
        match Told::from(it.cord_connected) {
            _ if !wired => {}
            Told::Yes => {}
            Told::Untold => {
                if !is_in_order(on, block, it) {
                    report.cannot_tell(Missing::block(block.id, "Cord and plug"));
                }
            }
            Told::No => {
                device(on, report, block, it);
                stays_stopped(on, report, block, it);
                emergency_stop(on, report, block, it);
            }
        }
    }
}

/// Whether everything that a fixed set needs is there.
fn is_in_order(on: &Circumstances<'_>, block: &Block, it: &Generator) -> bool {
    let mut trial = Report::default();
    device(on, &mut trial, block, it);
    stays_stopped(on, &mut trial, block, it);
    emergency_stop(on, &mut trial, block, it);
    trial.findings.is_empty() && trial.unknown.is_empty()
}

fn device(on: &Circumstances<'_>, report: &mut Report, block: &Block, it: &Generator) {
    let at = Part::Block(block.id);
    if it.breaker_rating.is_some() {
        match lockable(block) {
            Told::Yes => {
                report.holds(at, || true);
            }
            Told::Untold => report.cannot_tell(Missing::block(block.id, "Own breaker lockable")),
            Told::No => {
                report.holds(at, || false);
                let title = format!("The breaker of {} cannot be locked open", block.tag);
                let finding = GENERATOR_DISCONNECT.finding(on, Severity::Correction, at, title);
                report.find(finding.against(words("not lockable"), words("a device that locks open")));
            }
        }
        return;
    }
    let output = RunEnd { block: block.id, terminal: TerminalName::plain("out") };
    let Some(node) = on.studies.network.at(output) else { return };
    let found = around(on, node, CurrentKind::Alternating, Disconnects::UnderLoad);
    let at_the_set = found.open.is_empty()
        && found.means.iter().all(|means| {
            standing(on, block.id, means, Nearness::SameLocation) == Standing::Near
                && lockable(means.block) == Told::Yes
        });
    if report.holds(at, || at_the_set).fails() {
        let first = found.means.first();
        let elsewhere = first.map_or_else(
            || "none".to_owned(),
            |means| format!("{}{}", means.block.tag, place_words(on, means.block.id)),
        );
        let title = format!("{} cannot be cut off and locked where it stands", block.tag);
        let finding = GENERATOR_DISCONNECT.finding(on, Severity::Correction, at, title);
        let finding = finding.also_all(first.map(|means| Part::Block(means.block.id)));
        report.find(finding.against(words(elsewhere), words("a device at the set that locks open")));
    }
}

fn stays_stopped(on: &Circumstances<'_>, report: &mut Report, block: &Block, it: &Generator) {
    let at = Part::Block(block.id);
    match Told::from(it.start_lockout) {
        Told::Yes => {
            report.holds(at, || true);
        }
        Told::Untold => report.cannot_tell(Missing::block(block.id, "Stays stopped")),
        Told::No => {
            report.holds(at, || false);
            let title = format!("{} can start again by itself after it was stopped", block.tag);
            let finding = GENERATOR_DISCONNECT.finding(on, Severity::Correction, at, title).aspect(RESTART);
            report.find(finding.against(words("starts again"), words("stays stopped until it is reset")));
        }
    }
}

fn emergency_stop(on: &Circumstances<'_>, report: &mut Report, block: &Block, it: &Generator) {
    let asked = matches!(on.rule_set(), RuleSet::Nec2023 | RuleSet::Nec2020);
    if !asked || on.is_dwelling() != Told::Yes {
        return;
    }
    let at = Part::Block(block.id);
    match Told::from(it.emergency_stop) {
        Told::Yes => {
            report.holds(at, || true);
        }
        Told::Untold => report.cannot_tell(Missing::block(block.id, "Emergency stop")),
        Told::No => {
            report.holds(at, || false);
            let title = format!("{} has no emergency stop outside", block.tag);
            let finding = GENERATOR_DISCONNECT.finding(on, Severity::Correction, at, title).aspect(EMERGENCY);
            report.find(finding.against(words("none"), words("an emergency stop outside")));
        }
    }
}

/// The set is fitted with what it lacks.
fn remedies(on: &Circumstances<'_>, finding: &Finding) -> Vec<Proposal> {
    let Part::Block(id) = finding.at else { return Vec::new() };
    let Some(block) = on.block(id) else { return Vec::new() };
    let Equipment::Generator(it) = &block.equipment else { return Vec::new() };
    let mut fitted = it.as_ref().clone();
    let label = match finding.aspect {
        RESTART => {
            fitted.start_lockout = Some(Fitted::Yes);
            format!("A stop of {} that stays until it is reset by hand", block.tag)
        }
        EMERGENCY => {
            fitted.emergency_stop = Some(Fitted::Yes);
            format!("An emergency stop of {} outside", block.tag)
        }
        _ => {
            fitted.breaker_lockable = Some(Fitted::Yes);
            let size = on.codes().common.ratings.next_at_least(
                it.rated_current(),
                lineside_codes::tables::DeviceType::Breaker,
                on.rule_set(),
            );
            fitted.breaker_rating = it.breaker_rating.or(size.map(|found| found.value));
            format!("A lockable breaker on {}", block.tag)
        }
    };
    vec![with_equipment(block, fitted, label)]
}
