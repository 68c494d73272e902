//! What the commands do that arrange, renumber, enclose and choose from lists.

use super::app::App;
use super::command::Command;
use super::edits::aligning::{self, Axis, Line};
use super::edits::{enclosing, renumbering, swapping};
use super::picker::Asked;
use super::selection::{Selection, Thing};
use super::templates::{self, Template};
use crate::engine::{Engine, derive};
use egui::Context;
use lineside_core::circuit::{BlockId, GridPoint};
use lineside_core::project::Project;
use lineside_rules::{Part, Severity};

impl App {
    /// Lines up or spaces what is selected.
    #[expect(clippy::wildcard_enum_match_arm, reason = "only the commands that line up and space come here")]
    pub(super) fn line_up(&mut self, command: Command, ctx: &Context) {
        let circuit = &self.document.project.circuit;
        let blocks = &self.state.selection.blocks;
        let made = match command {
            Command::AlignLeft => aligning::align(circuit, blocks, Line::Left),
            Command::AlignRight => aligning::align(circuit, blocks, Line::Right),
            Command::AlignTop => aligning::align(circuit, blocks, Line::Top),
            Command::AlignBottom => aligning::align(circuit, blocks, Line::Bottom),
            Command::AlignLevel => aligning::align(circuit, blocks, Line::Level),
            Command::AlignUpright => aligning::align(circuit, blocks, Line::Upright),
            Command::SpaceAcross => aligning::distribute(circuit, blocks, Axis::Across),
            Command::SpaceDown => aligning::distribute(circuit, blocks, Axis::Down),
            _ => return,
        };
        self.make_or_say(made, ctx);
    }

    /// Opens the list from which a command chooses.
    #[expect(clippy::wildcard_enum_match_arm, reason = "only the commands that choose from a list come here")]
    pub(super) fn open_list(&mut self, command: Command, ctx: &Context) {
        match command {
            Command::ContinueRun => self.choose_continuation(ctx),
            Command::InsertInRun => self.choose_device(),
            Command::Swap => self.pick(Asked::Swap(self.state.selection.blocks.clone()), None),
            Command::ReplaceAll => self.choose_replacement(),
            Command::AddTemplate => self.pick(Asked::Template(None), None),
            Command::Search => self.pick(Asked::Anything, None),
            _ => {}
        }
    }

    pub(super) fn renumber(&mut self, ctx: &Context) {
        let several = self.state.selection.len() > 1;
        let chosen = if several { self.state.selection.clone() } else { Selection::default() };
        let made = renumbering::renumber(&self.document.project.circuit, &chosen);
        self.make_or_say(made, ctx);
    }

    pub(super) fn enclose(&mut self, ctx: &Context) {
        match enclosing::enclose(&self.document.project, &self.state.selection.blocks) {
            Ok((step, id, also)) => {
                if self.make(step, None, ctx) {
                    self.state.selection = Selection::only(Thing::Place(id));
                    self.state.panels.nameplate.focus_first = true;
                    if !also.is_empty() {
                        self.tell(format!("Within its frame stood also {}.", also.join(", ")));
                    }
                }
            }
            Err(why) => self.say(why, ctx.pointer_latest_pos()),
        }
    }

    /// Opens the list of blocks that go on from the selected terminal.
    fn choose_continuation(&mut self, ctx: &Context) {
        match self.terminal_to_continue() {
            Some(from) => self.pick(Asked::Continue(from, None), None),
            None => self.say("every terminal of this block is taken", ctx.pointer_latest_pos()),
        }
    }

    /// Opens the list of devices for the selected run.
    fn choose_device(&mut self) {
        if let Some(run) = self.state.selection.runs.first() {
            self.pick(Asked::Insert(*run), None);
        }
    }

    /// Opens the list of stock for every block of the model of the selected one.
    fn choose_replacement(&mut self) {
        if let Some(id) = self.state.selection.blocks.first() {
            let same = swapping::same_model(&self.document.project.circuit, *id);
            self.pick(Asked::ReplaceAll(same), None);
        }
    }

    /// Puts a template on the sheet, where there is room nearest to a point or to the middle of the view.
    pub(super) fn place_template(&mut self, template: Template, at: Option<GridPoint>, ctx: &Context) {
        let sheet = &self.state.panels.sheet;
        let near = at.unwrap_or_else(|| sheet.middle());
        let middle = templates::room(&self.document.project, &sheet.drawn.routes, template, near);
        let engine = &self.desk.engine;
        let dangers = |trial: &Project, blocks: &[BlockId]| dangers(trial, blocks, engine);
        match templates::place(&self.document.project, &engine.stock, template, middle, dangers) {
            Ok((step, blocks)) => {
                self.state.area = super::areas::Area::Draft;
                if self.make(step, None, ctx) {
                    self.select_new(blocks);
                }
            }
            Err(why) => self.say(why, ctx.pointer_latest_pos()),
        }
    }
}

/// How many dangers the rules find at some blocks, or at the runs between them.
fn dangers(project: &Project, blocks: &[BlockId], engine: &Engine) -> usize {
    let derived = derive(project, engine, 0);
    let between = |id| {
        let run = project.circuit.run(id);
        run.is_some_and(|run| blocks.contains(&run.from.block) && blocks.contains(&run.to.block))
    };
    let is_own = |part: Part| match part {
        Part::Block(id) => blocks.contains(&id),
        Part::Run(id) | Part::RunEnd(id, _) => between(id),
        Part::Place(_) | Part::Project => false,
    };
    let findings = derived.findings().iter();
    findings.filter(|finding| finding.severity == Severity::Danger && is_own(finding.at)).count()
}
