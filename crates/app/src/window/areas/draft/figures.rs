//! The figures of what is selected: what a run carries, may carry, loses and would see in a short circuit, what voltages
//! strings and banks reach. A click opens the working of one.

use super::ladder;
use super::nameplate::group;
use crate::window::action::{Action, Actions};
use crate::window::fonts;
use crate::window::selection::Thing;
use crate::window::view::{Freshness, View};
use egui::{Align2, FontFamily, FontId, Role, Sense, Stroke, StrokeKind, Ui, WidgetInfo, pos2, vec2};
use lineside_core::units::text;
use lineside_rules::Circumstances;
use lineside_rules::figures::{Figure, of_block, of_run};
use lineside_study::Conditions;

/// Height of a row.
const ROW: f32 = 24.0;

/// The figures of what is selected; none while they are being worked out anew.
fn of_selection(view: &View<'_>) -> Vec<Figure> {
    if view.freshness == Freshness::Stale {
        return Vec::new();
    }
    with_circumstances(view, |on| match view.selection.single() {
        Some(Thing::Run(id)) => of_run(on, id),
        Some(Thing::Block(id)) => of_block(on, id),
        Some(Thing::Place(_) | Thing::Terminal(_)) | None => Vec::new(),
    })
}

/// Looks at the project as the rules do.
pub fn with_circumstances<T>(view: &View<'_>, look: impl FnOnce(&Circumstances<'_>) -> T) -> T {
    let project = view.project();
    let on = Conditions::new(project, &view.engine.codes).under(project.rule_set);
    look(&Circumstances::of(on, &view.derived.checked.studies))
}

/// The number of the ladder whose working is open.
fn of_ladder(view: &View<'_>, wanted: &str) -> Option<(String, Figure)> {
    if view.freshness == Freshness::Stale {
        return None;
    }
    let figures = with_circumstances(view, |on| ladder::figures_of_selection(view, on));
    let figure = figures.into_iter().find(|figure| figure.name == wanted)?;
    Some((figure.name.to_string(), figure))
}

/// The figure whose working is open, and what it is of.
pub fn looked_at(view: &View<'_>) -> Option<(String, Figure)> {
    let wanted = view.figure?;
    let Some(figure) = of_selection(view).into_iter().find(|figure| figure.name == wanted) else {
        return of_ladder(view, wanted);
    };
    let circuit = &view.project().circuit;
    let tag = match view.selection.single()? {
        Thing::Run(id) => circuit.run(id)?.tag.clone(),
        Thing::Block(id) => circuit.block(id)?.tag.clone(),
        Thing::Place(_) | Thing::Terminal(_) => return None,
    };
    Some((format!("{tag}: {}", figure.name.to_lowercase()), figure))
}

/// The figures as rows.
pub fn figures_ui(ui: &mut Ui, view: &View<'_>, actions: &mut Actions) {
    let figures = of_selection(view);
    if figures.is_empty() {
        return;
    }
    group(ui, "Figures");
    for figure in &figures {
        row_ui(ui, view, figure, actions);
    }
}

fn row_ui(ui: &mut Ui, view: &View<'_>, figure: &Figure, actions: &mut Actions) {
    let tokens = view.tokens;
    let open = view.figure == Some(figure.name.as_ref());
    let (rect, response) = ui.allocate_exact_size(vec2(ui.available_width(), ROW), Sense::click());
    let shown = text::figure(figure.value, view.units());
    let said = format!("{}: {shown}", figure.name);
    response.widget_info(|| WidgetInfo::selected(Role::Button, true, open, &said));
    let ground = rect.expand2(vec2(4.0, 0.0));
    if open {
        ui.painter().rect_filled(ground, 4.0, tokens.accent_ground);
    } else if response.hovered() {
        ui.painter().rect_filled(ground, 4.0, tokens.card);
    }
    if response.has_focus() {
        ui.painter().rect_stroke(ground, 4.0, Stroke::new(1.0, tokens.accent), StrokeKind::Inside);
    }
    let font = |strong: bool| {
        let family = if strong { fonts::strong() } else { FontFamily::Proportional };
        FontId::new(fonts::BODY, family)
    };
    let painter = ui.painter();
    let left = pos2(rect.left(), rect.center().y);
    painter.text(left, Align2::LEFT_CENTER, &figure.name, font(false), tokens.soft_ink);
    let right = pos2(rect.right(), rect.center().y);
    painter.text(right, Align2::RIGHT_CENTER, shown, font(open), tokens.ink);
    if response.clicked() {
        actions.push(Action::ShowFigure(figure.name.to_string()));
    }
    response.on_hover_text("Shows how this came about.");
}
