//! THE list of rules, in the order in which findings of one severity are shown.

mod ac;
mod battery_bus;
mod battery_place;
mod bus_bars;
pub(crate) mod conductors;
mod controllers;
mod data;
mod disconnects;
mod grounding;
mod overcurrent;
mod pv_protection;
mod pv_voltage;

use crate::rule::Rule;

/// Every rule. `data-missing` stands last: it speaks for all the others.
pub const ALL: &[&Rule] = &[
    &pv_voltage::STRING_COLD_VOLTAGE,
    &pv_voltage::PV_EQUIPMENT_VOLTAGE,
    &pv_voltage::MODULE_SYSTEM_VOLTAGE,
    &pv_voltage::CONDUCTOR_VOLTAGE_RATING,
    &pv_voltage::PV_BUILDING_VOLTAGE,
    &pv_voltage::COLD_VOLTAGE_METHOD,
    &pv_voltage::STRING_HOT_VOLTAGE_TRACKER,
    &pv_voltage::STRING_HOT_VOLTAGE_BATTERY,
    &pv_voltage::STRING_VOLTAGE_ABOVE_TRACKING,
    &pv_voltage::UNEQUAL_STRINGS,
    &controllers::SIMPLE_CONTROLLER_MATCH,
    &battery_bus::NOMINAL_VOLTAGE,
    &battery_bus::CHARGE_VOLTAGE_ABOVE_EQUIPMENT,
    &battery_bus::LOW_CUT_OUT_WINDOW,
    &battery_bus::CHARGER_REACHES_VOLTAGE,
    &battery_bus::CHARGE_TEMPERATURE_COMPENSATION,
    &battery_bus::BATTERY_CHARGE_CURRENT,
    &battery_bus::BATTERY_DISCHARGE_CURRENT,
    &battery_bus::PARALLEL_BATTERY_STRINGS,
    &battery_bus::DWELLING_BATTERY_VOLTAGE,
    &controllers::CONTROLLER_INPUT_SHORT_CIRCUIT,
    &controllers::CONTROLLER_ARRAY_WATTS,
    &conductors::CONDUCTOR_CONTINUOUS_AMPACITY,
    &conductors::CONDUCTOR_CORRECTED_AMPACITY,
    &conductors::TERMINAL_TEMPERATURE,
    &conductors::SMALL_CONDUCTOR_LIMIT,
    &conductors::PARALLEL_CONDUCTORS,
    &conductors::CONDUCTOR_TYPE_PLACE,
    &conductors::FLEXIBLE_CABLE,
    &conductors::RACEWAY_FILL,
    &conductors::VOLTAGE_DROP,
    &conductors::CONDUCTOR_SHORT_CIRCUIT_HEATING,
    &overcurrent::STRING_OVERCURRENT_NEEDED,
    &overcurrent::STRING_OVERCURRENT_SIZE,
    &overcurrent::MODULE_SERIES_FUSE,
    &overcurrent::OVERCURRENT_MINIMUM,
    &overcurrent::OVERCURRENT_PROTECTS_CONDUCTOR,
    &overcurrent::OVERCURRENT_DC_RATED,
    &overcurrent::OVERCURRENT_STANDARD_SIZE,
    &overcurrent::DEVICE_AMBIENT,
    &overcurrent::BOTH_ENDS_OVERCURRENT,
    &overcurrent::BATTERY_FUSE_DISTANCE,
    &overcurrent::INTERRUPT_RATING,
    &overcurrent::ASSEMBLY_SHORT_CIRCUIT_RATING,
    &overcurrent::FAULT_CLEARS,
    &bus_bars::DC_BUS_RATING,
    &bus_bars::COMBINER_BUS_RATING,
    &disconnects::BOTH_ENDS_DISCONNECT,
    &disconnects::PV_SYSTEM_DISCONNECT,
    &disconnects::EQUIPMENT_DISCONNECT_KIND,
    &disconnects::BATTERY_DISCONNECT,
    &disconnects::INVERTER_DISCONNECT,
    &disconnects::GENERATOR_DISCONNECT,
    &disconnects::DISCONNECT_COUNT,
    &disconnects::DISCONNECT_POLES,
    &disconnects::DISCONNECT_RATING,
    &disconnects::POLARITY_SENSITIVE_BREAKER,
    &disconnects::ISOLATION_COMPLETE,
    &pv_protection::PV_GROUND_FAULT_PROTECTION,
    &pv_protection::PV_ARC_FAULT,
    &pv_protection::RAPID_SHUTDOWN,
    &grounding::EQUIPMENT_GROUNDING_SIZE,
    &grounding::DC_GROUNDING_ELECTRODE,
    &grounding::DC_SYSTEM_GROUNDING,
    &grounding::NEUTRAL_BOND_COUNT,
    &grounding::SURGE_PROTECTION,
    &battery_place::BATTERY_VENTILATION,
    &battery_place::BATTERY_SPARK_DISTANCE,
    &battery_place::WORKING_SPACE,
    &battery_place::LIVE_PARTS_GUARDED,
    &battery_place::LITHIUM_LOCATION,
    &ac::INVERTER_OUTPUT_OVERCURRENT,
    &ac::AC_PASS_THROUGH,
    &ac::GENERATOR_OVERLOAD,
    &ac::GENERATOR_CONDUCTOR,
    &ac::SOURCE_INTERLOCK,
    &ac::TRANSFER_EQUIPMENT,
    &ac::SINGLE_120_VOLT_SUPPLY,
    &ac::BUSBAR_120_PERCENT,
    &ac::BACKFED_BREAKER,
    &ac::INVERTER_CAPACITY,
    &ac::AC_VOLTAGE_FREQUENCY,
    &ac::AC_SHOCK_PROTECTION,
    &data::WIRING,
    &data::NAMEPLATE_CONTRADICTION,
    &data::LABELS,
    &data::DATA_MISSING,
];

/// The id of the rule whose findings follow from every change of the sheet and go in one step at its end: they are no
/// reason against a change.
pub(crate) const FOLLOWS_CHANGES: &str = data::LABELS.id;

/// The id of the rule that speaks for all the others, and so only after them.
pub(crate) const SPEAKS_FOR_OTHERS: &str = data::DATA_MISSING.id;
