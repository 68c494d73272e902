//! The drawing of the project as it stands, kept up to date change by change, and what lies where on it.

use super::look::{self, Marked};
use crate::engine::Derived;
use crate::window::document::Touched;
use lineside_core::circuit::{BlockId, GridPoint, RunEnd, RunId};
use lineside_core::project::Project;
use lineside_drawing::display_list::{HitShape, Subject, topmost};
use lineside_drawing::geometry::{Area, Point, STEP_MM};
use lineside_drawing::route::Routes;
use lineside_drawing::sheet::{self, Changed, Drawing, Look};

/// Height of the strip at the upper edge of a place by which it is taken up, mm.
const TITLE: f32 = 5.5;

/// The drawing and what belongs to it.
#[derive(Default)]
pub struct Drawn {
    /// Routes of all runs.
    pub routes: Routes,
    /// The display list with its hit areas.
    pub drawing: Drawing,
    /// The findings behind each mark, by their ids.
    pub marked: Vec<Marked>,
    /// Every terminal and where it is, in the order of blocks.
    pub terminals: Vec<(RunEnd, Point)>,
    /// The longest piece of each run.
    pub pieces: Vec<(RunId, Area)>,
    boxes: Vec<(BlockId, Area)>,
    /// Blocks in reading order: from the top, and from the left within a row.
    pub order: Vec<BlockId>,
    look: Look,
    /// Counts of changes of the project and of what was derived when it was drawn.
    up_to: Option<(u64, u64)>,
    /// Grows whenever it is drawn anew.
    pub revision: u64,
}

impl Drawn {
    /// Brings it up to date.
    pub fn follow(&mut self, project: &Project, changes: u64, derived: &Derived, touched: Touched) {
        let wanted = (changes, derived.changes);
        if self.up_to == Some(wanted) && touched == Touched::Parts(Changed::default()) {
            return;
        }
        self.up_to = Some(wanted);
        self.revision += 1;
        let (look, marked) = look::of(project, derived);
        match touched {
            Touched::Everything => {
                self.routes = Routes::new(&project.circuit);
                self.drawing = sheet::sheet(project, &look, &self.routes);
            }
            Touched::Parts(changed) => {
                self.routes.refresh(&project.circuit);
                self.drawing.refresh(project, &look, &self.routes, &changed);
            }
        }
        self.look = look;
        self.marked = marked;
        self.index();
    }

    /// Takes from the hit areas what is looked up often.
    fn index(&mut self) {
        /// A row is as high as a symbol's unit box, so that blocks drawn side by side read from left to right.
        const ROW: f32 = 4.0 * STEP_MM;
        self.terminals.clear();
        self.boxes.clear();
        self.pieces.clear();
        for area in &self.drawing.areas {
            match (area.subject, &area.shape) {
                (Subject::Block(id), HitShape::Box(area)) => self.boxes.push((id, *area)),
                (Subject::Terminal(end), HitShape::Box(area)) => self.terminals.push((end, area.center())),
                (Subject::Run(id), HitShape::Line { points, .. }) => {
                    self.pieces.extend(longest_piece(points).map(|piece| (id, piece)));
                }
                _ => {}
            }
        }
        // The areas come block by block in the order of ids, and the look-ups below depend on it.
        self.boxes.sort_by_key(|(id, _)| *id);
        self.terminals.sort_by_key(|(end, _)| end.block);
        let mut order: Vec<(f32, f32, BlockId)> =
            self.boxes.iter().map(|(id, area)| ((area.top / ROW).floor(), area.left, *id)).collect();
        order.sort_by(|a, b| a.0.total_cmp(&b.0).then(a.1.total_cmp(&b.1)).then(a.2.cmp(&b.2)));
        self.order = order.into_iter().map(|(_, _, id)| id).collect();
    }

    /// The box of a block's symbol, mm.
    pub fn box_of(&self, block: BlockId) -> Option<Area> {
        let slot = self.boxes.binary_search_by_key(&block, |(id, _)| *id).ok()?;
        self.boxes.get(slot).map(|(_, area)| *area)
    }

    /// The terminals of a block and where they are.
    pub fn terminals_of(&self, block: BlockId) -> &[(RunEnd, Point)] {
        let from = self.terminals.partition_point(|(end, _)| end.block < block);
        let to = self.terminals.partition_point(|(end, _)| end.block <= block);
        self.terminals.get(from..to).unwrap_or_default()
    }

    /// How it looks.
    pub const fn look(&self) -> &Look {
        &self.look
    }

    /// What lies at a point, markers apart; `reach` is how near counts as there, mm.
    pub fn at(&self, project: &Project, point: Point, reach: f32) -> Option<Subject> {
        let areas = &self.drawing.areas;
        let marks = areas.iter().rev().take_while(|area| matches!(area.subject, Subject::Mark(_))).count();
        let hit = areas.get(..areas.len() - marks).and_then(|areas| topmost(areas, point));
        if let Some(end) = self.terminal_near(point, reach) {
            return Some(Subject::Terminal(end));
        }
        if matches!(hit, Some(Subject::Block(_))) {
            return hit;
        }
        let run = self.run_near(point, reach * 0.7).map(Subject::Run);
        run.or_else(|| hit.filter(|hit| *hit != Subject::Sheet)).or_else(|| title_at(project, point))
    }

    /// The terminal nearest to a point, within reach.
    pub fn terminal_near(&self, point: Point, reach: f32) -> Option<RunEnd> {
        self.terminals
            .iter()
            .map(|(end, at)| (*end, (at.x - point.x).abs().max((at.y - point.y).abs())))
            .filter(|(_, distance)| *distance <= reach)
            .min_by(|a, b| a.1.total_cmp(&b.1))
            .map(|(end, _)| end)
    }

    /// The run nearest to a point, within reach.
    pub fn run_near(&self, point: Point, reach: f32) -> Option<RunId> {
        let within = |points: &[GridPoint]| {
            points.windows(2).any(|pair| match pair {
                [a, b] => Area::of(&[Point::on_grid(*a), Point::on_grid(*b)]).grown(reach).contains(point),
                _ => false,
            })
        };
        self.routes.iter().find(|(_, points)| within(points)).map(|(run, _)| run)
    }

    /// The way of a run, in millimeters.
    pub fn route(&self, run: RunId) -> Vec<Point> {
        self.routes.get(run).unwrap_or_default().iter().copied().map(Point::on_grid).collect()
    }

    /// Where a terminal is.
    pub fn terminal_at(&self, end: RunEnd) -> Option<Point> {
        self.terminals_of(end.block).iter().find(|(other, _)| *other == end).map(|(_, at)| *at)
    }
}

/// The longest straight piece of a way.
fn longest_piece(points: &[Point]) -> Option<Area> {
    let pieces = points.windows(2).map(Area::of);
    pieces.max_by(|a, b| (a.width() + a.height()).total_cmp(&(b.width() + b.height())))
}

/// The place whose title strip holds a point; of several, the innermost.
fn title_at(project: &Project, point: Point) -> Option<Subject> {
    project
        .circuit
        .places()
        .filter_map(|place| {
            let corner = Point::on_grid(place.at);
            let size = Point::on_grid(place.size);
            let strip = Area::at(corner, size.x, TITLE.min(size.y));
            strip.contains(point).then_some((size.x * size.y, place.id))
        })
        .min_by(|a, b| a.0.total_cmp(&b.0))
        .map(|(_, id)| Subject::Place(id))
}
