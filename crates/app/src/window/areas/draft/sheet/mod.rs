//! The sheet: the drawing under the pointer and the keyboard.
//!
//! `drawn.rs` keeps the drawing, `camera.rs` the view of it, `paint.rs` paints and `kept.rs` keeps what was painted, `pointer.rs` reads the pointer,
//! `names.rs` gives everything a name and a place in the order of the Tab key.

pub mod camera;
pub mod clusters;
pub mod drawn;
mod ghost;
mod hint;
mod kept;
mod labels;
pub mod lasso;
pub mod look;
mod menu;
mod names;
mod paint;
mod pointer;
mod proposed;
mod room;

pub use ghost::{INTO_REACH, Target, target};
pub use names::{capital, free_terminal};
pub use proposed::Proposed;

use crate::window::action::Actions;
use crate::window::selection::Thing;
use crate::window::view::View;
use camera::Camera;
use drawn::Drawn;
use egui::{self, Context, Id, Pos2, Rect, Role, Sense, Ui, WidgetInfo};
use lineside_core::circuit::{GridPoint, RunEnd};
use lineside_core::project::WordsOf;
use lineside_drawing::display_list::Subject;
use lineside_drawing::geometry::{Area, Point};

/// What the view of the sheet is to show next.
#[derive(Clone, Copy, Debug, PartialEq)]
enum Want {
    /// Everything.
    Fit,
    /// An area, as large as it fits.
    Frame(Area),
    /// An area, with as little motion as will do.
    Reveal(Area),
    /// Nearer or farther by a factor.
    Zoom(f32),
    /// The true scale.
    Full,
}

/// What the sheet remembers.
#[derive(Default)]
pub struct SheetState {
    /// The view of it.
    pub camera: Camera,
    /// The drawing.
    pub drawn: Drawn,
    kept: kept::Kept,
    /// Words as they were painted where they are set larger than the drawing has them.
    words_afar: Vec<(WordsOf, Rect)>,
    view: Option<Rect>,
    want: Option<Want>,
    under_pointer: Option<Subject>,
    /// The part of the sheet that has the keyboard.
    focus: Option<Id>,
    /// The part that has it from this frame on.
    focus_now: Option<Thing>,
    /// The part that has it from the next frame on, when what was asked for has been done.
    focus_next: Option<Thing>,
    /// Whether the sheet itself is to have the keyboard next.
    keyboard_next: bool,
    preview: ghost::Preview,
    clusters: clusters::Clusters,
    proposed: Option<Proposed>,
    ghost: proposed::Ghost,
    /// The marker under the pointer, in words.
    pointed_marker: Option<String>,
    /// Whether the next drag on the sheet draws a lasso.
    pub lasso_next: bool,
    /// A run that was pulled to a point where it is being chosen what is to stand.
    pub loose: Option<(RunEnd, GridPoint)>,
    /// The camera that showed everything in a view of that size; while it is still the camera, it follows the
    /// size of the view.
    fitted: Option<(Camera, Rect)>,
}

impl SheetState {
    /// Shows everything.
    pub fn fit(&mut self) {
        self.want = Some(Want::Fit);
    }
    /// Shows an area as large as it fits.
    pub fn frame(&mut self, area: Area) {
        self.want = Some(Want::Frame(area));
    }
    /// Moves so far that an area is in view.
    pub fn reveal(&mut self, area: Area) {
        self.want = Some(Want::Reveal(area));
    }
    /// Goes nearer or farther about the middle of the view.
    pub fn zoom(&mut self, factor: f32) {
        self.want = Some(Want::Zoom(factor));
    }
    /// Goes to the true scale.
    pub fn zoom_full(&mut self) {
        self.want = Some(Want::Full);
    }
    /// Percent of the true scale.
    pub fn zoom_percent(&self) -> u32 {
        self.camera.percent()
    }
    /// Where on the screen the sheet is.
    pub const fn view(&self) -> Option<Rect> {
        self.view
    }
    /// The words that a hand can move, at a point of the screen, with their upper left corner on the sheet.
    fn words_at(&self, at: Pos2) -> Option<(WordsOf, Point)> {
        if labels::are_needed(self.camera.scale()) {
            let (of, _) = self.words_afar.iter().rev().find(|(_, rect)| rect.contains(at))?;
            let words = self.drawn.drawing.words.iter().find(|words| words.of == *of)?;
            return Some((*of, Point::new(words.area.left, words.area.top)));
        }
        let words = self.drawn.drawing.words_at(self.camera.sheet(at))?;
        Some((words.of, Point::new(words.area.left, words.area.top)))
    }
    /// The point of the sheet under a point of the screen; `None` outside the view.
    pub fn point_at(&self, at: Pos2) -> Option<Point> {
        self.view?.contains(at).then(|| self.camera.sheet(at))
    }
    /// The point of the sheet under a point of the screen, in view or not.
    pub fn point_beyond(&self, at: Pos2) -> Point {
        self.camera.sheet(at)
    }
    /// The middle of the view on the grid.
    pub fn middle(&self) -> GridPoint {
        self.view.map_or_else(GridPoint::default, |view| self.camera.sheet(view.center()).to_grid())
    }
    /// How near to a thing the pointer counts as being there, mm.
    pub fn reach(&self) -> f32 {
        (7.0 / self.camera.scale()).clamp(0.8, 3.0)
    }
    /// Whether the sheet or something on it has the keyboard.
    pub fn has_focus(&self, ctx: &Context) -> bool {
        let focused = ctx.memory(egui::Memory::focused);
        focused.is_some() && focused == self.focus
    }
    /// Whether keys mean the sheet: it has the keyboard, or nothing has and the pointer is over it or nowhere.
    pub fn listens(&self, ctx: &Context) -> bool {
        if ctx.memory(egui::Memory::focused).is_some() {
            return self.has_focus(ctx);
        }
        let Some(at) = ctx.pointer_latest_pos() else { return true };
        let uncovered = ctx.layer_id_at(at).is_none_or(|layer| layer.order == egui::Order::Background);
        uncovered && self.view.is_some_and(|view| view.contains(at))
    }
    /// Gives the keyboard to something on the sheet.
    pub fn focus(&mut self, thing: Thing) {
        self.focus_next = Some(thing);
    }
    /// Gives the keyboard to the sheet itself.
    pub const fn take_keyboard(&mut self) {
        self.keyboard_next = true;
    }
    /// Whether the list of the findings behind a marker is open.
    pub const fn lists_findings(&self) -> bool {
        self.clusters.is_open()
    }
    /// What is under the pointer.
    pub const fn under_pointer(&self) -> Option<Subject> {
        self.under_pointer
    }
}

