//! The stock shelf: everything that can be put on the sheet, by kind, with a search.

use super::fitting::{self, Fitting, Shows};
use super::shelf_templates;
use crate::window::action::{Action, Actions};
use crate::window::brush::Brush;
use crate::window::command::Command;
use crate::window::fonts;
use crate::window::fuzzy;
use crate::window::held::Held;
use crate::window::keys;
use crate::window::marks::{self, Openness};
use crate::window::style;
use crate::window::tokens::Tokens;
use crate::window::view::View;
use egui::emath::TSTransform;
use egui::{
    FontId, Frame, Id, Margin, Painter, Rect, Response, RichText, Role, ScrollArea, Sense, Stroke,
    StrokeKind, TextEdit, Ui, WidgetInfo, pos2, vec2,
};
use lineside_core::kinds::{Equipment, Kind};
use lineside_core::project::StockItem;
use lineside_drawing::pen::Ink;
use lineside_drawing::symbols::{self, Form, Style};
use std::cmp::Reverse;
use std::collections::BTreeSet;

/// Height of one item on the shelf.
const ITEM: f32 = 40.0;
/// Groups with more items than this are divided by sort.
const MANY: usize = 6;

/// What the shelf remembers.
#[derive(Default)]
pub struct ShelfState {
    search: String,
    open: BTreeSet<Kind>,
    /// Set when the search is to be typed into next.
    pub focus_search: bool,
    /// What fits what is selected.
    pub fitting: Fitting,
}

/// The ground of the shelf.
pub fn frame_of(tokens: &Tokens) -> Frame {
    Frame::new().fill(tokens.panel).inner_margin(Margin { left: 14, right: 8, top: 10, bottom: 0 })
}

/// The shelf.
pub fn shelf_ui(ui: &mut Ui, view: &View<'_>, state: &mut ShelfState, actions: &mut Actions) {
    ui.heading("Stock");
    search(ui, state, view, actions);
    if fitting::choice_ui(ui, view, &mut state.fitting) == Shows::Fits && state.search.trim().is_empty() {
        fitting::fitting_ui(ui, view, &mut state.fitting, actions);
        return;
    }
    ui.add_space(2.0);
    let wanted: Vec<String> = state.search.split_whitespace().map(str::to_lowercase).collect();
    ScrollArea::vertical().auto_shrink(false).show(ui, |ui| {
        let mut any = shelf_templates::templates_ui(ui, view, &wanted, actions);
        for kind in Kind::ALL.iter().copied() {
            let mut items: Vec<(usize, &StockItem)> = view
                .engine
                .stock
                .iter()
                .enumerate()
                .filter(|(_, item)| item.equipment.kind() == kind && matches(item, &wanted))
                .collect();
            // What answers better stands first; without a search all stay in the order of the stock.
            items.sort_by_key(|(_, item)| Reverse(fuzzy::score(&state.search, &item.name)));
            if !items.is_empty() {
                any = true;
                group(ui, view, state, kind, &items, actions);
            }
        }
        if !any {
            let text = if wanted.is_empty() {
                "The stock is empty."
            } else {
                "Nothing in stock has all these words."
            };
            ui.add(egui::Label::new(RichText::new(text).color(view.tokens.soft_ink)).wrap());
        }
        own_ui(ui, view, actions);
        ui.add_space(12.0);
    });
}

/// The stock of one's own: what is in it, and how something comes into it.
fn own_ui(ui: &mut Ui, view: &View<'_>, actions: &mut Actions) {
    ui.add_space(10.0);
    ui.label(RichText::new("Your own stock").font(FontId::new(fonts::BODY, fonts::strong())));
    for item in view.engine.own_items() {
        let edit = ui.link(RichText::new(&item.name).font(fonts::small()));
        edit.widget_info(|| WidgetInfo::labeled(Role::Button, true, format!("Edit {}", item.name)));
        if edit.on_hover_text("Opens its datasheet to be changed.").clicked() {
            actions.push(Action::EditOwnItem(Some(item.name.clone())));
        }
    }
    ui.horizontal_wrapped(|ui| {
        let tip = "Type an item in from its datasheet.";
        if ui.button("Add an item…").on_hover_text(tip).clicked() {
            actions.push(Action::EditOwnItem(None));
        }
        let one = matches!(view.selection.single(), Some(crate::window::selection::Thing::Block(_)));
        let tip = "Makes an item of the nameplate of the selected block.";
        if one && ui.button("Add the selected…").on_hover_text(tip).clicked() {
            actions.push(Action::OwnItemOfSelection);
        }
        let tip =
            "Takes items from CSV, whatever its columns are called, and tells why the others are refused.";
        if ui.button("Import a table…").on_hover_text(tip).clicked() {
            actions.push(Action::ReadStock);
        }
    });
}

