//! The candidates in a table, one a row, the cheapest first.

use super::{ProposeState, sum};
use crate::window::fonts;
use crate::window::tokens::Tokens;
use crate::window::view::View;
use egui::{Align2, FontFamily, FontId, Rect, Role, Sense, Stroke, Ui, WidgetInfo, vec2};
use lineside_core::units::text;

const ROW: f32 = 27.0;
/// Reasons need so much.
const REASONS: f32 = 110.0;

/// The columns with their widths; the last has what is left.
const COLUMNS: [(&str, f32); 7] = [
    ("bank", 172.0),
    ("holds", 84.0),
    ("array", 80.0),
    ("cost", 106.0),
    ("over its life", 106.0),
    ("unmet", 70.0),
    ("generator", 84.0),
];

fn cells(rect: Rect) -> Vec<Rect> {
    let mut left = rect.left();
    let mut cells: Vec<Rect> = COLUMNS
        .iter()
        .map(|(_, width)| {
            let cell = Rect::from_x_y_ranges(left..=left + width, rect.y_range());
            left += width;
            cell
        })
        .collect();
    // Where there is no room for the reasons they stand beside the table, with the parts.
    if rect.right() - left > REASONS {
        cells.push(Rect::from_x_y_ranges(left..=rect.right(), rect.y_range()));
    }
    cells
}

fn put(ui: &Ui, cell: Rect, place: usize, text: &str, font: FontId, tokens: &Tokens) {
    let left = place == 0 || place == COLUMNS.len();
    let painter = ui.painter_at(cell);
    if left {
        let gap = if place == 0 { 6.0 } else { 16.0 };
        let words = egui::RichText::new(text).font(font).color(tokens.ink);
        let wrap = Some(egui::TextWrapMode::Truncate);
        let galley = egui::WidgetText::from(words).into_galley(
            ui,
            wrap,
            cell.width() - gap,
            egui::FontSelection::Default,
        );
        let at = cell.left_center() + vec2(gap, -galley.size().y / 2.0);
        painter.galley(at, galley, tokens.ink);
    } else {
        painter.text(cell.right_center() - vec2(6.0, 0.0), Align2::RIGHT_CENTER, text, font, tokens.ink);
    }
}

pub(super) fn table_ui(ui: &mut Ui, view: &View<'_>, state: &mut ProposeState, currency: &str) {
    let tokens = view.tokens;
    let width = ui.available_width();
    ui.spacing_mut().item_spacing.y = 0.0;
    let (head, _) = ui.allocate_exact_size(vec2(width, 24.0), Sense::hover());
    let headings = COLUMNS.iter().map(|(name, _)| *name).chain(["why it is here"]);
    for (place, (cell, name)) in cells(head).into_iter().zip(headings).enumerate() {
        put(ui, cell, place, name, fonts::small(), tokens);
    }
    ui.painter().hline(head.x_range(), head.bottom(), Stroke::new(1.0, tokens.line));
    let mut chosen = None;
    for (index, it) in state.shown.iter().enumerate() {
        let candidate = &it.candidate;
        let units = view.units();
        let merits: Vec<&str> = candidate.merits.iter().map(|it| it.text()).collect();
        let words = [
            candidate.chemistry.label().to_owned(),
            text::figure(candidate.bank.into(), units),
            text::figure(candidate.array.into(), units),
            sum(candidate.cost, currency),
            candidate.life_cost.map_or_else(|| "–".to_owned(), |cost| sum(cost, currency)),
            text::figure(candidate.unmet().into(), units),
            text::figure(candidate.generator_hours().into(), units),
            merits.join(", "),
        ];
        let (rect, response) = ui.allocate_exact_size(vec2(width, ROW), Sense::click());
        let is_chosen = state.chosen == Some(index);
        let name = format!("Candidate {}: {}", index + 1, words.join(", "));
        response.widget_info(|| WidgetInfo::selected(Role::ListItem, true, is_chosen, &name));
        if is_chosen {
            ui.painter().rect_filled(rect, 3.0, tokens.accent_ground);
        } else if response.hovered() || response.has_focus() {
            ui.painter().rect_filled(rect, 3.0, tokens.panel);
        }
        if response.has_focus() {
            let edge = Stroke::new(1.0, tokens.accent);
            ui.painter().rect_stroke(rect.shrink(0.5), 3.0, edge, egui::StrokeKind::Inside);
        }
        let family = if is_chosen { fonts::strong() } else { FontFamily::Proportional };
        for (place, (cell, text)) in cells(rect).into_iter().zip(&words).enumerate() {
            put(ui, cell, place, text, FontId::new(fonts::BODY, family.clone()), tokens);
        }
        ui.painter().hline(rect.x_range(), rect.bottom(), Stroke::new(1.0, tokens.line));
        if response.clicked() {
            chosen = Some(index);
        }
        if !merits.is_empty() {
            response.on_hover_text(merits.join(", "));
        }
    }
    if let Some(index) = chosen {
        state.chosen = Some(index);
        state.cannot_open = None;
        state.why.follow(state.shown.get(index));
    }
}
