//! The findings that have to do with what is selected, for its nameplate: a line of fixed height that opens.
//!
//! Findings come and go while a datum is typed; the line and the list keep their height, so that no field moves.

use crate::window::action::{Action, Actions};
use crate::window::fonts;
use crate::window::marks::{self, Openness};
use crate::window::view::View;
use egui::{
    Align, Label, Layout, RichText, Role, ScrollArea, Sense, Stroke, StrokeKind, Ui, WidgetInfo, pos2, vec2,
};
use lineside_core::units::text;
use lineside_rules::{Finding, Part, Severity};

/// Height of the line.
const LINE: f32 = 24.0;
/// Height of the list when it is open, however many there are.
const LIST: f32 = 104.0;

/// The line, and below it the list when it is open.
pub fn of_parts_ui(
    ui: &mut Ui,
    view: &View<'_>,
    parts: &[Part],
    openness: &mut Openness,
    actions: &mut Actions,
) {
    let concerns = |finding: &&Finding| finding.parts().any(|part| parts.contains(&part));
    let findings: Vec<&Finding> = view.derived.open().filter(concerns).collect();
    line_ui(ui, view, &findings, openness);
    if *openness == Openness::Closed {
        return;
    }
    let (rect, _) = ui.allocate_exact_size(vec2(ui.available_width(), LIST), Sense::hover());
    let mut list = ui.new_child(egui::UiBuilder::new().id_salt("findings of it").max_rect(rect));
    ScrollArea::vertical().auto_shrink(false).show(&mut list, |ui| {
        ui.set_max_width(ui.available_width() - 10.0);
        for finding in findings {
            row_ui(ui, view, finding, actions);
        }
    });
}

/// How many there are, with the mark of the worst; a click opens and folds the list.
fn line_ui(ui: &mut Ui, view: &View<'_>, findings: &[&Finding], openness: &mut Openness) {
    let tokens = view.tokens;
    let (rect, response) = ui.allocate_exact_size(vec2(ui.available_width(), LINE), Sense::click());
    let worst = Severity::ALL.into_iter().find(|severity| findings.iter().any(|it| it.severity == *severity));
    let words = match findings.len() {
        0 => "No findings".to_owned(),
        1 => "1 finding".to_owned(),
        many => format!("{} findings", text::count(many)),
    };
    let middle = rect.center().y;
    let ink = worst.map_or(tokens.soft_ink, |_| tokens.ink);
    let left = rect.left() + if worst.is_some() { 18.0 } else { 0.0 };
    if let Some(severity) = worst {
        marks::severity(ui.painter(), tokens, severity, pos2(rect.left() + 7.0, middle), 11.0);
    }
    let galley = ui.painter().layout_no_wrap(words.clone(), fonts::body(), ink);
    let end = left + galley.size().x;
    ui.painter().galley(pos2(left, middle - galley.size().y / 2.0), galley, ink);
    marks::chevron(ui.painter(), pos2(end + 12.0, middle + 1.0), *openness, tokens.soft_ink);
    if response.hovered() || response.has_focus() {
        let edge = if response.has_focus() { tokens.accent } else { tokens.line };
        ui.painter().rect_stroke(rect, 4.0, Stroke::new(1.0, edge), StrokeKind::Inside);
    }
    let open = *openness == Openness::Open;
    response.widget_info(|| WidgetInfo::selected(Role::Button, true, open, format!("{words} here")));
    if response.clicked() {
        *openness = openness.other();
        ui.ctx().request_repaint();
    }
    response.on_hover_text(if open { "Folds the list." } else { "Lists what is found here." });
}

fn row_ui(ui: &mut Ui, view: &View<'_>, finding: &Finding, actions: &mut Actions) {
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
        actions.push(Action::ShowFinding(finding.id(&view.project().circuit)));
    }
}
