//! The order in which a datasheet prints the data of a kind, for typing one in from top to bottom.
//!
//! Which data a kind has is declared in its own file; here they are only put into parts.

use super::Kind;
use super::field::{Field, Layer};

/// Parts of a datasheet with the keys of their fields. A key means the same wherever it occurs, so that one list serves every kind.
const PARTS: &[(&str, &[&str])] = &[
    (
        "Type",
        &[
            "kind",
            "technology",
            "chemistry",
            "class",
            "mount",
            "arrangement",
            "device",
            "fuel",
            "buses",
            "system",
            "ac_system",
            "frequency",
            "ac_inputs",
            "trip",
            "polarity",
            "duty",
            "circuits",
            "poles",
            "poles_in_series",
            "marked_line_load",
            "load_break",
            "interlock",
            "switched_neutral",
            "automatic",
            "residual_type",
            "separation",
            "neutral_bonding",
            "frame_bond",
            "cord_connected",
        ],
    ),
    (
        "Ratings",
        &[
            "power",
            "max_power_voltage",
            "max_power_current",
            "open_circuit_voltage",
            "short_circuit_current",
            "bifacial_share",
            "bifacial_short_circuit_current",
            "cells_per_unit",
            "capacity",
            "rated_time",
            "rating",
            "trip_current",
            "ways",
            "device_rating",
            "main_rating",
            "bus_rating",
            "service_rating",
            "neutral_rating",
            "taps",
            "ends",
            "current",
            "continuous_voltage",
            "discharge_current",
            "dc_voltage",
            "ac_voltage",
            "voltage",
            "min_voltage",
            "max_voltage",
            "resistance",
            "reach",
            "residual_voltage",
            "hazard_control",
            "time",
            "position",
            "size",
        ],
    ),
    (
        "Input",
        &[
            "max_input_voltage",
            "min_input_voltage",
            "operating_input_voltage",
            "tracking_low",
            "tracking_high",
            "headroom",
            "input_short_circuit_current",
            "input_rating_basis",
            "backfeed_current",
            "input_switch_rating",
            "input_switch_voltage",
            "nominal_input_voltage",
            "lowest_input_voltage",
            "highest_input_voltage",
            "absolute_input_voltage",
            "greatest_input_device",
        ],
    ),
    (
        "Output",
        &[
            "continuous",
            "apparent_output",
            "half_hour_output",
            "surge",
            "surge_time",
            "usable_share",
            "least_load",
            "output_voltage",
            "output_current",
            "array_watts_12",
            "array_watts_24",
            "array_watts_48",
            "oversize_limit",
            "min_output_voltage",
            "max_output_voltage",
            "transfer_relay",
            "transfer_time",
            "greatest_output_device",
            "output_fault_current",
            "subtransient_reactance",
            "parallel_units",
            "ac_coupled_limit",
            "utility_listed",
            "breaker_rating",
            "breaker_voltage",
            "breaker_interrupting",
            "breaker_lockable",
        ],
    ),
    (
        "Charging",
        &[
            "charge_voltage",
            "float_voltage",
            "equalize_voltage",
            "equalize_current",
            "compensation",
            "charge_current",
            "charge_from",
            "charge_to",
            "charge_by_temperature",
            "charge_efficiency",
            "charger_current",
            "charger_efficiency",
            "charger_power_factor",
            "highest_charge_setting",
            "stages",
            "temperature_sensor",
            "remote_sense",
            "management_link",
            "blocks_cold_charge",
            "heater",
        ],
    ),
    (
        "Discharging",
        &[
            "full_rest_voltage",
            "empty_voltage",
            "lowest_voltage",
            "rest_voltages",
            "peak_current",
            "peak_time",
            "circuit_current",
            "management_low",
            "management_high",
            "discharge_from",
            "discharge_to",
            "discharge_by_temperature",
            "capacities",
            "capacity_by_temperature",
            "self_discharge",
        ],
    ),
    (
        "Efficiency and consumption",
        &[
            "rated_efficiency",
            "efficiency",
            "own_consumption",
            "idle_draw",
            "search_draw",
            "fuel_use",
            "low_light_loss",
        ],
    ),
    (
        "Temperature and altitude",
        &[
            "open_circuit_coefficient",
            "power_coefficient",
            "voltage_coefficient",
            "short_circuit_coefficient",
            "nominal_cell_temperature",
            "full_output_to",
            "hot_derating",
            "full_output_below",
            "altitude_derating",
            "rating_by_temperature",
        ],
    ),
    (
        "Limits and protection",
        &[
            "system_voltage",
            "series_fuse_rating",
            "bypass_diodes",
            "unit_resistance",
            "link_resistance",
            "interrupting_dc",
            "interrupting_ac",
            "interrupting",
            "interrupting_rating",
            "main_interrupting",
            "short_circuit_rating",
            "fault_current",
            "five_second_current",
            "clearing_time",
            "protection_voltage",
            "arrester_voltage",
            "internal_fuse_rating",
            "internal_fuse_voltage",
            "internal_fuse_interrupting",
            "internal_disconnect",
            "parallel_limit",
            "ground_fault_protection",
            "arc_fault_protection",
            "pv_listed",
            "emergency_stop",
            "start_lockout",
            "remote_start",
        ],
    ),
    (
        "Build and terminals",
        &[
            "cells",
            "length",
            "width",
            "mass",
            "gas_current",
            "cells_per_vent",
            "terminals_covered",
            "covered",
            "plug_in",
            "lockable",
            "terminal_temperature",
            "terminal_marking",
        ],
    ),
    (
        "Life",
        &["first_year_loss", "yearly_loss", "cycle_life", "cycle_depth", "calendar_years", "engine_life"],
    ),
];

