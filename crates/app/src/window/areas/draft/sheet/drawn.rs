//! The drawing of the project as it stands, kept up to date change by change, and what lies where on it.

use super::look::{self, Marked};
use crate::engine::Derived;
use crate::window::document::Touched;
use lineside_core::circuit::{BlockId, GridPoint, RunEnd, RunId};
use lineside_core::project::Project;
use lineside_drawing::display_list::Subject;
use lineside_drawing::geometry::{Area, Point};
use lineside_drawing::placement;
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
    /// Every terminal and where it is.
    pub terminals: Vec<(RunEnd, Point)>,
    /// Blocks in reading order: from the top, and from the left within a row.
    pub order: Vec<BlockId>,
    look: Look,
    /// Counts of changes of the project and of what was derived when it was drawn.
    up_to: Option<(u64, u64)>,
}

impl Drawn {
    /// Brings it up to date.
    pub fn follow(&mut self, project: &Project, changes: u64, derived: &Derived, touched: Touched) {
        let wanted = (changes, derived.changes);
        if self.up_to == Some(wanted) && touched == Touched::Parts(Changed::default()) {
            return;
        }
        self.up_to = Some(wanted);
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
        self.index(project);
    }

    fn index(&mut self, project: &Project) {
        /// A row is as high as a symbol's unit box, so that blocks drawn side by side read from left to right.
        const ROW: i32 = 4;
        self.terminals.clear();
        for block in project.circuit.blocks() {
            self.terminals.extend(
                placement::terminals(block)
                    .into_iter()
                    .map(|pin| (RunEnd { block: block.id, terminal: pin.name }, Point::on_grid(pin.at))),
            );
        }
        self.order = project.circuit.blocks().map(|block| block.id).collect();
        self.order.sort_by_key(|id| {
            let at = project.circuit.block(*id).map_or_else(GridPoint::default, |block| block.at);
            (at.y.div_euclid(ROW), at.x, *id)
        });
    }

    /// How it looks.
    pub const fn look(&self) -> &Look {
        &self.look
    }

    /// What lies at a point; `reach` is how near counts as there, mm.
    pub fn at(&self, project: &Project, point: Point, reach: f32) -> Option<Subject> {
        let hit = self.drawing.hit(point);
        if let Some(Subject::Mark(_)) = hit {
            return hit;
        }
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
        self.terminals.iter().find(|(other, _)| *other == end).map(|(_, at)| *at)
    }
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
