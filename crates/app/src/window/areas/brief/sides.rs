//! What follows from the brief at once: the day profile, the months, what is missing and what is doubtful.

use super::months_plot::NeedPlot;
use super::profile_plot::ProfilePlot;
use super::{BriefState, Page};
use crate::window::action::Actions;
use crate::window::fonts;
use crate::window::plot::{Extent, plot_card};
use crate::window::view::View;
use egui::{FontId, Label, RichText, ScrollArea, Ui, vec2};
use lineside_core::project::Month;
use lineside_core::units::text;
use lineside_energy::loads::load_doubts;
use lineside_energy::{brief_lacks, loads};
use lineside_propose::Need;

const PLOT: f32 = 214.0;

pub(super) fn sides_ui(ui: &mut Ui, view: &View<'_>, state: &mut BriefState, actions: &mut Actions) {
    let brief = &view.project().brief;
    let units = view.units();
    let need = Need::of(&brief.loads);
    let asked = |month: Month| need.ac.of(month).value() + need.dc.of(month).value();
    let busiest = Month::ALL.into_iter().max_by(|a, b| asked(*a).total_cmp(&asked(*b)));
    let month = state.month.or(busiest).unwrap_or(Month::January);
    ScrollArea::vertical().auto_shrink(false).id_salt("what follows").show(ui, |ui| {
        ui.set_max_width(ui.available_width() - 10.0);
        let size = vec2(ui.available_width(), PLOT);
        let profile = ProfilePlot { profile: loads::day_profile(&brief.loads, month), month, units };
        let months = NeedPlot { need: &need, brief, units };
        let [of_day, of_year] = &mut state.plots;
        plot_card(ui, view, of_day, &profile, (size, Extent::Only), actions);
        ui.add_space(4.0);
        let (place, response, _) = plot_card(ui, view, of_year, &months, (size, Extent::Only), actions);
        if response.clicked() {
            state.month = place.and_then(|place| Month::ALL.into_iter().nth(place));
        }
        ui.add_space(6.0);
        figures_ui(ui, view, &need);
        let lacks = brief_lacks(brief, &view.engine.energy.defaults);
        list_ui(ui, view, "What is missing", &lacks);
        let doubts = load_doubts(&brief.loads, &brief.site, &view.engine.energy.appliances);
        let doubts: Vec<String> = doubts.iter().map(|doubt| doubt.text(&brief.loads, units)).collect();
        list_ui(ui, view, "What is doubtful", &doubts);
        if lacks.is_empty() && doubts.is_empty() {
            let words = "Nothing is missing, and nothing looks doubtful.";
            ui.label(RichText::new(words).color(view.tokens.soft_ink));
        } else if !lacks.is_empty() && state.page == Page::Loads {
            ui.add_space(4.0);
        }
    });
}

fn figures_ui(ui: &mut Ui, view: &View<'_>, need: &Need) {
    let figure = |quantity: lineside_core::units::Quantity| text::figure(quantity, view.units());
    let rows = [
        ("Every AC load at once", figure(need.connected.into())),
        ("Worst start while all runs", figure(need.surge.into())),
        ("Largest mean of an hour", figure(need.largest_hour.into())),
    ];
    for (name, value) in rows {
        ui.horizontal(|ui| {
            ui.label(RichText::new(name).color(view.tokens.soft_ink));
            ui.with_layout(egui::Layout::right_to_left(egui::Align::Center), |ui| {
                ui.label(RichText::new(value).font(FontId::new(fonts::BODY, fonts::strong())));
            });
        });
    }
}

fn capital(text: &str) -> String {
    let mut letters = text.chars();
    letters.next().map_or_else(String::new, |first| first.to_uppercase().chain(letters).collect())
}

fn list_ui(ui: &mut Ui, view: &View<'_>, title: &str, lines: &[String]) {
    if lines.is_empty() {
        return;
    }
    ui.add_space(8.0);
    ui.label(RichText::new(title).font(FontId::new(fonts::HEADING, fonts::strong())));
    for line in lines {
        ui.add_space(3.0);
        let soft = RichText::new(format!("– {}", capital(line))).font(fonts::small()).color(view.tokens.ink);
        ui.add(Label::new(soft).wrap());
    }
}
