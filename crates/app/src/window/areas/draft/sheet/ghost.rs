//! What would be there if the pointer let go now: an item of stock, an item in a run, a new run. Where nothing
//! may be, the reason stands at the pointer.

use super::look::potential_of;
use super::paint::halo;
use super::{SheetState, area_of};
use crate::window::brush::Brush;
use crate::window::edits::adding::{self, Spot};
use crate::window::edits::wiring::{self, Landing};
use crate::window::held::Held;
use crate::window::notice::{Tone, notice_ui};
use crate::window::selection::Thing;
use crate::window::templates::{self, Template};
use crate::window::view::View;
use egui::{Pos2, Stroke, StrokeKind, Ui};
use lineside_core::circuit::{Block, BlockId, Circuit, GridPoint, Orientation, RunEnd};
use lineside_core::edit::{Edit, apply};
use lineside_core::kinds::Equipment;
use lineside_drawing::geometry::Point;
use lineside_drawing::pen::{Ink, Pen};
use lineside_drawing::placement::Placement;
use lineside_drawing::route::Routes;
use lineside_drawing::symbols::{self, Form, Style};

/// What was worked out for the drag under way, so that it is not worked out again in each frame.
#[derive(Default)]
pub struct Preview {
    /// The way of a run that would be drawn, between which terminals.
    run: Option<(RunEnd, RunEnd, Vec<Point>)>,
    /// Routes as they were before a block was taken up: they would flee from it.
    pub before: Option<(BlockId, Routes)>,
    /// The blocks of a template, as they would stand for a point.
    template: Option<(Template, GridPoint, Vec<Block>)>,
}

/// Where an item would go.
#[derive(Clone, Debug, PartialEq)]
pub enum Target {
    /// On the sheet, with its middle there.
    Free(GridPoint),
    /// Into a run.
    Into(Spot),
    /// Nowhere, and why.
    Refused(String),
}

/// Where equipment that is let go at a point would go. `routes` are the ways of the runs.
pub fn target(circuit: &Circuit, routes: &Routes, equipment: &Equipment, at: Point, reach: f32) -> Target {
    if adding::through(equipment).is_none() {
        return Target::Free(at.to_grid());
    }
    let near = routes.iter().find_map(|(id, corners)| {
        let run = circuit.run(id)?;
        let route: Vec<Point> = corners.iter().copied().map(Point::on_grid).collect();
        let spot = adding::spot_on(id, &route, at)?;
        let on = Point::on_grid(spot.middle);
        let near = (on.x - at.x).abs() <= reach && (on.y - at.y).abs() <= reach;
        near.then_some((run, spot))
    });
    match near {
        None => Target::Free(at.to_grid()),
        Some((run, spot)) => match adding::hindrance(circuit, equipment, run) {
            None => Target::Into(spot),
            Some(why) => Target::Refused(why),
        },
    }
}

/// How near to a run something must be let go to go into it, mm.
pub const INTO_REACH: f32 = 3.0;

/// The landing of a run that is being pulled, at a point of the sheet.
pub fn landing_at(view: &View<'_>, state: &SheetState, from: RunEnd, at: Point) -> Option<Landing> {
    let to = state.drawn.terminal_near(at, state.reach().max(1.6))?;
    let circuit = &view.project().circuit;
    (to != from).then(|| wiring::landing(circuit, from, to, |end| potential_of(view.derived, end)))
}

