//! Painting the sheet: paper, grid, the display list, and what is selected or pointed at.

use super::kept::Key;
use super::{SheetState, area_of, clusters, ghost, labels, lasso, proposed};
use crate::window::brush::Brush;
use crate::window::edits::places::Corner;
use crate::window::held::Held;
use crate::window::selection::Thing;
use crate::window::tokens::Tokens;
use crate::window::view::View;
use egui::{Painter, Pos2, Rect, Shape, Stroke, StrokeKind, Ui, Vec2, pos2};
use lineside_core::circuit::RunId;
use lineside_core::project::WordsOf;
use lineside_drawing::display_list::{Layer, Subject};
use lineside_drawing::geometry::{Point, STEP_MM};

/// Room between a symbol and the frame that shows it selected, in points.
pub const FRAME: f32 = 4.0;
/// A symbol that is smaller than this on the screen is drawn as a speck.
const SMALLEST_SYMBOL: f32 = 8.0;
/// Squares of the grid on paper, mm.
const SQUARE: f32 = 2.0 * STEP_MM;
/// Lines of the grid nearer than this on the screen are left out.
const CLOSEST_LINES: f32 = 12.0;

/// Paints everything on the sheet.
pub fn paint_ui(ui: &Ui, view: &View<'_>, state: &mut SheetState, rect: Rect) {
    let painter = ui.painter_at(rect);
    painter.rect_filled(rect, 0.0, view.tokens.sheet);
    grid(&painter, view.tokens, state, rect);
    let brush = Brush { camera: state.camera.to_screen(), tokens: view.tokens, painter: &painter };
    for run in &view.selection.runs {
        halo(&brush, state, *run);
    }
    if let Some(Subject::Run(run)) = state.under_pointer()
        && view.held.is_none()
        && !view.selection.runs.contains(&run)
    {
        halo(&brush, state, run);
    }
    let key = Key {
        revision: state.drawn.revision,
        camera: brush.camera,
        rect,
        paper: view.tokens.sheet,
        selected: view.selection.blocks.clone(),
    };
    let mut kept = std::mem::take(&mut state.kept);
    let mut words = std::mem::take(&mut state.words_afar);
    kept.paint(&painter, key, |painter| {
        words = drawing(&Brush { painter, ..brush }, view, state, rect);
    });
    state.kept = kept;
    state.words_afar = words;
    selected(&brush, view, state);
    pointed_at(&brush, view, state);
    let from = if let Some(Held::Band { from, .. }) = view.held { Some(*from) } else { None };
    if let Some(from) = from {
        band(ui, &painter, view.tokens, state, from);
    }
    if let Some(Held::Lasso { line, .. }) = view.held {
        lasso::paint(&painter, view.tokens, state, line);
    }
    ghost::ghost_ui(ui, &brush, view, state);
    proposed::proposed_ui(ui, &brush, view, state, rect);
}

/// The drawing: whatever does not depend on the pointer. Tells where words stand that are set larger than the drawing has
/// them.
fn drawing(brush: &Brush<'_>, view: &View<'_>, state: &SheetState, rect: Rect) -> Vec<(WordsOf, Rect)> {
    let afar = labels::are_needed(state.camera.scale());
    for group in &state.drawn.drawing.list.groups {
        let left_to_labels = afar && group.layer == Layer::Words;
        let bounds = brush.area(group.bounds);
        let left_to_clusters = group.layer == Layer::Marks;
        if left_to_labels || left_to_clusters || !rect.intersects(bounds) {
            continue;
        }
        if group.layer == Layer::Symbols && bounds.width().max(bounds.height()) < SMALLEST_SYMBOL {
            brush.speck(group, bounds);
        } else {
            group.items.iter().for_each(|item| brush.item(item));
        }
    }
    let words =
        if afar { labels::labels_ui(brush, &state.drawn, &view.selection.blocks, rect) } else { Vec::new() };
    clusters::paint_ui(brush, &state.clusters, rect);
    words
}

fn grid(painter: &Painter, tokens: &Tokens, state: &SheetState, rect: Rect) {
    let mut square = SQUARE;
    while square * state.camera.scale() < CLOSEST_LINES {
        square *= 5.0;
    }
    let stroke = Stroke::new(1.0, tokens.grid);
    let (first, last) = (state.camera.sheet(rect.min), state.camera.sheet(rect.max));
    let mut x = (first.x / square).ceil() * square;
    while x <= last.x {
        let at = state.camera.screen(Point::new(x, 0.0)).x;
        painter.vline(painter.round_to_pixel_center(at), rect.y_range(), stroke);
        x += square;
    }
    let mut y = (first.y / square).ceil() * square;
    while y <= last.y {
        let at = state.camera.screen(Point::new(0.0, y)).y;
        painter.hline(rect.x_range(), painter.round_to_pixel_center(at), stroke);
        y += square;
    }
}

