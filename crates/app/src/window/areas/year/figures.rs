//! The key figures of the year, each with a word of what it means, and what the year leaves out or assumes.

use super::words::{days, figure, moment, money, whole_hours, years};
use super::{Found, YearState, chemistries};
use crate::energy_year::SheetYear;
use crate::window::fonts;
use crate::window::view::View;
use egui::{Align, FontId, Label, Layout, RichText, ScrollArea, Stroke, Ui, vec2};
use lineside_core::units::{Hours, Percent, text};
use lineside_energy::money::{PartLife, WornPart};
use lineside_energy::{Better, StatementKind};

/// A figure: what it is called, its value, what it means.
struct Row {
    name: String,
    value: String,
    meaning: String,
}

fn row(name: &str, value: String, meaning: impl Into<String>) -> Row {
    Row { name: name.to_owned(), value, meaning: meaning.into() }
}

pub(super) fn figures_ui(ui: &mut Ui, view: &View<'_>, state: &YearState) {
    let Some(found) = &state.found else { return };
    let Ok(year) = found.year.as_ref() else { return };
    let (from, to) = (ui.min_rect().left(), ui.max_rect().right());
    ui.painter().hline(from..=to, ui.cursor().top(), Stroke::new(1.0, view.tokens.line));
    ui.add_space(6.0);
    ScrollArea::vertical().auto_shrink(false).id_salt("figures").show(ui, |ui| {
        ui.set_max_width(ui.available_width() - 10.0);
        ui.spacing_mut().item_spacing.y = 0.0;
        group(ui, view, "Loads", &loads(view, year));
        group(ui, view, "Sun and supplies", &supplies(view, year));
        group(ui, view, "Bank", &bank(view, year));
        group(ui, view, "Life and money", &life(year));
        if let Some(rows) = many(view, found) {
            group(ui, view, "One year in ten", &rows);
        }
        said(ui, view, year);
    });
}

fn group(ui: &mut Ui, view: &View<'_>, title: &str, rows: &[Row]) {
    let tokens = view.tokens;
    ui.add_space(6.0);
    ui.label(RichText::new(title).font(FontId::new(fonts::HEADING, fonts::strong())));
    ui.add_space(2.0);
    for row in rows {
        ui.allocate_ui_with_layout(
            vec2(ui.available_width(), 20.0),
            Layout::right_to_left(Align::Center),
            |ui| {
                ui.label(RichText::new(&row.value).font(FontId::new(fonts::BODY, fonts::strong())));
                ui.with_layout(Layout::left_to_right(Align::Center), |ui| {
                    ui.add(Label::new(RichText::new(&row.name)).truncate());
                });
            },
        );
        if !row.meaning.is_empty() {
            let soft = RichText::new(&row.meaning).font(fonts::small()).color(tokens.soft_ink);
            ui.add(Label::new(soft).wrap());
        }
        ui.add_space(4.0);
    }
}

fn loads(view: &View<'_>, year: &SheetYear) -> Vec<Row> {
    let (units, it) = (view.units(), &year.outcome);
    let gap = it.longest_gap_ends.map_or_else(
        || "Everything is served in every hour.".to_owned(),
        |hour| {
            format!(
                "Hours on end with something short, until {}.",
                moment((hour + 1).min(lineside_energy::HOURS - 1))
            )
        },
    );
    let mut rows = vec![
        row("Unmet", figure(it.year.unmet(), units), {
            let share = figure(it.unmet_share, units);
            let allowed = view.project().brief.goals.unmet_share;
            let allowed = allowed
                .map_or_else(String::new, |most| format!("; the brief allows {}", figure(most, units)));
            format!("{share} of {} that cannot wait{allowed}.", figure(it.year.demand(), units))
        }),
        row("Unmet hours", whole_hours(it.year.unmet_hours), "Hours in which something went short."),
        row("Longest gap", whole_hours(it.longest_gap), gap),
        row("Served", figure(it.year.served(), units), "Everything that loads got."),
    ];
    if it.year.waiting_demand > it.year.waiting_served {
        let short = figure(it.year.unmet_waiting, units);
        rows.push(row("Waited in vain", short, "Of loads that wait for sun within their day."));
    }
    rows
}

