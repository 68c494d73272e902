//! Where the plots stand: in two columns where there is room, one alone when it is enlarged.

use super::{Found, Which, YearState, carpet, chemistries, duration, months, spread, week};
use crate::energy_year::{NoYear, SheetYear};
use crate::window::action::Actions;
use crate::window::fonts;
use crate::window::plot::{Extent, Plot, Toggle, plot_card};
use crate::window::view::View;
use egui::{FontId, Frame, Label, Margin, RichText, ScrollArea, Stroke, Ui, Vec2, vec2};

const GAP: f32 = 12.0;
/// Plots are no lower than this.
const LOWEST: f32 = 236.0;
/// Two columns need so much.
const TWO: f32 = 760.0;

pub(super) fn plots_ui(ui: &mut Ui, view: &View<'_>, state: &mut YearState, actions: &mut Actions) {
    let Some(found) = state.found.take() else {
        ui.label(RichText::new("The year is being gone through…").color(view.tokens.soft_ink));
        return;
    };
    match found.year.as_ref() {
        Err(NoYear(reasons)) => cannot_ui(ui, view, reasons),
        Ok(year) => all_ui(ui, view, state, (&found, year), actions),
    }
    state.found = Some(found);
}

fn cannot_ui(ui: &mut Ui, view: &View<'_>, reasons: &[String]) {
    let tokens = view.tokens;
    Frame::new()
        .fill(tokens.card)
        .stroke(Stroke::new(1.0, tokens.line))
        .corner_radius(6.0)
        .inner_margin(Margin::symmetric(18, 14))
        .show(ui, |ui| {
            ui.set_width(ui.available_width().min(620.0) - 40.0);
            let title = RichText::new("The sheet cannot be run");
            ui.label(title.font(FontId::new(fonts::HEADING, fonts::strong())));
            ui.add_space(4.0);
            let why = "A year needs a bank, a site with its sun and temperature, and something to run. What is missing:";
            ui.add(Label::new(why).wrap());
            for reason in reasons {
                ui.horizontal_wrapped(|ui| {
                    ui.label("–");
                    ui.add(Label::new(capital(reason)).wrap());
                });
            }
            ui.add_space(4.0);
            let how = "The Brief holds site and loads; the bank stands on the sheet in Draft.";
            ui.add(Label::new(RichText::new(how).color(tokens.soft_ink)).wrap());
        });
}

fn capital(text: &str) -> String {
    let mut letters = text.chars();
    letters.next().map_or_else(String::new, |first| first.to_uppercase().chain(letters).collect())
}

fn all_ui(
    ui: &mut Ui,
    view: &View<'_>,
    state: &mut YearState,
    (found, year): (&Found, &SheetYear),
    actions: &mut Actions,
) {
    let room = ui.available_size();
    if let Some(which) = state.enlarged {
        one_ui(ui, view, state, (found, year, which), (room - vec2(0.0, 4.0), Extent::Alone), actions);
        return;
    }
    ScrollArea::vertical().auto_shrink(false).show(ui, |ui| {
        ui.spacing_mut().item_spacing = vec2(GAP, GAP);
        let width = ui.available_width() - 12.0;
        let height = ((room.y - 2.0 * GAP) / 2.6).max(LOWEST);
        let two = width >= TWO;
        let rows: &[&[Which]] = if two {
            &[
                &[Which::Months, Which::Carpet],
                &[Which::Week],
                &[Which::Charge, Which::Unmet],
                &[Which::Spread, Which::Chemistries],
            ]
        } else {
            &[
                &[Which::Months],
                &[Which::Carpet],
                &[Which::Week],
                &[Which::Charge],
                &[Which::Unmet],
                &[Which::Spread],
                &[Which::Chemistries],
            ]
        };
        for row in rows {
            let count = row.len() as f32;
            let size = vec2((width - GAP * (count - 1.0)) / count, height);
            ui.horizontal_top(|ui| {
                for which in *row {
                    one_ui(ui, view, state, (found, year, *which), (size, Extent::Among), actions);
                }
            });
        }
    });
}

fn one_ui(
    ui: &mut Ui,
    view: &View<'_>,
    state: &mut YearState,
    (found, year, which): (&Found, &SheetYear, Which),
    (size, extent): (Vec2, Extent),
    actions: &mut Actions,
) {
    let units = view.units();
    let mut show = |state: &mut YearState, plot: &dyn Plot| {
        let remembered = state.plots.get_mut(which as usize)?;
        let (place, response, toggle) =
            ui.vertical(|ui| plot_card(ui, view, remembered, plot, (size, extent), actions)).inner;
        if toggle == Toggle::Yes {
            state.enlarged = if extent == Extent::Alone { None } else { Some(which) };
        }
        response.clicked().then_some(place).flatten()
    };
    match which {
        Which::Months => {
            show(state, &months::Months { outcome: &year.outcome, units });
        }
        Which::Carpet => {
            let clicked = show(state, &carpet::Carpet { hours: &year.hours, units });
            if let Some(hour) = clicked {
                state.first_day = Some((hour / 24).saturating_sub(3).min(lineside_energy::DAYS - 7));
            }
        }
        Which::Week => {
            let worst = year.week.map_or(0, |week| week.first_day);
            let first_day = state.first_day.unwrap_or(worst);
            let is_worst = state.first_day.is_none_or(|day| day == worst);
            let plot = week::WeekPlot { hours: &year.hours, first_day, is_worst, units };
            week::card_ui(ui, view, state, &plot, (size, extent), actions);
        }
        Which::Charge => {
            show(state, &duration::Charge { curve: &year.charge, units });
        }
        Which::Unmet => {
            show(state, &duration::Unmet { curve: &year.unmet, units });
        }
        Which::Spread => {
            show(state, &spread::SpreadPlot { many: found.many.as_ref(), typical: &year.outcome, units });
        }
        Which::Chemistries => {
            let money = &year.money;
            show(state, &chemistries::Chemistries { all: &found.alternatives, money });
        }
    }
}
