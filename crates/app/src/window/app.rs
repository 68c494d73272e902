//! The window as a whole: what it owns, and what happens in one frame, in order.
//!
//! What actions do is in `apply.rs`, commands in `obey.rs`, files in `files.rs`, drags in `follow.rs`.

use super::action::Actions;
use super::areas::{self, Area};
use super::ask::{Asker, MachineDialog};
use super::command::{Command, Reach};
use super::demo::Demo;
use super::derivation::Derivation;
use super::document::Document;
use super::notice::notice_ui;
use super::recovery::Recovery;
use super::start::Standing;
use super::tokens::Tokens;
use super::view::{Freshness, Panels, View, ViewState};
use super::{dialogs, dropped, fonts, frame, guide, history_list, keys, picker, start, style, tour};
use crate::engine::{Derived, Engine};
use crate::journal::Journals;
use crate::settings::Settings;
use crate::thumbnails::Thumbnails;
use egui::{self, Context, Event, Panel, Ui, ViewportCommand};
use lineside_core::project::Project;
use std::path::PathBuf;
use std::sync::Arc;
use std::thread::JoinHandle;

/// With what the window begins.
pub struct Start {
    /// The project to show; the page of files opened last when `None`.
    pub project: Option<Project>,
    /// The file to open instead.
    pub file: Option<PathBuf>,
    /// What this person has set.
    pub settings: Settings,
    /// Who asks for files.
    pub asker: Arc<dyn Asker>,
    /// Tables and stock.
    pub engine: Arc<Engine>,
    /// Where unsaved work is kept.
    pub journals: Journals,
    /// Where one's own stock is kept; nowhere when `None`.
    pub own_stock: Option<PathBuf>,
    /// Where small pictures of sheets are kept.
    pub thumbnails: Thumbnails,
}

impl Start {
    /// As a person starts it: with his settings, the machine's dialogs and the built-in stock. Who has opened no file yet
    /// sees the demo project.
    pub fn of_this_person(file: Option<PathBuf>, engine: Arc<Engine>) -> Self {
        let settings = Settings::of_this_person();
        let project = (file.is_none() && settings.recent.is_empty()).then(|| Demo::Cabin.project());
        Self {
            project,
            file,
            settings,
            asker: Arc::new(MachineDialog),
            engine,
            journals: Journals::of_this_person(),
            own_stock: crate::own_stock::place().ok(),
            thumbnails: Thumbnails::of_this_person(),
        }
    }
}

/// What does not belong to the document: the engine, and who asks for files.
pub struct Desk {
    /// Tables and stock.
    pub engine: Arc<Engine>,
    /// Who asks for files.
    pub asker: Arc<dyn Asker>,
    /// Where small pictures of sheets are kept.
    pub thumbnails: Thumbnails,
    /// Where one's own stock is kept.
    pub own_stock: Option<PathBuf>,
}

/// The window.
pub struct App {
    /// The project, its history and its file.
    pub document: Document,
    /// What follows from the project.
    pub derivation: Derivation,
    /// The state of the window.
    pub state: ViewState,
    /// What this person has set.
    pub settings: Settings,
    /// Engine and dialogs.
    pub desk: Desk,
    /// The journal of unsaved work.
    pub(super) recovery: Recovery,
    /// The picture that is being made.
    pub(super) picture: Option<JoinHandle<()>>,
}

impl App {
    /// Opens the window's insides.
    pub fn new(ctx: &Context, start: Start) -> Self {
        fonts::install(ctx);
        style::install(ctx);
        let is_empty = start.project.is_none();
        let document = Document::new(start.project.unwrap_or_default());
        let derivation =
            Derivation::new(Arc::clone(&start.engine), &document.project, document.history.changes());
        let desk = Desk {
            engine: start.engine,
            asker: start.asker,
            thumbnails: start.thumbnails,
            own_stock: start.own_stock,
        };
        let mut app = Self {
            document,
            derivation,
            state: ViewState::default(),
            settings: start.settings,
            desk,
            recovery: Recovery::new(start.journals),
            picture: None,
        };
        app.wear_settings(ctx);
        if is_empty {
            app.show_start(ctx);
        }
        if let Some(file) = start.file {
            app.open_file(&file, ctx);
        }
        if let Some(told) = &app.settings.told {
            app.say(told.clone(), None);
        }
        app.offer_lost_work();
        app.state.panels.sheet.fit();
        app
    }

