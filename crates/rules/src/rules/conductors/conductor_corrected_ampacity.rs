//! Rule `conductor-corrected-ampacity`.

use crate::circumstances::Circumstances;
use crate::finding::{Finding, Part, Severity};
use crate::remedy::Proposal;
use crate::report::Report;
use crate::rule::rule;
use crate::rules::conductors::support::{
    ampacity_known, ampacity_working, current_working, larger_conductor,
};
use lineside_core::circuit::{Run, Side};
use lineside_core::units::Amps;
use lineside_core::working::{Listener, Working};
use lineside_study::CircuitKind;

rule! {
    /// Insulation stands the current where the conductor lies
    ///
    /// ## The harm
    /// The insulation cooks: fire.
    ///
    /// ## The formula
    /// Ampacity of the insulation times the factors for ambient (with what a sunny roof adds), for other
    /// conductors beside it, and the conductors in parallel.
    ///
    /// ## The limit
    /// NEC: not below `I_max`. IEC: `I_B ≤ I_z`; a string cable without its own device also carries what the other
    /// strings push back.
    ///
    /// ## What to do
    /// A larger size; fewer conductors in the raceway; the raceway lifted off the roof; insulation for 90 °C.
    CONDUCTOR_CORRECTED_AMPACITY {
        id: "conductor-corrected-ampacity",
        severity: Danger,
        status: Stable,
        clauses: [
            Nec2023: "NEC 2023 690.8(B)(2), 310.14, 310.15",
            Nec2020: "NEC 2020 690.8(B)(2), 310.14, 310.15",
            Nec2017: "NEC 2017 690.8(B)(2), 310.15",
            Iec: "IEC 60364-4-43 cl. 433.1, IEC 60364-5-52 cl. 523, IEC 60364-7-712 cl. 712.433",
        ],
        check: check,
        remedies: remedies,
    }
}

fn check(on: &Circumstances<'_>, report: &mut Report) {
    for (run, _) in on.conductors() {
        let Some(current) = on.studies.currents.greatest(run.id) else { continue };
        if !ampacity_known(on, report, run) {
            continue;
        }
        let Some(ampacity) = on.studies.ratings.of(run.id).and_then(|rating| rating.ampacity.as_ref().ok())
        else {
            continue;
        };
        let reverse = pushed_back(on, run);
        let needed = reverse.map_or(current, |reverse| current.max(reverse));
        let at = Part::Run(run.id);
        if !report.at_most(at, needed, ampacity.corrected).fails() {
            continue;
        }
        let mut working = Working::new();
        current_working(on, run, &mut working);
        if let Some(reverse) = reverse.filter(|reverse| *reverse > current) {
            working.found(
                "pushed back by the other strings",
                "I_rev",
                || "(n − 1) × I_sc,max".to_owned(),
                reverse.into(),
            );
        }
        ampacity_working(on, run, ampacity, &mut working);
        let title = format!("{} overheats its insulation", run.tag);
        let finding = CONDUCTOR_CORRECTED_AMPACITY.finding(on, Severity::Danger, at, title);
        report.find(finding.against(needed, ampacity.corrected).working(working));
    }
}

/// IEC 60364-7-712: a string cable without its own device carries what the other strings of the array push
/// back, at least its own current.
fn pushed_back(on: &Circumstances<'_>, run: &Run) -> Option<Amps> {
    let current = on.studies.currents.of(run.id)?;
    if on.rule_set().is_nec()
        || current.circuit != CircuitKind::String
        || !on.studies.protection.of(run.id).is_empty()
    {
        return None;
    }
    let strings = lineside_study::Port::Strings;
    let own_side = if current.from_side.has_only(&[strings]) { Side::From } else { Side::To };
    let others = match own_side {
        Side::From => &current.to_side,
        Side::To => &current.from_side,
    };
    Some(others.amps(strings))
}

fn remedies(on: &Circumstances<'_>, finding: &Finding) -> Vec<Proposal> {
    larger_conductor(on, finding)
}
