//! The site and its weather records: month by month, from a file, or from a generic climate that stands in.

use super::BriefState;
use super::cells::{self, Cell, Desk, entry_of, read, read_optional, step, typed_ui};
use crate::window::action::{Action, Actions};
use crate::window::areas::draft::nameplate::combo::combo;
use crate::window::areas::draft::nameplate::row::{self, Pad};
use crate::window::edits::fields::Owner;
use crate::window::entry;
use crate::window::fonts;
use crate::window::view::View;
use egui::{Align, Align2, FontId, Id, Label, Rect, RichText, ScrollArea, Sense, Stroke, Ui, vec2};
use lineside_core::project::{Brief, Month, MonthlyMeans, WeatherSource};
use lineside_core::units::text::{self, UnitSystem};
use lineside_core::units::{Celsius, SunHours, Unit};
use lineside_energy::climates_at;
use std::collections::BTreeMap;

/// What was typed of a month that has no record yet: a record has both.
pub(super) type Partial = BTreeMap<Month, (Option<SunHours>, Option<Celsius>)>;

/// A column of the records.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum Column {
    Sun,
    Temperature,
    Range,
    Wind,
    Albedo,
    Dirt,
    Snow,
}

impl Column {
    const ALL: [Self; 7] =
        [Self::Sun, Self::Temperature, Self::Range, Self::Wind, Self::Albedo, Self::Dirt, Self::Snow];

    /// Its heading, and what it means.
    const fn words(self) -> (&'static str, &'static str) {
        match self {
            Self::Sun => ("sun", "Sun on the level, mean of a day."),
            Self::Temperature => ("temperature", "Mean temperature."),
            Self::Range => ("daily range", "Mean difference between the warmest and the coldest of a day."),
            Self::Wind => ("wind", "Mean wind at the modules."),
            Self::Albedo => {
                ("ground", "Share of sunlight that the ground throws back, where it is not the site’s.")
            }
            Self::Dirt => ("dirt", "Share of sunlight lost to dirt on the modules."),
            Self::Snow => ("snow", "Share of sunlight lost to lying snow."),
        }
    }

    const fn unit(self) -> Unit {
        match self {
            Self::Sun => Unit::SunHour,
            Self::Temperature => Unit::Celsius,
            Self::Range => Unit::CelsiusSpan,
            Self::Wind => Unit::MeterPerSecond,
            Self::Albedo | Self::Dirt | Self::Snow => Unit::Percent,
        }
    }

    fn shown(
        self,
        means: Option<&MonthlyMeans>,
        partial: (Option<SunHours>, Option<Celsius>),
        units: UnitSystem,
    ) -> String {
        let Some(it) = means else {
            return match self {
                Self::Sun => partial.0.map(|sun| entry_of(sun, units)),
                Self::Temperature => partial.1.map(|air| entry_of(air, units)),
                Self::Range | Self::Wind | Self::Albedo | Self::Dirt | Self::Snow => None,
            }
            .unwrap_or_default();
        };
        match self {
            Self::Sun => Some(entry_of(it.sun, units)),
            Self::Temperature => Some(entry_of(it.temperature, units)),
            Self::Range => it.daily_range.map(|range| entry_of(range, units)),
            Self::Wind => it.wind.map(|wind| entry_of(wind, units)),
            Self::Albedo => it.albedo.map(|share| entry_of(share, units)),
            Self::Dirt => it.dirt.map(|share| entry_of(share, units)),
            Self::Snow => it.snow.map(|share| entry_of(share, units)),
        }
        .unwrap_or_default()
    }

    fn set(self, it: &mut MonthlyMeans, typed: &str, units: UnitSystem) -> Result<(), String> {
        match self {
            Self::Sun => it.sun = read(typed, units)?,
            Self::Temperature => it.temperature = read(typed, units)?,
            Self::Range => it.daily_range = read_optional(typed, units)?,
            Self::Wind => it.wind = read_optional(typed, units)?,
            Self::Albedo => it.albedo = read_optional(typed, units)?,
            Self::Dirt => it.dirt = read_optional(typed, units)?,
            Self::Snow => it.snow = read_optional(typed, units)?,
        }
        Ok(())
    }
}

