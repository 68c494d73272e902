//! Values that stand alone: each lies in the band, or on the list, that the trade keeps to. The bands are much
//! narrower than the limits of the fields, which only keep out nonsense.

use crate::{items, same};
use lineside_core::kinds::Kind;
use lineside_core::kinds::field::Value;

/// Kind, field, lowest and highest plausible value in the unit of the field.
const BANDS: &[(Kind, &str, f64, f64)] = &[
    // Thin glass loses 2 to 4 % of its efficiency in dim light; the first summer takes 1 to 2.5 %.
    (Kind::Strings, "low_light_loss", 2.0, 4.5),
    (Kind::Strings, "first_year_loss", 0.8, 2.6),
    (Kind::Strings, "yearly_loss", 0.35, 0.75),
    // A starting point that suits the middle latitudes of the north: facing south, not flat.
    (Kind::Strings, "tilt", 30.0, 50.0),
    (Kind::Strings, "azimuth", 180.0, 180.0),
    (Kind::Strings, "modules_in_series", 1.0, 3.0),
    (Kind::Strings, "strings_in_parallel", 1.0, 1.0),
    // Electronics are rated at 40 °C and up to about 2000 m; thinner air cools 0.5 to 1 % less for each 100 m.
    (Kind::ChargeController, "full_output_to", 35.0, 50.0),
    (Kind::ChargeController, "full_output_below", 1500.0, 2500.0),
    (Kind::ChargeController, "altitude_derating", 0.5, 1.0),
    (Kind::ChargeController, "hot_derating", -4.0, -2.0),
    (Kind::ChargeController, "headroom", 1.5, 6.0),
    (Kind::ChargeController, "oversize_limit", 120.0, 160.0),
    (Kind::ChargeController, "stages", 3.0, 4.0),
    // The heat sink of a 10 A controller weighs 0.2 kg, that of 100 A with high voltage 14 kg.
    (Kind::ChargeController, "mass", 0.15, 15.0),
    (Kind::Inverter, "full_output_to", 35.0, 50.0),
    (Kind::Inverter, "full_output_below", 1500.0, 2500.0),
    (Kind::Inverter, "altitude_derating", 0.5, 1.0),
    (Kind::Inverter, "hot_derating", -2.5, -0.8),
    // A motor comes up in one to a few seconds; a computer rides through 20 ms.
    (Kind::Inverter, "surge_time", 1.0, 10.0),
    (Kind::Inverter, "transfer_time", 0.008, 0.025),
    (Kind::Inverter, "charger_power_factor", 90.0, 100.0),
    (Kind::Inverter, "parallel_units", 3.0, 9.0),
    // Seconds to a minute; a laboratory's pulse would be of no use to a pump.
    (Kind::BatteryBank, "peak_time", 5.0, 60.0),
    (Kind::BatteryBank, "calendar_years", 6.0, 26.0),
    (Kind::BatteryBank, "strings_in_parallel", 1.0, 1.0),
    (Kind::BatteryBank, "cells_per_vent", 1.0, 1.0),
    (Kind::BatteryBank, "charge_from", -20.0, 0.0),
    (Kind::BatteryBank, "charge_to", 45.0, 50.0),
    (Kind::BatteryBank, "discharge_from", -20.0, -20.0),
    (Kind::BatteryBank, "discharge_to", 50.0, 55.0),
    // Engines lose 1 % for each 100 m and 1 % for each 5.6 °C above 25 °C; the reactance of a small alternator
    // is 10 to 15 %.
    (Kind::Generator, "altitude_derating", 0.9, 1.2),
    (Kind::Generator, "full_output_below", 200.0, 400.0),
    (Kind::Generator, "full_output_to", 25.0, 25.0),
    (Kind::Generator, "hot_derating", -0.20, -0.15),
    (Kind::Generator, "subtransient_reactance", 10.0, 15.0),
    (Kind::AcPanel, "taps", 2.0, 6.0),
    (Kind::Junction, "ends", 2.0, 4.0),
    (Kind::Electrode, "resistance", 4.0, 25.0),
];

