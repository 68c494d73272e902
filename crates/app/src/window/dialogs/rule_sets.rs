//! The rule sets side by side: what each finds on this project, and which findings come and go from the one in use to
//! another. Judging goes on aside, so that the window never waits for it.

use super::Stay;
use super::question::{buttons, heading, primary, secondary, wide, words};
use crate::comparison::{self, Verdict};
use crate::engine::Engine;
use crate::window::action::{Action, Actions};
use crate::window::edits::Labeled;
use crate::window::view::View;
use crate::window::{fonts, marks};
use egui::text::{LayoutJob, TextFormat};
use egui::{Context, FontId, Label, RichText, Role, ScrollArea, Sense, Ui, WidgetInfo, pos2, vec2};
use lineside_core::edit::Edit;
use lineside_core::project::{Project, RuleSet};
use lineside_rules::{Finding, Severity};
use std::sync::Arc;
use std::sync::mpsc::{Receiver, channel};

/// Width of the dialog.
const WIDTH: f32 = 660.0;

/// The comparison under way or done.
#[derive(Debug)]
pub struct Comparing {
    coming: Receiver<Vec<Verdict>>,
    verdicts: Vec<Verdict>,
    chosen: RuleSet,
}

impl Comparing {
    /// Begins to judge a project by every rule set.
    pub fn begin(project: &Project, engine: &Arc<Engine>, ctx: &Context) -> Self {
        let (send, coming) = channel();
        let (copy, engine, ctx) = (project.clone(), Arc::clone(engine), ctx.clone());
        std::thread::spawn(move || {
            // Nobody may be waiting any more; then there is nothing to tell.
            if send.send(comparison::by_every_rule_set(&copy, &engine)).is_ok() {
                ctx.request_repaint();
            }
        });
        Self { coming, verdicts: Vec::new(), chosen: project.rule_set }
    }

    fn of(&self, set: RuleSet) -> Option<&Verdict> {
        self.verdicts.iter().find(|verdict| verdict.rule_set == set)
    }
}

pub(super) fn compare_ui(
    ui: &mut Ui,
    view: &View<'_>,
    comparing: &mut Comparing,
    actions: &mut Actions,
) -> Stay {
    if let Ok(verdicts) = comparing.coming.try_recv() {
        comparing.verdicts = verdicts;
    }
    wide(ui, WIDTH);
    heading(ui, "Rule sets");
    words(ui, "The same sheet, judged by each. Which one holds is for the place and its authority to say.");
    ui.add_space(4.0);
    for set in RuleSet::ALL {
        row_ui(ui, view, comparing, set);
    }
    ui.add_space(6.0);
    difference_ui(ui, view, comparing);
    let (now, chosen) = (view.project().rule_set, comparing.chosen);
    buttons(ui, |ui| {
        if now == chosen {
            return if primary(ui, view.tokens, "Close").clicked() { Stay::Close } else { Stay::Open };
        }
        if primary(ui, view.tokens, &format!("Check by {}", chosen.label())).clicked() {
            actions.push(Action::Make(Labeled::new("rule set", Edit::SetRuleSet(chosen)), None));
            return Stay::Close;
        }
        if secondary(ui, "Close").clicked() { Stay::Close } else { Stay::Open }
    })
}