/// Paints what would be there.
pub fn ghost_ui(ui: &Ui, brush: &Brush<'_>, view: &View<'_>, state: &mut SheetState) {
    if let Some((from, end)) = state.loose {
        let way = loose_route(view, from, Point::on_grid(end));
        let points: Vec<Pos2> = way.iter().map(|point| brush.point(*point)).collect();
        let width = (0.5 * brush.camera.scaling).max(1.5);
        brush.painter.line(points, Stroke::new(width, view.tokens.accent));
    }
    let Some(pointer) = ui.input(|input| input.pointer.latest_pos()) else { return };
    let Some(at) = state.point_at(pointer) else { return };
    match view.held {
        Some(Held::Item(index)) => {
            let Some(item) = view.engine.stock.get(*index) else { return };
            let target =
                target(&view.project().circuit, &state.drawn.routes, &item.equipment, at, INTO_REACH);
            item_ghost(ui, brush, view, state, &item.equipment, &target, pointer);
        }
        Some(Held::Blocks { chief, from, .. }) if from.len() == 1 => {
            block_ghost(ui, brush, view, state, *chief, at, pointer);
        }
        Some(Held::NewRun(from)) => run_ghost(ui, brush, view, state, *from, at, pointer),
        Some(Held::RunEnd { run, side }) => {
            if let Some(run) = view.project().circuit.run(*run) {
                run_ghost(ui, brush, view, state, run.end(side.other()), at, pointer);
            }
        }
        Some(Held::Template(template)) => {
            template_ghost(brush, view, state, *template, at.to_grid());
            let name = format!("{}: let go to put it here", template.name());
            say(ui, view, &name, pointer, Tone::Tells);
        }
        Some(
            Held::Blocks { .. }
            | Held::Place { .. }
            | Held::Corner { .. }
            | Held::Words { .. }
            | Held::Piece { .. }
            | Held::Band { .. }
            | Held::Lasso { .. },
        ) => {}
        Some(Held::Paper | Held::Number { .. }) | None => state.preview = Preview::default(),
    }
}

fn item_ghost(
    ui: &Ui,
    brush: &Brush<'_>,
    view: &View<'_>,
    state: &SheetState,
    equipment: &Equipment,
    target: &Target,
    pointer: Pos2,
) {
    match target {
        Target::Free(middle) => {
            place_frame(brush, view, state, *middle);
            symbol_ghost(brush, equipment, *middle, Orientation::default());
        }
        Target::Into(spot) => {
            halo(brush, state, spot.run);
            symbol_ghost(brush, equipment, spot.middle, spot.orientation());
            let tag = view.project().circuit.run(spot.run).map_or("", |run| run.tag.as_str());
            say(ui, view, &format!("goes into {tag}"), pointer, Tone::Tells);
        }
        Target::Refused(why) => say(ui, view, why, pointer, Tone::Refuses),
    }
}

/// The blocks of a template where they would stand, which is beside what stands under the pointer.
fn template_ghost(
    brush: &Brush<'_>,
    view: &View<'_>,
    state: &mut SheetState,
    template: Template,
    near: GridPoint,
) {
    let known = state.preview.template.take().filter(|(what, at, _)| (*what, *at) == (template, near));
    let (what, at, blocks) = known.unwrap_or_else(|| {
        let middle = templates::room(view.project(), &state.drawn.routes, template, near);
        (template, near, templates::blocks(view.project(), &view.engine.stock, template, middle))
    });
    for block in &blocks {
        symbol_ghost(brush, &block.equipment, adding::middle_of(block), block.orientation);
    }
    state.preview.template = Some((what, at, blocks));
}

/// The place in whose frame something would stand.
fn place_frame(brush: &Brush<'_>, view: &View<'_>, state: &SheetState, middle: GridPoint) {
    if let Some(place) = crate::window::edits::place_at(&view.project().circuit, middle) {
        let rect = brush.area(area_of(view.project(), &state.drawn, Thing::Place(place)));
        brush.painter.rect_stroke(rect, 0.0, Stroke::new(1.5, brush.tokens.accent), StrokeKind::Middle);
    }
}

fn symbol_ghost(brush: &Brush<'_>, equipment: &Equipment, middle: GridPoint, orientation: Orientation) {
    let symbol = symbols::of_equipment(equipment, Style { form: Form::I, bar: Ink::Battery });
    let size = symbol.outline.size;
    let placement = Placement::new(middle.moved(-size.x / 2, -size.y / 2), size, orientation);
    for stroke in symbol.strokes.iter().filter(|stroke| stroke.only_with.is_none()) {
        brush.shape(&placement.shape(stroke.shape.clone()), stroke.pen, brush.tokens.pen(Pen::Ghost));
    }
}

