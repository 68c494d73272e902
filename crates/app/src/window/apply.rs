//! What actions do. This is the one place where the project and the window's state change.

use super::action::{Action, Spell};
use super::app::App;
use super::areas::draft::findings;
use super::areas::draft::sheet::area_of;
use super::ask::Purpose;
use super::dialogs::Intent;
use super::edits::adding::Spot;
use super::edits::{Labeled, adding, copying, fields, replacing, wiring};
use super::held::Held;
use super::notice::Tone;
use super::selection::{Selection, Thing};
use super::view::Notice;
use egui::{Context, Pos2};
use lineside_core::circuit::{BlockId, GridPoint};
use lineside_core::edit::{Gesture, Refusal};
use lineside_drawing::geometry::Area;

impl App {
    /// Carries out one action.
    pub(super) fn carry_out(&mut self, action: Action, ctx: &Context) {
        match action {
            Action::Do(command) => self.obey_or_say(command, ctx),
            Action::Make(step, gesture) => {
                self.make(step, gesture, ctx);
            }
            Action::MakeInSpell(step) => {
                let spell = self.spell();
                self.make(step, Some(spell), ctx);
            }
            Action::Refuse(refusal) => self.refuse(&refusal, ctx),
            Action::Say(text, at) => self.say(text, at),
            Action::SetField { owner, field, value, spell } => {
                let gesture = (spell == Spell::GoesOn).then(|| self.spell());
                match fields::set(&self.document.project, &owner, field, &value) {
                    Ok(step) => {
                        self.make(step, gesture, ctx);
                    }
                    Err(refusal) => self.refuse(&refusal, ctx),
                }
            }
            Action::EndSpell => self.state.spell = None,
            Action::CancelSpell => self.cancel_spell(),
            Action::Go(area) => self.state.area = area,
            Action::Select(selection) => self.state.selection = selection,
            Action::Pick(asked, at) => self.pick(asked, at),
            Action::ClosePicker => self.close_picker(),
            Action::Picked(asked, choice) => self.picked(&asked, choice, ctx),
            Action::PlaceTemplate(template, at) => self.place_template(template, at, ctx),
            Action::GoToStep(steps) => self.document.go_to(steps),
            Action::Hold(held) => self.hold(held),
            Action::Place { item, middle, into } => self.place(item, middle, into, ctx),
            Action::InsertBlock(block, spot) => {
                match adding::insert_block(&self.document.project, block, spot) {
                    Ok(step) => {
                        self.make(step, None, ctx);
                    }
                    Err(refusal) => self.refuse(&refusal, ctx),
                }
            }
            Action::DrawRun(from, to) => match wiring::draw(&self.document.project, from, to) {
                Ok(step) => {
                    let id = self.document.project.next_run_id();
                    if self.make(step, None, ctx)
                        && let Some(id) = id
                    {
                        self.state.selection = Selection::only(Thing::Run(id));
                    }
                }
                Err(refusal) => self.refuse(&refusal, ctx),
            },
            Action::ShowFinding(id) => {
                self.state.figure = None;
                self.show_finding(&id);
            }
            Action::ShowFigure(name) => self.state.figure = Some(name),
            Action::Paste(text) => self.paste(&text, ctx),
            Action::EditOwnItem(name) => self.edit_own_item(name.as_deref()),
            Action::OwnItemOfSelection => self.own_item_of_selection(),
            Action::KeepOwnItem(item, form) => self.keep_own_item(*item, form, ctx),
            Action::RemoveOwnItem(name) => self.remove_own_item(&name, ctx),
            Action::TakeOwnItems(items) => self.take_own_items(items, ctx),
            Action::ReadStock => self.ask_for(Purpose::Stock, ctx),
            Action::ReadLoads => self.ask_for(Purpose::Loads, ctx),
            Action::ReadWeather => self.ask_for(Purpose::Weather, ctx),
            Action::OpenProposal(project) => {
                let step = replacing::sheet(&self.document.project, &project);
                if self.make(step, None, ctx) {
                    self.state.selection = Selection::default();
                    self.state.panels.sheet.fit();
                    self.state.area = super::areas::Area::Draft;
                }
            }
            Action::Export(export) => self.export(export, ctx),
            Action::OpenRecent(path) => self.begin(Intent::OpenFile(path), ctx),
            Action::ForgetRecent(path) => self.forget_recent(&path, ctx),
            Action::OpenDemo(demo) => self.begin(Intent::Demo(demo), ctx),
            Action::Set(setting) => self.set(setting, ctx),
            Action::Tour(step) => self.go_to_tour(step),
            Action::EndTour => self.end_tour(ctx),
        }
    }

    /// Makes an edit; a refusal is said at the pointer. True when it was made.
    pub(super) fn make(&mut self, step: Labeled, gesture: Option<Gesture>, ctx: &Context) -> bool {
        match self.document.make(&step.label, step.edit, gesture) {
            Ok(()) => true,
            Err(refusal) => {
                self.refuse(&refusal, ctx);
                false
            }
        }
    }

    pub(super) fn refuse(&mut self, refusal: &Refusal, ctx: &Context) {
        self.say(refusal.to_string(), ctx.pointer_latest_pos());
    }

