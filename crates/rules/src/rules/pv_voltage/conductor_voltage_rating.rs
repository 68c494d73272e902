//! Rule `conductor-voltage-rating`.

use crate::circumstances::Circumstances;
use crate::finding::{Part, Severity};
use crate::report::Report;
use crate::rule::{no_remedies, rule};
use lineside_core::circuit::{Conductor, Run};
use lineside_core::working::{Listener, Origin, Working};
use lineside_study::Level;

rule! {
    /// Insulation stands the highest voltage of its zone
    ///
    /// ## The harm
    /// The insulation fails.
    ///
    /// ## The formula
    /// The highest voltage that the zone of the conductor can see: cold strings, equalize charge in the cold, or
    /// the AC system's line voltage.
    ///
    /// ## The limit
    /// The voltage printed on the insulation. Conductors of two zones in one raceway all need the higher rating.
    ///
    /// ## What to do
    /// Conductors of a higher class; a raceway of their own.
    CONDUCTOR_VOLTAGE_RATING {
        id: "conductor-voltage-rating",
        severity: Danger,
        status: Stable,
        clauses: [
            Nec2023: "NEC 2023 300.3(C), 310.10, 690.31",
            Nec2020: "NEC 2020 300.3(C), 310.10, 690.31",
            Nec2017: "NEC 2017 300.3(C), 310.10, 690.31",
            Iec: "IEC 62930, IEC 60364-5-52 cl. 521",
        ],
        check: check,
        remedies: no_remedies,
    }
}

fn check(on: &Circumstances<'_>, report: &mut Report) {
    for (run, conductor) in on.conductors() {
        let Some(own) = highest(on, run) else { continue };
        let (beside, level) = in_raceway(on, run, conductor, own);
        let at = Part::Run(run.id);
        if !report.at_most(at, level.voltage, conductor.voltage).fails() {
            continue;
        }
        let mut working = Working::new();
        working.given("highest voltage of the zone", "V_zone", level.voltage.into(), || {
            Origin::Working(level.cause.to_owned())
        });
        working.given("insulation voltage", "V_ins", conductor.voltage.into(), || {
            Origin::Setting(run.tag.clone())
        });
        let title = match beside {
            None => format!("The insulation of {} is not rated for its circuit", run.tag),
            Some(other) => {
                format!("The insulation of {} is not rated for {} in the same raceway", run.tag, other.tag)
            }
        };
        let finding = CONDUCTOR_VOLTAGE_RATING.finding(on, Severity::Danger, at, title);
        let finding = finding.also_all(beside.map(|other| Part::Run(other.id)));
        report.find(finding.against(level.voltage, conductor.voltage).working(working));
    }
}

/// The highest voltage that the zone of a run can see.
fn highest<'a>(on: &Circumstances<'a>, run: &Run) -> Option<&'a Level> {
    on.window_of_run(run)?.levels.last()
}

/// The highest voltage of all runs in the raceway of one; the run of another voltage, where that is higher than its own.
fn in_raceway<'a>(
    on: &Circumstances<'a>,
    run: &Run,
    conductor: &Conductor,
    own: &'a Level,
) -> (Option<&'a Run>, &'a Level) {
    let Some(name) = &conductor.raceway_name else { return (None, own) };
    let mut most = (None, own);
    for (other, its) in on.conductors().filter(|(other, _)| other.id != run.id) {
        let together = its.raceway == conductor.raceway && its.raceway_name.as_ref() == Some(name);
        if let Some(level) = highest(on, other).filter(|it| together && it.voltage > most.1.voltage) {
            most = (Some(other), level);
        }
    }
    most
}
