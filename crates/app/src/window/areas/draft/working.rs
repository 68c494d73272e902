//! The working of a finding or of a figure, line by line, with numbers under each other on the decimal point.

use super::explanation::{explain_ui, explanation_ui};
use super::figures;
use super::findings::{Beside, FindingsState, acceptance_ui, can_be_accepted, entry_of, fitting};
use super::remedies;
use crate::window::action::Actions;
use crate::window::fonts;
use crate::window::symbols;
use crate::window::view::View;
use egui::{
    Color32, FontFamily, FontId, Label, Rect, RichText, Role, ScrollArea, Sense, Ui, WidgetInfo, pos2, vec2,
};
use lineside_core::units::{Quantity, text};
use lineside_core::working::{Line, Origin};
use lineside_rules::figures::Figure;
use lineside_rules::{Amount, Finding};

const ROW: f32 = 24.0;

/// The working of the figure or the finding that is looked at.
pub fn working_ui(
    ui: &mut Ui,
    view: &View<'_>,
    finding: Option<&Finding>,
    state: &mut FindingsState,
    actions: &mut Actions,
) {
    let tokens = view.tokens;
    if let Some((title, figure)) = figures::looked_at(view) {
        figure_ui(ui, view, &title, &figure);
        return;
    }
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
    let ctx = ui.ctx().clone();
    let found = state.remedies.of(view, finding, &ctx);
    if state.beside == Beside::Acceptance && !can_be_accepted(finding) {
        state.beside = Beside::Working;
    }
    if let Some(beside) = head_ui(ui, view, finding, found.map(<[_]>::len), state.beside) {
        state.beside = beside;
        state.form.ask();
    }
    match state.beside {
        Beside::Working => finding_ui(ui, view, finding),
        Beside::Remedies => {
            let pointed = remedies::remedies_ui(ui, view, found, actions);
            state.remedies.point(pointed);
        }
        Beside::Acceptance => acceptance_ui(ui, view, finding, state, actions),
    }
}

/// Working or remedies, with how many remedies there are, and the rule that speaks. Gives back what was clicked.
fn head_ui(
    ui: &mut Ui,
    view: &View<'_>,
    finding: &Finding,
    found: Option<usize>,
    beside: Beside,
) -> Option<Beside> {
    let mut clicked = None;
    let tokens = view.tokens;
    let count = match found {
        None => "Remedies …".to_owned(),
        Some(count) => format!("Remedies {}", text::count(count)),
    };
    ui.horizontal(|ui| {
        let mut tabs = vec![(Beside::Working, "Working".to_owned()), (Beside::Remedies, count)];
        if can_be_accepted(finding) {
            let name = if entry_of(view, finding).is_some() { "Accepted" } else { "Accept…" };
            tabs.push((Beside::Acceptance, name.to_owned()));
        }
        for (what, name) in tabs {
            let chosen = beside == what;
            let ink = if chosen { tokens.ink } else { tokens.soft_ink };
            let name = RichText::new(name).font(FontId::new(fonts::HEADING, fonts::strong())).color(ink);
            if ui.selectable_label(chosen, name).clicked() {
                clicked = Some(what);
            }
        }
        ui.add_space(6.0);
        let rule = RichText::new(finding.rule).font(fonts::small()).color(tokens.soft_ink);
        let rule = ui.add(Label::new(rule).truncate().sense(Sense::hover()));
        rule.on_hover_ui(|ui| explain_ui(ui, view, finding.rule));
    });
    clicked
}

/// The numbers behind a finding, its clause, and the words of its rule.
fn finding_ui(ui: &mut Ui, view: &View<'_>, finding: &Finding) {
    let tokens = view.tokens;
    ScrollArea::vertical().id_salt(finding.rule).auto_shrink(false).show(ui, |ui| {
        ui.spacing_mut().item_spacing.y = 0.0;
        ui.set_max_width(ui.available_width() - 10.0);
        let heading = RichText::new(&finding.title).font(FontId::new(fonts::BODY, fonts::strong()));
        ui.add(Label::new(heading.color(tokens.severity(finding.severity))).wrap());
        ui.add_space(3.0);
        let quantity = |amount: &Amount| match amount {
            Amount::Quantity(quantity) => Some(*quantity),
            Amount::Words(_) => None,
        };
        let lines = &finding.working.lines;
        let told = [quantity(&finding.found), quantity(&finding.allowed)];
        lines_ui(ui, view, &Told { lines, results: told, color: tokens.severity(finding.severity) });
        ui.add_space(6.0);
        let clause = if finding.clause.is_empty() {
            "Engineering judgement; no clause demands it."
        } else {
            finding.clause
        };
        ui.add(Label::new(RichText::new(clause).color(tokens.soft_ink)).wrap());
        ui.add_space(8.0);
        explanation_ui(ui, tokens, finding.rule);
        ui.add_space(8.0);
    });
}

/// A figure that no rule complains of.
fn figure_ui(ui: &mut Ui, view: &View<'_>, title: &str, figure: &Figure) {
    ui.heading("Working");
    ScrollArea::vertical().id_salt(title).auto_shrink(false).show(ui, |ui| {
        ui.spacing_mut().item_spacing.y = 0.0;
        ui.set_max_width(ui.available_width() - 10.0);
        ui.add(Label::new(RichText::new(title).font(FontId::new(fonts::BODY, fonts::strong()))).wrap());
        ui.add_space(3.0);
        let lines = &figure.working.lines;
        lines_ui(ui, view, &Told { lines, results: [Some(figure.value), None], color: view.tokens.ink });
    });
}

