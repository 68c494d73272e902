//! The load table: every datum of every load, in rows that can be added, removed, repeated and moved.

use super::cells;
use super::cells::{
    Cell, Desk, changed, clock, entry_of, read, read_clock, read_optional, step, typed_ui, whole,
};
use super::intake;
use super::{BriefState, lines};
use crate::window::action::{Action, Actions};
use crate::window::areas::draft::nameplate::combo::combo;
use crate::window::entry;
use crate::window::fonts;
use crate::window::tokens::Tokens;
use crate::window::view::View;
use egui::{
    Align, Align2, Button, Id, Layout, Popup, PopupCloseBehavior, Rect, RichText, Role, ScrollArea, Sense,
    Stroke, Ui, UiBuilder, WidgetInfo, pos2, vec2,
};
use lineside_core::project::{LoadCurrent, LoadItem, LoadPriority, Month};
use lineside_core::units::text;
use lineside_core::units::text::UnitSystem;
use lineside_energy::loads::energy_of_day;

const ROW: f32 = 28.0;

/// A column of the table that is typed into.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum Column {
    Name,
    Watts,
    Count,
    Hours,
    Days,
    Start,
    Surge,
    Factor,
}

impl Column {
    const ALL: [Self; 8] = [
        Self::Name,
        Self::Watts,
        Self::Count,
        Self::Hours,
        Self::Days,
        Self::Start,
        Self::Surge,
        Self::Factor,
    ];

    /// Its heading, its name for assistive technology, and its width; the name has what is left.
    const fn words(self) -> (&'static str, &'static str, f32) {
        match self {
            Self::Name => ("what", "name", 0.0),
            Self::Watts => ("watts", "watts", 72.0),
            Self::Count => ("how many", "number", 66.0),
            Self::Hours => ("hours", "hours a day", 60.0),
            Self::Days => ("days", "days a week", 50.0),
            Self::Start => ("from", "start", 62.0),
            Self::Surge => ("surge", "surge", 72.0),
            Self::Factor => ("factor", "power factor", 58.0),
        }
    }

    fn shown(self, item: &LoadItem, units: UnitSystem) -> String {
        match self {
            Self::Name => item.name.clone(),
            Self::Watts => entry_of(item.power, units),
            Self::Count => item.quantity.to_string(),
            Self::Hours => entry_of(item.hours, units),
            Self::Days => item.days_per_week.to_string(),
            Self::Start if !item.profile.is_empty() => cells::weights(&item.profile),
            Self::Start => item.start.map(clock).unwrap_or_default(),
            Self::Surge => item.surge.map(|surge| entry_of(surge, units)).unwrap_or_default(),
            Self::Factor => item.power_factor.map(|factor| entry_of(factor, units)).unwrap_or_default(),
        }
    }

    /// What stands, soft, in an empty cell.
    const fn hint(self) -> &'static str {
        match self {
            Self::Name => "name it",
            Self::Start => "any",
            Self::Factor => "100",
            Self::Surge => "none",
            Self::Watts | Self::Count | Self::Hours | Self::Days => "",
        }
    }

    const fn tip(self) -> &'static str {
        match self {
            Self::Name => "What it is.",
            Self::Watts => "Power of one while it runs, W.",
            Self::Count => "How many there are.",
            Self::Hours => "Hours on a day of use.",
            Self::Days => "Days of use in a week.",
            Self::Start => {
                "Hour of the day at which it starts, such as 17:30. Empty: spread over the day. Or 24 weights, one for \
                 each hour from midnight on, with spaces between them."
            }
            Self::Surge => "Power of one while it starts, W.",
            Self::Factor => "Power factor, %.",
        }
    }

    fn set(self, item: &mut LoadItem, typed: &str, units: UnitSystem) -> Result<(), String> {
        match self {
            Self::Name => typed.clone_into(&mut item.name),
            Self::Watts => item.power = read(typed, units)?,
            Self::Count => item.quantity = whole(typed)?,
            Self::Hours => item.hours = read(typed, units)?,
            Self::Days => item.days_per_week = whole(typed)?,
            Self::Start => {
                item.profile = cells::read_weights(typed)?;
                item.start = if item.profile.is_empty() { read_clock(typed)? } else { None };
            }
            Self::Surge => item.surge = read_optional(typed, units)?,
            Self::Factor => item.power_factor = read_optional(typed, units)?,
        }
        Ok(())
    }
}

/// From the right edge of a cell to where its figures end.
const END: f32 = 20.0;
const CURRENT: f32 = 60.0;
const WAITS: f32 = 82.0;
const MONTHS: f32 = 78.0;
const ENERGY: f32 = 86.0;
const MENU: f32 = 30.0;
/// The table is no narrower than this.
const NARROWEST: f32 = 880.0;

