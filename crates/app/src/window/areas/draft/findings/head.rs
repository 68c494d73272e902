//! The line above the list of findings: how many of each severity, which are shown, and the way to accepted advice.

use super::filter::Where;
use super::{FindingsState, Listed};
use crate::window::areas::draft::explanation::explain_ui;
use crate::window::areas::draft::nameplate::combo::combo;
use crate::window::fonts;
use crate::window::marks;
use crate::window::style;
use crate::window::view::{Freshness, View};
use egui::{Button, RichText, Role, Sense, Stroke, StrokeKind, Ui, WidgetInfo, pos2, vec2};
use lineside_core::units::text;
use lineside_rules::Severity;

/// Width of the lists of places and rules, where there is room and where there is little.
const LIST: (f32, f32) = (128.0, 96.0);
/// With less room than this, the lists are narrow.
const ROOMY: f32 = 570.0;
/// With less room than this, the lists stand on a line of their own; the button of accepted advice needs more.
const ONE_LINE: f32 = 450.0;
const ACCEPTED: f32 = 110.0;
/// Room for `3 of 74`.
const WALKED: f32 = 60.0;

/// The line. `shown` is how many findings are in the list, and `at` which of them is looked at.
pub(super) fn head_ui(
    ui: &mut Ui,
    view: &View<'_>,
    state: &mut FindingsState,
    (at, shown): (Option<usize>, usize),
) {
    let standing = &view.derived.standing;
    let needed = if standing.accepted.len() + standing.lapsed.len() == 0 { 0.0 } else { ACCEPTED };
    let needed = needed + if at.is_some() { WALKED } else { 0.0 };
    let one_line = ui.available_width() >= ONE_LINE + needed;
    let list = if ui.available_width() < ROOMY + needed { LIST.1 } else { LIST.0 };
    let any = view.derived.open().next().is_some();
    ui.horizontal(|ui| {
        ui.heading("Findings");
        if let Some(at) = at.filter(|_| state.listed == Listed::Open) {
            let told = format!("{} of {}", text::count(at + 1), text::count(shown));
            ui.label(RichText::new(told).color(view.tokens.soft_ink));
        }
        for severity in Severity::ALL {
            severity_ui(ui, view, state, severity);
        }
        if one_line && any {
            lists_ui(ui, view, state, list);
        }
        accepted_ui(ui, view, state);
        if view.freshness == Freshness::Stale {
            ui.label(RichText::new("checking…").color(view.tokens.soft_ink));
        }
    });
    if !one_line && any {
        ui.horizontal(|ui| lists_ui(ui, view, state, list));
    }
    if !state.filter.is_open() && state.listed == Listed::Open {
        ui.horizontal(|ui| {
            let all = view.derived.open().count();
            let told = format!("{} of {} are shown.", text::count(shown), text::count(all));
            ui.label(RichText::new(told).font(fonts::small()).color(view.tokens.soft_ink));
            if ui.link(RichText::new("Show all findings").font(fonts::small())).clicked() {
                state.filter = super::Filter::default();
            }
        });
    }
}

/// A severity with its count; a click leaves it out or takes it in again.
fn severity_ui(ui: &mut Ui, view: &View<'_>, state: &mut FindingsState, severity: Severity) {
    let tokens = view.tokens;
    let count = view.derived.open().filter(|finding| finding.severity == severity).count();
    let hidden = state.filter.hidden.contains(&severity);
    let number = text::count(count);
    let ink = if hidden { tokens.soft_ink } else { tokens.ink };
    let galley = ui.painter().layout_no_wrap(number, fonts::body(), ink);
    let (rect, response) =
        ui.allocate_exact_size(vec2(28.0 + galley.size().x, style::ROW - 2.0), Sense::click());
    let name = format!("Show {}", words(severity));
    response.widget_info(|| WidgetInfo::selected(Role::CheckBox, true, !hidden, &name));
    if !hidden {
        ui.painter().rect_filled(rect, 4.0, tokens.panel);
    }
    if response.hovered() || response.has_focus() {
        let edge = if response.has_focus() { tokens.accent } else { tokens.line };
        ui.painter().rect_stroke(rect, 4.0, Stroke::new(1.0, edge), StrokeKind::Inside);
    }
    let middle = rect.center().y;
    marks::severity(ui.painter(), tokens, severity, pos2(rect.left() + 12.0, middle + 0.5), 11.0);
    let at = pos2(rect.left() + 22.0, middle - galley.size().y / 2.0);
    ui.painter().galley(at, galley, ink);
    if hidden {
        ui.painter().hline(rect.x_range().shrink(4.0), middle, Stroke::new(1.2, tokens.soft_ink));
    }
    if response.clicked() && !state.filter.hidden.remove(&severity) {
        state.filter.hidden.insert(severity);
    }
    let what = if hidden { "A click shows them again." } else { "A click leaves them out of the list." };
    response.on_hover_text(format!("{}. {what}", marks::words(severity, count)));
}

const fn words(severity: Severity) -> &'static str {
    match severity {
        Severity::Danger => "dangers",
        Severity::Correction => "corrections",
        Severity::Advice => "advice",
    }
}

fn lists_ui(ui: &mut Ui, view: &View<'_>, state: &mut FindingsState, width: f32) {
    let circuit = &view.project().circuit;
    let place = match state.filter.place {
        Where::Everywhere => "every place",
        Where::In(id) => circuit.place(id).map_or("every place", |place| place.name.as_str()),
        Where::Nowhere => "in no place",
    };
    let filter = &mut state.filter;
    combo(ui, view.tokens, "findings where", ("Place of findings", place), width, |ui| {
        let every = [(Where::Everywhere, "every place")];
        let places = circuit.places().map(|place| (Where::In(place.id), place.name.as_str()));
        for (place, name) in every.into_iter().chain(places).chain([(Where::Nowhere, "in no place")]) {
            if ui.selectable_label(filter.place == place, name).clicked() {
                filter.place = place;
            }
        }
    });
    let rule = filter.rule.unwrap_or("every rule");
    // The worst first, as they stand in the list.
    let mut rules: Vec<&'static str> = Vec::new();
    for rule in view.derived.open().map(|finding| finding.rule).chain(filter.rule) {
        if !rules.contains(&rule) {
            rules.push(rule);
        }
    }
    combo(ui, view.tokens, "findings of rule", ("Rule of findings", rule), width, |ui| {
        if ui.selectable_label(filter.rule.is_none(), "every rule").clicked() {
            filter.rule = None;
        }
        for rule in rules {
            let entry = ui.selectable_label(filter.rule == Some(rule), rule);
            if entry.clicked() {
                filter.rule = Some(rule);
            }
            entry.on_hover_ui(|ui| explain_ui(ui, view, rule));
        }
    });
}

/// The way from the open findings to what has been accepted, and back.
fn accepted_ui(ui: &mut Ui, view: &View<'_>, state: &mut FindingsState) {
    let standing = &view.derived.standing;
    let (accepted, lapsed) = (standing.accepted.len(), standing.lapsed.len());
    if accepted + lapsed == 0 {
        state.listed = Listed::Open;
        return;
    }
    let lapsed = if lapsed == 0 { String::new() } else { format!(", {} lapsed", text::count(lapsed)) };
    let name = format!("{} accepted{lapsed}", text::count(accepted));
    let chosen = state.listed == Listed::Accepted;
    let response = ui.add(Button::new(name).selected(chosen));
    if response.clicked() {
        state.listed = if chosen { Listed::Open } else { Listed::Accepted };
    }
    response.on_hover_text("Advice that was accepted with a reason, and what of it no longer arises.");
}
