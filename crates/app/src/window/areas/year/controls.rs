//! What is run: seed and number of years, how far it has come, and a way to stop it.

use super::{YearStanding, YearState};
use crate::hours_table;
use crate::window::action::{Action, Actions};
use crate::window::areas::draft::nameplate::combo::combo;
use crate::window::fonts;
use crate::window::plot::export::{Content, Export, FileKind, file_name};
use crate::window::view::View;
use egui::{Align, DragValue, FontId, Label, Layout, ProgressBar, RichText, Role, Ui, WidgetInfo, vec2};
use lineside_core::units::{Quantity, Unit, text};
use lineside_energy::ModelDoubt;
use std::time::Duration;

/// Numbers of random years from which a person chooses.
const YEARS: [u32; 5] = [0, 10, 30, 100, 1000];
const WIDTH: f32 = 148.0;

fn years_label(years: u32) -> String {
    if years == 0 { "none".to_owned() } else { text::count(years as usize) }
}

const fn doubt_label(doubt: ModelDoubt) -> &'static str {
    match doubt {
        ModelDoubt::Left => "by weather",
        ModelDoubt::Included => "by weather and model",
    }
}

pub(super) fn controls_ui(ui: &mut Ui, view: &View<'_>, state: &mut YearState, actions: &mut Actions) {
    ui.spacing_mut().item_spacing.y = 3.0;
    ui.label(RichText::new("The typical year").font(FontId::new(fonts::HEADING, fonts::strong())));
    row(ui, "Seed of the weather", |ui| {
        let drag = DragValue::new(&mut state.seed).speed(0.1).range(0..=999_999);
        ui.add(drag).accessible_name("Seed of the weather")
    });
    row(ui, "Random years", |ui| {
        let shown = years_label(state.years);
        combo(ui, view.tokens, "random years", ("Random years", &shown), WIDTH, |ui| {
            for years in YEARS {
                if ui.selectable_label(state.years == years, years_label(years)).clicked() {
                    state.years = years;
                }
            }
        })
    });
    if state.years > 0 {
        row(ui, "They differ", |ui| {
            let shown = doubt_label(state.doubt);
            combo(ui, view.tokens, "they differ", ("They differ", shown), WIDTH, |ui| {
                for doubt in [ModelDoubt::Left, ModelDoubt::Included] {
                    if ui.selectable_label(state.doubt == doubt, doubt_label(doubt)).clicked() {
                        state.doubt = doubt;
                    }
                }
            })
        });
    }
    standing_ui(ui, view, state);
    if let Some(year) = state.shown() {
        let tip = "The typical year, a row for each of its 8,760 hours.";
        if ui.button("Save every hour, CSV…").on_hover_text(tip).clicked() {
            let name = file_name(&format!("{} every hour", view.project().title.system), FileKind::Csv);
            let content = Content::Text(hours_table::table(&year.hours));
            actions.push(Action::Export(Box::new(Export { name, kind: FileKind::Csv, content })));
        }
    }
}

fn row(ui: &mut Ui, label: &str, content: impl FnOnce(&mut Ui) -> egui::Response) {
    ui.allocate_ui_with_layout(
        vec2(ui.available_width(), 26.0),
        Layout::left_to_right(Align::Center),
        |ui| {
            ui.label(label);
            ui.with_layout(Layout::right_to_left(Align::Center), content);
        },
    );
}

fn standing_ui(ui: &mut Ui, view: &View<'_>, state: &mut YearState) {
    let tokens = view.tokens;
    let soft = |text: String| RichText::new(text).font(fonts::small()).color(tokens.soft_ink);
    if let Some((done, rest)) = state.work.as_ref().and_then(super::work::Work::progress) {
        let share = done as f32 / state.years.max(1) as f32;
        let mut stop = false;
        ui.horizontal(|ui| {
            let bar =
                ui.add(ProgressBar::new(share).desired_width(150.0).desired_height(10.0).fill(tokens.accent));
            let said = format!("{} of {} years", years_label(done), years_label(state.years));
            bar.widget_info(|| WidgetInfo::labeled(Role::ProgressIndicator, true, &said));
            ui.label(soft(rest.map_or(said, left)));
            stop = ui.button("Stop").clicked();
        });
        if stop {
            state.stop();
        }
        return;
    }
    let words = match state.standing(view.document.history.changes()) {
        YearStanding::Running | YearStanding::Unseen => "Running…",
        YearStanding::Stale => "The sheet or the brief has changed; this is the year before.",
        YearStanding::Done => "Up to date with sheet and brief.",
        YearStanding::CannotRun => "The sheet cannot be run.",
    };
    let stopped = state.stopped.is_some();
    let words = if stopped { "Stopped: not everything was gone through." } else { words };
    ui.horizontal(|ui| {
        ui.add(Label::new(soft(words.to_owned())).wrap());
        if stopped && ui.button("Run").clicked() {
            state.stopped = None;
            state.found = None;
        }
    });
}

fn left(rest: Duration) -> String {
    let seconds = Quantity { value: rest.as_secs_f64().ceil(), unit: Unit::Second };
    format!("{} left", text::plain(seconds, lineside_core::units::UnitSystem::Si))
}
