//! What commands do.

use super::app::App;
use super::areas::Area;
use super::areas::draft::Part;
use super::areas::draft::findings::Listed;
use super::areas::draft::sheet::free_terminal;
use super::ask::SheetUse;
use super::command::{Command, Reach};
use super::dialogs::{Comparing, Dialog, Intent};
use super::edits::words::own_places;
use super::edits::{Labeled, copying, orienting, places, removing};
use super::selection::{Selection, Thing};
use super::wear::Setting;
use crate::settings::Theme;
use egui::{Context, ViewportCommand};
use lineside_drawing::tidy;

/// By how much one step of zooming goes nearer.
const ZOOM: f32 = 1.25;

impl App {
    /// Carries out a command, or says at the pointer why it cannot be done.
    pub(super) fn obey_or_say(&mut self, command: Command, ctx: &Context) {
        let derived = std::sync::Arc::clone(self.derivation.latest());
        if let Some(why) = command.hindrance(&self.view(&derived, ctx)) {
            self.say(why, ctx.pointer_latest_pos());
            return;
        }
        self.obey(command, ctx);
        if command.reach() == Reach::Draft {
            self.give_sheet_the_keyboard(ctx);
        }
    }

    /// After a command of the sheet, chosen from a menu perhaps, keys mean the sheet: unless something asks for a text.
    fn give_sheet_the_keyboard(&mut self, ctx: &Context) {
        let panels = &mut self.state.panels;
        let asks = panels.nameplate.focus_first
            || panels.shelf.focus_search
            || self.state.dialogs.is_open()
            || self.state.picker.is_some();
        if !asks && ctx.memory(egui::Memory::focused).is_none() {
            panels.sheet.take_keyboard();
        }
    }

    fn obey(&mut self, command: Command, ctx: &Context) {
        match command {
            Command::New => self.begin(Intent::New, ctx),
            Command::Open => self.begin(Intent::Open, ctx),
            Command::Save => self.save(ctx),
            Command::SaveAs => self.ask_where_to_save(ctx),
            Command::Close => self.begin(Intent::Close, ctx),
            Command::AddStockItem => self.edit_own_item(None),
            Command::ImportStock => self.ask_for(super::ask::Purpose::Stock, ctx),
            Command::WriteReview => self.ask_for_review(ctx),
            Command::ExportSheet | Command::PrintSheet => self.ask_for_sheet(sheet_use(command), ctx),
            Command::Quit => self.begin(Intent::Quit, ctx),
            Command::Undo => {
                self.document.undo();
            }
            Command::Redo => {
                self.document.redo();
            }
            Command::Cut => {
                self.copy(ctx);
                self.delete(ctx);
            }
            Command::Copy => self.copy(ctx),
            Command::Paste => ctx.send_viewport_cmd(ViewportCommand::RequestPaste),
            Command::Duplicate => self.duplicate(ctx),
            Command::Delete => self.delete(ctx),
            Command::SelectAll => self.state.selection = Selection::all(&self.document.project.circuit),
            Command::SelectNone => self.give_up(),
            Command::Rotate | Command::Flip => self.turn(command, ctx),
            Command::AlignLeft
            | Command::AlignRight
            | Command::AlignTop
            | Command::AlignBottom
            | Command::AlignLevel
            | Command::AlignUpright
            | Command::SpaceAcross
            | Command::SpaceDown => self.line_up(command, ctx),
            Command::OwnPlaces => self.own_places(ctx),
            Command::Tidy => self.tidy(ctx),
            Command::Renumber => self.renumber(ctx),
            Command::DrawRun => self.draw_run(),
            Command::ContinueRun
            | Command::InsertInRun
            | Command::AddTemplate
            | Command::Swap
            | Command::ReplaceAll
            | Command::Search => self.open_list(command, ctx),
            Command::History => self.state.history.open = !self.state.history.open,
            Command::Lasso => self.state.panels.sheet.lasso_next = true,
            Command::AddPlace => self.add_place(ctx),
            Command::Enclose => self.enclose(ctx),
            Command::EditNameplate => self.edit_nameplate(),
            Command::FindStock => self.find_stock(),
            Command::ShowBrief => self.state.area = Area::Brief,
            Command::ShowDraft => self.state.area = Area::Draft,
            Command::ShowYear => self.state.area = Area::Year,
            Command::ZoomIn => self.state.panels.sheet.zoom(ZOOM),
            Command::ZoomOut => self.state.panels.sheet.zoom(1.0 / ZOOM),
            Command::ZoomFull => self.state.panels.sheet.zoom_full(),
            Command::ZoomFit => self.state.panels.sheet.fit(),
            Command::ZoomSelection => {
                let area = self.area_of_selection(&self.state.selection);
                self.state.panels.sheet.frame(area.grown(10.0));
            }
            Command::ShowShelf | Command::ShowPlate | Command::ShowFindings => self.show_or_hide(command),
            Command::NextFinding => self.step_finding(1, ctx),
            Command::PreviousFinding => self.step_finding(-1, ctx),
            Command::CompareRuleSets => self.compare_rule_sets(ctx),
            Command::ThemeSystem => self.set(Setting::Theme(Theme::System), ctx),
            Command::ThemeLight => self.set(Setting::Theme(Theme::Light), ctx),
            Command::ThemeDark => self.set(Setting::Theme(Theme::Dark), ctx),
            Command::ScaleUp => self.scale(1, ctx),
            Command::ScaleDown => self.scale(-1, ctx),
            Command::ScaleReset => self.set(Setting::Scale(100), ctx),
            Command::Settings => self.state.dialogs.shown = Some(Dialog::Settings),
            Command::Guide => self.open_guide(),
            Command::Tour => self.begin(Intent::Tour, ctx),
            Command::Keys => self.state.dialogs.shown = Some(Dialog::Keys),
            Command::About => self.state.dialogs.shown = Some(Dialog::About),
        }
    }