    pub(super) fn say(&mut self, text: impl Into<String>, at: Option<Pos2>) {
        self.state.notice = Some(Notice { text: text.into(), at, tone: Tone::Refuses });
    }

    /// Says that something was done.
    pub(super) fn tell(&mut self, text: impl Into<String>) {
        self.state.notice = Some(Notice { text: text.into(), at: None, tone: Tone::Tells });
    }

    /// The spell of typing that is under way, or a new one.
    fn spell(&mut self) -> Gesture {
        *self.state.spell.get_or_insert_with(|| self.document.begin_gesture())
    }

    /// Takes back what the spell of typing has changed.
    fn cancel_spell(&mut self) {
        if let Some(spell) = self.state.spell.take() {
            self.take_back(spell);
        }
    }

    /// Takes the last step back if it belongs to a gesture.
    pub(super) fn take_back(&mut self, gesture: Gesture) {
        if self.document.history.steps().last().is_some_and(|step| step.gesture == Some(gesture)) {
            self.document.undo();
        }
    }

    /// Takes something up with the pointer; each drag becomes one step of the history.
    fn hold(&mut self, mut held: Held) {
        let fresh = self.document.begin_gesture();
        match &mut held {
            Held::Blocks { gesture, .. }
            | Held::Place { gesture, .. }
            | Held::Corner { gesture, .. }
            | Held::Words { gesture, .. }
            | Held::Piece { gesture, .. }
            | Held::Number { gesture, .. } => *gesture = fresh,
            Held::Item(_)
            | Held::Template(_)
            | Held::NewRun(_)
            | Held::RunEnd { .. }
            | Held::Band { .. }
            | Held::Lasso { .. }
            | Held::Paper => {}
        }
        self.state.held = Some(held);
    }

    fn place(&mut self, item: usize, middle: Option<GridPoint>, into: Option<Spot>, ctx: &Context) {
        let Some(item) = self.desk.engine.stock.get(item).cloned() else { return };
        let middle = middle.unwrap_or_else(|| self.free_middle());
        let project = &self.document.project;
        let made = match into {
            Some(spot) => adding::insert_item(project, &item, spot),
            None => adding::add(project, &item, middle),
        };
        match made {
            Ok((step, id)) => {
                if self.make(step, None, ctx) {
                    self.select_new(vec![id]);
                }
            }
            Err(refusal) => self.refuse(&refusal, ctx),
        }
    }

    /// The middle of the view, moved aside until nothing stands there.
    pub(super) fn free_middle(&self) -> GridPoint {
        const ASIDE: i32 = 6;
        let mut at = self.state.panels.sheet.middle();
        let circuit = &self.document.project.circuit;
        for _ in 0..40 {
            let taken = circuit
                .blocks()
                .any(|block| lineside_drawing::placement::bounds(block).grown(1).contains(at));
            if !taken {
                break;
            }
            at = at.moved(0, ASIDE);
        }
        at
    }

    /// Selects what has just come onto the sheet and brings it into view.
    pub(super) fn select_new(&mut self, blocks: Vec<BlockId>) {
        if let [one] = blocks.as_slice() {
            self.state.panels.sheet.focus(Thing::Block(*one));
        }
        let circuit = &self.document.project.circuit;
        let area = blocks
            .iter()
            .filter_map(|id| circuit.block(*id))
            .map(|block| lineside_drawing::placement::bounds(block).on_paper())
            .fold(Area::NOTHING, Area::union);
        self.state.panels.sheet.reveal(area);
        self.state.selection = Selection::of_blocks(blocks);
    }

    fn show_finding(&mut self, id: &str) {
        let derived = std::sync::Arc::clone(self.derivation.latest());
        let project = &self.document.project;
        let found = derived.findings().iter().find(|finding| finding.id(&project.circuit) == id);
        let Some(finding) = found else { return };
        self.state.finding = Some(id.to_owned());
        let panel = &mut self.state.panels.findings;
        panel.scroll = true;
        self.state.panels.ladder.chosen = None;
        panel.filter.admit(finding, &project.circuit);
        let selection = findings::selection_of(finding);
        if selection.is_empty() {
            return;
        }
        let area = self.area_of_selection(&selection);
        self.state.panels.sheet.reveal(area.grown(8.0));
        self.state.selection = selection;
    }

    /// The area of everything in a selection, mm.
    pub(super) fn area_of_selection(&self, selection: &Selection) -> Area {
        let drawn = &self.state.panels.sheet.drawn;
        selection
            .things()
            .map(|thing| area_of(&self.document.project, drawn, thing))
            .fold(Area::NOTHING, Area::union)
    }

    fn paste(&mut self, text: &str, ctx: &Context) {
        let copied = match copying::from_text(text) {
            Ok(copied) => copied,
            Err(why) => {
                self.say(why, ctx.pointer_latest_pos());
                return;
            }
        };
        let pointer = ctx.pointer_latest_pos().and_then(|at| self.state.panels.sheet.point_at(at));
        let middle = pointer.map_or_else(|| self.free_middle(), lineside_drawing::geometry::Point::to_grid);
        match copying::paste(&self.document.project, &copied, middle) {
            Ok((step, ids)) => {
                if self.make(step, None, ctx) {
                    self.select_new(ids);
                }
            }
            Err(refusal) => self.refuse(&refusal, ctx),
        }
    }
}
