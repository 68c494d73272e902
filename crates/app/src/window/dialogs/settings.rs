//! The settings page: theme, scale, units, motion, language, and where they are kept.
//!
//! What is kept is `crate::settings`'s; a choice goes to `wear.rs` as an action and is in force at once.

use super::Stay;
use super::question::{buttons, heading, primary, wide};
use crate::settings::{ENGLISH, Motion, Settings, Theme};
use crate::window::action::{Action, Actions};
use crate::window::edits::Labeled;
use crate::window::fonts;
use crate::window::view::View;
use crate::window::wear::Setting;
use egui::{FontId, Label, RichText, ScrollArea, Ui};
use lineside_core::edit::Edit;
use lineside_core::units::UnitSystem;

const WIDTH: f32 = 560.0;

pub(super) fn settings_ui(ui: &mut Ui, view: &View<'_>, actions: &mut Actions) -> Stay {
    let screen = ui.ctx().content_rect();
    wide(ui, WIDTH);
    heading(ui, "Settings");
    let room = (screen.height() - 170.0).max(60.0);
    ScrollArea::vertical().max_height(room).min_scrolled_height(room).show(ui, |ui| {
        ui.spacing_mut().item_spacing.y = 6.0;
        let settings = view.settings;
        if let Some(told) = &settings.told {
            ui.add(Label::new(RichText::new(told).color(view.tokens.correction)).wrap());
        }
        let themes =
            [(Theme::System, "As the system has it"), (Theme::Light, "Light"), (Theme::Dark, "Dark")];
        choice(ui, "Theme", &themes, settings.theme, |theme| {
            actions.push(Action::Set(Setting::Theme(theme)));
        });
        let scales = Settings::SCALES.map(|percent| (percent, format!("{percent} %")));
        let scales: Vec<(u16, &str)> =
            scales.iter().map(|(percent, text)| (*percent, text.as_str())).collect();
        choice(ui, "Scale of the window", &scales, settings.scale_percent, |percent| {
            actions.push(Action::Set(Setting::Scale(percent)));
        });
        let units = [(UnitSystem::Us, "US: feet, °F, AWG"), (UnitSystem::Si, "SI: meters, °C, mm²")];
        choice(ui, "Units of new projects", &units, settings.units, |units| {
            actions.push(Action::Set(Setting::Units(units)));
        });
        if view.standing.has_project() {
            choice(ui, "Units of this project", &units, view.project().units, |units| {
                actions.push(Action::Make(Labeled::new("units", Edit::SetUnits(units)), None));
            });
        }
        let motions = [(Motion::Shown, "Where it helps"), (Motion::Still, "Never")];
        choice(ui, "Motion", &motions, settings.motion, |motion| {
            actions.push(Action::Set(Setting::Motion(motion)));
        });
        title(ui, "Language");
        let language = if settings.language == ENGLISH {
            "English. Lineside speaks no other language yet.".to_owned()
        } else {
            format!(
                "English. The language “{}” that is set is kept, but Lineside does not speak it.",
                settings.language
            )
        };
        soft(ui, view, &language);
        ui.add_space(6.0);
        match settings.place() {
            Some(place) => soft(ui, view, &format!("Kept in {}", place.display())),
            None => soft(
                ui,
                view,
                "This machine names no folder for settings: they hold until the window closes.",
            ),
        }
    });
    buttons(ui, |ui| {
        let button = primary(ui, view.tokens, "Close");
        if ui.memory(|memory| memory.focused().is_none()) {
            button.request_focus();
        }
        if button.clicked() { Stay::Close } else { Stay::Open }
    })
}

fn title(ui: &mut Ui, text: &str) {
    ui.add_space(4.0);
    ui.label(RichText::new(text).font(FontId::new(fonts::BODY, fonts::strong())));
}

fn soft(ui: &mut Ui, view: &View<'_>, text: &str) {
    ui.add(Label::new(RichText::new(text).color(view.tokens.soft_ink)).wrap());
}

/// Some possibilities in a row, of which one holds.
fn choice<T: Copy + PartialEq>(
    ui: &mut Ui,
    what: &str,
    possible: &[(T, &str)],
    now: T,
    mut choose: impl FnMut(T),
) {
    title(ui, what);
    ui.horizontal_wrapped(|ui| {
        for (value, text) in possible {
            let radio = ui.radio(now == *value, *text).accessible_name(format!("{what}: {text}"));
            if radio.clicked() && now != *value {
                choose(*value);
            }
            ui.add_space(8.0);
        }
    });
}
