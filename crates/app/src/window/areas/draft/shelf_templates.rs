//! Templates on the shelf, above the stock: dragged onto the sheet, or put in the middle of the view.

use super::shelf::card;
use crate::window::action::{Action, Actions};
use crate::window::fonts;
use crate::window::held::Held;
use crate::window::templates::Template;
use crate::window::view::View;
use egui::{FontId, Id, Rect, Role, Sense, Ui, WidgetInfo, pos2, vec2};

/// Height of a row.
const ROW: f32 = 30.0;

/// The templates whose names hold every word that is searched for. Whether there are any.
pub fn templates_ui(ui: &mut Ui, view: &View<'_>, wanted: &[String], actions: &mut Actions) -> bool {
    let matches = |template: &&Template| {
        let name = format!("{} template", template.name().to_lowercase());
        wanted.iter().all(|word| name.contains(word.as_str()))
    };
    let found: Vec<&Template> = Template::ALL.iter().filter(matches).collect();
    if found.is_empty() {
        return false;
    }
    let heading = egui::RichText::new("Templates").font(FontId::new(fonts::BODY, fonts::strong()));
    ui.label(heading);
    for template in found {
        row_ui(ui, view, *template, actions);
    }
    ui.add_space(6.0);
    true
}

fn row_ui(ui: &mut Ui, view: &View<'_>, template: Template, actions: &mut Actions) {
    let tokens = view.tokens;
    let width = ui.available_width() - 6.0;
    let words =
        ui.painter().layout(template.name().to_owned(), fonts::small(), tokens.ink, width - 12.0 - 16.0);
    let height = ROW.max(words.size().y + 10.0);
    let (space, _) = ui.allocate_exact_size(vec2(width, height), Sense::hover());
    let rect = Rect::from_min_max(pos2(space.left() + 12.0, space.top()), space.max);
    let response = ui.interact(rect, Id::unique(("template", template)), Sense::click_and_drag());
    response
        .widget_info(|| WidgetInfo::labeled(Role::Button, true, format!("Template: {}", template.name())));
    if !ui.is_rect_visible(rect) {
        return;
    }
    card(ui, tokens, rect, &response);
    let at = pos2(rect.left() + 8.0, rect.center().y - words.size().y / 2.0);
    ui.painter().galley(at, words, tokens.ink);
    if response.drag_started() {
        actions.push(Action::Hold(Held::Template(template)));
    }
    let entered = response.has_focus() && ui.input(|input| input.key_pressed(egui::Key::Enter));
    if response.double_clicked() || entered {
        actions.push(Action::PlaceTemplate(template, None));
    }
    if response.gained_focus() {
        response.scroll_to_me(None);
    }
    let tip = format!("{} Drag it onto the sheet; Enter puts it in the middle.", template.explanation());
    response.on_hover_text(tip);
}
