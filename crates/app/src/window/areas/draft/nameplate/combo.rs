//! A list to choose from, as quiet as an entry: the choice at the right, with a chevron.

use crate::window::areas::draft::findings::fitting;
use crate::window::fonts;
use crate::window::marks::{self, Openness};
use crate::window::tokens::Tokens;
use egui::{
    Align, Id, Layout, Popup, PopupCloseBehavior, Response, Role, ScrollArea, Sense, Stroke, StrokeKind, Ui,
    WidgetInfo, pos2, vec2,
};

/// Room for the chevron.
const CHEVRON: f32 = 18.0;
/// Height of a long list, beyond which it scrolls.
const LONG: f32 = 420.0;

/// The list. `shown` is the choice as it stands.
pub fn combo(
    ui: &mut Ui,
    tokens: &Tokens,
    salt: impl std::hash::Hash + std::fmt::Debug,
    (name, shown): (&str, &str),
    width: f32,
    choices: impl FnOnce(&mut Ui),
) -> Response {
    let (rect, _) = ui.allocate_exact_size(vec2(width, 24.0), Sense::hover());
    let response = ui.interact(rect, Id::unique(("list", salt)), Sense::click());
    response.widget_info(|| WidgetInfo::labeled(Role::ComboBox, true, format!("{name}: {shown}")));
    let popup = Popup::menu(&response).close_behavior(PopupCloseBehavior::CloseOnClick);
    let open = popup.is_open();
    if open || response.hovered() || response.has_focus() {
        let edge = if open || response.has_focus() { tokens.accent } else { tokens.line };
        ui.painter().rect(rect, 3.0, tokens.card, Stroke::new(1.0, edge), StrokeKind::Inside);
    }
    let ink = if shown == "not given" || shown == "various" { tokens.soft_ink } else { tokens.ink };
    let words = fitting(ui, shown, fonts::body(), ink, width - CHEVRON - 8.0);
    let at = pos2(rect.right() - CHEVRON - words.size().x, rect.center().y - words.size().y / 2.0);
    ui.painter().galley(at, words, ink);
    let chevron = pos2(rect.right() - CHEVRON / 2.0, rect.center().y);
    marks::chevron(ui.painter(), chevron, Openness::Open, tokens.soft_ink);
    popup.width(width.max(150.0)).show(|ui| {
        ScrollArea::vertical().max_height(LONG).show(ui, |ui| {
            ui.with_layout(Layout::top_down_justified(Align::LEFT), choices);
        });
    });
    response
}
