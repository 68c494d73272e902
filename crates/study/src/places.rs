//! What the project says of places and of the building: told, denied or left open. What follows from it is in the
//! other studies and in the rules.

use crate::conditions::Conditions;
use lineside_core::circuit::{BlockId, Place, PlaceFacts, Surroundings};
use lineside_core::kinds::Equipment;
use lineside_core::kinds::common::Fitted;
use lineside_core::kinds::strings::Mounting;
use lineside_core::project::BuildingUse;

/// Whether something holds; `Untold` where the project does not say.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Told {
    /// It does.
    Yes,
    /// It does not.
    No,
    /// The project does not say.
    Untold,
}

impl From<Option<Fitted>> for Told {
    fn from(given: Option<Fitted>) -> Self {
        match given {
            Some(Fitted::Yes) => Self::Yes,
            Some(Fitted::No) => Self::No,
            None => Self::Untold,
        }
    }
}

impl<'a> Conditions<'a> {
    /// The place in which a block stands.
    pub fn place_of(&self, block: BlockId) -> Option<&'a Place> {
        let circuit = &self.project.circuit;
        circuit.place(circuit.block(block)?.place?)
    }

    /// The location in which a block stands.
    pub fn location(&self, block: BlockId) -> Option<&'a Place> {
        let circuit = &self.project.circuit;
        circuit.place(circuit.location_of_block(block)?)
    }

    /// A fact of a block's place, of the enclosure or else of the location around it, with the place that has it.
    pub fn fact<T>(&self, block: BlockId, fact: impl Fn(&PlaceFacts) -> Option<T>) -> Option<(&'a Place, T)> {
        let places = [self.place_of(block), self.location(block)];
        places.into_iter().flatten().find_map(|place| Some((place, fact(&place.facts)?)))
    }

    /// Where a block is.
    pub fn surroundings(&self, block: BlockId) -> Option<Surroundings> {
        self.fact(block, |facts| facts.surroundings).map(|(_, found)| found)
    }

    /// Whether the system serves a one- or two-family dwelling.
    pub const fn is_dwelling(&self) -> Told {
        match self.project.brief.site.building {
            Some(BuildingUse::Dwelling) => Told::Yes,
            Some(BuildingUse::Other | BuildingUse::None) => Told::No,
            None => Told::Untold,
        }
    }

    /// Whether a set of strings is on or in a building: as the brief says, else by its place, else by its mounting.
    pub fn array_on_building(&self, strings: BlockId) -> Told {
        let given = Told::from(self.project.brief.site.array_on_building);
        if given != Told::Untold {
            return given;
        }
        match self.surroundings(strings) {
            Some(surroundings) if surroundings.is_on_or_in_building() => Told::Yes,
            Some(_) => Told::No,
            None => match self.project.circuit.block(strings).map(|block| &block.equipment) {
                Some(Equipment::Strings(it)) if matches!(it.mounting, Mounting::Roof | Mounting::Rack) => {
                    Told::Yes
                }
                _ => Told::Untold,
            },
        }
    }
}
