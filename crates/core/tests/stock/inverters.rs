//! Inverters and inverter-chargers: windows, ratings, losses, charger and relay.

use crate::{each, same};
use lineside_core::kinds::common::{AcSystem, Separation};
use lineside_core::kinds::inverter::{Inverter, NeutralBonding};

/// A usual bank: cells, volts per cell when empty, volts per cell at full charge.
type Bank = (f64, f64, f64);

/// The banks of each class: nickel-iron, lithium iron phosphate and flooded lead, those that are equalized with
/// their equalize voltage.
const BANKS: [(f64, [Bank; 3]); 3] = [
    (12.0, [(10.0, 1.05, 1.65), (4.0, 3.0, 3.55), (6.0, 1.88, 2.58)]),
    (24.0, [(20.0, 1.05, 1.65), (8.0, 3.0, 3.55), (12.0, 1.88, 2.58)]),
    (48.0, [(40.0, 1.05, 1.65), (16.0, 3.0, 3.55), (24.0, 1.88, 2.58)]),
];

fn class(it: &Inverter) -> f64 {
    it.nominal_input_voltage.unwrap().value()
}

fn banks_of(it: &Inverter) -> [Bank; 3] {
    BANKS.iter().find(|(volts, _)| same(class(it), *volts)).unwrap().1
}

fn takes(it: &Inverter, (cells, empty, full): Bank) -> bool {
    it.lowest_input_voltage.value() <= cells * empty && it.highest_input_voltage.value() >= cells * full
}

#[test]
fn the_window_holds_a_bank_of_its_class_from_empty_to_full() {
    for (name, it) in each!(Inverter) {
        assert!(banks_of(&it).iter().any(|bank| takes(&it, *bank)), "{name}");
        // Between stopping and destruction there is room, or every charge would be a risk.
        let room = it.absolute_input_voltage.unwrap() / it.highest_input_voltage;
        assert!(room > 1.0 && room < 1.2, "{name}: {room}");
        assert!(it.lowest_input_voltage.value() >= 0.75 * class(&it), "{name}");
    }
}

#[test]
fn wide_windows_take_nickel_iron_down_to_its_last_volt() {
    let mut wide = 0;
    for (name, it) in each!(Inverter) {
        if !name.starts_with("Wide-window") {
            continue;
        }
        let [(cells, _, full), ..] = banks_of(&it);
        // 1.00 V is the lowest that a nickel-iron cell may reach; 1.65 V while it equalizes; and in a cool room
        // of 15 °C compensation adds 0.004 V × 10 to each cell.
        assert!(it.lowest_input_voltage.value() <= cells * 1.0, "{name}");
        assert!(it.highest_input_voltage.value() >= cells * (full + 0.04), "{name}");
        if let Some(setting) = it.highest_charge_setting {
            assert!(setting.value() >= cells * full, "{name}: its charger could never equalize");
        }
        wide += 1;
    }
    assert!(wide >= 6);
}

#[test]
fn some_ordinary_windows_are_too_narrow_for_nickel_iron() {
    // The trade's usual trap: an inverter for 48 V lead that 40 nickel-iron cells overcharge. The stock has it,
    // so that the check for it can be tried.
    let all = each!(Inverter);
    assert!(
        all.iter().any(|(_, it)| same(class(it), 48.0) && it.absolute_input_voltage.unwrap().value() < 66.0)
    );
}

#[test]
fn surge_is_more_than_continuous_and_less_than_four_times() {
    for (name, it) in each!(Inverter) {
        let ratio = it.surge.unwrap() / it.continuous;
        // Motors need twice to three times; more than that no transistor stage gives for seconds.
        assert!((1.5..=3.0).contains(&ratio), "{name}: {ratio}");
        assert!(it.surge_time.unwrap().value() >= 1.0, "{name}");
        let half_hour = it.half_hour_output.unwrap();
        assert!(half_hour >= it.continuous && half_hour <= it.surge.unwrap(), "{name}");
        assert!(it.rated_apparent_output().value() >= it.continuous.value(), "{name}");
    }
}

#[test]
fn idle_draw_is_a_small_part_of_the_rating() {
    for (name, it) in each!(Inverter) {
        let idle = it.idle_draw.unwrap();
        // Switching and magnetizing losses: 0.4 to 2 % of the rating; 3 % would make it useless in a cabin.
        assert!((0.003..0.03).contains(&(idle / it.continuous)), "{name}");
        // It wakes for a moment each second or so: a tenth to a third of the idle draw.
        assert!((0.1..0.36).contains(&(it.search_draw.unwrap() / idle)), "{name}");
    }
}

