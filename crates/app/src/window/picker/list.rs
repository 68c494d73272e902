//! How the list looks: a search, and beneath it what answers it, with the one that Enter takes.

use super::{Asked, Choice, Entry, Icon, Picker, entries};
use crate::window::action::{Action, Actions};
use crate::window::areas::draft::shelf;
use crate::window::fonts;
use crate::window::fuzzy;
use crate::window::marks;
use crate::window::tokens::Tokens;
use crate::window::view::View;
use egui::text::{LayoutJob, TextWrapping};
use egui::{
    Area, Color32, Context, FontId, Frame, Galley, Id, Key, Margin, Modifiers, Order, Pos2, Rect, RichText,
    Role, ScrollArea, Sense, TextEdit, Ui, Vec2, WidgetInfo, pos2, vec2,
};
use std::sync::Arc;

/// Width of the list in the middle of the window, and at the pointer.
const WIDE: f32 = 620.0;
const NARROW: f32 = 430.0;
/// Height of a row.
const ROW: f32 = 30.0;
/// How many entries are shown at most; a longer list is narrowed by typing.
const MOST: usize = 400;
/// How many rows the page keys go.
const PAGE: usize = 9;

/// What became of the list in this frame.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum Outcome {
    Stays,
    Closes,
}

/// Shows the list that is open.
pub fn picker_ui(ctx: &Context, view: &View<'_>, open: &mut Option<Picker>, actions: &mut Actions) {
    let Some(mut picker) = open.take() else { return };
    let listed = picker.entries.take().unwrap_or_else(|| entries(ctx, view, &picker.asked));
    if !picker.begun {
        picker.found = found(&listed, "");
        let first = picker.found.iter().position(|index| may_choose(&listed, *index));
        picker.chosen = first.filter(|_| picker.asked != Asked::Anything);
    }
    let screen = ctx.content_rect();
    let width = if picker.at.is_some() { NARROW } else { WIDE }.min(screen.width() - 40.0);
    let corner = picker
        .at
        .map_or(pos2(screen.center().x - width / 2.0, screen.top() + 96.0), |at| at + vec2(10.0, 6.0));
    let taken = keys(ctx, &mut picker, &listed);
    let shown = Area::new(Id::unique("picker"))
        .order(Order::Foreground)
        .fixed_pos(corner)
        .constrain_to(screen.shrink(8.0))
        .fade_in(false)
        .show(ctx, |ui| {
            Frame::popup(ui.style()).inner_margin(Margin::same(10)).show(ui, |ui| {
                ui.set_width(width);
                let clicked = body(ui, view, &mut picker, &listed);
                clicked.or(taken)
            })
        });
    let mut outcome = Outcome::Stays;
    if let Some(entry) = shown.inner.inner.and_then(|index| listed.get(index)) {
        if let Some(why) = &entry.hindrance {
            actions.push(Action::Say(why.clone(), ctx.pointer_latest_pos()));
        } else {
            actions.push(Action::Picked(picker.asked.clone(), entry.choice.clone()));
            outcome = Outcome::Closes;
        }
    }
    let elsewhere = ctx.input(|input| {
        input.pointer.any_pressed()
            && input.pointer.interact_pos().is_some_and(|at| !shown.response.rect.contains(at))
    });
    let escaped = ctx.input_mut(|input| input.consume_key(Modifiers::NONE, Key::Escape));
    // The press that let go of the pulled run ends in the frame in which the list opens.
    if escaped || (elsewhere && picker.begun) {
        outcome = Outcome::Closes;
    }
    picker.begun = true;
    if outcome == Outcome::Closes {
        actions.push(Action::ClosePicker);
        ctx.request_repaint();
    } else {
        picker.entries = Some(listed);
    }
    *open = Some(picker);
}

/// Which entries answer a search, best first; without one, all in their order.
fn found(listed: &[Entry], search: &str) -> Vec<usize> {
    if search.trim().is_empty() {
        return (0..listed.len()).collect();
    }
    let mut scored: Vec<(u32, usize)> = listed
        .iter()
        .enumerate()
        .filter_map(|(index, entry)| {
            let title = fuzzy::score(search, &entry.title).map(|score| 2 * score);
            let all = || fuzzy::score(search, &format!("{} {} {}", entry.title, entry.detail, entry.group));
            Some((title.or_else(all)? + of_tag(search, entry), index))
        })
        .collect();
    scored.sort_by(|a, b| b.0.cmp(&a.0).then(a.1.cmp(&b.1)));
    scored.into_iter().map(|(_, index)| index).collect()
}