pub(super) fn loads_ui(ui: &mut Ui, view: &View<'_>, state: &mut BriefState, actions: &mut Actions) {
    intake::bar_ui(ui, view, state, actions);
    intake::report_ui(ui, view, state);
    let width = (ui.available_width() - 12.0).max(NARROWEST);
    ScrollArea::both().auto_shrink(false).id_salt("loads").show(ui, |ui| {
        ui.set_min_width(width);
        ui.spacing_mut().item_spacing.y = 0.0;
        headings_ui(ui, view.tokens, width);
        for (line, item) in view.project().brief.loads.iter().enumerate() {
            row_ui(ui, view, state, (line, item), width, actions);
        }
        if view.project().brief.loads.is_empty() {
            ui.add_space(14.0);
            let words = "No loads yet. Add one, take some from the list of usual appliances, or paste a table from a spreadsheet: \
                         its first row names the columns, such as name, watts, quantity, hours.";
            ui.add(egui::Label::new(RichText::new(words).color(view.tokens.soft_ink)).wrap());
        }
    });
}

/// Where the cells of a row lie.
struct Places {
    left: f32,
    y: std::ops::RangeInclusive<f32>,
}

impl Places {
    fn next(&mut self, width: f32) -> Rect {
        let rect = Rect::from_x_y_ranges(self.left..=self.left + width, self.y.clone());
        self.left += width;
        rect
    }
}

fn width_of(column: Column, all: f32) -> f32 {
    let (.., width) = column.words();
    if column == Column::Name {
        let others: f32 = Column::ALL.iter().map(|it| it.words().2).sum();
        return all - others - CURRENT - WAITS - MONTHS - ENERGY - MENU;
    }
    width
}

fn headings_ui(ui: &mut Ui, tokens: &Tokens, width: f32) {
    let (rect, _) = ui.allocate_exact_size(vec2(width, 24.0), Sense::hover());
    let mut places = Places { left: rect.left(), y: rect.y_range().min..=rect.y_range().max };
    let mut head = |width: f32, word: &str, align: Align2, tip: &str| {
        let place = places.next(width);
        let at = match align {
            Align2::LEFT_CENTER => place.left_center() + vec2(7.0, 0.0),
            _ => place.right_center() - vec2(END, 0.0),
        };
        ui.painter().text(at, align, word, fonts::small(), tokens.soft_ink);
        let response = ui.interact(place, Id::unique(("heading", word)), Sense::hover());
        response.on_hover_text(tip);
    };
    for column in Column::ALL {
        let align = if column == Column::Name { Align2::LEFT_CENTER } else { Align2::RIGHT_CENTER };
        head(width_of(column, width), column.words().0, align, column.tip());
    }
    head(CURRENT, "AC/DC", Align2::RIGHT_CENTER, "Whether it takes AC or DC.");
    head(
        WAITS,
        "waits",
        Align2::RIGHT_CENTER,
        "Whether it must run, or can wait for the sun within its day.",
    );
    head(MONTHS, "months", Align2::RIGHT_CENTER, "Months in which it runs.");
    head(ENERGY, "a day", Align2::RIGHT_CENTER, "Energy of a mean day of the months in which it runs.");
    ui.painter().hline(rect.x_range(), rect.bottom(), Stroke::new(1.0, tokens.line));
}

fn row_ui(
    ui: &mut Ui,
    view: &View<'_>,
    state: &mut BriefState,
    (line, item): (usize, &LoadItem),
    width: f32,
    actions: &mut Actions,
) {
    let (rect, _) = ui.allocate_exact_size(vec2(width, ROW), Sense::hover());
    let mut places = Places { left: rect.left(), y: rect.y_range().min..=rect.y_range().max };
    let units = view.units();
    let mut ids = Vec::new();
    for column in Column::ALL {
        let place = places.next(width_of(column, width));
        let (_, word, _) = column.words();
        let id = Id::unique(("load", line, word));
        ids.push(id);
        let shown = column.shown(item, units);
        let cell = Cell {
            id,
            name: &format!("Load {} {word}", line + 1),
            step: &format!("{word} of {}", lines::called(item, line)),
            shown: &shown,
            hint: column.hint(),
            align: if column == Column::Name { Align::Min } else { Align::Max },
        };
        let mut desk = Desk { view, entries: &mut state.entries, actions };
        let response =
            typed_ui(ui, &mut desk, place, &cell, |brief, typed| match brief.loads.get_mut(line) {
                Some(item) => column.set(item, typed, units),
                None => Err("This load is gone.".to_owned()),
            });
        if state.focus == Some(line) && column == Column::Name {
            state.focus = None;
            response.request_focus();
            response.scroll_to_me(None);
        }
    }
    choices_ui(ui, view, (line, item), &mut places, actions);
    let energy = energy_of_day(item);
    let at = places.next(ENERGY).right_center() - vec2(7.0, 0.0);
    let figure = text::figure(energy.into(), units);
    ui.painter().text(at, Align2::RIGHT_CENTER, figure, fonts::body(), view.tokens.ink);
    menu_ui(ui, view, state, line, places.next(MENU), actions);
    ui.painter().hline(rect.x_range(), rect.bottom(), Stroke::new(1.0, view.tokens.line));
    for id in ids {
        entry::fault_ui(ui, view.tokens, id, &state.entries);
    }
}

