//! The area strip: the areas in the order of the job with the state of each, undo and redo, saved or not.

use crate::window::action::{Action, Actions};
use crate::window::areas::year::YearStanding;
use crate::window::areas::{Area, room};
use crate::window::command::Command;
use crate::window::fonts;
use crate::window::keys;
use crate::window::marks::{self, Openness};
use crate::window::style;
use crate::window::tokens::Tokens;
use crate::window::view::View;
use egui::{Button, FontId, Frame, Margin, Rect, RichText, Role, Sense, Stroke, Ui, WidgetInfo, pos2, vec2};
use lineside_rules::Severity;

/// Room between the buttons and the word on saving.
const GAP: f32 = 14.0;

/// The ground of the strip.
pub fn frame_of(tokens: &Tokens) -> Frame {
    Frame::new().fill(tokens.card).inner_margin(Margin::symmetric(16, 0))
}

/// The strip.
pub fn strip_ui(ui: &mut Ui, view: &View<'_>, open: Area, actions: &mut Actions) {
    ui.horizontal_centered(|ui| {
        ui.spacing_mut().item_spacing.x = 6.0;
        let roomy = ui.available_width() > 520.0;
        for (i, area) in Area::ALL.into_iter().enumerate() {
            if i > 0 && roomy {
                let (rect, _) = ui.allocate_exact_size(vec2(16.0, 20.0), Sense::hover());
                marks::chevron(ui.painter(), rect.center(), Openness::Closed, view.tokens.soft_ink);
            }
            tab(ui, view, area, open, actions);
        }
        right_ui(ui, view, actions);
    });
}

/// Undo, redo and whether it is saved, at the right; in narrow windows the Edit menu and the title bar have them.
fn right_ui(ui: &mut Ui, view: &View<'_>, actions: &mut Actions) {
    let steps = [Command::Undo, Command::Redo];
    let all = [Command::Undo, Command::Redo, Command::History];
    let buttons = all.iter().map(|it| room::button_width(ui, it.name(), fonts::body())).sum::<f32>();
    let told = ui.painter().layout_no_wrap(saved_words(view).0.to_owned(), fonts::body(), view.tokens.ink);
    let told = told.size().x + GAP + ui.spacing().item_spacing.x;
    let available = ui.available_width();
    if available < buttons {
        return;
    }
    let both = available > buttons + told;
    room::at_right(ui, if both { buttons + told } else { buttons }, |ui| {
        for command in steps {
            step(ui, view, command, actions);
        }
        history(ui, actions);
        if both {
            ui.add_space(GAP);
            saved(ui, view);
        }
    });
}

fn tab(ui: &mut Ui, view: &View<'_>, area: Area, open: Area, actions: &mut Actions) {
    let tokens = view.tokens;
    let chosen = area == open;
    let color = if chosen { tokens.accent } else { tokens.ink };
    let family = if chosen { fonts::strong() } else { egui::FontFamily::Proportional };
    let galley = ui.painter().layout_no_wrap(area.title().to_owned(), FontId::new(16.0, family), color);
    let worst = worst(view, area);
    let badge = worst.map(|(severity, count)| {
        (severity, ui.painter().layout_no_wrap(count.to_string(), fonts::body(), tokens.severity(severity)))
    });
    let standing = if area == Area::Year { view.year } else { YearStanding::Unseen };
    let badge_width = match &badge {
        Some((_, galley)) => 26.0 + galley.size().x,
        None if standing != YearStanding::Unseen => 24.0,
        None => 0.0,
    };
    let size = vec2(galley.size().x + badge_width + 30.0, ui.available_height());
    let (rect, response) = ui.allocate_exact_size(size, Sense::click());
    let name = match worst {
        Some((severity, count)) => format!("{}, {}", area.title(), marks::words(severity, count)),
        None if standing == YearStanding::Unseen => area.title().to_owned(),
        None => format!("{}, {}", area.title(), standing.words()),
    };
    response.widget_info(|| WidgetInfo::selected(Role::Tab, true, chosen, &name));
    let ground = Rect::from_min_max(pos2(rect.left(), rect.top() + 7.0), pos2(rect.right(), rect.bottom()));
    if chosen {
        ui.painter().rect_filled(ground, 4.0, tokens.accent_ground);
        let line = Rect::from_min_max(pos2(rect.left(), rect.bottom() - 3.0), rect.max);
        ui.painter().rect_filled(line, 0.0, tokens.accent);
    } else if response.hovered() || response.has_focus() {
        ui.painter().rect_filled(ground, 4.0, tokens.panel);
    }
    if response.has_focus() {
        let edge = Stroke::new(1.0, tokens.accent);
        ui.painter().rect_stroke(ground.shrink(0.5), 4.0, edge, egui::StrokeKind::Inside);
    }
    let middle = ground.center().y - 1.0;
    let text_at = pos2(rect.left() + 15.0, middle - galley.size().y / 2.0);
    let after = text_at.x + galley.size().x;
    ui.painter().galley(text_at, galley, color);
    if let Some((severity, count)) = badge {
        marks::severity(ui.painter(), tokens, severity, pos2(after + 15.0, middle), 12.0);
        ui.painter().galley(pos2(after + 25.0, middle - count.size().y / 2.0), count, tokens.ink);
    }
    marks::standing(ui.painter(), tokens, standing, pos2(after + 17.0, middle));
    if standing != YearStanding::Unseen {
        response.clone().on_hover_text(format!("{}: {}", area.title(), standing.words()));
    }
    if response.clicked() {
        actions.push(Action::Go(area));
    }
}

