//! Set points: the values programmed into controllers, inverters, starters and meters.

use serde::{Deserialize, Serialize};

/// One programmed value.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct SetPoint {
    /// Tag of the block that is programmed.
    pub block: String,
    /// What is set.
    pub name: String,
    /// The value with its unit.
    pub value: String,
    /// Why it is not the computed one.
    #[serde(default, skip_serializing_if = "String::is_empty")]
    pub reason: String,
}
