//! Title block, rule set and units.

use crate::window::action::{Action, Actions};
use crate::window::areas::draft::nameplate::combo::combo;
use crate::window::areas::draft::nameplate::row::{self, row_ui};
use crate::window::edits::Labeled;
use crate::window::entry::{Entries, Event};
use crate::window::fonts;
use crate::window::tokens::Tokens;
use crate::window::view::View;
use egui::{FontId, Frame, Id, Label, Margin, RichText, ScrollArea, Sense, Stroke, Ui};
use lineside_core::edit::Edit;
use lineside_core::project::{RuleSet, TitleBlock};
use lineside_core::units::UnitSystem;

/// Width of a column of cards.
const COLUMN: f32 = 460.0;

pub(super) fn project_ui(ui: &mut Ui, view: &View<'_>, entries: &mut Entries, actions: &mut Actions) {
    ScrollArea::vertical().auto_shrink(false).id_salt("project").show(ui, |ui| {
        let two = ui.available_width() > 2.0 * COLUMN + 60.0;
        let mut cards = |ui: &mut Ui| {
            card(ui, view.tokens, "Title block", |ui| title_ui(ui, view, entries, actions));
            ui.add_space(if two { 24.0 } else { 20.0 });
            card(ui, view.tokens, "Rule set and units", |ui| basis_ui(ui, view, actions));
        };
        if two {
            ui.horizontal_top(cards);
        } else {
            cards(ui);
        }
    });
}

fn card(ui: &mut Ui, tokens: &Tokens, title: &str, content: impl FnOnce(&mut Ui)) {
    Frame::new()
        .fill(tokens.card)
        .stroke(Stroke::new(1.0, tokens.line))
        .corner_radius(6.0)
        .inner_margin(Margin::symmetric(18, 14))
        .show(ui, |ui| {
            // Two cards may stand side by side, but what is in one stands line under line.
            ui.vertical(|ui| {
                ui.set_width(COLUMN.min(ui.available_width() - 4.0));
                ui.spacing_mut().item_spacing.y = 2.0;
                ui.label(RichText::new(title).font(FontId::new(fonts::HEADING, fonts::strong())));
                ui.add_space(6.0);
                content(ui);
                ui.add_space(4.0);
            });
        });
}

type TitleEntry = (&'static str, fn(&TitleBlock) -> &String, fn(&mut TitleBlock) -> &mut String);

/// The lines of the title block, after ISO 7200.
const TITLE: &[TitleEntry] = &[
    ("System", |title| &title.system, |title| &mut title.system),
    ("Customer", |title| &title.customer, |title| &mut title.customer),
    ("Address of the site", |title| &title.site_address, |title| &mut title.site_address),
    ("Parcel or permit", |title| &title.parcel, |title| &mut title.parcel),
    ("Drawing number", |title| &title.drawing_number, |title| &mut title.drawing_number),
    ("Firm", |title| &title.firm, |title| &mut title.firm),
    ("License", |title| &title.license, |title| &mut title.license),
    ("Address of the firm", |title| &title.firm_address, |title| &mut title.firm_address),
    ("Telephone", |title| &title.telephone, |title| &mut title.telephone),
    ("Drawn by", |title| &title.drawn_by, |title| &mut title.drawn_by),
    ("Checked by", |title| &title.checked_by, |title| &mut title.checked_by),
    ("Approved by", |title| &title.approved_by, |title| &mut title.approved_by),
];

fn title_ui(ui: &mut Ui, view: &View<'_>, entries: &mut Entries, actions: &mut Actions) {
    let title = &view.project().title;
    for (label, get, get_mut) in TITLE {
        let row = (Id::unique(("title block", label)), get(title).as_str(), "not given");
        let (event, _) = row::text_ui(ui, view.tokens, label, row, entries, |typed| Ok(typed.to_owned()));
        match event {
            Event::Nothing => {}
            Event::Valid(text) => {
                let mut changed = title.clone();
                *get_mut(&mut changed) = text;
                let step = Labeled::new(label.to_lowercase(), Edit::SetTitle(Box::new(changed)));
                actions.push(Action::MakeInSpell(step));
            }
            Event::Ended(_) => actions.push(Action::EndSpell),
            Event::Cancelled => actions.push(Action::CancelSpell),
        }
    }
}

fn basis_ui(ui: &mut Ui, view: &View<'_>, actions: &mut Actions) {
    let project = view.project();
    row_ui(ui, view.tokens, "Rule set", Sense::hover(), |ui, width| {
        combo(ui, view.tokens, "rule set", ("Rule set", project.rule_set.label()), width, |ui| {
            for set in RuleSet::ALL {
                if ui.selectable_label(project.rule_set == set, set.label()).clicked() {
                    actions.push(Action::Make(Labeled::new("rule set", Edit::SetRuleSet(set)), None));
                }
            }
        })
    });
    row_ui(ui, view.tokens, "Units", Sense::hover(), |ui, width| {
        combo(ui, view.tokens, "units", ("Units", units_label(project.units)), width, |ui| {
            for units in [UnitSystem::Us, UnitSystem::Si] {
                if ui.selectable_label(project.units == units, units_label(units)).clicked() {
                    actions.push(Action::Make(Labeled::new("units", Edit::SetUnits(units)), None));
                }
            }
        })
    });
    let text = "Every finding names the clause of this rule set. Local codes may differ: ask who inspects.";
    ui.add_space(4.0);
    ui.add(Label::new(RichText::new(text).font(fonts::small()).color(view.tokens.soft_ink)).wrap());
}

const fn units_label(units: UnitSystem) -> &'static str {
    match units {
        UnitSystem::Us => "US: feet, °F, AWG",
        UnitSystem::Si => "SI: meters, °C, mm²",
    }
}