/// The worst findings that are to be mended in an area.
fn worst(view: &View<'_>, area: Area) -> Option<(Severity, usize)> {
    if area != Area::Draft {
        return None;
    }
    Severity::ALL.into_iter().find_map(|severity| {
        let count = view.derived.open().filter(|finding| finding.severity == severity).count();
        (count > 0).then_some((severity, count))
    })
}

fn step(ui: &mut Ui, view: &View<'_>, command: Command, actions: &mut Actions) {
    let hindrance = command.hindrance(view);
    let history = &view.document.history;
    let what = if command == Command::Undo { history.undo_label() } else { history.redo_label() };
    ui.scope(|ui| {
        style::quiet(ui.style_mut());
        let response = ui.add_enabled(hindrance.is_none(), Button::new(command.name()));
        let tip = format!("{} {}", command.name(), what.unwrap_or_default());
        let keys =
            command.shortcuts().first().map(|shortcut| keys::text(ui.ctx(), *shortcut)).unwrap_or_default();
        let response = response.on_hover_text(format!("{}  {keys}", tip.trim()));
        if response.on_disabled_hover_text(hindrance.unwrap_or_default()).clicked() {
            actions.push(Action::Do(command));
        }
    });
}

/// Opens the list of steps.
fn history(ui: &mut Ui, actions: &mut Actions) {
    ui.scope(|ui| {
        style::quiet(ui.style_mut());
        let keys = Command::History.shortcuts().first().map(|shortcut| keys::text(ui.ctx(), *shortcut));
        let tip = format!("{}  {}", Command::History.tip(), keys.unwrap_or_default());
        if ui.add(Button::new(Command::History.name())).on_hover_text(tip).clicked() {
            actions.push(Action::Do(Command::History));
        }
    });
}

fn saved(ui: &mut Ui, view: &View<'_>) {
    let (text, color, tip) = saved_words(view);
    ui.label(RichText::new(text).color(color)).on_hover_text(tip);
}

/// Whether the work is saved: in a word, its color, and what it means.
fn saved_words(view: &View<'_>) -> (&'static str, egui::Color32, &'static str) {
    let tokens = view.tokens;
    let document = view.document;
    if document.is_read_only() {
        (
            "read only",
            tokens.correction,
            "Another window has this file open. Save under another name to keep changes.",
        )
    } else if document.is_unsaved() {
        ("unsaved", tokens.ink, "There are changes that are in no file yet.")
    } else if document.file.is_some() {
        ("saved", tokens.soft_ink, "The file holds what you see.")
    } else {
        ("no file yet", tokens.soft_ink, "This project is in no file yet.")
    }
}
