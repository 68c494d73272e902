//! Going on from a terminal: a block that fits it, put on the sheet and wired in one step.

use super::{Labeled, adding, wiring};
use lineside_core::circuit::{BlockId, Circuit, GridPoint, Potential, RunEnd, TerminalName};
use lineside_core::edit::{Edit, apply};
use lineside_core::kinds::Equipment;
use lineside_core::project::{Project, StockItem};
use lineside_drawing::placement;

/// How far from the terminal a block is put when nobody has said where, in steps.
const AWAY: i32 = 8;

/// The terminals of a piece of equipment on which a run from another terminal may land, those of the same circuit
/// first. `known` is the circuit in which the other turns out to be.
pub fn fitting(
    circuit: &Circuit,
    from: RunEnd,
    equipment: &Equipment,
    known: Option<Potential>,
) -> Vec<TerminalName> {
    let Some(own) = wiring::potential(circuit, from) else { return Vec::new() };
    let here = if own == Potential::Any { known.unwrap_or(own) } else { own };
    let mut fitting: Vec<(bool, TerminalName)> = equipment
        .terminals()
        .into_iter()
        .filter(|terminal| here.fits(terminal.potential))
        .map(|terminal| (terminal.potential != here, terminal.name))
        .collect();
    // A stable order: what belongs to the circuit by its own account goes before what takes any.
    fitting.sort_by_key(|(other, _)| *other);
    let best = fitting.first().map(|(other, _)| *other);
    fitting.into_iter().filter(|(other, _)| Some(*other) == best).map(|(_, name)| name).collect()
}

/// Puts an item on the sheet so that a run from a terminal lands on it, and draws the run. `at` is where the run ends;
/// a little way off, clear of other blocks, when it is `None`. Says why when it cannot be done.
pub fn with_item(
    project: &Project,
    from: RunEnd,
    item: &StockItem,
    at: Option<GridPoint>,
    known: Option<Potential>,
) -> Result<(Labeled, BlockId), String> {
    let circuit = &project.circuit;
    let fits = fitting(circuit, from, &item.equipment, known);
    if fits.is_empty() {
        return Err(format!(
            "{} has no terminal for a run from {}",
            super::one(item.equipment.kind()),
            circuit.end_name(from)
        ));
    }
    let block = circuit.block(from.block).ok_or("the block is not there any more")?;
    let (start, facing) = placement::terminal_at(block, from.terminal)
        .ok_or_else(|| format!("{} is not there any more", circuit.end_name(from)))?;
    let (dx, dy) = facing.step();
    let aim = at.unwrap_or_else(|| start.moved(dx * AWAY, dy * AWAY));
    let refused = |refusal: lineside_core::edit::Refusal| refusal.to_string();
    let (added, id) = adding::add(project, item, aim).map_err(refused)?;
    let mut trial = project.clone();
    apply(&mut trial, added.edit.clone()).map_err(refused)?;
    // Of the terminals that fit, the one that looks at where the run comes from.
    let placed = trial.circuit.block(id).ok_or("the block could not be put on the sheet")?;
    let nearest = fits
        .iter()
        .filter_map(|name| Some((*name, placement::terminal_at(placed, *name)?.0)))
        .min_by_key(|(_, pin)| pin.x.abs_diff(start.x).saturating_add(pin.y.abs_diff(start.y)));
    let (terminal, pin) = nearest.ok_or("the block has no such terminal")?;
    let mut by = (aim.x - pin.x, aim.y - pin.y);
    if at.is_none() {
        by = clear(circuit, &trial.circuit, id, by);
    }
    let Edit::InsertBlock(mut new) = added.edit else { return Err("the block could not be made".to_owned()) };
    new.at = new.at.moved(by.0, by.1);
    let middle = adding::middle_of(&new);
    new.place = super::place_at(circuit, middle);
    let tag = new.tag.clone();
    let insertion = Edit::InsertBlock(new);
    let mut trial = project.clone();
    apply(&mut trial, insertion.clone()).map_err(refused)?;
    let run = wiring::draw(&trial, from, RunEnd { block: id, terminal }).map_err(refused)?;
    let label = format!("add {tag} to {}", circuit.end_name(from));
    Ok((Labeled::new(label, Edit::Batch(vec![insertion, run.edit])), id))
}

