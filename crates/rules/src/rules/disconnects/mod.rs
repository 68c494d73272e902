//! Disconnecting means.

mod battery_disconnect;
mod both_ends_disconnect;
mod disconnect_count;
mod disconnect_poles;
mod disconnect_rating;
mod equipment_disconnect_kind;
mod generator_disconnect;
mod inverter_disconnect;
mod isolation_complete;
mod polarity_sensitive_breaker;
mod pv_means;
mod pv_system_disconnect;
pub(crate) mod support;

pub(crate) use battery_disconnect::BATTERY_DISCONNECT;
pub(crate) use both_ends_disconnect::BOTH_ENDS_DISCONNECT;
pub(crate) use disconnect_count::DISCONNECT_COUNT;
pub(crate) use disconnect_poles::DISCONNECT_POLES;
pub(crate) use disconnect_rating::DISCONNECT_RATING;
pub(crate) use equipment_disconnect_kind::EQUIPMENT_DISCONNECT_KIND;
pub(crate) use generator_disconnect::GENERATOR_DISCONNECT;
pub(crate) use inverter_disconnect::INVERTER_DISCONNECT;
pub(crate) use isolation_complete::ISOLATION_COMPLETE;
pub(crate) use polarity_sensitive_breaker::POLARITY_SENSITIVE_BREAKER;
pub(crate) use pv_system_disconnect::PV_SYSTEM_DISCONNECT;
