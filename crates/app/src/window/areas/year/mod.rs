//! The Year: does the system on the sheet carry the loads of the brief? Plots of the hours, and the figures that follow.
//!
//! Nothing is computed here; `work.rs` has it done on a thread, `crate::energy_year` says by whom.

mod carpet;
mod chemistries;
mod controls;
mod duration;
mod figures;
mod layout;
mod months;
mod spread;
mod week;
mod words;
mod work;

use super::room::{self, Half};
use crate::energy_year::{Alternative, NoYear, SheetYear};
use crate::window::action::Actions;
use crate::window::plot::PlotState;
use crate::window::view::View;
use egui::{CentralPanel, Context, Frame, Margin, Panel, Ui};
use lineside_energy::{ManyYears, ModelDoubt};
use work::{Stage, Wanted, Work};

/// How the year stands, for the strip.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum YearStanding {
    /// It has not been looked at.
    #[default]
    Unseen,
    /// It is being worked out.
    Running,
    /// The sheet or the brief has changed since.
    Stale,
    /// It is up to date.
    Done,
    /// The sheet cannot be run.
    CannotRun,
}

impl YearStanding {
    /// In words, as they stand behind the name of the area; nothing when there is nothing to say.
    pub const fn words(self) -> &'static str {
        match self {
            Self::Unseen => "",
            Self::Running => "running",
            Self::Stale => "out of date",
            Self::Done => "done",
            Self::CannotRun => "the sheet cannot be run",
        }
    }
}

/// A plot of the area.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Which {
    Months,
    Carpet,
    Week,
    Charge,
    Unmet,
    Spread,
    Chemistries,
}

/// What was found last.
pub(super) struct Found {
    of: Wanted,
    year: Box<Result<SheetYear, NoYear>>,
    alternatives: Vec<Alternative>,
    many: Option<ManyYears>,
}

/// What the area remembers.
pub struct YearState {
    seed: u64,
    years: u32,
    doubt: ModelDoubt,
    found: Option<Found>,
    work: Option<Work>,
    /// What a person has stopped is not begun again by itself.
    stopped: Option<Wanted>,
    enlarged: Option<Which>,
    plots: [PlotState; 7],
    /// The first day of the week that is replayed, when it is not the worst.
    first_day: Option<usize>,
    replay: week::Replay,
    /// What is shown where there is room for one half.
    half: Half,
}

/// Random years that are gone through unless a person says otherwise.
const YEARS: u32 = 100;

impl Default for YearState {
    fn default() -> Self {
        Self {
            seed: 1,
            years: YEARS,
            doubt: ModelDoubt::Left,
            found: None,
            work: None,
            stopped: None,
            enlarged: None,
            plots: Default::default(),
            first_day: None,
            replay: week::Replay::default(),
            half: Half::default(),
        }
    }
}

impl YearState {
    /// How it stands towards a state of the project.
    pub fn standing(&self, changes: u64) -> YearStanding {
        match (&self.found, &self.work) {
            (_, Some(_)) => YearStanding::Running,
            (None, None) => YearStanding::Unseen,
            (Some(found), None) if found.of.changes != changes => YearStanding::Stale,
            (Some(found), None) if found.year.is_err() => YearStanding::CannotRun,
            (Some(_), None) => YearStanding::Done,
        }
    }

    /// Goes through fewer or more random years.
    pub fn set_years(&mut self, years: u32) {
        self.years = years;
    }

    /// The typical year that is shown, if there is one.
    pub fn shown(&self) -> Option<&SheetYear> {
        self.found.as_ref()?.year.as_ref().as_ref().ok()
    }

    /// Whether nothing is under way.
    pub const fn is_at_rest(&self) -> bool {
        self.work.is_none()
    }

    /// Takes what has come, and begins anew when something has changed and nobody is in the middle of changing it.
    fn follow(&mut self, view: &View<'_>, ctx: &Context) {
        self.take_news();
        let wanted = Wanted {
            changes: view.document.history.changes(),
            seed: self.seed,
            years: self.years,
            doubt: self.doubt,
        };
        let known = self.found.as_ref().is_some_and(|found| found.of == wanted);
        let under_way = self.work.as_ref().is_some_and(|work| work.wanted == wanted);
        let wanted_at_all = self.stopped != Some(wanted);
        if !known && !under_way && wanted_at_all && view.held.is_none() {
            self.stopped = None;
            self.work = Some(Work::begin(wanted, view.project(), view.engine, ctx));
        }
    }

    fn take_news(&mut self) {
        let Some(work) = &self.work else { return };
        let (wanted, news) = (work.wanted, work.news());
        for stage in news.stages {
            match stage {
                Stage::Typical(year) => {
                    // The plots of before stay until the new ones are there, so that nothing flickers.
                    let before = self.found.take();
                    let (alternatives, many) =
                        before.map_or_else(Default::default, |found| (found.alternatives, found.many));
                    let many = many.filter(|_| year.is_ok() && wanted.years > 0);
                    let alternatives = if year.is_ok() { alternatives } else { Vec::new() };
                    self.found = Some(Found { of: wanted, year, alternatives, many });
                }
                Stage::Alternatives(alternatives) => {
                    if let Some(found) = &mut self.found {
                        found.alternatives = alternatives;
                    }
                }
                Stage::Many(many) => {
                    if let Some(found) = &mut self.found {
                        found.many = Some(many);
                    }
                }
            }
        }
        if news.over {
            self.work = None;
        }
    }

    fn stop(&mut self) {
        if let Some(work) = self.work.take() {
            work.stop();
            self.stopped = Some(work.wanted);
            // Those of before would be of another sheet.
            if let Some(found) = &mut self.found {
                found.many = None;
            }
        }
    }
}

/// The area.
pub fn year_ui(ui: &mut Ui, view: &View<'_>, state: &mut YearState, actions: &mut Actions) {
    state.follow(view, ui.ctx());
    let tokens = view.tokens;
    let side = Frame::new().fill(tokens.panel).inner_margin(Margin::symmetric(16, 12));
    let ground = Frame::new().fill(tokens.sheet).inner_margin(Margin::symmetric(14, 12));
    let plots = CentralPanel::default().frame(ground);
    if ui.available_width() < room::NARROW {
        room::parts_ui(ui, view, &[(Half::Chief, "Plots"), (Half::Aside, "Figures")], &mut state.half);
        match state.half {
            Half::Chief => {
                plots.show(ui, |ui| layout::plots_ui(ui, view, state, actions));
            }
            Half::Aside => {
                CentralPanel::default().frame(side).show(ui, |ui| side_ui(ui, view, state, actions));
            }
        }
        return;
    }
    let width = if ui.available_width() > 1250.0 { 372.0 } else { 312.0 };
    Panel::left("year figures").frame(side).exact_size(width).resizable(false).show(ui, |ui| {
        side_ui(ui, view, state, actions);
    });
    plots.show(ui, |ui| layout::plots_ui(ui, view, state, actions));
}

fn side_ui(ui: &mut Ui, view: &View<'_>, state: &mut YearState, actions: &mut Actions) {
    controls::controls_ui(ui, view, state, actions);
    ui.add_space(6.0);
    figures::figures_ui(ui, view, state);
}
