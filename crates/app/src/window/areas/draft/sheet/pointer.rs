//! The pointer on the sheet: pressing, dragging, clicking, zooming.
//!
//! What a drag does once it has begun is in `follow.rs` of the window.

use super::{SheetState, area_of, clusters};
use crate::window::action::{Action, Actions};
use crate::window::command::Command;
use crate::window::edits::moving;
use crate::window::edits::places::{self, Corner};
use crate::window::edits::wiring::{self, Landing};
use crate::window::held::{Choosing, Held};
use crate::window::selection::{Selection, Thing};
use crate::window::view::View;
use egui::{CursorIcon, Event, Key, MouseWheelUnit, PointerButton, Pos2, Response, Ui};
use lineside_core::circuit::{BlockId, GridPoint, Place, RunId, Side};
use lineside_core::edit::Gesture;
use lineside_core::project::WordsOf;
use lineside_drawing::display_list::Subject;
use lineside_drawing::geometry::{Area, Point};

/// Reads the pointer.
pub fn pointer_ui(ui: &Ui, view: &View<'_>, state: &mut SheetState, sheet: &Response, actions: &mut Actions) {
    let over = ui.input(|input| input.pointer.latest_pos()).filter(|_| sheet.contains_pointer());
    let marker = over.and_then(|at| state.clusters.at(at)).map(clusters::Cluster::name);
    state.under_pointer = over
        .filter(|_| marker.is_none())
        .and_then(|at| state.drawn.at(view.project(), state.camera.sheet(at), state.reach()));
    state.pointed_marker = marker;
    if let Some(at) = over {
        wheel(ui, state, at);
    }
    if sheet.drag_started()
        && let Some(at) = ui.input(|input| input.pointer.press_origin())
    {
        press(ui, view, state, at, actions);
    }
    if sheet.clicked() || sheet.secondary_clicked() {
        let at = sheet.interact_pointer_pos();
        let cluster = at.and_then(|at| state.clusters.at(at)).filter(|_| sheet.clicked()).cloned();
        if let Some(cluster) = cluster {
            state.clusters.pick(&cluster, actions);
            sheet.request_focus();
            return;
        }
        let under = at.and_then(|at| state.drawn.at(view.project(), state.camera.sheet(at), state.reach()));
        if sheet.clicked() {
            click(ui, view, under, actions);
        } else {
            aim(view, under, actions);
        }
        sheet.request_focus();
        if let Some(thing) = under.and_then(thing_of) {
            state.focus(thing);
        }
    }
    if sheet.double_clicked() && state.under_pointer.is_some() {
        actions.push(Action::Do(Command::EditNameplate));
    }
    cursor(ui, view, state, over);
}

fn wheel(ui: &Ui, state: &mut SheetState, at: Pos2) {
    /// How much nearer one notch of a wheel goes.
    const NOTCH: f32 = 1.18;
    /// Points that one notch moves the paper, with Shift.
    const STEP: f32 = 50.0;
    let pinch = ui.input(egui::InputState::zoom_delta);
    if (pinch - 1.0).abs() > f32::EPSILON {
        state.camera.zoom_about(at, pinch);
    }
    let turns: Vec<(MouseWheelUnit, egui::Vec2, egui::Modifiers)> = ui.input(|input| {
        input
            .events
            .iter()
            .filter_map(|event| {
                let Event::MouseWheel { unit, delta, modifiers, .. } = event else { return None };
                Some((*unit, *delta, *modifiers))
            })
            .collect()
    });
    for (unit, delta, modifiers) in turns {
        if modifiers.command || modifiers.ctrl {
            // egui counts this as pinching.
        } else if unit == MouseWheelUnit::Point {
            state.camera.pan(delta);
        } else if modifiers.shift {
            state.camera.pan(STEP * egui::vec2(delta.x + delta.y, 0.0));
        } else {
            state.camera.zoom_about(at, NOTCH.powf(delta.y.clamp(-8.0, 8.0)));
            state.camera.pan(STEP * egui::vec2(delta.x, 0.0));
        }
    }
}

