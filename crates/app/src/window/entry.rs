//! One line to type into: quiet until it is used, judged at each keystroke, with the reason beneath when the
//! text will not do.
//!
//! A text that will not do stays in its entry and reaches nothing else; what becomes of one that will is the
//! caller's.

use super::fonts;
use super::tokens::Tokens;
use egui::text::{CCursor, CCursorRange};
use egui::{
    Align, Align2, Color32, Frame, Id, Key, Label, Margin, Response, RichText, Stroke, TextEdit, Ui, vec2,
};
use std::collections::BTreeMap;

/// Texts that are being typed or that will not do, by the entry they stand in.
#[derive(Default)]
pub struct Entries {
    texts: BTreeMap<u64, Typed>,
}

#[derive(Clone, Debug, Default)]
struct Typed {
    text: String,
    fault: Option<String>,
}

impl Entries {
    /// Forgets every text, when something else is looked at.
    pub fn forget(&mut self) {
        self.texts.clear();
    }
    /// Whether any entry holds a text that will not do.
    pub fn has_fault(&self) -> bool {
        self.texts.values().any(|typed| typed.fault.is_some())
    }
}

/// How an entry looks and what it is called.
pub struct Look<'a> {
    /// Its name for assistive technology.
    pub name: &'a str,
    /// What it holds while nobody types in it.
    pub shown: &'a str,
    /// What stands in it, soft, when it is empty.
    pub hint: &'a str,
    /// Where its text stands.
    pub align: Align,
    /// Its width.
    pub width: f32,
}

/// What happened in an entry.
#[derive(Clone, Debug, PartialEq)]
pub enum Event<T> {
    /// Nothing.
    Nothing,
    /// A text was typed that will do.
    Valid(T),
    /// Typing is over: by Enter, by Tab, or by going elsewhere.
    Ended(Way),
    /// Typing was given up with Escape.
    Cancelled,
}

/// How typing ended.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Way {
    /// With Enter.
    Enter,
    /// By going elsewhere.
    Away,
}

/// An entry. `judge` turns a text into a value, or says why it will not do.
pub fn entry_ui<T>(
    ui: &mut Ui,
    tokens: &Tokens,
    id: Id,
    look: &Look<'_>,
    entries: &mut Entries,
    judge: impl FnOnce(&str) -> Result<T, String>,
) -> (Event<T>, Response) {
    let key = id.value();
    let mut typed = entries
        .texts
        .get(&key)
        .cloned()
        .unwrap_or_else(|| Typed { text: look.shown.to_owned(), fault: None });
    let focused = ui.memory(|memory| memory.has_focus(id));
    let hovered = ui.ctx().read_response(id).is_some_and(|response| response.hovered());
    let faulty = typed.fault.is_some();
    let edit = TextEdit::singleline(&mut typed.text)
        .id(id)
        .hint_text(RichText::new(look.hint).color(tokens.soft_ink))
        .align(Align2([look.align, Align::Center]))
        .desired_width(look.width)
        .margin(Margin::symmetric(6, 2))
        .text_color(if faulty { tokens.danger } else { tokens.ink })
        .frame(frame(tokens, focused, hovered, faulty))
        .min_size(vec2(look.width, 24.0));
    let mut output = edit.show(ui);
    let response = output.response.response.clone().accessible_name(look.name);
    if response.gained_focus() {
        let all = CCursorRange::two(CCursor::default(), CCursor::new(typed.text.chars().count()));
        output.state.cursor.set_char_range(Some(all));
        output.state.store(ui.ctx(), id);
        entries.texts.insert(key, typed.clone());
    }
    let event = if response.changed() {
        let verdict = judge(&typed.text);
        typed.fault = verdict.as_ref().err().cloned();
        entries.texts.insert(key, typed);
        verdict.map_or(Event::Nothing, Event::Valid)
    } else if response.lost_focus() {
        left(ui, entries, key)
    } else {
        Event::Nothing
    };
    (event, response)
}

fn left<T>(ui: &Ui, entries: &mut Entries, key: u64) -> Event<T> {
    if ui.input(|input| input.key_pressed(Key::Escape)) {
        entries.texts.remove(&key);
        return Event::Cancelled;
    }
    // A text that will not do stays, with its reason, until it is mended or given up.
    if entries.texts.get(&key).is_some_and(|typed| typed.fault.is_none()) {
        entries.texts.remove(&key);
    }
    let entered = ui.input(|input| input.key_pressed(Key::Enter));
    Event::Ended(if entered { Way::Enter } else { Way::Away })
}

#[expect(clippy::fn_params_excessive_bools, reason = "three independent states of one frame")]
fn frame(tokens: &Tokens, focused: bool, hovered: bool, faulty: bool) -> Frame {
    let (fill, edge) = match (faulty, focused, hovered) {
        (true, _, _) => (tokens.card, tokens.danger),
        (_, true, _) => (tokens.card, tokens.accent),
        (_, _, true) => (tokens.card, tokens.line),
        _ => (Color32::TRANSPARENT, Color32::TRANSPARENT),
    };
    Frame::new()
        .fill(fill)
        .stroke(Stroke::new(1.0, edge))
        .corner_radius(3.0)
        .inner_margin(Margin::symmetric(6, 2))
}

/// Why the text in an entry will not do, beneath it.
pub fn fault_ui(ui: &mut Ui, tokens: &Tokens, id: Id, entries: &Entries) {
    let Some(fault) = entries.texts.get(&id.value()).and_then(|typed| typed.fault.as_deref()) else { return };
    let text = RichText::new(fault).font(fonts::small()).color(tokens.danger);
    ui.add(Label::new(text).wrap());
}