/// Who types a tag means the part that has it, not what is said of it.
fn of_tag(search: &str, entry: &Entry) -> u32 {
    let named = entry.title.split(' ').any(|word| word.eq_ignore_ascii_case(search.trim()));
    if named && matches!(entry.choice, Choice::Thing(_)) { 200 } else { 0 }
}

fn may_choose(listed: &[Entry], index: usize) -> bool {
    listed.get(index).is_some_and(|entry| entry.hindrance.is_none())
}

/// The arrow keys move the choice, Enter takes it. They are taken before the search sees them.
fn keys(ctx: &Context, picker: &mut Picker, listed: &[Entry]) -> Option<usize> {
    let last = picker.found.len().min(MOST).saturating_sub(1);
    let pressed = |key| ctx.input_mut(|input| input.count_and_consume_key(Modifiers::NONE, key));
    let down = pressed(Key::ArrowDown) + PAGE * pressed(Key::PageDown);
    let up = pressed(Key::ArrowUp) + PAGE * pressed(Key::PageUp);
    if down + up > 0 {
        // The first press of an arrow goes to the first row.
        let from = picker.chosen.map_or(0, |chosen| chosen + down);
        picker.chosen = Some(from.saturating_sub(up).min(last));
        picker.moved = true;
    }
    let on_row = ctx.memory(egui::Memory::focused).is_some_and(|id| id != search_id());
    if on_row || pressed(Key::Enter) == 0 {
        return None;
    }
    picker.found.get(picker.chosen?).copied().filter(|index| *index < listed.len())
}

fn search_id() -> Id {
    Id::unique("picker search")
}

/// The search and the list. Gives back the entry that was clicked.
fn body(ui: &mut Ui, view: &View<'_>, picker: &mut Picker, listed: &[Entry]) -> Option<usize> {
    ui.spacing_mut().item_spacing.y = 2.0;
    if picker.asked != Asked::Anything {
        let name =
            RichText::new(heading(view, &picker.asked)).font(FontId::new(fonts::BODY, fonts::strong()));
        ui.label(name);
        ui.add_space(2.0);
    }
    let edit = TextEdit::singleline(&mut picker.search)
        .id(search_id())
        .hint_text(picker.asked.hint())
        .desired_width(f32::INFINITY)
        .margin(Margin::symmetric(8, 6));
    let response = ui.add(edit).accessible_name(picker.asked.name());
    if !picker.begun {
        response.request_focus();
    }
    if response.changed() {
        picker.found = found(listed, &picker.search);
        let anything = picker.search.trim().is_empty() && picker.asked == Asked::Anything;
        picker.chosen = (!anything).then_some(0);
        picker.moved = true;
    }
    ui.add_space(4.0);
    let rows = if picker.at.is_some() { 8.0 } else { 12.0 };
    let height = (ui.ctx().content_rect().height() - 260.0).clamp(120.0, rows * ROW);
    let mut clicked = None;
    // The area remembers how high a shorter list was; this one need not stay so.
    let scroll = ScrollArea::vertical().max_height(height).min_scrolled_height(height);
    scroll.auto_shrink([false, true]).show(ui, |ui| {
        ui.spacing_mut().item_spacing.y = 0.0;
        let grouped = picker.search.trim().is_empty();
        let mut group = "";
        for (row, index) in picker.found.iter().take(MOST).enumerate() {
            let Some(entry) = listed.get(*index) else { continue };
            if grouped && entry.group != group {
                group = &entry.group;
                heading_ui(ui, view.tokens, group);
            }
            let is_chosen = picker.chosen == Some(row);
            let choosing = if is_chosen { Chosen::Yes } else { Chosen::No };
            let response = row_ui(ui, view, entry, choosing);
            if is_chosen && std::mem::take(&mut picker.moved) {
                response.scroll_to_me(None);
            }
            if response.clicked() {
                clicked = Some(*index);
            }
        }
        rest_ui(ui, view.tokens, picker);
    });
    clicked
}

fn heading(view: &View<'_>, asked: &Asked) -> String {
    let circuit = &view.project().circuit;
    let names = |blocks| crate::window::edits::names_of(circuit, blocks);
    match asked {
        Asked::Anything => String::new(),
        Asked::Continue(from, _) => format!("Goes on from {}", circuit.end_name(*from)),
        Asked::Insert(run) => {
            format!("Goes into {}", circuit.run(*run).map_or("the run", |run| run.tag.as_str()))
        }
        Asked::Swap(blocks) => format!("In the place of {}", names(blocks)),
        Asked::ReplaceAll(blocks) => format!("In the place of {}, all of one model", names(blocks)),
        Asked::Template(_) => "Templates".to_owned(),
    }
}

