//! The site of a brief: where it is, what stands there, how cold and how hot it gets.

use crate::kinds::common::Fitted;
use crate::kinds::declare::{choice, equipment};
use crate::units::{Celsius, Degrees, FlashDensity, Hours, Meters, Percent, SquareMeters};

choice! {
    /// What kind of building the system serves.
    BuildingUse {
        /// One- or two-family dwelling.
        Dwelling = "dwelling", "one- or two-family dwelling";
        /// Any other building.
        Other = "other", "other building";
        /// No building is served.
        None = "none", "no building";
    }
}

choice! {
    /// On or in what an array stands that is not on open ground.
    ArrayStructure {
        /// A building that people use.
        Building = "building", "a building that people use";
        /// A building that houses or carries nothing but PV equipment.
        EquipmentBuilding = "equipment_building", "a building for PV equipment only";
        /// A detached structure without walls, such as a carport or trellis.
        OpenStructure = "open_structure", "an open structure such as a carport";
    }
}

equipment! {
    /// The site. All of it may be unknown; a rule that needs a missing fact asks for it.
    Site
    nameplate {}
    optional {}
    settings {}
    chosen {
        /// Latitude, north positive.
        latitude: Degrees, "Latitude", -90 to 90;
        /// Longitude, east positive.
        longitude: Degrees, "Longitude", -180 to 180;
        /// Height above the sea.
        elevation: Meters, "Elevation", -430 to 9000;
        /// Lowest temperature on record.
        record_low: Celsius, "Record low", -70 to 30;
        /// Temperature that 2 % of the hours of the hottest month exceed.
        design_high: Celsius, "2 % design high", -10 to 60;
        /// What kind of building the system serves.
        building: BuildingUse, "Building";
        /// Whether the array is on or in a building.
        array_on_building: Fitted, "Array on a building";
        /// On or in what the array stands, when it is not on open ground.
        array_structure: ArrayStructure, "Array stands on";
        /// Whether the array has no exposed wiring and no exposed metal, and grounded metal is 8 ft away.
        array_clear_of_metal: Fitted, "Array without exposed metal";
        /// Whether the battery can be shut down in an emergency at a readily accessible place outside.
        storage_stop_outside: Fitted, "Emergency shutdown of the battery, outside";
        /// Lightning flashes per km² and year.
        flash_density: FlashDensity, "Lightning density", 0 to 100;
        /// Share of sunlight that the ground throws back.
        albedo: Percent, "Albedo", 0 to 100;
        /// Standard time less UTC, where it is not the zone of the longitude.
        utc_offset: Hours, "Standard time from UTC", -12 to 14;
        /// Tilt that the array shall have, from the level.
        array_tilt: Degrees, "Array tilt", 0 to 90;
        /// Direction in which the array shall look, clockwise from north.
        array_azimuth: Degrees, "Array azimuth", 0 to 360;
        /// Area on which modules can lie.
        array_space: SquareMeters, "Space for modules", 0 to 100_000;
        /// Coldest that the battery gets where it will stand.
        battery_coldest: Celsius, "Battery room, coldest", -60 to 40;
        /// Warmest that the battery gets where it will stand.
        battery_warmest: Celsius, "Battery room, warmest", -20 to 60;
    }
}

impl Default for Site {
    fn default() -> Self {
        Self::UNKNOWN
    }
}

impl Site {
    /// Nothing known.
    pub const UNKNOWN: Self = Self {
        latitude: None,
        longitude: None,
        elevation: None,
        record_low: None,
        design_high: None,
        building: None,
        array_on_building: None,
        array_structure: None,
        array_clear_of_metal: None,
        storage_stop_outside: None,
        flash_density: None,
        albedo: None,
        utc_offset: None,
        array_tilt: None,
        array_azimuth: None,
        array_space: None,
        battery_coldest: None,
        battery_warmest: None,
    };
}

/// How high the far horizon stands in a direction.
#[derive(Clone, Copy, Debug, PartialEq, serde::Serialize, serde::Deserialize)]
#[serde(deny_unknown_fields)]
pub struct HorizonPoint {
    /// Direction, clockwise from north.
    pub azimuth: Degrees,
    /// Height above the level.
    pub height: Degrees,
}
