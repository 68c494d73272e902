//! Rule `conductor-continuous-ampacity`.

use crate::circumstances::Circumstances;
use crate::finding::{Finding, Part, Severity};
use crate::remedy::Proposal;
use crate::report::Report;
use crate::rule::rule;
use crate::rules::conductors::support::{
    ampacity_known, continuous_working, larger_conductor, terminal_limits,
};
use lineside_codes::FactorKey;
use lineside_core::working::{Listener, Origin};

rule! {
    /// Terminals stand the continuous current
    ///
    /// ## The harm
    /// Conductor and terminal run hot for hours.
    ///
    /// ## The formula
    /// `1.25 × I_max` against the ampacity at the terminals' temperature, without corrections for ambient and
    /// bundling. In a listed assembly rated for 100 %, `I_max` alone. What loads take for less than three hours counts
    /// once.
    ///
    /// ## What to do
    /// The next size; a second conductor from 1/0 AWG up; an assembly rated for 100 %.
    CONDUCTOR_CONTINUOUS_AMPACITY {
        id: "conductor-continuous-ampacity",
        severity: Correction,
        status: Stable,
        clauses: [
            Nec2023: "NEC 2023 690.8(B)(1), 215.2(A), 706.30",
            Nec2020: "NEC 2020 690.8(B)(1), 215.2(A), 706.30",
            Nec2017: "NEC 2017 690.8(B)(1), 215.2(A), 706.20",
        ],
        check: check,
        remedies: remedies,
    }
}

fn check(on: &Circumstances<'_>, report: &mut Report) {
    for (run, _) in on.conductors() {
        if on.studies.currents.greatest(run.id).is_none() || !ampacity_known(on, report, run) {
            continue;
        }
        let Some(limits) = terminal_limits(on, run.id) else { continue };
        let factor = if on.is_rated_for_all(run.id) { 1.0 } else { on.number(FactorKey::Continuous) };
        let Some(needed) = on.studies.currents.of(run.id).and_then(|current| current.sized(factor)) else {
            continue;
        };
        let at = Part::Run(run.id);
        // A terminal that is rated lower than its fellow at the other end is the terminal rule's matter.
        if !report.at_most(at, needed, limits.lower).fails() || needed <= limits.higher {
            continue;
        }
        let mut working = continuous_working(on, run, factor);
        working.given("ampacity at the terminals' temperature", "A_term", limits.lower.into(), || {
            Origin::Table(limits.source.to_string())
        });
        let title = format!("{} is too small for its continuous current", run.tag);
        let finding = CONDUCTOR_CONTINUOUS_AMPACITY.finding(on, Severity::Correction, at, title);
        report.find(finding.against(needed, limits.lower).working(working));
    }
}

fn remedies(on: &Circumstances<'_>, finding: &Finding) -> Vec<Proposal> {
    larger_conductor(on, finding)
}
