//! Loads from elsewhere: new lines, the list of usual appliances, a pasted or a read table, with a report of the rows that
//! were refused.

use super::cells::{changed, step};
use super::{BriefState, lines};
use crate::window::action::{Action, Actions};
use crate::window::command::Command;
use crate::window::fonts;
use crate::window::view::View;
use egui::{Frame, Label, Margin, RichText, ScrollArea, Stroke, Ui};
use lineside_core::project::{Brief, LoadItem};
use lineside_core::units::text::{self, UnitSystem};
use lineside_energy::import;
use lineside_energy::loads::Appliance;

/// What came of a table that was taken over.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Report {
    /// How many lines were added, in words.
    pub taken: String,
    /// What a person should know of it.
    pub remarks: Vec<String>,
    /// What was refused, and why.
    pub refused: Vec<String>,
}

impl Report {
    fn of(taken: usize, refused: Vec<String>) -> Self {
        let taken = match taken {
            0 => "Nothing was added.".to_owned(),
            1 => "One load was added.".to_owned(),
            many => format!("{} loads were added.", text::count(many)),
        };
        Self { taken, remarks: Vec::new(), refused }
    }
    /// Of something that could not be read at all.
    pub fn nothing(refused: Vec<String>) -> Self {
        Self::of(0, refused)
    }
}

/// Adds loads at the end of the table, as one step.
fn add(view: &View<'_>, label: &str, loads: Vec<LoadItem>, actions: &mut Actions) -> Result<(), String> {
    let brief = changed(view, |brief| {
        brief.loads.extend(loads);
        Ok(())
    })?;
    actions.push(Action::Make(step(label, brief), None));
    Ok(())
}

/// A brief with the loads of a table added: CSV, or what a spreadsheet puts on the clipboard. `Err` when the table cannot be
/// read at all.
pub fn with_loads_of(before: &Brief, bytes: &[u8]) -> Result<(Brief, Report), Vec<String>> {
    let in_words =
        |faults: Vec<import::ImportFault>| faults.iter().map(ToString::to_string).collect::<Vec<_>>();
    let table = import::load_table(bytes).map_err(in_words)?;
    let mut report = Report::of(table.loads.len(), in_words(table.refused));
    report.remarks = table.remarks;
    let mut brief = before.clone();
    brief.loads.extend(table.loads);
    Ok((brief, report))
}

/// A brief with the months of an hourly weather file.
pub fn with_weather_of(
    before: &Brief,
    bytes: &[u8],
    name: &str,
    units: UnitSystem,
) -> Result<(Brief, Report), Vec<String>> {
    let hours = import::weather(bytes)
        .map_err(|faults| faults.iter().map(ToString::to_string).collect::<Vec<_>>())?;
    let mut brief = before.clone();
    let remarks = hours.fill(&mut brief, name, units);
    Ok((
        brief,
        Report { taken: format!("The weather of {name} was taken over."), remarks, refused: Vec::new() },
    ))
}

/// Takes over a table that was pasted.
pub(super) fn take_table(view: &View<'_>, state: &mut BriefState, bytes: &[u8], actions: &mut Actions) {
    let report = match with_loads_of(&view.project().brief, bytes) {
        Err(refused) => Report::nothing(refused),
        Ok((brief, report)) => {
            if brief != view.project().brief {
                actions.push(Action::Make(step("take loads over", brief), None));
            }
            report
        }
    };
    state.report = Some(report);
}

pub(super) fn bar_ui(ui: &mut Ui, view: &View<'_>, state: &mut BriefState, actions: &mut Actions) {
    ui.horizontal_wrapped(|ui| {
        if ui.button("Add a load").clicked() {
            let line = view.project().brief.loads.len();
            if let Err(why) = add(view, "add load", vec![lines::new()], actions) {
                actions.push(Action::Say(why, None));
            }
            state.focus = Some(line);
        }
        ui.menu_button("Usual appliances", |ui| appliances_ui(ui, view, actions));
        let paste = ui.button("Paste a table");
        let tip = "A table from a spreadsheet: its first row names the columns, such as name, watts, quantity, hours, days, \
                   start, surge, power factor, current, waits, months.";
        if paste.on_hover_text(tip).clicked() {
            actions.push(Action::Do(Command::Paste));
        }
        if ui.button("Read a file…").on_hover_text("A load table as CSV, or a year of metered hours: month, day, hour, and ac or dc in watts.").clicked() {
            actions.push(Action::ReadLoads);
        }
    });
}

fn appliances_ui(ui: &mut Ui, view: &View<'_>, actions: &mut Actions) {
    let all = &view.engine.energy.appliances;
    let mut groups: Vec<&str> = Vec::new();
    for it in all {
        if !groups.contains(&it.group.as_str()) {
            groups.push(&it.group);
        }
    }
    for group in groups {
        ui.menu_button(group, |ui| {
            ScrollArea::vertical().max_height(420.0).show(ui, |ui| {
                for it in all.iter().filter(|it| it.group == group) {
                    appliance_ui(ui, view, it, actions);
                }
            });
        });
    }
}

fn appliance_ui(ui: &mut Ui, view: &View<'_>, it: &Appliance, actions: &mut Actions) {
    let watts = |watts: lineside_core::units::Watts| text::plain(watts.into(), view.units());
    let button = ui.button(format!("{}, {}", it.item.name, watts(it.item.power)));
    let range = format!("Such things take {} to {}.", watts(it.range.0), watts(it.range.1));
    let tip = if it.note.is_empty() { range } else { format!("{range}\n{}", it.note) };
    if button.on_hover_text(tip).clicked() {
        if let Err(why) = add(view, "add appliance", vec![it.item.clone()], actions) {
            actions.push(Action::Say(why, None));
        }
        ui.close();
    }
}

pub(super) fn report_ui(ui: &mut Ui, view: &View<'_>, state: &mut BriefState) {
    let Some(report) = &state.report else { return };
    let tokens = view.tokens;
    let edge = if report.refused.is_empty() { tokens.line } else { tokens.correction };
    let mut close = false;
    Frame::new()
        .fill(tokens.card)
        .stroke(Stroke::new(1.0, edge))
        .corner_radius(4.0)
        .inner_margin(Margin::symmetric(12, 8))
        .show(ui, |ui| {
            ui.horizontal(|ui| {
                ui.label(&report.taken);
                if !report.refused.is_empty() {
                    let count = text::count(report.refused.len());
                    ui.label(RichText::new(format!("Refused: {count}")).color(tokens.correction));
                }
                close = ui.button("Close the report").clicked();
            });
            ScrollArea::vertical().max_height(130.0).auto_shrink([false, true]).id_salt("report").show(
                ui,
                |ui| {
                    for line in report.remarks.iter().chain(&report.refused) {
                        ui.add(Label::new(RichText::new(line).font(fonts::small())).wrap());
                    }
                },
            );
        });
    ui.add_space(6.0);
    if close {
        state.report = None;
    }
}