fn supplies(view: &View<'_>, year: &SheetYear) -> Vec<Row> {
    let (units, it) = (view.units(), &year.outcome);
    let sums = &it.year;
    let mut rows = vec![
        row("Sun used", figure(sums.sun_used, units), {
            let (used, share) = (figure(it.sun_used_share, units), figure(it.sun_share, units));
            format!("{used} of what the array could give; {share} of everything supplied.")
        }),
        row("Clipped", figure(sums.sun_limited, units), "More than controllers or PV inverters pass."),
        row("Unused", figure(sums.curtailed, units), "The bank was full and nobody asked for it."),
    ];
    if year.system.generator.is_some() {
        let starts = match sums.generator_starts {
            1 => "1 start".to_owned(),
            many => format!("{} starts", text::count(many as usize)),
        };
        let noise = whole_hours(sums.noise_hours);
        let low = whole_hours(sums.low_load_hours);
        rows.push(row("Generator", whole_hours(sums.generator_hours), {
            let allowed = view.project().brief.goals.generator_hours;
            let allowed =
                allowed.map_or_else(String::new, |most| format!(" The brief allows {}.", whole_hours(most)));
            format!("{starts}; {noise} in quiet hours, {low} at too low a load.{allowed}")
        }));
        rows.push(row("Fuel", figure(sums.fuel, units), "What the generator burns in the year."));
    }
    if year.system.utility.is_some() {
        rows.push(row("From the utility", figure(sums.import, units), "Bought in the year."));
        rows.push(row("To the utility", figure(sums.export, units), "Given to the utility in the year."));
    }
    rows
}

fn bank(view: &View<'_>, year: &SheetYear) -> Vec<Row> {
    let (units, it) = (view.units(), &year.outcome);
    let mut rows = Vec::new();
    if let Some(reserve) = it.reserve {
        let wished = view.project().brief.goals.reserve;
        let wished = wished.map_or_else(String::new, |hours| format!(" The brief asks for {}.", days(hours)));
        rows.push(row("Reserve, least", days(reserve.least), {
            let mean = days(reserve.mean);
            format!("How long the bank alone carries a mean day’s loads, at six on the worst morning; {mean} on average.{wished}")
        }));
    }
    let lowest = it.lowest_charge.iter().map(|(_, charge)| charge).fold(Percent::new(100.0), Percent::min);
    rows.push(row("Lowest charge", figure(lowest, units), {
        format!("Mean of the year {}.", figure(it.mean_charge, units))
    }));
    let cycles = lineside_core::units::Quantity::number(it.full_cycles);
    rows.push(row("Full cycles", text::figure(cycles, units), {
        let wear = figure(Percent::from_share(it.wear.of_cycle_life), units);
        format!("Charge taken out over the capacity; wears {wear} of the cycle life.")
    }));
    if year.system.bank.cell.chemistry.is_flooded() {
        rows.push(row("Water", figure(it.water, units), "Distilled water to refill in the year."));
    }
    rows
}

const fn part(life: &PartLife) -> &'static str {
    match life.part {
        WornPart::Battery => "Bank lasts",
        WornPart::Electronics => "Electronics last",
        WornPart::Engine => "Engine lasts",
    }
}