fn heading_ui(ui: &mut Ui, tokens: &Tokens, text: &str) {
    ui.add_space(4.0);
    ui.label(RichText::new(text).font(fonts::small()).color(tokens.soft_ink));
}

fn rest_ui(ui: &mut Ui, tokens: &Tokens, picker: &Picker) {
    let words = match picker.found.len() {
        0 => "Nothing has such a name.".to_owned(),
        many if many > MOST => format!("and {} more; type on to find them", many - MOST),
        _ => return,
    };
    ui.label(RichText::new(words).color(tokens.soft_ink));
}

/// Whether Enter takes a row.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum Chosen {
    Yes,
    No,
}

fn row_ui(ui: &mut Ui, view: &View<'_>, entry: &Entry, chosen: Chosen) -> egui::Response {
    let is_chosen = chosen == Chosen::Yes;
    let tokens = view.tokens;
    let (rect, response) = ui.allocate_exact_size(vec2(ui.available_width(), ROW), Sense::click());
    let enabled = entry.hindrance.is_none();
    response.widget_info(|| WidgetInfo::selected(Role::ListBoxOption, enabled, is_chosen, entry.name()));
    if !ui.is_rect_visible(rect) {
        return response;
    }
    if is_chosen {
        ui.painter().rect_filled(rect, 4.0, tokens.accent_ground);
    } else if response.hovered() || response.has_focus() {
        ui.painter().rect_filled(rect, 4.0, tokens.panel);
    }
    let left = rect.left() + icon_ui(ui, view, entry, rect);
    let mut right = rect.right() - 8.0;
    let middle = rect.center().y;
    if !entry.keys.is_empty() {
        let keys = ui.painter().layout_no_wrap(entry.keys.clone(), fonts::small(), tokens.soft_ink);
        right -= keys.size().x;
        ui.painter().galley(pos2(right, middle - keys.size().y / 2.0), keys, tokens.soft_ink);
        right -= 12.0;
    }
    let color = if enabled { tokens.ink } else { tokens.soft_ink };
    let title = one_line(ui, &entry.title, fonts::body(), color, right - left);
    let after = left + title.size().x + 10.0;
    ui.painter().galley(pos2(left, middle - title.size().y / 2.0), title, color);
    let detail = entry.hindrance.as_ref().unwrap_or(&entry.detail);
    if right - after > 24.0 {
        let detail = one_line(ui, detail, fonts::small(), tokens.soft_ink, right - after);
        ui.painter().galley(pos2(after, middle - detail.size().y / 2.0), detail, tokens.soft_ink);
    }
    response
}

/// Words on one line, with an ellipsis where they would be longer.
fn one_line(ui: &Ui, text: &str, font: FontId, color: Color32, width: f32) -> Arc<Galley> {
    let mut job = LayoutJob::simple_singleline(text.to_owned(), font, color);
    job.wrap = TextWrapping::truncate_at_width(width.max(0.0));
    ui.painter().layout_job(job)
}

/// Paints what stands at the left of an entry, and gives back how much room it took.
fn icon_ui(ui: &Ui, view: &View<'_>, entry: &Entry, rect: Rect) -> f32 {
    const ROOM: f32 = 44.0;
    let space = Rect::from_min_size(rect.min, vec2(ROOM, rect.height())).shrink2(Vec2::new(6.0, 4.0));
    let equipment = match entry.icon {
        Icon::None => return 8.0,
        Icon::Finding(severity) => {
            let at: Pos2 = pos2(rect.left() + 16.0, rect.center().y);
            marks::severity(ui.painter(), view.tokens, severity, at, 12.0);
            return 30.0;
        }
        Icon::Item(index) => view.engine.stock.get(index).map(|item| &item.equipment),
        Icon::Block(id) => view.project().circuit.block(id).map(|block| &block.equipment),
    };
    if let Some(equipment) = equipment {
        shelf::symbol(ui.painter(), view.tokens, equipment, space);
    }
    ROOM
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::window::command::Command;

    fn entry(title: &str, detail: &str) -> Entry {
        Entry {
            title: title.to_owned(),
            detail: detail.to_owned(),
            keys: String::new(),
            group: String::new(),
            hindrance: None,
            icon: Icon::None,
            choice: Choice::Do(Command::Tidy),
        }
    }

    #[test]
    fn a_title_counts_more_than_what_else_is_said() {
        let listed = [entry("Rotate", "Turns the tidy ones"), entry("Tidy the sheet", ""), entry("Save", "")];
        assert_eq!(found(&listed, "tidy"), [1, 0]);
        assert_eq!(found(&listed, ""), [0, 1, 2]);
        assert!(found(&listed, "zebra").is_empty());
    }
}
