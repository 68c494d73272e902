//! Places: where the equipment of a proposal stands, with what the rooms are to be like.

use super::draft::Draft;
use super::route::Stand;
use super::why::Why;
use crate::terms::Terms;
use lineside_core::circuit::{Opposite, PlaceFacts, PlaceId, Surroundings};
use lineside_core::kinds::common::Fitted;
use lineside_core::units::{Celsius, CubicMeters, Meters, SquareCentimeters};

/// The places of a proposal.
#[derive(Clone, Copy, Debug)]
pub(super) struct Places {
    /// Where the array stands.
    pub array: PlaceId,
    /// The outside wall, for arrays on a building.
    pub wall: Option<PlaceId>,
    /// The power panel, an enclosure in the power room.
    pub panel: PlaceId,
    /// Where the battery stands: its own room when it gasses.
    pub bank: PlaceId,
    /// Where the loads are.
    pub house: PlaceId,
    /// Where the generator stands.
    pub engine: Option<PlaceId>,
    /// Where the service comes in.
    pub service: Option<PlaceId>,
}

/// Whether something is part of a proposal.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Part {
    /// It is.
    There,
    /// It is not.
    Absent,
}

impl Terms<'_> {
    /// Where the array stands, and with it the equipment.
    pub(super) fn stand(&self) -> Stand {
        if self.array_is_on_building() { Stand::OnBuilding } else { Stand::OnGround }
    }
}

impl Draft<'_> {
    fn celsius(&self, name: &'static str) -> Celsius {
        Celsius::new(self.terms.factors.value(name))
    }

    fn outdoors(&self, surroundings: Surroundings) -> PlaceFacts {
        let site = &self.project.brief.site;
        PlaceFacts {
            surroundings: Some(surroundings),
            coldest: site.record_low,
            hottest: site.design_high.map(|high| high.max(Celsius::new(0.0))),
            ..PlaceFacts::unknown()
        }
    }

    fn indoors(&self, surroundings: Surroundings) -> PlaceFacts {
        let high = self.project.brief.site.design_high.unwrap_or(Celsius::STANDARD_TEST);
        PlaceFacts {
            surroundings: Some(surroundings),
            coldest: Some(Celsius::new(5.0)),
            hottest: Some(self.celsius("room_hottest").max(high)),
            ..self.working_space()
        }
    }

    fn working_space(&self) -> PlaceFacts {
        let meters = |name| Some(Meters::new(self.terms.factors.value(name)));
        PlaceFacts {
            working_depth: meters("work_depth"),
            working_width: meters("work_width"),
            working_height: meters("work_height"),
            opposite: Some(Opposite::Grounded),
            ..PlaceFacts::unknown()
        }
    }

    /// Lays the places out.
    pub(super) fn places(&mut self, gassing: Part, engine: Part, service: Part) -> Result<Places, Why> {
        let on_building = self.terms.stand() == Stand::OnBuilding;
        let array = if on_building {
            self.place("Roof", None, self.outdoors(Surroundings::Roof))?
        } else {
            self.place("Array field", None, self.outdoors(Surroundings::Ground))?
        };
        let wall = if on_building {
            Some(self.place("Outside wall", None, self.outdoors(Surroundings::OutsideWall))?)
        } else {
            None
        };
        let (name, room) = if on_building {
            ("Utility room", Surroundings::UtilityRoom)
        } else {
            ("Power shed", Surroundings::EquipmentShed)
        };
        let lithium = PlaceFacts { smoke_detection: Some(Fitted::Yes), ..self.indoors(room) };
        let facts = if gassing == Part::There { self.indoors(room) } else { lithium };
        let coldest = if gassing == Part::Absent { Some(self.terms.cold_bank()) } else { facts.coldest };
        let facts = PlaceFacts { coldest, ..facts };
        let room_id = self.place(name, None, facts)?;
        let panel = self.place("Power panel", Some(room_id), PlaceFacts::unknown())?;
        let bank = if gassing == Part::There { self.battery_room(room)? } else { room_id };
        let house = if on_building {
            room_id
        } else {
            self.place("Building", None, self.indoors(Surroundings::Indoors))?
        };
        let engine = match engine {
            Part::There => Some(self.place("Generator pad", None, self.outdoors(Surroundings::Ground))?),
            Part::Absent => None,
        };
        let service = match service {
            Part::There => {
                let outside = PlaceFacts { opposite: Some(Opposite::Grounded), ..self.working_space() };
                let outdoors = self.outdoors(Surroundings::OutsideWall);
                let facts = PlaceFacts {
                    surroundings: outdoors.surroundings,
                    coldest: outdoors.coldest,
                    hottest: outdoors.hottest,
                    ..outside
                };
                Some(self.place("Service entrance", None, facts)?)
            }
            Part::Absent => None,
        };
        Ok(Places { array, wall, panel, bank, house, engine, service })
    }

    fn battery_room(&mut self, surroundings: Surroundings) -> Result<PlaceId, Why> {
        let facts = PlaceFacts {
            surroundings: Some(surroundings),
            // It is kept as warm as the search takes it to be.
            coldest: Some(self.terms.cold_bank()),
            hottest: Some(self.celsius("bank_hottest").max(self.terms.cold_bank())),
            // As good as nothing: what the rules ask for comes when the current is known.
            vent_opening: Some(SquareCentimeters::new(1.0)),
            spark_distance: Some(Meters::new(0.1)),
            volume: Some(CubicMeters::new(14.0)),
            ..self.working_space()
        };
        self.place("Battery room", None, facts)
    }
}
