//! Operating cases: named states of sun, temperature, load, supplies and switches.

use crate::kinds::common::Position;
use crate::units::{Celsius, Percent, Watts, WattsPerSquareMeter};
use serde::{Deserialize, Serialize};

/// A switch that stands otherwise than drawn.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct SwitchState {
    /// Tag of the block.
    pub block: String,
    /// Name of the pole within it, when it has several.
    #[serde(default, skip_serializing_if = "String::is_empty")]
    pub pole: String,
    /// How it stands.
    pub position: Position,
}

/// One named state of the whole system.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct OperatingCase {
    /// Its name.
    pub name: String,
    /// Sun in the plane of the array.
    pub sun: WattsPerSquareMeter,
    /// Ambient temperature.
    pub ambient: Celsius,
    /// State of charge of every bank.
    pub state_of_charge: Percent,
    /// Load of each panel, by tag.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub loads: Vec<(String, Watts)>,
    /// Tags of the supplies that are present.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub supplies: Vec<String>,
    /// Switches that stand otherwise than drawn.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub switches: Vec<SwitchState>,
    /// What to tell the customer.
    #[serde(default, skip_serializing_if = "String::is_empty")]
    pub remark: String,
}
