//! The whole years, value by value.

use crate::reference::{case, list, number, sky, tables, tolerance, twelve, whole, within};
use crate::system::system;
use lineside_energy::weather::{random, typical};
use lineside_energy::{Detail, Hour, Outcome, Prepared, Totals, Year};
use serde_json::Value;

fn year(id: &str) -> (Year, &'static Value) {
    let case = case(id);
    let tables = tables();
    let (sky, climate) = sky(&tables, id);
    let input = &case["input"];
    let system = system(&tables, &input["system"], number(&input["site"]["elev"]));
    let seed = input["seed"].as_u64().unwrap();
    let weather = typical(&sky, &climate, &tables.defaults, seed).weather;
    let prepared = Prepared::new(&sky, &system, &tables).unwrap();
    (prepared.year(&weather, seed, 0, Detail::Hourly), &case["output"])
}

/// Energies in kWh and the like; hours may lie one apart, for a threshold may fall on the other side of a rounding.
fn sum(totals: &Totals, key: &str) -> f64 {
    let kilo = |watt_hours: lineside_core::units::WattHours| watt_hours.value() / 1000.0;
    match key {
        "ghi" => totals.level_sun.value(),
        "poa" => totals.plane_sun.value(),
        "pv_potential" => kilo(totals.sun_potential),
        "pv_used" => kilo(totals.sun_used),
        "clip_controller" => kilo(totals.sun_limited),
        "curtailed" => kilo(totals.curtailed),
        "ac_demand" => kilo(totals.ac_demand),
        "ac_served" => kilo(totals.ac_served),
        "dc_demand" => kilo(totals.dc_demand),
        "dc_served" => kilo(totals.dc_served),
        "deferrable_demand" => kilo(totals.waiting_demand),
        "deferrable_served" => kilo(totals.waiting_served),
        "parasitic" => kilo(totals.standing),
        "unmet_critical" => kilo(totals.unmet_critical),
        "unmet_normal" => kilo(totals.unmet_normal),
        "unmet_dc" => kilo(totals.unmet_dc),
        "unmet_deferrable" => kilo(totals.unmet_waiting),
        "grid_import" => kilo(totals.import),
        "grid_export" => kilo(totals.export),
        "gen" => kilo(totals.generator),
        "gen_hours" => totals.generator_hours.value(),
        "gen_lowload_hours" => totals.low_load_hours.value(),
        "gen_starts" => f64::from(totals.generator_starts),
        "fuel_l" => totals.fuel.value(),
        "bat_charge" => kilo(totals.charge),
        "bat_discharge" => kilo(totals.discharge),
        "discharge_ah" => totals.discharged.value(),
        "gassing_ah" => totals.gassing.value(),
        "loss_wire" => kilo(totals.wire_loss),
        "loss_controller" => kilo(totals.controller_loss),
        "loss_pv_inverter" => kilo(totals.pv_inverter_loss),
        "loss_inverter" => kilo(totals.inverter_loss),
        "loss_charger" => kilo(totals.charger_loss),
        "loss_battery" => kilo(totals.battery_loss),
        "loss_self_discharge" => kilo(totals.self_discharge),
        other => panic!("no sum {other}"),
    }
}

fn check_sum(what: &str, key: &str, totals: &Totals, expected: f64) {
    let allowed = if key.ends_with("hours") || key.ends_with("starts") {
        tolerance("hours_count")
    } else {
        tolerance("annual_energy_relative") * expected.abs().max(1.0)
    };
    within(&format!("{what} {key}"), sum(totals, key), expected, allowed);
}

fn check_sums(outcome: &Outcome, expected: &Value) {
    for (key, value) in expected["annual"].as_object().unwrap() {
        check_sum("year", key, &outcome.year, number(value));
    }
    for (key, months) in expected["monthly"].as_object().unwrap() {
        for ((month, totals), value) in outcome.months.iter().zip(twelve(months)) {
            check_sum(&format!("{month:?}"), key, &totals, value);
        }
    }
}

