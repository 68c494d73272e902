//! The nameplate of a block, or the data that several blocks of one kind share.

use super::combo::combo;
use super::row::{self, Pad, row_ui};
use super::{NameplateState, group, head};
use crate::window::action::{Action, Actions};
use crate::window::areas::draft::{figures, findings};
use crate::window::edits::fields::Owner;
use crate::window::edits::moving::stand_of;
use crate::window::edits::{Labeled, swapping};
use crate::window::entry::{Event, Way};
use crate::window::fonts;
use crate::window::selection::{Selection, Thing};
use crate::window::view::View;
use egui::{Id, Label, RichText, Sense, Ui};
use lineside_core::circuit::{Block, BlockId};
use lineside_core::edit::{Edit, Stand};
use lineside_core::kinds::Kind;
use lineside_core::kinds::field::{Field, Layer};
use lineside_rules::Part;
use std::collections::BTreeSet;

/// One block, or several.
pub fn blocks_ui(
    ui: &mut Ui,
    view: &View<'_>,
    ids: &BTreeSet<BlockId>,
    state: &mut NameplateState,
    actions: &mut Actions,
) {
    let circuit = &view.project().circuit;
    let blocks: Vec<&Block> = ids.iter().filter_map(|id| circuit.block(*id)).collect();
    let kinds: BTreeSet<Kind> = blocks.iter().map(|block| block.kind()).collect();
    match (blocks.as_slice(), kinds.len()) {
        ([block], _) => block_ui(ui, view, block, state, actions),
        (many, 1) => {
            let what = many.first().map_or("", |block| block.kind().plural());
            head(ui, view.tokens, &format!("{} blocks", many.len()), &what.to_lowercase());
            note(ui, view, "What you change here changes in all of them.");
            fields_ui(ui, view, ids, state, actions);
        }
        (many, _) => {
            head(ui, view.tokens, &format!("{} blocks", many.len()), "of several kinds");
            note(ui, view, "Choose one of them to see its nameplate.");
            ui.add_space(4.0);
            for block in many {
                if ui.link(format!("{}, {}", block.tag, block.kind().label())).clicked() {
                    actions.push(Action::Select(Selection::only(Thing::Block(block.id))));
                }
            }
            if !Owner::Blocks(ids.clone()).fields(circuit).is_empty() {
                ui.add_space(6.0);
                note(ui, view, "What all of them have can be changed in all at once.");
                fields_ui(ui, view, ids, state, actions);
            }
        }
    }
}

fn note(ui: &mut Ui, view: &View<'_>, text: &str) {
    ui.add(Label::new(RichText::new(text).font(fonts::small()).color(view.tokens.soft_ink)).wrap());
}

fn block_ui(ui: &mut Ui, view: &View<'_>, block: &Block, state: &mut NameplateState, actions: &mut Actions) {
    head(ui, view.tokens, &block.tag, block.kind().label());
    stock_ui(ui, view, block, actions);
    super::copy::copy_ui(ui, view, block, actions);
    findings::of_parts_ui(ui, view, &[Part::Block(block.id)], &mut state.findings, actions);
    ui.add_space(4.0);
    tag_ui(ui, view, block, state, actions);
    place_ui(ui, view, block, actions);
    figures::figures_ui(ui, view, actions);
    fields_ui(ui, view, &BTreeSet::from([block.id]), state, actions);
    for contradiction in block.equipment.contradictions() {
        let text = RichText::new(format!("The nameplate contradicts itself: {contradiction}."));
        ui.add(Label::new(text.font(fonts::small()).color(view.tokens.correction)).wrap());
    }
    group(ui, "Note");
    note_ui(ui, view, block, state, actions);
}

/// The item of stock, and others of the same kind to take in its stead with all runs kept.
fn stock_ui(ui: &mut Ui, view: &View<'_>, block: &Block, actions: &mut Actions) {
    let shown = block.stock.as_deref().unwrap_or("not from stock");
    let width = ui.available_width();
    ui.spacing_mut().interact_size.y = 28.0;
    let same_kind = view.engine.stock.iter().filter(|item| item.equipment.kind() == block.kind());
    let list = egui::ComboBox::from_id_salt(("stock of", block.id))
        .selected_text(shown)
        .width(width)
        .truncate()
        .height(420.0)
        .show_ui(ui, |ui| {
            ui.set_min_width(width);
            for item in same_kind {
                let chosen = block.stock.as_deref() == Some(item.name.as_str());
                if ui.selectable_label(chosen, &item.name).clicked() && !chosen {
                    let circuit = &view.project().circuit;
                    match swapping::swap(circuit, &BTreeSet::from([block.id]), item) {
                        Ok(step) => actions.push(Action::Make(step, None)),
                        Err(why) => actions.push(Action::Say(why, ui.ctx().pointer_latest_pos())),
                    }
                }
            }
        });
    let name = format!("Stock item: {shown}");
    list.response
        .accessible_name(name)
        .on_hover_text("Take another item of stock. Its runs stay where they are.");
    ui.add_space(4.0);
}

