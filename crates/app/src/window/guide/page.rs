//! How a page of the guide looks.

use super::markdown::{Block, Span, Voice};
use crate::window::fonts;
use crate::window::view::View;
use egui::text::{LayoutJob, TextFormat};
use egui::{FontId, Frame, Grid, Label, Link, Margin, RichText, Stroke, Ui};

/// Wider lines than this are hard to follow.
const WIDEST: f32 = 620.0;

/// The page. Gives back the file of the chapter to which a link led.
pub(super) fn page_ui(ui: &mut Ui, view: &View<'_>, blocks: &[Block]) -> Option<String> {
    let mut wanted = None;
    ui.set_max_width(ui.available_width().min(WIDEST) - 12.0);
    ui.spacing_mut().item_spacing.y = 7.0;
    for (i, block) in blocks.iter().enumerate() {
        match block {
            Block::Heading(rank, text) => {
                ui.add_space(if i == 0 { 0.0 } else { 10.0 });
                let size =
                    [22.0, 17.0, fonts::BODY].get(usize::from(*rank) - 1).copied().unwrap_or(fonts::BODY);
                ui.add(Label::new(RichText::new(text).font(FontId::new(size, fonts::strong()))).wrap());
            }
            Block::Paragraph(spans) => spans_ui(ui, view, spans, &mut wanted),
            Block::Item(depth, number, spans) => {
                ui.horizontal_top(|ui| {
                    ui.spacing_mut().item_spacing.x = 6.0;
                    ui.add_space(14.0 * depth.saturating_sub(1) as f32 + 4.0);
                    let mark = number.map_or_else(|| "·".to_owned(), |number| format!("{number}."));
                    ui.label(RichText::new(mark).color(view.tokens.soft_ink));
                    ui.vertical(|ui| spans_ui(ui, view, spans, &mut wanted));
                });
            }
            Block::Lines(text) => {
                Frame::new().fill(view.tokens.panel).corner_radius(4.0).inner_margin(Margin::same(8)).show(
                    ui,
                    |ui| {
                        ui.set_min_width(ui.available_width());
                        ui.add(Label::new(text).wrap().selectable(true));
                    },
                );
            }
            Block::Warning(spans) => {
                let edge = Stroke::new(1.0, view.tokens.danger);
                Frame::new().stroke(edge).corner_radius(4.0).inner_margin(Margin::same(8)).show(ui, |ui| {
                    ui.set_min_width(ui.available_width());
                    spans_ui(ui, view, spans, &mut wanted);
                });
            }
            Block::Table(rows) => table_ui(ui, view, i, rows, &mut wanted),
            // What a picture shows is the window that stands beside the page.
            Block::Picture(_) => {}
        }
    }
    ui.add_space(16.0);
    wanted
}

fn table_ui(ui: &mut Ui, view: &View<'_>, salt: usize, rows: &[Vec<Vec<Span>>], wanted: &mut Option<String>) {
    let columns = rows.iter().map(Vec::len).max().unwrap_or(1).max(1);
    let whole = ui.available_width();
    // The first column holds names and keys; the others what is to be said of them.
    let first = if columns > 1 { (whole * 0.34).min(200.0) } else { whole };
    let other = (whole - first - 14.0 * columns as f32) / (columns.max(2) - 1) as f32;
    Grid::new(("table", salt)).num_columns(columns).spacing([14.0, 5.0]).show(ui, |ui| {
        for (n, row) in rows.iter().enumerate() {
            for (column, cell) in row.iter().enumerate() {
                ui.vertical(|ui| {
                    ui.set_width(if column == 0 { first } else { other });
                    if n == 0 {
                        let heads: Vec<Span> =
                            cell.iter().map(|span| Span { voice: Voice::Strong, ..span.clone() }).collect();
                        spans_ui(ui, view, &heads, wanted);
                    } else {
                        spans_ui(ui, view, cell, wanted);
                    }
                });
            }
            ui.end_row();
        }
    });
}

fn format_of(view: &View<'_>, voice: Voice) -> TextFormat {
    let family = if matches!(voice, Voice::Strong | Voice::Literal) {
        fonts::strong()
    } else {
        egui::FontFamily::Proportional
    };
    TextFormat {
        font_id: FontId::new(fonts::BODY, family),
        color: view.tokens.ink,
        italics: voice == Voice::Aside,
        background: if voice == Voice::Literal { view.tokens.panel } else { egui::Color32::TRANSPARENT },
        ..TextFormat::default()
    }
}

/// A line of text that wraps. Without links it is one label, so that it is read out as one.
fn spans_ui(ui: &mut Ui, view: &View<'_>, spans: &[Span], wanted: &mut Option<String>) {
    if spans.iter().all(|span| span.link.is_none()) {
        let mut job = LayoutJob::default();
        for span in spans {
            job.append(&span.text, 0.0, format_of(view, span.voice));
        }
        ui.add(Label::new(job).wrap());
        return;
    }
    ui.horizontal_wrapped(|ui| {
        ui.spacing_mut().item_spacing.x = 0.0;
        for span in spans {
            if let Some(link) = span.link.as_deref().filter(|link| !link.contains('/')) {
                if ui.add(Link::new(&span.text)).clicked() {
                    *wanted = Some(link.split('#').next().unwrap_or(link).to_owned());
                }
            } else {
                let mut job = LayoutJob::default();
                job.append(&span.text, 0.0, format_of(view, span.voice));
                ui.add(Label::new(job).wrap());
            }
        }
    });
}
