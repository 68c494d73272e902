//! “Why not …?”: a combination that a person names from the shelf, and the limits that it breaks.

use super::seek::{Shown, capital};
use crate::window::areas::draft::nameplate::combo::combo;
use crate::window::fonts;
use crate::window::view::View;
use egui::{Align, DragValue, FontId, Label, Layout, RichText, Ui, vec2};
use lineside_propose::{Combination, Shelf};

/// The combination that is being named, and the last answer.
#[derive(Default)]
pub(super) struct AskWhy {
    named: Option<Combination>,
    answer: Option<(Combination, Vec<String>)>,
}

/// Names of the parts of one kind.
fn names<T>(parts: &[lineside_propose::Part<T>]) -> Vec<&str> {
    parts.iter().map(|part| part.name.as_str()).collect()
}

impl AskWhy {
    /// Begins from a candidate.
    pub fn follow(&mut self, shown: Option<&Shown>) {
        self.named = shown.map(|it| it.candidate.combination);
        self.answer = None;
    }

    /// Takes an answer.
    pub fn answered(&mut self, combination: Combination, words: Vec<String>) {
        self.answer = Some((combination, words));
    }

    pub fn ui(&mut self, ui: &mut Ui, view: &View<'_>, shelf: &Shelf, ask: impl FnOnce(Combination)) {
        let Some(mut it) = self.named else { return };
        let tokens = view.tokens;
        ui.label(RichText::new("Why not …?").font(FontId::new(fonts::HEADING, fonts::strong())));
        let words = "Change what you would rather have, and ask which limits stand in its way.";
        ui.add(Label::new(RichText::new(words).font(fonts::small()).color(tokens.soft_ink)).wrap());
        ui.add_space(4.0);
        part(ui, view, "Battery", &names(&shelf.batteries), &mut it.battery);
        count(ui, "In series in the bank", &mut it.units, 400);
        count(ui, "Strings of the bank", &mut it.bank_strings, 100);
        part(ui, view, "Module", &names(&shelf.modules), &mut it.module);
        count(ui, "Modules in series", &mut it.modules, 60);
        count(ui, "Strings at each controller", &mut it.strings, 60);
        part(ui, view, "Controller", &names(&shelf.controllers), &mut it.controller);
        count(ui, "Controllers", &mut it.controllers, 60);
        part(ui, view, "Inverter", &names(&shelf.inverters), &mut it.inverter);
        count(ui, "Inverters", &mut it.inverters, 60);
        generator(ui, view, shelf, &mut it);
        self.named = Some(it);
        ui.add_space(6.0);
        if ui.button("Ask why not").clicked() {
            ask(it);
        }
        let Some((_, broken)) = self.answer.as_ref().filter(|(of, _)| *of == it) else { return };
        ui.add_space(4.0);
        if broken.is_empty() {
            let words = "No limit stands in its way: it can be built. Another costs less and does as well, or its year leaves more \
                         unmet than the brief allows.";
            ui.add(Label::new(RichText::new(words).color(tokens.ink)).wrap());
        }
        for line in broken {
            ui.add_space(2.0);
            ui.add(Label::new(RichText::new(format!("– {}", capital(line))).color(tokens.correction)).wrap());
        }
    }
}

fn row(ui: &mut Ui, label: &str, content: impl FnOnce(&mut Ui)) {
    ui.allocate_ui_with_layout(
        vec2(ui.available_width(), 27.0),
        Layout::left_to_right(Align::Center),
        |ui| {
            ui.label(label);
            ui.with_layout(Layout::right_to_left(Align::Center), content);
        },
    );
}

fn part(ui: &mut Ui, view: &View<'_>, label: &str, names: &[&str], place: &mut usize) {
    let shown = names.get(*place).copied().unwrap_or("none");
    row(ui, label, |ui| {
        let width = ui.available_width();
        combo(ui, view.tokens, ("why not", label), (label, shown), width, |ui| {
            for (index, name) in names.iter().enumerate() {
                if ui.selectable_label(*place == index, *name).clicked() {
                    *place = index;
                }
            }
        });
    });
}

fn count(ui: &mut Ui, label: &str, number: &mut u32, most: u32) {
    row(ui, label, |ui| {
        ui.add(DragValue::new(number).speed(0.05).range(1..=most)).accessible_name(label);
    });
}

fn generator(ui: &mut Ui, view: &View<'_>, shelf: &Shelf, it: &mut Combination) {
    let all = names(&shelf.generators);
    let shown = it.generator.and_then(|at| all.get(at).copied()).unwrap_or("none");
    row(ui, "Generator", |ui| {
        let width = ui.available_width();
        combo(ui, view.tokens, "why not generator", ("Generator", shown), width, |ui| {
            if ui.selectable_label(it.generator.is_none(), "none").clicked() {
                it.generator = None;
            }
            for (index, name) in all.iter().enumerate() {
                if ui.selectable_label(it.generator == Some(index), *name).clicked() {
                    it.generator = Some(index);
                }
            }
        });
    });
}
