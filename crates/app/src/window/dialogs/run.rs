//! Drawing a run without a pointer: its ends are chosen from lists.

use super::Stay;
use super::question::{buttons, heading, primary, secondary, wide, words};
use crate::window::action::{Action, Actions};
use crate::window::areas::draft::sheet::look::potential_of;
use crate::window::edits::wiring::{self, Landing};
use crate::window::fonts;
use crate::window::view::View;
use egui::{ComboBox, Margin, RichText, ScrollArea, TextEdit, Ui};
use lineside_core::circuit::{Circuit, RunEnd};

/// A run whose ends are being chosen.
#[derive(Debug)]
pub struct Choosing {
    from: Option<RunEnd>,
    to: Option<RunEnd>,
    search: String,
    begun: bool,
}

impl Choosing {
    pub(super) const fn new(from: Option<RunEnd>) -> Self {
        Self { from, to: None, search: String::new(), begun: false }
    }
}

pub(super) fn choose_ui(
    ui: &mut Ui,
    view: &View<'_>,
    choosing: &mut Choosing,
    actions: &mut Actions,
) -> Stay {
    wide(ui, 440.0);
    let circuit = &view.project().circuit;
    heading(ui, "Draw run");
    from_ui(ui, circuit, choosing);
    let Some(from) = choosing.from else {
        words(ui, "Choose the terminal at which the run begins.");
        return buttons(ui, |ui| if secondary(ui, "Cancel").clicked() { Stay::Close } else { Stay::Open });
    };
    let edit = TextEdit::singleline(&mut choosing.search)
        .hint_text("Find a terminal")
        .desired_width(f32::INFINITY)
        .margin(Margin::symmetric(8, 6));
    let search = ui.add(edit).accessible_name("Find a terminal");
    if !choosing.begun {
        choosing.begun = true;
        search.request_focus();
    }
    let entered = search.lost_focus() && ui.input(|input| input.key_pressed(egui::Key::Enter));
    let wanted = choosing.search.trim().to_lowercase();
    let ends: Vec<(RunEnd, Landing)> = every_end(circuit)
        .filter(|end| circuit.end_name(*end).to_lowercase().contains(&wanted))
        .map(|end| (end, wiring::landing(circuit, from, end, |end| potential_of(view.derived, end))))
        .filter(|(end, _)| end.block != from.block)
        .collect();
    list_ui(ui, view, &ends, choosing);
    let first = ends.iter().find_map(|(_, landing)| landing.end());
    let to = choosing.to.or(if entered { first } else { None });
    buttons(ui, |ui| {
        let draw =
            ui.add_enabled_ui(to.is_some(), |ui| primary(ui, view.tokens, "Draw")).inner.clicked() || entered;
        if let (true, Some(to)) = (draw, to) {
            actions.push(Action::DrawRun(from, to));
            return Stay::Close;
        }
        if secondary(ui, "Cancel").clicked() { Stay::Close } else { Stay::Open }
    })
}

fn every_end(circuit: &Circuit) -> impl Iterator<Item = RunEnd> + '_ {
    circuit.blocks().flat_map(|block| {
        let terminals = block.equipment.terminals().into_iter();
        terminals.map(|terminal| RunEnd { block: block.id, terminal: terminal.name })
    })
}

fn from_ui(ui: &mut Ui, circuit: &Circuit, choosing: &mut Choosing) {
    ui.horizontal(|ui| {
        ui.label("From");
        let shown = choosing.from.map_or_else(|| "choose".to_owned(), |end| circuit.end_name(end));
        let list = ComboBox::from_id_salt("from").selected_text(&shown).width(200.0).height(320.0).show_ui(
            ui,
            |ui| {
                for end in every_end(circuit) {
                    let free = matches!(wiring::start(circuit, end), Landing::Fits(_));
                    let label = ui.selectable_label(choosing.from == Some(end), circuit.end_name(end));
                    if label.clicked() && free {
                        choosing.from = Some(end);
                        choosing.to = None;
                    }
                }
            },
        );
        list.response.accessible_name(format!("From: {shown}"));
    });
}

/// Ends where the run may land can be chosen; of the others it is said why not.
fn list_ui(ui: &mut Ui, view: &View<'_>, ends: &[(RunEnd, Landing)], choosing: &mut Choosing) {
    let circuit = &view.project().circuit;
    ScrollArea::vertical().max_height(300.0).auto_shrink(false).show(ui, |ui| {
        ui.spacing_mut().item_spacing.y = 2.0;
        for (end, landing) in ends {
            let name = circuit.end_name(*end);
            match landing {
                Landing::Fits(on) | Landing::Beside(on, _) => {
                    let label = ui.selectable_label(choosing.to == Some(*on), name);
                    if label.clicked() {
                        choosing.to = Some(*on);
                    }
                    if let Landing::Beside(_, why) = landing {
                        label.on_hover_text(why);
                    }
                }
                Landing::Refused(why) => {
                    let text = RichText::new(format!("{name}: {why}"))
                        .font(fonts::small())
                        .color(view.tokens.soft_ink);
                    ui.add(egui::Label::new(text).truncate()).on_hover_text(why);
                }
            }
        }
        if ends.is_empty() {
            ui.label("No terminal has that name.");
        }
    });
}
