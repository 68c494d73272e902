//! The data of a run: its ends, its conductors or that it has none, and how it is laid.

use super::block::{judge_tag, text_event};
use super::combo::combo;
use super::row::{self, Pad, fact_ui, row_ui};
use super::{NameplateState, group, head};
use crate::window::action::{Action, Actions};
use crate::window::areas::draft::{figures, findings};
use crate::window::edits::fields::Owner;
use crate::window::edits::{Labeled, wiring};
use crate::window::view::View;
use egui::{Id, Sense, Ui};
use lineside_core::circuit::{Run, RunId, Side};
use lineside_core::edit::Edit;
use lineside_core::kinds::field::Layer;
use lineside_rules::Part;
use std::collections::BTreeSet;

/// One run.
pub fn run_ui(ui: &mut Ui, view: &View<'_>, id: RunId, state: &mut NameplateState, actions: &mut Actions) {
    let circuit = &view.project().circuit;
    let Some(run) = circuit.run(id) else { return };
    head(ui, view.tokens, &run.tag, if run.conductor.is_some() { "run" } else { "direct joint" });
    let parts = [Part::Run(id), Part::RunEnd(id, Side::From), Part::RunEnd(id, Side::To)];
    findings::of_parts_ui(ui, view, &parts, &mut state.findings, actions);
    tag_ui(ui, view, run, state, actions);
    fact_ui(ui, view.tokens, "From", &circuit.end_name(run.from));
    fact_ui(ui, view.tokens, "To", &circuit.end_name(run.to));
    made_of_ui(ui, view, run, actions);
    figures::figures_ui(ui, view, actions);
    if run.conductor.is_some() {
        fields_ui(ui, view, &BTreeSet::from([id]), state, actions);
    }
    group(ui, "Note");
    let row = (Id::unique(("note", id)), run.note.as_str(), "none");
    let (event, _) =
        row::text_ui(ui, view.tokens, "Note", row, &mut state.entries, |typed| Ok(typed.to_owned()));
    let edit = |note| {
        Labeled::new(format!("note of {}", run.tag), Edit::SetRun(Box::new(Run { note, ..run.clone() })))
    };
    text_event(event, edit, state, actions);
}

/// Several runs: the conductor data that they share.
pub fn runs_ui(
    ui: &mut Ui,
    view: &View<'_>,
    ids: &BTreeSet<RunId>,
    state: &mut NameplateState,
    actions: &mut Actions,
) {
    let circuit = &view.project().circuit;
    head(ui, view.tokens, &format!("{} runs", ids.len()), "");
    let with_conductors = ids
        .iter()
        .copied()
        .filter(|id| circuit.run(*id).is_some_and(|run| run.conductor.is_some()))
        .collect();
    fields_ui(ui, view, &with_conductors, state, actions);
}

fn tag_ui(ui: &mut Ui, view: &View<'_>, run: &Run, state: &mut NameplateState, actions: &mut Actions) {
    let row = (Id::unique(("tag", run.id)), run.tag.as_str(), "");
    let judge = |typed: &str| judge_tag(view, typed, &run.tag);
    let (event, response) = row::text_ui(ui, view.tokens, "Tag", row, &mut state.entries, judge);
    if std::mem::take(&mut state.focus_first) {
        response.request_focus();
    }
    let edit =
        |tag| Labeled::new(format!("tag {}", run.tag), Edit::SetRun(Box::new(Run { tag, ..run.clone() })));
    text_event(event, edit, state, actions);
}

fn made_of_ui(ui: &mut Ui, view: &View<'_>, run: &Run, actions: &mut Actions) {
    const CONDUCTOR: &str = "conductors";
    const JOINT: &str = "direct joint";
    let shown = if run.conductor.is_some() { CONDUCTOR } else { JOINT };
    let mut change = |to: Run| {
        actions.push(Action::Make(
            Labeled::new(format!("make-up of {}", run.tag), Edit::SetRun(Box::new(to))),
            None,
        ));
    };
    row_ui(ui, view.tokens, "Made of", Sense::hover(), |ui, width| {
        combo(ui, view.tokens, ("made of", run.id), ("Made of", shown), width, |ui| {
            if ui.selectable_label(run.conductor.is_some(), CONDUCTOR).clicked() && run.conductor.is_none() {
                let conductor = wiring::usual_conductor(view.units());
                change(Run { conductor: Some(Box::new(conductor)), ..run.clone() });
            }
            let joint = ui.selectable_label(run.conductor.is_none(), JOINT);
            let joint = joint.on_hover_text("The two are bolted or plugged together, without a conductor.");
            if joint.clicked() && run.conductor.is_some() {
                change(Run { conductor: None, ..run.clone() });
            }
        })
    });
}

fn fields_ui(
    ui: &mut Ui,
    view: &View<'_>,
    ids: &BTreeSet<RunId>,
    state: &mut NameplateState,
    actions: &mut Actions,
) {
    let owner = Owner::Runs(ids.clone());
    let fields = owner.fields(&view.project().circuit);
    for (layer, title) in [(Layer::Nameplate, "Conductors"), (Layer::Setting, "How it is laid")] {
        group(ui, title);
        let mut pad = Pad { entries: &mut state.entries, actions, leave: &mut state.leave };
        for field in fields.iter().copied().filter(|field| field.layer == layer) {
            row::field_ui(ui, view, &owner, field, &mut pad);
        }
    }
}