pub(super) fn site_ui(ui: &mut Ui, view: &View<'_>, state: &mut BriefState, actions: &mut Actions) {
    ScrollArea::both().auto_shrink(false).id_salt("site").show(ui, |ui| {
        ui.set_max_width(ui.available_width() - 12.0);
        let heading = |ui: &mut Ui, words: &str| {
            ui.label(RichText::new(words).font(FontId::new(fonts::HEADING, fonts::strong())));
            ui.add_space(2.0);
        };
        heading(ui, "Weather records");
        source_ui(ui, view, state, actions);
        super::intake::report_ui(ui, view, state);
        ui.add_space(4.0);
        months_ui(ui, view, state, actions);
        ui.add_space(18.0);
        heading(ui, "Site");
        ui.spacing_mut().item_spacing.y = 2.0;
        let owner = Owner::Site;
        let mut leave = false;
        ui.set_max_width(560.0_f32.min(ui.available_width()));
        let mut pad = Pad { entries: &mut state.entries, actions, leave: &mut leave };
        for field in owner.fields(&view.project().circuit) {
            row::field_ui(ui, view, &owner, field, &mut pad);
        }
        horizon_ui(ui, view, state, actions);
        ui.add_space(20.0);
    });
}

/// The far horizon, which the fields of the site do not hold.
fn horizon_ui(ui: &mut Ui, view: &View<'_>, state: &mut BriefState, actions: &mut Actions) {
    let (rect, _) = ui.allocate_exact_size(vec2(ui.available_width(), ROW + 1.0), Sense::hover());
    let soft = view.tokens.soft_ink;
    ui.painter().text(rect.left_center(), Align2::LEFT_CENTER, "Far horizon", fonts::body(), soft);
    let place = Rect::from_x_y_ranges(rect.left() + rect.width() * 0.4..=rect.right(), rect.y_range());
    let id = Id::unique("far horizon");
    let shown = cells::horizon(&view.project().brief.horizon);
    let cell =
        Cell { id, name: "Far horizon", step: "far horizon", shown: &shown, hint: "free", align: Align::Max };
    let mut desk = Desk { view, entries: &mut state.entries, actions };
    let tip = "How high hills stand: directions from north and heights above the level in degrees, such as 90: 5; 180: 12.";
    typed_ui(ui, &mut desk, place, &cell, |brief, typed| {
        brief.horizon = cells::read_horizon(typed)?;
        Ok(())
    })
    .on_hover_text(tip);
    ui.painter().hline(rect.x_range(), rect.bottom(), Stroke::new(1.0, view.tokens.line));
    entry::fault_ui(ui, view.tokens, id, &state.entries);
}

fn source_ui(ui: &mut Ui, view: &View<'_>, state: &mut BriefState, actions: &mut Actions) {
    let brief = &view.project().brief;
    let words = match &brief.weather {
        WeatherSource::Unstated if brief.months.is_empty() => "There are none yet.".to_owned(),
        WeatherSource::Unstated => "Nobody has said where they come from.".to_owned(),
        WeatherSource::Records(from) => format!("From {from}."),
        WeatherSource::StandIn(climate) => {
            format!("A generic climate, “{climate}”, stands in for records of the site.")
        }
    };
    ui.add(Label::new(RichText::new(words).color(view.tokens.soft_ink)).wrap());
    ui.horizontal(|ui| {
        let tip = "Hourly weather as TMY3, EPW or our own CSV; its months are put into the table.";
        if ui.button("Read a weather file…").on_hover_text(tip).clicked() {
            actions.push(Action::ReadWeather);
        }
        let here = climates_at(brief, &view.engine.energy);
        if here.is_empty() {
            let words = "With latitude, longitude and elevation, a generic climate can stand in.";
            ui.label(RichText::new(words).font(fonts::small()).color(view.tokens.soft_ink));
            return;
        }
        let shown = match &brief.weather {
            WeatherSource::StandIn(climate) => climate.as_str(),
            WeatherSource::Unstated | WeatherSource::Records(_) => "not used",
        };
        ui.add_space(10.0);
        ui.label(RichText::new("Generic climate").color(view.tokens.soft_ink));
        combo(ui, view.tokens, "generic climate", ("Generic climate", shown), 260.0, |ui| {
            for (location, climate) in &here {
                if ui.selectable_label(shown == climate.label, &climate.label).clicked()
                    && let Ok(months) = climate.months_at(*location, &view.engine.energy)
                {
                    let mut brief = brief.clone();
                    brief.months = months;
                    brief.weather = WeatherSource::StandIn(climate.label.clone());
                    actions.push(Action::Make(step("generic climate", brief), None));
                    state.entries.forget();
                }
            }
        });
    });
}

/// From the right edge of a cell to where its figures end.
const END: f32 = 20.0;
const MONTH: f32 = 96.0;
const ROW: f32 = 26.0;

