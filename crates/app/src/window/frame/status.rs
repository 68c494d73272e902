//! The status bar: what is under the pointer, zoom, counts of findings, and the caution.

use crate::window::areas::draft::sheet::SheetState;
use crate::window::fonts;
use crate::window::marks;
use crate::window::tokens::Tokens;
use crate::window::view::{Freshness, View};
use egui::{Align, Frame, Label, Layout, Margin, RichText, Ui};
use lineside_rules::Severity;

/// What stands above this program in rank.
pub const CAUTION: &str = "Local codes, the equipment's manual and a licensed professional come first.";

/// The ground of the bar.
pub fn frame_of(tokens: &Tokens) -> Frame {
    Frame::new().fill(tokens.panel).inner_margin(Margin::symmetric(16, 0))
}

/// The bar.
pub fn status_ui(ui: &mut Ui, view: &View<'_>, hint: &str, sheet: Option<&SheetState>) {
    let soft = |text: &str| RichText::new(text).font(fonts::small()).color(view.tokens.soft_ink);
    ui.horizontal_centered(|ui| {
        ui.with_layout(Layout::right_to_left(Align::Center), |ui| {
            // In narrow windows the guide has it, and the page on this program.
            if ui.available_width() > 640.0 {
                ui.label(soft(CAUTION));
                ui.add_space(10.0);
            }
            for severity in Severity::ALL.into_iter().rev() {
                let count = view.derived.open().filter(|finding| finding.severity == severity).count();
                marks::count(ui, view.tokens, severity, count);
            }
            if view.freshness == Freshness::Stale {
                ui.label(soft("checking…"));
            }
            if let Some(sheet) = sheet {
                ui.add_space(10.0);
                ui.label(soft(&format!("zoom {} %", sheet.zoom_percent())));
            }
            ui.with_layout(Layout::left_to_right(Align::Center), |ui| {
                ui.add(Label::new(soft(hint)).truncate());
            });
        });
    });
}
