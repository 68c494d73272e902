//! The page: the circuit brought onto paper, with frame, title block, revisions, key and cautions round it.

mod border;
mod cautions;
mod index;
mod key;
mod paper;
mod press;
mod revisions;
mod title_block;

pub(crate) use border::zone_at;
pub use paper::{Paper, PaperSize};

use super::{Drawing, Look};
use crate::display_list::{Group, HitShape, Item, Layer, Shape, Subject};
use crate::geometry::{Area, Point};
use crate::label::SMALL_HEIGHT;
use crate::pen::Pen;
use crate::sheets::Scope;
use lineside_core::project::Project;
use press::Press;

/// Height of the strip below the circuit, mm.
const STRIP: f32 = 58.0;
/// Width of the title block, mm, after ISO 7200.
const TITLE_WIDTH: f32 = 180.0;
/// Height of the title block, mm.
const TITLE_HEIGHT: f32 = 39.0;
/// Between the frame and the circuit, mm.
const CLEAR: f32 = 3.0;

/// Which of a set of sheets a page is.
#[derive(Clone, Copy)]
pub(crate) struct Numbering<'a> {
    /// Its number, counted from 1.
    pub number: usize,
    /// What each sheet of the set shows; empty when there is one only.
    pub titles: &'a [String],
}

impl<'a> Numbering<'a> {
    /// Of the one sheet that shows everything.
    pub(crate) const ONLY: Numbering<'static> = Numbering { number: 1, titles: &[] };

    /// How many sheets there are.
    fn count(self) -> usize {
        self.titles.len().max(1)
    }
    /// What this one shows.
    fn title(self) -> Option<&'a str> {
        self.titles.get(self.number.checked_sub(1)?).map(String::as_str)
    }
    /// The sheets to be listed: all of them, on the first.
    const fn listed(self) -> &'a [String] {
        if self.number == 1 { self.titles } else { &[] }
    }
}

/// Where everything stands on a page.
struct Layout {
    size: PaperSize,
    key: Area,
    cautions: Area,
    title: Area,
    revisions: Area,
    index: Area,
    circuit: Area,
}

fn layout(project: &Project, look: &Look, numbering: Numbering<'_>) -> Layout {
    let size = look.paper.unwrap_or(PaperSize::usual(project.units));
    let frame = size.frame();
    let strip = Area { top: frame.bottom - STRIP, ..frame };
    let title = Area { left: frame.right - TITLE_WIDTH, top: frame.bottom - TITLE_HEIGHT, ..frame };
    let cautions = Area { left: title.left, bottom: title.top, ..strip };
    let key = Area { right: title.left, ..strip };
    let above = Area { bottom: strip.top, ..frame };
    let revisions = Area { left: title.left, top: strip.top - revisions::height(project), ..above };
    let index = Area { right: key.right, ..above };
    let index = Area { top: strip.top - index::height(index.width(), numbering.listed()), ..index };
    let circuit = Area { bottom: revisions.top.min(index.top), ..frame }.grown(-CLEAR);
    Layout { size, key, cautions, title, revisions, index, circuit }
}

/// Where the circuit stands on a page.
pub(crate) fn room(project: &Project, look: &Look, numbering: Numbering<'_>) -> Area {
    layout(project, look, numbering).circuit
}

/// Brings a drawn circuit, or a part of one, onto paper.
pub(crate) fn add(
    project: &Project,
    look: &Look,
    scope: Scope<'_>,
    numbering: Numbering<'_>,
    drawing: &mut Drawing,
) {
    let layout = layout(project, look, numbering);
    let size = layout.size;
    let moved = Fitted::of(drawing.bounds, layout.circuit);
    bring(drawing, moved);

    let mut press = Press::default();
    border::print(&mut press, size);
    press.rectangle(Pen::Thin, layout.key);
    press.rectangle(Pen::Thin, layout.cautions);
    title_block::print(&mut press, layout.title, project, size, numbering);
    cautions::print(&mut press, layout.cautions);
    revisions::print(&mut press, layout.revisions, project);
    index::print(&mut press, layout.index, numbering.listed());
    key::print(&mut press, layout.key, &key::Shown { project, look, scope, drawing });
    drawing.list.groups.insert(0, Group::new(Subject::Sheet, Layer::Furniture, press.finish()));
    drawing.bounds = size.area();
    drawing.words.clear();
    let scale = moved.scale;
    drawing.paper = Some(Paper { size, scale, least_lettering: SMALL_HEIGHT * scale });
}

/// How a drawing is fitted into an area. It is made smaller where it must be, and never enlarged.
#[derive(Clone, Copy)]
pub(crate) struct Fitted {
    /// By how much it is made smaller.
    pub scale: f32,
    from: Point,
    to: Point,
}

impl Fitted {
    pub(crate) fn of(bounds: Area, area: Area) -> Self {
        if bounds.is_nothing() {
            return Self { scale: 1.0, from: Point::default(), to: Point::default() };
        }
        let fit = |room: f32, wanted: f32| if wanted > room { room / wanted } else { 1.0 };
        let scale = fit(area.width(), bounds.width()).min(fit(area.height(), bounds.height()));
        Self { scale, from: bounds.center(), to: area.center() }
    }
    /// Where a point of the drawing comes to lie.
    pub(crate) fn point(self, at: Point) -> Point {
        let Self { scale, from, to } = self;
        Point::new(to.x + (at.x - from.x) * scale, to.y + (at.y - from.y) * scale)
    }
}

fn bring(drawing: &mut Drawing, moved: Fitted) {
    let point = |at: Point| moved.point(at);
    for group in &mut drawing.list.groups {
        for Item { shape, .. } in &mut group.items {
            rescale(shape, moved.scale, point);
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
