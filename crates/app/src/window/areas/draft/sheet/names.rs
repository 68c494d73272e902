//! Names for assistive technology and the order of the Tab key on the sheet.
//!
//! The pointer meets the sheet as a whole; these nodes carry a name, a place and the keyboard, nothing else.

use super::pointer::is_in_view;
use super::{SheetState, area_of, lock_arrows};
use crate::window::action::{Action, Actions};
use crate::window::edits::wiring;
use crate::window::selection::{Selection, Thing};
use crate::window::view::View;
use egui::accesskit::Action as Asked;
use egui::{Id, Rect, Response, Role, Sense, Ui, Vec2, WidgetInfo};
use lineside_core::circuit::{Circuit, RunEnd};
use lineside_drawing::geometry::{Area, Point};

/// On sheets with more blocks than this, only what is in view has a name, and runs only at what is selected. With
/// more than this in view, only what is selected has one; nobody listens to so many names.
const MANY: usize = 300;

/// The id of the node of a thing.
pub fn id_of(thing: Thing) -> Id {
    Id::unique(("on the sheet", thing))
}

/// Names everything.
pub fn names_ui(
    ui: &mut Ui,
    view: &View<'_>,
    state: &mut SheetState,
    sheet: &Response,
    actions: &mut Actions,
) {
    let circuit = &view.project().circuit;
    let everything = circuit.block_count() <= MANY;
    let seen = if everything || in_view(state, sheet.rect) <= MANY { sheet.rect } else { Rect::NOTHING };
    let mut visible =
        |ui: &mut Ui, state: &mut SheetState, thing: Thing, rect: Rect, name: &dyn Fn() -> String| {
            if everything || seen.intersects(rect) || view.selection.contains(thing) {
                node(ui, view, state, thing, rect, name, actions);
            }
        };
    for place in circuit.places() {
        let thing = Thing::Place(place.id);
        let corner = state.camera.screen(Point::on_grid(place.at));
        let width = Point::on_grid(place.size).x * state.camera.scale();
        let rect = Rect::from_min_size(corner, Vec2::new(width, 5.0 * state.camera.scale()));
        visible(ui, state, thing, rect, &|| format!("Place {}", place.name));
    }
    let order = std::mem::take(&mut state.drawn.order);
    for id in &order {
        let Some(block) = circuit.block(*id) else { continue };
        let thing = Thing::Block(*id);
        let rect = state.camera.screen_area(area_of(view.project(), &state.drawn, thing));
        visible(ui, state, thing, rect, &|| capital(&block.title()));
        if view.selection.blocks.contains(id) || (everything && order.len() <= MANY / 3) {
            for (end, at) in state.drawn.terminals_of(*id).to_vec() {
                let rect = state.camera.screen_area(Area::around(at, 2.0, 2.0));
                visible(ui, state, Thing::Terminal(end), rect, &|| circuit.end_name(end));
            }
        }
    }
    state.drawn.order = order;
    let pieces = std::mem::take(&mut state.drawn.pieces);
    for (id, piece) in &pieces {
        let Some(run) = circuit.run(*id) else { continue };
        let near = |end: RunEnd| view.selection.blocks.contains(&end.block);
        if everything || view.selection.runs.contains(id) || near(run.from) || near(run.to) {
            let rect = state.camera.screen_area(piece.grown(1.0));
            visible(ui, state, Thing::Run(*id), rect, &|| {
                format!("Run {} from {} to {}", run.tag, circuit.end_name(run.from), circuit.end_name(run.to))
            });
        }
    }
    state.drawn.pieces = pieces;
    marks(ui, state, seen, actions);
}

/// How many blocks are in view, counted up to one more than matters.
fn in_view(state: &SheetState, rect: Rect) -> usize {
    let visible =
        |id| state.drawn.box_of(id).is_some_and(|area| rect.intersects(state.camera.screen_area(area)));
    state.drawn.order.iter().filter(|id| visible(**id)).take(MANY + 1).count()
}

fn node(
    ui: &mut Ui,
    view: &View<'_>,
    state: &mut SheetState,
    thing: Thing,
    rect: Rect,
    name: &dyn Fn() -> String,
    actions: &mut Actions,
) {
    let id = id_of(thing);
    // Terminals are stops of the Tab key only on what is selected, or there would be too many.
    let stop = match thing {
        Thing::Terminal(end) => view.selection.blocks.contains(&end.block),
        Thing::Block(_) | Thing::Run(_) | Thing::Place(_) => true,
    };
    let sense = if stop { Sense::focusable_noninteractive() } else { Sense::hover() };
    let response = ui.interact(rect, id, sense);
    let selected = view.selection.contains(thing);
    response.widget_info(|| WidgetInfo::selected(Role::GraphicsObject, true, selected, name()));
    if ui.input(|input| input.has_accesskit_action_request(id, Asked::Click)) {
        actions.push(Action::Select(Selection::only(thing)));
    }
    if state.focus_now == Some(thing) {
        state.focus_now = None;
        response.request_focus();
    }
    if !response.has_focus() {
        return;
    }
    state.focus = Some(id);
    lock_arrows(ui.ctx(), id);
    if response.gained_focus() {
        if !selected {
            actions.push(Action::Select(Selection::only(thing)));
        }
        if !is_in_view(view, state, thing) {
            state.reveal(area_of(view.project(), &state.drawn, thing));
            ui.ctx().request_repaint();
        }
    }
}

fn marks(ui: &mut Ui, state: &mut SheetState, seen: Rect, actions: &mut Actions) {
    let mut asked = None;
    for (index, cluster) in state.clusters.all().iter().enumerate() {
        let rect = cluster.rect();
        if !seen.intersects(rect) {
            continue;
        }
        let id = Id::unique(("mark", index));
        let response = ui.interact(rect, id, Sense::hover());
        response.widget_info(|| WidgetInfo::labeled(Role::GraphicsObject, true, cluster.name()));
        if ui.input(|input| input.has_accesskit_action_request(id, Asked::Click)) {
            asked = Some(cluster.clone());
        }
    }
    if let Some(cluster) = asked {
        state.clusters.pick(&cluster, actions);
    }
}

/// With a capital letter.
pub fn capital(text: &str) -> String {
    let mut letters = text.chars();
    letters.next().map_or_else(String::new, |first| first.to_uppercase().chain(letters).collect())
}

/// The first terminal of a block from which a run can be drawn.
pub fn free_terminal(circuit: &Circuit, block: lineside_core::circuit::BlockId) -> Option<RunEnd> {
    let terminals = circuit.block(block)?.equipment.terminals();
    terminals
        .into_iter()
        .map(|terminal| RunEnd { block, terminal: terminal.name })
        .find(|end| matches!(wiring::start(circuit, *end), wiring::Landing::Fits(_)))
}
