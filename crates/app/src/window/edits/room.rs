//! Where on the sheet there is room: for what is put there without a pointer.

use lineside_core::circuit::{Circuit, GridPoint};
use lineside_drawing::geometry::GridArea;
use lineside_drawing::placement;
use lineside_drawing::route::Routes;

/// Room kept between what is put there and what stands beside it, in steps.
const APART: i32 = 3;
/// How far about the wished spot it is looked for, in steps, and in what strides.
const FARTHEST: i32 = 160;
const STRIDE: i32 = 4;

/// The middle of an area of that size in which nothing stands and no run passes, and over whose edges no frame of a place
/// reaches; the one nearest to a spot. Where there is none, below everything.
pub fn room_for(circuit: &Circuit, routes: &Routes, size: GridPoint, near: GridPoint) -> GridPoint {
    let taken = Taken::of(circuit, routes);
    let at = |(dx, dy): (i32, i32)| near.moved(dx, dy);
    let mut offsets: Vec<(i32, i32)> = (-FARTHEST / STRIDE..=FARTHEST / STRIDE)
        .flat_map(|x| (-FARTHEST / STRIDE..=FARTHEST / STRIDE).map(move |y| (x * STRIDE, y * STRIDE)))
        .collect();
    offsets.sort_by_key(|(dx, dy)| (dx.abs().max(dy.abs()), *dy, *dx));
    offsets
        .into_iter()
        .map(at)
        .find(|middle| taken.leaves(area_about(*middle, size).grown(APART)))
        .unwrap_or_else(|| taken.below(size, near))
}

fn area_about(middle: GridPoint, size: GridPoint) -> GridArea {
    let min = middle.moved(-size.x / 2, -size.y / 2);
    GridArea { min, max: min.moved(size.x, size.y) }
}

/// What stands on the sheet, as areas.
struct Taken {
    things: Vec<GridArea>,
    frames: Vec<GridArea>,
}

impl Taken {
    fn of(circuit: &Circuit, routes: &Routes) -> Self {
        let mut things: Vec<GridArea> = circuit.blocks().map(placement::bounds).collect();
        for (_, corners) in routes.iter() {
            let pieces = corners.iter().zip(corners.iter().skip(1));
            things.extend(pieces.map(|(a, b)| GridArea::of(*a, *b)));
        }
        let frame = |at: GridPoint, size: GridPoint| GridArea { min: at, max: at.moved(size.x, size.y) };
        let frames = circuit.places().map(|place| frame(place.at, place.size)).collect();
        Self { things, frames }
    }

    /// Whether an area is free, and wholly within or wholly outside of every frame.
    fn leaves(&self, area: GridArea) -> bool {
        let crossed =
            |frame: &GridArea| frame.touches(area) && !(frame.contains(area.min) && frame.contains(area.max));
        !self.things.iter().any(|thing| thing.touches(area)) && !self.frames.iter().any(crossed)
    }

    fn below(&self, size: GridPoint, near: GridPoint) -> GridPoint {
        let lowest = self.things.iter().chain(&self.frames).map(|area| area.max.y).max();
        GridPoint::new(near.x, lowest.map_or(near.y, |lowest| lowest + APART + size.y / 2 + 1))
    }
}

#[cfg(test)]
mod tests {
    use super::super::samples::{breaker, put};
    use super::*;
    use lineside_core::project::Project;

    #[test]
    fn what_is_put_down_lies_on_nothing() {
        let mut project = Project::default();
        for n in 0..6 {
            put(&mut project, &format!("Q{n}"), breaker(), 10 * n, 0);
        }
        let routes = Routes::new(&project.circuit);
        let size = GridPoint::new(30, 10);
        let middle = room_for(&project.circuit, &routes, size, GridPoint::new(25, 1));
        let area = area_about(middle, size);
        assert!(project.circuit.blocks().all(|block| !placement::bounds(block).touches(area)), "{area:?}");
        // Not farther than needed: half of its height, the breakers' 2 steps, and what is kept apart.
        assert!((middle.y - 1).abs() <= 5 + 2 + APART + STRIDE, "{middle:?}");
        let empty = Project::default();
        let routes = Routes::new(&empty.circuit);
        assert_eq!(room_for(&empty.circuit, &routes, size, GridPoint::new(7, 7)), GridPoint::new(7, 7));
    }
}
