//! How an area shares its room: panels are measured from the outside in, and filled in the order in which they are read, so
//! that the Tab key and screen readers go through them as the eye does. Where there is little room, one thing is shown at a
//! time.

use crate::window::fonts;
use crate::window::view::View;
use egui::{
    Align, FontFamily, FontId, Frame, Layout, Margin, Panel, Rect, RichText, ScrollArea, Ui, UiBuilder, pos2,
};

/// In windows narrower than this, panels do not stand beside each other.
pub const NARROW: f32 = 760.0;

/// What is shown of an area of two halves where there is room for one.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum Half {
    /// What is worked on.
    #[default]
    Chief,
    /// What stands beside it.
    Aside,
}

/// Takes the room of a panel without filling it yet.
pub fn reserve(ui: &mut Ui, panel: Panel) -> Rect {
    let shown = panel.show(ui, |ui| {
        let rect = ui.available_rect_before_wrap();
        ui.advance_cursor_after_rect(rect);
        rect
    });
    shown.inner
}

/// Fills the room of a panel.
pub fn fill<R>(ui: &mut Ui, salt: &str, rect: Rect, content: impl FnOnce(&mut Ui) -> R) -> R {
    let mut child = ui.new_child(UiBuilder::new().id_salt(salt).max_rect(rect));
    child.shrink_clip_rect(rect.expand(6.0));
    content(&mut child)
}

/// A row from which one part of an area is chosen, where there is no room for all.
pub fn parts_ui<T: Copy + PartialEq>(ui: &mut Ui, view: &View<'_>, parts: &[(T, &str)], shown: &mut T) {
    let frame = Frame::new().fill(view.tokens.panel).inner_margin(Margin::symmetric(10, 2));
    Panel::top("parts").frame(frame).exact_size(34.0).show(ui, |ui| {
        ScrollArea::horizontal().auto_shrink(false).show(ui, |ui| {
            ui.horizontal_centered(|ui| {
                for (part, name) in parts {
                    let chosen = *shown == *part;
                    let family = if chosen { fonts::strong() } else { FontFamily::Proportional };
                    let color = if chosen { view.tokens.accent } else { view.tokens.ink };
                    let text = RichText::new(*name).font(FontId::new(fonts::BODY, family)).color(color);
                    if ui.selectable_label(chosen, text).accessible_name(format!("Show {name}")).clicked() {
                        *shown = *part;
                    }
                }
            });
        });
    });
}

/// How wide a button of that word is, with the room to the next one.
pub fn button_width(ui: &Ui, word: &str, font: FontId) -> f32 {
    let galley = ui.painter().layout_no_wrap(word.to_owned(), font, ui.visuals().text_color());
    galley.size().x + 2.0 * ui.spacing().button_padding.x + ui.spacing().item_spacing.x
}

/// Fills the right end of a row, from left to right, so that the Tab key goes the same way.
pub fn at_right<R>(ui: &mut Ui, width: f32, content: impl FnOnce(&mut Ui) -> R) -> R {
    let room = ui.available_rect_before_wrap();
    let rect = Rect::from_min_max(pos2(room.right() - width, room.top()), room.max);
    let layout = Layout::left_to_right(Align::Center);
    content(&mut ui.new_child(UiBuilder::new().id_salt("at the right").max_rect(rect).layout(layout)))
}