fn tag_ui(ui: &mut Ui, view: &View<'_>, block: &Block, state: &mut NameplateState, actions: &mut Actions) {
    let id = Id::unique(("tag", block.id));
    let judge = |typed: &str| judge_tag(view, typed, &block.tag);
    let row = (id, block.tag.as_str(), "");
    let (event, response) = row::text_ui(ui, view.tokens, "Tag", row, &mut state.entries, judge);
    if std::mem::take(&mut state.focus_first) {
        response.request_focus();
        response.scroll_to_me(None);
    }
    let edit = |tag: String| Labeled::new(format!("tag {}", block.tag), Edit::SetTag(block.id, tag));
    text_event(event, edit, state, actions);
}

/// Why a text cannot be a tag here, in the words of the edit that would be refused.
pub fn judge_tag(view: &View<'_>, typed: &str, now: &str) -> Result<String, String> {
    use lineside_core::edit::Refusal;
    let tag = typed.trim();
    let fits = (1..=24).contains(&tag.chars().count())
        && tag.chars().all(|c| c.is_alphanumeric() || matches!(c, '-' | '_' | '/'));
    if !fits {
        return Err(Refusal::BadTag(tag.to_owned()).to_string());
    }
    if tag != now && view.project().circuit.has_tag(tag) {
        return Err(Refusal::TagTaken(tag.to_owned()).to_string());
    }
    Ok(tag.to_owned())
}

/// Turns what happened in a text entry into actions.
pub fn text_event(
    event: Event<String>,
    edit: impl FnOnce(String) -> Labeled,
    state: &mut NameplateState,
    actions: &mut Actions,
) {
    match event {
        Event::Nothing => {}
        Event::Valid(text) => actions.push(Action::MakeInSpell(edit(text))),
        Event::Ended(way) => {
            actions.push(Action::EndSpell);
            state.leave |= way == Way::Enter;
        }
        Event::Cancelled => {
            actions.push(Action::CancelSpell);
            state.leave = true;
        }
    }
}

fn place_ui(ui: &mut Ui, view: &View<'_>, block: &Block, actions: &mut Actions) {
    let circuit = &view.project().circuit;
    let now = block.place.and_then(|id| circuit.place(id));
    let shown = now.map_or("nowhere", |place| place.name.as_str());
    row_ui(ui, view.tokens, "Place", Sense::hover(), |ui, width| {
        combo(ui, view.tokens, ("place of", block.id), ("Place", shown), width, |ui| {
            let nowhere = (None, "nowhere");
            let places = circuit.places().map(|place| (Some(place.id), place.name.as_str()));
            for (place, name) in std::iter::once(nowhere).chain(places) {
                if ui.selectable_label(block.place == place, name).clicked() {
                    let edit = Edit::SetStand(block.id, Stand { place, ..stand_of(block) });
                    actions.push(Action::Make(Labeled::new(format!("place of {}", block.tag), edit), None));
                }
            }
        })
    });
}

fn fields_ui(
    ui: &mut Ui,
    view: &View<'_>,
    ids: &BTreeSet<BlockId>,
    state: &mut NameplateState,
    actions: &mut Actions,
) {
    let owner = Owner::Blocks(ids.clone());
    let fields = owner.fields(&view.project().circuit);
    for (layer, title) in [(Layer::Setting, "Settings"), (Layer::Nameplate, "Nameplate")] {
        let of_layer: Vec<&'static Field> =
            fields.iter().copied().filter(|field| field.layer == layer).collect();
        if of_layer.is_empty() {
            continue;
        }
        group(ui, title);
        let mut pad = Pad { entries: &mut state.entries, actions, leave: &mut state.leave };
        for field in of_layer {
            row::field_ui(ui, view, &owner, field, &mut pad);
        }
    }
}

fn note_ui(ui: &mut Ui, view: &View<'_>, block: &Block, state: &mut NameplateState, actions: &mut Actions) {
    let id = Id::unique(("note", block.id));
    let row = (id, block.note.as_str(), "none");
    let (event, _) =
        row::text_ui(ui, view.tokens, "Note", row, &mut state.entries, |typed| Ok(typed.to_owned()));
    let edit = |note| Labeled::new(format!("note of {}", block.tag), Edit::SetBlockNote(block.id, note));
    text_event(event, edit, state, actions);
}