fn life(year: &SheetYear) -> Vec<Row> {
    let money_of_life = &year.money;
    let currency = &money_of_life.currency;
    let mut rows: Vec<Row> = year
        .lives
        .iter()
        .enumerate()
        .map(|(index, life)| {
            let again = money_of_life.life.as_ref().map_or_else(Vec::new, |money| {
                let of_part = money.replacements.iter().filter(|it| it.part == index);
                of_part.map(|it| years(it.after)).collect()
            });
            let again = match again.as_slice() {
                [] => format!("Not bought again within {} years.", money_of_life.years),
                dates => format!("Bought again after {}.", dates.join(", ")),
            };
            let hopeful = if life.hopeful > life.cautious {
                format!("Up to {} if only the worst of cycling and age counts. ", years(life.hopeful))
            } else {
                String::new()
            };
            row(part(life), years(life.cautious), format!("{hopeful}{again}"))
        })
        .collect();
    let costs = &money_of_life.costs;
    let typical = if costs.typical > 0 { ", typical prices where the book has none" } else { "" };
    match &money_of_life.life {
        Some(life) => {
            rows.push(row("Lifetime cost", money(life.present_cost, currency), {
                let first = money(costs.total(), currency);
                format!(
                    "Array, bank, electronics, engine, fuel and upkeep over {} years at today’s value{typical}; {first} at \
                     first. Wiring, devices and work are not in it.",
                    money_of_life.years
                )
            }));
            if let Some(each) = life.per_kilowatt_hour {
                rows.push(row(
                    "Per delivered kWh",
                    money(each, currency),
                    "Lifetime cost over what loads get.",
                ));
            }
        }
        None => rows.push(row("Lifetime cost", "unknown".to_owned(), {
            match costs.without.as_slice() {
                [] => "There is no price of upkeep in the currency of the price book.".to_owned(),
                tags => format!("There is no price of {} in the price book.", tags.join(", ")),
            }
        })),
    }
    rows
}

fn many(view: &View<'_>, found: &Found) -> Option<Vec<Row>> {
    let (units, many) = (view.units(), found.many.as_ref()?);
    let unmet = many.spread(Better::Less, |year| year.year.unmet())?;
    let hours = many.spread(Better::Less, |year| year.year.unmet_hours)?;
    let reserve = many.spread(Better::More, |year| year.reserve.map_or(Hours::ZERO, |it| it.least))?;
    let mut rows = vec![
        row("Unmet, P90", figure(unmet.p90, units), {
            let half = figure(unmet.p50, units);
            format!("Of {} years, nine of ten do better; half do better than {half}.", many.years.len())
        }),
        row(
            "Unmet hours, P90",
            whole_hours(hours.p90),
            format!("Half of years: {}.", whole_hours(hours.p50)),
        ),
        row("Reserve, P90", days(reserve.p90), "On the worst morning of the year."),
    ];
    let generator = many.spread(Better::Less, |year| year.year.generator_hours)?;
    if generator.most > Hours::ZERO {
        let half = whole_hours(generator.p50);
        rows.push(row("Generator, P90", whole_hours(generator.p90), format!("Half of years: {half}.")));
    }
    Some(rows)
}

fn said(ui: &mut Ui, view: &View<'_>, year: &SheetYear) {
    let circuit = &view.project().circuit;
    let kinds =
        [(StatementKind::LeftOut, "What the year leaves out"), (StatementKind::Assumed, "What was assumed")];
    for (kind, title) in kinds {
        let statements = year.statements.iter().filter(|it| it.kind() == kind);
        let mut lines: Vec<String> = statements.map(|it| it.text(circuit, view.units())).collect();
        if kind == StatementKind::Assumed {
            lines.extend(year.remarks.iter().cloned());
            lines.push(chemistries::ASSUMED.to_owned());
        }
        if lines.is_empty() {
            continue;
        }
        ui.add_space(8.0);
        ui.label(RichText::new(title).font(FontId::new(fonts::HEADING, fonts::strong())));
        for line in lines {
            ui.add_space(3.0);
            let soft = RichText::new(format!("– {line}")).font(fonts::small()).color(view.tokens.soft_ink);
            ui.add(Label::new(soft).wrap());
        }
    }
    ui.add_space(12.0);
}
