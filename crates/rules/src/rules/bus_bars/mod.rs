//! Bus bars.

mod combiner_bus_rating;
mod dc_bus_rating;

pub(crate) use combiner_bus_rating::COMBINER_BUS_RATING;
pub(crate) use dc_bus_rating::DC_BUS_RATING;
