//! An item of stock of one's own: typed in from its datasheet, in the order in which datasheets print, each datum judged as it is
//! typed.
//!
//! Keeping it is `window/stock_keeping.rs`'s.

use super::Stay;
use super::question::{buttons, heading, primary, secondary, wide, words};
use crate::window::action::{Action, Actions};
use crate::window::areas::draft::nameplate::combo::combo;
use crate::window::fonts;
use crate::window::view::View;
use egui::{FontId, Label, Margin, RichText, ScrollArea, TextEdit, Ui, vec2};
use lineside_core::kinds::datasheet::datasheet;
use lineside_core::kinds::field::{Field, Layer, Presence, Shape, Value};
use lineside_core::kinds::{Equipment, Kind};
use lineside_core::project::StockItem;
use lineside_core::units::{UnitSystem, text};
use std::collections::BTreeMap;

const WIDTH: f32 = 620.0;
/// Width of what is typed.
const ENTRY: f32 = 250.0;
/// Longest name of an item.
const LONGEST_NAME: usize = 120;

/// What is being typed.
#[derive(Clone, Debug)]
pub struct ItemForm {
    kind: Kind,
    name: String,
    /// The item of one's own that it takes the place of.
    pub replaces: Option<String>,
    /// What was typed, by the keys of the fields.
    texts: BTreeMap<&'static str, String>,
    /// Where settings come from.
    base: Option<Equipment>,
    tells: Tells,
    /// Why it could not be kept.
    pub fault: Option<String>,
    /// Whether the name has been given the cursor.
    begun: bool,
}

/// Of which entries faults are told.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum Tells {
    /// Of those in which something stands.
    Typed,
    /// Of all, since somebody has tried to keep it.
    All,
}

impl ItemForm {
    /// An empty form for a kind.
    pub fn new(kind: Kind, stock: &[StockItem]) -> Self {
        let base = stock.iter().find(|item| item.equipment.kind() == kind);
        Self {
            kind,
            name: String::new(),
            replaces: None,
            texts: BTreeMap::new(),
            base: base.map(|item| item.equipment.clone()),
            tells: Tells::Typed,
            fault: None,
            begun: false,
        }
    }

    /// A form that is filled from equipment: from an item, or from a block of the sheet.
    pub fn of(name: &str, equipment: &Equipment, units: UnitSystem) -> Self {
        let kind = equipment.kind();
        let mut texts = BTreeMap::new();
        for field in printed(kind) {
            let value = equipment.get(field.key).unwrap_or(Value::Absent);
            texts.insert(field.key, field.entry(&value, units));
        }
        Self {
            kind,
            name: name.to_owned(),
            replaces: None,
            texts,
            base: Some(equipment.clone()),
            tells: Tells::Typed,
            fault: None,
            begun: false,
        }
    }

    /// The item, or what is wrong by the keys of the fields; the key of the name is empty.
    pub fn judged(
        &self,
        stock: &[StockItem],
        units: UnitSystem,
    ) -> Result<StockItem, Vec<(&'static str, String)>> {
        let mut faults: Vec<(&'static str, String)> = Vec::new();
        let name = self.name.trim();
        let is_taken = stock.iter().any(|item| item.name == name) && self.replaces.as_deref() != Some(name);
        if name.is_empty() || name.chars().count() > LONGEST_NAME {
            faults.push(("", format!("An item has a name of 1 to {LONGEST_NAME} characters.")));
        } else if is_taken {
            faults.push(("", "Another item of stock has this name.".to_owned()));
        }
        let Some(mut equipment) = self.base.clone() else {
            faults.push(("", "Stock has no item of this kind to take its settings from.".to_owned()));
            return Err(faults);
        };
        for field in printed(self.kind) {
            let typed = self.texts.get(field.key).map_or("", String::as_str);
            // What was not touched stays as it is, to the last digit, whatever units people read.
            let now = equipment.get(field.key).unwrap_or(Value::Absent);
            if field.entry(&now, units) == typed && field.check(&now).is_ok() {
                continue;
            }
            let set = field.read(typed, units).and_then(|value| equipment.set(field.key, &value));
            if let Err(fault) = set {
                faults.push((field.key, fault.to_string()));
            }
        }
        if faults.is_empty() { Ok(StockItem { name: name.to_owned(), equipment }) } else { Err(faults) }
    }
}

/// What the maker prints.
fn printed(kind: Kind) -> impl Iterator<Item = &'static Field> {
    kind.fields().iter().filter(|field| field.layer == Layer::Nameplate)
}

