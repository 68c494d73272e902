//! The Draft area: stock shelf at the left, sheet in the middle, nameplate and ladder at the right, findings
//! below.

mod explanation;
mod figures;
pub mod findings;
pub mod fitting;
pub mod ladder;
pub mod nameplate;
pub mod remedies;
pub mod sheet;
pub mod shelf;
mod shelf_templates;
mod working;

use super::room;
use crate::window::action::Actions;
use crate::window::marks::Openness;
use crate::window::selection::Selection;
use crate::window::view::{Panels, View};
use egui::{Frame, Id, Label, Margin, Panel, RichText, ScrollArea, Ui, vec2};
use std::collections::BTreeSet;

/// In windows lower than this, the sheet must not lose more room to the findings.
const LOW: f32 = 620.0;

/// Height of the findings with four rows of their list: margins, two lines of head, the heads of columns, rows.
const FOUR_ROWS: f32 = 206.0;

/// What is shown beside the sheet where there is no room for all.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, PartialOrd, Ord)]
pub enum Part {
    /// The sheet alone.
    #[default]
    Sheet,
    /// The stock shelf.
    Stock,
    /// The nameplate.
    Nameplate,
    /// The ladder of what is selected.
    Ladder,
    /// The findings.
    Findings,
}

/// The parts that were hidden by hand.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Hidden(BTreeSet<Part>);

impl Hidden {
    /// Whether a part is hidden.
    pub fn has(&self, part: Part) -> bool {
        self.0.contains(&part)
    }
    /// Hides a part, or shows it again.
    pub fn toggle(&mut self, part: Part) {
        if !self.0.remove(&part) {
            self.0.insert(part);
        }
    }
    /// Shows a part that is wanted.
    pub fn show(&mut self, part: Part) {
        self.0.remove(&part);
    }
}

/// The area. Gives back what is under the pointer, in words.
pub fn draft_ui(ui: &mut Ui, view: &View<'_>, panels: &mut Panels, actions: &mut Actions) -> String {
    if ui.available_width() < room::NARROW {
        return narrow_ui(ui, view, panels, actions);
    }
    let tokens = view.tokens;
    let (width, height) = (ui.available_width(), ui.available_height());
    let shown = |part| !view.hidden.has(part);
    // What was dragged to a width at one scale of the window would take too much from the sheet at another.
    let id = |name| Id::unique((name, view.settings.scale_percent));
    let below = shown(Part::Findings).then(|| {
        let panel = Panel::bottom(id("findings"))
            .resizable(true)
            .default_size((height * 0.27).clamp(FOUR_ROWS, 230.0))
            .size_range(90.0..=if height < LOW { (height * 0.34).min(FOUR_ROWS) } else { height * 0.6 })
            .frame(findings::frame_of(tokens));
        room::reserve(ui, panel)
    });
    let left = shown(Part::Stock).then(|| {
        let panel = Panel::left(id("shelf"))
            .resizable(true)
            .default_size((width * 0.165).clamp(190.0, 240.0))
            .size_range(150.0..=360.0)
            .frame(shelf::frame_of(tokens));
        room::reserve(ui, panel)
    });
    let right = shown(Part::Nameplate).then(|| {
        let panel = Panel::right(id("nameplate"))
            .resizable(true)
            .default_size((width * 0.225).clamp(270.0, 330.0))
            .size_range(240.0..=460.0)
            .frame(nameplate::frame_of(tokens));
        room::reserve(ui, panel)
    });
    let middle = ui.available_rect_before_wrap();
    if let Some(left) = left {
        room::fill(ui, "stock", left, |ui| shelf::shelf_ui(ui, view, &mut panels.shelf, actions));
    }
    let hint = room::fill(ui, "sheet", middle, |ui| sheet::sheet_ui(ui, view, &mut panels.sheet, actions));
    let subject = findings::subject(view).map(Selection::only);
    let view = &of_subject(view, subject.as_ref());
    if let Some(right) = right {
        room::fill(ui, "plate", right, |ui| plate_ui(ui, view, panels, actions));
    }
    if let Some(below) = below {
        room::fill(ui, "found", below, |ui| findings::findings_ui(ui, view, &mut panels.findings, actions));
    }
    // Drawn before the findings, the sheet shows the remedy that is pointed at from the next frame on.
    let shown = pointed(panels);
    panels.sheet.propose(shown, ui.ctx());
    hint
}

