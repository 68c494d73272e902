//! Marks: small figures at blocks, terminals, runs and places that point to findings. Their shape tells
//! severity; several at one spot stand in a row.

use super::{Drawing, Look, MarkShape};
use crate::display_list::{
    Across, Along, Behind, Ends, Group, HitArea, HitShape, Item, Layer, Shape, Subject, Text, Turned, Weight,
};
use crate::geometry::{Area, Point};
use crate::label::SMALL_HEIGHT;
use crate::metrics;
use crate::pen::Pen;
use crate::route::Routes;
use crate::sheets::Scope;
use lineside_core::circuit::BlockId;
use lineside_core::project::Project;

/// Side of the square in which a mark stands, mm.
pub(super) const SIDE: f32 = 3.2;
/// Between two marks of a row, and between a mark and its number, mm.
const SPACE: f32 = 0.5;
/// Between a mark and the corner of the box that it marks, mm.
const OFF: f32 = 0.3;

/// Where the first mark of a box stands: outside its upper right corner.
pub(super) fn corner(area: Area) -> Area {
    Area::at(Point::new(area.right + OFF, area.top - OFF - SIDE), SIDE, SIDE)
}

/// What marks stand on.
pub(super) struct Ground<'a> {
    pub project: &'a Project,
    pub look: &'a Look,
    pub routes: &'a Routes,
    pub scope: Scope<'a>,
    /// The boxes of the blocks, in the order of ids.
    pub boxes: &'a [(BlockId, Area)],
}

/// Adds the marks of a look to a drawing, with their hit areas.
pub(super) fn add(ground: &Ground<'_>, drawing: &mut Drawing) {
    // How far the row at each subject has grown.
    let mut rows: Vec<(Subject, f32)> = Vec::new();
    for (number, mark) in ground.look.marks.iter().enumerate() {
        let Some(start) = ground.spot(drawing.bounds, mark.on) else { continue };
        if !rows.iter().any(|(subject, _)| *subject == mark.on) {
            rows.push((mark.on, 0.0));
        }
        let Some((_, row)) = rows.iter_mut().find(|(subject, _)| *subject == mark.on) else { continue };
        let area = Area::at(start.moved(*row, 0.0), SIDE, SIDE);
        let subject = Subject::Mark(number);
        let mut items = figure(area, mark.shape, mark.pen, subject);
        *row += SIDE + SPACE;
        if let Some(number) = mark.number {
            let content = number.to_string();
            let length = metrics::length(&content, Weight::Strong, SMALL_HEIGHT);
            let text = Text {
                anchor: Point::new(area.right + SPACE, area.center().y + 0.2),
                along: Along::Start,
                across: Across::Middle,
                height: SMALL_HEIGHT,
                weight: Weight::Strong,
                turned: Turned::Upright,
                behind: Behind::Clear,
                content,
            };
            items.push(Item { subject, pen: mark.pen, shape: Shape::Text(text) });
            *row += length + SPACE;
        }
        let group = Group::new(subject, Layer::Marks, items);
        drawing.areas.push(HitArea { subject, shape: HitShape::Box(group.bounds.grown(SPACE)) });
        drawing.list.groups.push(group);
    }
}

impl Ground<'_> {
    /// The upper left corner of the first mark of a subject; `None` if the subject is not on the sheet.
    fn spot(&self, bounds: Area, on: Subject) -> Option<Point> {
        let at_point = |point: Point| point.moved(OFF, -OFF - SIDE);
        match on {
            Subject::Block(id) => {
                let slot = self.boxes.binary_search_by_key(&id, |entry| entry.0).ok()?;
                let area = corner(self.boxes.get(slot)?.1);
                Some(Point::new(area.left, area.top))
            }
            Subject::Terminal(end) => {
                let block = self.project.circuit.block(end.block).filter(|block| self.scope.has(block.id))?;
                let (at, facing) = crate::placement::terminal_at(block, end.terminal)?;
                let (dx, dy) = facing.step();
                // Outside the block, above a level run and at the right of an upright one.
                let out = Point::on_grid(at).moved(0.4 * SIDE * dx as f32, 0.4 * SIDE * dy as f32);
                Some(if dx < 0 { out.moved(-SIDE, -OFF - SIDE) } else { at_point(out) })
            }
            Subject::Run(id) => {
                let points = self.routes.get(id)?;
                let pieces = points.windows(2).filter_map(|pair| match pair {
                    [a, b] => Some((a.x.abs_diff(b.x) + a.y.abs_diff(b.y), *a, *b)),
                    _ => None,
                });
                // Of the longest pieces the last, where its flag least often begins.
                let middle = match pieces.max_by_key(|piece| piece.0) {
                    Some((_, a, b)) => Point::on_grid(a).halfway(Point::on_grid(b)),
                    None => Point::on_grid(*points.first()?),
                };
                Some(at_point(middle))
            }
            Subject::Place(id) => {
                let area = self.scope.frame(self.project.circuit.place(id)?)?.on_paper();
                Some(Point::new(area.left + 0.6 * area.width(), area.top - SIDE / 2.0))
            }
            Subject::Sheet => (!bounds.is_nothing()).then(|| Point::new(bounds.right + OFF, bounds.top)),
            Subject::Mark(_) => None,
        }
    }
}

pub(super) fn figure(area: Area, shape: MarkShape, pen: Pen, subject: Subject) -> Vec<Item> {
    let item = |pen, shape| Item { subject, pen, shape };
    let center = area.center();
    match shape {
        MarkShape::Triangle => {
            // A filled triangle with the stroke of an exclamation mark left out.
            let points = [
                Point::new(center.x, area.top),
                Point::new(area.right + 0.2, area.bottom),
                Point::new(area.left - 0.2, area.bottom),
            ]
            .into();
            let bar = [center.moved(0.0, -0.45), center.moved(0.0, 0.55)].into();
            vec![
                item(pen, Shape::Polygon { points }),
                item(Pen::Paper, Shape::Polyline { points: bar, ends: Ends::Open }),
                item(Pen::Paper, Shape::Disc { center: center.moved(0.0, 1.1), radius: 0.2 }),
            ]
        }
        MarkShape::Square => {
            let points = area.grown(-0.3).corners().into();
            vec![item(pen, Shape::Polygon { points })]
        }
        MarkShape::Circle => vec![
            item(Pen::Paper, Shape::Disc { center, radius: SIDE / 2.0 - 0.3 }),
            item(pen, Shape::Circle { center, radius: SIDE / 2.0 - 0.35 }),
        ],
    }
}
