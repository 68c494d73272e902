//! A place: a location (array field, power wall) or an enclosure in a location (combiner box, panel).

use super::block::GridPoint;
use super::ids::PlaceId;
use crate::kinds::common::Fitted;
use crate::kinds::declare::{choice, equipment};
use crate::units::{Celsius, CubicMeters, CubicMetersPerHour, Meters, Millimeters, SquareCentimeters};
use serde::{Deserialize, Serialize};

/// Whether a place is a location or an enclosure in one.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum PlaceKind {
    /// Blocks in one location are within sight of each other.
    Location,
    /// A box or panel within a location.
    Enclosure,
}

choice! {
    /// Where a location is.
    Surroundings {
        /// On open ground.
        Ground = "ground", "on the ground";
        /// On a roof.
        Roof = "roof", "on a roof";
        /// Outside, on a wall.
        OutsideWall = "outside_wall", "on an outside wall";
        /// Inside, in a room where people live.
        Indoors = "indoors", "indoors";
        /// Inside, in a room where nobody stays: utility room, basement, store.
        UtilityRoom = "utility_room", "in a utility room, basement or store";
        /// In a garage.
        Garage = "garage", "in a garage";
        /// In a shed that only houses PV and battery equipment.
        EquipmentShed = "equipment_shed", "in a shed for the equipment";
    }
}

impl Surroundings {
    /// Whether it is a room of a building, sheds for the equipment included.
    pub const fn is_inside(self) -> bool {
        match self {
            Self::Indoors | Self::UtilityRoom | Self::Garage | Self::EquipmentShed => true,
            Self::Ground | Self::Roof | Self::OutsideWall => false,
        }
    }
    /// Whether it is on or in a building.
    pub const fn is_on_or_in_building(self) -> bool {
        !matches!(self, Self::Ground)
    }
}

choice! {
    /// What stands opposite live parts that are worked on.
    Opposite {
        /// Nothing live and nothing grounded.
        Clear = "clear", "nothing live or grounded";
        /// Grounded parts; concrete, brick and tile count.
        Grounded = "grounded", "grounded parts, concrete, brick or tile";
        /// Live parts.
        Live = "live", "live parts";
    }
}

equipment! {
    /// What rules need to know of a place. All of it may be unknown.
    PlaceFacts
    nameplate {}
    optional {}
    settings {}
    chosen {
        /// Where it is.
        surroundings: Surroundings, "Surroundings";
        /// Coldest it gets there.
        coldest: Celsius, "Coldest", -60 to 40;
        /// Hottest it gets there.
        hottest: Celsius, "Hottest", 0 to 90;
        /// Free area of each of two openings, one low and one high.
        vent_opening: SquareCentimeters, "Each vent opening", 0 to 100_000;
        /// Air that a fan moves, with its flow proved.
        vent_fan: CubicMetersPerHour, "Proved fan", 0 to 100_000;
        /// Volume of the room.
        volume: CubicMeters, "Volume", 0.1 to 100_000;
        /// Clear depth in front of the equipment.
        working_depth: Meters, "Clear depth in front", 0 to 20;
        /// Clear width in front of the equipment.
        working_width: Meters, "Clear width in front", 0 to 50;
        /// Clear height.
        working_height: Meters, "Clear height", 0 to 20;
        /// What stands opposite the equipment, across its working space.
        opposite: Opposite, "Opposite the equipment";
        /// Distance from the nearest battery vent to the nearest device that can spark.
        spark_distance: Meters, "From vent to nearest spark", 0 to 50;
        /// Whether smoke or heat is detected there.
        smoke_detection: Fitted, "Smoke or heat detector";
        /// Whether only qualified people can get in.
        locked: Fitted, "Locked to all but qualified people";
        /// Air between battery cells and the wall.
        cell_gap: Millimeters, "Air between cells and wall", 0 to 2000;
        /// Least distance between lithium units, and from them to doors and windows.
        unit_spacing: Meters, "Between storage units, doors and windows", 0 to 50;
        /// Whether vehicles are kept off the storage units.
        vehicle_barrier: Fitted, "Guard against vehicles";
    }
}

impl PlaceFacts {
    /// Nothing known.
    pub const fn unknown() -> Self {
        Self {
            surroundings: None,
            coldest: None,
            hottest: None,
            vent_opening: None,
            vent_fan: None,
            volume: None,
            working_depth: None,
            working_width: None,
            working_height: None,
            opposite: None,
            spark_distance: None,
            smoke_detection: None,
            locked: None,
            cell_gap: None,
            unit_spacing: None,
            vehicle_barrier: None,
        }
    }
}

/// A location or an enclosure.
#[derive(Clone, Debug, PartialEq)]
pub struct Place {
    /// Its id, for good.
    pub id: PlaceId,
    /// Its name, unlike any other place's.
    pub name: String,
    /// Location or enclosure.
    pub kind: PlaceKind,
    /// The place in which it stands.
    pub within: Option<PlaceId>,
    /// Upper left corner of its frame.
    pub at: GridPoint,
    /// Width and height of its frame.
    pub size: GridPoint,
    /// What rules need to know of it.
    pub facts: PlaceFacts,
}

impl Place {
    /// Whether a point lies in its frame.
    pub fn contains(&self, point: GridPoint) -> bool {
        let inside = |value: i32, low: i32, extent: i32| value >= low && value <= low.saturating_add(extent);
        inside(point.x, self.at.x, self.size.x) && inside(point.y, self.at.y, self.size.y)
    }
}
