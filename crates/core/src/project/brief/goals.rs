//! What the customer wants: reserve, chemistry, supplies, money, growth, design life.

use crate::kinds::inverter::UtilityPriority;
use crate::units::{Hours, Percent};
use rust_decimal::Decimal;
use serde::{Deserialize, Serialize};

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

/// Outages of the utility, as they come by chance.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct OutagePattern {
    /// How many a year.
    pub per_year: u32,
    /// How long on average.
    pub mean: Hours,
    /// How long the longest that the system must bridge.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub longest: Option<Hours>,
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
    /// Which goes first while the utility is there; unless an inverter on the sheet is set otherwise.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub utility_priority: Option<UtilityPriority>,
    /// How the utility fails.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub outages: Option<OutagePattern>,
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
