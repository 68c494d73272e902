//! Overcurrent devices: where they are needed, how large, of what kind.

mod assembly_short_circuit_rating;
mod battery_fuse_distance;
mod both_ends_overcurrent;
mod device_ambient;
mod fault_clears;
mod interrupt_rating;
mod module_series_fuse;
mod overcurrent_dc_rated;
mod overcurrent_minimum;
mod overcurrent_protects_conductor;
mod overcurrent_standard_size;
mod string_overcurrent_needed;
mod string_overcurrent_size;
mod string_ways;

pub(crate) use assembly_short_circuit_rating::ASSEMBLY_SHORT_CIRCUIT_RATING;
pub(crate) use battery_fuse_distance::BATTERY_FUSE_DISTANCE;
pub(crate) use both_ends_overcurrent::BOTH_ENDS_OVERCURRENT;
pub(crate) use device_ambient::DEVICE_AMBIENT;
pub(crate) use fault_clears::FAULT_CLEARS;
pub(crate) use interrupt_rating::INTERRUPT_RATING;
pub(crate) use module_series_fuse::MODULE_SERIES_FUSE;
pub(crate) use overcurrent_dc_rated::OVERCURRENT_DC_RATED;
pub(crate) use overcurrent_minimum::OVERCURRENT_MINIMUM;
pub(crate) use overcurrent_protects_conductor::OVERCURRENT_PROTECTS_CONDUCTOR;
pub(crate) use overcurrent_standard_size::OVERCURRENT_STANDARD_SIZE;
pub(crate) use string_overcurrent_needed::STRING_OVERCURRENT_NEEDED;
pub(crate) use string_overcurrent_size::STRING_OVERCURRENT_SIZE;
