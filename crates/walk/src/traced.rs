//! The sheet of a step: live conductors in the ink of their zone, dead ones thin and gray, an arrow on every run in which
//! power flows, the larger the more of it.

use crate::Seen;
use lineside_core::circuit::RunId;
use lineside_core::units::Watts;
use lineside_drawing::display_list::{Group, Item, Layer, Shape, Subject};
use lineside_drawing::geometry::Point;
use lineside_drawing::pen::{Ink, Pen};
use lineside_drawing::points::Points;
use lineside_drawing::route::Routes;
use lineside_drawing::sheet::{Drawing, Look, sheet};
use lineside_study::flow::FlowDirection;
use lineside_study::{Studies, ZoneKind};
use std::collections::BTreeMap;

/// Arrows of the least and of the greatest flow, mm from tail to tip.
const SMALL: f32 = 2.0;
const LARGE: f32 = 4.6;
/// Runs with less power than this have no arrow.
const SHOWN: Watts = Watts::new(1.0);

/// Draws a step.
pub fn traced(seen: &Seen<'_>, look: &Look, routes: &Routes) -> Drawing {
    let (flow, studies) = (seen.flow, seen.studies);
    let mut look = look.clone();
    look.marks.clear();
    let mut flows = BTreeMap::new();
    for run in seen.project.circuit.runs() {
        let Some(it) = flow.run(&studies.network, run.id) else { continue };
        let dead = it.from.is_none() && it.to.is_none();
        if dead && !is_earth(studies, run.id) {
            look.inks.insert(run.id, Ink::Dead);
        }
        let watts = it.flow.power_in.max(-it.flow.power_in).max(it.flow.power_out.max(-it.flow.power_out));
        if watts > SHOWN && it.flow.direction() != FlowDirection::Still {
            flows.insert(run.id, (it.flow.direction(), watts));
        }
    }
    for block in seen.project.circuit.blocks().filter(|block| flow.is_dead(&studies.network, block.id)) {
        look.bars.insert(block.id, Ink::Dead);
    }
    let most = flows.values().map(|(_, watts)| *watts).fold(SHOWN, Watts::max);
    let mut drawing = sheet(seen.project, &look, routes);
    let mut arrows = Vec::new();
    for group in drawing.list.groups.iter().filter(|group| group.layer == Layer::Runs) {
        let Subject::Run(run) = group.subject else { continue };
        let Some((direction, watts)) = flows.get(&run) else { continue };
        let line = group.items.iter().find_map(|item| match (&item.shape, item.pen) {
            (Shape::Polyline { points, .. }, Pen::Run(ink)) => Some((points, ink)),
            _ => None,
        });
        let Some((points, ink)) = line else { continue };
        // Area tells power, so length goes with its root.
        #[expect(clippy::cast_possible_truncation, reason = "a length on paper")]
        let share = lineside_core::math::sqrt(*watts / most) as f32;
        let length = SMALL + (LARGE - SMALL) * share;
        let Some(shape) = arrow(points, *direction, length) else { continue };
        let item = Item { subject: Subject::Run(run), pen: Pen::Joint(ink), shape };
        arrows.push(Group::new(Subject::Run(run), Layer::Runs, vec![item]));
    }
    let above = drawing.list.groups.iter().position(|group| group.layer > Layer::Runs);
    let at = above.unwrap_or(drawing.list.groups.len());
    drawing.list.groups.splice(at..at, arrows);
    drawing
}

/// Whether a run belongs to earth, which has no voltage to lose.
pub(crate) fn is_earth(studies: &Studies, run: RunId) -> bool {
    let node = studies.network.run_end(run, lineside_core::circuit::Side::From);
    node.and_then(|node| studies.zones.kind_of(node)) == Some(ZoneKind::Earth)
}

/// A triangle in the middle of the longest piece of a line.
fn arrow(points: &[Point], direction: FlowDirection, length: f32) -> Option<Shape> {
    let pieces = points.iter().zip(points.iter().skip(1));
    let (from, to) = pieces.max_by(|a, b| long(*a.0, *a.1).total_cmp(&long(*b.0, *b.1)))?;
    let (from, to) = if direction == FlowDirection::Backward { (to, from) } else { (from, to) };
    let whole = long(*from, *to);
    if whole < length / 2.0 {
        return None;
    }
    let (x, y) = ((to.x - from.x) / whole, (to.y - from.y) / whole);
    let middle = from.halfway(*to);
    let tip = middle.moved(x * length / 2.0, y * length / 2.0);
    let tail = middle.moved(-x * length / 2.0, -y * length / 2.0);
    let half = length * 0.36;
    let points = [tip, tail.moved(-y * half, x * half), tail.moved(y * half, -x * half)];
    Some(Shape::Polygon { points: Points::of(&points) })
}

fn long(from: Point, to: Point) -> f32 {
    (to.x - from.x).hypot(to.y - from.y)
}

#[cfg(test)]
mod tests {
    use super::*;

    /// From 0 to 10 along x; the arrow is 4 long about the middle, its tip the way the power goes.
    #[test]
    fn arrows_point_the_way_of_the_power() {
        let line = [Point::new(0.0, 0.0), Point::new(10.0, 0.0), Point::new(10.0, 3.0)];
        let tip = |direction| match arrow(&line, direction, 4.0) {
            Some(Shape::Polygon { points }) => points[0],
            other => panic!("{other:?}"),
        };
        assert_eq!(tip(FlowDirection::Forward), Point::new(7.0, 0.0));
        assert_eq!(tip(FlowDirection::Backward), Point::new(3.0, 0.0));
        assert!(arrow(&line[..1], FlowDirection::Forward, 4.0).is_none());
        assert!(arrow(&[Point::new(0.0, 0.0), Point::new(1.0, 0.0)], FlowDirection::Forward, 4.0).is_none());
    }
}
