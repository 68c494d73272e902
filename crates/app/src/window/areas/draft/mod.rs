//! The Draft area: stock shelf at the left, sheet in the middle, nameplate and ladder at the right, findings
//! below.

mod figures;
pub mod findings;
pub mod ladder;
pub mod nameplate;
pub mod remedies;
pub mod sheet;
pub mod shelf;
mod shelf_templates;
mod working;

use crate::window::action::Actions;
use crate::window::view::{Panels, View};
use egui::{CentralPanel, Frame, Margin, Panel, Ui};

/// In windows lower than this, the sheet must not lose more room to the findings.
const LOW: f32 = 620.0;

/// The area. Gives back what is under the pointer, in words.
pub fn draft_ui(ui: &mut Ui, view: &View<'_>, panels: &mut Panels, actions: &mut Actions) -> String {
    let tokens = view.tokens;
    let (width, height) = (ui.available_width(), ui.available_height());
    Panel::bottom("findings")
        .resizable(true)
        .default_size((height * 0.27).clamp(150.0, 230.0))
        .size_range(90.0..=if height < LOW { height * 0.3 } else { height * 0.6 })
        .frame(findings::frame_of(tokens))
        .show(ui, |ui| findings::findings_ui(ui, view, &mut panels.findings, actions));
    Panel::left("shelf")
        .resizable(true)
        .default_size((width * 0.165).clamp(190.0, 240.0))
        .size_range(150.0..=360.0)
        .frame(shelf::frame_of(tokens))
        .show(ui, |ui| shelf::shelf_ui(ui, view, &mut panels.shelf, actions));
    Panel::right("nameplate")
        .resizable(true)
        .default_size((width * 0.225).clamp(270.0, 330.0))
        .size_range(240.0..=460.0)
        .frame(nameplate::frame_of(tokens))
        .show(ui, |ui| {
            ladder_below(ui, view, &mut panels.ladder, actions);
            nameplate::nameplate_ui(ui, view, &mut panels.nameplate, actions);
        });
    panels.sheet.propose(panels.findings.remedies.take_pointed());
    CentralPanel::no_frame().show(ui, |ui| sheet::sheet_ui(ui, view, &mut panels.sheet, actions)).inner
}

/// The ladder has its place under the nameplate whenever there is one for what is selected.
fn ladder_below(ui: &mut Ui, view: &View<'_>, state: &mut ladder::LadderState, actions: &mut Actions) {
    let Some(ladder) = ladder::of_selection(view, state) else { return };
    let height = ladder.height(ui.available_height());
    Panel::bottom("ladder")
        .exact_size(height)
        .frame(Frame::new().inner_margin(Margin { left: 0, right: 10, top: 8, bottom: 8 }))
        .show(ui, |ui| ladder::ladder_ui(ui, view, state, &ladder, actions));
}