    /// Carries out what the panels have asked for. True when the project changed.
    fn carry_out_all(&mut self, actions: Actions, ctx: &Context) -> Changed {
        let before = self.document.history.changes();
        for action in actions {
            self.carry_out(action, ctx);
        }
        self.state.selection.keep_existing(&self.document.project.circuit);
        if self.document.history.changes() == before { Changed::No } else { Changed::Yes }
    }

    /// What panels would look at now.
    pub(super) fn view<'a>(&'a self, derived: &'a Derived, ctx: &Context) -> View<'a> {
        let state = &self.state;
        View {
            document: &self.document,
            derived,
            freshness: Freshness::Fresh,
            engine: &self.desk.engine,
            selection: &state.selection,
            hidden: &state.hidden,
            settings: &self.settings,
            tokens: Tokens::of(ctx.theme()),
            finding: state.finding.as_deref(),
            figure: state.figure.as_deref(),
            held: state.held.as_ref(),
            year: state.panels.year.standing(self.document.history.changes()),
            standing: if state.start.is_some() { Standing::Nothing } else { Standing::Open },
        }
    }

    fn keys(&self, ctx: &Context, actions: &mut Actions) {
        if self.state.dialogs.is_open() || self.state.picker.is_some() {
            return;
        }
        let typing = ctx.text_edit_focused() || self.state.was_typing;
        // Which popups are open is only known once they have been shown; what counts is the last frame.
        let popup = self.state.had_popup || self.state.panels.sheet.lists_findings();
        let on_sheet = self.state.panels.sheet.listens(ctx);
        let escape = egui::KeyboardShortcut::new(egui::Modifiers::NONE, egui::Key::Escape);
        let idle = !typing && !popup && self.state.held.is_none();
        if idle && self.state.history.open && ctx.input_mut(|input| keys::take(input, escape)) {
            actions.push(super::action::Action::Do(Command::History));
        }
        for command in Command::ALL {
            if command.needs_project() && self.state.start.is_some() {
                continue;
            }
            let reaches = match command.reach() {
                Reach::Everywhere => true,
                Reach::NotTyping => !typing,
                Reach::Draft => !typing && !popup && self.state.area == Area::Draft,
            };
            // Enter and Space press the button that has the focus, outside the sheet; and letters that somebody
            // means to type elsewhere are no commands.
            let pressed = reaches
                && command.shortcuts().iter().any(|shortcut| {
                    let ours = if shortcut.logical_key == egui::Key::Enter {
                        self.state.panels.sheet.has_focus(ctx)
                    } else {
                        on_sheet || command.reach() != Reach::Draft || !keys::could_be_typed(*shortcut)
                    };
                    ours && ctx.input_mut(|input| keys::take(input, *shortcut))
                });
            if pressed {
                actions.push(super::action::Action::Do(*command));
            }
        }
        if !typing && self.state.area == Area::Draft && self.state.start.is_none() {
            self.clipboard(ctx, actions);
            if on_sheet {
                super::nudge::read(ctx, self, actions);
            }
        }
    }

    fn clipboard(&self, ctx: &Context, actions: &mut Actions) {
        use super::action::Action;
        ctx.input(|input| {
            for event in &input.events {
                if let Event::Paste(text) = event {
                    actions.push(Action::Paste(text.clone()));
                } else if *event == Event::Copy {
                    actions.push(Action::Do(Command::Copy));
                } else if *event == Event::Cut {
                    actions.push(Action::Do(Command::Cut));
                }
            }
        });
    }

    fn forget_notice(&mut self, ctx: &Context) {
        let moved_on = ctx.input(|input| {
            input.pointer.any_pressed()
                || input.events.iter().any(|event| matches!(event, Event::Key { pressed: true, .. }))
        });
        if moved_on {
            self.state.notice = None;
        }
    }

