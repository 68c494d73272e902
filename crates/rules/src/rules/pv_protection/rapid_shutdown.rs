//! Rule `rapid-shutdown`.

use crate::circumstances::Circumstances;
use crate::finding::{Finding, Part, Severity, words};
use crate::places::Told;
use crate::proposals::{insertion, new_block, one_after_another, stock_of};
use crate::remedy::Proposal;
use crate::report::Report;
use crate::rule::rule;
use crate::rules::pv_protection::shutdown::{Array, Control, arrays};
use lineside_codes::FactorKey;
use lineside_core::circuit::{Block, PlaceId, Run, Side, Surroundings};
use lineside_core::edit::Edit;
use lineside_core::kinds::common::Fitted;
use lineside_core::kinds::rapid_shutdown::{ReceiverReach, ShutdownInitiator, ShutdownReceiver};
use lineside_core::kinds::switch::Switch;
use lineside_core::kinds::{Equipment, Kind};
use lineside_core::project::{Project, RuleSet, StockItem};
use lineside_core::units::{Seconds, Volts};
use lineside_core::working::{Listener, Origin, Working};
use lineside_study::{Missing, Owner, ShutdownSubject};
use std::collections::BTreeMap;

rule! {
    /// Firefighters can make the array's conductors safe
    ///
    /// ## The harm
    /// They cut and wet live conductors.
    ///
    /// ## The limit
    /// For PV circuits on or in buildings. Outside a boundary of 1 ft around the array, and more than 3 ft inside a building
    /// from where the conductors enter, 30 V at most within 30 s. Within the boundary 80 V at most within 30 s, or a system
    /// listed for hazard control (2020 on), or an array without exposed metal, 8 ft from grounded metal. What starts it
    /// stands outside a dwelling, at a readily accessible place. The inner limit of NEC 2017, in force since 2019, is taken as
    /// in force.
    ///
    /// Exempt: arrays on the ground whose circuits enter only buildings for PV equipment; from 2023 open detached structures
    /// such as carports, and arrays off the building whose circuits end on its outside wall.
    ///
    /// ## What to do
    /// Receivers at the modules; a system listed for hazard control; the array off the building.
    RAPID_SHUTDOWN {
        id: "rapid-shutdown",
        severity: Correction,
        status: Stable,
        clauses: [
            Nec2023: "NEC 2023 690.12",
            Nec2020: "NEC 2020 690.12",
            Nec2017: "NEC 2017 690.12",
        ],
        check: check,
        remedies: remedies,
    }
}