/// One part of a datasheet.
#[derive(Clone, Debug, PartialEq)]
pub struct Part {
    /// Its heading.
    pub title: &'static str,
    /// Its fields, in order.
    pub fields: Vec<&'static Field>,
}

/// What the maker prints of a kind, part by part. Nothing is left out: what no part names comes last.
pub fn datasheet(kind: Kind) -> Vec<Part> {
    let printed: Vec<&'static Field> =
        kind.fields().iter().filter(|field| field.layer == Layer::Nameplate).collect();
    let mut parts: Vec<Part> = PARTS
        .iter()
        .map(|(title, keys)| {
            let find = |key: &&str| printed.iter().find(|field| field.key == *key).copied();
            Part { title, fields: keys.iter().filter_map(find).collect() }
        })
        .collect();
    let named = |field: &&'static Field| PARTS.iter().any(|(_, keys)| keys.contains(&field.key));
    parts.push(Part { title: "Other", fields: printed.into_iter().filter(|field| !named(field)).collect() });
    parts.retain(|part| !part.fields.is_empty());
    parts
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_datum_of_every_nameplate_stands_in_one_part() {
        for kind in Kind::ALL {
            let parts = datasheet(*kind);
            assert!(parts.iter().all(|part| part.title != "Other"), "{}: {parts:?}", kind.key());
            let mut keys: Vec<&str> = parts.iter().flat_map(|it| &it.fields).map(|field| field.key).collect();
            let count = keys.len();
            keys.sort_unstable();
            keys.dedup();
            assert_eq!(keys.len(), count, "{}", kind.key());
            let printed = kind.fields().iter().filter(|field| field.layer == Layer::Nameplate).count();
            assert_eq!(count, printed, "{}", kind.key());
        }
    }

    #[test]
    fn a_module_is_read_as_its_datasheet_prints_it() {
        let parts = datasheet(Kind::Strings);
        let ratings = parts.iter().find(|part| part.title == "Ratings").unwrap();
        let keys: Vec<&str> = ratings.fields.iter().take(5).map(|field| field.key).collect();
        let printed = [
            "power",
            "max_power_voltage",
            "max_power_current",
            "open_circuit_voltage",
            "short_circuit_current",
        ];
        assert_eq!(keys, printed);
    }
}
