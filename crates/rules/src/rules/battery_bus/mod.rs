//! The window of the battery bus and the currents of the bank.

mod battery_charge_current;
mod battery_discharge_current;
mod charge_temperature_compensation;
mod charge_voltage_above_equipment;
mod charger_reaches_voltage;
mod dwelling_battery_voltage;
mod low_cut_out_window;
mod nominal_voltage;
mod parallel_battery_strings;

pub(crate) use battery_charge_current::BATTERY_CHARGE_CURRENT;
pub(crate) use battery_discharge_current::BATTERY_DISCHARGE_CURRENT;
pub(crate) use charge_temperature_compensation::CHARGE_TEMPERATURE_COMPENSATION;
pub(crate) use charge_voltage_above_equipment::CHARGE_VOLTAGE_ABOVE_EQUIPMENT;
pub(crate) use charger_reaches_voltage::CHARGER_REACHES_VOLTAGE;
pub(crate) use dwelling_battery_voltage::DWELLING_BATTERY_VOLTAGE;
pub(crate) use low_cut_out_window::LOW_CUT_OUT_WINDOW;
pub(crate) use nominal_voltage::NOMINAL_VOLTAGE;
pub(crate) use parallel_battery_strings::PARALLEL_BATTERY_STRINGS;
