//! Charge controllers against their strings.

mod controller_array_watts;
mod controller_input_short_circuit;
mod simple_controller_match;

pub(crate) use controller_array_watts::CONTROLLER_ARRAY_WATTS;
pub(crate) use controller_input_short_circuit::CONTROLLER_INPUT_SHORT_CIRCUIT;
pub(crate) use simple_controller_match::SIMPLE_CONTROLLER_MATCH;
