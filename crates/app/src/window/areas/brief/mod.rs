//! The Brief: what the customer needs and where, on pages of their own; at the right what follows from it at once.

mod cells;
mod goals;
mod intake;
mod lines;
mod loads;
mod months_plot;
mod profile_plot;
mod project;
pub mod propose;
mod sides;
mod weather;

use super::room::{self, Half};
use crate::window::action::Actions;
use crate::window::entry::Entries;
use crate::window::fonts;
use crate::window::plot::PlotState;
use crate::window::style;
use crate::window::view::View;
use egui::{
    Button, CentralPanel, Context, Event, FontId, Frame, Margin, Panel, RichText, Role, Stroke, Ui,
    WidgetInfo,
};
use lineside_core::project::Month;

pub use intake::{Report, with_loads_of, with_weather_of};

/// A page of the brief.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum Page {
    /// The load table.
    #[default]
    Loads,
    /// Where the site is, and its weather records.
    Site,
    /// What the customer wants.
    Goals,
    /// Whole systems that answer the brief.
    Proposals,
    /// Title block, rule set, units.
    Project,
}

impl Page {
    /// Every page, in the order in which a job is taken on.
    pub const ALL: [Self; 5] = [Self::Loads, Self::Site, Self::Goals, Self::Proposals, Self::Project];
    /// Its title.
    pub const fn title(self) -> &'static str {
        match self {
            Self::Loads => "Loads",
            Self::Site => "Site and weather",
            Self::Goals => "Goals",
            Self::Proposals => "Proposals",
            Self::Project => "Title and rule set",
        }
    }
}

/// What the area remembers.
#[derive(Default)]
pub struct BriefState {
    /// The page that is open.
    pub page: Page,
    /// What came of the table that was taken over last.
    pub report: Option<Report>,
    entries: Entries,
    /// The line whose name is to be typed next.
    focus: Option<usize>,
    /// The month of the day profile, when a person chose one.
    month: Option<Month>,
    /// What was typed of months that have no record yet.
    partial: weather::Partial,
    plots: [PlotState; 2],
    /// The proposals.
    pub propose: propose::ProposeState,
    /// What is shown where there is room for one half.
    half: Half,
}

impl BriefState {
    /// Forgets what is being typed, when the tables have changed under it.
    pub fn forget_typing(&mut self) {
        self.entries.forget();
    }
}

/// The area.
pub fn brief_ui(ui: &mut Ui, view: &View<'_>, state: &mut BriefState, actions: &mut Actions) {
    pasted(ui.ctx(), view, state, actions);
    let tokens = view.tokens;
    let side = Frame::new().fill(tokens.panel).inner_margin(Margin::symmetric(14, 12));
    let ground = Frame::new().fill(tokens.sheet).inner_margin(Margin::symmetric(20, 12));
    if ui.available_width() < room::NARROW {
        let halves = [(Half::Chief, "The brief"), (Half::Aside, "What follows from it")];
        room::parts_ui(ui, view, &halves, &mut state.half);
        match state.half {
            Half::Chief => {
                CentralPanel::default().frame(ground).show(ui, |ui| page_ui(ui, view, state, actions));
            }
            Half::Aside => {
                CentralPanel::default().frame(side).show(ui, |ui| aside_ui(ui, view, state, actions));
            }
        }
        return;
    }
    let width = if ui.available_width() > 1250.0 { 400.0 } else { 320.0 };
    let right = Panel::right("what follows").frame(side).exact_size(width).resizable(false);
    let right = room::reserve(ui, right);
    CentralPanel::default().frame(ground).show(ui, |ui| page_ui(ui, view, state, actions));
    room::fill(ui, "aside", right, |ui| aside_ui(ui, view, state, actions));
}

/// What is typed.
fn page_ui(ui: &mut Ui, view: &View<'_>, state: &mut BriefState, actions: &mut Actions) {
    pages_ui(ui, view, state);
    ui.add_space(8.0);
    match state.page {
        Page::Loads => loads::loads_ui(ui, view, state, actions),
        Page::Site => weather::site_ui(ui, view, state, actions),
        Page::Goals => goals::goals_ui(ui, view, state, actions),
        Page::Proposals => propose::propose_ui(ui, view, &mut state.propose, actions),
        Page::Project => project::project_ui(ui, view, &mut state.entries, actions),
    }
}

/// What follows from it at once.
fn aside_ui(ui: &mut Ui, view: &View<'_>, state: &mut BriefState, actions: &mut Actions) {
    if state.page == Page::Proposals {
        propose::side_ui(ui, view, &mut state.propose);
    } else {
        sides::sides_ui(ui, view, state, actions);
    }
}

fn pages_ui(ui: &mut Ui, view: &View<'_>, state: &mut BriefState) {
    let tokens = view.tokens;
    ui.horizontal_wrapped(|ui| {
        style::quiet(ui.style_mut());
        ui.spacing_mut().item_spacing.x = 4.0;
        for page in Page::ALL {
            let chosen = state.page == page;
            let (family, color) = if chosen {
                (fonts::strong(), tokens.accent)
            } else {
                (egui::FontFamily::Proportional, tokens.ink)
            };
            let text = RichText::new(page.title()).font(FontId::new(fonts::HEADING, family)).color(color);
            let response = ui.add(Button::new(text));
            response.widget_info(|| WidgetInfo::selected(Role::Tab, true, chosen, page.title()));
            if chosen {
                let line = response.rect.x_range().shrink(8.0);
                ui.painter().hline(line, response.rect.bottom(), Stroke::new(2.0, tokens.accent));
            }
            if response.clicked() {
                state.page = page;
            }
        }
    });
}

/// A table from a spreadsheet, pasted while nobody types.
fn pasted(ctx: &Context, view: &View<'_>, state: &mut BriefState, actions: &mut Actions) {
    if state.page != Page::Loads || ctx.text_edit_focused() {
        return;
    }
    let text = ctx.input(|input| {
        let pasted = |event: &Event| if let Event::Paste(text) = event { Some(text.clone()) } else { None };
        input.events.iter().find_map(pasted)
    });
    if let Some(text) = text {
        intake::take_table(view, state, text.as_bytes(), actions);
    }
}
