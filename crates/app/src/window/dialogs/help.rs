//! The table of keys, and what this program is.

use super::Stay;
use super::question::{buttons, heading, primary, words};
use crate::window::command::{Command, Menu};
use crate::window::fonts;
use crate::window::frame::status::CAUTION;
use crate::window::keys;
use crate::window::view::View;
use egui::{FontId, Grid, RichText, ScrollArea, Ui};

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
    ui.set_width(640.0);
    heading(ui, "Keyboard");
    ScrollArea::vertical().max_height((ui.ctx().content_rect().height() - 220.0).max(160.0)).show(ui, |ui| {
        for menu in Menu::ALL {
            ui.label(RichText::new(menu.title()).font(FontId::new(fonts::BODY, fonts::strong())));
            Grid::new(menu.title()).num_columns(3).spacing([18.0, 3.0]).show(ui, |ui| {
                for command in Command::ALL.iter().filter(|command| command.menu() == menu) {
                    let keys: Vec<String> =
                        command.shortcuts().iter().map(|shortcut| keys::text(ui.ctx(), *shortcut)).collect();
                    if keys.is_empty() {
                        continue;
                    }
                    ui.label(keys.join(", "));
                    ui.label(command.name());
                    ui.label(RichText::new(command.tip()).color(view.tokens.soft_ink));
                    ui.end_row();
                }
            });
            ui.add_space(6.0);
        }
        ui.label(RichText::new("On the sheet").font(FontId::new(fonts::BODY, fonts::strong())));
        Grid::new("held").num_columns(2).spacing([18.0, 3.0]).show(ui, |ui| {
            for (keys, what) in HELD {
                ui.label(*keys);
                ui.label(RichText::new(*what).color(view.tokens.soft_ink));
                ui.end_row();
            }
        });
    });
    close(ui, view)
}

pub(super) fn about_ui(ui: &mut Ui, view: &View<'_>) -> Stay {
    ui.set_width(460.0);
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
