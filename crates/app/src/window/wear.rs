//! Settings from the window's side: changing one, keeping them, and putting them into force.
//!
//! What is kept and where is `crate::settings`'s; the page is `dialogs/settings.rs`.

use super::app::App;
use crate::settings::{Motion, Theme, Tour};
use egui::{Context, ThemePreference};
use lineside_core::units::UnitSystem;

/// A setting and what it is to be.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Setting {
    /// Theme.
    Theme(Theme),
    /// Scale of the window, percent.
    Scale(u16),
    /// Units of new projects.
    Units(UnitSystem),
    /// Motion.
    Motion(Motion),
    /// The tour.
    Tour(Tour),
}

impl App {
    /// Puts theme and scale into force.
    pub(super) fn wear_settings(&self, ctx: &Context) {
        ctx.set_theme(match self.settings.theme {
            Theme::System => ThemePreference::System,
            Theme::Light => ThemePreference::Light,
            Theme::Dark => ThemePreference::Dark,
        });
        ctx.set_zoom_factor(f32::from(self.settings.scale_percent) / 100.0);
    }

    /// Changes a setting, for now and for the next time.
    pub(super) fn set(&mut self, setting: Setting, ctx: &Context) {
        match setting {
            Setting::Theme(theme) => self.settings.theme = theme,
            Setting::Scale(percent) => self.settings.scale_percent = percent,
            Setting::Units(units) => self.settings.units = units,
            Setting::Motion(motion) => self.settings.motion = motion,
            Setting::Tour(tour) => self.settings.tour = tour,
        }
        self.settings.keep();
        self.wear_settings(ctx);
    }

    /// Goes to the next larger scale, or the next smaller one.
    pub(super) fn scale(&mut self, steps: i32, ctx: &Context) {
        self.settings.scale_by(steps);
        self.set(Setting::Scale(self.settings.scale_percent), ctx);
    }
}
