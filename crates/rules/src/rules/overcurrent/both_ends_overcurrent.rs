//! Rule `both-ends-overcurrent`.

use crate::circumstances::Circumstances;
use crate::finding::{Amount, Finding, Part, Severity, words};
use crate::remedy::Proposal;
use crate::report::Report;
use crate::rule::rule;
use crate::rules::conductors::support::{ampacity_working, larger_conductor};
use lineside_codes::FactorKey;
use lineside_core::circuit::{Run, Side};
use lineside_core::units::{Amps, Quantity};
use lineside_core::working::{Listener, Origin, Working};
use lineside_study::{Holding, Port};

rule! {
    /// A fault in a run is cut off from both ends
    ///
    /// ## The harm
    /// A fault is fed from both ends. A device at one end only leaves the run burning from the other.
    ///
    /// ## The formula
    /// Take the run out. What can persist into a fault at one of its ends is the greatest flow from all sources to
    /// that end: every overcurrent device is worth its rating, every source that limits itself its limit, batteries
    /// and utilities are without limit, converters are not crossed.
    ///
    /// ## The limit
    /// Not above the largest device that may protect the run. Above 1.45 times its ampacity: danger, else correction.
    /// No flow, or only current that limits itself within the ampacity: no device is needed at that end. The lead
    /// from a battery terminal to its first device is judged by its length instead.
    ///
    /// ## What to do
    /// A device at the end that is named; a larger conductor.
    BOTH_ENDS_OVERCURRENT {
        id: "both-ends-overcurrent",
        severity: Danger,
        status: Stable,
        clauses: [
            Nec2023: "NEC 2023 690.9(A), 240.21, 706.31",
            Nec2020: "NEC 2020 690.9(A), 240.21, 706.31",
            Nec2017: "NEC 2017 690.9(A), 240.21, 706.21",
            Iec: "IEC 60364-4-43 cl. 433.2 and 434.2, IEC 62548-1 cl. 6.5",
        ],
        check: check,
        remedies: remedies,
    }
}

fn check(on: &Circumstances<'_>, report: &mut Report) {
    for (run, _) in on.conductors() {
        for side in Side::BOTH {
            let holding = on.studies.holding.at(run.id, side);
            if !holding.is_nothing()
                && !is_battery_lead(on, run, side, &holding)
                && !is_service(on, run, side)
            {
                judge(on, report, run, side, &holding);
            }
        }
    }
}

/// The run that leaves a battery terminal with nothing in between.
fn is_battery_lead(on: &Circumstances<'_>, run: &Run, side: Side, holding: &Holding) -> bool {
    holding.unlimited
        && holding.batteries > 0
        && on.side_of(run, side).is_some_and(|tally| tally.has_only(&[Port::Battery]))
}

/// The conductors that bring a utility in are the utility's to protect, up to the main device.
fn is_service(on: &Circumstances<'_>, run: &Run, side: Side) -> bool {
    on.side_of(run, side).is_some_and(|tally| tally.has_only(&[Port::Utility]))
}

fn judge(on: &Circumstances<'_>, report: &mut Report, run: &Run, side: Side, holding: &Holding) {
    let Some(rated) = on.studies.ratings.of(run.id) else { return };
    let (Ok(ampacity), Some(largest)) = (&rated.ampacity, &rated.largest_device) else { return };
    let limit = if holding.is_self_limited() { ampacity.ampacity } else { largest.value };
    let at = Part::RunEnd(run.id, side);
    let current = holding.current();
    let broken = match current {
        Some(current) => report.at_most(at, current, limit).fails(),
        None => report.holds(at, || false).fails(),
    };
    // A device right at this end that is too large, or a current that is the circuit's own, is the matter of the
    // rules on devices and ampacity.
    let device_here = on.studies.protection.at(run.id, side).is_some_and(|device| !device.beyond_runs);
    let own = on.studies.currents.greatest(run.id);
    let own_current = holding.is_self_limited() && current.zip(own).is_some_and(|(holds, own)| holds <= own);
    if !broken || device_here || own_current {
        return;
    }
    let severe = ampacity.ampacity * on.number(FactorKey::PersistingOverload);
    let severity = match current {
        Some(current) if current <= severe => Severity::Correction,
        _ => Severity::Danger,
    };
    let end = on.circuit().end_name(run.end(side));
    let title = format!("A fault in {} keeps burning from {end}", run.tag);
    let finding =
        BOTH_ENDS_OVERCURRENT.finding(on, severity, at, title).also(Part::Block(run.end(side).block));
    let found = current.map_or_else(|| words("no limit"), Amount::from);
    let working = working(on, run, holding, current, limit, severe);
    report.find(finding.against(found, limit).working(working));
}

fn working(
    on: &Circumstances<'_>,
    run: &Run,
    holding: &Holding,
    current: Option<Amps>,
    limit: Amps,
    severe: Amps,
) -> Working {
    let mut working = Working::new();
    if let Some(rated) = on.studies.ratings.of(run.id)
        && let Ok(ampacity) = &rated.ampacity
    {
        ampacity_working(on, run, ampacity, &mut working);
    }
    working.given(
        "overcurrent devices that limit the flow",
        "n",
        Quantity::count(holding.devices as usize),
        || Origin::Working("greatest flow on the circuit".to_owned()),
    );
    working.given("from sources that limit themselves", "I_self", holding.self_limited.into(), || {
        Origin::Working("greatest flow on the circuit".to_owned())
    });
    if let Some(current) = current {
        working.found(
            "can persist into a fault",
            "I_hold",
            || "greatest flow to this end".to_owned(),
            current.into(),
        );
    }
    working.given("largest device for the run", "I_most", limit.into(), || Origin::Working(run.tag.clone()));
    working.found("danger above", "1.45 × A", String::new, severe.into());
    working
}

fn remedies(on: &Circumstances<'_>, finding: &Finding) -> Vec<Proposal> {
    larger_conductor(on, finding)
}
