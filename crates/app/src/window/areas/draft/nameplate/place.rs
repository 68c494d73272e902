//! The data of a place: its name, what it is, in what it stands, and the facts that rules ask for.

use super::block::text_event;
use super::combo::combo;
use super::row::{self, Pad, row_ui};
use super::{NameplateState, group, head};
use crate::window::action::{Action, Actions};
use crate::window::areas::draft::findings;
use crate::window::edits::Labeled;
use crate::window::edits::fields::Owner;
use crate::window::view::View;
use egui::{Id, Sense, Ui};
use lineside_core::circuit::{Place, PlaceId, PlaceKind};
use lineside_core::edit::{Edit, Refusal};
use lineside_rules::Part;

/// A place.
pub fn place_ui(
    ui: &mut Ui,
    view: &View<'_>,
    id: PlaceId,
    state: &mut NameplateState,
    actions: &mut Actions,
) {
    let circuit = &view.project().circuit;
    let Some(place) = circuit.place(id) else { return };
    head(ui, view.tokens, &place.name, kind_label(place.kind));
    findings::of_parts_ui(ui, view, &[Part::Place(id)], &mut state.findings, actions);
    name_ui(ui, view, place, state, actions);
    kind_ui(ui, view, place, actions);
    within_ui(ui, view, place, actions);
    group(ui, "Facts");
    let owner = Owner::Place(id);
    let mut pad = Pad { entries: &mut state.entries, actions, leave: &mut state.leave };
    for field in owner.fields(circuit) {
        row::field_ui(ui, view, &owner, field, &mut pad);
    }
}

const fn kind_label(kind: PlaceKind) -> &'static str {
    match kind {
        PlaceKind::Location => "location",
        PlaceKind::Enclosure => "enclosure",
    }
}

fn name_ui(ui: &mut Ui, view: &View<'_>, place: &Place, state: &mut NameplateState, actions: &mut Actions) {
    let judge = |typed: &str| {
        let name = typed.trim();
        if !(1..=60).contains(&name.chars().count()) {
            return Err(Refusal::BadName.to_string());
        }
        let taken = view.project().circuit.place_by_name(name).is_some_and(|other| other.id != place.id);
        if taken { Err(Refusal::NameTaken(name.to_owned()).to_string()) } else { Ok(name.to_owned()) }
    };
    let row = (Id::unique(("name", place.id)), place.name.as_str(), "");
    let (event, response) = row::text_ui(ui, view.tokens, "Name", row, &mut state.entries, judge);
    if std::mem::take(&mut state.focus_first) {
        response.request_focus();
    }
    let edit = |name| {
        Labeled::new(
            format!("rename {}", place.name),
            Edit::SetPlace(Box::new(Place { name, ..place.clone() })),
        )
    };
    text_event(event, edit, state, actions);
}

fn kind_ui(ui: &mut Ui, view: &View<'_>, place: &Place, actions: &mut Actions) {
    row_ui(ui, view.tokens, "Kind", Sense::hover(), |ui, width| {
        combo(ui, view.tokens, ("kind of", place.id), ("Kind", kind_label(place.kind)), width, |ui| {
            for kind in [PlaceKind::Location, PlaceKind::Enclosure] {
                if ui.selectable_label(place.kind == kind, kind_label(kind)).clicked() {
                    change(place, Place { kind, ..place.clone() }, "kind", actions);
                }
            }
        })
    });
}

fn within_ui(ui: &mut Ui, view: &View<'_>, place: &Place, actions: &mut Actions) {
    let circuit = &view.project().circuit;
    let shown = place.within.and_then(|id| circuit.place(id)).map_or("nothing", |outer| outer.name.as_str());
    row_ui(ui, view.tokens, "Stands in", Sense::hover(), |ui, width| {
        combo(ui, view.tokens, ("within of", place.id), ("Stands in", shown), width, |ui| {
            if ui.selectable_label(place.within.is_none(), "nothing").clicked() {
                change(place, Place { within: None, ..place.clone() }, "surroundings", actions);
            }
            for outer in circuit.places().filter(|outer| outer.id != place.id) {
                if ui.selectable_label(place.within == Some(outer.id), &outer.name).clicked() {
                    change(place, Place { within: Some(outer.id), ..place.clone() }, "surroundings", actions);
                }
            }
        })
    });
}

fn change(place: &Place, to: Place, what: &str, actions: &mut Actions) {
    let step = Labeled::new(format!("{what} of {}", place.name), Edit::SetPlace(Box::new(to)));
    actions.push(Action::Make(step, None));
}