fn months_ui(ui: &mut Ui, view: &View<'_>, state: &mut BriefState, actions: &mut Actions) {
    let tokens = view.tokens;
    let units = view.units();
    let width = ui.available_width().min(860.0);
    let each = (width - MONTH) / Column::ALL.len() as f32;
    ui.spacing_mut().item_spacing.y = 0.0;
    let place = |rect: Rect, column: usize| {
        let left = rect.left() + MONTH + each * column as f32;
        Rect::from_x_y_ranges(left..=left + each, rect.y_range())
    };
    let (head, _) = ui.allocate_exact_size(vec2(width, 38.0), Sense::hover());
    for (i, column) in Column::ALL.into_iter().enumerate() {
        let (word, tip) = column.words();
        let at = place(head, i);
        let corner = at.right_top() - vec2(END, -2.0);
        ui.painter().text(corner, Align2::RIGHT_TOP, word, fonts::small(), tokens.soft_ink);
        let unit = text::symbol(column.unit(), units);
        let corner = at.right_bottom() - vec2(END, 2.0);
        ui.painter().text(corner, Align2::RIGHT_BOTTOM, unit, fonts::small(), tokens.soft_ink);
        ui.interact(at, Id::unique(("records", word)), Sense::hover()).on_hover_text(tip);
    }
    ui.painter().hline(head.x_range(), head.bottom(), Stroke::new(1.0, tokens.line));
    for month in Month::ALL {
        let (rect, _) = ui.allocate_exact_size(vec2(width, ROW), Sense::hover());
        ui.painter().text(rect.left_center(), Align2::LEFT_CENTER, month.name(), fonts::body(), tokens.ink);
        let mut ids = Vec::new();
        for (i, column) in Column::ALL.into_iter().enumerate() {
            ids.push(cell_ui(ui, view, state, (month, column), place(rect, i), actions));
        }
        ui.painter().hline(rect.x_range(), rect.bottom(), Stroke::new(1.0, tokens.line));
        for id in ids {
            entry::fault_ui(ui, tokens, id, &state.entries);
        }
    }
}

fn cell_ui(
    ui: &mut Ui,
    view: &View<'_>,
    state: &mut BriefState,
    (month, column): (Month, Column),
    rect: Rect,
    actions: &mut Actions,
) -> Id {
    let (word, _) = column.words();
    let units = view.units();
    let means = view.project().brief.months.iter().find(|it| it.month == month);
    let partial = state.partial.entry(month).or_default();
    let id = Id::unique(("month", month, word));
    let shown = column.shown(means, *partial, units);
    let cell = Cell {
        id,
        name: &format!("{} {word}", month.name()),
        step: &format!("{word} of {}", month.name()),
        shown: &shown,
        hint: "",
        align: Align::Max,
    };
    let mut desk = Desk { view, entries: &mut state.entries, actions };
    typed_ui(ui, &mut desk, rect, &cell, |brief, typed| set(brief, partial, (month, column), typed, units));
    id
}

/// Sets a datum of a month. A month without a record gets one as soon as both its sun and its temperature are known.
fn set(
    brief: &mut Brief,
    partial: &mut (Option<SunHours>, Option<Celsius>),
    (month, column): (Month, Column),
    typed: &str,
    units: UnitSystem,
) -> Result<(), String> {
    if let Some(means) = brief.months.iter_mut().find(|it| it.month == month) {
        return column.set(means, typed, units);
    }
    match column {
        Column::Sun => partial.0 = read_optional(typed, units)?,
        Column::Temperature => partial.1 = read_optional(typed, units)?,
        Column::Range | Column::Wind | Column::Albedo | Column::Dirt | Column::Snow => {
            return Err("Give the sun and the temperature of the month first.".to_owned());
        }
    }
    if let (Some(sun), Some(temperature)) = *partial {
        brief.months.push(MonthlyMeans::new(month, sun, temperature));
        brief.months.sort_by_key(|it| it.month);
    }
    Ok(())
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_month_is_recorded_when_both_are_known() {
        let mut brief = Brief::default();
        let mut partial = (None, None);
        let mut type_in = |brief: &mut Brief, column, typed| {
            set(brief, &mut partial, (Month::May, column), typed, UnitSystem::Si)
        };
        assert_eq!(type_in(&mut brief, Column::Sun, "5.1"), Ok(()));
        assert!(brief.months.is_empty());
        assert!(type_in(&mut brief, Column::Dirt, "3").is_err());
        assert_eq!(type_in(&mut brief, Column::Temperature, "12"), Ok(()));
        assert_eq!(brief.months, [MonthlyMeans::new(Month::May, SunHours::new(5.1), Celsius::new(12.0))]);
        assert_eq!(type_in(&mut brief, Column::Sun, "4.9"), Ok(()));
        assert_eq!(brief.months.first().map(|it| it.sun), Some(SunHours::new(4.9)));
    }
}
