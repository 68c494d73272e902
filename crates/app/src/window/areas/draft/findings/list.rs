//! The list of findings: a row for each, walked with the arrow keys.

use super::FindingsState;
use crate::window::action::{Action, Actions};
use crate::window::areas::draft::sheet::capital;
use crate::window::fonts;
use crate::window::marks;
use crate::window::view::View;
use egui::{
    Align2, FontId, Galley, Id, Key, Modifiers, Response, Role, ScrollArea, Sense, Stroke, StrokeKind, Ui,
    WidgetInfo, pos2, vec2,
};
use lineside_rules::Finding;
use std::sync::Arc;

/// Height of a row of the list.
pub(super) const ROW: f32 = 28.0;

/// What lies between two columns.
const APART: f32 = 24.0;

/// How wide the columns beside the title would be if nothing were cut off in them.
#[derive(Clone, Copy, Debug, Default)]
struct Widths {
    found: f32,
    allowed: f32,
    place: f32,
}

impl Widths {
    fn of(ui: &Ui, view: &View<'_>, findings: &[&Finding]) -> Self {
        let font = FontId::new(fonts::BODY - 0.5, fonts::strong());
        let size = |text: String| {
            ui.painter().layout_no_wrap(text, font.clone(), egui::Color32::TRANSPARENT).size().x
        };
        let circuit = &view.project().circuit;
        findings.iter().fold(Self::default(), |widest, finding| {
            let [found, allowed] = finding.cells(view.units()).map(size);
            Self {
                found: widest.found.max(found),
                allowed: widest.allowed.max(allowed),
                place: widest.place.max(size(finding.place_text(circuit))),
            }
        })
    }
}

/// Where the columns of the list begin or end, from the left.
struct Columns {
    title: f32,
    found: f32,
    found_room: f32,
    allowed: f32,
    place: f32,
}

impl Columns {
    /// The columns beside the title take no more than they need, and no more than a share; the title has what is left.
    fn of(width: f32, needed: Widths) -> Self {
        let title = 30.0;
        let rest = width - title;
        let room = |needed: f32, share: f32| needed.max(48.0).min(rest * share);
        let place = width - room(needed.place, 0.2);
        let allowed = place - 16.0;
        let found = allowed - room(needed.allowed, 0.2) - APART;
        Self { title, found, found_room: room(needed.found, 0.17), allowed, place }
    }
}

/// The list.
pub(super) fn list_ui(
    ui: &mut Ui,
    view: &View<'_>,
    findings: &[&Finding],
    state: &mut FindingsState,
    actions: &mut Actions,
) {
    let width = ui.available_width() - 10.0;
    let columns = Columns::of(width, Widths::of(ui, view, findings));
    let (head, _) = ui.allocate_exact_size(vec2(width, 18.0), Sense::hover());
    let soft = view.tokens.soft_ink;
    let word = |x: f32, align: Align2, text: &str| {
        ui.painter().text(pos2(head.left() + x, head.center().y), align, text, fonts::small(), soft);
    };
    word(columns.title, Align2::LEFT_CENTER, "what");
    word(columns.found, Align2::RIGHT_CENTER, "found");
    word(columns.allowed, Align2::RIGHT_CENTER, "allowed");
    word(columns.place, Align2::LEFT_CENTER, "where");
    ui.spacing_mut().item_spacing.y = 0.0;
    let mut area = ScrollArea::vertical().auto_shrink(false);
    if state.scroll {
        let circuit = &view.project().circuit;
        let looked_at =
            findings.iter().position(|finding| view.finding == Some(finding.id(circuit).as_str()));
        let height = ui.available_height();
        if let Some(offset) = looked_at.and_then(|at| offset_for(at, state.offset, height)) {
            area = area.vertical_scroll_offset(offset);
        }
    }
    let shown = area.show_rows(ui, ROW, findings.len(), |ui, range| {
        for (index, finding) in findings.iter().enumerate().skip(range.start).take(range.len()) {
            row_ui(ui, view, findings, index, finding, width, &columns, actions);
        }
    });
    state.offset = shown.state.clamped_offset().y;
    // What the keyboard goes to may lie outside the rows that were shown.
    state.scroll = false;
}

/// How far the list must be scrolled for a row that is out of view; `None` when it is in view.
fn offset_for(row: usize, offset: f32, height: f32) -> Option<f32> {
    let top = row as f32 * ROW;
    let is_seen = top >= offset && top + ROW <= offset + height;
    (!is_seen).then(|| (top - (height - ROW) / 2.0).max(0.0))
}

#[expect(clippy::too_many_arguments, reason = "one row of a table")]
fn row_ui(
    ui: &mut Ui,
    view: &View<'_>,
    findings: &[&Finding],
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
    let [found, allowed] = finding.cells(units);
    let found = cell(&found, chosen, tokens.ink, columns.found_room);
    let allowed = cell(&allowed, false, tokens.soft_ink, columns.allowed - columns.found - APART);
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
    keys(ui, view, &response, findings, index, actions);
    if response.clicked() {
        response.request_focus();
    }
    if response.clicked() || response.gained_focus() && !chosen {
        actions.push(Action::ShowFinding(id));
    }
    let (found, allowed) = (finding.found.show(units), finding.allowed.show(units));
    let [before_found, before_allowed] = finding.words().map(capital);
    let tip = format!(
        "{}\n{before_found}: {found}\n{before_allowed}: {allowed}\n{}",
        finding.title, finding.clause
    );
    response.on_hover_text(tip.trim());
}

/// Up and down go from finding to finding.
fn keys(
    ui: &Ui,
    view: &View<'_>,
    row: &Response,
    findings: &[&Finding],
    index: usize,
    actions: &mut Actions,
) {
    if !row.has_focus() {
        return;
    }
    let filter = egui::EventFilter { vertical_arrows: true, ..Default::default() };
    ui.memory_mut(|memory| memory.set_focus_lock_filter(row.id, filter));
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

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_title_has_the_room_that_nothing_else_needs() {
        // Of 1030 points 1000 are left beside the mark; 120 + 16 + 100 + 24 of them go to place and allowed.
        let short = Columns::of(1030.0, Widths { found: 60.0, allowed: 100.0, place: 120.0 });
        assert_eq!((short.place, short.allowed, short.found), (910.0, 894.0, 770.0));
        // Long words take at most a fifth each.
        let long = Columns::of(1030.0, Widths { found: 900.0, allowed: 900.0, place: 900.0 });
        assert_eq!((long.place, long.allowed, long.found, long.found_room), (830.0, 814.0, 590.0, 170.0));
    }

    #[test]
    fn a_row_out_of_view_comes_to_the_middle() {
        // Rows are 28 points high; 140 points show five of them.
        assert_eq!(offset_for(2, 0.0, 140.0), None);
        // The tenth row begins at 280; 56 points stand above it and below it.
        assert_eq!(offset_for(10, 0.0, 140.0), Some(280.0 - 56.0));
        assert_eq!(offset_for(0, 400.0, 140.0), Some(0.0));
    }
}
