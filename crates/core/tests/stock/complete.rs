//! Nameplates are complete: what a rule that guards against danger needs is there, so that it can tell.

use crate::items;
use lineside_core::kinds::Kind;
use lineside_core::kinds::field::Value;

/// Keys that every item of a kind must have, beyond those that no nameplate is without.
const NEEDED: &[(Kind, &str)] = &[
    // Cold voltage, hot voltage, string devices, insulation.
    (
        Kind::Strings,
        "open_circuit_coefficient power_coefficient series_fuse_rating system_voltage \
         nominal_cell_temperature bypass_diodes cells low_light_loss yearly_loss",
    ),
    (Kind::Combiner, "dc_voltage interrupting_rating terminal_temperature short_circuit_rating pv_listed"),
    // Input voltage and current, clipping, battery side, protection.
    (
        Kind::ChargeController,
        "input_short_circuit_current input_rating_basis backfeed_current max_output_voltage \
         min_output_voltage highest_charge_setting efficiency own_consumption oversize_limit \
         ground_fault_protection arc_fault_protection temperature_sensor terminal_temperature mass",
    ),
    // Fault current, limits, gas, covers.
    (
        Kind::BatteryBank,
        "float_voltage compensation unit_resistance charge_current discharge_current peak_current \
         charge_from charge_to gas_current parallel_limit terminals_covered terminal_temperature mass \
         capacities self_discharge cycle_life calendar_years",
    ),
    (
        Kind::Inverter,
        "absolute_input_voltage nominal_input_voltage rated_efficiency surge efficiency idle_draw \
         greatest_output_device output_fault_current terminal_temperature mass full_output_to",
    ),
    (Kind::Breaker, "terminal_temperature lockable plug_in marked_line_load terminal_marking"),
    (Kind::Fuse, "dc_voltage interrupting_dc terminal_temperature terminal_marking"),
    (Kind::Switch, "terminal_temperature lockable terminal_marking"),
    (Kind::BusBar, "voltage short_circuit_rating terminal_temperature covered"),
    (Kind::Junction, "voltage terminal_temperature"),
    (Kind::DcConverter, "efficiency separation terminal_temperature"),
    (Kind::DcLoad, "max_voltage min_voltage terminal_temperature"),
    (
        Kind::Generator,
        "usable_share breaker_rating breaker_interrupting breaker_lockable terminal_temperature \
         remote_start fuel_use mass emergency_stop start_lockout cord_connected",
    ),
    (Kind::Utility, "fault_current"),
    (Kind::AcPanel, "voltage short_circuit_rating neutral_rating terminal_temperature frequency"),
    (Kind::TransferSwitch, "ac_voltage short_circuit_rating terminal_temperature lockable"),
    (Kind::Meter, "voltage"),
    (Kind::SurgeArrester, "discharge_current short_circuit_rating protection_voltage"),
    (Kind::GroundFaultDevice, "terminal_temperature poles"),
    (Kind::ShutdownInitiator, ""),
    (Kind::ShutdownReceiver, "dc_voltage"),
    (Kind::Electrode, "resistance"),
    (Kind::BondingJumper, "size"),
];

#[test]
fn nothing_that_a_rule_needs_is_missing() {
    for item in items() {
        let kind = item.equipment.kind();
        let (_, keys) = NEEDED.iter().find(|(listed, _)| *listed == kind).unwrap();
        for key in keys.split_whitespace() {
            let value = item.equipment.get(key);
            assert!(value.is_some_and(|value| value != Value::Absent), "{}: {key}", item.name);
        }
    }
}

#[test]
fn terminals_are_marked_for_a_temperature_of_the_tables() {
    // The ampacity tables have columns for 60, 75 and 90 °C; terminals between them cannot be used.
    for item in items() {
        if let Some(Value::Number(celsius)) = item.equipment.get("terminal_temperature") {
            assert!([60.0, 75.0, 90.0].contains(&celsius), "{}: {celsius} °C", item.name);
        }
    }
}

#[test]
fn devices_stand_closed_when_they_come_from_stock() {
    for item in items() {
        if let Some(Value::Choice(position)) = item.equipment.get("position") {
            assert!(["closed", "normal"].contains(&position), "{}: {position}", item.name);
        }
    }
}
