//! Accepted advice: the list of it, and the form in which advice is accepted with a reason.

use super::list::{ROW, fitting};
use super::{Beside, FindingsState};
use crate::window::action::{Action, Actions};
use crate::window::edits::Labeled;
use crate::window::fonts;
use crate::window::marks;
use crate::window::tokens::Tokens;
use crate::window::view::View;
use egui::{
    Button, FontId, Id, Label, Margin, RichText, Role, ScrollArea, Sense, TextEdit, Ui, WidgetInfo, pos2,
    vec2,
};
use jiff::civil::Date;
use lineside_core::edit::Edit;
use lineside_core::project::AcceptedAdvice;
use lineside_rules::acceptance::{accept, finding_id, said};
use lineside_rules::{Finding, Severity};

/// What is being written about one finding.
#[derive(Debug, Default)]
pub struct Form {
    /// Id of the finding.
    of: String,
    reason: String,
    date: String,
    by: String,
    /// Whether the reason has been given the cursor.
    begun: bool,
}

impl Form {
    /// For a finding: with today's date, which can be changed, and the name that accepted advice last.
    fn begin(view: &View<'_>, id: String) -> Self {
        let project = view.project();
        let by = project.accepted.last().map_or_else(|| project.title.drawn_by.clone(), |it| it.by.clone());
        Self { of: id, reason: String::new(), date: today(), by, begun: true }
    }

    /// Gives the cursor to the reason when the form is shown next.
    pub const fn ask(&mut self) {
        self.begun = false;
    }
}

/// The day by the machine's clock, as the form proposes it.
fn today() -> String {
    jiff::tz::Offset::UTC.to_datetime(jiff::Timestamp::now()).date().to_string()
}

/// The acceptance of the finding that is looked at: as it was written down, or the form for it.
pub fn acceptance_ui(
    ui: &mut Ui,
    view: &View<'_>,
    finding: &Finding,
    state: &mut FindingsState,
    actions: &mut Actions,
) {
    ScrollArea::vertical().id_salt("acceptance").auto_shrink(false).show(ui, |ui| {
        ui.set_max_width(ui.available_width() - 10.0);
        match entry_of(view, finding) {
            Some((at, entry)) => {
                entry_ui(ui, view, entry, Some(finding));
                if ui.button("Take the acceptance back").clicked() {
                    actions.push(removed(view, at, "take acceptance back"));
                    state.beside = Beside::Working;
                }
            }
            None => form_ui(ui, view, finding, state, actions),
        }
        ui.add_space(8.0);
    });
}

/// The entry that accepts a finding.
pub fn entry_of<'a>(view: &'a View<'_>, finding: &Finding) -> Option<(usize, &'a AcceptedAdvice)> {
    let findings = view.derived.findings();
    let at = findings.iter().position(|other| other == finding)?;
    let (_, entry) = view.derived.standing.accepted.iter().find(|(found, _)| *found == at)?;
    Some((*entry, view.project().accepted.get(*entry)?))
}

fn removed(view: &View<'_>, at: usize, label: &str) -> Action {
    let mut list = view.project().accepted.clone();
    if at < list.len() {
        list.remove(at);
    }
    Action::Make(Labeled::new(label, Edit::SetAccepted(list)), None)
}

fn entry_ui(ui: &mut Ui, view: &View<'_>, entry: &AcceptedAdvice, finding: Option<&Finding>) {
    let soft = |text: String| Label::new(RichText::new(text).color(view.tokens.soft_ink)).wrap();
    ui.add(Label::new(&entry.reason).wrap());
    let by = if entry.by.is_empty() { String::new() } else { format!(" by {}", entry.by) };
    ui.add(soft(format!("Accepted {}{by}.", entry.date)));
    if let Some(finding) = finding
        && said(finding) != entry.said
        && !entry.said.is_empty()
    {
        let text = format!("It has changed since. Then: {}. Now: {}.", entry.said, said(finding));
        ui.add(Label::new(RichText::new(text).color(view.tokens.correction)).wrap());
    }
    ui.add_space(4.0);
}

