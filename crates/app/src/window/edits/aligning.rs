//! Lining blocks up by an edge or by their middles, and spacing them evenly.
//!
//! What would lay one symbol on another is refused, for then neither could be read.

use super::{Labeled, adding, moving, names_of, place_at};
use lineside_core::circuit::{Block, BlockId, Circuit, GridPoint};
use lineside_core::edit::{Edit, Stand};
use lineside_drawing::geometry::GridArea;
use lineside_drawing::placement;
use std::collections::BTreeSet;

/// By what blocks are lined up.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Line {
    /// Left edges, on the leftmost.
    Left,
    /// Right edges, on the rightmost.
    Right,
    /// Upper edges, on the highest.
    Top,
    /// Lower edges, on the lowest.
    Bottom,
    /// Middles, side by side on one level.
    Level,
    /// Middles, one above the other.
    Upright,
}

/// Along what blocks are spaced.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Axis {
    /// From left to right.
    Across,
    /// From top to bottom.
    Down,
}

/// A block with the area of its symbol.
struct Piece<'a> {
    block: &'a Block,
    area: GridArea,
}

fn pieces<'a>(circuit: &'a Circuit, blocks: &BTreeSet<BlockId>) -> Vec<Piece<'a>> {
    let blocks = blocks.iter().filter_map(|id| circuit.block(*id));
    blocks.map(|block| Piece { block, area: placement::bounds(block) }).collect()
}

/// Lines blocks up. Says why when it cannot be done.
pub fn align(circuit: &Circuit, blocks: &BTreeSet<BlockId>, line: Line) -> Result<Labeled, String> {
    let pieces = pieces(circuit, blocks);
    if pieces.len() < 2 {
        return Err("select two or more blocks to line up".to_owned());
    }
    let whole = pieces
        .iter()
        .map(|piece| piece.area)
        .reduce(GridArea::union)
        .unwrap_or(GridArea { min: GridPoint::default(), max: GridPoint::default() });
    let by = |area: GridArea| match line {
        Line::Left => (whole.min.x - area.min.x, 0),
        Line::Right => (whole.max.x - area.max.x, 0),
        Line::Top => (0, whole.min.y - area.min.y),
        Line::Bottom => (0, whole.max.y - area.max.y),
        Line::Level => (0, i32::midpoint(whole.min.y, whole.max.y) - i32::midpoint(area.min.y, area.max.y)),
        Line::Upright => (i32::midpoint(whole.min.x, whole.max.x) - i32::midpoint(area.min.x, area.max.x), 0),
    };
    let moves: Vec<(i32, i32)> = pieces.iter().map(|piece| by(piece.area)).collect();
    let other = match line {
        Line::Left | Line::Right | Line::Upright => "line up their tops, or move them apart first",
        Line::Top | Line::Bottom | Line::Level => "line up their left edges, or move them apart first",
    };
    shift(circuit, &pieces, &moves, &format!("line up {}", names_of(circuit, blocks)), other)
}

/// Spaces blocks with equal gaps between the first and the last. Says why when it cannot be done.
pub fn distribute(circuit: &Circuit, blocks: &BTreeSet<BlockId>, axis: Axis) -> Result<Labeled, String> {
    let mut pieces = pieces(circuit, blocks);
    if pieces.len() < 3 {
        return Err("select three or more blocks to space evenly".to_owned());
    }
    let span = |area: GridArea| match axis {
        Axis::Across => (area.min.x, area.max.x),
        Axis::Down => (area.min.y, area.max.y),
    };
    pieces.sort_by_key(|piece| (span(piece.area), piece.block.id));
    let size = |piece: &Piece<'_>| {
        let (from, to) = span(piece.area);
        to - from
    };
    let begin = pieces.first().map_or(0, |piece| span(piece.area).0);
    let end = pieces.iter().map(|piece| span(piece.area).1).max().unwrap_or(begin);
    let gaps = i32::try_from(pieces.len()).unwrap_or(i32::MAX).saturating_sub(1).max(1);
    let room = end - begin - pieces.iter().map(size).sum::<i32>();
    if room < gaps {
        let first = pieces.first().map_or("", |piece| piece.block.tag.as_str());
        let last = pieces.last().map_or("", |piece| piece.block.tag.as_str());
        return Err(format!("there is no room for gaps between {first} and {last}; move them apart first"));
    }
    let mut before = 0;
    let mut moves = Vec::with_capacity(pieces.len());
    for (piece, index) in pieces.iter().zip(0..) {
        let at = begin + before + room * index / gaps;
        let by = at - span(piece.area).0;
        moves.push(match axis {
            Axis::Across => (by, 0),
            Axis::Down => (0, by),
        });
        before += size(piece);
    }
    let label = format!("space {}", names_of(circuit, blocks));
    shift(circuit, &pieces, &moves, &label, "move them apart first")
}

