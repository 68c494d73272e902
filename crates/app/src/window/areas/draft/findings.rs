//! The findings: counts by severity, the list, and what stands beside it for the one that is looked at.

mod accepted;
pub mod filter;
mod head;
mod list;
mod of_parts;

pub use accepted::{acceptance_ui, can_be_accepted, entry_of};
pub use filter::Filter;
pub use list::fitting;
pub use of_parts::of_parts_ui;

use super::remedies::Remedies;
use super::working;
use crate::window::action::Actions;
use crate::window::fonts;
use crate::window::selection::{Selection, Thing};
use crate::window::tokens::Tokens;
use crate::window::view::View;
use egui::{FontId, Frame, Label, Margin, Rect, RichText, Stroke, Ui, UiBuilder, pos2};
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
    /// What is being written about one finding.
    pub form: accepted::Form,
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
    let circuit = &view.project().circuit;
    let chosen = shown.iter().position(|finding| view.finding == Some(finding.id(circuit).as_str()));
    head::head_ui(&mut child, view, state, (chosen, shown.len()));
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

/// The thing whose data are shown while a finding that concerns several is looked at: its chief part, or else its first block.
pub fn subject(view: &View<'_>) -> Option<Thing> {
    let finding = looked_at(view)?;
    if view.selection.len() < 2 || *view.selection != selection_of(finding) {
        return None;
    }
    let things = || {
        finding.parts().filter_map(|part| match part {
            Part::Block(id) => Some(Thing::Block(id)),
            Part::Run(id) | Part::RunEnd(id, _) => Some(Thing::Run(id)),
            Part::Place(_) | Part::Project => None,
        })
    };
    let block = || things().find(|thing| matches!(thing, Thing::Block(_)));
    if matches!(finding.at, Part::Place(_) | Part::Project) {
        block().or_else(|| things().next())
    } else {
        things().next()
    }
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

/// What a finding selects on the sheet.
pub fn selection_of(finding: &Finding) -> Selection {
    Selection::of_parts(finding.parts())
}
