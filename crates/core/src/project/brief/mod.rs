//! The brief: site, loads and goals, as the customer and the weather records give them.
//!
//! One part of it a file. What a system needs to answer it is the `energy` and `propose` crates' work.

mod check;
mod goals;
mod loads;
mod months;
mod site;

pub use check::BriefFault;
pub use goals::{ChemistryWish, Goals, OutagePattern, SupplyWish};
pub use loads::{LoadCurrent, LoadItem, LoadPriority, loads_at_once};
pub use months::{Month, MonthlyMeans, WeatherSource};
pub use site::{ArrayStructure, BuildingUse, HorizonPoint, Site};

use serde::{Deserialize, Serialize};

/// What the customer needs, and where.
#[derive(Clone, Debug, Default, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields, default)]
pub struct Brief {
    /// The site.
    pub site: Site,
    /// The far horizon; empty when it is free.
    #[serde(skip_serializing_if = "Vec::is_empty")]
    pub horizon: Vec<HorizonPoint>,
    /// Where the weather records come from.
    #[serde(skip_serializing_if = "WeatherSource::is_unstated")]
    pub weather: WeatherSource,
    /// Weather records by month; empty when none are known.
    #[serde(skip_serializing_if = "Vec::is_empty")]
    pub months: Vec<MonthlyMeans>,
    /// Loads.
    #[serde(skip_serializing_if = "Vec::is_empty")]
    pub loads: Vec<LoadItem>,
    /// Goals.
    pub goals: Goals,
}