/// One rule set with its counts.
fn row_ui(ui: &mut Ui, view: &View<'_>, comparing: &mut Comparing, set: RuleSet) {
    let tokens = view.tokens;
    let chosen = comparing.chosen == set;
    let (rect, response) = ui.allocate_exact_size(vec2(ui.available_width(), 30.0), Sense::click());
    let counts = comparing.of(set).map(|verdict| Severity::ALL.map(|it| (it, verdict.count(it))));
    let told = counts.map_or_else(
        || "being checked".to_owned(),
        |counts| counts.map(|(severity, count)| marks::words(severity, count)).join(", "),
    );
    let name = format!("{}: {told}", set.label());
    response.widget_info(|| WidgetInfo::selected(Role::RadioButton, true, chosen, &name));
    if chosen {
        ui.painter().rect_filled(rect, 4.0, tokens.accent_ground);
    } else if response.hovered() {
        ui.painter().rect_filled(rect, 4.0, tokens.panel);
    }
    if response.has_focus() {
        let line = egui::Stroke::new(1.0, tokens.accent);
        ui.painter().rect_stroke(rect, 4.0, line, egui::StrokeKind::Inside);
    }
    let write = |x: f32, text: &str, strong: bool, color| {
        let family = if strong { fonts::strong() } else { egui::FontFamily::Proportional };
        let at = pos2(rect.left() + x, rect.center().y);
        ui.painter().text(at, egui::Align2::LEFT_CENTER, text, FontId::new(fonts::BODY, family), color);
    };
    write(12.0, set.label(), chosen, tokens.ink);
    if set == view.project().rule_set {
        write(130.0, "in use", false, tokens.soft_ink);
    }
    match counts {
        Some(counts) => {
            for ((severity, count), x) in counts.into_iter().zip([250.0, 320.0, 390.0]) {
                marks::severity(ui.painter(), tokens, severity, pos2(rect.left() + x, rect.center().y), 11.0);
                write(x + 11.0, &count.to_string(), false, tokens.ink);
            }
        }
        None => write(244.0, "checking…", false, tokens.soft_ink),
    }
    if let (Some(from), Some(to)) = (comparing.of(view.project().rule_set), comparing.of(set))
        && set != view.project().rule_set
    {
        let difference = comparison::difference(from, to);
        let text = match (difference.come.len(), difference.go.len()) {
            (0, 0) => "the same findings".to_owned(),
            (come, go) => format!("{come} come, {go} go"),
        };
        write(470.0, &text, false, tokens.soft_ink);
    }
    if response.clicked() {
        comparing.chosen = set;
    }
}

/// Which findings come and go.
fn difference_ui(ui: &mut Ui, view: &View<'_>, comparing: &Comparing) {
    let now = view.project().rule_set;
    let (Some(from), Some(to)) = (comparing.of(now), comparing.of(comparing.chosen)) else { return };
    if now == comparing.chosen {
        words(ui, "Choose another to see what would come and go.");
        return;
    }
    let difference = comparison::difference(from, to);
    let room = (ui.ctx().content_rect().height() - 420.0).clamp(90.0, 340.0);
    ScrollArea::vertical().max_height(room).min_scrolled_height(room).auto_shrink([false, true]).show(
        ui,
        |ui| {
            if difference.come.is_empty() && difference.go.is_empty() {
                words(ui, &format!("{} and {} find the same here.", now.label(), comparing.chosen.label()));
            }
            list_ui(ui, view, "These would come", &difference.come);
            list_ui(ui, view, "These would go", &difference.go);
        },
    );
}

fn list_ui(ui: &mut Ui, view: &View<'_>, title: &str, findings: &[&Finding]) {
    if findings.is_empty() {
        return;
    }
    ui.label(RichText::new(title).font(FontId::new(fonts::BODY, fonts::strong())));
    let circuit = &view.project().circuit;
    for finding in findings {
        ui.horizontal(|ui| {
            let (rect, _) = ui.allocate_exact_size(vec2(16.0, 20.0), Sense::hover());
            marks::severity(ui.painter(), view.tokens, finding.severity, rect.center(), 11.0);
            let mut text = LayoutJob::default();
            let format = |color| TextFormat { font_id: fonts::body(), color, ..TextFormat::default() };
            text.append(&finding.title, 0.0, format(view.tokens.ink));
            text.append(&finding.place_text(circuit), 10.0, format(view.tokens.soft_ink));
            ui.add(Label::new(text).truncate()).on_hover_text(finding.clause);
        });
    }
    ui.add_space(6.0);
}
