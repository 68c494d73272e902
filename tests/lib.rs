//! Tests of whole projects: files and edits in, findings and documents out. Shared helpers live here: a
//! [`Sheet`] on which nameplates are written as text, and the comparison of what was found with printed
//! figures. The tests themselves are in the other files of this folder.

pub mod bench;
mod printed;
mod sheet;
pub mod sound;
mod verdict;

pub use printed::{Printed, near, same};
pub use sheet::{Sheet, equipment, feet};
pub use verdict::{RunRow, Verdict};

/// The rules whose findings the tests of whole systems judge; findings of other rules are left aside there.
pub const JUDGED: &[&str] = &[
    "string-cold-voltage",
    "pv-equipment-voltage",
    "module-system-voltage",
    "conductor-voltage-rating",
    "string-hot-voltage-tracker",
    "string-hot-voltage-battery",
    "nominal-voltage",
    "charge-voltage-above-equipment",
    "low-cut-out-window",
    "battery-charge-current",
    "battery-discharge-current",
    "controller-input-short-circuit",
    "controller-array-watts",
    "conductor-continuous-ampacity",
    "conductor-corrected-ampacity",
    "terminal-temperature",
    "small-conductor-limit",
    "voltage-drop",
    "string-overcurrent-needed",
    "string-overcurrent-size",
    "module-series-fuse",
    "overcurrent-minimum",
    "overcurrent-protects-conductor",
    "overcurrent-dc-rated",
    "both-ends-overcurrent",
    "dc-bus-rating",
    "both-ends-disconnect",
    "ac-voltage-frequency",
    "wiring",
    "data-missing",
];
