//! Which arrays must be made safe in an emergency, by where they stand and what their circuits pass. What would make
//! them safe, and whether it does, is in the rules.

use crate::conditions::Conditions;
use crate::missing::{Missing, Owner};
use crate::network::Network;
use crate::places::Told;
use crate::zones::Zone;
use lineside_core::circuit::{BlockId, Surroundings};
use lineside_core::kinds::Equipment;
use lineside_core::project::{ArrayStructure, RuleSet};

/// How far rapid shutdown applies to an array.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum ShutdownSubject {
    /// Not at all.
    Exempt,
    /// The array itself and its conductors.
    Array,
    /// Only the conductors, since the array stands off the building.
    Circuits,
    /// The project does not say.
    Untold(Missing),
}

/// How far it applies to the strings of an array side.
pub fn of(on: &Conditions<'_>, network: &Network, zone: &Zone, strings: BlockId) -> ShutdownSubject {
    let edition_2023 = on.rule_set == RuleSet::Nec2023;
    match on.array_on_building(strings) {
        Told::Untold => ShutdownSubject::Untold(Missing::site("Array on a building")),
        Told::Yes => {
            let open = on.project.brief.site.array_structure == Some(ArrayStructure::OpenStructure);
            if open && edition_2023 { circuits(on, network, zone) } else { ShutdownSubject::Array }
        }
        Told::No => circuits(on, network, zone),
    }
}

/// An array off the building: its circuits count where they are in a building that is used for something else.
fn circuits(on: &Conditions<'_>, network: &Network, zone: &Zone) -> ShutdownSubject {
    let mut untold = None;
    for id in zone.blocks(network) {
        let block = on.project.circuit.block(id);
        let is_strings = matches!(block.map(|block| &block.equipment), Some(Equipment::Strings(_)));
        match on.surroundings(id) {
            _ if is_strings => {}
            Some(Surroundings::Indoors | Surroundings::UtilityRoom | Surroundings::Garage) => {
                return ShutdownSubject::Circuits;
            }
            Some(Surroundings::Roof | Surroundings::OutsideWall) if on.rule_set != RuleSet::Nec2023 => {
                return ShutdownSubject::Circuits;
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
    untold.map_or(ShutdownSubject::Exempt, |block| {
        ShutdownSubject::Untold(match on.location(block) {
            Some(place) => Missing { owner: Owner::Place(place.id), datum: "Surroundings" },
            None => Missing::block(block, "Place"),
        })
    })
}
