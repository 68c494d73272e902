//! The findings: counts by severity, the list, and what stands beside it for the one that is looked at.

mod accepted;
pub mod filter;
mod head;
mod list;

pub use accepted::{acceptance_ui, can_be_accepted, entry_of};
pub use filter::Filter;
pub use list::fitting;

use super::remedies::Remedies;
use super::working;
use crate::window::action::{Action, Actions};
use crate::window::fonts;
use crate::window::marks;
use crate::window::selection::Selection;
use crate::window::tokens::Tokens;
use crate::window::view::View;
use egui::{
    Align, FontId, Frame, Label, Layout, Margin, Rect, RichText, Sense, Stroke, Ui, UiBuilder, pos2, vec2,
};
use lineside_rules::{Finding, Part};

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
    /// Which findings are shown.
    pub filter: Filter,
    /// What is listed.
    pub listed: Listed,
    form: accepted::Form,
    /// How far the list is scrolled.
    offset: f32,
}

/// What is listed.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum Listed {
    /// What nobody has accepted.
    #[default]
    Open,
    /// Advice that was accepted, and what of it has lapsed.
    Accepted,
}

/// What stands beside the list of findings.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum Beside {
    /// The numbers behind the finding.
    #[default]
    Working,
    /// The edits that clear it.
    Remedies,
    /// Why it may stay.
    Acceptance,
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
    state.filter.keep_existing(&view.project().circuit);
    let shown = state.filter.shown(view.project(), view.derived);
    head::head_ui(&mut child, view, state, shown.len());
    if state.listed == Listed::Accepted {
        accepted::list_ui(&mut child, view, state, actions);
    } else if shown.is_empty() && !state.filter.is_open() && view.derived.open().next().is_some() {
        let text = RichText::new("No finding passes the filter.").color(view.tokens.soft_ink);
        child.label(text);
    } else if shown.is_empty() {
        nothing_ui(&mut child, view);
    } else {
        list::list_ui(&mut child, view, &shown, state, actions);
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

/// The findings that have to do with some parts, for their nameplates.
pub fn of_parts_ui(ui: &mut Ui, view: &View<'_>, parts: &[Part], actions: &mut Actions) {
    let circuit = &view.project().circuit;
    for finding in view.derived.open() {
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
