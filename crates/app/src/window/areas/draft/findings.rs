//! The findings: counts by severity, the list, and the working of the one that is looked at.

use super::remedies::Remedies;
use super::working;
use crate::window::action::{Action, Actions};
use crate::window::fonts;
use crate::window::marks;
use crate::window::selection::Selection;
use crate::window::tokens::Tokens;
use crate::window::view::{Freshness, View};
use egui::{
    Align, Align2, FontId, Frame, Galley, Id, Key, Label, Layout, Margin, Modifiers, Rect, Response,
    RichText, Role, ScrollArea, Sense, Stroke, StrokeKind, Ui, UiBuilder, WidgetInfo, pos2, vec2,
};
use lineside_rules::{Finding, Part, Severity};
use std::sync::Arc;

/// Height of a row of the list.
const ROW: f32 = 28.0;
/// Narrower than this, the working stands alone when a finding is looked at.
const BOTH: f32 = 760.0;

/// What the panel remembers.
#[derive(Default)]
pub struct FindingsState {
    /// Set when the finding that is looked at must be brought into view.
    pub scroll: bool,
    /// What stands beside the list.
    pub beside: Beside,
    /// The remedies of the finding that is looked at.
    pub remedies: Remedies,
}

/// What stands beside the list of findings.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum Beside {
    /// The numbers behind the finding.
    #[default]
    Working,
    /// The edits that clear it.
    Remedies,
}

/// The ground of the panel.
pub fn frame_of(tokens: &Tokens) -> Frame {
    Frame::new().fill(tokens.card).inner_margin(Margin { left: 16, right: 16, top: 10, bottom: 6 })
}

/// The panel.
pub fn findings_ui(ui: &mut Ui, view: &View<'_>, state: &mut FindingsState, actions: &mut Actions) {
    let whole = ui.available_rect_before_wrap();
    let looked_at = looked_at(view);
    let split = if whole.width() < BOTH { 0.5 } else { 0.46 };
    let at = whole.left() + whole.width() * split;
    let left = Rect::from_min_max(whole.min, pos2(at - 14.0, whole.max.y));
    let right = Rect::from_min_max(pos2(at + 14.0, whole.min.y), whole.max);
    let mut child = ui.new_child(UiBuilder::new().id_salt("list").max_rect(left));
    child.shrink_clip_rect(left.expand(4.0));
    head_ui(&mut child, view);
    if view.derived.findings().is_empty() {
        nothing_ui(&mut child, view);
    } else {
        list_ui(&mut child, view, state, actions);
    }
    ui.painter().vline(at, whole.y_range(), Stroke::new(1.0, view.tokens.line));
    let mut child = ui.new_child(UiBuilder::new().id_salt("working").max_rect(right));
    child.shrink_clip_rect(right.expand(4.0));
    working::working_ui(&mut child, view, looked_at, state, actions);
    ui.advance_cursor_after_rect(whole);
}

/// The finding that is looked at.
pub fn looked_at<'a>(view: &'a View<'_>) -> Option<&'a Finding> {
    let circuit = &view.project().circuit;
    let id = view.finding?;
    view.derived.findings().iter().find(|finding| finding.id(circuit) == id)
}

fn head_ui(ui: &mut Ui, view: &View<'_>) {
    ui.horizontal(|ui| {
        ui.heading("Findings");
        ui.add_space(8.0);
        for severity in Severity::ALL {
            let count = view.derived.findings().iter().filter(|finding| finding.severity == severity).count();
            marks::count(ui, view.tokens, severity, count);
            ui.add_space(4.0);
        }
        if view.freshness == Freshness::Stale {
            ui.label(RichText::new("checking…").color(view.tokens.soft_ink));
        }
    });
}

