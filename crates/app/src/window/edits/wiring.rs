//! Runs: where one may land, why it may not, and what a new one is made of.

use super::{Fresh, Labeled};
use lineside_core::circuit::{
    Circuit, Conductor, GridPoint, Insulation, Potential, Raceway, Run, RunEnd, Side, Terminal,
};
use lineside_core::edit::{Edit, Refusal};
use lineside_core::project::Project;
use lineside_core::units::{ConductorSize, Meters, UnitSystem};
use lineside_drawing::placement;

/// What would happen if a run that begins at one terminal ended at another.
#[derive(Clone, Debug, PartialEq)]
pub enum Landing {
    /// It lands there.
    Fits(RunEnd),
    /// That terminal is taken; it lands on a free one beside it.
    Beside(RunEnd, String),
    /// It may not land there, and why.
    Refused(String),
}

impl Landing {
    /// Where it lands.
    pub const fn end(&self) -> Option<RunEnd> {
        match self {
            Self::Fits(end) | Self::Beside(end, _) => Some(*end),
            Self::Refused(_) => None,
        }
    }
}

/// What the terminal of a block is for.
pub fn terminal(circuit: &Circuit, end: RunEnd) -> Option<Terminal> {
    circuit.block(end.block)?.equipment.terminals().into_iter().find(|terminal| terminal.name == end.terminal)
}

/// What kind of circuit a terminal belongs to by its block's own account.
pub fn potential(circuit: &Circuit, end: RunEnd) -> Option<Potential> {
    terminal(circuit, end).map(|terminal| terminal.potential)
}

/// Where a run may begin: the terminal itself, or a free one beside it.
pub fn start(circuit: &Circuit, end: RunEnd) -> Landing {
    match taken_by(circuit, end) {
        None => Landing::Fits(end),
        Some(run) => beside(circuit, end, end, &run),
    }
}

/// Whether a run from one terminal may land on another. `known` is what kind of circuit each terminal turns
/// out to be in; a terminal's own account where that is not known.
pub fn landing(
    circuit: &Circuit,
    from: RunEnd,
    to: RunEnd,
    known: impl Fn(RunEnd) -> Option<Potential>,
) -> Landing {
    let name = |end| circuit.end_name(end);
    if from == to {
        return Landing::Refused("a run needs two different terminals".to_owned());
    }
    if from.block == to.block {
        let tag = circuit.block(to.block).map_or("?", |block| block.tag.as_str());
        return Landing::Refused(format!("both ends would land on {tag}"));
    }
    let (Some(a), Some(b)) = (potential(circuit, from), potential(circuit, to)) else {
        return Landing::Refused(format!("{} is not there any more", name(to)));
    };
    let in_circuit =
        |own: Potential, end| if own == Potential::Any { known(end).unwrap_or(own) } else { own };
    let (here, there) = (in_circuit(a, from), in_circuit(b, to));
    if !a.fits(b) || !here.fits(there) {
        return Landing::Refused(format!(
            "{} is on the {}, {} on the {}; a run cannot join them",
            name(from),
            circuit_name(here),
            name(to),
            circuit_name(there)
        ));
    }
    match taken_by(circuit, to) {
        None => Landing::Fits(to),
        Some(run) => beside(circuit, to, from, &run),
    }
}

const fn circuit_name(potential: Potential) -> &'static str {
    match potential {
        Potential::Pv => "array side",
        Potential::Battery => "battery bus",
        Potential::Ac => "AC side",
        Potential::Earth => "grounding side",
        Potential::Any => "side of any circuit",
    }
}

/// The run that already lands on a terminal. Grounding conductors may share one.
fn taken_by(circuit: &Circuit, end: RunEnd) -> Option<String> {
    if potential(circuit, end) == Some(Potential::Earth) {
        return None;
    }
    circuit.runs_on(end).first().map(|run| run.tag.clone())
}