fn check_shares(outcome: &Outcome, expected: &Value) {
    let charge = tolerance("soc_absolute");
    let energy = tolerance("annual_energy_relative");
    let at = |key: &str| number(&expected[key]);
    for ((month, found), value) in outcome.lowest_charge.iter().zip(twelve(&expected["min_soc_month"])) {
        within(&format!("lowest charge of {month:?}"), found.share(), value, charge);
    }
    within("mean charge", outcome.mean_charge.share(), at("mean_soc"), charge);
    within("last charge", outcome.last_charge.share(), at("soc_end"), charge);
    within("unmet", outcome.unmet_share.share(), at("unmet_fraction"), energy);
    let hours = outcome.year.unmet_hours.value();
    within("unmet hours", hours, at("loss_of_load_hours"), tolerance("hours_count"));
    within("share of hours", hours / 8760.0, at("lolp"), tolerance("hours_count") / 8760.0);
    let reserve = outcome.reserve.unwrap();
    within("least reserve", reserve.least.value() / 24.0, at("reserve_days_min"), energy);
    within("mean reserve", reserve.mean.value() / 24.0, at("reserve_days_mean"), energy);
    within(
        "full cycles",
        outcome.full_cycles,
        at("equivalent_full_cycles"),
        energy * at("equivalent_full_cycles"),
    );
    let wear = &outcome.wear;
    within("cycles", wear.cycles, at("rainflow_cycles"), tolerance("hours_count"));
    within("wear", wear.of_cycle_life, at("cycle_wear_per_year"), energy);
    let life = |what: &str, found: f64, key: &str| within(what, found, at(key), energy * at(key));
    life("calendar life", wear.calendar_life.value(), "life_calendar_y");
    life("cycle life", wear.cycle_life.value(), "life_cycle_y");
    life("cautious life", wear.cautious.value(), "life_low_y");
    life("hopeful life", wear.hopeful.value(), "life_high_y");
    life("water", outcome.water.value(), "water_litres");
    within("stored", outcome.stored.value() / 1000.0, at("delta_stored_kwh"), energy);
    within("sun used", outcome.sun_used_share.share(), at("self_consumption"), energy);
    within("sun share", outcome.sun_share.share(), at("solar_fraction"), energy);
}

/// The columns that the file names.
fn column(hour: &Hour, name: &str) -> f64 {
    match name {
        "ghi_w_m2" => hour.level_sun.value(),
        "poa_w_m2" => hour.plane_sun.value(),
        "cell_c" => hour.cells.value(),
        "pv_potential_w" => hour.sun_potential.value(),
        "controller_out_w" => hour.controllers.value(),
        "ac_coupled_used_w" => hour.pv_inverters.value(),
        "ac_demand_w" => hour.ac_demand.value(),
        "ac_served_w" => hour.ac_served.value(),
        "deferrable_w" => hour.waiting_served.value(),
        "dc_served_w" => hour.dc_served.value(),
        "battery_charge_w" => hour.charge.value(),
        "battery_discharge_w" => hour.discharge.value(),
        "soc_start" => hour.state_of_charge.share(),
        "battery_c" => hour.battery.value(),
        "generator_w" => hour.generator.value(),
        "grid_import_w" => hour.import.value(),
        "unmet_w" => hour.unmet.value(),
        other => panic!("no column {other}"),
    }
}

fn check_hours(hours: &[Hour], expected: &Value) {
    let columns = list(&expected["hours_columns"]);
    let rows = list(&expected["hours_worst_72h"]).iter().chain(list(&expected["hours_june_24h"]));
    for row in rows {
        let number_of_hour = whole(&row[0]) as usize;
        let hour = &hours[number_of_hour];
        for (name, value) in columns.iter().zip(list(row)).skip(1) {
            let name = name.as_str().unwrap();
            let expected = number(value);
            let allowed = if name == "soc_start" {
                tolerance("soc_absolute")
            } else {
                // Hourly values are energies of a year's run: watts to the same part, of no less than a watt.
                tolerance("annual_energy_relative") * expected.abs().max(1.0)
            };
            within(&format!("hour {number_of_hour} {name}"), column(hour, name), expected, allowed);
        }
    }
}

fn check_year(id: &str) {
    let (year, expected) = year(id);
    check_hours(year.hours.as_deref().unwrap(), expected);
    check_sums(&year.outcome, expected);
    check_shares(&year.outcome, expected);
    let closure = year.outcome.closure;
    assert!(closure.worst() < tolerance("closure_relative"), "{closure:?}");
}

#[test]
fn nickel_iron_alone() {
    check_year("B-nife");
}

#[test]
fn lithium_with_generator() {
    check_year("A-lfp");
}

#[test]
fn flooded_lead_behind_a_utility() {
    check_year("C-fla");
}

#[test]
fn glass_mat_with_a_switching_controller() {
    check_year("E-pwm-agm");
}

/// The file gives six random years of a lithium system at site B without saying what system that is, so only what
/// the weather decides can be compared: sun on the level and on the plane, which is that of the nickel-iron case.
#[test]
fn random_years_of_sun() {
    let tables = tables();
    let (sky, climate) = sky(&tables, "B-nife");
    let input = &case("B-nife")["input"]["system"];
    let system = system(&tables, input, 210.0);
    let prepared = Prepared::new(&sky, &system, &tables).unwrap();
    for case in list(&crate::reference::FILE["monte_carlo_B_lfp"]) {
        let number_of_year = whole(&case["year"]);
        let weather = random(&sky, &climate, &tables.defaults, 22, number_of_year).weather;
        let outcome = prepared.year(&weather, 22, number_of_year, Detail::Sums).outcome;
        check_sum("random year", "ghi", &outcome.year, number(&case["ghi_kwh"]));
        check_sum("random year", "poa", &outcome.year, number(&case["poa_kwh"]));
        assert!(outcome.closure.worst() < tolerance("closure_relative"));
    }
}
