//! Copying blocks as text and putting them back, so that they can go from one window to another.
//!
//! What is copied is a small project file of its own, so that reading it is checked as opening a file is.

use super::{Fresh, Labeled, names_of, place_at};
use lineside_core::circuit::{Block, BlockId, Circuit, GridPoint, Run, RunEnd};
use lineside_core::edit::{Edit, Refusal, apply};
use lineside_core::file;
use lineside_core::project::Project;
use lineside_drawing::geometry::GridArea;
use lineside_drawing::route::Routes;
use std::collections::{BTreeMap, BTreeSet};

/// The blocks and the runs between them, as text. `None` when there is nothing to copy.
pub fn to_text(project: &Project, blocks: &BTreeSet<BlockId>) -> Option<String> {
    let circuit = &project.circuit;
    let mut copy = Project { units: project.units, ..Project::default() };
    copy.title.system = format!("Copied: {}", names_of(circuit, blocks));
    let chosen = blocks
        .iter()
        .filter_map(|id| circuit.block(*id))
        .map(|block| Edit::InsertBlock(Box::new(Block { place: None, ..block.clone() })));
    let between = circuit
        .runs()
        .filter(|run| blocks.contains(&run.from.block) && blocks.contains(&run.to.block))
        .map(|run| Edit::InsertRun(Box::new(run.clone())));
    for edit in chosen.chain(between) {
        apply(&mut copy, edit).ok()?;
    }
    if copy.circuit.block_count() == 0 {
        return None;
    }
    file::write(&copy).ok()
}

/// The longest text that is read, in bytes: some 20,000 blocks.
const LONGEST: usize = 16 << 20;

/// What a text holds that was copied here or in another window, or why it is not to be pasted.
pub fn from_text(text: &str) -> Result<Circuit, String> {
    if text.trim().is_empty() {
        return Err("nothing has been copied yet".to_owned());
    }
    if text.len() > LONGEST {
        return Err("what was copied last is too long to be part of a sheet".to_owned());
    }
    if !text.contains("lineside:") {
        return Err("what was copied last holds no blocks".to_owned());
    }
    match file::read(text) {
        Ok(project) if project.circuit.block_count() > 0 => Ok(project.circuit),
        Ok(_) => Err("what was copied last holds no blocks".to_owned()),
        Err(fault) => {
            let first = fault.to_string();
            let first = first.lines().next().unwrap_or_default();
            Err(format!("what was copied last was copied from a sheet, but is damaged: {first}"))
        }
    }
}

/// Puts copied blocks on the sheet with their middle at a point, with ids and tags of their own.
pub fn paste(
    project: &Project,
    copied: &Circuit,
    middle: GridPoint,
) -> Result<(Labeled, Vec<BlockId>), Refusal> {
    let from = middle_of(copied);
    put(project, copied, middle.x.saturating_sub(from.x), middle.y.saturating_sub(from.y), "paste")
}

/// Puts a second one of each block beside it, where nothing stands. `routes` are the ways of the runs.
pub fn duplicate(
    project: &Project,
    routes: &Routes,
    blocks: &BTreeSet<BlockId>,
) -> Result<(Labeled, Vec<BlockId>), Refusal> {
    let copied = to_text(project, blocks).and_then(|text| from_text(&text).ok()).unwrap_or_default();
    let area =
        bounds_of(&copied).unwrap_or(GridArea { min: GridPoint::default(), max: GridPoint::default() });
    let (from, size) = (middle_of(&copied), GridPoint::new(area.max.x - area.min.x, area.max.y - area.min.y));
    let to = super::room::room_for(&project.circuit, routes, size, from);
    put(project, &copied, to.x - from.x, to.y - from.y, "duplicate")
}

fn put(
    project: &Project,
    copied: &Circuit,
    dx: i32,
    dy: i32,
    verb: &str,
) -> Result<(Labeled, Vec<BlockId>), Refusal> {
    let mut fresh = Fresh::new(project);
    let mut edits = Vec::new();
    let mut new_ids = BTreeMap::new();
    for block in copied.blocks() {
        let id = fresh.block().ok_or(Refusal::NoIdsLeft)?;
        new_ids.insert(block.id, id);
        let middle = super::adding::middle_of(block).moved(dx, dy);
        edits.push(Edit::InsertBlock(Box::new(Block {
            id,
            tag: fresh.tag_like(&block.tag),
            at: block.at.moved(dx, dy),
            place: place_at(&project.circuit, middle),
            ..block.clone()
        })));
    }
    for run in copied.runs() {
        let on = |end: RunEnd| Some(RunEnd { block: *new_ids.get(&end.block)?, ..end });
        let (Some(from), Some(to)) = (on(run.from), on(run.to)) else { continue };
        edits.push(Edit::InsertRun(Box::new(Run {
            id: fresh.run().ok_or(Refusal::NoIdsLeft)?,
            tag: fresh.tag_like(&run.tag),
            from,
            to,
            bends: run.bends.iter().map(|bend| bend.moved(dx, dy)).collect(),
            ..run.clone()
        })));
    }
    let ids: Vec<BlockId> = new_ids.into_values().collect();
    let what = match ids.len() {
        1 => copied.blocks().next().map_or_else(String::new, |block| block.tag.clone()),
        many => format!("{many} blocks"),
    };
    Ok((Labeled::new(format!("{verb} {what}"), Edit::Batch(edits)), ids))
}