/// A broad soft line under a run.
pub fn halo(brush: &Brush<'_>, state: &SheetState, run: RunId) {
    let points: Vec<Pos2> = state.drawn.route(run).into_iter().map(|point| brush.point(point)).collect();
    let width = (3.0 * brush.camera.scaling).clamp(7.0, 16.0);
    brush.painter.line(points, Stroke::new(width, brush.tokens.accent_ground));
}

fn selected(brush: &Brush<'_>, view: &View<'_>, state: &SheetState) {
    let accent = Stroke::new(1.5, brush.tokens.accent);
    for block in &view.selection.blocks {
        let rect = brush.area(area_of(view.project(), &state.drawn, Thing::Block(*block))).expand(FRAME);
        dashed(brush.painter, rect, accent);
    }
    for run in &view.selection.runs {
        let route = state.drawn.route(*run);
        for end in [route.first(), route.last()].into_iter().flatten() {
            handle(brush, *end);
        }
    }
    for id in &view.selection.places {
        let Some(place) = view.project().circuit.place(*id) else { continue };
        let rect = brush.area(area_of(view.project(), &state.drawn, Thing::Place(*id)));
        brush.painter.rect_stroke(rect, 0.0, accent, StrokeKind::Middle);
        for corner in Corner::ALL {
            handle(brush, Point::on_grid(corner.of(place)));
        }
    }
    if let Some(end) = view.selection.terminal
        && let Some(at) = state.drawn.terminal_at(end)
    {
        let radius = (1.3 * brush.camera.scaling).max(5.0);
        brush.painter.circle_stroke(brush.point(at), radius, Stroke::new(2.0, brush.tokens.accent));
    }
}

/// A small square by which something is taken hold of.
fn handle(brush: &Brush<'_>, at: Point) {
    let rect = Rect::from_center_size(brush.point(at), Vec2::splat(8.0));
    let edge = Stroke::new(1.5, brush.tokens.accent);
    brush.painter.rect(rect, 1.0, brush.tokens.card, edge, StrokeKind::Middle);
}

fn dashed(painter: &Painter, rect: Rect, stroke: Stroke) {
    let corners =
        [rect.left_top(), rect.right_top(), rect.right_bottom(), rect.left_bottom(), rect.left_top()];
    painter.extend(Shape::dashed_line(&corners, stroke, 5.0, 3.0));
}

/// What is under the pointer: an outline, and the terminals from which runs can be pulled.
fn pointed_at(brush: &Brush<'_>, view: &View<'_>, state: &SheetState) {
    let pulling = matches!(view.held, Some(Held::NewRun(_) | Held::RunEnd { .. }));
    let chosen = match state.under_pointer() {
        Some(Subject::Block(id)) => Some(id),
        Some(Subject::Terminal(end)) => Some(end.block),
        _ => None,
    };
    let shown = |block| pulling || chosen == Some(block) || view.selection.blocks.contains(&block);
    let radius = (0.5 * brush.camera.scaling).max(2.2);
    for (end, at) in state.drawn.terminals.iter().filter(|(end, _)| shown(end.block)) {
        let center = brush.point(*at);
        if !brush.painter.clip_rect().contains(center) {
            continue;
        }
        let here = state.under_pointer() == Some(Subject::Terminal(*end));
        let edge = Stroke::new(if here { 2.0 } else { 1.2 }, brush.tokens.accent);
        let fill = if here { brush.tokens.accent_ground } else { brush.tokens.sheet };
        brush.painter.circle(center, if here { radius * 1.7 } else { radius }, fill, edge);
    }
    if let (Some(Subject::Block(id)), None) = (state.under_pointer(), view.held)
        && !view.selection.blocks.contains(&id)
    {
        let rect = brush.area(area_of(view.project(), &state.drawn, Thing::Block(id))).expand(4.0);
        brush.painter.rect_stroke(rect, 2.0, Stroke::new(1.0, brush.tokens.line), StrokeKind::Middle);
    }
}

fn band(ui: &Ui, painter: &Painter, tokens: &Tokens, state: &SheetState, from: Point) {
    let Some(at) = ui.input(|input| input.pointer.latest_pos()) else { return };
    let rect = Rect::from_two_pos(state.camera.screen(from), pos2(at.x, at.y));
    painter.rect(
        rect,
        0.0,
        tokens.accent_ground.gamma_multiply(0.5),
        Stroke::new(1.0, tokens.accent),
        StrokeKind::Inside,
    );
}
