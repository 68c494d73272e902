//! The history: every step by its name, oldest first, with the one at which the project stands; a click goes there.

use super::action::{Action, Actions};
use super::fonts;
use super::tokens::Tokens;
use super::view::View;
use egui::{
    Align, Area, Context, FontId, Frame, Id, Margin, Order, Rect, RichText, Role, ScrollArea, Sense, Stroke,
    Ui, WidgetInfo, pos2, vec2,
};
use std::cmp::Ordering;

/// Width of the list.
const WIDTH: f32 = 300.0;
/// Height of a row.
const ROW: f32 = 27.0;

/// What the list remembers.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct HistoryList {
    /// Whether it is shown.
    pub open: bool,
    /// The state that was in view last, so that a new one is brought there.
    seen: Option<usize>,
}

/// One state of the project.
struct Row {
    /// How many steps led to it.
    steps: usize,
    name: String,
    standing: Standing,
    is_saved: bool,
}

/// How a state stands to the one in which the project is.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum Standing {
    Before,
    Now,
    TakenBack,
}

/// Shows the list below the strip, at the right, while it is open.
pub fn history_ui(ctx: &Context, view: &View<'_>, state: &mut HistoryList, actions: &mut Actions) {
    if !state.open {
        state.seen = None;
        return;
    }
    let screen = ctx.content_rect();
    let corner = pos2(screen.right() - WIDTH - 40.0, screen.top() + 84.0);
    Area::new(Id::unique("history"))
        .order(Order::Foreground)
        .fixed_pos(corner)
        .constrain_to(screen.shrink(8.0))
        .fade_in(false)
        .show(ctx, |ui| {
            Frame::popup(ui.style()).inner_margin(Margin::same(10)).show(ui, |ui| {
                ui.set_width(WIDTH);
                body(ui, view, state, actions);
            });
        });
}

fn body(ui: &mut Ui, view: &View<'_>, state: &mut HistoryList, actions: &mut Actions) {
    let tokens = view.tokens;
    ui.horizontal(|ui| {
        ui.label(RichText::new("History").font(FontId::new(fonts::BODY, fonts::strong())));
        ui.with_layout(egui::Layout::right_to_left(Align::Center), |ui| {
            super::style::quiet(ui.style_mut());
            if ui.button("Close").accessible_name("Close the history").clicked() {
                state.open = false;
            }
        });
    });
    let now = view.document.history.steps().len();
    let height = (ui.ctx().content_rect().height() - 240.0).clamp(120.0, 15.0 * ROW);
    // The area remembers how high a shorter list was; this one need not stay so.
    let scroll = ScrollArea::vertical().max_height(height).min_scrolled_height(height);
    scroll.auto_shrink([false, true]).show(ui, |ui| {
        ui.spacing_mut().item_spacing.y = 0.0;
        for row in rows(view) {
            let response = row_ui(ui, tokens, &row);
            if row.steps == now && state.seen != Some(now) {
                state.seen = Some(now);
                response.scroll_to_me(None);
            }
            if response.clicked() && row.steps != now {
                actions.push(Action::GoToStep(row.steps));
            }
        }
    });
    ui.add_space(4.0);
    let words =
        "Click a step to go to how the sheet was after it. Nothing is lost until another step is made.";
    ui.add(egui::Label::new(RichText::new(words).font(fonts::small()).color(tokens.soft_ink)).wrap());
}

fn rows(view: &View<'_>) -> Vec<Row> {
    let history = &view.document.history;
    let begun = if view.document.file.is_some() { "As it was opened" } else { "As it began" };
    let now = history.steps().len();
    let saved = history.saved_after();
    let steps = history.steps().iter().chain(history.undone().iter().rev());
    let names = steps.map(|step| super::areas::draft::sheet::capital(&step.label));
    std::iter::once(begun.to_owned())
        .chain(names)
        .enumerate()
        .map(|(steps, name)| {
            let standing = match steps.cmp(&now) {
                Ordering::Less => Standing::Before,
                Ordering::Equal => Standing::Now,
                Ordering::Greater => Standing::TakenBack,
            };
            Row { steps, name, standing, is_saved: saved == Some(steps) }
        })
        .collect()
}

fn row_ui(ui: &mut Ui, tokens: &Tokens, row: &Row) -> egui::Response {
    let (rect, response) = ui.allocate_exact_size(vec2(ui.available_width(), ROW), Sense::click());
    let is_now = row.standing == Standing::Now;
    let ahead = row.standing == Standing::TakenBack;
    response.widget_info(|| {
        let standing = if ahead { ", taken back" } else { "" };
        let saved = if row.is_saved { ", saved" } else { "" };
        WidgetInfo::selected(
            Role::ListBoxOption,
            true,
            is_now,
            format!("Step {}: {}{standing}{saved}", row.steps, row.name),
        )
    });
    if !ui.is_rect_visible(rect) {
        return response;
    }
    if is_now {
        ui.painter().rect_filled(rect, 4.0, tokens.accent_ground);
    } else if response.hovered() || response.has_focus() {
        ui.painter().rect_filled(rect, 4.0, tokens.panel);
    }
    if response.has_focus() {
        let edge = Stroke::new(1.0, tokens.accent);
        ui.painter().rect_stroke(rect.shrink(0.5), 4.0, edge, egui::StrokeKind::Inside);
    }
    let color = if ahead { tokens.soft_ink } else { tokens.ink };
    let mut right = rect.right() - 8.0;
    if row.is_saved {
        let word = ui.painter().layout_no_wrap("saved".to_owned(), fonts::small(), tokens.soft_ink);
        right -= word.size().x + 8.0;
        let at = pos2(right + 8.0, rect.center().y - word.size().y / 2.0);
        ui.painter().galley(at, word, tokens.soft_ink);
    }
    let mut job = egui::text::LayoutJob::simple_singleline(row.name.clone(), fonts::body(), color);
    job.wrap = egui::text::TextWrapping::truncate_at_width(right - rect.left() - 10.0);
    let name = ui.painter().layout_job(job);
    let clip = Rect::from_min_max(rect.min, pos2(right, rect.bottom()));
    let at = pos2(rect.left() + 8.0, rect.center().y - name.size().y / 2.0);
    ui.painter_at(clip).galley(at, name, color);
    response
}
