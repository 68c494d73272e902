//! The window of the battery bus and the currents of the bank.

mod battery_charge_current;
mod battery_discharge_current;
mod charge_voltage_above_equipment;
mod low_cut_out_window;
mod nominal_voltage;
mod parallel_battery_strings;

pub(crate) use battery_charge_current::BATTERY_CHARGE_CURRENT;
pub(crate) use battery_discharge_current::BATTERY_DISCHARGE_CURRENT;
pub(crate) use charge_voltage_above_equipment::CHARGE_VOLTAGE_ABOVE_EQUIPMENT;
pub(crate) use low_cut_out_window::LOW_CUT_OUT_WINDOW;
pub(crate) use nominal_voltage::NOMINAL_VOLTAGE;
pub(crate) use parallel_battery_strings::PARALLEL_BATTERY_STRINGS;
