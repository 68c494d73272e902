//! Rule `terminal-temperature`.

use crate::circumstances::Circumstances;
use crate::finding::{Finding, Part, Severity, words};
use crate::remedy::Proposal;
use crate::report::Report;
use crate::rule::rule;
use crate::rules::conductors::support::{continuous_working, larger_conductor, terminal_limits};
use lineside_codes::FactorKey;
use lineside_core::circuit::{Conductor, Metal, Run, Side};
use lineside_core::kinds::common::TerminalMarking;
use lineside_core::kinds::field::Value;
use lineside_core::working::{Listener, Origin};
use lineside_study::Missing;

rule! {
    /// The cooler of two terminals is not overheated
    ///
    /// ## The harm
    /// A conductor that is cool enough by itself still overheats a terminal that is rated cooler. Aluminum corrodes in a
    /// terminal that is made for copper, works loose and burns.
    ///
    /// ## The formula
    /// `1.25 × I_max` against the ampacity in the column of the lower of the two terminal ratings. A terminal
    /// without a mark counts as 60 °C up to 100 A, else 75 °C. This rule speaks where the terminal with the higher
    /// rating would have allowed the current. IEC: `I_B` against the capacity of the 70 °C column, where the cable bears
    /// 90 °C and a terminal does not; a terminal without a mark counts as 70 °C. There it speaks where the cable itself
    /// is cool enough.
    ///
    /// ## The limit
    /// Aluminum ends only in terminals that are marked for it.
    ///
    /// ## What to do
    /// The next size; terminals marked 75 °C at both ends; terminals for aluminum, or a listed splice to copper.
    TERMINAL_TEMPERATURE {
        id: "terminal-temperature",
        severity: Correction,
        status: Stable,
        clauses: [
            Nec2023: "NEC 2023 110.14(A), (C)",
            Nec2020: "NEC 2020 110.14(A), (C)",
            Nec2017: "NEC 2017 110.14(A), (C)",
            Iec: "IEC 60364-5-52 cl. 523 and 526",
        ],
        check: check,
        remedies: remedies,
    }
}

fn check(on: &Circumstances<'_>, report: &mut Report) {
    for (run, conductor) in on.conductors() {
        metal(on, report, run, conductor);
        let Some(limits) = terminal_limits(on, run.id) else { continue };
        let factor = if on.is_rated_for_all(run.id) { 1.0 } else { on.number(FactorKey::Continuous) };
        let Some(needed) = on.studies.currents.of(run.id).and_then(|current| current.sized(factor)) else {
            continue;
        };
        let at = Part::Run(run.id);
        if !report.at_most(at, needed, limits.lower).fails() || needed > limits.higher {
            continue;
        }
        let mut working = continuous_working(on, run, factor);
        working.given("ampacity at the cooler terminal", "A_term", limits.lower.into(), || {
            Origin::Table(limits.source.to_string())
        });
        let (other, symbol) = if on.rule_set().is_nec() {
            ("ampacity at the other terminal", "A_other")
        } else {
            ("capacity of the cable where it lies", "I_z")
        };
        working
            .given(other, symbol, limits.higher.into(), || Origin::Table(limits.higher_source.to_string()));
        let title = format!("A terminal of {} is rated too cool for its current", run.tag);
        let finding = TERMINAL_TEMPERATURE.finding(on, Severity::Correction, at, title);
        report.find(finding.against(needed, limits.lower).working(working));
    }
}

/// Aluminum in terminals for copper. Blocks without terminals of their own, such as strings, have no such mark.
fn metal(on: &Circumstances<'_>, report: &mut Report, run: &Run, conductor: &Conductor) {
    if conductor.metal != Metal::Aluminum {
        return;
    }
    for side in Side::BOTH {
        let Some(block) = on.block(run.end(side).block) else { continue };
        let Some(marking) = block.equipment.get("terminal_marking") else { continue };
        if marking == Value::Absent {
            report.cannot_tell(Missing::block(block.id, "Terminals are marked for"));
            continue;
        }
        let for_aluminum = [TerminalMarking::CopperAluminum, TerminalMarking::Any];
        let fits = || for_aluminum.iter().any(|it| marking == Value::Choice(it.key()));
        let at = Part::RunEnd(run.id, side);
        if report.holds(at, fits).fails() {
            let title = format!("{} is of aluminum, and {} is not marked for it", run.tag, block.tag);
            let finding = TERMINAL_TEMPERATURE.finding(on, Severity::Correction, at, title).aspect("metal");
            let found = words(Metal::Aluminum.label());
            report.find(finding.also(Part::Block(block.id)).against(found, words("terminals marked for it")));
        }
    }
}

fn remedies(on: &Circumstances<'_>, finding: &Finding) -> Vec<Proposal> {
    larger_conductor(on, finding)
}
