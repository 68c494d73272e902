//! Data and wiring as such.

mod data_missing;
mod label_differences;
mod labels;
mod nameplate_contradiction;
mod wiring;

pub(crate) use data_missing::DATA_MISSING;
pub(crate) use labels::LABELS;
pub(crate) use nameplate_contradiction::NAMEPLATE_CONTRADICTION;
pub(crate) use wiring::WIRING;