fn form_ui(
    ui: &mut Ui,
    view: &View<'_>,
    finding: &Finding,
    state: &mut FindingsState,
    actions: &mut Actions,
) {
    let circuit = &view.project().circuit;
    let id = finding.id(circuit);
    if state.form.of != id {
        state.form = Form { begun: state.form.begun, ..Form::begin(view, id) };
    }
    let form = &mut state.form;
    let soft = |text: &str| RichText::new(text).font(fonts::small()).color(view.tokens.soft_ink);
    ui.add(
        Label::new(soft(
            "Why may it stay? Whoever reviews the design reads this; the advice is printed with it.",
        ))
        .wrap(),
    );
    let reason = TextEdit::multiline(&mut form.reason)
        .hint_text("Such as: the pump runs at noon only, when the bank is full.")
        .desired_rows(2)
        .desired_width(f32::INFINITY)
        .margin(Margin::symmetric(8, 5));
    let reason = ui.add(reason).accessible_name("Reason");
    if !std::mem::replace(&mut form.begun, true) {
        reason.request_focus();
    }
    ui.horizontal(|ui| {
        ui.label(soft("Date"));
        let date = TextEdit::singleline(&mut form.date).desired_width(92.0).margin(Margin::symmetric(6, 3));
        ui.add(date).accessible_name("Date of acceptance").on_hover_text("Year, month, day: 2026-04-07.");
        ui.label(soft("by"));
        let by = TextEdit::singleline(&mut form.by).desired_width(130.0).margin(Margin::symmetric(6, 3));
        ui.add(by).accessible_name("Accepted by");
        let ready = judged(form);
        let button = Button::new(RichText::new("Accept this advice").family(fonts::strong()));
        let response = ui.add_enabled(ready.is_ok(), button);
        match ready {
            Err(why) => {
                response.on_disabled_hover_text(why);
            }
            Ok(date) if response.clicked() => {
                if let Some(entry) = accept(finding, circuit, &form.reason, date, &form.by) {
                    let mut list = view.project().accepted.clone();
                    list.retain(|other| !other.is_of_same(&entry));
                    list.push(entry);
                    actions.push(Action::Make(Labeled::new("accept advice", Edit::SetAccepted(list)), None));
                }
            }
            Ok(_) => {}
        }
    });
    if let Err(why) = judged(&state.form)
        && !state.form.reason.trim().is_empty()
    {
        ui.label(RichText::new(why).font(fonts::small()).color(view.tokens.danger));
    }
}

fn judged(form: &Form) -> Result<Date, String> {
    let length = form.reason.trim().chars().count();
    if length == 0 {
        return Err("Advice is accepted with a reason.".to_owned());
    }
    if length > AcceptedAdvice::LONGEST_REASON {
        return Err(format!("A reason has at most {} characters.", AcceptedAdvice::LONGEST_REASON));
    }
    form.date.trim().parse().map_err(|_| "A date is written as year-month-day: 2026-04-07.".to_owned())
}

/// Whether a finding can be accepted, and why not.
pub const fn can_be_accepted(finding: &Finding) -> bool {
    matches!(finding.severity, Severity::Advice)
}

/// The list of accepted advice, and of what has lapsed.
pub(super) fn list_ui(ui: &mut Ui, view: &View<'_>, state: &mut FindingsState, actions: &mut Actions) {
    ScrollArea::vertical().id_salt("accepted").auto_shrink(false).show(ui, |ui| {
        ui.set_max_width(ui.available_width() - 10.0);
        ui.spacing_mut().item_spacing.y = 0.0;
        let standing = &view.derived.standing;
        for (finding, entry) in &standing.accepted {
            let (Some(finding), Some(entry)) =
                (view.derived.findings().get(*finding), view.project().accepted.get(*entry))
            else {
                continue;
            };
            accepted_row(ui, view, finding, entry, state, actions);
        }
        if standing.lapsed.is_empty() {
            return;
        }
        ui.add_space(6.0);
        let told = "Lapsed: these were accepted, but no such advice arises any more.";
        ui.add(Label::new(RichText::new(told).font(fonts::small()).color(view.tokens.soft_ink)).wrap());
        for at in &standing.lapsed {
            if let Some(entry) = view.project().accepted.get(*at) {
                lapsed_row(ui, view, *at, entry, actions);
            }
        }
    });
}