/// A lone block that would go into the run over which it is held.
fn block_ghost(
    ui: &Ui,
    brush: &Brush<'_>,
    view: &View<'_>,
    state: &mut SheetState,
    chief: BlockId,
    at: Point,
    pointer: Pos2,
) {
    let circuit = &view.project().circuit;
    let Some(block) = circuit.block(chief) else { return };
    if let Some(middle) = Some(adding::middle_of(block)) {
        place_frame(brush, view, state, middle);
    }
    let Some(routes) = state.routes_without(circuit, block) else { return };
    match target(circuit, routes, &block.equipment, at, INTO_REACH) {
        Target::Into(spot) => {
            let tag = circuit.run(spot.run).map_or("", |run| run.tag.as_str());
            say(ui, view, &format!("goes into {tag}"), pointer, Tone::Tells);
        }
        Target::Refused(why) => say(ui, view, &why, pointer, Tone::Refuses),
        Target::Free(_) => {}
    }
}

impl SheetState {
    /// Routes as they would be without a block on which nothing lands; `None` when something does.
    pub fn routes_without(&mut self, circuit: &Circuit, block: &Block) -> Option<&Routes> {
        let lone = adding::through(&block.equipment).is_some() && circuit.runs_at(block.id).is_empty();
        if !lone {
            return None;
        }
        if self.preview.before.as_ref().is_none_or(|(id, _)| *id != block.id) {
            let mut without =
                lineside_core::project::Project { circuit: circuit.clone(), ..Default::default() };
            apply(&mut without, Edit::RemoveBlock(block.id)).ok()?;
            self.preview.before = Some((block.id, Routes::new(&without.circuit)));
        }
        self.preview.before.as_ref().map(|(_, routes)| routes)
    }
}

fn run_ghost(
    ui: &Ui,
    brush: &Brush<'_>,
    view: &View<'_>,
    state: &mut SheetState,
    from: RunEnd,
    at: Point,
    pointer: Pos2,
) {
    let landing = landing_at(view, state, from, at);
    let way = match landing.as_ref().and_then(Landing::end) {
        Some(to) => trial_route(view, state, from, to),
        None => loose_route(view, from, at),
    };
    let points: Vec<Pos2> = way.iter().map(|point| brush.point(*point)).collect();
    let color =
        if matches!(landing, Some(Landing::Refused(_))) { view.tokens.danger } else { view.tokens.accent };
    let width = (0.5 * brush.camera.scaling).max(1.5);
    brush.painter.line(points, Stroke::new(width, color));
    match landing {
        Some(Landing::Beside(_, why)) => say(ui, view, &why, pointer, Tone::Tells),
        Some(Landing::Refused(why)) => say(ui, view, &why, pointer, Tone::Refuses),
        Some(Landing::Fits(_)) | None => {}
    }
}

/// The way that a run would take, found as it will be found when it is drawn.
fn trial_route(view: &View<'_>, state: &mut SheetState, from: RunEnd, to: RunEnd) -> Vec<Point> {
    if let Some((a, b, way)) = &state.preview.run
        && (*a, *b) == (from, to)
    {
        return way.clone();
    }
    let mut trial = view.project().clone();
    let drawn = wiring::draw(view.project(), from, to).ok().and_then(|step| {
        let id = trial.next_run_id()?;
        apply(&mut trial, step.edit).ok()?;
        let mut routes = state.drawn.routes.clone();
        routes.refresh(&trial.circuit);
        routes.get(id).map(|corners| corners.iter().copied().map(Point::on_grid).collect::<Vec<_>>())
    });
    let way = drawn.unwrap_or_default();
    state.preview.run = Some((from, to, way.clone()));
    way
}

/// One bend from the terminal to the pointer.
fn loose_route(view: &View<'_>, from: RunEnd, at: Point) -> Vec<Point> {
    use lineside_drawing::placement::terminal_at;
    let block = view.project().circuit.block(from.block);
    let Some((start, facing)) = block.and_then(|block| terminal_at(block, from.terminal)) else {
        return Vec::new();
    };
    let start = Point::on_grid(start);
    let corner = if facing.is_level() { Point::new(at.x, start.y) } else { Point::new(start.x, at.y) };
    vec![start, corner, at]
}

fn say(ui: &Ui, view: &View<'_>, text: &str, at: Pos2, tone: Tone) {
    notice_ui(ui.ctx(), view.tokens, "would be", text, at, tone);
}
