//! The table of keys, and what this program is.

use super::Stay;
use super::question::{buttons, heading, primary, wide, words};
use crate::window::command::{Command, Menu};
use crate::window::fonts;
use crate::window::frame::status::CAUTION;
use crate::window::keys;
use crate::window::view::View;
use egui::{Align, FontId, Key, Label, Layout, Modifiers, RichText, ScrollArea, Ui, vec2};

/// Keys that no command has, for they go on while they are held.
const HELD: &[(&str, &str)] = &[
    ("Arrows", "Moves the selected blocks one step of the grid; with Shift, four."),
    ("Tab", "Goes to the next block, in reading order."),
    ("Space and drag, middle button and drag", "Moves the paper."),
    ("Wheel", "Zooms at the pointer; with Shift, moves the paper sideways."),
    ("Alt and drag", "Selects with a lasso."),
    ("Shift and click", "Adds to what is selected, or takes away."),
];

pub(super) fn keys_ui(ui: &mut Ui, view: &View<'_>) -> Stay {
    wide(ui, 860.0);
    heading(ui, "Keyboard");
    let room = (ui.ctx().content_rect().height() - 170.0).max(60.0);
    ScrollArea::vertical().max_height(room).min_scrolled_height(room).show(ui, |ui| {
        scroll_by_keys(ui);
        ui.set_width(ui.available_width());
        ui.spacing_mut().item_spacing.y = 3.0;
        for menu in Menu::ALL {
            title(ui, menu.title());
            for command in Command::ALL.iter().filter(|command| command.menu() == menu) {
                let keys: Vec<String> =
                    command.shortcuts().iter().map(|shortcut| keys::text(ui.ctx(), *shortcut)).collect();
                if !keys.is_empty() {
                    row_ui(ui, view, &keys.join(", "), command.name(), command.tip());
                }
            }
        }
        title(ui, "On the sheet");
        for (keys, what) in HELD {
            row_ui(ui, view, keys, "", what);
        }
        ui.add_space(4.0);
    });
    close(ui, view)
}

fn title(ui: &mut Ui, text: &str) {
    ui.add_space(8.0);
    ui.label(RichText::new(text).font(FontId::new(fonts::BODY, fonts::strong())));
}

/// Keys, what they are called, and what they do; in a narrow window below each other.
fn row_ui(ui: &mut Ui, view: &View<'_>, keys: &str, name: &str, tip: &str) {
    let whole = ui.available_width() - 12.0;
    let strong = RichText::new(keys).font(FontId::new(fonts::BODY, fonts::strong()));
    let tip = RichText::new(tip).color(view.tokens.soft_ink);
    if whole < 560.0 {
        ui.add(Label::new(strong).wrap());
        if !name.is_empty() {
            ui.add(Label::new(name).wrap());
        }
        ui.add(Label::new(tip).wrap());
        ui.add_space(4.0);
        return;
    }
    ui.horizontal_top(|ui| {
        let mut cell = |width: f32, text: RichText| {
            let layout = Layout::top_down(Align::LEFT);
            ui.allocate_ui_with_layout(vec2(width, 0.0), layout, |ui| {
                ui.set_width(width);
                ui.add(Label::new(text).wrap());
            });
        };
        cell(210.0, strong);
        if name.is_empty() {
            cell(whole - 230.0, tip);
        } else {
            cell(170.0, RichText::new(name));
            cell(whole - 410.0, tip);
        }
    });
}

/// Where there is nothing to choose, the keys that turn pages move the text.
pub fn scroll_by_keys(ui: &Ui) {
    let page = (ui.clip_rect().height() - 40.0).max(40.0);
    for (key, by) in
        [(Key::PageDown, -page), (Key::PageUp, page), (Key::ArrowDown, -40.0), (Key::ArrowUp, 40.0)]
    {
        if ui.input_mut(|input| input.consume_key(Modifiers::NONE, key)) {
            ui.scroll_with_delta(vec2(0.0, by));
        }
    }
}

pub(super) fn about_ui(ui: &mut Ui, view: &View<'_>) -> Stay {
    wide(ui, 460.0);
    heading(ui, "Lineside");
    words(ui, concat!("Version ", env!("CARGO_PKG_VERSION")));
    words(ui, "A workbench for designers of battery-based solar systems.");
    words(ui, CAUTION);
    words(
        ui,
        "Lineside is free software under the MIT license or the Apache license 2.0, as you choose. \
         The face is Source Sans 3, under the SIL Open Font License 1.1.",
    );
    close(ui, view)
}

fn close(ui: &mut Ui, view: &View<'_>) -> Stay {
    buttons(ui, |ui| {
        let button = primary(ui, view.tokens, "Close");
        if ui.memory(|memory| memory.focused().is_none()) {
            button.request_focus();
        }
        if button.clicked() { Stay::Close } else { Stay::Open }
    })
}