pub(super) fn item_ui(ui: &mut Ui, view: &View<'_>, form: &mut ItemForm, actions: &mut Actions) -> Stay {
    wide(ui, WIDTH);
    let stock = &view.engine.stock;
    heading(
        ui,
        if form.replaces.is_some() { "Item of your own stock" } else { "New item of your own stock" },
    );
    words(
        ui,
        "Type what the datasheet prints, from top to bottom. Values take any unit of their kind. What has a * stands on every nameplate; of the rest, what the sheet does not give stays empty.",
    );
    let judged = form.judged(stock, view.units());
    let faults = judged.as_ref().err().cloned().unwrap_or_default();
    name_ui(ui, view, form, &faults);
    let room = (ui.ctx().content_rect().height() - 330.0).clamp(140.0, 520.0);
    ScrollArea::vertical().max_height(room).min_scrolled_height(room).auto_shrink(false).show(ui, |ui| {
        ui.spacing_mut().item_spacing.y = 4.0;
        for part in datasheet(form.kind) {
            ui.add_space(8.0);
            ui.label(RichText::new(part.title).font(FontId::new(fonts::BODY, fonts::strong())));
            for field in part.fields {
                field_ui(ui, view, form, field, &faults);
            }
        }
        ui.add_space(8.0);
    });
    if let Ok(item) = &judged {
        for contradiction in item.equipment.contradictions() {
            let told = RichText::new(format!("The nameplate contradicts itself: {contradiction}."));
            ui.add(Label::new(told.font(fonts::small()).color(view.tokens.correction)).wrap());
        }
    }
    if let Some(fault) = &form.fault {
        ui.add(Label::new(RichText::new(fault).color(view.tokens.danger)).wrap());
    }
    ends_ui(ui, view, form, judged, actions)
}

fn ends_ui(
    ui: &mut Ui,
    view: &View<'_>,
    form: &mut ItemForm,
    judged: Result<StockItem, Vec<(&'static str, String)>>,
    actions: &mut Actions,
) -> Stay {
    buttons(ui, |ui| {
        let keep = primary(ui, view.tokens, "Keep in my stock");
        let cancel = secondary(ui, "Cancel").clicked();
        let remove = form.replaces.clone().filter(|_| {
            secondary(ui, "Remove")
                .on_hover_text("Takes the item out of your own stock; projects keep what they have.")
                .clicked()
        });
        if let Some(name) = remove {
            actions.push(Action::RemoveOwnItem(name));
            return Stay::Close;
        }
        if keep.clicked() {
            match judged {
                Ok(item) => {
                    actions.push(Action::KeepOwnItem(Box::new(item), Box::new(form.clone())));
                    return Stay::Close;
                }
                Err(faults) => {
                    form.tells = Tells::All;
                    form.fault = Some(match faults.len() {
                        1 => "One datum is missing or will not do; its reason stands beneath it.".to_owned(),
                        many => format!(
                            "{} data are missing or will not do; the reasons stand beneath them.",
                            text::count(many)
                        ),
                    });
                }
            }
        }
        if cancel { Stay::Close } else { Stay::Open }
    })
}

fn name_ui(ui: &mut Ui, view: &View<'_>, form: &mut ItemForm, faults: &[(&'static str, String)]) {
    let begun = form.replaces.is_some() || form.texts.values().any(|typed| !typed.is_empty());
    row(ui, "Kind", "What it is for decides which data it has.", |ui| {
        if begun {
            ui.label(form.kind.label());
            return;
        }
        let mut chosen = form.kind;
        combo(ui, view.tokens, "kind of the item", ("Kind of the item", form.kind.label()), ENTRY, |ui| {
            for kind in Kind::ALL {
                if ui.selectable_label(form.kind == *kind, kind.label()).clicked() {
                    chosen = *kind;
                }
            }
        });
        if chosen != form.kind {
            *form = ItemForm {
                name: std::mem::take(&mut form.name),
                ..ItemForm::new(chosen, &view.engine.stock)
            };
        }
    });
    row(ui, "Name", "A plain description that no other item has.", |ui| {
        let edit =
            TextEdit::singleline(&mut form.name).desired_width(ENTRY + 90.0).margin(Margin::symmetric(6, 3));
        let name = ui.add(edit).accessible_name("Name of the item");
        if !std::mem::replace(&mut form.begun, true) {
            name.request_focus();
        }
        if name.changed() {
            form.fault = None;
        }
    });
    fault_ui(ui, view, form, "", faults);
}