#[test]
fn efficiency_rises_and_falls_as_losses_say() {
    for (name, it) in each!(Inverter) {
        let points = it.efficiency.as_ref().unwrap();
        let last = points.last().unwrap();
        assert!(same(last.x, 100.0), "{name}: the curve ends at rated output");
        assert!(same(last.y, it.rated_efficiency.unwrap().value()), "{name}");
        // Fixed losses weigh at little load, resistance at full load: the best is in between.
        let best = points.iter().map(|point| point.y).fold(0.0, f64::max);
        assert!(best > points[0].y && best > last.y && best < 97.0, "{name}");
        // What the idle draw alone would take at the first point must leave at least that much.
        let share = points[0].x / 100.0;
        let idle = it.idle_draw.unwrap() / it.continuous;
        assert!(points[0].y / 100.0 <= share / (share + idle), "{name}: more than the idle draw allows");
    }
}

#[test]
fn the_charger_stays_near_the_rating_and_below_the_window() {
    for (name, it) in each!(Inverter) {
        let Some(amps) = it.charger_current else {
            assert_eq!(it.ac_inputs, 0, "{name}: an AC input without charger or relay has no use here");
            assert!(it.charger_efficiency.is_none() && it.highest_charge_setting.is_none(), "{name}");
            continue;
        };
        // Charger and inverter are one power stage run backwards; 2.4 V per lead cell is the usual charge.
        let watts = amps.value() * class(&it) * 1.2;
        assert!(watts <= 1.3 * it.continuous.value(), "{name}: {watts} W");
        assert!(it.highest_charge_setting.unwrap() <= it.highest_input_voltage, "{name}");
        // The relay carries the charger from the AC side.
        let efficiency = it.charger_efficiency.unwrap().share();
        let input = watts / efficiency / it.ac_system.current_voltage().value();
        assert!(it.transfer_relay.unwrap().value() >= input, "{name}: {input} A");
    }
}

#[test]
fn relay_and_devices_fit_the_output() {
    for (name, it) in each!(Inverter) {
        // 1.25 for long duty: the greatest device that the maker allows must not be below the least that the
        // code asks for.
        let least = 1.25 * it.output_current().value();
        assert!(it.greatest_output_device.unwrap().value() >= least, "{name}: {least} A");
        // A bridge of transistors limits itself to about twice its current.
        let fault = it.output_fault_current.unwrap() / it.output_current();
        assert!((1.8..=2.2).contains(&fault), "{name}: {fault}");
        // A PV inverter on the output must never be larger than what has to take its power.
        assert!(it.ac_coupled_limit.is_none_or(|limit| same(limit.value(), it.continuous.value())), "{name}");
        if let Some(relay) = it.transfer_relay {
            assert!(
                relay >= it.output_current(),
                "{name}: passing through must not give less than inverting"
            );
            assert_eq!(it.greatest_input_device, Some(relay), "{name}: the device ahead guards the relay");
        }
        assert_eq!(it.transfer_relay.is_some(), it.ac_inputs > 0, "{name}");
    }
}

#[test]
fn frequency_and_bonding_fit_the_system() {
    for (name, it) in each!(Inverter) {
        let hertz = if it.ac_system == AcSystem::Single230 { 50.0 } else { 60.0 };
        assert!(same(it.frequency.value(), hertz), "{name}");
        // Only a machine with a transfer relay has to lift its bond while a bonded source passes through.
        let lifts = it.neutral_bonding == NeutralBonding::WhileInverting;
        assert_eq!(lifts, it.ac_inputs > 0, "{name}");
    }
}

#[test]
fn mass_is_that_of_iron_or_of_ferrite() {
    for (name, it) in each!(Inverter) {
        // Transformers at line frequency: 6 to 12 kg for each kW; high-frequency ones 3 to 7.
        let each_kilowatt = it.mass.unwrap().value() / (it.continuous.value() / 1000.0);
        let least = if it.separation == Separation::None { 3.0 } else { 4.0 };
        assert!((least..=12.0).contains(&each_kilowatt), "{name}: {each_kilowatt} kg/kW");
    }
}

#[test]
fn the_usual_systems_are_there() {
    let all = each!(Inverter);
    for system in [AcSystem::Single120, AcSystem::Split120x240, AcSystem::Single230] {
        assert!(
            all.iter().any(|(_, it)| it.ac_system == system && it.charger_current.is_some()),
            "{}",
            system.label()
        );
    }
    for volts in [12.0, 24.0, 48.0] {
        for charger in [true, false] {
            let there =
                all.iter().any(|(_, it)| same(class(it), volts) && it.charger_current.is_some() == charger);
            assert!(there, "{volts} V, with charger: {charger}");
        }
    }
    let powers: Vec<f64> = all.iter().map(|(_, it)| it.continuous.value()).collect();
    assert!(powers.contains(&300.0) && powers.contains(&12_000.0), "0.3 to 12 kW");
}
