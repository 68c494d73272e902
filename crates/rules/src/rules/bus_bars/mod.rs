//! Bus bars.

mod dc_bus_rating;

pub(crate) use dc_bus_rating::DC_BUS_RATING;
