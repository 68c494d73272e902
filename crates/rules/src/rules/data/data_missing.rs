//! Rule `data-missing`.

use crate::circumstances::Circumstances;
use crate::finding::{Part, Severity, words};
use crate::report::{CannotTell, Report};
use crate::rule::{no_remedies, rule};
use crate::rules::ALL;
use lineside_study::{Missing, NotRated, Owner};

rule! {
    /// Every value that a rule needs is given
    ///
    /// ## The harm
    /// A rule that cannot tell is silent, and silence looks like a pass.
    ///
    /// ## The limit
    /// A value that a danger rule needs is missing: correction. One that a lesser rule needs: advice. The field is
    /// named, and the rules that want it.
    ///
    /// ## What to do
    /// Enter the value from the nameplate, the manual or the weather records.
    DATA_MISSING {
        id: "data-missing",
        severity: Correction,
        status: Stable,
        clauses: [
            Nec2023: "NEC 2023 110.3(B)",
            Nec2020: "NEC 2020 110.3(B)",
            Nec2017: "NEC 2017 110.3(B)",
            Iec: "manufacturer's instructions",
        ],
        check: check,
        remedies: no_remedies,
    }
}

fn check(on: &Circumstances<'_>, report: &mut Report) {
    let mut unknown = report.unknown.clone();
    unknown.sort_unstable_by_key(|it| (it.missing, position(it.rule)));
    unknown.dedup();
    for group in unknown.chunk_by(|a, b| a.missing == b.missing) {
        find(on, report, group);
    }
}

fn position(id: &str) -> usize {
    ALL.iter().position(|rule| rule.id == id).unwrap_or(usize::MAX)
}

fn find(on: &Circumstances<'_>, report: &mut Report, group: &[CannotTell]) {
    let Some(first) = group.first() else { return };
    let Missing { owner, datum } = first.missing;
    let at = match owner {
        Owner::Block(id) => Part::Block(id),
        Owner::Run(id) => Part::Run(id),
        Owner::Place(id) => Part::Place(id),
        Owner::Site => Part::Project,
    };
    let worst = group
        .iter()
        .filter_map(|it| ALL.iter().find(|rule| rule.id == it.rule))
        .map(|rule| rule.severity)
        .min()
        .unwrap_or(Severity::Advice);
    let severity = if worst == Severity::Danger { Severity::Correction } else { Severity::Advice };
    let rules: Vec<&str> = group.iter().map(|it| it.rule).collect();
    let whose = if at == Part::Project { "the site".to_owned() } else { at.name(on.circuit()) };
    let title = not_in_tables(on, owner).unwrap_or_else(|| format!("“{datum}” of {whose} is not given"));
    let finding = DATA_MISSING.finding(on, severity, at, title).aspect(datum);
    report.find(finding.against(words("not given"), words(format!("needed by {}", rules.join(", ")))));
}

/// A conductor for which the tables have no answer is told by what they say.
fn not_in_tables(on: &Circumstances<'_>, owner: Owner) -> Option<String> {
    let Owner::Run(id) = owner else { return None };
    let Err(NotRated::Table(fault)) = &on.studies.ratings.of(id)?.ampacity else { return None };
    Some(format!("{} has no known ampacity: {fault}", on.run(id)?.tag))
}
