//! What conductors carry and lose.

mod conductor_continuous_ampacity;
mod conductor_corrected_ampacity;
mod conductor_short_circuit_heating;
mod conductor_type_place;
mod flexible_cable;
mod parallel_conductors;
mod raceway_fill;
mod small_conductor_limit;
pub(crate) mod support;
mod terminal_temperature;
mod voltage_drop;

pub(crate) use conductor_continuous_ampacity::CONDUCTOR_CONTINUOUS_AMPACITY;
pub(crate) use conductor_corrected_ampacity::CONDUCTOR_CORRECTED_AMPACITY;
pub(crate) use conductor_short_circuit_heating::CONDUCTOR_SHORT_CIRCUIT_HEATING;
pub(crate) use conductor_type_place::CONDUCTOR_TYPE_PLACE;
pub(crate) use flexible_cable::FLEXIBLE_CABLE;
pub(crate) use parallel_conductors::PARALLEL_CONDUCTORS;
pub(crate) use raceway_fill::RACEWAY_FILL;
pub(crate) use small_conductor_limit::SMALL_CONDUCTOR_LIMIT;
pub(crate) use terminal_temperature::TERMINAL_TEMPERATURE;
pub(crate) use voltage_drop::VOLTAGE_DROP;