fn field_ui(
    ui: &mut Ui,
    view: &View<'_>,
    form: &mut ItemForm,
    field: &'static Field,
    faults: &[(&'static str, String)],
) {
    let label = match field.presence {
        Presence::Required => format!("{} *", field.label),
        Presence::Optional => field.label.to_owned(),
    };
    let typed = form.texts.entry(field.key).or_default();
    let mut changed = false;
    row(ui, &label, field.help, |ui| match field.shape {
        Shape::Choice(names) => {
            let shown = names.iter().find(|name| name.key == *typed || name.label == *typed);
            let shown = shown.map_or("not given", |name| name.label);
            combo(ui, view.tokens, ("own item", field.key), (field.label, shown), ENTRY, |ui| {
                if ui.selectable_label(typed.is_empty(), "not given").clicked() {
                    typed.clear();
                    changed = true;
                }
                for name in names {
                    if ui.selectable_label(*typed == name.label, name.label).clicked() {
                        name.label.clone_into(typed);
                        changed = true;
                    }
                }
            });
        }
        Shape::Quantity { .. } | Shape::Whole { .. } | Shape::Text | Shape::Size | Shape::Curve { .. } => {
            let hint = hint_of(field, view.units());
            let edit = TextEdit::singleline(typed)
                .hint_text(RichText::new(hint).color(view.tokens.soft_ink))
                .desired_width(ENTRY)
                .margin(Margin::symmetric(6, 3));
            changed = ui.add(edit).accessible_name(field.label).changed();
        }
    });
    if changed {
        form.fault = None;
    }
    fault_ui(ui, view, form, field.key, faults);
}

/// In which unit a number is kept, or how a curve is written.
fn hint_of(field: &Field, units: UnitSystem) -> String {
    match field.shape {
        Shape::Quantity { unit, .. } => text::symbol(unit, units).to_owned(),
        Shape::Curve { .. } => "10: 85; 50: 93".to_owned(),
        Shape::Whole { .. } | Shape::Choice(_) | Shape::Text | Shape::Size => String::new(),
    }
}

fn row(ui: &mut Ui, label: &str, help: &str, content: impl FnOnce(&mut Ui)) {
    ui.horizontal(|ui| {
        let (rect, _) = ui.allocate_exact_size(vec2(WIDTH - ENTRY - 110.0, 24.0), egui::Sense::hover());
        let mut child = ui.new_child(
            egui::UiBuilder::new().max_rect(rect).layout(egui::Layout::left_to_right(egui::Align::Center)),
        );
        child.add(Label::new(label).truncate()).on_hover_text(help);
        content(ui);
    });
}

fn fault_ui(ui: &mut Ui, view: &View<'_>, form: &ItemForm, key: &str, faults: &[(&'static str, String)]) {
    let Some((_, fault)) = faults.iter().find(|(of, _)| *of == key) else { return };
    let typed = if key.is_empty() { &form.name } else { form.texts.get(key).unwrap_or(&form.name) };
    if form.tells == Tells::All || !typed.trim().is_empty() {
        let told = RichText::new(fault).font(fonts::small()).color(view.tokens.danger);
        ui.add(Label::new(told).wrap());
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use lineside_core::stock;

    #[test]
    fn an_item_goes_through_the_form_unchanged_and_faults_are_told_by_field() {
        let items = stock::built_in().unwrap();
        for item in items.iter().step_by(17) {
            for units in [UnitSystem::Us, UnitSystem::Si] {
                let form = ItemForm::of("Ours", &item.equipment, units);
                let back = form.judged(&items, units).unwrap();
                assert_eq!((back.name.as_str(), &back.equipment), ("Ours", &item.equipment), "{}", item.name);
            }
        }
        let empty = ItemForm::new(Kind::BusBar, &items);
        let faults = empty.judged(&items, UnitSystem::Us).unwrap_err();
        let keys: Vec<&str> = faults.iter().map(|(key, _)| *key).collect();
        assert_eq!(keys, ["", "rating", "taps"], "the name, and what stands on every nameplate");
        let taken = ItemForm::of(&items[0].name, &items[0].equipment, UnitSystem::Us);
        assert!(taken.judged(&items, UnitSystem::Us).is_err());
        let itself = ItemForm { replaces: Some(items[0].name.clone()), ..taken };
        assert!(itself.judged(&items, UnitSystem::Us).is_ok());
    }
}
