//! Generators, utility services, AC panels and transfer switches.

use crate::{each, near, same};
use lineside_core::kinds::ac_panel::PanelBond;
use lineside_core::kinds::common::{AcSystem, Fitted, LoadBreak};
use lineside_core::kinds::generator::{Fuel, Generator};
use lineside_core::kinds::transfer_switch::{Interlock, TransferArrangement};
use lineside_core::units::Percent;

fn nominal_hertz(system: AcSystem) -> f64 {
    match system {
        AcSystem::Single230 | AcSystem::Three400 => 50.0,
        AcSystem::Single120 | AcSystem::Split120x240 | AcSystem::Single240 | AcSystem::Three208 => 60.0,
    }
}

#[test]
fn a_generator_breaker_lets_its_current_pass_and_no_more() {
    for (name, it) in each!(Generator) {
        let (breaker, current) = (it.breaker_rating.unwrap(), it.rated_current());
        let ratio = breaker / current;
        // It must carry the rated current; the next standard size above is at most a quarter more, and the
        // conductors are sized for 115 %.
        assert!((1.0..=1.25).contains(&ratio), "{name}: {ratio}");
        // A short at its terminals: rated current over the subtransient reactance.
        let fault = current.value() / it.subtransient_reactance.map_or(0.12, Percent::share);
        assert!(it.breaker_interrupting.unwrap().value() > fault, "{name}: {fault} A");
        assert!(it.breaker_voltage.unwrap().value() >= it.ac_system.line_voltage().value(), "{name}");
    }
}

#[test]
fn a_generator_runs_a_little_fast_without_load() {
    for (name, it) in each!(Generator) {
        let ratio = it.frequency.value() / nominal_hertz(it.ac_system);
        // A governor needs some droop: up to 4 %, and inverters accept 5 %.
        assert!((1.0..=1.04).contains(&ratio), "{name}: {ratio}");
    }
}

#[test]
fn generator_outputs_are_in_order() {
    for (name, it) in each!(Generator) {
        let surge = it.surge.unwrap() / it.power;
        assert!((1.05..=1.25).contains(&surge), "{name}: {surge}");
        let (usable, least) = (it.usable_share.unwrap().value(), it.least_load.unwrap().value());
        assert!((70.0..=90.0).contains(&usable) && (10.0..=30.0).contains(&least), "{name}");
        // A diesel glazes below 30 % of its load.
        assert!(it.fuel != Fuel::Diesel || least >= 30.0, "{name}");
        // Small gasoline engines last 1,500 h, propane 3,000, diesel 10,000.
        let life = it.engine_life.unwrap().value();
        let expected = match it.fuel {
            Fuel::Gasoline => 1500.0,
            Fuel::Propane | Fuel::NaturalGas => 3000.0,
            Fuel::Diesel => 10_000.0,
        };
        assert!(near(life, expected, 0.3), "{name}: {life}");
    }
}

/// The two figures of “1.5 l/h at full load, 1.0 l/h at half load”.
fn fuel_figures(it: &Generator) -> (f64, f64) {
    let text = it.fuel_use.as_deref().unwrap();
    let figures: Vec<f64> = text.split_whitespace().filter_map(|word| word.parse().ok()).collect();
    assert!(
        text.contains("l/h at full load") && text.contains("l/h at half load") && figures.len() == 2,
        "{text}"
    );
    (figures[0], figures[1])
}

#[test]
fn fuel_use_is_that_of_an_engine() {
    for (name, it) in each!(Generator) {
        let (full, half) = fuel_figures(&it);
        let kilowatts = it.power.value() / 1000.0;
        // Liters for each kWh at full load, from the heat in the fuel and 20 to 35 % efficiency.
        let expected = match it.fuel {
            Fuel::Diesel => 0.34,
            Fuel::Gasoline => 0.49,
            Fuel::Propane => 0.66,
            Fuel::NaturalGas => f64::NAN,
        };
        assert!(near(full / kilowatts, expected, 0.10), "{name}: {} l/kWh", full / kilowatts);
        // Friction does not halve with the load.
        assert!(half > 0.55 * full && half < 0.75 * full, "{name}");
    }
}

