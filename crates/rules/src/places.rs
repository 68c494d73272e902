//! What rules ask of places: where a block stands, whether a circuit is on or in a building, whether a device is
//! in sight. Verdicts are in the rules.

use crate::circumstances::Circumstances;
use lineside_core::circuit::{Block, BlockId, Place, PlaceFacts, PlaceId, PlaceKind, Surroundings};
use lineside_core::kinds::Equipment;
use lineside_core::project::ArrayStructure;
pub(crate) use lineside_study::Told;
use lineside_study::Zone;
use std::collections::BTreeMap;

impl<'a> Circumstances<'a> {
    /// The place in which a block stands.
    pub(crate) fn place_of(&self, block: BlockId) -> Option<&'a Place> {
        self.on.place_of(block)
    }

    /// The location in which a block stands.
    pub(crate) fn location(&self, block: BlockId) -> Option<&'a Place> {
        self.on.location(block)
    }

    /// A fact of a block's place, of the enclosure or else of the location around it, with the place that has it.
    pub(crate) fn fact<T>(
        &self,
        block: BlockId,
        fact: impl Fn(&PlaceFacts) -> Option<T>,
    ) -> Option<(&'a Place, T)> {
        self.on.fact(block, fact)
    }

    /// Where a block is.
    pub(crate) fn surroundings(&self, block: BlockId) -> Option<Surroundings> {
        self.on.surroundings(block)
    }

    /// Whether two blocks stand in one location, and so in sight of each other.
    pub(crate) fn in_sight(&self, a: BlockId, b: BlockId) -> Told {
        let location = |block| self.circuit().location_of_block(block);
        match (location(a), location(b)) {
            (Some(a), Some(b)) if a == b => Told::Yes,
            (Some(_), Some(_)) => Told::No,
            (None, _) | (_, None) => Told::Untold,
        }
    }

    /// Whether a block stands in an enclosure.
    pub(crate) fn is_enclosed(&self, block: BlockId) -> bool {
        self.place_of(block).is_some_and(|place| place.kind == PlaceKind::Enclosure)
    }

    /// Whether the system serves a one- or two-family dwelling.
    pub(crate) fn is_dwelling(&self) -> Told {
        self.on.is_dwelling()
    }

    /// Whether a set of strings is on or in a building: as the brief says, else by its place, else by its mounting.
    pub(crate) fn array_on_building(&self, strings: BlockId) -> Told {
        self.on.array_on_building(strings)
    }

    /// Whether the array stands on something detached that carries or houses nothing but PV equipment.
    pub(crate) fn array_on_pv_structure(&self) -> bool {
        matches!(
            self.project().brief.site.array_structure,
            Some(ArrayStructure::EquipmentBuilding | ArrayStructure::OpenStructure)
        )
    }

    /// Whether the circuits of an array side are on or in a building anywhere.
    pub(crate) fn pv_on_or_in_building(&self, zone: &Zone) -> Told {
        let mut all_known = true;
        for id in zone.blocks(&self.studies.network) {
            let told = match self.block(id).map(|block| &block.equipment) {
                Some(Equipment::Strings(_)) => self.array_on_building(id),
                _ => match self.surroundings(id) {
                    Some(surroundings) if surroundings.is_on_or_in_building() => Told::Yes,
                    Some(_) => Told::No,
                    None => Told::Untold,
                },
            };
            match told {
                Told::Yes => return Told::Yes,
                Told::No => {}
                Told::Untold => all_known = false,
            }
        }
        if all_known { Told::No } else { Told::Untold }
    }

    /// The blocks of a kind by the location in which they stand, in the order of ids.
    pub(crate) fn by_location(&self, wanted: impl Fn(&Block) -> bool) -> BTreeMap<PlaceId, Vec<&'a Block>> {
        let mut found: BTreeMap<PlaceId, Vec<&'a Block>> = BTreeMap::new();
        for block in self.circuit().blocks().filter(|block| wanted(block)) {
            if let Some(location) = self.circuit().location_of_block(block.id) {
                found.entry(location).or_default().push(block);
            }
        }
        found
    }
}