fn search(ui: &mut Ui, state: &mut ShelfState, view: &View<'_>, actions: &mut Actions) {
    let edit = TextEdit::singleline(&mut state.search)
        .hint_text("Find equipment")
        .desired_width(ui.available_width() - 6.0)
        .margin(Margin::symmetric(8, 5));
    let response = ui.add(edit).accessible_name("Find equipment in stock");
    let keys = Command::FindStock
        .shortcuts()
        .first()
        .map(|shortcut| keys::text(ui.ctx(), *shortcut))
        .unwrap_or_default();
    let response = response.on_hover_text(format!("Any words of a name, in any order.  {keys}"));
    if std::mem::take(&mut state.focus_search) {
        response.request_focus();
    }
    // Enter places what the search has found first.
    let entered = response.lost_focus() && ui.input(|input| input.key_pressed(egui::Key::Enter));
    if entered && !state.search.trim().is_empty() {
        let wanted: Vec<String> = state.search.split_whitespace().map(str::to_lowercase).collect();
        let first = Kind::ALL.iter().find_map(|kind| {
            view.engine.stock.iter().position(|item| item.equipment.kind() == *kind && matches(item, &wanted))
        });
        if let Some(item) = first {
            actions.push(Action::Place { item, middle: None, into: None });
        }
    }
}

/// Whether an item's name or kind holds every word.
fn matches(item: &StockItem, wanted: &[String]) -> bool {
    let kind = item.equipment.kind();
    let text = format!("{} {} {}", item.name, kind.label(), kind.plural()).to_lowercase();
    wanted.iter().all(|word| text.contains(word.as_str()))
}

fn group(
    ui: &mut Ui,
    view: &View<'_>,
    state: &mut ShelfState,
    kind: Kind,
    items: &[(usize, &StockItem)],
    actions: &mut Actions,
) {
    let searching = !state.search.trim().is_empty();
    let open = searching || state.open.contains(&kind);
    let heading =
        heading(ui, view.tokens, kind, items.len(), if open { Openness::Open } else { Openness::Closed });
    if heading.clicked() && !state.open.remove(&kind) {
        state.open.insert(kind);
    }
    if open {
        let mut sort = "";
        for (index, item) in items {
            let own = sort_of(&item.name);
            if items.len() > MANY && own != sort {
                sort = own;
                sort_ui(ui, view.tokens, sort);
            }
            item_ui(ui, view, *index, item, actions);
        }
        ui.add_space(4.0);
    }
}

/// What an item is called before its numbers: `Molded-case DC breaker`.
fn sort_of(name: &str) -> &str {
    name.split(',').next().unwrap_or(name)
}

fn sort_ui(ui: &mut Ui, tokens: &Tokens, sort: &str) {
    ui.add_space(2.0);
    ui.horizontal(|ui| {
        ui.add_space(12.0);
        let text = RichText::new(sort).font(fonts::small()).color(tokens.soft_ink);
        ui.add(egui::Label::new(text).truncate());
    });
}