fn check(on: &Circumstances<'_>, report: &mut Report) {
    let mut exposed: BTreeMap<(Option<PlaceId>, &'static str), Vec<Array<'_>>> = BTreeMap::new();
    let mut controlled = false;
    for array in arrays(on) {
        match array.subject {
            ShutdownSubject::Exempt => {}
            ShutdownSubject::Untold(missing) => report.cannot_tell(missing),
            ShutdownSubject::Array | ShutdownSubject::Circuits => match breach(on, report, &array) {
                Some((aspect, _, _)) => {
                    let location = on.circuit().location_of_block(array.block.id);
                    exposed.entry((location, aspect)).or_default().push(array);
                }
                None => controlled = true,
            },
        }
    }
    let all_controlled = controlled && exposed.is_empty();
    for ((location, aspect), arrays) in exposed {
        find(on, report, location, aspect, &arrays);
    }
    if all_controlled {
        initiators(on, report);
    }
}

const INSIDE: &str = "inside";
const OUTSIDE: &str = "outside";

/// What an array breaks: where, with what voltage against which limit.
fn breach(
    on: &Circumstances<'_>,
    report: &mut Report,
    array: &Array<'_>,
) -> Option<(&'static str, Volts, Volts)> {
    let at = Part::Block(array.block.id);
    if array.subject == ShutdownSubject::Array && !is_harmless(on, array) {
        let most: Volts = on.limit(FactorKey::RapidShutdownInside);
        let left = array.inside();
        if report.at_most(at, left, most).fails() {
            return Some((INSIDE, left, most));
        }
    }
    let most: Volts = on.limit(FactorKey::RapidShutdownOutside);
    match array.control {
        Control::Receivers(receiver) => {
            let left = receiver.residual_voltage;
            report.at_most(at, left, most).fails().then_some((OUTSIDE, left, most))
        }
        Control::Switch => {
            report.holds(at, || true);
            None
        }
        Control::None => {
            report.at_most(at, array.voltage, most).fails().then_some((OUTSIDE, array.voltage, most))
        }
    }
}

/// Whether the inside of the array needs no limit.
fn is_harmless(on: &Circumstances<'_>, array: &Array<'_>) -> bool {
    let listed = match array.control {
        Control::Receivers(receiver) => receiver.hazard_control == Some(Fitted::Yes),
        Control::Switch | Control::None => false,
    };
    let no_metal = on.project().brief.site.array_clear_of_metal == Some(Fitted::Yes);
    listed && on.rule_set() != RuleSet::Nec2017 || no_metal
}

/// One finding for all arrays of one location.
fn find(
    on: &Circumstances<'_>,
    report: &mut Report,
    location: Option<PlaceId>,
    aspect: &'static str,
    arrays: &[Array<'_>],
) {
    let left = |array: &Array<'_>| match (aspect, array.control) {
        (INSIDE, _) => array.inside(),
        (_, Control::Receivers(receiver)) => receiver.residual_voltage,
        (_, Control::Switch | Control::None) => array.voltage,
    };
    let Some(worst) =
        arrays.iter().max_by(|a, b| left(a).total_cmp(&left(b)).then(b.block.id.cmp(&a.block.id)))
    else {
        return;
    };
    let (key, what) = if aspect == INSIDE {
        (FactorKey::RapidShutdownInside, "inside the array's boundary")
    } else {
        (FactorKey::RapidShutdownOutside, "on the conductors from the array")
    };
    let limit: Volts = on.limit(key);
    let name = location.and_then(|id| on.circuit().place(id)).map(|place| place.name.as_str());
    let of = name.unwrap_or(&worst.block.tag);
    let title = format!("After rapid shutdown too much voltage is left {what}, at {of}");
    let at = location.map_or(Part::Block(worst.block.id), Part::Place);
    let mut working = Working::new();
    on.cold_voltage_working(worst.block.id, &mut working);
    working.found("left after rapid shutdown", "V", || worst.explanation().to_owned(), left(worst).into());
    working.given("greatest voltage", "V_most", limit.into(), || Origin::Table(on.on.clause(key).to_owned()));
    let time: Seconds = on.limit(FactorKey::RapidShutdownTime);
    working.given("within", "t", time.into(), || {
        Origin::Table(on.on.clause(FactorKey::RapidShutdownTime).to_owned())
    });
    let finding = RAPID_SHUTDOWN.finding(on, Severity::Correction, at, title).aspect(aspect);
    let parts = arrays.iter().map(|array| Part::Block(array.block.id)).filter(|part| *part != at);
    report.find(finding.also_all(parts).against(left(worst), limit).working(working));
}

/// What starts rapid shutdown: that it is there, quick enough, and outside a dwelling.
fn initiators(on: &Circumstances<'_>, report: &mut Report) {
    let all: Vec<(&Block, Option<Seconds>)> = on.circuit().blocks().filter_map(starts).collect();
    let time: Seconds = on.limit(FactorKey::RapidShutdownTime);
    for (block, acts) in &all {
        let Some(acts) = *acts else { continue };
        if report.at_most(Part::Block(block.id), acts, time).fails() {
            let title = format!("{} makes the array safe too late", block.tag);
            let at = Part::Block(block.id);
            let finding = RAPID_SHUTDOWN.finding(on, Severity::Correction, at, title).aspect("time");
            report.find(finding.against(acts, time));
        }
    }
    if report.holds(Part::Project, || !all.is_empty()).fails() {
        let title = "Nothing starts rapid shutdown".to_owned();
        let finding =
            RAPID_SHUTDOWN.finding(on, Severity::Correction, Part::Project, title).aspect("initiator");
        report.find(finding.against(words("none"), words("an initiator at a readily accessible place")));
        return;
    }
    if on.is_dwelling() == Told::Yes {
        outside_dwelling(on, report, &all);
    }
}

fn outside_dwelling(on: &Circumstances<'_>, report: &mut Report, all: &[(&Block, Option<Seconds>)]) {
    let surroundings: Vec<_> = all.iter().map(|(block, _)| on.surroundings(block.id)).collect();
    let is_outside = |it: &Option<Surroundings>| it.is_some_and(|it| !it.is_inside());
    if surroundings.iter().any(is_outside) {
        return;
    }
    let Some((block, _)) = all.first() else { return };
    if surroundings.contains(&None) {
        let owner = on.location(block.id).map_or(Owner::Block(block.id), |place| Owner::Place(place.id));
        report.cannot_tell(Missing { owner, datum: "Surroundings" });
        return;
    }
    let at = Part::Block(block.id);
    report.holds(at, || false);
    let title = format!("{} starts rapid shutdown from inside the dwelling", block.tag);
    let finding = RAPID_SHUTDOWN.finding(on, Severity::Correction, at, title).aspect("place");
    report.find(finding.against(words("inside"), words("outside the dwelling")));
}

/// Whether a block starts rapid shutdown, and how quickly if that is told.
fn starts(block: &Block) -> Option<(&Block, Option<Seconds>)> {
    if let Some(initiator) = block.equipment.as_kind::<ShutdownInitiator>() {
        return Some((block, Some(initiator.time)));
    }
    let switch = block.equipment.as_kind::<Switch>()?;
    (switch.starts_rapid_shutdown == Some(Fitted::Yes)).then_some((block, None))
}

/// Receivers at the modules of every array that lacks them, and something that starts them.
fn remedies(on: &Circumstances<'_>, finding: &Finding) -> Vec<Proposal> {
    let runs: Vec<(&Run, Side)> = finding
        .parts()
        .filter_map(|part| match part {
            Part::Block(id) => on.block(id),
            Part::Run(_) | Part::RunEnd(..) | Part::Place(_) | Part::Project => None,
        })
        .filter(|block| block.kind() == Kind::Strings)
        .flat_map(|block| on.circuit().runs_at(block.id).into_iter().map(move |run| (run, block.id)))
        .map(|(run, strings)| (run, if run.from.block == strings { Side::From } else { Side::To }))
        .collect();
    let each_module = |equipment: &Equipment| {
        equipment.as_kind::<ShutdownReceiver>().is_some_and(|it| it.reach == ReceiverReach::EachModule)
    };
    let add_initiator = (!on.circuit().blocks().any(|block| starts(block).is_some()))
        .then_some(|project: &Project| initiator(project, on.stock));
    let mut proposals = Vec::new();
    for item in stock_of(on, Kind::ShutdownReceiver, each_module) {
        let label = item.name.clone();
        let steps = runs.iter().map(|(run, side)| {
            let item = item.clone();
            Box::new(move |project: &Project| insertion(project, run, *side, item))
                as Box<dyn FnOnce(&Project) -> Option<Edit> + '_>
        });
        let last = add_initiator.map(|step| Box::new(step) as Box<dyn FnOnce(&Project) -> Option<Edit> + '_>);
        if let (false, Some(edit)) = (runs.is_empty(), one_after_another(on.project(), steps.chain(last))) {
            proposals.push(Proposal { label, edit });
        }
    }
    if runs.is_empty()
        && let Some(edit) = add_initiator.and_then(|step| step(on.project()))
    {
        proposals.push(Proposal { label: "An initiator outside".to_owned(), edit });
    }
    proposals
}

/// The first initiator of the stock, at a place outside if there is one.
fn initiator(project: &Project, stock: &[StockItem]) -> Option<Edit> {
    let item = stock.iter().find(|item| item.equipment.kind() == Kind::ShutdownInitiator)?.clone();
    let outside = project.circuit.places().find(|place| {
        matches!(place.facts.surroundings, Some(Surroundings::OutsideWall | Surroundings::Ground))
    });
    let at = outside.map(|place| place.at).unwrap_or_default();
    let block = new_block(project, item, outside.map(|place| place.id), at)?;
    Some(Edit::InsertBlock(Box::new(block)))
}