/// A drag begins.
fn press(ui: &Ui, view: &View<'_>, state: &mut SheetState, at: Pos2, actions: &mut Actions) {
    let how = choosing(ui);
    let (space, middle) = ui.input(|input| {
        let middle = input.pointer.button_down(PointerButton::Middle);
        (input.key_down(Key::Space), middle)
    });
    if middle || space {
        actions.push(Action::Hold(Held::Paper));
        return;
    }
    if !ui.input(|input| input.pointer.primary_down() || input.pointer.primary_released()) {
        return;
    }
    let point = state.camera.sheet(at);
    if std::mem::take(&mut state.lasso_next) || ui.input(|input| input.modifiers.alt) {
        let now = ui.input(|input| input.pointer.latest_pos()).map(|at| state.camera.sheet(at));
        let line = std::iter::once(point).chain(now).collect();
        actions.push(Action::Hold(Held::Lasso { line, how }));
        return;
    }
    if state.clusters.at(at).is_some() {
        actions.push(Action::Hold(Held::Band { from: point, how }));
        return;
    }
    if let Some((place, corner)) = corner_at(view, state, point) {
        let held = Held::Corner { place: Box::new(place), corner, gesture: Gesture::default() };
        actions.push(Action::Hold(held));
        return;
    }
    // The end of a selected run is meant, even where it lies on a terminal.
    if let Some(held) = loose_end(view, state, point, Whose::Selected) {
        actions.push(Action::Hold(held));
        return;
    }
    let under = state.drawn.at(view.project(), point, state.reach());
    if !matches!(under, Some(Subject::Terminal(_) | Subject::Block(_) | Subject::Mark(_)))
        && let Some((of, corner)) = state.words_at(at)
    {
        actions.push(Action::Select(added(view, owner_of(of), how)));
        actions.push(Action::Hold(Held::Words { of, corner, grip: point, gesture: Gesture::default() }));
        return;
    }
    match under {
        Some(Subject::Terminal(end)) => match wiring::start(&view.project().circuit, end) {
            Landing::Fits(end) | Landing::Beside(end, _) => actions.push(Action::Hold(Held::NewRun(end))),
            Landing::Refused(why) => match loose_end(view, state, point, Whose::Any) {
                Some(held) => actions.push(Action::Hold(held)),
                None => actions.push(Action::Say(why, Some(at))),
            },
        },
        Some(Subject::Block(id)) => hold_block(view, id, point, how, actions),
        Some(Subject::Run(id)) => {
            actions.push(Action::Select(added(view, Thing::Run(id), how)));
            let held = loose_end(view, state, point, Whose::Any).or_else(|| piece_at(state, id, point));
            actions.extend(held.map(Action::Hold));
        }
        Some(Subject::Place(id)) => {
            actions.push(Action::Select(added(view, Thing::Place(id), how)));
            if let Some(moving) = places::to_move(&view.project().circuit, id) {
                let held = Held::Place { moving: Box::new(moving), grip: point, gesture: Gesture::default() };
                actions.push(Action::Hold(held));
            }
        }
        Some(Subject::Mark(_) | Subject::Sheet) | None => {
            actions.push(Action::Hold(Held::Band { from: point, how }));
        }
    }
}

/// With Shift or the command key, what is selected stays so.
fn choosing(ui: &Ui) -> Choosing {
    let adding = ui.input(|input| input.modifiers.shift || input.modifiers.command);
    if adding { Choosing::AsWell } else { Choosing::Instead }
}

fn hold_block(view: &View<'_>, id: BlockId, grip: Point, how: Choosing, actions: &mut Actions) {
    let mut selection = view.selection.clone();
    if !selection.contains(Thing::Block(id)) {
        selection = added(view, Thing::Block(id), how);
        actions.push(Action::Select(selection.clone()));
    }
    let from = moving::stands(&view.project().circuit, &selection.blocks);
    actions.push(Action::Hold(Held::Blocks { chief: id, from, grip, gesture: Gesture::default() }));
}

/// With Shift or the command key, a thing is added to what is selected.
fn added(view: &View<'_>, thing: Thing, how: Choosing) -> Selection {
    if how == Choosing::AsWell {
        let mut selection = view.selection.clone();
        selection.add(thing);
        selection
    } else {
        Selection::only(thing)
    }
}

/// Of which runs an end may be taken.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum Whose {
    Selected,
    Any,
}

/// The end of a run that lies at a point, to be taken off its terminal.
fn loose_end(view: &View<'_>, state: &SheetState, point: Point, whose: Whose) -> Option<Held> {
    let reach = (state.reach() * 1.6).max(2.5);
    let near = |end: Option<&Point>| {
        end.is_some_and(|end| (end.x - point.x).abs() <= reach && (end.y - point.y).abs() <= reach)
    };
    let chosen = view.selection.runs.iter().copied();
    let here = if whose == Whose::Any { state.drawn.run_near(point, state.reach()) } else { None };
    chosen.chain(here).find_map(|run: RunId| {
        let route = state.drawn.route(run);
        let side = if near(route.first()) {
            Side::From
        } else if near(route.last()) {
            Side::To
        } else {
            return None;
        };
        Some(Held::RunEnd { run, side })
    })
}

/// The straight piece of a run that lies at a point, to be pulled aside.
fn piece_at(state: &SheetState, run: RunId, point: Point) -> Option<Held> {
    let way = state.drawn.routes.get(run)?.to_vec();
    let off = |a: GridPoint, b: GridPoint| {
        let area = Area::of(&[Point::on_grid(a), Point::on_grid(b)]);
        let aside = (area.left - point.x).max(point.x - area.right).max(0.0);
        aside + (area.top - point.y).max(point.y - area.bottom).max(0.0)
    };
    let pieces = way.iter().zip(way.iter().skip(1)).enumerate();
    let nearest = pieces.min_by(|one, other| off(*one.1.0, *one.1.1).total_cmp(&off(*other.1.0, *other.1.1)));
    let (piece, _) = nearest?;
    Some(Held::Piece { run, way, piece, grip: point, gesture: Gesture::default() })
}

