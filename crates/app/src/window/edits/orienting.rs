//! Turning and mirroring blocks, each about the middle of its own symbol.

use super::moving::stand_of;
use super::{Labeled, names_of};
use lineside_core::circuit::{BlockId, Circuit, Orientation};
use lineside_core::edit::{Edit, Stand};
use std::collections::BTreeSet;

/// A quarter turn clockwise.
pub fn rotate(circuit: &Circuit, blocks: &BTreeSet<BlockId>) -> Labeled {
    each(circuit, blocks, "rotate", |now| Orientation { turn: now.turn.next(), ..now })
}

/// Left and right exchanged, as seen on the sheet.
pub fn flip(circuit: &Circuit, blocks: &BTreeSet<BlockId>) -> Labeled {
    use lineside_core::circuit::Turn;
    each(circuit, blocks, "flip", |now| {
        // The symbol is mirrored before it is turned, so on its side a mirrored symbol needs half a turn more.
        let turn = match now.turn {
            Turn::Quarter => Turn::ThreeQuarters,
            Turn::ThreeQuarters => Turn::Quarter,
            Turn::None | Turn::Half => now.turn,
        };
        Orientation { turn, mirror: now.mirror.flipped() }
    })
}

fn each(
    circuit: &Circuit,
    blocks: &BTreeSet<BlockId>,
    verb: &str,
    turned: impl Fn(Orientation) -> Orientation,
) -> Labeled {
    let edits = blocks
        .iter()
        .filter_map(|id| circuit.block(*id))
        .map(|block| {
            Edit::SetStand(block.id, Stand { orientation: turned(block.orientation), ..stand_of(block) })
        })
        .collect();
    Labeled::new(format!("{verb} {}", names_of(circuit, blocks)), Edit::Batch(edits))
}

#[cfg(test)]
mod tests {
    use super::super::samples::{breaker, make, put};
    use super::*;
    use lineside_core::project::Project;
    use lineside_drawing::placement;

    fn line_end(project: &Project, id: BlockId) -> (i32, i32) {
        let block = project.circuit.block(id).unwrap();
        let pin = placement::terminals(block).into_iter().find(|pin| pin.name.stem() == "line").unwrap();
        (pin.at.x, pin.at.y)
    }

    #[test]
    fn four_quarters_and_two_flips_change_nothing() {
        let mut project = Project::default();
        let id = put(&mut project, "Q1", breaker(), 0, 0);
        let before = project.clone();
        let blocks = BTreeSet::from([id]);
        for _ in 0..4 {
            let step = rotate(&project.circuit, &blocks);
            make(&mut project, step);
        }
        for _ in 0..2 {
            let step = flip(&project.circuit, &blocks);
            make(&mut project, step);
        }
        assert_eq!(project, before);
    }

    #[test]
    fn a_flip_exchanges_left_and_right_as_seen() {
        let mut project = Project::default();
        let id = put(&mut project, "Q1", breaker(), 0, 0);
        let blocks = BTreeSet::from([id]);
        assert_eq!(line_end(&project, id), (0, 1));
        let step = flip(&project.circuit, &blocks);
        make(&mut project, step);
        assert_eq!(line_end(&project, id), (4, 1));
        // On its side, the line terminal is above or below, and a flip must leave it there.
        let step = rotate(&project.circuit, &blocks);
        make(&mut project, step);
        let upright = line_end(&project, id);
        let step = flip(&project.circuit, &blocks);
        make(&mut project, step);
        assert_eq!(line_end(&project, id), upright);
    }
}