fn nothing_ui(ui: &mut Ui, view: &View<'_>) {
    let report = &view.derived.checked.report;
    let rules = {
        let mut rules: Vec<&str> = report.compared.iter().map(|compared| compared.rule).collect();
        rules.sort_unstable();
        rules.dedup();
        rules.len()
    };
    let strong = FontId::new(fonts::BODY, fonts::strong());
    let soft = |text: String| RichText::new(text).color(view.tokens.soft_ink);
    ui.add_space(6.0);
    if view.project().circuit.block_count() == 0 {
        ui.label(RichText::new("Nothing to check yet").font(strong));
        ui.add(
            Label::new(soft("Drag equipment onto the sheet; it is checked as you draw.".to_owned())).wrap(),
        );
        return;
    }
    ui.label(RichText::new("No findings").font(strong));
    let text = format!(
        "{} comparisons by {rules} rules of {} hold.",
        lineside_core::units::text::count(report.compared.len()),
        view.project().rule_set.label()
    );
    ui.add(Label::new(soft(text)).wrap());
    if !report.unknown.is_empty() {
        let text = format!("{} could not be told for want of data.", report.unknown.len());
        ui.add(Label::new(soft(text)).wrap());
    }
}

/// Where the columns of the list begin or end, from the left.
struct Columns {
    title: f32,
    found: f32,
    allowed: f32,
    place: f32,
}

impl Columns {
    fn of(width: f32) -> Self {
        let title = 30.0;
        let rest = width - title;
        Self {
            title,
            found: title + rest * 0.61,
            allowed: title + rest * 0.80,
            place: title + rest * 0.80 + 16.0,
        }
    }
}

fn list_ui(ui: &mut Ui, view: &View<'_>, state: &mut FindingsState, actions: &mut Actions) {
    let width = ui.available_width() - 10.0;
    let columns = Columns::of(width);
    let (head, _) = ui.allocate_exact_size(vec2(width, 18.0), Sense::hover());
    let soft = view.tokens.soft_ink;
    let word = |x: f32, align: Align2, text: &str| {
        ui.painter().text(pos2(head.left() + x, head.center().y), align, text, fonts::small(), soft);
    };
    word(columns.title, Align2::LEFT_CENTER, "what");
    word(columns.found, Align2::RIGHT_CENTER, "found");
    word(columns.allowed, Align2::RIGHT_CENTER, "allowed");
    word(columns.place, Align2::LEFT_CENTER, "where");
    let findings = view.derived.findings();
    ui.spacing_mut().item_spacing.y = 0.0;
    ScrollArea::vertical().auto_shrink(false).show_rows(ui, ROW, findings.len(), |ui, range| {
        for (index, finding) in findings.iter().enumerate().skip(range.start).take(range.len()) {
            row_ui(ui, view, state, index, finding, width, &columns, actions);
        }
    });
    // What the keyboard goes to may lie outside the rows that were shown.
    state.scroll = false;
}

#[expect(clippy::too_many_arguments, reason = "one row of a table")]
fn row_ui(
    ui: &mut Ui,
    view: &View<'_>,
    state: &FindingsState,
    index: usize,
    finding: &Finding,
    width: f32,
    columns: &Columns,
    actions: &mut Actions,
) {
    let tokens = view.tokens;
    let id = finding.id(&view.project().circuit);
    let chosen = view.finding == Some(id.as_str());
    let (rect, _) = ui.allocate_exact_size(vec2(width, ROW), Sense::hover());
    let response = ui.interact(rect, Id::unique(("finding", &id)), Sense::click());
    let place = finding.place_text(&view.project().circuit);
    let name = format!("{}, {}: {}, {place}", index + 1, finding.severity.key(), finding.title);
    response.widget_info(|| WidgetInfo::selected(Role::ListBoxOption, true, chosen, &name));
    let ground = rect.expand2(vec2(6.0, 0.0));
    if chosen {
        ui.painter().rect_filled(ground, 4.0, tokens.accent_ground);
    } else if response.hovered() {
        ui.painter().rect_filled(ground, 4.0, tokens.panel);
    }
    if response.has_focus() {
        ui.painter().rect_stroke(ground, 4.0, Stroke::new(1.0, tokens.accent), StrokeKind::Inside);
    }
    let middle = rect.center().y;
    marks::severity(ui.painter(), tokens, finding.severity, pos2(rect.left() + 9.0, middle), 13.0);
    let units = view.units();
    let cell = |text: &str, strong: bool, color, room: f32| -> Arc<Galley> {
        let family = if strong { fonts::strong() } else { egui::FontFamily::Proportional };
        fitting(ui, text, FontId::new(fonts::BODY - 0.5, family), color, room)
    };
    let found = cell(&finding.found.show(units), chosen, tokens.ink, rect.width() * 0.17);
    let allowed =
        cell(&finding.allowed.show(units), false, tokens.soft_ink, columns.allowed - columns.found - 24.0);
    let title_room = columns.found - columns.title - found.size().x - 10.0;
    let title = cell(&finding.title, chosen, tokens.ink, title_room);
    let place = cell(&place, false, tokens.soft_ink, rect.width() - columns.place);
    for (x, galley) in [
        (columns.title, title),
        (columns.found - found.size().x, found),
        (columns.allowed - allowed.size().x, allowed),
        (columns.place, place),
    ] {
        let at = pos2(rect.left() + x, middle - galley.size().y / 2.0);
        ui.painter().galley(at, galley, tokens.ink);
    }
    if chosen && state.scroll {
        response.scroll_to_me(None);
    }
    keys(ui, view, &response, index, actions);
    if response.clicked() {
        response.request_focus();
    }
    if response.clicked() || response.gained_focus() && !chosen {
        actions.push(Action::ShowFinding(id));
    }
    let (found, allowed) = (finding.found.show(units), finding.allowed.show(units));
    let tip = format!("{}\nFound: {found}\nAllowed: {allowed}\n{}", finding.title, finding.clause);
    response.on_hover_text(tip.trim());
}