/// Kind, field, and the values that are sold.
const SOLD: &[(Kind, &str, &[f64])] = &[
    (Kind::Strings, "system_voltage", &[600.0, 1000.0, 1500.0]),
    (Kind::Combiner, "ways", &[2.0, 3.0, 4.0, 6.0]),
    (Kind::Combiner, "dc_voltage", &[150.0, 300.0, 600.0, 1000.0]),
    (Kind::Combiner, "interrupting_rating", &[10_000.0, 20_000.0]),
    (Kind::Combiner, "short_circuit_rating", &[10_000.0]),
    (Kind::Combiner, "bus_rating", &[60.0, 63.0, 100.0, 120.0]),
    (Kind::BatteryBank, "internal_fuse_voltage", &[125.0]),
    (Kind::BatteryBank, "internal_fuse_interrupting", &[20_000.0]),
    (Kind::BatteryBank, "cycle_depth", &[50.0, 80.0]),
    (Kind::BatteryBank, "parallel_limit", &[2.0, 3.0, 4.0, 8.0, 15.0]),
    (Kind::Breaker, "ac_voltage", &[120.0, 230.0, 240.0, 400.0, 415.0]),
    (Kind::Breaker, "interrupting_ac", &[6000.0, 10_000.0, 25_000.0]),
    (Kind::Fuse, "ac_voltage", &[300.0, 500.0]),
    (Kind::Fuse, "interrupting_ac", &[100_000.0, 200_000.0]),
    (Kind::Switch, "ac_voltage", &[230.0, 240.0]),
    (Kind::Switch, "short_circuit_rating", &[5000.0, 6000.0, 10_000.0, 20_000.0]),
    (Kind::Switch, "poles", &[1.0, 2.0]),
    (Kind::Switch, "circuits", &[1.0, 2.0]),
    (Kind::BusBar, "voltage", &[48.0, 60.0, 150.0, 600.0]),
    (Kind::BusBar, "short_circuit_rating", &[5000.0, 10_000.0, 25_000.0, 50_000.0]),
    (Kind::Generator, "breaker_interrupting", &[5000.0, 10_000.0]),
    (Kind::Generator, "breaker_voltage", &[120.0, 230.0, 240.0, 400.0]),
    (Kind::Generator, "least_load", &[10.0, 20.0, 30.0]),
    (Kind::Utility, "fault_current", &[6000.0, 10_000.0]),
    (Kind::AcPanel, "main_interrupting", &[6000.0, 10_000.0, 22_000.0]),
    (Kind::AcPanel, "short_circuit_rating", &[6000.0, 10_000.0, 22_000.0]),
    (Kind::TransferSwitch, "ac_voltage", &[230.0, 240.0]),
    (Kind::TransferSwitch, "short_circuit_rating", &[6000.0, 10_000.0]),
    (Kind::Meter, "voltage", &[150.0, 230.0, 240.0, 600.0]),
    (Kind::SurgeArrester, "discharge_current", &[20_000.0]),
    (Kind::SurgeArrester, "short_circuit_rating", &[10_000.0, 25_000.0]),
    (Kind::GroundFaultDevice, "ac_voltage", &[230.0]),
    (Kind::GroundFaultDevice, "interrupting", &[6000.0, 10_000.0]),
    (Kind::ShutdownReceiver, "dc_voltage", &[600.0, 1000.0, 1500.0]),
    (Kind::ShutdownReceiver, "residual_voltage", &[15.0, 30.0]),
];

/// Every value that the stock has in a field, with the item's name.
fn values(kind: Kind, key: &str) -> Vec<(String, f64)> {
    assert!(kind.fields().iter().any(|field| field.key == key), "{} has no {key}", kind.label());
    let found: Vec<_> = items()
        .into_iter()
        .filter(|item| item.equipment.kind() == kind)
        .filter_map(|item| match item.equipment.get(key) {
            Some(Value::Number(number)) => Some((item.name, number)),
            Some(Value::Whole(whole)) => Some((item.name, f64::from(whole))),
            _ => None,
        })
        .collect();
    assert!(!found.is_empty(), "no item has {key}");
    found
}

#[test]
fn single_values_lie_in_their_bands() {
    for (kind, key, low, high) in BANDS {
        for (name, value) in values(*kind, key) {
            assert!((*low..=*high).contains(&value), "{name}: {key} {value}");
        }
    }
}

#[test]
fn ratings_are_those_that_are_sold() {
    for (kind, key, sold) in SOLD {
        for (name, value) in values(*kind, key) {
            assert!(sold.iter().any(|rating| same(*rating, value)), "{name}: {key} {value}");
        }
    }
}