/// To what words belong.
const fn owner_of(of: WordsOf) -> Thing {
    match of {
        WordsOf::Tag(id) | WordsOf::Ratings(id) => Thing::Block(id),
        WordsOf::Callout(id) => Thing::Run(id),
    }
}

/// The corner of a selected place at a point.
fn corner_at(view: &View<'_>, state: &SheetState, point: Point) -> Option<(Place, Corner)> {
    let reach = state.reach() * 1.3;
    view.selection.places.iter().filter_map(|id| view.project().circuit.place(*id)).find_map(|place| {
        let near = |corner: &Corner| {
            let at = Point::on_grid(corner.of(place));
            (at.x - point.x).abs() <= reach && (at.y - point.y).abs() <= reach
        };
        Corner::ALL.into_iter().find(near).map(|corner| (place.clone(), corner))
    })
}

fn click(ui: &Ui, view: &View<'_>, under: Option<Subject>, actions: &mut Actions) {
    let how = choosing(ui);
    let mut selection = view.selection.clone();
    match under.and_then(thing_of) {
        Some(thing) if how == Choosing::AsWell => selection.toggle(thing),
        Some(thing) => selection = Selection::only(thing),
        None if how == Choosing::AsWell => return,
        None => selection = Selection::default(),
    }
    actions.push(Action::Select(selection));
}

/// A context menu is about what is under the pointer; over empty paper, about the sheet.
fn aim(view: &View<'_>, under: Option<Subject>, actions: &mut Actions) {
    match under.and_then(thing_of) {
        Some(thing) if view.selection.contains(thing) => {}
        Some(thing) => actions.push(Action::Select(Selection::only(thing))),
        None => actions.push(Action::Select(Selection::default())),
    }
}

/// What can be selected of what lies under the pointer.
pub const fn thing_of(subject: Subject) -> Option<Thing> {
    match subject {
        Subject::Block(id) => Some(Thing::Block(id)),
        Subject::Run(id) => Some(Thing::Run(id)),
        Subject::Place(id) => Some(Thing::Place(id)),
        Subject::Terminal(end) => Some(Thing::Terminal(end)),
        Subject::Mark(_) | Subject::Sheet => None,
    }
}

fn cursor(ui: &Ui, view: &View<'_>, state: &SheetState, over: Option<Pos2>) {
    let Some(at) = over else { return };
    let held = match view.held {
        Some(
            Held::Paper
            | Held::Blocks { .. }
            | Held::Place { .. }
            | Held::Words { .. }
            | Held::Piece { .. }
            | Held::Item(_)
            | Held::Template(_),
        ) => Some(CursorIcon::Grabbing),
        Some(Held::NewRun(_) | Held::RunEnd { .. } | Held::Band { .. } | Held::Lasso { .. }) => {
            Some(CursorIcon::Crosshair)
        }
        Some(Held::Corner { corner, .. }) => Some(corner_cursor(*corner)),
        Some(Held::Number { .. }) => return,
        None => None,
    };
    let icon = held.unwrap_or_else(|| {
        if state.lasso_next {
            return CursorIcon::Crosshair;
        }
        if ui.input(|input| input.key_down(Key::Space)) {
            return CursorIcon::Grab;
        }
        if let Some((_, corner)) = corner_at(view, state, state.camera.sheet(at)) {
            return corner_cursor(corner);
        }
        if state.pointed_marker.is_some() {
            return CursorIcon::PointingHand;
        }
        match state.under_pointer {
            Some(Subject::Terminal(_)) => CursorIcon::Crosshair,
            Some(Subject::Block(_) | Subject::Place(_)) => CursorIcon::Grab,
            Some(Subject::Run(_) | Subject::Sheet) | None if state.words_at(at).is_some() => CursorIcon::Grab,
            Some(Subject::Run(_) | Subject::Mark(_)) => CursorIcon::PointingHand,
            Some(Subject::Sheet) | None => CursorIcon::Default,
        }
    });
    ui.ctx().set_cursor_icon(icon);
}

const fn corner_cursor(corner: Corner) -> CursorIcon {
    match corner {
        Corner::UpperLeft | Corner::LowerRight => CursorIcon::ResizeNwSe,
        Corner::UpperRight | Corner::LowerLeft => CursorIcon::ResizeNeSw,
    }
}

/// Whether a thing is in view; what is not is brought there when the keyboard comes to it.
pub fn is_in_view(view: &View<'_>, state: &SheetState, thing: Thing) -> bool {
    let area = area_of(view.project(), &state.drawn, thing);
    state.view.is_some_and(|rect| rect.contains_rect(state.camera.screen_area(area)))
}