fn bounds_of(circuit: &Circuit) -> Option<GridArea> {
    circuit.blocks().map(lineside_drawing::placement::bounds).reduce(GridArea::union)
}

fn middle_of(circuit: &Circuit) -> GridPoint {
    bounds_of(circuit).map_or_else(GridPoint::default, |area| {
        GridPoint::new(i32::midpoint(area.min.x, area.max.x), i32::midpoint(area.min.y, area.max.y))
    })
}

#[cfg(test)]
mod tests {
    use super::super::samples::{breaker, end, join, make, put};
    use super::*;

    fn pair() -> (Project, BTreeSet<BlockId>) {
        let mut project = Project::default();
        let (a, b) = (put(&mut project, "Q1", breaker(), 0, 0), put(&mut project, "Q2", breaker(), 40, 0));
        join(&mut project, "W1", end(a, "load"), end(b, "line"));
        (project, BTreeSet::from([a, b]))
    }

    #[test]
    fn copied_blocks_come_back_with_their_runs_and_tags_of_their_own() {
        let (mut project, both) = pair();
        let text = to_text(&project, &both).unwrap();
        let copied = from_text(&text).unwrap();
        let (step, ids) = paste(&project, &copied, GridPoint::new(100, 50)).unwrap();
        assert_eq!((step.label.as_str(), ids.len()), ("paste 2 blocks", 2));
        apply(&mut project, step.edit).unwrap();
        let tags: Vec<&str> = project.circuit.blocks().map(|block| block.tag.as_str()).collect();
        assert_eq!(tags, ["Q1", "Q2", "Q3", "Q4"]);
        let run = project.circuit.run_by_tag("W2").unwrap();
        assert_eq!(
            (project.circuit.end_name(run.from), project.circuit.end_name(run.to)),
            ("Q3.load".into(), "Q4.line".into())
        );
        // Both symbols together span 44 by 2 steps; their middle was (22, 1) and is (100, 50).
        assert_eq!(project.circuit.block_by_tag("Q3").unwrap().at, GridPoint::new(78, 49));
    }

    #[test]
    fn into_another_project_tags_stay_as_they_are_if_they_are_free() {
        let (project, both) = pair();
        let copied = from_text(&to_text(&project, &both).unwrap()).unwrap();
        let mut other = Project::default();
        let step = paste(&other, &copied, GridPoint::default()).unwrap().0;
        make(&mut other, step);
        assert!(other.circuit.block_by_tag("Q1").is_some() && other.circuit.run_by_tag("W1").is_some());
    }

    #[test]
    fn other_text_is_left_alone() {
        for text in ["", "hello", "( lineside: 1, )", "([", "\u{0}"] {
            assert!(from_text(text).is_err(), "{text}");
        }
        assert_eq!(to_text(&Project::default(), &BTreeSet::new()), None);
    }

    #[test]
    fn a_duplicate_stands_aside_with_the_next_tag() {
        let (mut project, both) = pair();
        let one = BTreeSet::from_iter(both.first().copied());
        let routes = Routes::new(&project.circuit);
        let (step, ids) = duplicate(&project, &routes, &one).unwrap();
        apply(&mut project, step.edit).unwrap();
        let block = project.circuit.block(ids[0]).unwrap();
        assert_eq!(block.tag, "Q3");
        // A breaker is 2 steps high, 3 are kept apart: of strides of 4, the second clears it.
        assert_eq!(block.at.y.abs(), 8);
        assert_eq!(project.circuit.run_count(), 1);
    }

    #[test]
    fn duplicates_lie_on_nothing() {
        let mut project = Project::default();
        for (n, y) in [0, 8, 16, 24].into_iter().enumerate() {
            put(&mut project, &format!("Q{n}"), breaker(), 0, y);
        }
        let first: BTreeSet<BlockId> = project.circuit.blocks().map(|block| block.id).take(2).collect();
        let routes = Routes::new(&project.circuit);
        let (step, ids) = duplicate(&project, &routes, &first).unwrap();
        apply(&mut project, step.edit).unwrap();
        let bounds = |block| lineside_drawing::placement::bounds(block);
        let copies = project.circuit.blocks().filter(|block| ids.contains(&block.id));
        for copy in copies {
            let mut others = project.circuit.blocks().filter(|other| other.id != copy.id);
            assert!(others.all(|other| !bounds(other).touches(bounds(copy))), "{}", copy.tag);
        }
    }
}
