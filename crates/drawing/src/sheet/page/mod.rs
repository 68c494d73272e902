//! The page: the circuit brought onto paper, with frame, title block, revisions, key and cautions round it.

mod border;
mod cautions;
mod key;
mod paper;
mod press;
mod revisions;
mod title_block;

pub use paper::{Paper, PaperSize};

use super::{Drawing, Look};
use crate::display_list::{Group, HitShape, Item, Layer, Shape, Subject};
use crate::geometry::{Area, Point};
use crate::label::SMALL_HEIGHT;
use lineside_core::project::Project;
use press::Press;

/// Height of the strip below the circuit, mm.
const STRIP: f32 = 62.0;
/// Width of the title block, mm, after ISO 7200.
const TITLE_WIDTH: f32 = 180.0;
/// Height of the title block, mm.
const TITLE_HEIGHT: f32 = 42.0;
/// Between the frame and the circuit, mm.
const CLEAR: f32 = 4.0;

/// Brings a drawn circuit onto paper.
pub(super) fn add(project: &Project, look: &Look, drawing: &mut Drawing) {
    let size = look.paper.unwrap_or(PaperSize::usual(project.units));
    let frame = size.frame();
    let strip = Area { top: frame.bottom - STRIP, ..frame };
    let title = Area { left: frame.right - TITLE_WIDTH, top: frame.bottom - TITLE_HEIGHT, ..frame };
    let cautions = Area { left: title.left, bottom: title.top, ..strip };
    let key = Area { right: title.left, ..strip };
    let table =
        Area { left: title.left, top: strip.top - revisions::height(project), bottom: strip.top, ..frame };
    let scale = bring(drawing, Area { bottom: table.top, ..frame }.grown(-CLEAR));

    let mut press = Press::default();
    border::print(&mut press, size);
    press.rectangle(crate::pen::Pen::Thin, key);
    press.rectangle(crate::pen::Pen::Thin, cautions);
    title_block::print(&mut press, title, project, size);
    cautions::print(&mut press, cautions);
    revisions::print(&mut press, table, project);
    key::print(&mut press, key, project, look, drawing);
    drawing.list.groups.insert(0, Group::new(Subject::Sheet, Layer::Furniture, press.finish()));
    drawing.bounds = size.area();
    drawing.paper = Some(Paper { size, scale, least_lettering: SMALL_HEIGHT * scale });
}

/// Scales and moves the circuit into an area, and tells by how much it was made smaller. It is never enlarged.
fn bring(drawing: &mut Drawing, area: Area) -> f32 {
    let bounds = drawing.bounds;
    if bounds.is_nothing() {
        return 1.0;
    }
    let fit = |room: f32, wanted: f32| if wanted > room { room / wanted } else { 1.0 };
    let scale = fit(area.width(), bounds.width()).min(fit(area.height(), bounds.height()));
    let (from, to) = (bounds.center(), area.center());
    let point = |at: Point| Point::new(to.x + (at.x - from.x) * scale, to.y + (at.y - from.y) * scale);
    for group in &mut drawing.list.groups {
        for Item { shape, .. } in &mut group.items {
            rescale(shape, scale, point);
        }
        *group = Group::new(group.subject, group.layer, std::mem::take(&mut group.items));
    }
    for hit in &mut drawing.areas {
        match &mut hit.shape {
            HitShape::Box(area) => {
                let corners =
                    [point(Point::new(area.left, area.top)), point(Point::new(area.right, area.bottom))];
                *area = Area::of(&corners);
            }
            HitShape::Line { points, .. } => points.iter_mut().for_each(|at| *at = point(*at)),
        }
    }
    scale
}

fn rescale(shape: &mut Shape, scale: f32, point: impl Fn(Point) -> Point) {
    match shape {
        Shape::Polyline { points, .. } | Shape::Polygon { points } => {
            points.iter_mut().for_each(|at| *at = point(*at));
        }
        Shape::Circle { center, radius }
        | Shape::Disc { center, radius }
        | Shape::Arc { center, radius, .. } => {
            *center = point(*center);
            *radius *= scale;
        }
        Shape::Text(text) => {
            text.anchor = point(text.anchor);
            text.height *= scale;
        }
    }
}