/// Up and down go from finding to finding.
fn keys(ui: &Ui, view: &View<'_>, row: &Response, index: usize, actions: &mut Actions) {
    if !row.has_focus() {
        return;
    }
    let filter = egui::EventFilter { vertical_arrows: true, ..Default::default() };
    ui.memory_mut(|memory| memory.set_focus_lock_filter(row.id, filter));
    let findings = view.derived.findings();
    let taken = |key| ui.input_mut(|input| input.consume_key(Modifiers::NONE, key));
    let (down, up) = (taken(Key::ArrowDown), taken(Key::ArrowUp));
    let next = match (down, up) {
        (true, false) => index.checked_add(1),
        (false, true) => index.checked_sub(1),
        _ => None,
    };
    if let Some(finding) = next.and_then(|next| findings.get(next)) {
        let id = finding.id(&view.project().circuit);
        ui.memory_mut(|memory| memory.request_focus(Id::unique(("finding", &id))));
        actions.push(Action::ShowFinding(id));
    }
}

/// Words on one line, cut off with an ellipsis where there is no room.
pub fn fitting(ui: &Ui, text: &str, font: FontId, color: egui::Color32, room: f32) -> Arc<Galley> {
    let mut job = egui::text::LayoutJob::simple_singleline(text.to_owned(), font, color);
    job.wrap.max_width = room.max(12.0);
    job.wrap.max_rows = 1;
    job.wrap.break_anywhere = true;
    ui.painter().layout_job(job)
}

/// The findings that have to do with some parts, for their nameplates.
pub fn of_parts_ui(ui: &mut Ui, view: &View<'_>, parts: &[Part], actions: &mut Actions) {
    let circuit = &view.project().circuit;
    for finding in view.derived.findings() {
        if !finding.parts().any(|part| parts.contains(&part)) {
            continue;
        }
        let color = view.tokens.severity(finding.severity);
        let row = ui.horizontal(|ui| {
            let (rect, _) = ui.allocate_exact_size(vec2(14.0, 20.0), Sense::hover());
            marks::severity(ui.painter(), view.tokens, finding.severity, rect.center(), 11.0);
            ui.with_layout(Layout::left_to_right(Align::Center), |ui| {
                let text = RichText::new(&finding.title).font(fonts::small()).color(color);
                ui.add(Label::new(text).wrap().sense(Sense::click()))
            })
            .inner
        });
        let label = row.inner.on_hover_cursor(egui::CursorIcon::PointingHand);
        if label.clicked() {
            actions.push(Action::ShowFinding(finding.id(circuit)));
        }
    }
}

/// What a finding selects on the sheet.
pub fn selection_of(finding: &Finding) -> Selection {
    Selection::of_parts(finding.parts())
}
