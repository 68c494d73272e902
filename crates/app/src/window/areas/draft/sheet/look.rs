//! How the sheet looks: inks from the zones that the studies found, marks from the findings.

use crate::engine::Derived;
use lineside_core::circuit::{Circuit, Potential, RunEnd};
use lineside_core::project::Project;
use lineside_drawing::display_list::Subject;
use lineside_drawing::pen::{Ink, Pen};
use lineside_drawing::sheet::{Look, Mark, MarkShape, wires_by_equipment};
use lineside_rules::{Finding, Part, Severity};
use lineside_study::{ZoneKind, run_drops};

/// The findings behind one mark.
#[derive(Clone, Debug, PartialEq)]
pub struct Marked {
    /// How bad.
    pub severity: Severity,
    /// Their ids, in the order of the list.
    pub findings: Vec<String>,
    /// The title of the first.
    pub title: String,
}

/// The look of the project, and the findings behind each of its marks.
pub fn of(project: &Project, derived: &Derived) -> (Look, Vec<Marked>) {
    let circuit = &project.circuit;
    let mut look = Look::default();
    let studies = &derived.checked.studies;
    for run in circuit.runs() {
        let zone = zone_of(derived, run.from).and_then(ink_of);
        let live = studies.liveness.is_run_live(&studies.network, run.id);
        look.inks.extend(zone.map(|ink| (run.id, if live { ink } else { dead(ink) })));
    }
    for block in circuit.blocks() {
        let bar =
            block.equipment.terminals().into_iter().find(|terminal| terminal.potential == Potential::Any);
        let Some(bar) = bar.map(|terminal| RunEnd { block: block.id, terminal: terminal.name }) else {
            continue;
        };
        let live = studies.network.at(bar).is_some_and(|node| studies.liveness.is_live(node));
        look.bars.extend(
            zone_of(derived, bar).and_then(ink_of).map(|ink| (block.id, if live { ink } else { dead(ink) })),
        );
    }
    look.wires = wires_by_equipment(circuit);
    look.drops = run_drops::of_runs(derived.checked.studies.drops.all());
    let mut marked: Vec<Marked> = Vec::new();
    for finding in derived.open() {
        mark(circuit, finding, &mut look, &mut marked);
    }
    (look, marked)
}

/// One mark for all findings of one severity at one part.
fn mark(circuit: &Circuit, finding: &Finding, look: &mut Look, marked: &mut Vec<Marked>) {
    let Some(on) = subject_of(circuit, finding.at) else { return };
    let (shape, pen) = match finding.severity {
        Severity::Danger => (MarkShape::Triangle, Pen::Danger),
        Severity::Correction => (MarkShape::Square, Pen::Correction),
        Severity::Advice => (MarkShape::Circle, Pen::Advice),
    };
    let id = finding.id(circuit);
    let same = look.marks.iter().position(|mark| mark.on == on && mark.shape == shape);
    if let Some(same) = same.and_then(|index| marked.get_mut(index)) {
        same.findings.push(id);
        return;
    }
    look.marks.push(Mark { on, shape, pen, number: None });
    marked.push(Marked { severity: finding.severity, findings: vec![id], title: finding.title.clone() });
}

/// Where on the sheet a part is.
pub fn subject_of(circuit: &Circuit, part: Part) -> Option<Subject> {
    match part {
        Part::Block(id) => Some(Subject::Block(id)),
        Part::Run(id) => Some(Subject::Run(id)),
        Part::RunEnd(id, side) => circuit.run(id).map(|run| Subject::Terminal(run.end(side))),
        Part::Place(id) => Some(Subject::Place(id)),
        Part::Project => None,
    }
}

/// The kind of zone in which a terminal is.
pub fn zone_of(derived: &Derived, end: RunEnd) -> Option<ZoneKind> {
    let studies = &derived.checked.studies;
    studies.zones.kind_of(studies.network.at(end)?)
}

/// The ink of a circuit that has been made dead. Earth has no voltage to lose.
const fn dead(zone: Ink) -> Ink {
    if matches!(zone, Ink::Earth) { zone } else { Ink::Dead }
}

const fn ink_of(zone: ZoneKind) -> Option<Ink> {
    match zone {
        ZoneKind::Pv => Some(Ink::Pv),
        ZoneKind::Battery => Some(Ink::Battery),
        ZoneKind::Ac => Some(Ink::Ac),
        ZoneKind::Earth => Some(Ink::Earth),
        ZoneKind::Unknown | ZoneKind::Mixed => None,
    }
}

/// What kind of circuit a terminal turns out to be in; `None` while nothing tells.
pub fn potential_of(derived: &Derived, end: RunEnd) -> Option<Potential> {
    match zone_of(derived, end)? {
        ZoneKind::Pv => Some(Potential::Pv),
        ZoneKind::Battery => Some(Potential::Battery),
        ZoneKind::Ac => Some(Potential::Ac),
        ZoneKind::Earth => Some(Potential::Earth),
        ZoneKind::Unknown | ZoneKind::Mixed => None,
    }
}
