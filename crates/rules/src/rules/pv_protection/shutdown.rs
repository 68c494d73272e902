//! Which arrays must be made safe in an emergency, and what would do it. What is asked of them is in
//! `rapid_shutdown.rs`.

use crate::circumstances::Circumstances;
use crate::places::Told;
use lineside_core::circuit::{Block, Surroundings};
use lineside_core::kinds::Equipment;
use lineside_core::kinds::common::Fitted;
use lineside_core::kinds::inside::SourceKind;
use lineside_core::kinds::rapid_shutdown::{ReceiverReach, ShutdownReceiver};
use lineside_core::kinds::strings::Strings;
use lineside_core::kinds::switch::Switch;
use lineside_core::project::{ArrayStructure, RuleSet};
use lineside_core::units::Volts;
use lineside_study::ways;
use lineside_study::{Missing, NodeId, Zone, ZoneKind};

/// How far the rule applies to an array.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) enum Subject {
    /// Not at all.
    Exempt,
    /// The array itself and its conductors.
    Array,
    /// Only the conductors, since the array stands off the building.
    Circuits,
    /// The project does not say.
    Untold(Missing),
}

/// What makes the conductors of an array safe.
#[derive(Clone, Copy)]
pub(super) enum Control<'a> {
    /// Receivers on every way from the strings.
    Receivers(&'a ShutdownReceiver),
    /// A switch that also starts the shutdown.
    Switch,
    /// Nothing.
    None,
}

/// A set of strings as the rule sees it.
#[derive(Clone, Copy)]
pub(super) struct Array<'a> {
    /// The block.
    pub block: &'a Block,
    strings: &'a Strings,
    /// Cold voltage of a string; at 25 °C when the record low is not given.
    pub voltage: Volts,
    /// How far the rule applies.
    pub subject: Subject,
    /// What makes it safe.
    pub control: Control<'a>,
}

impl Array<'_> {
    /// What is left within the array: a module where each is switched off from the next, else a string.
    pub(super) fn inside(&self) -> Volts {
        match self.control {
            Control::Receivers(ShutdownReceiver { reach: ReceiverReach::EachModule, .. }) => {
                self.voltage / f64::from(self.strings.modules_in_series)
            }
            Control::Receivers(_) | Control::Switch | Control::None => self.voltage,
        }
    }
    /// How that comes about, in words.
    pub(super) const fn explanation(&self) -> &'static str {
        match self.control {
            Control::Receivers(ShutdownReceiver { reach: ReceiverReach::EachModule, .. }) => {
                "one module, V_max / n"
            }
            Control::Receivers(_) => "a whole string, or what the receiver leaves",
            Control::Switch | Control::None => "a whole string, V_max",
        }
    }
}

/// Every set of strings that is wired to something.
pub(super) fn arrays<'a>(on: &Circumstances<'a>) -> Vec<Array<'a>> {
    let mut found = Vec::new();
    for zone in on.zones(ZoneKind::Pv) {
        let has_switch = on.poles_in(zone).any(|pole| {
            on.block(pole.block)
                .and_then(|block| block.equipment.as_kind::<Switch>())
                .is_some_and(|it| it.starts_rapid_shutdown == Some(Fitted::Yes))
        });
        for source in zone.sources.iter().filter_map(|i| on.studies.network.sources().get(*i)) {
            let Some(block) = on.block(source.block).filter(|_| source.kind == SourceKind::Strings) else {
                continue;
            };
            let Equipment::Strings(strings) = &block.equipment else { continue };
            if on.circuit().runs_at(block.id).is_empty() {
                continue;
            }
            let control = match receiver(on, source.node) {
                Some(receiver) => Control::Receivers(receiver),
                None if has_switch => Control::Switch,
                None => Control::None,
            };
            let voltages = on.studies.windows.strings(block.id);
            let voltage = voltages.and_then(|it| it.cold_open_circuit.or(Some(it.open_circuit)));
            found.push(Array {
                block,
                strings,
                voltage: voltage.unwrap_or_default(),
                subject: subject(on, zone, block),
                control,
            });
        }
    }
    found
}

/// The receivers on the ways from the strings; `None` when some way has none. The one that leaves the most counts.
fn receiver<'a>(on: &Circumstances<'a>, node: NodeId) -> Option<&'a ShutdownReceiver> {
    let network = &on.studies.network;
    let of = |block| on.block(block).and_then(|block| block.equipment.as_kind::<ShutdownReceiver>());
    let found = ways::from(on.circuit(), network, node, |pole| of(pole.block).is_some());
    if !found.open.is_empty() {
        return None;
    }
    let receivers = found.stops.iter().filter_map(|stop| of(network.poles().get(stop.pole)?.block));
    receivers.max_by(|a, b| {
        let whole = |it: &ShutdownReceiver| it.reach == ReceiverReach::WholeString;
        whole(a).cmp(&whole(b)).then(a.residual_voltage.total_cmp(&b.residual_voltage))
    })
}

fn subject(on: &Circumstances<'_>, zone: &Zone, strings: &Block) -> Subject {
    let edition_2023 = on.rule_set() == RuleSet::Nec2023;
    match on.array_on_building(strings.id) {
        Told::Untold => Subject::Untold(Missing::site("Array on a building")),
        Told::Yes => {
            let open = on.project().brief.site.array_structure == Some(ArrayStructure::OpenStructure);
            if open && edition_2023 { circuits(on, zone) } else { Subject::Array }
        }
        Told::No => circuits(on, zone),
    }
}

/// An array off the building: its circuits count where they are in a building that is used for something else.
fn circuits(on: &Circumstances<'_>, zone: &Zone) -> Subject {
    let mut untold = None;
    for id in zone.blocks(&on.studies.network) {
        let is_strings = matches!(on.block(id).map(|block| &block.equipment), Some(Equipment::Strings(_)));
        match on.surroundings(id) {
            _ if is_strings => {}
            Some(Surroundings::Indoors | Surroundings::UtilityRoom | Surroundings::Garage) => {
                return Subject::Circuits;
            }
            Some(Surroundings::Roof | Surroundings::OutsideWall) if on.rule_set() != RuleSet::Nec2023 => {
                return Subject::Circuits;
            }
            Some(
                Surroundings::Roof
                | Surroundings::OutsideWall
                | Surroundings::Ground
                | Surroundings::EquipmentShed,
            ) => {}
            None => untold = untold.or(Some(id)),
        }
    }
    untold.map_or(Subject::Exempt, |block| {
        Subject::Untold(match on.location(block) {
            Some(place) => Missing { owner: lineside_study::Owner::Place(place.id), datum: "Surroundings" },
            None => Missing::block(block, "Place"),
        })
    })
}