/// The sheet. Gives back what is under the pointer, in words.
pub fn sheet_ui(ui: &mut Ui, view: &View<'_>, state: &mut SheetState, actions: &mut Actions) -> String {
    let (rect, response) = ui.allocate_exact_size(ui.available_size(), Sense::click_and_drag());
    response.widget_info(|| WidgetInfo::labeled(Role::Canvas, true, "Sheet"));
    state.focus_now = state.focus_next.take();
    if std::mem::take(&mut state.keyboard_next) && state.focus_now.is_none() {
        response.request_focus();
    }
    let first = state.view.is_none();
    state.view = Some(rect);
    look(state, rect);
    if first {
        // The view has only now its size; what is wanted of it was done for this frame already.
        ui.ctx().request_repaint();
    }
    state.clusters.follow(&state.drawn, state.camera.to_screen());
    pointer::pointer_ui(ui, view, state, &response, actions);
    // The wheel may have moved the view.
    state.clusters.follow(&state.drawn, state.camera.to_screen());
    paint::paint_ui(ui, view, state, rect);
    names::names_ui(ui, view, state, &response, actions);
    menu::menu_ui(view, state, &response, actions);
    clusters::list_ui(ui, view, state, actions);
    if state.focus_next.is_some() {
        ui.ctx().request_repaint();
    }
    if response.has_focus() {
        state.focus = Some(response.id);
        lock_arrows(ui.ctx(), response.id);
    }
    hint::hint(view, state)
}

/// Brings into view what is wanted there.
fn look(state: &mut SheetState, rect: Rect) {
    let middle = rect.center();
    if let Some((camera, view)) = state.fitted
        && state.want.is_none()
        && camera == state.camera
        && view != rect
    {
        state.want = Some(Want::Fit);
    }
    match state.want.take() {
        Some(Want::Fit) => {
            let bounds = state.drawn.drawing.bounds;
            let empty = Area::at(Point::new(0.0, 0.0), 200.0, 120.0);
            state.camera.fit(rect, if bounds.is_nothing() { empty } else { bounds });
            state.fitted = Some((state.camera, rect));
        }
        Some(Want::Frame(area)) => state.camera.fit(rect, area),
        Some(Want::Reveal(area)) => state.camera.reveal(rect, area),
        Some(Want::Zoom(factor)) => state.camera.zoom_about(middle, factor),
        Some(Want::Full) => state.camera.zoom_full(middle),
        None => {}
    }
}

/// Keeps the arrow keys for moving blocks; they would move the keyboard focus otherwise.
fn lock_arrows(ctx: &Context, id: Id) {
    let filter =
        egui::EventFilter { tab: false, horizontal_arrows: true, vertical_arrows: true, escape: true };
    ctx.memory_mut(|memory| memory.set_focus_lock_filter(id, filter));
}

/// The area of a thing on the sheet, mm.
pub fn area_of(view_project: &lineside_core::project::Project, drawn: &Drawn, thing: Thing) -> Area {
    let circuit = &view_project.circuit;
    match thing {
        Thing::Block(id) => drawn.box_of(id).unwrap_or(Area::NOTHING),
        Thing::Terminal(end) => drawn.terminal_at(end).map_or(Area::NOTHING, |at| Area::around(at, 2.0, 2.0)),
        Thing::Run(id) => Area::of(&drawn.route(id)),
        Thing::Place(id) => circuit.place(id).map_or(Area::NOTHING, |place| {
            let size = Point::on_grid(place.size);
            Area::at(Point::on_grid(place.at), size.x, size.y)
        }),
    }
}