    fn panels(&mut self, ui: &mut Ui, freshness: Freshness) -> Actions {
        let mut actions = Actions::new();
        let state = &mut self.state;
        let tokens = Tokens::of(ui.ctx().theme());
        let derived = Arc::clone(self.derivation.latest());
        let hint = std::mem::take(&mut state.hint);
        let view = View {
            document: &self.document,
            derived: &derived,
            freshness,
            engine: &self.desk.engine,
            selection: &state.selection,
            hidden: &state.hidden,
            settings: &self.settings,
            tokens,
            finding: state.finding.as_deref(),
            figure: state.figure.as_deref(),
            held: state.held.as_ref(),
            year: state.panels.year.standing(self.document.history.changes()),
            standing: if state.start.is_some() { Standing::Nothing } else { Standing::Open },
        };
        Panel::top("menu").frame(frame::menu::frame_of(tokens)).exact_size(36.0).show(ui, |ui| {
            frame::menu::menu_ui(ui, &view, &mut actions);
        });
        match &state.start {
            Some(page) => start::start_ui(ui, &view, page, &mut actions),
            None => area_ui(ui, &view, state.area, &mut state.panels, (&hint, &mut state.hint), &mut actions),
        }
        if state.hint != hint {
            ui.ctx().request_repaint();
        }
        guide::guide_ui(ui.ctx(), &view, &mut state.guide);
        if let Some(step) = state.tour.filter(|_| state.start.is_none() && !state.dialogs.is_open()) {
            tour::tour_ui(ui.ctx(), &view, step, state.panels.sheet.view(), &mut actions);
        }
        history_list::history_ui(ui.ctx(), &view, &mut state.history, &mut actions);
        picker::picker_ui(ui.ctx(), &view, &mut state.picker, &mut actions);
        dialogs::dialogs_ui(ui.ctx(), &view, &mut state.dialogs, &mut actions);
        if let Some(notice) = &state.notice {
            let middle = ui.ctx().content_rect().center_bottom() - egui::vec2(160.0, 110.0);
            notice_ui(ui.ctx(), tokens, "said", &notice.text, notice.at.unwrap_or(middle), notice.tone);
        }
        dropped::held_over_ui(ui.ctx(), tokens);
        actions
    }
}

/// The strip of areas, the one that is open, and the status bar.
fn area_ui(
    ui: &mut Ui,
    view: &View<'_>,
    area: Area,
    panels: &mut Panels,
    (hint, next_hint): (&str, &mut String),
    actions: &mut Actions,
) {
    let tokens = view.tokens;
    Panel::top("areas").frame(frame::strip::frame_of(tokens)).exact_size(46.0).show(ui, |ui| {
        frame::strip::strip_ui(ui, view, area, actions);
    });
    Panel::bottom("status").frame(frame::status::frame_of(tokens)).exact_size(26.0).show(ui, |ui| {
        let sheet = (area == Area::Draft).then_some(&panels.sheet);
        frame::status::status_ui(ui, view, hint, sheet);
    });
    match area {
        Area::Brief => areas::brief::brief_ui(ui, view, &mut panels.brief, actions),
        Area::Draft => *next_hint = areas::draft::draft_ui(ui, view, panels, actions),
        Area::Year => areas::year::year_ui(ui, view, &mut panels.year, actions),
    }
}

/// Whether the project changed.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum Changed {
    Yes,
    No,
}

impl eframe::App for App {
    fn logic(&mut self, ctx: &Context, _: &mut eframe::Frame) {
        self.files(ctx);
        let title =
            if self.state.start.is_some() { "Lineside".to_owned() } else { self.document.window_title() };
        if self.state.title != title {
            self.state.title.clone_from(&title);
            ctx.send_viewport_cmd(ViewportCommand::Title(title));
        }
    }

    fn ui(&mut self, ui: &mut Ui, _: &mut eframe::Frame) {
        let ctx = ui.ctx().clone();
        self.forget_notice(&ctx);
        self.take_dropped(&ctx);
        self.scroll_to_focus(&ctx);
        let mut actions = self.follow_held(&ctx);
        self.keys(&ctx, &mut actions);
        self.carry_out_all(actions, &ctx);
        let changes = self.document.history.changes();
        let freshness = self.derivation.follow(&self.document.project, changes, &ctx);
        let touched = self.document.take_touched();
        let derived = self.derivation.latest();
        self.state.panels.sheet.drawn.follow(&self.document.project, changes, derived, touched);
        let actions = self.panels(ui, freshness);
        let asked = !actions.is_empty();
        if self.carry_out_all(actions, &ctx) == Changed::Yes {
            // What was typed shows in the same frame in findings, markers and ladder.
            ctx.request_discard("the project changed");
        }
        self.state.was_typing = ctx.text_edit_focused();
        self.watch_focus(&ctx);
        self.state.had_popup = ctx.any_popup_open();
        if asked {
            ctx.request_repaint();
        }
    }

    fn on_exit(&mut self, _: Option<&eframe::glow::Context>) {
        // The picture of what was saved last is finished before the program ends.
        if let Some(picture) = self.picture.take() {
            let _ = picture.join();
        }
    }

    fn clear_color(&self, visuals: &egui::Visuals) -> [f32; 4] {
        egui::Rgba::from(visuals.panel_fill).to_array()
    }
}