/// The shift that puts a block where it was meant to go, or below, where nothing stands.
fn clear(circuit: &Circuit, with_it: &Circuit, id: BlockId, by: (i32, i32)) -> (i32, i32) {
    /// How far below it is tried next, in steps.
    const BELOW: i32 = 2;
    let Some(block) = with_it.block(id) else { return by };
    let area = placement::bounds(block).grown(1);
    let taken = |(dx, dy): (i32, i32)| {
        let shifted =
            lineside_drawing::geometry::GridArea { min: area.min.moved(dx, dy), max: area.max.moved(dx, dy) };
        circuit.blocks().any(|other| placement::bounds(other).touches(shifted))
    };
    (0..60).map(|n| (by.0, by.1 + n * BELOW)).find(|by| !taken(*by)).unwrap_or(by)
}

#[cfg(test)]
mod tests {
    use super::super::samples::{breaker, bus, end, item, put};
    use super::*;

    fn names(list: &[TerminalName]) -> Vec<String> {
        list.iter().map(ToString::to_string).collect()
    }

    #[test]
    fn only_terminals_of_the_circuit_fit() {
        let mut project = Project::default();
        let s = put(&mut project, "S1", item("Module string, 400 W modules").equipment, 0, 0);
        let from = end(s, "out");
        let fits = |name: &str| names(&fitting(&project.circuit, from, &item(name).equipment, None));
        assert_eq!(fits("Tracking controller, 150 V in, 60 A out"), ["pv"]);
        assert_eq!(fits("DC breaker, 60 A, 125 V"), ["line", "load"]);
        assert!(fits("Class T fuse, bolted, 200 A, 125 V DC").len() == 2);
        assert!(fits("AC panel, 120 V, 60 A, without main").is_empty());
    }

    #[test]
    fn where_nothing_tells_the_circuit_what_is_known_decides() {
        let mut project = Project::default();
        let q = put(&mut project, "Q1", breaker(), 0, 0);
        let controller = item("Tracking controller, 150 V in, 60 A out").equipment;
        let fits = |known| names(&fitting(&project.circuit, end(q, "load"), &controller, known));
        assert_eq!(fits(Some(Potential::Battery)), ["battery"]);
        assert_eq!(fits(Some(Potential::Pv)), ["pv"]);
        assert_eq!(fits(Some(Potential::Ac)), Vec::<String>::new());
        assert!(fits(None).len() >= 2);
    }

    #[test]
    fn a_block_is_placed_and_wired_in_one_step_and_undo_takes_both_away() {
        let mut project = Project::default();
        let s = put(&mut project, "S1", item("Module string, 400 W modules").equipment, 0, 0);
        let before = project.clone();
        let breaker = item("DC breaker, 20 A, 150 V");
        let at = GridPoint::new(30, 3);
        let (step, id) = with_item(&project, end(s, "out"), &breaker, Some(at), None).unwrap();
        assert_eq!(step.label, "add Q1 to S1.out");
        let undo = apply(&mut project, step.edit).unwrap();
        let run = project.circuit.run_by_tag("W1").unwrap();
        assert_eq!((run.from, run.to), (end(s, "out"), end(id, "line")));
        let block = project.circuit.block(id).unwrap();
        assert_eq!(placement::terminal_at(block, run.to.terminal).unwrap().0, at);
        apply(&mut project, undo).unwrap();
        assert_eq!(project, before);
    }

    #[test]
    fn without_a_point_it_stands_clear_of_other_blocks() {
        let mut project = Project::default();
        let a = put(&mut project, "Q1", breaker(), 0, 0);
        put(&mut project, "BUS9", bus(8), 10, 0);
        let breaker = item("DC breaker, 20 A, 150 V");
        let (step, id) = with_item(&project, end(a, "load"), &breaker, None, None).unwrap();
        apply(&mut project, step.edit).unwrap();
        let own = placement::bounds(project.circuit.block(id).unwrap());
        let others = project.circuit.blocks().filter(|block| block.id != id);
        assert!(others.into_iter().all(|other| !placement::bounds(other).touches(own)));
        let panel = item("AC panel, 120 V, 60 A, without main");
        let s = put(&mut project, "S1", item("Module string, 400 W modules").equipment, 0, 40);
        let refused = with_item(&project, end(s, "out"), &panel, None, None).unwrap_err();
        assert_eq!(refused, "an AC panel has no terminal for a run from S1.out");
    }
}
