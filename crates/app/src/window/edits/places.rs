//! Places: adding them, moving them with what stands in them, and pulling their corners.

use super::{Fresh, Labeled, moving, place_at};
use lineside_core::circuit::{BlockId, Circuit, GridPoint, Place, PlaceFacts, PlaceId, PlaceKind};
use lineside_core::edit::{Edit, Refusal, Stand};
use lineside_core::project::Project;
use lineside_drawing::geometry::GridArea;
use lineside_drawing::placement;
use std::collections::BTreeSet;

/// Smallest frame in which anything could stand, in steps.
const SMALLEST: i32 = 6;
/// Room between a frame and what it is drawn round.
const ROOM: i32 = 4;
/// Width and height of a place that is drawn round nothing.
const USUAL: GridPoint = GridPoint::new(40, 28);

/// Adds a place round blocks, or of the usual size about a point.
pub fn add(
    project: &Project,
    around: &BTreeSet<BlockId>,
    middle: GridPoint,
) -> Result<(Labeled, PlaceId), Refusal> {
    let circuit = &project.circuit;
    let blocks: Vec<_> = around.iter().filter_map(|id| circuit.block(*id)).collect();
    let area = blocks.iter().map(|block| placement::bounds(block)).reduce(GridArea::union).map_or(
        GridArea {
            min: middle.moved(-USUAL.x / 2, -USUAL.y / 2),
            max: middle.moved(USUAL.x / 2, USUAL.y / 2),
        },
        |area| area.grown(ROOM),
    );
    let outer = place_at(circuit, area.min)
        .filter(|id| circuit.place(*id).is_some_and(|place| place.contains(area.max)));
    let id = Fresh::new(project).place().ok_or(Refusal::NoIdsLeft)?;
    let place = Place {
        id,
        name: free_name(circuit, if outer.is_some() { "Enclosure" } else { "Place" }),
        kind: if outer.is_some() { PlaceKind::Enclosure } else { PlaceKind::Location },
        within: outer,
        at: area.min,
        size: GridPoint::new(area.max.x - area.min.x, area.max.y - area.min.y),
        facts: PlaceFacts::unknown(),
    };
    let label = format!("add {}", place.name);
    let mut edits = vec![Edit::InsertPlace(Box::new(place))];
    edits.extend(
        blocks
            .iter()
            .map(|block| Edit::SetStand(block.id, Stand { place: Some(id), ..moving::stand_of(block) })),
    );
    Ok((Labeled::new(label, Edit::Batch(edits)), id))
}

fn free_name(circuit: &Circuit, word: &str) -> String {
    (1..=circuit.places().count() + 1)
        .map(|n| format!("{word} {n}"))
        .find(|name| circuit.place_by_name(name).is_none())
        .unwrap_or_else(|| word.to_owned())
}

/// A place that is being moved, with everything in it as it stood.
#[derive(Clone, Debug, PartialEq)]
pub struct Moving {
    place: Place,
    within: Vec<Place>,
    blocks: Vec<(BlockId, Stand)>,
}

/// A place with everything in it, to be moved from where it stands.
pub fn to_move(circuit: &Circuit, id: PlaceId) -> Option<Moving> {
    let place = circuit.place(id)?.clone();
    let inside = |place: &Place| {
        let mut outer = place.within;
        for _ in 0..circuit.places().count() {
            match outer {
                Some(here) if here == id => return true,
                Some(here) => outer = circuit.place(here).and_then(|place| place.within),
                None => return false,
            }
        }
        false
    };
    let within = circuit.places().filter(|place| inside(place)).cloned().collect();
    let blocks = circuit
        .blocks()
        .filter(|block| moving::stands_within(circuit, block, id))
        .map(|block| (block.id, moving::stand_of(block)))
        .collect();
    Some(Moving { place, within, blocks })
}

/// Moves a place and everything in it by whole steps from where it stood.
pub fn move_by(moving: &Moving, dx: i32, dy: i32) -> Labeled {
    let shifted =
        |place: &Place| Edit::SetPlace(Box::new(Place { at: place.at.moved(dx, dy), ..place.clone() }));
    let mut edits = vec![shifted(&moving.place)];
    edits.extend(moving.within.iter().map(shifted));
    edits.extend(
        moving
            .blocks
            .iter()
            .map(|(id, stand)| Edit::SetStand(*id, Stand { at: stand.at.moved(dx, dy), ..*stand })),
    );
    Labeled::new(format!("move {}", moving.place.name), Edit::Batch(edits))
}

/// A corner of a frame.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Corner {
    /// Upper left.
    UpperLeft,
    /// Upper right.
    UpperRight,
    /// Lower left.
    LowerLeft,
    /// Lower right.
    LowerRight,
}

impl Corner {
    /// Every corner.
    pub const ALL: [Self; 4] = [Self::UpperLeft, Self::UpperRight, Self::LowerLeft, Self::LowerRight];