fn beside(circuit: &Circuit, end: RunEnd, seen_from: RunEnd, taken_by: &str) -> Landing {
    let name = circuit.end_name(end);
    match nearest_free(circuit, end, seen_from) {
        Some(free) => Landing::Beside(
            free,
            format!("{name} is taken by {taken_by}; the run takes {}", circuit.end_name(free)),
        ),
        None => Landing::Refused(format!(
            "{name} is taken by {taken_by}; put a bus bar or a junction between to join them"
        )),
    }
}

/// The free terminal with the same stem on the same block that lies nearest to where the run comes from.
fn nearest_free(circuit: &Circuit, end: RunEnd, seen_from: RunEnd) -> Option<RunEnd> {
    end.terminal.number()?;
    let block = circuit.block(end.block)?;
    let near = point_of(circuit, seen_from)?;
    block
        .equipment
        .terminals()
        .into_iter()
        .filter(|terminal| terminal.name.stem() == end.terminal.stem())
        .map(|terminal| RunEnd { block: end.block, terminal: terminal.name })
        .filter(|other| taken_by(circuit, *other).is_none())
        .min_by_key(|other| {
            let point = point_of(circuit, *other).unwrap_or_default();
            (point.x.abs_diff(near.x).saturating_add(point.y.abs_diff(near.y)), other.terminal)
        })
}

fn point_of(circuit: &Circuit, end: RunEnd) -> Option<GridPoint> {
    placement::terminal_at(circuit.block(end.block)?, end.terminal).map(|(at, _)| at)
}

/// Draws a run between two terminals.
pub fn draw(project: &Project, from: RunEnd, to: RunEnd) -> Result<Labeled, Refusal> {
    let mut fresh = Fresh::new(project);
    let run = Run {
        id: fresh.run().ok_or(Refusal::NoIdsLeft)?,
        tag: fresh.tag("W"),
        from,
        to,
        conductor: Some(Box::new(conductor_like(project, from, to))),
        bends: Vec::new(),
        note: String::new(),
    };
    let label = format!("draw {}", run.tag);
    Ok(Labeled::new(label, Edit::InsertRun(Box::new(run))))
}

/// Lands one end of a run on another terminal.
pub fn reland(run: &Run, side: Side, on: RunEnd) -> Labeled {
    let mut moved = run.clone();
    match side {
        Side::From => moved.from = on,
        Side::To => moved.to = on,
    }
    moved.bends = Vec::new();
    Labeled::new(format!("move end of {}", run.tag), Edit::SetRun(Box::new(moved)))
}

/// What a new run is made of: as the newest run in the same kind of circuit, with a length of its own; or
/// what is usual.
fn conductor_like(project: &Project, from: RunEnd, to: RunEnd) -> Conductor {
    let circuit = &project.circuit;
    let kind = |end| potential(circuit, end).filter(|potential| *potential != Potential::Any);
    let wanted = kind(from).or_else(|| kind(to));
    let newest = circuit
        .runs()
        .filter(|run| kind(run.from).or_else(|| kind(run.to)) == wanted)
        .filter_map(|run| Some((run.id, run.conductor.as_deref()?)))
        .max_by_key(|(id, _)| *id);
    let usual = usual_conductor(project.units);
    match newest {
        Some((_, like)) => Conductor {
            length: usual.length,
            terminal_from: None,
            terminal_to: None,
            size_before_enlarging: None,
            raceway_name: None,
            raceway_size: None,
            ends: None,
            sunlight_marked: None,
            ..like.clone()
        },
        None => usual,
    }
}

/// A conductor with which to begin.
pub fn usual_conductor(units: UnitSystem) -> Conductor {
    let (size, insulation, length) = match units {
        UnitSystem::Us => (ConductorSize::Awg(10), Insulation::Thwn2, Meters::from_feet(10.0)),
        UnitSystem::Si => (ConductorSize::Metric(60), Insulation::Xlpe90, Meters::new(3.0)),
    };
    Conductor { raceway: Raceway::MetalConduit, ..Conductor::copper(size, insulation, length) }
}

