//! The brief: site, loads and goals, as the customer and the weather records give them.

use crate::kinds::common::Fitted;
use crate::kinds::declare::{choice, equipment};
use crate::units::{Celsius, Degrees, FlashDensity, Hours, Meters, Percent, SunHours, Watts};
use rust_decimal::Decimal;
use serde::{Deserialize, Serialize};

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
    };
}

/// A month of the year.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
#[expect(missing_docs, reason = "months need no explanation")]
pub enum Month {
    January,
    February,
    March,
    April,
    May,
    June,
    July,
    August,
    September,
    October,
    November,
    December,
}

impl Month {
    /// All, in order.
    pub const ALL: [Self; 12] = [
        Self::January,
        Self::February,
        Self::March,
        Self::April,
        Self::May,
        Self::June,
        Self::July,
        Self::August,
        Self::September,
        Self::October,
        Self::November,
        Self::December,
    ];

    /// 1 for January.
    pub const fn number(self) -> usize {
        self as usize + 1
    }

    /// Days in a year without a leap day.
    pub const fn days(self) -> usize {
        match self {
            Self::February => 28,
            Self::April | Self::June | Self::September | Self::November => 30,
            Self::January
            | Self::March
            | Self::May
            | Self::July
            | Self::August
            | Self::October
            | Self::December => 31,
        }
    }
}

/// What the weather records say of one month.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct MonthlyMeans {
    /// The month.
    pub month: Month,
    /// Sun on the level, a day.
    pub sun: SunHours,
    /// Mean temperature.
    pub temperature: Celsius,
}

/// Whether a load takes AC or DC.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum LoadCurrent {
    /// AC.
    #[default]
    Ac,
    /// DC.
    Dc,
}

/// Whether a load may wait for the sun.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum LoadPriority {
    /// It must run.
    #[default]
    MustRun,
    /// It can wait.
    CanWait,
}

/// One line of the load table.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct LoadItem {
    /// What it is.
    pub name: String,
    /// Power of one.
    pub power: Watts,
    /// How many.
    pub quantity: u32,
    /// Hours on a day of use.
    pub hours: Hours,
    /// Days of use in a week.
    pub days_per_week: u32,
    /// Hour of the day at which it starts, 0 to 24.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub start: Option<Hours>,
    /// Power while it starts.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub surge: Option<Watts>,
    /// Power factor.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub power_factor: Option<Percent>,
    /// AC or DC.
    #[serde(default)]
    pub current: LoadCurrent,
    /// Whether it may wait.
    #[serde(default)]
    pub priority: LoadPriority,
    /// Months in which it runs; empty for all of them.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub months: Vec<Month>,
}

/// Which chemistry the customer wants.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum ChemistryWish {
    /// Whatever serves best.
    #[default]
    Open,
    /// Nickel-iron.
    NickelIron,
    /// Lithium iron phosphate.
    LithiumIronPhosphate,
    /// Lead-acid.
    Lead,
}

/// Whether a supply is wanted.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum SupplyWish {
    /// It may be proposed.
    #[default]
    Open,
    /// It is there or wanted.
    Wanted,
    /// It is not wanted.
    Excluded,
}

/// What the customer wants of the system.
#[derive(Clone, Debug, Default, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields, default)]
pub struct Goals {
    /// Days without sun that the bank must bridge.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub reserve: Option<Hours>,
    /// Share of the year's energy that may go unmet.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub unmet_share: Option<Percent>,
    /// Chemistry.
    pub chemistry: ChemistryWish,
    /// Utility.
    pub utility: SupplyWish,
    /// Generator.
    pub generator: SupplyWish,
    /// Generator hours allowed in a year.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub generator_hours: Option<Hours>,
    /// Hour at which quiet begins and hour at which it ends.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub quiet_hours: Option<(Hours, Hours)>,
    /// Budget, in the currency of the price book.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub budget: Option<Decimal>,
    /// Growth of the load over the design life.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub growth: Option<Percent>,
    /// Years for which the system is designed.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub design_life_years: Option<u32>,
}

/// What the customer needs, and where.
#[derive(Clone, Debug, Default, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields, default)]
pub struct Brief {
    /// The site.
    pub site: Site,
    /// Weather records by month; empty when none are known.
    #[serde(skip_serializing_if = "Vec::is_empty")]
    pub months: Vec<MonthlyMeans>,
    /// Loads.
    #[serde(skip_serializing_if = "Vec::is_empty")]
    pub loads: Vec<LoadItem>,
    /// Goals.
    pub goals: Goals,
}