    /// Where it is.
    pub const fn of(self, place: &Place) -> GridPoint {
        let (x, y) = (place.at.x, place.at.y);
        let (right, bottom) = (x.saturating_add(place.size.x), y.saturating_add(place.size.y));
        match self {
            Self::UpperLeft => GridPoint::new(x, y),
            Self::UpperRight => GridPoint::new(right, y),
            Self::LowerLeft => GridPoint::new(x, bottom),
            Self::LowerRight => GridPoint::new(right, bottom),
        }
    }
    /// As people read it.
    pub const fn label(self) -> &'static str {
        match self {
            Self::UpperLeft => "upper left corner",
            Self::UpperRight => "upper right corner",
            Self::LowerLeft => "lower left corner",
            Self::LowerRight => "lower right corner",
        }
    }
    const fn opposite(self) -> Self {
        match self {
            Self::UpperLeft => Self::LowerRight,
            Self::UpperRight => Self::LowerLeft,
            Self::LowerLeft => Self::UpperRight,
            Self::LowerRight => Self::UpperLeft,
        }
    }
}

/// Pulls a corner of a place to a point. Blocks whose middles come to lie in the frame, or out of it, belong
/// to it no longer or from now on.
pub fn pull_corner(circuit: &Circuit, place: &Place, corner: Corner, to: GridPoint) -> Labeled {
    let still = corner.opposite().of(place);
    let left = matches!(corner, Corner::UpperLeft | Corner::LowerLeft);
    let upper = matches!(corner, Corner::UpperLeft | Corner::UpperRight);
    let x = if left { to.x.min(still.x - SMALLEST) } else { to.x.max(still.x + SMALLEST) };
    let y = if upper { to.y.min(still.y - SMALLEST) } else { to.y.max(still.y + SMALLEST) };
    let area = GridArea::of(GridPoint::new(x, y), still);
    let pulled = Place {
        at: area.min,
        size: GridPoint::new(area.max.x - area.min.x, area.max.y - area.min.y),
        ..place.clone()
    };
    let mut edits = vec![Edit::SetPlace(Box::new(pulled.clone()))];
    for block in circuit.blocks() {
        let inside = pulled.contains(super::adding::middle_of(block));
        let place = match block.place {
            Some(id) if id == place.id && !inside => place.within,
            None if inside => Some(place.id),
            id if inside && id == place.within => Some(place.id),
            unchanged => unchanged,
        };
        edits.push(Edit::SetStand(block.id, Stand { place, ..moving::stand_of(block) }));
    }
    Labeled::new(format!("resize {}", place.name), Edit::Batch(edits))
}

#[cfg(test)]
mod tests {
    use super::super::samples::{breaker, put};
    use super::*;
    use lineside_core::edit::apply;

    fn around(project: &mut Project, blocks: &[BlockId]) -> PlaceId {
        let (step, id) = add(project, &blocks.iter().copied().collect(), GridPoint::new(100, 100)).unwrap();
        apply(project, step.edit).unwrap();
        id
    }

    #[test]
    fn a_place_is_drawn_round_what_is_selected() {
        let mut project = Project::default();
        let q = put(&mut project, "Q1", breaker(), 10, 10);
        let id = around(&mut project, &[q]);
        let place = project.circuit.place(id).unwrap();
        // The symbol is 4 by 2 steps; 4 steps of room on each side.
        assert_eq!((place.at, place.size), (GridPoint::new(6, 6), GridPoint::new(12, 10)));
        assert_eq!((place.name.as_str(), place.kind), ("Place 1", PlaceKind::Location));
        assert_eq!(project.circuit.block(q).unwrap().place, Some(id));
        let inner = around(&mut project, &[]);
        assert_eq!(project.circuit.place(inner).unwrap().name, "Place 2");
    }

    #[test]
    fn a_place_moves_with_what_stands_in_it() {
        let mut project = Project::default();
        let q = put(&mut project, "Q1", breaker(), 10, 10);
        let id = around(&mut project, &[q]);
        let moving = to_move(&project.circuit, id).unwrap();
        let undo = apply(&mut project, move_by(&moving, 5, -3).edit).unwrap();
        assert_eq!(project.circuit.place(id).unwrap().at, GridPoint::new(11, 3));
        assert_eq!(project.circuit.block(q).unwrap().at, GridPoint::new(15, 7));
        apply(&mut project, undo).unwrap();
        assert_eq!(project.circuit.block(q).unwrap().at, GridPoint::new(10, 10));
    }

    #[test]
    fn a_corner_cannot_pass_the_opposite_one() {
        let mut project = Project::default();
        let q = put(&mut project, "Q1", breaker(), 10, 10);
        let id = around(&mut project, &[q]);
        let place = project.circuit.place(id).unwrap().clone();
        let pulled = pull_corner(&project.circuit, &place, Corner::LowerRight, GridPoint::new(-50, -50));
        apply(&mut project, pulled.edit).unwrap();
        let place = project.circuit.place(id).unwrap();
        assert_eq!((place.at, place.size), (GridPoint::new(6, 6), GridPoint::new(6, 6)));
        // The middle of the breaker, (12, 11), lies on the edge of the smaller frame and still belongs to it.
        assert_eq!(project.circuit.block(q).unwrap().place, Some(id));
        let pulled = pull_corner(&project.circuit, &place.clone(), Corner::UpperLeft, GridPoint::new(0, 0));
        apply(&mut project, pulled.edit).unwrap();
        assert_eq!(project.circuit.place(id).unwrap().size, GridPoint::new(12, 12));
    }
}