    fn edit_nameplate(&mut self) {
        self.state.hidden.show(Part::Nameplate);
        self.state.panels.nameplate.focus_first = true;
    }

    fn find_stock(&mut self) {
        self.state.hidden.show(Part::Stock);
        self.state.panels.shelf.focus_search = true;
    }

    fn show_or_hide(&mut self, command: Command) {
        let hidden = &mut self.state.hidden;
        if command == Command::ShowShelf {
            hidden.toggle(Part::Stock);
        } else if command == Command::ShowPlate {
            hidden.toggle(Part::Nameplate);
        } else if command == Command::ShowFindings {
            hidden.toggle(Part::Findings);
        }
    }

    fn compare_rule_sets(&mut self, ctx: &Context) {
        let comparing = Comparing::begin(&self.document.project, &self.desk.engine, ctx);
        self.state.dialogs.shown = Some(Dialog::RuleSets(comparing));
    }

    fn copy(&mut self, ctx: &Context) {
        if let Some(text) = copying::to_text(&self.document.project, &self.state.selection.blocks) {
            ctx.copy_text(text);
        }
    }

    fn duplicate(&mut self, ctx: &Context) {
        let routes = &self.state.panels.sheet.drawn.routes;
        match copying::duplicate(&self.document.project, routes, &self.state.selection.blocks) {
            Ok((step, ids)) => {
                if !ids.is_empty() && self.make(step, None, ctx) {
                    self.select_new(ids);
                }
            }
            Err(refusal) => self.refuse(&refusal, ctx),
        }
    }

    fn delete(&mut self, ctx: &Context) {
        if let Some(step) = removing::selection(&self.document.project.circuit, &self.state.selection) {
            self.make(step, None, ctx);
        }
    }

    fn turn(&mut self, command: Command, ctx: &Context) {
        let blocks = &self.state.selection.blocks;
        if blocks.is_empty() {
            return;
        }
        let circuit = &self.document.project.circuit;
        let step = if command == Command::Rotate {
            orienting::rotate(circuit, blocks)
        } else {
            orienting::flip(circuit, blocks)
        };
        self.make(step, None, ctx);
    }

    fn own_places(&mut self, ctx: &Context) {
        if let Some(step) = own_places(&self.document.project, &self.state.selection) {
            self.make(step, None, ctx);
        }
    }

    /// Gives up what is under way; if nothing is, selects nothing.
    fn give_up(&mut self) {
        let armed = std::mem::take(&mut self.state.panels.sheet.lasso_next);
        if !self.let_go() && !armed {
            self.state.selection = Selection::default();
            self.state.finding = None;
            self.state.figure = None;
        }
    }

    /// Lays the sheet out anew as one step, and shows all of it.
    fn tidy(&mut self, ctx: &Context) {
        let project = &self.document.project;
        match tidy::sheet(project) {
            Some(edit) => {
                if self.make(Labeled::new("tidy the sheet".to_owned(), edit), None, ctx) {
                    self.state.panels.sheet.fit();
                }
            }
            None => self.say("The sheet is tidy already.", None),
        }
    }

    fn draw_run(&mut self) {
        let circuit = &self.document.project.circuit;
        let selection = &self.state.selection;
        let block = selection.blocks.first().copied().filter(|_| selection.blocks.len() == 1);
        let from = selection.terminal.or_else(|| free_terminal(circuit, block?));
        self.state.dialogs.choose_run_end(from);
    }

    fn add_place(&mut self, ctx: &Context) {
        let middle = self.state.panels.sheet.middle();
        match places::add(&self.document.project, &self.state.selection.blocks, middle) {
            Ok((step, id)) => {
                if self.make(step, None, ctx) {
                    self.state.selection = Selection::only(Thing::Place(id));
                    self.state.panels.nameplate.focus_first = true;
                }
            }
            Err(refusal) => self.refuse(&refusal, ctx),
        }
    }

    /// Goes to the next finding of those that are shown, or to the one before; from the last to the first.
    fn step_finding(&mut self, step: isize, ctx: &Context) {
        let derived = std::sync::Arc::clone(self.derivation.latest());
        let project = &self.document.project;
        let shown = self.state.panels.findings.filter.shown(project, &derived);
        if shown.is_empty() {
            self.say("No finding passes the filter.", None);
            return;
        }
        let id = |finding: &&lineside_rules::Finding| finding.id(&project.circuit);
        let now = self.state.finding.as_ref().and_then(|now| shown.iter().position(|it| id(it) == *now));
        let last = shown.len() - 1;
        let next = match (now, step) {
            (None, 1) => 0,
            (None, _) => last,
            (Some(now), 1) => {
                if now == last {
                    0
                } else {
                    now + 1
                }
            }
            (Some(now), _) => now.checked_sub(1).unwrap_or(last),
        };
        if let Some(finding) = shown.get(next) {
            let id = id(finding);
            self.state.area = Area::Draft;
            self.state.hidden.show(Part::Findings);
            self.state.panels.findings.listed = Listed::Open;
            self.carry_out(super::action::Action::ShowFinding(id), ctx);
        }
    }
}

/// What the sheet is written for.
fn sheet_use(command: Command) -> SheetUse {
    if command == Command::PrintSheet { SheetUse::Print } else { SheetUse::HandOn }
}
