//! The menu row: menus at the left, the project's name in the middle, rule set and units at the right.

use crate::settings::Theme;
use crate::window::action::{Action, Actions};
use crate::window::areas::draft::Part;
use crate::window::command::{Command, Menu};
use crate::window::demo::Demo;
use crate::window::fonts;
use crate::window::keys;
use crate::window::style;
use crate::window::tokens::Tokens;
use crate::window::view::View;
use egui::{Align, Button, FontId, Frame, Layout, Margin, MenuBar, Rect, RichText, Ui, UiBuilder, vec2};
use lineside_core::units::UnitSystem;

/// The ground of the row.
pub fn frame_of(tokens: &Tokens) -> Frame {
    Frame::new().fill(tokens.panel).inner_margin(Margin::symmetric(12, 0))
}

/// The row.
pub fn menu_ui(ui: &mut Ui, view: &View<'_>, actions: &mut Actions) {
    let row = ui.max_rect();
    ui.horizontal_centered(|ui| {
        MenuBar::new().ui(ui, |ui| {
            for menu in Menu::ALL {
                ui.menu_button(menu.title(), |ui| {
                    ui.set_min_width(250.0);
                    entries(ui, view, menu, actions);
                });
            }
        });
        if view.standing.has_project() {
            ui.with_layout(Layout::right_to_left(Align::Center), |ui| basis(ui, view, actions));
        }
    });
    if view.standing.has_project() {
        title(ui, row, view);
    }
}

fn entries(ui: &mut Ui, view: &View<'_>, menu: Menu, actions: &mut Actions) {
    for command in Command::ALL.iter().filter(|command| command.menu() == menu) {
        if command.begins_group() {
            ui.separator();
        }
        entry(ui, view, *command, actions);
        if *command == Command::Open {
            recent(ui, view, actions);
            demos(ui, actions);
        }
    }
}

fn entry(ui: &mut Ui, view: &View<'_>, command: Command, actions: &mut Actions) {
    let mut button = Button::new(caption(view, command)).selected(is_chosen(view, command));
    if let Some(keys) = command.shortcuts().first() {
        button = button.shortcut_text(RichText::new(keys::text(ui.ctx(), *keys)).color(view.tokens.soft_ink));
    }
    let hindrance = command.hindrance(view);
    let response = ui.add_enabled(hindrance.is_none(), button);
    let response = response.accessible_name(caption(view, command)).on_hover_text(command.tip());
    if let Some(why) = hindrance {
        response.on_disabled_hover_text(why);
    } else if response.clicked() {
        actions.push(Action::Do(command));
        ui.close();
    }
}

/// Undo and redo say what they would undo.
fn caption(view: &View<'_>, command: Command) -> String {
    let history = &view.document.history;
    let what = if command == Command::Undo {
        history.undo_label()
    } else if command == Command::Redo {
        history.redo_label()
    } else {
        None
    };
    what.map_or_else(|| command.name().to_owned(), |what| format!("{} {what}", command.name()))
}

fn is_chosen(view: &View<'_>, command: Command) -> bool {
    (command == Command::ThemeSystem && view.settings.theme == Theme::System)
        || (command == Command::ThemeLight && view.settings.theme == Theme::Light)
        || (command == Command::ThemeDark && view.settings.theme == Theme::Dark)
        || (command == Command::ShowShelf && !view.hidden.has(Part::Stock))
        || (command == Command::ShowPlate && !view.hidden.has(Part::Nameplate))
        || (command == Command::ShowFindings && !view.hidden.has(Part::Findings))
}

fn recent(ui: &mut Ui, view: &View<'_>, actions: &mut Actions) {
    ui.menu_button("Open recent", |ui| {
        ui.set_min_width(280.0);
        if view.settings.recent.is_empty() {
            ui.weak("No file has been opened yet.");
        }
        for path in &view.settings.recent {
            let name = path.file_name().unwrap_or(path.as_os_str()).to_string_lossy();
            if ui.button(name.as_ref()).on_hover_text(path.display().to_string()).clicked() {
                actions.push(Action::OpenRecent(path.clone()));
                ui.close();
            }
        }
    });
}

fn demos(ui: &mut Ui, actions: &mut Actions) {
    ui.menu_button("Open demo", |ui| {
        ui.set_min_width(220.0);
        for demo in Demo::ALL {
            if ui.button(demo.name()).on_hover_text(demo.about()).clicked() {
                actions.push(Action::OpenDemo(demo));
                ui.close();
            }
        }
    });
}

/// By which code the project is checked and in which units its people read; a click compares the rule sets.
fn basis(ui: &mut Ui, view: &View<'_>, actions: &mut Actions) {
    let project = view.project();
    let units = match project.units {
        UnitSystem::Us => "US units",
        UnitSystem::Si => "SI units",
    };
    let text = format!("{} · {units}", project.rule_set.label());
    ui.scope(|ui| {
        style::quiet(ui.style_mut());
        let button = Button::new(RichText::new(text).color(view.tokens.soft_ink));
        if ui.add(button).on_hover_text("Compares the rule sets. Units are set in the Brief.").clicked() {
            actions.push(Action::Do(Command::CompareRuleSets));
        }
    });
}

fn title(ui: &mut Ui, row: Rect, view: &View<'_>) {
    let project = view.project();
    let tokens = view.tokens;
    let name = ui.painter().layout_no_wrap(
        project.name().chars().take(60).collect(),
        FontId::new(fonts::HEADING, fonts::strong()),
        tokens.ink,
    );
    let revision = ui.painter().layout_no_wrap(revision_text(view), fonts::small(), tokens.soft_ink);
    let gap = 14.0;
    let width = name.size().x + gap + revision.size().x;
    let space = Rect::from_center_size(row.center(), vec2(width, row.height()));
    // Where the window is narrow, the menus and the rule set need the room.
    if space.left() < row.left() + 230.0 || space.right() > row.right() - 170.0 {
        return;
    }
    let mut child =
        ui.new_child(UiBuilder::new().max_rect(space).layout(Layout::left_to_right(Align::Center)));
    child.spacing_mut().item_spacing.x = gap;
    child.label(RichText::new(name.text()).font(FontId::new(fonts::HEADING, fonts::strong())));
    child.label(RichText::new(revision.text()).font(fonts::small()).color(tokens.soft_ink));
}

fn revision_text(view: &View<'_>) -> String {
    view.project()
        .revisions
        .last()
        .map_or_else(|| "first draft".to_owned(), |revision| format!("Revision {}, draft", revision.letter))
}
