//! One datum: its label at the left, its value at the right, typed, dragged by the label, or chosen.

use super::combo::combo;
use crate::window::action::{Action, Actions, Spell};
use crate::window::edits::fields::Owner;
use crate::window::entry::{self, Entries, Event, Look, Way};
use crate::window::fonts;
use crate::window::held::Held;
use crate::window::tokens::Tokens;
use crate::window::view::View;
use egui::{
    Align, CursorIcon, Id, Label, Layout, Rect, Response, RichText, Sense, Stroke, Ui, UiBuilder, pos2, vec2,
};
use lineside_core::edit::Gesture;
use lineside_core::kinds::field::{ChoiceName, Field, Presence, Shape, Value};
use lineside_core::units::{ConductorSize, Quantity, UnitSystem, text};

/// Share of a row that the label of a field takes.
const LABEL: f32 = 0.56;
/// Share of a row that the label of a text takes.
const SHORT_LABEL: f32 = 0.34;
/// Height of a row.
const HEIGHT: f32 = 27.0;

/// What the rows of a panel write to.
pub struct Pad<'a> {
    /// Texts that are being typed or that will not do.
    pub entries: &'a mut Entries,
    /// What is asked for.
    pub actions: &'a mut Actions,
    /// Set when typing ended with Enter or was given up, so that the keyboard goes back to the sheet.
    pub leave: &'a mut bool,
}

/// A field, of one owner or of several at once, with the value that they share.
struct Slot<'a> {
    view: &'a View<'a>,
    owner: &'a Owner,
    field: &'static Field,
    value: Option<Value>,
    id: Id,
}

/// A row for a field.
pub fn field_ui(
    ui: &mut Ui,
    view: &View<'_>,
    owner: &Owner,
    field: &'static Field,
    pad: &mut Pad<'_>,
) -> Response {
    let slot = Slot {
        view,
        owner,
        field,
        value: owner.shared(view.project(), field.key),
        id: Id::unique(("field", owner, field.key)),
    };
    let help = help_of(field, view.units());
    let sense = if draggable(field) { Sense::drag() } else { Sense::hover() };
    let (label, response) = row_ui(ui, view.tokens, field.label, sense, |ui, width| match field.shape {
        Shape::Choice(names) => choice_ui(ui, &slot, names, width, pad),
        Shape::Size => size_ui(ui, &slot, width, pad),
        Shape::Quantity { .. } | Shape::Whole { .. } | Shape::Text | Shape::Curve { .. } => {
            typed_ui(ui, &slot, width, pad)
        }
    });
    drag_number(ui, &slot, &label, pad);
    entry::fault_ui(ui, view.tokens, slot.id, pad.entries);
    label.on_hover_text(&help);
    response.on_hover_text(help)
}

/// A label at the left, something at the right, and a thin line beneath.
pub fn row_ui(
    ui: &mut Ui,
    tokens: &Tokens,
    label: &str,
    sense: Sense,
    content: impl FnOnce(&mut Ui, f32) -> Response,
) -> (Response, Response) {
    shared_row_ui(ui, tokens, label, LABEL, sense, content)
}

fn shared_row_ui(
    ui: &mut Ui,
    tokens: &Tokens,
    label: &str,
    share: f32,
    sense: Sense,
    content: impl FnOnce(&mut Ui, f32) -> Response,
) -> (Response, Response) {
    let (rect, _) = ui.allocate_exact_size(vec2(ui.available_width(), HEIGHT), Sense::hover());
    let split = rect.left() + rect.width() * share;
    let left = Rect::from_min_max(rect.min, pos2(split - 4.0, rect.max.y));
    let right = Rect::from_min_max(pos2(split, rect.min.y), rect.max);
    let mut child =
        ui.new_child(UiBuilder::new().max_rect(left).layout(Layout::left_to_right(Align::Center)));
    let name = Label::new(RichText::new(label).color(tokens.soft_ink)).truncate().sense(sense);
    let name = child.add(name);
    let mut child = ui.new_child(
        UiBuilder::new().id_salt(label).max_rect(right).layout(Layout::right_to_left(Align::Center)),
    );
    child.spacing_mut().item_spacing.x = 2.0;
    let response = content(&mut child, right.width());
    ui.painter().hline(rect.x_range(), rect.bottom() + 0.5, Stroke::new(1.0, tokens.line));
    (name, response)
}

/// What a field means, between which limits it lies, and how it is entered.
fn help_of(field: &Field, units: UnitSystem) -> String {
    let mut help = field.help.to_owned();
    let between = |low: String, high: String| format!("\nFrom {low} to {high}.");
    match field.shape {
        Shape::Quantity { unit, low, high } => {
            let say = |value| text::plain(Quantity { value, unit }, units);
            help.push_str(&between(say(low), say(high)));
        }
        Shape::Whole { low, high } => help.push_str(&between(low.to_string(), high.to_string())),
        Shape::Curve { .. } => {
            help.push_str("\nPoints, such as 10: 85; 50: 93.");
        }
        Shape::Choice(_) | Shape::Text | Shape::Size => {}
    }
    if draggable(field) {
        help.push_str("\nType it with any unit, or drag the label.");
    }
    help
}

const fn draggable(field: &Field) -> bool {
    matches!(field.shape, Shape::Quantity { .. } | Shape::Whole { .. })
}

