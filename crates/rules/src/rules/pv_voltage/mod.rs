//! Voltages of the array side.

mod cold_voltage_method;
mod conductor_voltage_rating;
mod module_system_voltage;
mod pv_building_voltage;
mod pv_equipment_voltage;
mod string_cold_voltage;
mod string_hot_voltage_battery;
mod string_hot_voltage_tracker;
mod string_voltage_above_tracking;
mod unequal_strings;

pub(crate) use cold_voltage_method::COLD_VOLTAGE_METHOD;
pub(crate) use conductor_voltage_rating::CONDUCTOR_VOLTAGE_RATING;
pub(crate) use module_system_voltage::MODULE_SYSTEM_VOLTAGE;
pub(crate) use pv_building_voltage::PV_BUILDING_VOLTAGE;
pub(crate) use pv_equipment_voltage::PV_EQUIPMENT_VOLTAGE;
pub(crate) use string_cold_voltage::STRING_COLD_VOLTAGE;
pub(crate) use string_hot_voltage_battery::STRING_HOT_VOLTAGE_BATTERY;
pub(crate) use string_hot_voltage_tracker::STRING_HOT_VOLTAGE_TRACKER;
pub(crate) use string_voltage_above_tracking::STRING_VOLTAGE_ABOVE_TRACKING;
pub(crate) use unequal_strings::UNEQUAL_STRINGS;