fn accepted_row(
    ui: &mut Ui,
    view: &View<'_>,
    finding: &Finding,
    entry: &AcceptedAdvice,
    state: &mut FindingsState,
    actions: &mut Actions,
) {
    let tokens = view.tokens;
    let circuit = &view.project().circuit;
    let id = finding.id(circuit);
    let chosen = view.finding == Some(id.as_str());
    let (rect, _) = ui.allocate_exact_size(vec2(ui.available_width(), ROW), Sense::hover());
    let response = ui.interact(rect, Id::unique(("accepted", &id)), Sense::click());
    let place = finding.place_text(circuit);
    let name = format!("Accepted: {}, {place}: {}", finding.title, entry.reason);
    response.widget_info(|| WidgetInfo::selected(Role::ListBoxOption, true, chosen, &name));
    let ground = if chosen { tokens.accent_ground } else { tokens.panel };
    row_ground(ui, tokens, &response, ground);
    let middle = rect.center().y;
    marks::severity(ui.painter(), tokens, finding.severity, pos2(rect.left() + 9.0, middle), 13.0);
    let half = rect.width() * 0.5;
    let font = || FontId::proportional(fonts::BODY - 0.5);
    let title = fitting(ui, &finding.title, font(), tokens.ink, half - 36.0);
    let reason = format!("{}: {}", entry.date, entry.reason);
    let reason = fitting(ui, &reason, font(), tokens.soft_ink, rect.width() - half - 4.0);
    for (x, galley) in [(30.0, title), (half, reason)] {
        let at = pos2(rect.left() + x, middle - galley.size().y / 2.0);
        ui.painter().galley(at, galley, tokens.ink);
    }
    if response.clicked() {
        state.beside = Beside::Acceptance;
        actions.push(Action::ShowFinding(id));
    }
    response.on_hover_text(format!("{}\n{place}\n{}", finding.title, entry.reason));
}

/// The ground of a row that is chosen, pointed at or has the keyboard.
fn row_ground(ui: &Ui, tokens: &Tokens, response: &egui::Response, ground: egui::Color32) {
    let rect = response.rect.expand2(vec2(6.0, 0.0));
    if ground == tokens.accent_ground || response.hovered() {
        ui.painter().rect_filled(rect, 4.0, ground);
    }
    if response.has_focus() {
        let line = egui::Stroke::new(1.0, tokens.accent);
        ui.painter().rect_stroke(rect, 4.0, line, egui::StrokeKind::Inside);
    }
}

fn lapsed_row(ui: &mut Ui, view: &View<'_>, at: usize, entry: &AcceptedAdvice, actions: &mut Actions) {
    let id = finding_id(entry);
    ui.horizontal(|ui| {
        ui.spacing_mut().item_spacing.x = 8.0;
        let remove = ui.button("Remove").on_hover_text("Takes the entry out of the project.");
        remove.widget_info(|| WidgetInfo::labeled(Role::Button, true, format!("Remove the entry of {id}")));
        if remove.clicked() {
            actions.push(removed(view, at, "remove lapsed entry"));
        }
        let words = if entry.said.is_empty() { id } else { entry.said.clone() };
        let text = format!("{words} ({}: {})", entry.date, entry.reason);
        ui.add(Label::new(RichText::new(text).color(view.tokens.soft_ink)).truncate());
    });
}
