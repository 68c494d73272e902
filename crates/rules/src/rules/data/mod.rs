//! Data and wiring as such.

mod data_missing;
mod wiring;

pub(crate) use data_missing::DATA_MISSING;
pub(crate) use wiring::WIRING;
