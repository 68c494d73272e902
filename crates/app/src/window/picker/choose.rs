//! What becomes of what was chosen.

use super::{Asked, Choice, Picker};
use crate::window::action::Action;
use crate::window::app::App;
use crate::window::areas::Area;
use crate::window::areas::draft::sheet::look::potential_of;
use crate::window::areas::draft::sheet::{area_of, free_terminal};
use crate::window::edits::{Labeled, adding, continuing, swapping};
use crate::window::selection::{Selection, Thing};
use egui::{Context, Pos2};
use lineside_core::circuit::{BlockId, GridPoint, RunEnd, RunId};
use std::collections::BTreeSet;

impl App {
    /// Opens a list to choose from.
    pub(in crate::window) fn pick(&mut self, asked: Asked, at: Option<Pos2>) {
        self.state.panels.sheet.loose = match &asked {
            Asked::Continue(from, Some(end)) => Some((*from, *end)),
            Asked::Anything
            | Asked::Continue(..)
            | Asked::Insert(_)
            | Asked::Swap(_)
            | Asked::ReplaceAll(_)
            | Asked::Template(_) => None,
        };
        self.state.picker = Some(Picker::new(asked, at));
    }

    /// Closes it.
    pub(in crate::window) fn close_picker(&mut self) {
        self.state.picker = None;
        self.state.panels.sheet.loose = None;
    }

    /// Does what was chosen.
    pub(in crate::window) fn picked(&mut self, asked: &Asked, choice: Choice, ctx: &Context) {
        match (choice, asked) {
            (Choice::Do(command), _) => self.carry_out(Action::Do(command), ctx),
            (Choice::Thing(thing), _) => self.go_to(thing),
            (Choice::Finding(id), _) => {
                self.state.area = Area::Draft;
                self.carry_out(Action::ShowFinding(id), ctx);
            }
            (Choice::Template(template), Asked::Template(at)) => self.place_template(template, *at, ctx),
            (Choice::Template(template), _) => self.place_template(template, None, ctx),
            (Choice::Item(item), Asked::Continue(from, at)) => self.continue_with(*from, item, *at, ctx),
            (Choice::Item(item), Asked::Insert(run)) => self.insert_in(*run, item, ctx),
            (Choice::Item(item), Asked::Swap(blocks)) => self.swap(blocks, item, "swap", ctx),
            (Choice::Item(item), Asked::ReplaceAll(blocks)) => {
                self.swap(blocks, item, "replace across the sheet:", ctx);
            }
            (Choice::Item(item), Asked::Anything | Asked::Template(_)) => {
                self.carry_out(Action::Place { item, middle: None, into: None }, ctx);
            }
        }
    }

    /// Selects a part of the sheet and brings it into view.
    fn go_to(&mut self, thing: Thing) {
        self.state.area = Area::Draft;
        self.state.selection = Selection::only(thing);
        let area = area_of(&self.document.project, &self.state.panels.sheet.drawn, thing);
        self.state.panels.sheet.reveal(area.grown(8.0));
        self.state.panels.sheet.focus(thing);
    }

    /// The terminal from which to go on: the one that was pointed at, or the first free one of the selected block.
    pub(in crate::window) fn terminal_to_continue(&self) -> Option<RunEnd> {
        let circuit = &self.document.project.circuit;
        let selection = &self.state.selection;
        selection.terminal.or_else(|| free_terminal(circuit, *selection.blocks.first()?))
    }

    fn continue_with(&mut self, from: RunEnd, item: usize, at: Option<GridPoint>, ctx: &Context) {
        let Some(item) = self.desk.engine.stock.get(item).cloned() else { return };
        let known = potential_of(self.derivation.latest(), from);
        match continuing::with_item(&self.document.project, from, &item, at, known) {
            Ok((step, id)) => {
                if self.make(step, None, ctx) {
                    self.select_new(vec![id]);
                }
            }
            Err(why) => self.say(why, ctx.pointer_latest_pos()),
        }
    }

    fn insert_in(&mut self, run: RunId, item: usize, ctx: &Context) {
        let route = self.state.panels.sheet.drawn.route(run);
        match adding::middle_spot(run, &route) {
            Some(spot) => self.carry_out(Action::Place { item, middle: None, into: Some(spot) }, ctx),
            None => self.say("the run is not drawn any more", ctx.pointer_latest_pos()),
        }
    }

    fn swap(&mut self, blocks: &BTreeSet<BlockId>, item: usize, verb: &str, ctx: &Context) {
        let Some(item) = self.desk.engine.stock.get(item).cloned() else { return };
        let made = swapping::swap(&self.document.project.circuit, blocks, &item).map(|step| {
            let names = crate::window::edits::names_of(&self.document.project.circuit, blocks);
            Labeled::new(format!("{verb} {names}"), step.edit)
        });
        self.make_or_say(made, ctx);
    }

    /// Makes an edit, or says why there is none.
    pub(in crate::window) fn make_or_say(&mut self, made: Result<Labeled, String>, ctx: &Context) -> bool {
        match made {
            Ok(step) => self.make(step, None, ctx),
            Err(why) => {
                self.say(why, ctx.pointer_latest_pos());
                false
            }
        }
    }
}