#[cfg(test)]
mod tests {
    use super::super::samples::{breaker, bus, end, join, make, put};
    use super::*;
    use lineside_core::edit::apply;

    fn land(project: &Project, from: RunEnd, to: RunEnd) -> Landing {
        landing(&project.circuit, from, to, |_| None)
    }

    #[test]
    fn what_may_not_be_joined_is_said() {
        let mut project = Project::default();
        let (q, b) = (put(&mut project, "Q1", breaker(), 0, 0), put(&mut project, "BUS1", bus(2), 40, 0));
        let says = |from, to| match land(&project, from, to) {
            Landing::Refused(why) => why,
            other @ (Landing::Fits(_) | Landing::Beside(..)) => panic!("{other:?}"),
        };
        assert_eq!(says(end(q, "line"), end(q, "line")), "a run needs two different terminals");
        assert_eq!(says(end(q, "line"), end(q, "load")), "both ends would land on Q1");
        assert_eq!(
            says(end(q, "line"), end(b, "bond")),
            "Q1.line is on the side of any circuit, BUS1.bond on the grounding side; a run cannot join them"
        );
    }

    #[test]
    fn two_devices_in_different_circuits_are_not_joined() {
        let mut project = Project::default();
        let (a, b) = (put(&mut project, "Q1", breaker(), 0, 0), put(&mut project, "Q2", breaker(), 40, 0));
        let known = |e: RunEnd| Some(if e.block == a { Potential::Pv } else { Potential::Ac });
        let landing = landing(&project.circuit, end(a, "load"), end(b, "line"), known);
        assert_eq!(
            landing,
            Landing::Refused(
                "Q1.load is on the array side, Q2.line on the AC side; a run cannot join them".into()
            )
        );
    }

    #[test]
    fn a_taken_tap_gives_way_to_the_nearest_free_one() {
        let mut project = Project::default();
        let bar = put(&mut project, "BUS1", bus(3), 40, 0);
        let (q1, q2) = (put(&mut project, "Q1", breaker(), 0, 0), put(&mut project, "Q2", breaker(), 0, 8));
        join(&mut project, "W1", end(q1, "load"), end(bar, "tap2"));
        let free = land(&project, end(q2, "load"), end(bar, "tap2"));
        let Landing::Beside(on, why) = free else { panic!("{free:?}") };
        assert_ne!(on, end(bar, "tap2"));
        assert!(why.starts_with("BUS1.tap2 is taken by W1; the run takes BUS1.tap"), "{why}");
        let refused = land(&project, end(q2, "line"), end(q1, "load"));
        assert!(matches!(refused, Landing::Refused(why) if why.contains("taken by W1")));
    }

    #[test]
    fn a_new_run_is_made_like_the_newest_of_its_circuit() {
        let mut project = Project::default();
        let (a, b) = (put(&mut project, "Q1", breaker(), 0, 0), put(&mut project, "Q2", breaker(), 40, 0));
        let c = put(&mut project, "Q3", breaker(), 80, 0);
        let step = draw(&project, end(a, "load"), end(b, "line")).unwrap();
        make(&mut project, step);
        let mut first = project.circuit.run_by_tag("W1").unwrap().clone();
        if let Some(conductor) = &mut first.conductor {
            conductor.size = ConductorSize::Awg(-3);
            conductor.length = Meters::new(77.0);
        }
        apply(&mut project, Edit::SetRun(Box::new(first))).unwrap();
        let step = draw(&project, end(b, "load"), end(c, "line")).unwrap();
        make(&mut project, step);
        let second = project.circuit.run_by_tag("W2").unwrap().conductor.clone().unwrap();
        assert_eq!((second.size, second.length), (ConductorSize::Awg(-3), Meters::from_feet(10.0)));
    }
}