fn in_place<R>(ui: &mut Ui, salt: (&str, usize), rect: Rect, content: impl FnOnce(&mut Ui) -> R) -> R {
    let layout = Layout::right_to_left(Align::Center);
    let mut child = ui.new_child(UiBuilder::new().id_salt(salt).max_rect(rect).layout(layout));
    content(&mut child)
}

fn set(
    view: &View<'_>,
    line: usize,
    step_of: &str,
    actions: &mut Actions,
    change: impl FnOnce(&mut LoadItem),
) {
    let brief = changed(view, |brief| {
        brief.loads.get_mut(line).map(change).ok_or_else(|| "This load is gone.".to_owned())
    });
    match brief {
        Ok(brief) => actions.push(Action::Make(step(step_of, brief), None)),
        Err(why) => actions.push(Action::Say(why, None)),
    }
}

fn choices_ui(
    ui: &mut Ui,
    view: &View<'_>,
    (line, item): (usize, &LoadItem),
    places: &mut Places,
    actions: &mut Actions,
) {
    let called = |what: &str| format!("Load {} {what}", line + 1);
    in_place(ui, ("current", line), places.next(CURRENT), |ui| {
        let word = |current| if current == LoadCurrent::Ac { "AC" } else { "DC" };
        combo(ui, view.tokens, ("current", line), (&called("current"), word(item.current)), CURRENT, |ui| {
            for current in [LoadCurrent::Ac, LoadCurrent::Dc] {
                if ui.selectable_label(item.current == current, word(current)).clicked() {
                    set(view, line, "current of a load", actions, |item| item.current = current);
                }
            }
        });
    });
    in_place(ui, ("waits", line), places.next(WAITS), |ui| {
        let word = |it| if it == LoadPriority::MustRun { "must run" } else { "can wait" };
        combo(ui, view.tokens, ("waits", line), (&called("priority"), word(item.priority)), WAITS, |ui| {
            for priority in [LoadPriority::MustRun, LoadPriority::CanWait] {
                if ui.selectable_label(item.priority == priority, word(priority)).clicked() {
                    set(view, line, "priority of a load", actions, |item| item.priority = priority);
                }
            }
        });
    });
    let place = places.next(MONTHS);
    in_place(ui, ("months", line), place, |ui| {
        let shown = lines::months(&item.months);
        let button = ui.add(Button::new(RichText::new(&shown)).frame(false));
        button.widget_info(|| {
            WidgetInfo::labeled(Role::Button, true, format!("{}: {shown}", called("months")))
        });
        let popup = Popup::menu(&button).close_behavior(PopupCloseBehavior::CloseOnClickOutside);
        popup.show(|ui| {
            for month in Month::ALL {
                let mut runs = item.months.is_empty() || item.months.contains(&month);
                if ui.checkbox(&mut runs, month.name()).changed() {
                    set(view, line, "months of a load", actions, |item| {
                        lines::toggle(&mut item.months, month);
                    });
                }
            }
        });
    });
}

fn menu_ui(
    ui: &mut Ui,
    view: &View<'_>,
    state: &mut BriefState,
    line: usize,
    rect: Rect,
    actions: &mut Actions,
) {
    let button = in_place(ui, ("menu", line), rect, |ui| ui.add(Button::new("      ").frame(false)));
    button.widget_info(|| WidgetInfo::labeled(Role::Button, true, format!("Load {} actions", line + 1)));
    for x in [-5.0, 0.0, 5.0] {
        let at = button.rect.center() + vec2(x, 0.0);
        ui.painter().circle_filled(pos2(at.x, at.y), 1.4, view.tokens.soft_ink);
    }
    let last = view.project().brief.loads.len().saturating_sub(1);
    Popup::menu(&button).show(|ui| {
        let mut rearrange = |label: &str, change: &dyn Fn(&mut Vec<LoadItem>)| {
            let mut brief = view.project().brief.clone();
            change(&mut brief.loads);
            actions.push(Action::Make(step(label, brief), None));
            state.entries.forget();
        };
        if ui.button("Duplicate").clicked() {
            rearrange("duplicate load", &|loads| lines::repeat(loads, line));
        }
        if line > 0 && ui.button("Move up").clicked() {
            rearrange("move load", &|loads| loads.swap(line - 1, line));
        }
        if line < last && ui.button("Move down").clicked() {
            rearrange("move load", &|loads| loads.swap(line, line + 1));
        }
        if ui.button("Remove").clicked() {
            rearrange("remove load", &|loads| {
                loads.remove(line);
            });
        }
    });
}
