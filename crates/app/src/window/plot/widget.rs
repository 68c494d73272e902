//! A plot on the screen: read out under the pointer or by arrow keys, zoomed along its scale.
//!
//! The card round it, with its title and its menu, is in `card.rs`.

use super::axis::Span;
use super::paint::paint;
use super::picture::Picture;
use crate::window::fonts;
use crate::window::tokens::Tokens;
use crate::window::view::View;
use egui::{
    EventFilter, FontId, Id, Key, Pos2, Rect, Response, Role, Sense, Stroke, StrokeKind, Ui, Vec2,
    WidgetInfo, pos2, vec2,
};
use lineside_core::units::UnitSystem;

/// How a plot is to be drawn.
#[derive(Clone, Copy, Debug)]
pub struct Look<'a> {
    /// Colors.
    pub tokens: &'a Tokens,
    /// In which units people read.
    pub units: UnitSystem,
    /// Its size.
    pub size: Vec2,
    /// The part of its scale that is seen, as shares from 0 to 1.
    pub zoom: Span,
}

/// What stands under the pointer.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Readout {
    /// Where: a month, an hour.
    pub title: String,
    /// Names and figures.
    pub rows: Vec<(String, String)>,
}

/// A plot of figures at places that can be counted: months, hours, years.
pub trait Plot {
    /// Its title.
    fn title(&self) -> &'static str;
    /// What it shows, in words, for those who do not see it.
    fn said(&self) -> String;
    /// How many places can be read out.
    fn places(&self) -> usize;
    /// The picture.
    fn draw(&self, look: &Look<'_>) -> Picture;
    /// The place under a point of the picture.
    fn place_at(&self, look: &Look<'_>, at: Pos2) -> Option<usize>;
    /// Where a place lies in the picture.
    fn spot(&self, look: &Look<'_>, place: usize) -> Rect;
    /// What is read out there.
    fn readout(&self, place: usize) -> Readout;
    /// By how many places the arrow keys go: left and right, up and down.
    fn strides(&self) -> (usize, usize) {
        (1, 1)
    }
    /// Every figure, as CSV.
    fn table(&self) -> String;
}

/// What a plot remembers.
#[derive(Clone, Debug)]
pub struct PlotState {
    /// The part of its scale that is seen.
    pub zoom: Span,
    /// The place that was chosen by key or by click.
    pub place: Option<usize>,
}

impl Default for PlotState {
    fn default() -> Self {
        Self { zoom: WHOLE, place: None }
    }
}

/// The whole scale.
pub const WHOLE: Span = Span { from: 0.0, to: 1.0 };
/// The smallest part of a scale that is looked at.
const LEAST: f64 = 0.02;
/// By how much one step of zooming goes nearer.
const NEARER: f64 = 1.5;

impl PlotState {
    /// Goes nearer or farther about a share of what is seen.
    fn zoom_by(&mut self, nearer: f64, about: f64) {
        let fixed = self.zoom.at(about);
        let width = ((self.zoom.to - self.zoom.from) / nearer).clamp(LEAST, 1.0);
        self.show(fixed - width * about, width);
    }

    fn show(&mut self, from: f64, width: f64) {
        let from = from.clamp(0.0, 1.0 - width);
        self.zoom = Span { from, to: from + width };
    }

    pub(super) fn is_zoomed(&self) -> bool {
        self.zoom.to - self.zoom.from < 1.0 - 1e-9
    }
}

/// The plot without its title. Gives the place that is read out and the response.
pub fn plot_ui(
    ui: &mut Ui,
    view: &View<'_>,
    state: &mut PlotState,
    plot: &dyn Plot,
    size: Vec2,
) -> (Response, Option<usize>) {
    let id = Id::unique(("plot", plot.title()));
    let (rect, _) = ui.allocate_exact_size(size, Sense::hover());
    let response = ui.interact(rect, id, Sense::click_and_drag());
    let look = Look { tokens: view.tokens, units: view.units(), size, zoom: state.zoom };
    keys(ui, &response, state, plot);
    pointer(ui, &response, state);
    let look = Look { zoom: state.zoom, ..look };
    let hovered = response
        .hover_pos()
        .filter(|_| !response.dragged())
        .and_then(|at| plot.place_at(&look, at - rect.min.to_vec2()));
    if response.clicked() {
        response.request_focus();
        state.place = hovered;
    }
    let place = hovered.or_else(|| state.place.filter(|_| response.has_focus()));
    let said = place.map_or_else(|| plot.said(), |place| words(&plot.readout(place)));
    response.widget_info(|| WidgetInfo::labeled(Role::Canvas, true, format!("{}. {said}", plot.title())));
    let painter = ui.painter_at(rect);
    paint(&painter, rect.min, &plot.draw(&look));
    if response.has_focus() {
        let edge = Stroke::new(1.0, view.tokens.accent);
        painter.rect_stroke(rect.shrink(0.5), 3.0, edge, StrokeKind::Inside);
    }
    if let Some(place) = place {
        let spot = plot.spot(&look, place).translate(rect.min.to_vec2());
        let edge = Stroke::new(1.4, view.tokens.accent);
        painter.rect_stroke(spot.expand(1.0).intersect(rect), 0.0, edge, StrokeKind::Middle);
        card(ui, view.tokens, rect, spot, &plot.readout(place));
    }
    (response, place)
}

fn words(readout: &Readout) -> String {
    let rows = readout.rows.iter().map(|(name, figure)| format!("{name} {figure}"));
    format!("{}: {}", readout.title, rows.collect::<Vec<_>>().join(", "))
}

fn keys(ui: &Ui, response: &Response, state: &mut PlotState, plot: &dyn Plot) {
    if !response.has_focus() {
        return;
    }
    let filter = EventFilter { horizontal_arrows: true, vertical_arrows: true, ..EventFilter::default() };
    ui.memory_mut(|memory| memory.set_focus_lock_filter(response.id, filter));
    let (along, across) = plot.strides();
    let last = plot.places().saturating_sub(1);
    let now = state.place.unwrap_or(0);
    let begun = state.place.is_some();
    ui.input_mut(|input| {
        let mut take = |key| input.consume_key(egui::Modifiers::NONE, key);
        let mut go = |to: usize| state.place = Some(if begun { to.min(last) } else { now.min(last) });
        if take(Key::ArrowRight) {
            go(now + along);
        }
        if take(Key::ArrowLeft) {
            go(now.saturating_sub(along));
        }
        if take(Key::ArrowUp) {
            go(now.saturating_sub(across));
        }
        if take(Key::ArrowDown) {
            go(now + across);
        }
        if take(Key::End) {
            state.place = Some(last);
        }
        if take(Key::Home) {
            state.place = Some(0);
        }
        let about = if last == 0 { 0.5 } else { state.zoom.share(now as f64 / last as f64).clamp(0.0, 1.0) };
        if take(Key::Plus) || take(Key::Equals) {
            state.zoom_by(NEARER, about);
        }
        if take(Key::Minus) {
            state.zoom_by(1.0 / NEARER, about);
        }
        if take(Key::Num0) {
            state.zoom = WHOLE;
        }
    });
}

fn pointer(ui: &Ui, response: &Response, state: &mut PlotState) {
    let width = f64::from(response.rect.width().max(1.0));
    if response.dragged() && state.is_zoomed() {
        let seen = state.zoom.to - state.zoom.from;
        let moved = f64::from(response.drag_delta().x) / width * seen;
        state.show(state.zoom.from - moved, seen);
    }
    if response.double_clicked() {
        state.zoom = WHOLE;
    }
    let pinch = ui.input(egui::InputState::zoom_delta);
    if let Some(at) = response.hover_pos().filter(|_| (pinch - 1.0).abs() > 1e-3) {
        state.zoom_by(f64::from(pinch), f64::from(at.x - response.rect.left()) / width);
    }
}

/// Room between the readout and what it reads.
const APART: f32 = 12.0;
const PITCH: f32 = 18.0;

fn card(ui: &Ui, tokens: &Tokens, around: Rect, spot: Rect, readout: &Readout) {
    let painter = ui.painter_at(around);
    let strong = FontId::new(fonts::SMALL, fonts::strong());
    let title = painter.layout_no_wrap(readout.title.clone(), strong, tokens.ink);
    let of = |text: &str, color| painter.layout_no_wrap(text.to_owned(), fonts::small(), color);
    let rows: Vec<_> = readout
        .rows
        .iter()
        .map(|(name, figure)| (of(name, tokens.soft_ink), of(figure, tokens.ink)))
        .collect();
    let widest = |widths: &mut dyn Iterator<Item = f32>| widths.fold(0.0, f32::max);
    let names = widest(&mut rows.iter().map(|(name, _)| name.size().x));
    let figures = widest(&mut rows.iter().map(|(_, figure)| figure.size().x));
    let width = (names + figures + 14.0).max(title.size().x) + 20.0;
    let height = (rows.len() as f32 + 1.0) * PITCH + 12.0;
    let right = spot.right() + APART + width <= around.right();
    let left = if right { spot.right() + APART } else { (spot.left() - APART - width).max(around.left()) };
    let top =
        (spot.center().y - height / 2.0).clamp(around.top(), (around.bottom() - height).max(around.top()));
    let rect = Rect::from_min_size(pos2(left, top), vec2(width, height));
    painter.rect(rect, 4.0, tokens.card, Stroke::new(1.0, tokens.line), StrokeKind::Inside);
    let mut y = rect.top() + 6.0;
    painter.galley(pos2(rect.left() + 10.0, y), title, tokens.ink);
    for (name, figure) in rows {
        y += PITCH;
        painter.galley(pos2(rect.left() + 10.0, y), name, tokens.soft_ink);
        let at = pos2(rect.right() - 10.0 - figure.size().x, y);
        painter.galley(at, figure, tokens.ink);
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn zooming_keeps_what_is_under_the_pointer() {
        let mut state = PlotState::default();
        // Twice as near about the right quarter: from 0.375 to 0.875, in which 0.75 lies at three quarters.
        state.zoom_by(2.0, 0.75);
        assert!((state.zoom.from - 0.375).abs() < 1e-12 && (state.zoom.to - 0.875).abs() < 1e-12);
        assert!(state.is_zoomed());
        state.zoom_by(1e9, 0.5);
        assert!((state.zoom.to - state.zoom.from - LEAST).abs() < 1e-12);
        state.zoom_by(1e-9, 0.5);
        assert_eq!((state.zoom, state.is_zoomed()), (WHOLE, false));
        state.zoom_by(2.0, 0.0);
        state.show(-5.0, 0.5);
        assert!(state.zoom.from.abs() < 1e-12);
    }
}