/// Lines, and how its results stand out.
struct Told<'a> {
    lines: &'a [Line],
    /// What was found, and what is allowed.
    results: [Option<Quantity>; 2],
    /// In which what was found is written.
    color: Color32,
}

/// A number on both sides of its decimal point.
struct Number {
    whole: String,
    rest: String,
}

impl Number {
    /// Splits `157.23 V` before the point, or before the unit when there is none.
    fn of(shown: &str) -> Self {
        let end = shown.find(['.', ' ']).unwrap_or(shown.len());
        let (whole, rest) = shown.split_at(end);
        Self { whole: whole.to_owned(), rest: rest.to_owned() }
    }
}

/// Where the columns of a working begin, from the left, and where the decimal points stand.
struct Columns {
    symbol: f32,
    point: f32,
    from: f32,
    width: f32,
}

impl Columns {
    fn of(ui: &Ui, lines: &[Line], figures: &[Number], width: f32) -> Self {
        let size = |text: &str| {
            ui.painter().layout_no_wrap(text.to_owned(), font(Rank::Chief), Color32::TRANSPARENT).size().x
        };
        let widest = |widths: &mut dyn Iterator<Item = f32>| widths.fold(0.0, f32::max);
        let meaning = widest(&mut lines.iter().map(|line| size(&line.meaning))).min(width * 0.38);
        let symbol =
            widest(&mut lines.iter().map(|line| symbols::width(ui, &line.symbol, &font(Rank::Chief))))
                .min(width * 0.14);
        let whole = widest(&mut figures.iter().map(|figure| size(&figure.whole)));
        let rest = widest(&mut figures.iter().map(|figure| size(&figure.rest)));
        let symbol_at = meaning + 16.0;
        let point = symbol_at + symbol + 22.0 + whole;
        Self { symbol: symbol_at, point, from: point + rest + 18.0, width }
    }
}

fn lines_ui(ui: &mut Ui, view: &View<'_>, told: &Told<'_>) {
    let lines = told.lines;
    let figures: Vec<Number> =
        lines.iter().map(|line| Number::of(&text::worked(line.value, view.units()))).collect();
    let columns = Columns::of(ui, lines, &figures, ui.available_width());
    for (line, figure) in lines.iter().zip(&figures) {
        line_ui(ui, view, told, line, figure, &columns);
    }
}

fn line_ui(ui: &mut Ui, view: &View<'_>, told: &Told<'_>, line: &Line, figure: &Number, columns: &Columns) {
    let tokens = view.tokens;
    let (rect, response) = ui.allocate_exact_size(vec2(columns.width, ROW), Sense::hover());
    let [found, allowed] = told.results.map(|result| result == Some(line.value));
    let chief = found || allowed || line.origin == Origin::Computed;
    let rank = if chief { Rank::Chief } else { Rank::Other };
    let ink = if found { told.color } else { tokens.ink };
    let meaning_ink = if chief { tokens.ink } else { tokens.soft_ink };
    put(ui, rect, 0.0, &line.meaning, font(rank), meaning_ink, columns.symbol - 10.0);
    symbols::paint(
        ui,
        pos2(rect.left() + columns.symbol, rect.center().y),
        &line.symbol,
        &font(Rank::Other),
        tokens.ink,
    );
    let whole = ui.painter().layout_no_wrap(figure.whole.clone(), font(rank), ink);
    let at = pos2(rect.left() + columns.point - whole.size().x, rect.center().y - whole.size().y / 2.0);
    ui.painter().galley(at, whole, ink);
    put(ui, rect, columns.point, &figure.rest, font(rank), ink, columns.width * 0.2);
    let from = if line.formula.is_empty() { line.origin.to_string() } else { format!("= {}", line.formula) };
    let said = format!("{}, {}: {}{} {from}", line.meaning, line.symbol, figure.whole, figure.rest);
    response.widget_info(|| WidgetInfo::labeled(Role::Label, true, said.trim()));
    let room = columns.width - columns.from;
    let galley = symbols::layout(ui, &from, &FontId::proportional(fonts::SMALL), tokens.soft_ink, room);
    let elided = galley.elided;
    let at = pos2(rect.left() + columns.from, rect.center().y - galley.size().y / 2.0);
    ui.painter().galley(at, galley, tokens.soft_ink);
    if elided || rect.width() < columns.symbol {
        response.on_hover_text(symbols::plain(&said));
    }
}

fn put(ui: &Ui, rect: Rect, x: f32, text: &str, font: FontId, color: Color32, room: f32) {
    let galley = fitting(ui, text, font, color, room);
    let at = pos2(rect.left() + x, rect.center().y - galley.size().y / 2.0);
    ui.painter().galley(at, galley, color);
}

/// Whether a line is a chief result.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum Rank {
    Chief,
    Other,
}

fn font(rank: Rank) -> FontId {
    let family = match rank {
        Rank::Chief => fonts::strong(),
        Rank::Other => FontFamily::Proportional,
    };
    FontId::new(fonts::BODY - 0.5, family)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn figures_split_at_the_point_or_before_the_unit() {
        let split = |shown: &str| {
            let figure = Number::of(shown);
            (figure.whole, figure.rest)
        };
        assert_eq!(split("157.23 V"), ("157".into(), ".23 V".into()));
        assert_eq!(split("40"), ("40".into(), String::new()));
        assert_eq!(split("−4 mV/°C"), ("−4".into(), " mV/°C".into()));
    }
}