fn shift(
    circuit: &Circuit,
    pieces: &[Piece<'_>],
    moves: &[(i32, i32)],
    label: &str,
    instead: &str,
) -> Result<Labeled, String> {
    if moves.iter().all(|by| *by == (0, 0)) {
        return Err("they stand so already".to_owned());
    }
    let moved: Vec<(&Block, GridArea)> = pieces
        .iter()
        .zip(moves)
        .map(|(piece, (dx, dy))| {
            let shifted = |at: GridPoint| at.moved(*dx, *dy);
            (piece.block, GridArea { min: shifted(piece.area.min), max: shifted(piece.area.max) })
        })
        .collect();
    if let Some((one, other)) = covering(&moved) {
        return Err(format!("{} and {} would cover each other; {instead}", one.tag, other.tag));
    }
    let edits = pieces.iter().zip(moves).filter(|(_, by)| **by != (0, 0)).map(|(piece, (dx, dy))| {
        let middle = adding::middle_of(piece.block).moved(*dx, *dy);
        let stand = moving::stand_of(piece.block);
        let at = stand.at.moved(*dx, *dy);
        Edit::SetStand(piece.block.id, Stand { at, place: place_at(circuit, middle), ..stand })
    });
    Ok(Labeled::new(label, Edit::Batch(edits.collect())))
}

/// The first two of which one would lie on the other.
fn covering<'a>(moved: &[(&'a Block, GridArea)]) -> Option<(&'a Block, &'a Block)> {
    let mut order: Vec<&(&Block, GridArea)> = moved.iter().collect();
    order.sort_by_key(|(block, area)| (area.min.x, block.id));
    let overlap = |a: GridArea, b: GridArea| {
        a.min.x < b.max.x && b.min.x < a.max.x && a.min.y < b.max.y && b.min.y < a.max.y
    };
    order.iter().enumerate().find_map(|(index, (block, area))| {
        let near = order.iter().skip(index + 1).take_while(|(_, other)| other.min.x < area.max.x);
        let other = near.into_iter().find(|(_, other)| overlap(*area, *other))?;
        Some((*block, other.0))
    })
}

#[cfg(test)]
mod tests {
    use super::super::samples::{breaker, put};
    use super::*;
    use lineside_core::edit::apply;
    use lineside_core::project::Project;

    /// Three breakers, whose symbols are 4 by 2 steps, one below the other and each further to the right.
    fn stair() -> (Project, BTreeSet<BlockId>) {
        let mut project = Project::default();
        let ids = [("Q1", 0, 0), ("Q2", 10, 5), ("Q3", 25, 30)]
            .map(|(tag, x, y)| put(&mut project, tag, breaker(), x, y));
        (project, ids.into())
    }

    fn corners(project: &Project) -> Vec<(i32, i32)> {
        project.circuit.blocks().map(|block| (block.at.x, block.at.y)).collect()
    }

    #[test]
    fn blocks_are_lined_up_by_each_edge_and_come_back() {
        let (mut project, ids) = stair();
        let before = project.clone();
        for (line, expected) in [
            (Line::Left, [(0, 0), (0, 5), (0, 30)]),
            (Line::Right, [(25, 0), (25, 5), (25, 30)]),
            (Line::Top, [(0, 0), (10, 0), (25, 0)]),
            (Line::Bottom, [(0, 30), (10, 30), (25, 30)]),
            // The whole is 29 by 32 steps: its middle is at (14, 16), a symbol's at (2, 1).
            (Line::Level, [(0, 15), (10, 15), (25, 15)]),
            (Line::Upright, [(12, 0), (12, 5), (12, 30)]),
        ] {
            let step = align(&project.circuit, &ids, line).unwrap();
            assert_eq!(step.label, "line up 3 blocks");
            let undo = apply(&mut project, step.edit).unwrap();
            assert_eq!(corners(&project), expected, "{line:?}");
            apply(&mut project, undo).unwrap();
            assert_eq!(project, before);
        }
    }

    #[test]
    fn blocks_are_spaced_evenly_and_the_outer_ones_stay() {
        let (mut project, ids) = stair();
        let step = distribute(&project.circuit, &ids, Axis::Across).unwrap();
        apply(&mut project, step.edit).unwrap();
        // 29 steps less three symbols of 4 leave 17: gaps of 8 and 9.
        assert_eq!(corners(&project), [(0, 0), (12, 5), (25, 30)]);
        let step = distribute(&project.circuit, &ids, Axis::Down).unwrap();
        apply(&mut project, step.edit).unwrap();
        // 32 steps less three symbols of 2 leave 26: gaps of 13.
        assert_eq!(corners(&project), [(0, 0), (12, 15), (25, 30)]);
        let again = distribute(&project.circuit, &ids, Axis::Down).unwrap_err();
        assert_eq!(again, "they stand so already");
    }

    #[test]
    fn what_would_cover_something_is_refused() {
        let mut project = Project::default();
        let ids: BTreeSet<BlockId> = [("Q1", 0, 0), ("Q2", 10, 0), ("Q3", 12, 3)]
            .map(|(tag, x, y)| put(&mut project, tag, breaker(), x, y))
            .into();
        let refused = align(&project.circuit, &ids, Line::Left).unwrap_err();
        assert_eq!(refused, "Q1 and Q2 would cover each other; line up their tops, or move them apart first");
        let refused = distribute(&project.circuit, &ids, Axis::Down).unwrap_err();
        assert_eq!(refused, "there is no room for gaps between Q1 and Q3; move them apart first");
        let two = ids.iter().copied().take(2).collect();
        assert!(distribute(&project.circuit, &two, Axis::Across).unwrap_err().contains("three or more"));
        assert!(align(&project.circuit, &BTreeSet::new(), Line::Top).unwrap_err().contains("two or more"));
    }
}
