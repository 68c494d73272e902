//! Rule `flexible-cable`.

use crate::circumstances::Circumstances;
use crate::finding::{Finding, Part, Severity, words};
use crate::proposals::with_conductor;
use crate::remedy::Proposal;
use crate::report::Report;
use crate::rule::rule;
use lineside_codes::tables::Suitability;
use lineside_core::circuit::{Conductor, ConductorEnds, Insulation, Run, Stranding};
use lineside_study::{CircuitKind, Missing, Owner};

rule! {
    /// Fine-strand cable is listed, and its terminals are made for it
    ///
    /// ## The harm
    /// Fine strands loosen in set-screw lugs that are made for coarse wire, then burn.
    ///
    /// ## The limit
    /// Cables of battery and inverter are of a listed type of building wire (RHW, THW and so on); welding cable is
    /// none. Fine strands end in lugs that are crimped and marked for them, in ferrules, or in terminals that are
    /// marked for fine strands.
    ///
    /// ## What to do
    /// Listed cable; lugs for fine strands; ferrules.
    FLEXIBLE_CABLE {
        id: "flexible-cable",
        severity: Correction,
        status: Stable,
        clauses: [
            Nec2023: "NEC 2023 110.14, 400.4, 400.10",
            Nec2020: "NEC 2020 110.14, 400.4, 400.10",
            Nec2017: "NEC 2017 110.14, 400.4, 400.10, 706.32",
            Iec: "IEC 60364-5-52 cl. 526.9",
        ],
        check: check,
        remedies: remedies,
    }
}

fn check(on: &Circumstances<'_>, report: &mut Report) {
    for (run, conductor) in on.conductors() {
        let circuit = on.studies.currents.of(run.id).map(|current| current.circuit);
        if matches!(circuit, Some(CircuitKind::Battery | CircuitKind::InverterDc | CircuitKind::BusTie)) {
            listed(on, report, run, conductor);
            if conductor.stranding == Stranding::Fine {
                held(on, report, run, conductor);
            }
        }
    }
}

fn listed(on: &Circumstances<'_>, report: &mut Report, run: &Run, conductor: &Conductor) {
    let Some(facts) = on.codes().common.insulations.find(conductor.insulation) else { return };
    let at = Part::Run(run.id);
    if report.holds(at, || facts.building_wire == Suitability::Suitable).fails() {
        let title = format!("{} is of no listed type of building wire", run.tag);
        let finding = FLEXIBLE_CABLE.finding(on, Severity::Correction, at, title);
        let found = words(conductor.insulation.label());
        report.find(finding.against(found, words("a listed type, such as RHW or THW")));
    }
}

fn held(on: &Circumstances<'_>, report: &mut Report, run: &Run, conductor: &Conductor) {
    for (side, end) in run.ends() {
        let Some(block) = on.block(end.block) else { continue };
        let at = Part::RunEnd(run.id, side);
        let marking = block.equipment.terminal_marking();
        let fits = match (conductor.ends, marking) {
            (Some(ConductorEnds::Lugs | ConductorEnds::Ferrules), _) => true,
            (_, Some(marking)) if marking.takes_fine_strands() => true,
            (Some(ConductorEnds::Bare), Some(_)) => false,
            (Some(ConductorEnds::Bare), None) => {
                report.cannot_tell(Missing::block(block.id, "Terminals are marked for"));
                continue;
            }
            (None, _) => {
                report.cannot_tell(Missing { owner: Owner::Run(run.id), datum: "Conductor ends" });
                continue;
            }
        };
        if report.holds(at, || fits).fails() {
            let title =
                format!("The terminal of {} is not made for the fine strands of {}", block.tag, run.tag);
            let finding = FLEXIBLE_CABLE.finding(on, Severity::Correction, at, title);
            let found = words(marking.map_or("", |marking| marking.label()));
            report.find(finding.also(Part::Block(block.id)).against(found, words("marked for fine strands")));
        }
    }
}

fn remedies(on: &Circumstances<'_>, finding: &Finding) -> Vec<Proposal> {
    let (id, at_end) = match finding.at {
        Part::Run(id) => (id, false),
        Part::RunEnd(id, _) => (id, true),
        Part::Block(_) | Part::Place(_) | Part::Project => return Vec::new(),
    };
    let Some(run) = on.run(id) else { return Vec::new() };
    let Some(old) = run.conductor.as_deref().cloned() else { return Vec::new() };
    if at_end {
        let ends = [ConductorEnds::Lugs, ConductorEnds::Ferrules];
        let ended = |ends| Conductor { ends: Some(ends), ..old.clone() };
        return ends
            .map(|it| with_conductor(run, ended(it), format!("{} for {}", it.label(), run.tag)))
            .into();
    }
    let insulation = if on.rule_set().is_nec() { Insulation::Rhw2 } else { Insulation::Xlpe90 };
    let new = Conductor { insulation, ..old };
    vec![with_conductor(run, new, format!("{} for {}", insulation.label(), run.tag))]
}
