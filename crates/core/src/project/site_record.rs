//! The site record: what the installer measured and ticked off.

use jiff::civil::Date;
use serde::{Deserialize, Serialize};

/// How a test ended.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum RecordResult {
    /// Not done.
    #[default]
    Open,
    /// Passed.
    Passed,
    /// Failed.
    Failed,
}

/// One row of the test sheet.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct RecordRow {
    /// Name of the test.
    pub test: String,
    /// Tag of the block or run.
    pub on: String,
    /// Conditions, such as cell temperature.
    #[serde(default, skip_serializing_if = "String::is_empty")]
    pub conditions: String,
    /// What was measured, with its unit.
    #[serde(default, skip_serializing_if = "String::is_empty")]
    pub measured: String,
    /// How it ended.
    #[serde(default)]
    pub result: RecordResult,
    /// Remark.
    #[serde(default, skip_serializing_if = "String::is_empty")]
    pub remark: String,
    /// Instrument.
    #[serde(default, skip_serializing_if = "String::is_empty")]
    pub instrument: String,
    /// Day.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub date: Option<Date>,
    /// Initials.
    #[serde(default, skip_serializing_if = "String::is_empty")]
    pub initials: String,
}

/// All rows.
#[derive(Clone, Debug, Default, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields, default)]
pub struct SiteRecord {
    /// Rows of the test sheet.
    #[serde(skip_serializing_if = "Vec::is_empty")]
    pub rows: Vec<RecordRow>,
}