/// The area where there is little room: the sheet, and one other part beside or below it.
fn narrow_ui(ui: &mut Ui, view: &View<'_>, panels: &mut Panels, actions: &mut Actions) -> String {
    // Commands that go to a part show it.
    if panels.shelf.focus_search {
        panels.part = Part::Stock;
    } else if panels.nameplate.focus_first {
        panels.part = Part::Nameplate;
    } else if panels.findings.scroll {
        panels.part = Part::Findings;
    }
    let parts = [
        (Part::Sheet, "Sheet"),
        (Part::Stock, "Stock"),
        (Part::Nameplate, "Nameplate"),
        (Part::Ladder, "Ladder"),
        (Part::Findings, "Findings"),
    ];
    room::parts_ui(ui, view, &parts, &mut panels.part);
    let tokens = view.tokens;
    let (width, height) = (ui.available_width(), ui.available_height());
    let aside = match panels.part {
        Part::Sheet => None,
        Part::Stock => Some(
            Panel::left("narrow shelf").exact_size((width * 0.45).min(220.0)).frame(shelf::frame_of(tokens)),
        ),
        Part::Nameplate | Part::Ladder => {
            let size = (width * 0.62).min(300.0);
            Some(Panel::right("narrow plate").exact_size(size).frame(nameplate::frame_of(tokens)))
        }
        Part::Findings => {
            let size = (height * 0.62).max(120.0);
            Some(Panel::bottom("narrow findings").exact_size(size).frame(findings::frame_of(tokens)))
        }
    };
    let aside = aside.map(|panel| room::reserve(ui, panel.resizable(false)));
    let middle = ui.available_rect_before_wrap();
    if let (Some(rect), Part::Stock) = (aside, panels.part) {
        room::fill(ui, "stock", rect, |ui| shelf::shelf_ui(ui, view, &mut panels.shelf, actions));
    }
    let hint = room::fill(ui, "sheet", middle, |ui| sheet::sheet_ui(ui, view, &mut panels.sheet, actions));
    let subject = findings::subject(view).map(Selection::only);
    let view = &of_subject(view, subject.as_ref());
    if let (Some(rect), Part::Nameplate) = (aside, panels.part) {
        let plate = &mut panels.nameplate;
        room::fill(ui, "plate", rect, |ui| nameplate::nameplate_ui(ui, view, plate, actions));
    }
    if let (Some(rect), Part::Ladder) = (aside, panels.part) {
        room::fill(ui, "ladder", rect, |ui| ladder_alone_ui(ui, view, &mut panels.ladder, actions));
    }
    if let (Some(rect), Part::Findings) = (aside, panels.part) {
        room::fill(ui, "found", rect, |ui| findings::findings_ui(ui, view, &mut panels.findings, actions));
    }
    let shown = pointed(panels);
    panels.sheet.propose(shown, ui.ctx());
    hint
}

/// What the panels beside the sheet look at: what is selected, or the subject of the finding that selected it.
fn of_subject<'a>(view: &View<'a>, subject: Option<&'a Selection>) -> View<'a> {
    View { selection: subject.unwrap_or(view.selection), ..*view }
}

/// The nameplate, and below it the ladder whenever there is one for what is selected.
fn plate_ui(ui: &mut Ui, view: &View<'_>, panels: &mut Panels, actions: &mut Actions) {
    let ladder = ladder::of_selection(view, &panels.ladder);
    let openness = panels.ladder.openness(ui.available_height());
    let below = ladder.as_ref().map(|ladder| {
        let panel = Panel::bottom("ladder")
            .exact_size(ladder.height(ui.available_height(), openness))
            .frame(Frame::new().inner_margin(Margin { left: 0, right: 10, top: 8, bottom: 8 }));
        room::reserve(ui, panel)
    });
    let above = ui.available_rect_before_wrap();
    room::fill(ui, "data", above, |ui| nameplate::nameplate_ui(ui, view, &mut panels.nameplate, actions));
    if let (Some(ladder), Some(below)) = (ladder, below) {
        room::fill(ui, "ladder", below, |ui| {
            ladder::ladder_ui(ui, view, &mut panels.ladder, (&ladder, Some(openness)), actions);
        });
    }
}

/// What somebody points at to see it on the sheet: a remedy, or an item of stock.
fn pointed(panels: &mut Panels) -> Option<sheet::Proposed> {
    let item = panels.shelf.fitting.take_pointed();
    panels.findings.remedies.take_pointed().or(item)
}

/// The ladder where it has its part of the area for itself.
fn ladder_alone_ui(ui: &mut Ui, view: &View<'_>, state: &mut ladder::LadderState, actions: &mut Actions) {
    let Some(ladder) = ladder::of_selection(view, state) else {
        let words = "Select a block or a run to see the ladder of its zone.";
        ui.add(Label::new(RichText::new(words).color(view.tokens.soft_ink)).wrap());
        return;
    };
    ScrollArea::vertical().auto_shrink(false).show(ui, |ui| {
        let size = vec2(ui.available_width() - 10.0, ladder.height(f32::INFINITY, Openness::Open));
        ui.allocate_ui(size, |ui| ladder::ladder_ui(ui, view, state, (&ladder, None), actions));
    });
}
