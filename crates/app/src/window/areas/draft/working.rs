//! The working of a finding, line by line, with numbers under each other on the decimal point.

use super::findings::fitting;
use crate::window::action::Actions;
use crate::window::fonts;
use crate::window::view::View;
use egui::{FontFamily, FontId, Label, RichText, ScrollArea, Sense, Ui, pos2, vec2};
use lineside_core::units::text;
use lineside_core::working::{Line, Origin};
use lineside_rules::{Finding, Severity};

const ROW: f32 = 24.0;

/// The working of the finding that is looked at.
pub fn working_ui(ui: &mut Ui, view: &View<'_>, finding: Option<&Finding>, _: &mut Actions) {
    let tokens = view.tokens;
    let Some(finding) = finding else {
        ui.heading("Working");
        let text = if view.derived.findings().is_empty() {
            "Where a rule finds something, the numbers behind it stand here, line by line."
        } else {
            "Choose a finding to see the numbers behind it."
        };
        ui.add(Label::new(RichText::new(text).color(tokens.soft_ink)).wrap());
        return;
    };
    ui.horizontal(|ui| {
        ui.heading("Working");
        ui.add_space(6.0);
        ui.add(
            Label::new(RichText::new(finding.rule).font(fonts::small()).color(tokens.soft_ink)).truncate(),
        );
    });
    ScrollArea::vertical().auto_shrink(false).show(ui, |ui| {
        ui.spacing_mut().item_spacing.y = 0.0;
        let heading = RichText::new(&finding.title).font(FontId::new(fonts::BODY, fonts::strong()));
        ui.add(Label::new(heading.color(tokens.severity(finding.severity))).wrap());
        ui.add_space(4.0);
        lines_ui(ui, view, &finding.working.lines, finding.severity);
        ui.add_space(6.0);
        if !finding.clause.is_empty() {
            ui.add(Label::new(RichText::new(finding.clause).color(tokens.soft_ink)).wrap());
        } else {
            let text = "Engineering judgement; no clause demands it.";
            ui.add(Label::new(RichText::new(text).color(tokens.soft_ink)).wrap());
        }
        explanation_ui(ui, view, finding);
        ui.add_space(8.0);
    });
}

/// What a number is made of, on both sides of its decimal point.
struct Figure {
    whole: String,
    rest: String,
}

impl Figure {
    /// Splits `157.23 V` before the point, or before the unit when there is none.
    fn of(shown: &str) -> Self {
        let end = shown.find(['.', ' ']).unwrap_or(shown.len());
        let (whole, rest) = shown.split_at(end);
        Self { whole: whole.to_owned(), rest: rest.to_owned() }
    }
}

fn lines_ui(ui: &mut Ui, view: &View<'_>, lines: &[Line], severity: Severity) {
    let tokens = view.tokens;
    let width = ui.available_width() - 12.0;
    let figures: Vec<Figure> =
        lines.iter().map(|line| Figure::of(&text::figure(line.value, view.units()))).collect();
    let rest_width = figures
        .iter()
        .map(|figure| ui.painter().layout_no_wrap(figure.rest.clone(), font(false), tokens.ink).size().x)
        .fold(0.0, f32::max);
    let meaning_room = width * 0.34;
    let formula_at = width * 0.36;
    let point_at = width * 0.78 - rest_width.min(width * 0.14);
    let origin_at = width * 0.80;
    let last = lines.len().saturating_sub(1);
    for (i, (line, figure)) in lines.iter().zip(&figures).enumerate() {
        let (rect, response) = ui.allocate_exact_size(vec2(width, ROW), Sense::hover());
        let chief = line.origin == Origin::Computed && i + 1 >= last.min(i + 1) && is_result(lines, i);
        let ink = if i == last && chief { tokens.severity(severity) } else { tokens.ink };
        let at = |galley: &egui::Galley| rect.center().y - galley.size().y / 2.0;
        let put = |x: f32, text: &str, font: FontId, color, room: f32| {
            let galley = fitting(ui, text, font, color, room);
            let y = at(&galley);
            ui.painter().galley(pos2(rect.left() + x, y), galley, color);
        };
        let meaning_color = if chief { tokens.ink } else { tokens.soft_ink };
        put(0.0, &line.meaning, font(chief), meaning_color, meaning_room);
        let formula = formula_of(line);
        let whole = ui.painter().layout_no_wrap(figure.whole.clone(), font(chief), ink);
        let formula_room = point_at - whole.size().x - formula_at - 10.0;
        put(formula_at, &formula, font(false), tokens.ink, formula_room);
        let y = at(&whole);
        ui.painter().galley(pos2(rect.left() + point_at - whole.size().x, y), whole, ink);
        put(point_at, &figure.rest, font(chief), ink, width * 0.2);
        put(origin_at, &line.origin.to_string(), fonts::small(), tokens.soft_ink, width - origin_at);
        let said = format!("{}: {formula} {}{} {}", line.meaning, figure.whole, figure.rest, line.origin);
        response.widget_info(|| egui::WidgetInfo::labeled(egui::Role::Label, true, said.trim()));
        if formula_room < 60.0 || formula.len() > 24 {
            response.on_hover_text(said.trim());
        }
    }
}

/// A computed line that no later line stands between and the end is a chief result.
fn is_result(lines: &[Line], index: usize) -> bool {
    lines.iter().skip(index).all(|line| line.origin == Origin::Computed)
}

fn formula_of(line: &Line) -> String {
    match (line.symbol.is_empty(), line.formula.is_empty()) {
        (false, false) => format!("{} = {}", line.symbol, line.formula),
        (false, true) => line.symbol.to_string(),
        (true, false) => line.formula.to_string(),
        (true, true) => String::new(),
    }
}

fn font(chief: bool) -> FontId {
    FontId::new(fonts::BODY - 0.5, if chief { fonts::strong() } else { FontFamily::Proportional })
}

/// The harm and the reason, in the words of the rule's own page.
fn explanation_ui(ui: &mut Ui, view: &View<'_>, finding: &Finding) {
    let Some(rule) = lineside_rules::ALL.iter().find(|rule| rule.id == finding.rule) else { return };
    ui.add_space(8.0);
    for paragraph in rule.explanation.trim().split("\n\n") {
        let text = paragraph.lines().map(str::trim).collect::<Vec<_>>().join(" ");
        if let Some(title) = text.strip_prefix("## ") {
            ui.add_space(4.0);
            ui.label(RichText::new(title).font(FontId::new(fonts::SMALL, fonts::strong())));
        } else if !text.is_empty() {
            ui.add(Label::new(RichText::new(text).color(view.tokens.soft_ink)).wrap());
            ui.add_space(3.0);
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn figures_split_at_the_point_or_before_the_unit() {
        let split = |shown: &str| {
            let figure = Figure::of(shown);
            (figure.whole, figure.rest)
        };
        assert_eq!(split("157.23 V"), ("157".into(), ".23 V".into()));
        assert_eq!(split("40"), ("40".into(), String::new()));
        assert_eq!(split("−4 mV/°C"), ("−4".into(), " mV/°C".into()));
    }
}