fn heading(ui: &mut Ui, tokens: &Tokens, kind: Kind, count: usize, open: Openness) -> Response {
    let (rect, response) =
        ui.allocate_exact_size(vec2(ui.available_width() - 6.0, style::ROW), Sense::click());
    let state = if open == Openness::Open { "open" } else { "closed" };
    response.widget_info(|| {
        WidgetInfo::labeled(Role::Button, true, format!("{}, {count} in stock, {state}", kind.plural()))
    });
    if response.hovered() || response.has_focus() {
        ui.painter().rect_filled(rect, 4.0, tokens.card);
    }
    marks::chevron(ui.painter(), pos2(rect.left() + 7.0, rect.center().y), open, tokens.soft_ink);
    let at = |galley: &std::sync::Arc<egui::Galley>| rect.center().y - galley.size().y / 2.0;
    let name = ui.painter().layout_no_wrap(
        kind.plural().to_owned(),
        FontId::new(fonts::BODY, fonts::strong()),
        tokens.ink,
    );
    ui.painter().galley(pos2(rect.left() + 19.0, at(&name)), name, tokens.ink);
    let number = ui.painter().layout_no_wrap(count.to_string(), fonts::small(), tokens.soft_ink);
    ui.painter().galley(pos2(rect.right() - 6.0 - number.size().x, at(&number)), number, tokens.soft_ink);
    response.on_hover_text(kind.explanation().trim())
}

/// The card of something that can be dragged from the shelf.
pub(super) fn card(ui: &Ui, tokens: &Tokens, rect: Rect, response: &Response) {
    let edge = if response.has_focus() {
        tokens.accent
    } else if response.hovered() {
        tokens.soft_ink
    } else {
        tokens.line
    };
    ui.painter().rect(rect, 4.0, tokens.card, Stroke::new(1.0, edge), StrokeKind::Inside);
}

fn item_ui(ui: &mut Ui, view: &View<'_>, index: usize, item: &StockItem, actions: &mut Actions) {
    let tokens = view.tokens;
    let indent = 12.0;
    let width = ui.available_width() - 6.0;
    let words = ui.painter().layout(item.name.clone(), fonts::small(), tokens.ink, width - indent - 52.0);
    let height = ITEM.max(words.size().y + 12.0);
    let (space, _) = ui.allocate_exact_size(vec2(width, height), Sense::hover());
    let rect = Rect::from_min_max(pos2(space.left() + indent, space.top()), space.max);
    let response = ui.interact(rect, Id::unique(("stock item", index)), Sense::click_and_drag());
    response.widget_info(|| WidgetInfo::labeled(Role::Button, true, &item.name));
    if !ui.is_rect_visible(rect) {
        return;
    }
    card(ui, tokens, rect, &response);
    let box_rect = Rect::from_min_size(rect.min + vec2(6.0, 0.0), vec2(36.0, rect.height()));
    symbol(ui.painter(), tokens, &item.equipment, box_rect.shrink2(vec2(2.0, 5.0)));
    let at = pos2(box_rect.right() + 6.0, rect.center().y - words.size().y / 2.0);
    ui.painter().galley(at, words, tokens.ink);
    if response.drag_started() {
        actions.push(Action::Hold(Held::Item(index)));
    }
    let entered = response.has_focus() && ui.input(|input| input.key_pressed(egui::Key::Enter));
    if response.double_clicked() || entered {
        actions.push(Action::Place { item: index, middle: None, into: None });
    }
    if response.gained_focus() {
        response.scroll_to_me(None);
    }
    response.on_hover_text(
        "Drag it onto the sheet, or onto a run to insert it there. Enter puts it in the middle.",
    );
}

/// Paints the symbol of a piece of equipment as large as a rectangle allows.
pub fn symbol(painter: &Painter, tokens: &Tokens, equipment: &Equipment, within: Rect) {
    let drawn = symbols::of_equipment(equipment, Style { form: Form::I, bar: Ink::Battery });
    let size = lineside_drawing::geometry::Point::on_grid(drawn.outline.size);
    let scale = (within.width() / size.x).min(within.height() / size.y).min(3.2);
    let corner = within.center() - scale * vec2(size.x, size.y) / 2.0;
    let brush = Brush { camera: TSTransform::new(corner.to_vec2(), scale), tokens, painter };
    for stroke in drawn.strokes.iter().filter(|stroke| stroke.only_with.is_none()) {
        brush.shape(&stroke.shape, stroke.pen, tokens.pen(stroke.pen));
    }
}
