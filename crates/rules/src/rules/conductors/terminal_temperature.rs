//! Rule `terminal-temperature`.

use crate::circumstances::Circumstances;
use crate::finding::{Finding, Part, Severity};
use crate::remedy::Proposal;
use crate::report::Report;
use crate::rule::rule;
use crate::rules::conductors::support::{continuous_working, larger_conductor, terminal_limits};
use lineside_codes::FactorKey;
use lineside_core::working::{Listener, Origin};

rule! {
    /// The cooler of two terminals is not overheated
    ///
    /// ## The harm
    /// A conductor that is cool enough by itself still overheats a terminal that is rated cooler.
    ///
    /// ## The formula
    /// `1.25 × I_max` against the ampacity in the column of the lower of the two terminal ratings. A terminal
    /// without a mark counts as 60 °C up to 100 A, else 75 °C. This rule speaks where the terminal with the higher
    /// rating would have allowed the current.
    ///
    /// ## What to do
    /// The next size; terminals marked 75 °C at both ends.
    TERMINAL_TEMPERATURE {
        id: "terminal-temperature",
        severity: Correction,
        status: Stable,
        clauses: [
            Nec2023: "NEC 2023 110.14(C)",
            Nec2020: "NEC 2020 110.14(C)",
            Nec2017: "NEC 2017 110.14(C)",
        ],
        check: check,
        remedies: remedies,
    }
}

fn check(on: &Circumstances<'_>, report: &mut Report) {
    for (run, _) in on.conductors() {
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
        working.given("ampacity at the other terminal", "A_other", limits.higher.into(), || {
            Origin::Table(limits.higher_source.to_string())
        });
        let title = format!("A terminal of {} is rated too cool for its current", run.tag);
        let finding = TERMINAL_TEMPERATURE.finding(on, Severity::Correction, at, title);
        report.find(finding.against(needed, limits.lower).working(working));
    }
}

fn remedies(on: &Circumstances<'_>, finding: &Finding) -> Vec<Proposal> {
    larger_conductor(on, finding)
}