fn typed_ui(ui: &mut Ui, slot: &Slot<'_>, width: f32, pad: &mut Pad<'_>) -> Response {
    let (field, units) = (slot.field, slot.view.units());
    let shown = match &slot.value {
        Some(Value::Absent) | None => String::new(),
        Some(value @ Value::Curve(_)) => field.entry(value, units),
        Some(value) => field.show(value, units),
    };
    let hint = if slot.value.is_none() { "various" } else { "not given" };
    let look = Look { name: field.label, shown: &shown, hint, align: Align::RIGHT, width };
    let judge = |typed: &str| field.read(typed, units).map_err(|fault| fault.to_string());
    let (event, response) = entry::entry_ui(ui, slot.view.tokens, slot.id, &look, pad.entries, judge);
    match event {
        Event::Nothing => {}
        Event::Valid(value) => pad.set(slot, value, Spell::GoesOn),
        Event::Ended(way) => {
            pad.actions.push(Action::EndSpell);
            *pad.leave |= way == Way::Enter;
        }
        Event::Cancelled => {
            pad.actions.push(Action::CancelSpell);
            *pad.leave = true;
        }
    }
    response
}

impl Pad<'_> {
    fn set(&mut self, slot: &Slot<'_>, value: Value, spell: Spell) {
        self.actions.push(Action::SetField { owner: slot.owner.clone(), field: slot.field, value, spell });
    }
}

fn choice_ui(
    ui: &mut Ui,
    slot: &Slot<'_>,
    names: &'static [ChoiceName],
    width: f32,
    pad: &mut Pad<'_>,
) -> Response {
    let field = slot.field;
    let shown = slot
        .value
        .as_ref()
        .map_or_else(|| "various".to_owned(), |value| field.show(value, slot.view.units()));
    combo(ui, slot.view.tokens, (slot.owner, field.key), (field.label, &shown), width, |ui| {
        if field.presence == Presence::Optional {
            choice(ui, slot, "not given", Value::Absent, pad);
        }
        for name in names {
            choice(ui, slot, name.label, Value::Choice(name.key), pad);
        }
    })
}

fn choice(ui: &mut Ui, slot: &Slot<'_>, label: &str, value: Value, pad: &mut Pad<'_>) {
    if ui.selectable_label(slot.value.as_ref() == Some(&value), label).clicked() {
        pad.set(slot, value, Spell::Single);
    }
}

fn size_ui(ui: &mut Ui, slot: &Slot<'_>, width: f32, pad: &mut Pad<'_>) -> Response {
    const LIST: f32 = 24.0;
    let name = format!("{}, list", slot.field.label);
    let row = vec2(width, HEIGHT);
    let both = ui.allocate_ui_with_layout(row, Layout::left_to_right(Align::Center), |ui| {
        let entry = typed_ui(ui, slot, width - LIST - 8.0, pad);
        combo(ui, slot.view.tokens, (slot.owner, slot.field.key, "sizes"), (&name, ""), LIST, |ui| {
            for size in usual_sizes(slot.view.units()) {
                choice(ui, slot, &size.to_string(), Value::Size(size), pad);
            }
        });
        entry
    });
    both.inner
}

/// The sizes that are in stock everywhere, smallest first.
fn usual_sizes(units: UnitSystem) -> Vec<ConductorSize> {
    match units {
        UnitSystem::Us => {
            let gauges = [14, 12, 10, 8, 6, 4, 3, 2, 1, 0, -1, -2, -3].map(ConductorSize::Awg);
            let thousands = [250, 300, 350, 400, 500, 600, 750].map(ConductorSize::Kcmil);
            gauges.into_iter().chain(thousands).collect()
        }
        UnitSystem::Si => [15, 25, 40, 60, 100, 160, 250, 350, 500, 700, 950, 1200, 1500, 1850, 2400, 3000]
            .map(ConductorSize::Metric)
            .to_vec(),
    }
}

/// Takes a number up by its label.
fn drag_number(ui: &Ui, slot: &Slot<'_>, label: &Response, pad: &mut Pad<'_>) {
    if !draggable(slot.field) {
        return;
    }
    if label.hovered() || matches!(slot.view.held, Some(Held::Number { .. })) {
        ui.ctx().set_cursor_icon(CursorIcon::ResizeHorizontal);
    }
    let from = match &slot.value {
        Some(Value::Number(number)) => *number,
        Some(Value::Whole(whole)) => f64::from(*whole),
        Some(Value::Absent | Value::Choice(_) | Value::Text(_) | Value::Size(_) | Value::Curve(_)) | None => {
            return;
        }
    };
    if label.drag_started()
        && let Some(at) = ui.input(|input| input.pointer.press_origin())
    {
        let (owner, field, gesture) = (slot.owner.clone(), slot.field, Gesture::default());
        pad.actions.push(Action::Hold(Held::Number { owner, field, from, at, gesture }));
    }
}

/// A row with a text of its own: tag, name, note.
pub fn text_ui(
    ui: &mut Ui,
    tokens: &Tokens,
    label: &str,
    (id, shown, hint): (Id, &str, &str),
    entries: &mut Entries,
    judge: impl FnOnce(&str) -> Result<String, String>,
) -> (Event<String>, Response) {
    let mut event = Event::Nothing;
    let (_, response) = shared_row_ui(ui, tokens, label, SHORT_LABEL, Sense::hover(), |ui, width| {
        let look = Look { name: label, shown, hint, align: Align::RIGHT, width };
        let (what, response) = entry::entry_ui(ui, tokens, id, &look, entries, judge);
        event = what;
        response
    });
    entry::fault_ui(ui, tokens, id, entries);
    (event, response)
}

/// A row that is only read.
pub fn fact_ui(ui: &mut Ui, tokens: &Tokens, label: &str, value: &str) {
    shared_row_ui(ui, tokens, label, SHORT_LABEL, Sense::hover(), |ui, _| {
        ui.add_space(6.0);
        ui.add(Label::new(RichText::new(value).font(fonts::body())).truncate())
    });
}