#[test]
fn generator_mass_fits_its_power() {
    for (name, it) in each!(Generator) {
        // Portable inverter sets reach 90 W/kg, enclosed diesels 30.
        let watts_each_kilogram = it.power.value() / it.mass.unwrap().value();
        assert!((25.0..100.0).contains(&watts_each_kilogram), "{name}: {watts_each_kilogram}");
        let portable = name.starts_with("Portable");
        assert_eq!(it.cord_connected, Some(if portable { Fitted::Yes } else { Fitted::No }), "{name}");
        assert_eq!(it.remote_start == Some(Fitted::Yes), !portable, "{name}");
    }
}

#[test]
fn the_usual_generators_are_there() {
    let all = each!(Generator);
    let has = |watts: f64, system| {
        all.iter().any(|(_, it)| same(it.power.value(), watts) && it.ac_system == system)
    };
    for watts in [3000.0, 6500.0, 10_000.0, 14_000.0] {
        assert!(has(watts, AcSystem::Split120x240), "{watts} W");
    }
    for watts in [3500.0, 6500.0, 10_000.0] {
        assert!(has(watts, AcSystem::Single230), "{watts} W");
    }
}

#[test]
fn services_give_a_fault_current_that_panels_stand() {
    for (name, it) in each!(Utility) {
        assert!(same(it.frequency.value(), nominal_hertz(it.ac_system)), "{name}");
        let fault = it.fault_current.unwrap();
        // Transformer impedance limits it to 5 to 25 kA; and there must be a panel for it.
        assert!((5000.0..=25_000.0).contains(&fault.value()), "{name}");
        let stands = each!(AcPanel).iter().any(|(_, panel)| {
            panel.ac_system == it.ac_system
                && panel.bus_rating >= it.service_rating
                && panel.short_circuit_rating >= it.fault_current
        });
        assert!(stands || it.service_rating.value() < 100.0, "{name}");
    }
}

#[test]
fn panels_are_sound() {
    for (name, it) in each!(AcPanel) {
        // What the name says of a main breaker is what the nameplate says.
        assert_eq!(
            it.main_rating.is_some(),
            name.contains(" with ") || name.ends_with("with main"),
            "{name}"
        );
        assert!(it.main_rating.is_none_or(|main| main <= it.bus_rating), "{name}");
        // One breaker cannot be the weak point of the box it stands in.
        assert!(it.main_interrupting.is_none_or(|main| Some(main) >= it.short_circuit_rating), "{name}");
        assert!(it.neutral_rating.unwrap() <= it.bus_rating, "{name}");
        assert!(same(it.voltage.unwrap().value(), it.ac_system.line_voltage().value()), "{name}");
        // The main bonding jumper belongs to the service and nowhere else.
        assert_eq!(it.bond == PanelBond::Bonded, name.starts_with("Service panel"), "{name}");
        assert!(same(it.frequency.unwrap().value(), nominal_hertz(it.ac_system)), "{name}");
        assert!(it.connected_load.is_none(), "{name}: the loads are the customer's");
    }
    let all = each!(AcPanel);
    for amps in [100.0, 125.0, 200.0] {
        for main in [true, false] {
            let there = all
                .iter()
                .any(|(_, it)| same(it.bus_rating.value(), amps) && it.main_rating.is_some() == main);
            assert!(there, "{amps} A, with main: {main}");
        }
    }
}

#[test]
fn transfer_switches_cannot_join_two_supplies() {
    let all = each!(TransferSwitch);
    for (name, it) in &all {
        assert_eq!(it.interlock, Interlock::Mechanical, "{name}");
        assert_eq!(it.load_break, LoadBreak::Yes, "{name}: it is thrown with the loads on");
        assert!(it.ac_voltage.unwrap().value() >= 230.0, "{name}");
    }
    for arrangement in TransferArrangement::ALL {
        for amps in [60.0, 100.0, 200.0] {
            let there =
                all.iter().any(|(_, it)| it.arrangement == *arrangement && same(it.rating.value(), amps));
            assert!(there, "{}, {amps} A", arrangement.label());
        }
    }
}
